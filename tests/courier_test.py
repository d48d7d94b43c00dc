#!/usr/bin/python3
"""The courier against real peers on this machine: an HTTPS server and a mail server, each under an authority of its own.

usage: courier_test.py COURIER [unittest's own words]
"""
import base64
import email
import email.header
import email.policy
import gzip
import hashlib
import hmac
import http.server
import json
import os
import re
import socket
import subprocess
import sys
import tempfile
import threading
import time
import unittest

from aiosmtpd.controller import Controller

from peers import free_port, make_authority, server_context
from post_office import Broker, Letters, Secured

COURIER = os.path.abspath(sys.argv.pop(1))
DONE, FAILED, NO_ERRAND = 0, 1, 2
LETTER = "Topf 7: 2,5 l, bis es unten herausläuft.\n.\n=3D \n" + "ä" * 100 + "\n\tEnde\n"
DOCUMENT = b'{"hours": [1, 2, 3]}\n'


class Answers(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    seen = []

    def log_message(self, *_):
        pass

    def answer(self, status, body=b"", **headers):
        self.send_response(status)
        for name, value in headers.items():
            self.send_header(name.replace("_", "-"), value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def do_GET(self):
        Answers.seen.append((self.path, dict(self.headers)))
        if self.path == "/weather":
            if self.headers.get("If-None-Match") == '"one"':
                return self.answer(304, ETag='"one"')
            return self.answer(200, DOCUMENT, ETag='"one"', Last_Modified="Tue, 14 Jul 2026 05:00:00 GMT")
        if self.path == "/packed":
            return self.answer(200, gzip.compress(b"x" * 3_000_000), Content_Encoding="gzip")
        if self.path == "/busy":
            return self.answer(503, b"later", Retry_After="120")
        if self.path == "/moved":
            return self.answer(302, ETag='"of-the-sign"', Location="/weather")
        if self.path == "/moved-to-file":
            return self.answer(302, Location="file:///etc/hostname")
        if self.path == "/circle":
            return self.answer(302, Location="/circle")
        if self.path == "/slow":
            time.sleep(4)
        return self.answer(404)

    def do_POST(self):
        Answers.seen.append((self.path, dict(self.headers), self.rfile.read(int(self.headers["Content-Length"]))))
        if self.path == "/slow":
            time.sleep(4)
        self.answer(308 if self.path == "/moved" else 204, **({"Location": "/hook"} if self.path == "/moved" else {}))


class Errands(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.temporary = tempfile.TemporaryDirectory(prefix="tubgrove-courier-test-")
        cls.folder = cls.temporary.name
        cls.authority = make_authority(cls.folder, "ours")
        cls.stranger = make_authority(cls.folder, "stranger")
        cls.web = http.server.ThreadingHTTPServer(("localhost", 0), Answers)
        cls.web.daemon_threads = True
        cls.web.socket = server_context(cls.authority).wrap_socket(cls.web.socket, server_side=True)
        threading.Thread(target=cls.web.serve_forever, daemon=True).start()
        cls.base = f"https://localhost:{cls.web.server_port}"
        cls.letters = Letters()
        cls.post_office = Secured(cls.letters, server_context(cls.authority), free_port())
        cls.post_office.start()
        cls.plain_office = Controller(cls.letters, hostname="localhost", port=free_port())
        cls.plain_office.start()

    @classmethod
    def tearDownClass(cls):
        cls.web.shutdown()
        cls.web.server_close()
        cls.post_office.stop()
        cls.plain_office.stop()
        cls.temporary.cleanup()

    def secret(self, text, mode=0o600):
        name = os.path.join(self.folder, f"secret-{mode:o}")
        with open(name, "w", encoding="utf-8") as file:
            file.write(text + "\n")
        os.chmod(name, mode)
        return name

    def send(self, status, errand, env=None):
        text = errand if isinstance(errand, str) else json.dumps(errand)
        ran = subprocess.run([COURIER], input=text.encode(), capture_output=True, timeout=60, env=env)
        self.assertEqual(ran.returncode, status, ran.stdout + ran.stderr)
        line, _, body = ran.stdout.partition(b"\n")
        told = json.loads(line)
        self.assertEqual(told["bytes"], len(body))
        return told, body

    def fetch(self, path, status=DONE, **more):
        return self.send(status, {"kind": "fetch", "url": self.base + path, "ca_file": self.authority[0], **more})

    # --- fetching ---

    def test_a_document_and_then_no_newer_one(self):
        told, body = self.fetch("/weather", headers=["X-Key: abc"])
        self.assertEqual((told["status"], told["etag"], body), (200, '"one"', DOCUMENT))
        self.assertEqual(told["last_modified"], "Tue, 14 Jul 2026 05:00:00 GMT")
        self.assertEqual(Answers.seen[-1][1]["X-Key"], "abc")
        told, body = self.fetch("/weather", etag='"one"', last_modified="Tue, 14 Jul 2026 05:00:00 GMT")
        self.assertEqual((told["status"], body), (304, b""))

    def test_a_redirection_is_followed_but_never_to_a_file(self):
        told, body = self.fetch("/moved")
        self.assertEqual((told["status"], told["etag"], body), (200, '"one"', DOCUMENT))
        told, _ = self.fetch("/moved-to-file", FAILED)
        self.assertRegex(told["error"], "(?i)protocol")
        told, _ = self.fetch("/circle", FAILED)
        self.assertIn("redirect", told["error"])

    def test_a_busy_server_says_when(self):
        told, body = self.fetch("/busy")
        self.assertEqual((told["status"], told["retry_after_s"], body), (503, 120, b"later"))

    def test_what_unpacks_to_too_much_is_not_taken(self):
        told, body = self.fetch("/packed", bytes_max=4_000_000)
        self.assertEqual(len(body), 3_000_000)
        told, body = self.fetch("/packed", FAILED, bytes_max=1_000_000)
        self.assertEqual((told["error"], body), ("the answer is larger than 1000000 bytes", b""))

    def test_a_slow_server_is_left(self):
        begun = time.monotonic()
        told, _ = self.fetch("/slow", FAILED, seconds=1)
        self.assertLess(time.monotonic() - begun, 3.5)
        self.assertRegex(told["error"], "(?i)timed out|time")

    def test_an_unknown_authority_is_not_believed(self):
        told, _ = self.fetch("/weather", FAILED, ca_file=self.stranger[0])
        self.assertIn("certificate", told["error"])
        self.send(FAILED, {"kind": "fetch", "url": self.base + "/weather"})

    def test_nobody_there(self):
        told, _ = self.send(FAILED, {"kind": "fetch", "url": f"http://localhost:{free_port()}/"})
        self.assertIn("connect", told["error"].lower())

    def test_the_proxy_is_the_one_named_and_no_other(self):
        env = dict(os.environ, https_proxy="http://localhost:1", HTTPS_PROXY="http://localhost:1", ALL_PROXY="http://localhost:1")
        told, _ = self.send(DONE, {"kind": "fetch", "url": self.base + "/weather", "ca_file": self.authority[0]}, env=env)
        self.assertEqual(told["status"], 200)
        told, _ = self.fetch("/weather", FAILED, proxy="http://localhost:1")
        self.assertRegex(told["error"], "port 1")

    # --- posting ---

    def test_a_signed_post_can_be_checked_by_whoever_holds_the_key(self):
        body = '{"hello": "world"}'
        told, _ = self.send(DONE, {"kind": "post", "url": self.base + "/hook", "ca_file": self.authority[0], "body": body,
                                   "key_id": "round", "secret_file": self.secret("spade")})
        self.assertEqual(told["status"], 204)
        _, headers, got = Answers.seen[-1]
        self.assertEqual(got.decode(), body)
        # The digest of this body is the one printed for SHA-256 in the drafts before RFC 9530; from memory.
        self.assertEqual(headers["Content-Digest"], "sha-256=:X48E9qOokqqrvdts8nOJRJN3OWDUoyWxBf7kbu9DBPE=:")
        covered = headers["Signature-Input"].removeprefix("tubgrove=")
        self.assertRegex(covered, r'^\("@method" "@target-uri" "content-type" "content-digest"\);created=\d+;'
                                  r'keyid="round";alg="hmac-sha256"$')
        base = "\n".join(['"@method": POST', f'"@target-uri": {self.base}/hook', '"content-type": application/json',
                          f'"content-digest": {headers["Content-Digest"]}', f'"@signature-params": {covered}'])
        signature = base64.b64encode(hmac.new(b"spade", base.encode(), hashlib.sha256).digest()).decode()
        self.assertEqual(headers["Signature"], f"tubgrove=:{signature}:")
        self.assertLess(abs(int(re.search(r"created=(\d+)", covered)[1]) - time.time()), 60)

    def test_a_post_is_not_sent_on_elsewhere(self):
        before = len(Answers.seen)
        told, _ = self.send(DONE, {"kind": "post", "url": self.base + "/moved", "ca_file": self.authority[0], "body": "{}"})
        self.assertEqual((told["status"], len(Answers.seen) - before), (308, 1))
        self.assertNotIn("Signature", Answers.seen[-1][1])

    # --- mail ---

    def mail(self, status=DONE, **more):
        return self.send(status, {"kind": "mail", "url": f"smtp://localhost:{self.post_office.port}",
                                  "ca_file": self.authority[0], "user": "garden",
                                  "secret_file": self.secret("spade and fork"), "from": "Lark Terrace <garden@example.org>",
                                  "to": ["someone@example.org", "Someone Else <else@example.org>"],
                                  "subject": "Morgenrunde: 7 Töpfe, 19,5 l – „Hitze“ kommt, und die Kanne trägt nur fünf Liter",
                                  "text": LETTER, "id": "2026-07-14-morning@x", **more})

    def test_a_letter_arrives_as_written(self):
        self.mail()
        sender, to, content = self.letters.taken[-1]
        self.assertEqual((sender, to), ("garden@example.org", ["someone@example.org", "else@example.org"]))
        for line in content.split(b"\r\n"):
            self.assertLessEqual(len(line), 76, line)
            self.assertTrue(line.isascii())
        letter = email.message_from_bytes(content, policy=email.policy.default)
        self.assertEqual(letter.defects, [])
        self.assertEqual(letter["Subject"], "Morgenrunde: 7 Töpfe, 19,5 l – „Hitze“ kommt, und die Kanne trägt nur fünf Liter")
        self.assertEqual(letter["Message-ID"], "<2026-07-14-morning@x>")
        self.assertEqual(letter["Auto-Submitted"], "auto-generated")
        self.assertLess(abs(letter["Date"].datetime.timestamp() - time.time()), 60)
        text = letter.get_content().replace("\r\n", "\n")
        self.assertEqual(text, LETTER)

    def test_a_name_may_have_any_letters(self):
        name = "Gärtner vom Hügel, der mit den vielen kleinen Töpfen und der langen Kanne"
        self.mail(**{"from": f"{name} <garden@example.org>", "to": ["Ágnes <someone@example.org>"], "subject": "x" * 2000})
        sender, to, content = self.letters.taken[-1]
        self.assertEqual((sender, to), ("garden@example.org", ["someone@example.org"]))
        self.assertTrue(content.isascii())
        self.assertLess(max(map(len, content.split(b"\r\n"))), 998)
        letter = email.message_from_bytes(content, policy=email.policy.default)
        # The parser of addresses puts a blank between words that a long name was cut into; that of headers knows [RFC2047] 6.2.
        told = email.header.decode_header(email.message_from_bytes(content)["From"])
        self.assertEqual(str(email.header.make_header(told)), f"{name} <garden@example.org>")
        self.assertEqual(letter["To"].addresses[0].display_name, "Ágnes")
        self.assertEqual(letter["Subject"], "x" * 2000)

    def test_a_wrong_password_and_a_full_box(self):
        told, _ = self.mail(FAILED, secret_file=self.secret("guess", 0o640))
        self.assertIn("denied", told["error"])
        told, _ = self.mail(FAILED, to=["full@example.org"])
        self.assertEqual(told["status"], 452)

    def test_no_letter_without_tls_unless_told(self):
        plain = {"url": f"smtp://localhost:{self.plain_office.port}", "user": "", "secret_file": ""}
        before = len(self.letters.taken)
        told, _ = self.mail(FAILED, **plain)
        self.assertRegex(told["error"], "(?i)ssl|tls")
        self.assertEqual(len(self.letters.taken), before)
        self.mail(DONE, plain_allowed=True, **plain)
        self.assertEqual(len(self.letters.taken), before + 1)

    def test_what_may_have_arrived_is_told_as_such(self):
        """A server that took everything and then said nothing, against one that was never reached."""
        for path, unsure in (("/slow", True), ("/hook", None)):
            told, _ = self.send(FAILED if unsure else DONE, {"kind": "post", "url": self.base + path, "ca_file": self.authority[0],
                                                            "body": "{}", "seconds": 1})
            self.assertEqual(told.get("unsure"), unsure, told)
        told, _ = self.send(FAILED, {"kind": "post", "url": f"http://localhost:{free_port()}/", "body": ""})
        self.assertNotIn("unsure", told)
        told, _ = self.mail(FAILED, to=["silent@example.org"], seconds=2)
        self.assertTrue(told["unsure"], told)
        for wrong in ({"to": ["full@example.org"]}, {"url": f"smtp://localhost:{free_port()}"}, {"ca_file": self.stranger[0]}):
            told, _ = self.mail(FAILED, **wrong)
            self.assertNotIn("unsure", told)

    # --- messages ---

    def broker(self, authority=None):
        folder = tempfile.mkdtemp(dir=self.folder)
        broker = Broker(folder, authority)
        self.addCleanup(broker.stop)
        return broker, {"kind": "message", "host": "localhost", "port": broker.port, "topic": "garden/round", "client": "tubgrove1",
                        "user": broker.name, "secret_file": self.secret(broker.password)}

    def test_a_message_is_kept_by_the_broker(self):
        broker, message = self.broker()
        told, _ = self.send(DONE, {**message, "body": '{"id": "ä"}\n'})
        self.assertEqual(told["status"], 0)
        self.assertEqual(broker.kept("garden/round"), (1, '{"id": "ä"}\n'.encode()))
        told, _ = self.send(FAILED, {**message, "secret_file": self.secret("guess", 0o640)})
        self.assertIn("authori", told["error"].lower())
        broker.stop()
        told, _ = self.send(FAILED, {**message, "body": "x"})
        self.assertIn("refused", told["error"].lower())
        self.assertNotIn("unsure", told)

    def test_a_long_message_to_a_broker_with_tls(self):
        broker, message = self.broker(self.authority)
        message.update(tls=True, ca_file=self.authority[0], body="x" * 300_000)
        self.send(DONE, message)
        self.assertEqual(broker.kept("garden/round"), (1, b"x" * 300_000))
        told, _ = self.send(FAILED, {**message, "ca_file": self.stranger[0]})
        self.assertNotIn("unsure", told)

    def test_a_broker_that_says_nothing(self):
        with socket.create_server(("localhost", 0)) as mute:
            told, _ = self.send(FAILED, {"kind": "message", "host": "localhost", "port": mute.getsockname()[1], "topic": "t", "client": "c",
                                         "body": "x", "seconds": 1})
        self.assertEqual(told["error"], "the broker does not answer")
        self.assertNotIn("unsure", told)

    # --- no errand ---

    def test_what_is_no_errand_is_told(self):
        fetch = {"kind": "fetch", "url": "https://localhost/"}
        letter = {"kind": "mail", "url": "smtp://localhost", "from": "a@b", "to": ["c@d"], "id": "x@y"}
        for errand, words in [
            ("", "not JSON"), ("[]", "one JSON object"), ({}, "kind is missing"), ({"kind": "walk", "url": "x"}, "fetch, post, mail or message"),
            ({"kind": "message", "host": "h", "topic": "a/#", "client": "c"}, "free of + and #"),
            ({"kind": "message", "topic": "a", "client": "c"}, "host is missing"),
            ({"kind": "fetch"}, "url is missing"), ({**fetch, "url": "file:///etc/passwd"}, "must begin with https://, not file"),
            ({**fetch, "url": "https://x/\r\nHost: y"}, "one line"), ({**fetch, "seconds": 0}, "from 1 to 600"),
            ({**fetch, "bytes_max": "many"}, "whole number"), ({**fetch, "headers": ["A: b\r\nC: d"]}, "one line"),
            ({**fetch, "etga": "x"}, "unknown key etga"), ({**fetch, "kind": "post", "key_id": "k"}, "secret_file is missing"),
            ({**letter, "to": []}, "to is missing"), ({**letter, "subject": "a\nBcc: everyone@x"}, "one line"),
            ({**letter, "url": "https://x"}, "must begin with smtps://"), ({**letter, "plain_allowed": 1}, "true or false"),
            ({**letter, "from": "Hügel <gärtner@example.org>"}, "plain letters"), ({**letter, "to": ["nobody"]}, "plain letters"),
            ({**letter, "id": "ä@y"}, "without brackets"), ({**letter, "from": "a\tb <a@b>"}, "one line"),
            ({**fetch, "secret_file": self.secret("open", 0o644)}, "others may read this secret"),
            ({**fetch, "secret_file": self.secret("", 0o600)}, "no secret stands"),
            ({**fetch, "secret_file": "/nowhere"}, "cannot be read"),
        ]:
            with self.subTest(errand=errand):
                told, _ = self.send(NO_ERRAND, errand)
                self.assertIn(words, told["error"])


if __name__ == "__main__":
    unittest.main()
