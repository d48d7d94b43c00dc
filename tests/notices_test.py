#!/usr/bin/python3
"""Lists that are told: by mail, signed post and a topic that keeps them, to real peers on this machine; and what may go wrong on the
way: peers that are away, hang, refuse, and a service that is ended or killed while a list is handed over.

usage: notices_test.py PROGRAM NODE NODE_MODULES [unittest's own words]. Without node modules (-) signatures are not checked.
"""
import base64
import datetime
import email
import email.policy
import hashlib
import http.server
import json
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
import unittest
import zoneinfo

NODE, NODE_MODULES = sys.argv[2:4]
del sys.argv[2:4]

import command_garden
from command_garden import InAFolder
from peers import free_port, make_authority, server_context
from post_office import Broker, Letters, Secured
from serve_garden import Service

HERE = os.path.dirname(os.path.abspath(__file__))
ZONE = zoneinfo.ZoneInfo("Europe/Budapest")


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Posts(http.server.BaseHTTPRequestHandler):
    """Keeps each post; what it answers, and how late, stands in its path: /500, /slow/2."""
    protocol_version = "HTTP/1.1"

    def log_message(self, *_):
        pass

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.seen.append((self.path, dict(self.headers), body))
        if self.path.startswith("/slow/"):
            time.sleep(float(self.path.split("/")[2]))
        try:
            self.send_response(int(self.path[1:]) if self.path[1:].isdigit() else 204)
            self.send_header("Content-Length", "0")
            self.end_headers()
        except OSError:
            pass


class Telling(InAFolder):
    def setUp(self):
        super().setUp()
        self.authority = make_authority(self.place, "ours")
        self.day = datetime.datetime.now(ZONE).strftime("%Y-%m-%d")
        self.round = self.day + "-morning"
        self.services = []

    def tearDown(self):
        for service in self.services:
            service.stop()
        super().tearDown()

    # --- peers ---

    def secret(self, name, text):
        path = os.path.join(self.place, name + ".secret")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text + "\n")
        os.chmod(path, 0o600)
        return path

    def post_office(self, letters=None, port=None):
        office = Secured(letters or Letters(), server_context(self.authority), port or free_port())
        office.start()
        self.addCleanup(office.stop)
        return office

    def web(self):
        server = http.server.ThreadingHTTPServer(("localhost", 0), Posts)
        server.daemon_threads = True
        server.seen = []
        server.socket = server_context(self.authority).wrap_socket(server.socket, server_side=True)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        self.addCleanup(server.server_close)
        self.addCleanup(server.shutdown)
        return server

    def broker(self):
        folder = os.path.join(self.place, "broker")
        os.makedirs(folder)
        broker = Broker(folder)
        self.addCleanup(broker.stop)
        return broker

    def mute(self):
        """Takes connections and never says a word."""
        server = socket.create_server(("localhost", 0), backlog=20)
        self.addCleanup(server.close)
        return server.getsockname()[1]

    # --- the garden ---

    def mail(self, port, name="ana", to=("ana@example.org",), **more):
        return ("mail", {"name": name, "server": f"smtp://localhost:{port}", "user": "garden", "secret_file": self.secret("mail", "spade and fork"),
                         "ca_file": self.authority[0], "from": "Lark Terrace <pots@example.org>", "to": list(to), "when": "always", **more})

    def hook(self, server, path="/hook", name="hook", **more):
        return ("webhook", {"name": name, "url": f"https://localhost:{server.server_port}{path}", "key_id": "terrace",
                            "secret_file": self.secret("key", "a key that both know"), "ca_file": self.authority[0], **more})

    def topic(self, broker, name="display", **more):
        return ("broker", {"name": name, "host": "localhost", "port": broker.port, "topic": "garden/round", "user": broker.name,
                           "secret_file": self.secret("broker", broker.password), **more})

    def configure(self, garden, *channels, quiet=None, evening="no"):
        notices = {} if quiet is None else {"quiet": {"from": quiet[0], "to": quiet[1]}}
        for kind, channel in channels:
            notices.setdefault(kind, []).append(channel)
        with open(garden.configuration, encoding="utf-8") as file:
            text = re.sub(r"(?m)^(walks|notices):.*\n([ -].*\n)*", "", file.read())
        # Its hour has come whenever the test runs, and no other walk follows.
        text += f"walks: {{morning: '00:00', issue_before: 0 h, evening: {evening}}}\nnotices: {json.dumps(notices)}\n"
        garden.write("tubgrove.yaml", text)

    def serve(self, garden):
        service = Service(garden, at=None)
        self.services.append(service)
        return service

    def channels(self, service):
        return {one["name"]: one for one in service.get("/api/v1/channels").json()["channels"]}

    def until(self, check, seconds=25, every=0.1):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = check()
            if found:
                return found
            time.sleep(every)
        self.fail("it did not come to it")

    def tellings(self, garden):
        book = sqlite3.connect(f"file:{garden.data}/tubgrove.db?mode=ro", uri=True)
        try:
            return {(channel, name): state for channel, name, state in book.execute("SELECT channel, round, state FROM tellings")}
        finally:
            book.close()

    def stays(self, count, wanted, seconds=1.5):
        time.sleep(seconds)
        self.assertEqual(count(), wanted)


class Told(Telling):
    def test_a_mail_says_what_the_list_says_and_comes_once(self):
        garden, letters = self.garden(), Letters()
        self.configure(garden, self.mail(self.post_office(letters).port, to=["ana@example.org", "ben@example.org"]))
        service = self.serve(garden)
        self.until(lambda: len(letters.taken) == 2)
        shown = service.get("/api/v1/round").json()
        letter = email.message_from_bytes(letters.taken[0][2], policy=email.policy.default)
        self.assertEqual(sorted(to for _, to, _ in letters.taken), [["ana@example.org"], ["ben@example.org"]])
        self.assertNotIn("ben@example.org", str(letter) if letters.taken[0][1] == ["ana@example.org"] else "")
        self.assertTrue(letter["Subject"].startswith("Morning: "))
        text = letter.get_content().replace("\r\n", "\n")
        for line in shown["pours"]:
            self.assertRegex(text, rf"(?m)^- {line['pot']}\b.*: {line['pour_l']:g} L")
        for job in shown["jobs"]:
            self.assertIn(job["title"][1:], text)
            self.assertTrue(all(caution in text for caution in job["caution"]))
        self.until(lambda: all(not one["waiting"] and one["told"] == 1 for one in self.channels(service).values()))
        self.assertEqual(set(self.tellings(garden).values()), {"told"})
        service.process.send_signal(signal.SIGHUP)
        service.until_told("was read again")
        self.assertEqual(service.stop(), 0)
        self.serve(garden)
        self.stays(lambda: len(letters.taken), 2)

    def test_a_post_is_signed_so_that_another_library_agrees(self):
        garden, web = self.garden(), self.web()
        self.configure(garden, self.hook(web))
        service = self.serve(garden)
        self.until(lambda: web.seen)
        path, headers, body = web.seen[0]
        self.assertEqual(body.decode(), garden.run("--json", "round").stdout)
        digest = base64.b64encode(hashlib.sha256(body).digest()).decode()
        self.assertEqual(headers["Content-Digest"], f"sha-256=:{digest}:")  # RFC 9530 2
        if NODE_MODULES == "-":
            self.skipTest("no node modules")
        asked = {"method": "POST", "url": f"https://localhost:{web.server_port}{path}", "headers": headers, "key_id": "terrace", "key": "a key that both know"}

        def verified(**changed):
            ran = subprocess.run([NODE, os.path.join(HERE, "verify_signature.mjs"), NODE_MODULES], input=json.dumps({**asked, **changed}),
                                 capture_output=True, text=True, timeout=60, check=True)
            return ran.stdout.strip()

        self.assertEqual(verified(), "true")
        self.assertNotEqual(verified(key="another key"), "true")
        self.assertNotEqual(verified(url=asked["url"] + "x"), "true")
        self.assertNotEqual(verified(method="PUT"), "true")
        self.assertNotEqual(verified(headers={**headers, "Content-Digest": "sha-256=:AAAA:"}), "true")
        self.assertNotEqual(verified(key_id="other"), "true")
        self.until(lambda: self.channels(service)["hook"]["told"] == 1)
        self.stays(lambda: len(web.seen), 1, 0.5)

    def test_a_topic_keeps_the_list_for_whoever_comes_later(self):
        garden, broker = self.garden(), self.broker()
        self.configure(garden, self.topic(broker))
        service = self.serve(garden)
        self.until(lambda: self.channels(service)["display"]["told"] == 1)
        kept, body = broker.kept("garden/round")
        self.assertEqual((kept, body.rstrip(b"\n")), (1, garden.run("--json", "round").stdout.encode().rstrip(b"\n")))
        # A revision is told too, since the topic shows how things stand.
        garden.run("pot", "add", "12", "bay=south-wall", "container.size=40L", "tree.a.species=apple", "tree.a.planted=2024-03-01")
        revised = service.get("/api/v1/round").json()
        self.assertEqual(revised["id"], self.round + ".2")
        self.until(lambda: self.channels(service)["display"]["told"] == 2)
        self.assertEqual(json.loads(broker.kept("garden/round")[1])["id"], revised["id"])

    def test_a_topic_shows_what_another_program_revised(self):
        garden, broker = self.garden(), self.broker()
        self.configure(garden, self.topic(broker))
        service = self.serve(garden)
        self.until(lambda: self.channels(service)["display"]["told"] == 1)
        time.sleep(1.5)  # so that nothing of the start is left to be looked at
        for number in (2, 3):
            garden.run("pot", "add", str(10 + number), "bay=south-wall", "container.size=40L", "tree.a.species=apple", "tree.a.planted=2024-03-01")
            self.check_done(garden.run("round"))
            # Nobody asks the service for a list.
            self.until(lambda: json.loads(broker.kept("garden/round")[1])["id"] == f"{self.round}.{number}", seconds=8)
        self.until(lambda: self.channels(service)["display"]["told"] == 3)
        # What is no list is no message.
        self.check_done(garden.run("did", "7", "felt", "moist"))
        self.stays(lambda: self.channels(service)["display"]["told"], 3, 2)

    def test_a_list_that_asks_for_nothing_is_no_mail(self):
        garden, letters, web = self.garden(), Letters(), self.web()
        for pot in ("7", "8", "lemon"):
            garden.run("did", pot, "watered", "20L")
        self.configure(garden, self.mail(self.post_office(letters).port, when="needed"), self.hook(web, when="always"))
        service = self.serve(garden)
        self.until(lambda: web.seen)
        shown = json.loads(web.seen[0][2])
        asks = bool(shown["pours"] or shown["jobs"] or [one for one in shown["notices"] if one["severity"] != "note"])
        self.until(lambda: not self.channels(service)["ana"]["waiting"])
        self.stays(lambda: len(letters.taken), int(asks))


class Faults(Telling):
    def test_a_mail_server_that_is_away_and_comes_back_after_a_restart(self):
        garden, letters, port = self.garden(), Letters(), free_port()
        self.configure(garden, self.mail(port))
        service = self.serve(garden)
        service.until_told("a list was not told: channel=ana")
        state = self.channels(service)["ana"]
        self.assertTrue(state["failing"])
        self.assertEqual(state["waiting"], self.round)
        self.assertIn("onnect", state["error"])
        self.until(lambda: self.channels(service)["ana"]["next"])
        self.assertIn(b'tubgrove_channel_failing{channel="ana",way="mail"} 1\n', service.get("/metrics").body)
        self.assertEqual(service.stop(), 0)
        self.assertEqual(self.tellings(garden), {("ana", self.round): "waiting"})
        self.post_office(letters, port)
        service = self.serve(garden)
        self.until(lambda: letters.taken)
        self.until(lambda: self.tellings(garden) == {("ana", self.round): "told"})
        self.stays(lambda: len(letters.taken), 1)

    def test_a_broker_that_is_away_and_comes_back(self):
        garden, broker = self.garden(), self.broker()
        broker.stop()
        self.configure(garden, self.topic(broker))
        service = self.serve(garden)
        service.until_told("a list was not told: channel=display")
        broker.start()
        service.process.send_signal(signal.SIGHUP)  # what waits is tried at once
        self.until(lambda: self.channels(service)["display"]["told"] == 1)
        self.assertFalse(self.channels(service)["display"]["failing"])
        self.assertEqual(json.loads(broker.kept("garden/round")[1])["id"], self.round)

    def test_by_itself_it_tries_again_within_a_minute_and_a_half(self):
        garden, letters = self.garden(), Letters()
        full = {"left": 1}
        taken = letters.handle_DATA

        async def first_full(server, session, envelope):
            if full["left"]:
                full["left"] -= 1
                return "452 the box is full"
            return await taken(server, session, envelope)

        letters.handle_DATA = first_full
        self.configure(garden, self.mail(self.post_office(letters).port))
        service = self.serve(garden)
        service.until_told("a list was not told: channel=ana")
        self.assertIn("452", service.lines[-1])
        begun = time.monotonic()
        self.until(lambda: letters.taken, seconds=90, every=0.5)
        self.assertGreater(time.monotonic() - begun, 40)
        self.until(lambda: self.tellings(garden) == {("ana", self.round): "told"})

    def test_a_kill_after_handing_over_tells_nothing_twice(self):
        garden, web = self.garden(), self.web()
        self.configure(garden, self.hook(web, "/slow/3"))
        service = Service(garden, at=None)
        self.until(lambda: web.seen)
        service.kill()
        self.assertEqual(self.tellings(garden), {("hook", self.round): "going"})
        again = self.serve(garden)
        again.until_told("so it is not sent again: channel=hook")
        self.assertEqual(self.tellings(garden), {("hook", self.round): "unsure"})
        self.stays(lambda: len(web.seen), 1, 4)

    def test_kills_at_many_moments_tell_nothing_twice(self):
        garden, web, letters = self.garden(), self.web(), Letters()
        self.configure(garden, self.hook(web), self.mail(self.post_office(letters).port))
        garden.run("round")  # so that the telling begins at once
        for wait in (0.0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.15, 0.2):
            service = Service(garden, at=None)
            time.sleep(wait)
            service.kill()
        service = self.serve(garden)
        self.until(lambda: all(state in ("told", "unsure") for state in self.tellings(garden).values()))
        for channel, came in (("hook", len(web.seen)), ("ana", len(letters.taken))):
            state = self.tellings(garden)[(channel, self.round)]
            self.assertLessEqual(came, 1, channel)
            if state == "told":
                self.assertEqual(came, 1, channel)

    def test_an_orderly_end_waits_for_what_is_under_way(self):
        garden, web = self.garden(), self.web()
        self.configure(garden, self.hook(web, "/slow/1.5"))
        service = Service(garden, at=None)
        self.until(lambda: web.seen)
        self.assertEqual(service.stop(), 0)
        self.assertEqual(self.tellings(garden), {("hook", self.round): "told"})

    def test_what_hangs_or_fails_holds_up_nothing_else(self):
        garden, web, letters, broker = self.garden(), self.web(), Letters(), self.broker()
        hanging = [self.mail(self.mute(), name=f"mute{number}") for number in range(4)]
        office = self.post_office(letters)
        self.configure(garden, *hanging, self.hook(web, "/500", name="broken"), self.hook(web, "/404", name="gone"),
                       self.mail(office.port, to=["full@example.org", "ana@example.org"]), self.hook(web), self.topic(broker))
        garden.run("round")
        begun = time.monotonic()
        service = self.serve(garden)
        self.until(lambda: all(self.channels(service)[name]["told"] == 1 for name in ("hook", "display", "ana/ana@example.org")), seconds=15)
        self.assertLess(time.monotonic() - begun, 15)
        states = self.channels(service)
        self.until(lambda: all(self.channels(service)[name]["failing"] for name in ("gone", "broken", "ana/full@example.org")))
        states = self.channels(service)
        self.assertEqual(states["broken"]["error"], "the server answered 500")
        self.assertEqual(states["gone"]["error"], "the server answered 404")
        self.assertIn("452", states["ana/full@example.org"]["error"])
        self.assertEqual([states[f"mute{number}"]["told"] for number in range(4)], [0] * 4)
        self.assertEqual(service.get("/health").status, 200)

    def test_quiet_hours_are_kept_and_end(self):
        now = datetime.datetime.now(ZONE)
        end = (now + datetime.timedelta(seconds=65)).replace(second=0, microsecond=0)
        begin = (now - datetime.timedelta(hours=1)).strftime("%H:%M")
        garden, web = self.garden(), self.web()
        self.configure(garden, self.hook(web, name="quiet"), self.hook(web, "/loud", name="loud", quiet=False), quiet=(begin, end.strftime("%H:%M")))
        service = self.serve(garden)
        self.until(lambda: web.seen)
        self.assertEqual([path for path, _, _ in web.seen], ["/loud"])
        state = self.channels(service)["quiet"]
        self.assertEqual((state["waiting"], state["failing"]), (self.round, False))
        self.assertEqual(datetime.datetime.fromisoformat(state["next"]), end)
        self.until(lambda: len(web.seen) == 2, seconds=80, every=0.2)
        self.assertGreaterEqual(datetime.datetime.now(ZONE), end)
        self.assertEqual(web.seen[1][0], "/hook")

    def test_a_list_of_yesterday_is_told_no_more(self):
        garden, port = self.garden(), free_port()
        self.configure(garden, self.mail(port))
        service = self.serve(garden)
        service.until_told("a list was not told: channel=ana")
        service.stop()
        book = sqlite3.connect(os.path.join(garden.data, "tubgrove.db"))
        book.execute("UPDATE tellings SET round = '2026-07-14-morning'")
        book.commit()
        book.close()
        letters = Letters()
        self.post_office(letters, port)
        service = self.serve(garden)
        self.assertIn("round=2026-07-14-morning", service.until_told("its time is over: channel=ana"))
        self.until(lambda: letters.taken)
        self.assertEqual(self.tellings(garden), {("ana", "2026-07-14-morning"): "given-up", ("ana", self.round): "told"})

    def test_a_secret_that_others_may_read_is_not_used(self):
        garden, letters = self.garden(), Letters()
        channel = self.mail(self.post_office(letters).port)
        os.chmod(channel[1]["secret_file"], 0o644)
        self.configure(garden, channel)
        service = self.serve(garden)
        self.assertIn("others may read this secret", service.until_told("a list was not told"))
        self.assertEqual(letters.taken, [])
        self.assertNotIn("spade", "".join(service.lines))


if __name__ == "__main__":
    unittest.main()
