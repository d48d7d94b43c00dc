#!/usr/bin/env python3
"""Requests that the running service must refuse, byte by byte over its sockets, with real tokens: each is told why, and nothing changes.

usage: serve_refusals_test.py PROGRAM [unittest's own words]. The same judging as a plain function is in door_test.cpp.
"""
import http.client
import json
import os
import re
import socket
import subprocess
import unittest

import command_garden
from command_garden import InAFolder
from serve_garden import Service


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


ENTRY = json.dumps({"words": ["7", "watered", "2L"]})
JSON = "application/json"
# (what it is, status, method, path, headers, body). GOOD, ENDED, PASSED and HELPER stand for tokens; None takes a header away.
GOOD, ENDED, PASSED, HELPER = "Bearer GOOD", "Bearer ENDED", "Bearer PASSED", "Bearer HELPER"
HELPS = {"Authorization": HELPER}
READ, WRITE = ("GET", "/api/v1/round"), ("POST", "/api/v1/entries")
FORM = "application/x-www-form-urlencoded"
# What stands under `did` and is no part of a visit.
GARDENERS = [["8", "repotted", "container.size=5L", "medium=peat"], ["7", "died"], ["7", "moved", "south-wall"], ["7", "pruned", "20%"], ["7", "mulched", "4cm"],
             ["7", "weighed-drained", "12kg"], ["7", "answered", "partner"], ["7", "shaded", "cloth"], ["7", "stage", "full-bloom"]]
# As README says: what a visit does, what was noticed, and the answer for the whole visit's list.
VISITS = [["7", "watered", "2L"], ["7", "ran-through", "2L"], ["7", "felt", "dry"], ["7", "weighed", "9kg"], ["7", "drained", "0.4L"], ["7", "wilted"],
          ["7", "saw", "blight"], ["7", "noted", "a wasp's nest"], ["round", "some"]]
REFUSED = [
    ("no token, reading", 401, *READ, {"Authorization": None}, None),
    ("no token, writing", 401, *WRITE, {"Authorization": None}, ENTRY),
    ("no token, how weather comes in", 401, "GET", "/api/v1/sources", {"Authorization": None}, None),
    ("no token, who am I", 401, "GET", "/api/v1/me", {"Authorization": None}, None),
    ("a token that was ended", 401, *READ, {"Authorization": ENDED}, None),
    ("a helper's token after its last day", 401, *READ, {"Authorization": PASSED}, None),
    ("a good token with a letter more", 401, *READ, {"Authorization": GOOD + "x"}, None),
    ("a good token as a password", 401, *READ, {"Authorization": "Basic R09PRA=="}, None),
    ("a good token in a cookie", 401, *READ, {"Authorization": None, "Cookie": "token=GOOD"}, None),
    ("a good token in the path", 401, "GET", "/api/v1/round?token=GOOD", {"Authorization": None}, None),
    ("a foreign host", 421, *READ, {"Host": "rebound.example"}, None),
    ("a foreign host for the page", 421, "GET", "/", {"Host": "rebound.example"}, None),
    ("no host", 400, *READ, {"Host": None}, None),
    ("a foreign origin, reading", 403, *READ, {"Origin": "https://foreign.example"}, None),
    ("a foreign origin, writing", 403, *WRITE, {"Origin": "https://foreign.example"}, ENTRY),
    ("a page from a file", 403, *WRITE, {"Origin": "null"}, ENTRY),
    ("a picture in a foreign page", 403, *READ, {"Sec-Fetch-Site": "cross-site"}, None),
    ("a foreign page that asks beforehand", 403, "OPTIONS", "/api/v1/entries", {"Origin": "https://foreign.example", "Access-Control-Request-Method": "POST"}, None),
    ("a form", 415, *WRITE, {"Content-Type": FORM}, "words=7"),
    ("a plain text", 415, *WRITE, {"Content-Type": "text/plain"}, ENTRY),
    ("no type", 415, *WRITE, {"Content-Type": None}, ENTRY),
    ("a packed body", 415, *WRITE, {"Content-Encoding": "gzip"}, ENTRY),
    ("a garden file as JSON", 415, "POST", "/api/v1/pots/take", {}, "{}"),
    ("a write without a key", 400, *WRITE, {"Idempotency-Key": None}, ENTRY),
    ("a key of blanks", 400, *WRITE, {"Idempotency-Key": "a b"}, ENTRY),
    ("a body that is too long", 413, *WRITE, {}, "x" * (64 * 1024 + 1)),
    ("a body that says it is too long", 413, *WRITE, {"Content-Length": "99999999999"}, None),
    ("a path that is too long", 414, "GET", "/" + "a" * 3000, {}, None),
    ("a head that is too long", 431, *READ, {"X-Long": "a" * 9000}, None),
    ("a step up", 400, "GET", "/api/v1/../../tubgrove.db", {}, None),
    ("a hidden step up", 400, "GET", "/%2e%2e/%2e%2e/etc/passwd", {}, None),
    ("a hidden slash", 404, "GET", "/..%2fetc%2fpasswd", {}, None),
    ("a step to nowhere", 400, "GET", "//etc/passwd", {}, None),
    ("a byte of zero", 400, "GET", "/api/v1/pots/7%00", {}, None),
    ("bytes that are no letters", 400, "GET", "/api/v1/pots/%c0%ae", {}, None),
    ("the store itself", 404, "GET", "/tubgrove.db", {}, None),
    ("the file of tokens", 404, "GET", "/tubgrove-tokens", {}, None),
    ("a pot of a path", 400, "GET", "/api/v1/pots/..", {}, None),
    ("an unknown query", 400, "GET", "/api/v1/round?secret=1", {}, None),
    ("an unknown field", 400, *WRITE, {}, json.dumps({"words": ["7", "watered", "2L"], "clock": "phone"})),
    ("a field of another kind", 400, *WRITE, {}, json.dumps({"words": "7 watered 2L"})),
    ("a very deep body", 400, *WRITE, {}, '{"words":' + "[" * 20000),
    ("a field that is given twice", 400, *WRITE, {}, '{"words": ["7", "watered", "2L"], "words": ["8", "watered", "9L"]}'),
    ("more words than anybody writes", 400, *WRITE, {}, json.dumps({"words": ["7"] * 1001})),
    ("a control character", 400, *WRITE, {}, json.dumps({"words": ["7", "noted", "a\x07b"]})),
    ("half a body's JSON", 400, *WRITE, {}, ENTRY[:-3]),
    ("bytes that are no text", 400, *WRITE, {}, b'{"words":["7","noted","\xff\xfe"]}'),
    ("somebody else's name", 403, *WRITE, {}, json.dumps({"words": ["7", "watered", "2L"], "by": "Ben"})),
    ("a helper who writes as somebody else", 403, *WRITE, HELPS, json.dumps({"words": ["7", "watered", "2L"], "by": "Ana"})),
    ("a helper who strikes the gardener's entry", 403, "POST", "/api/v1/entries/1/strike", HELPS, "{}"),
    ("a helper who strikes somebody else's entry", 403, "POST", "/api/v1/entries/CONFIRMED/strike", HELPS, "{}"),
    *((f"a helper who writes: {words[1]}", 403, *WRITE, HELPS, json.dumps({"words": words})) for words in GARDENERS),
    ("a helper who would make an address for a calendar", 403, "POST", "/api/v1/calendars", {**HELPS, "Idempotency-Key": None}, "{}"),
    ("a helper who adds a pot", 403, "POST", "/api/v1/pots", HELPS, json.dumps({"id": "12", "facts": ["container.size=40L"]})),
    ("a helper who changes a pot", 403, "POST", "/api/v1/pots/7/change", HELPS, json.dumps({"facts": ["tree.a.leaves=dense"]})),
    ("a helper who retires a pot", 403, "POST", "/api/v1/pots/7/retire", HELPS, "{}"),
    ("a helper's garden file", 403, "POST", "/api/v1/pots/take?apply=yes", {**HELPS, "Content-Type": "application/yaml"}, "pots: []\n"),
    ("a helper's daybook", 403, "POST", "/api/v1/daybook/take?apply=yes", {**HELPS, "Content-Type": "text/csv"}, "id\n"),
    ("a helper's weather", 403, "POST", "/api/v1/weather/readings?source=roof", {**HELPS, "Content-Type": "text/csv"}, "day,rain\n"),
    ("a helper's weather by hand", 403, "POST", "/api/v1/weather/notes", HELPS, json.dumps({"words": ["max=31degC"]})),
    ("a helper who answers a job", 403, "POST", "/api/v1/jobs/7.weevil.2026/done", HELPS, "{}"),
    ("a helper who puts a job off", 403, "POST", "/api/v1/jobs/7.weevil.2026/wait", HELPS, json.dumps({"until": "2026-07-20"})),
    ("a helper who drops a job", 403, "POST", "/api/v1/jobs/7.weevil.2026/drop", HELPS, json.dumps({"because": "x"})),
    ("a helper who confirms the clock", 403, "POST", "/api/v1/clock/confirm", HELPS, "{}"),
    ("a code that nobody made", 403, "POST", "/api/v1/pairings", {"Authorization": None}, json.dumps({"code": "0000-0000"})),
    ("a code as a form", 415, "POST", "/api/v1/pairings", {"Authorization": None, "Content-Type": FORM}, "code=0000-0000"),
    ("a method that takes away", 405, "DELETE", "/api/v1/entries", {}, None),
    ("a method for proxies", 400, "CONNECT", "foreign.example:443", {}, None),
    ("another machine's address as path", 400, "GET", "http://foreign.example/", {}, None),
    ("a trace", 405, "TRACE", "/api/v1/round", {}, None),
]


class Refused(InAFolder):
    def setUp(self):
        super().setUp()
        self.land = self.garden()
        self.service = Service(self.land, doors="{listen: ['127.0.0.1:0'], this_machine: token, names: [terrace.lan]}")
        self.addCleanup(lambda: self.service.stop())
        self.tokens = {"GOOD": self.paired("Ana"), "ENDED": self.paired("Ben"), "PASSED": self.paired("Cleo", "--until", self.today()), "HELPER": self.paired("Dora", "--until", self.today())}
        self.check_done(self.land.run("pair", "end", "Ben"))

    def today(self):
        return subprocess.run(["date", "+%F"], capture_output=True, text=True, check=True, env={"TZ": "Europe/Budapest", "PATH": os.environ["PATH"]}).stdout.strip()

    def paired(self, name, *until):
        code = json.loads(self.land.run("--json", "pair", "--name", name, *until).stdout)["code"]
        answer = self.service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": JSON})
        self.assertEqual(answer.status, 201, answer.body)
        return answer.json()["token"]

    def let_a_day_pass(self):
        """The book of tokens as if Cleo's last day had been the first of 1970."""
        path = os.path.join(self.land.data, "tubgrove-tokens")
        with open(path, encoding="utf-8") as file:
            text = file.read()
        with open(path, "w", encoding="utf-8") as file:
            file.write(re.sub(r"(?m)^(token\t\d+\t\w+\t\S+\t)\S+(\tCleo)$", r"\g<1>1970-01-02T00:00:00Z\2", text))

    def filled(self, text):
        for name, token in self.tokens.items():
            text = text.replace(name, token)
        return text

    def send(self, method, path, headers, body):
        sent = {"Host": f"{self.service.host}:{self.service.port}", "Authorization": GOOD}
        if method == "POST":
            sent.update({"Content-Type": JSON, "Idempotency-Key": "k"})
        sent.update(headers)
        data = body.encode() if isinstance(body, str) else body
        if data is not None and "Content-Length" not in sent:
            sent["Content-Length"] = str(len(data))
        head = f"{method} {self.filled(path)} HTTP/1.1\r\n" + "".join(f"{name}: {self.filled(value)}\r\n" for name, value in sent.items() if value is not None) + "\r\n"
        with self.service.connect() as line:
            line.sendall(head.encode())
            try:
                line.sendall(data or b"")
            except OSError:
                pass  # it was refused while it came
            response = http.client.HTTPResponse(line, method=method)
            response.begin()
            return response.status, dict((name.lower(), value) for name, value in response.getheaders()), response.read()

    def books(self):
        with open(os.path.join(self.land.data, "tubgrove-tokens"), "rb") as file:
            return self.land.run("--json", "daybook", at="2026-07-14T12:00:00+02:00").stdout, file.read()

    def test_each_is_told_why_and_changes_nothing(self):
        self.assertGreaterEqual(len(REFUSED), 25)
        self.assertEqual(self.send(*READ, {}, None)[0], 200)
        self.assertEqual(self.send(*READ, {"Authorization": PASSED}, None)[0], 200)  # its day is not over
        confirmed = self.send("POST", "/api/v1/clock/confirm", {"Idempotency-Key": "first"}, "{}")
        self.assertEqual(confirmed[0], 201)
        self.tokens["CONFIRMED"] = str(json.loads(confirmed[2])["entries"][0]["id"])
        self.let_a_day_pass()
        before = self.books()
        for number, (says, status, method, path, headers, body) in enumerate(REFUSED):
            with self.subTest(says):
                if number % 8 == 0:
                    self.rested()
                got, told, words = self.send(method, path, headers, body)
                self.assertEqual(got, status, words[:300])
                self.assertEqual(told["content-type"], "application/problem+json")
                problem = json.loads(words)
                self.assertEqual(problem["status"], status)
                self.assertTrue(problem["detail"])
                for name in ("access-control-allow-origin", "set-cookie", "server"):
                    self.assertNotIn(name, told)
                for secret in (self.tokens["GOOD"], self.land.folder):
                    self.assertNotIn(secret, words.decode())
        self.rested()
        self.assertEqual(self.books(), before)
        self.assertEqual(self.send(*READ, {}, None)[0], 200)

    def test_every_write_carries_the_token_s_name(self):
        def write(path, body, key, **headers):
            status, _, words = self.send("POST", path, {"Idempotency-Key": key, **headers}, body)
            self.assertLess(status, 300, words)
            return json.loads(words)["entries"]
        good = [("/api/v1/clock/confirm", "{}"), ("/api/v1/pots/7/change", json.dumps({"facts": ["tree.a.leaves=dense"]})),
                ("/api/v1/pots", json.dumps({"id": "12", "facts": ["bay=south-wall", "container.size=40L", "tree.a.species=apple"]})),
                ("/api/v1/jobs/7.weevil.2026/wait", json.dumps({"until": "2026-07-20"})), ("/api/v1/jobs/lemon.weevil.2026/drop", json.dumps({"because": "a wall"})),
                ("/api/v1/pots/8/retire", "{}"), ("/api/v1/entries", ENTRY)]
        for number, (path, body) in enumerate(good):
            with self.subTest(path):
                self.assertEqual([e["by"] for e in write(path, body, f"g{number}")], ["Ana"])
        yaml = "pots:\n  - {id: q1, bay: south-wall, container: {size: 30 L}, trees: [{id: a, species: apple}]}\n"
        self.assertEqual([e["by"] for e in write("/api/v1/pots/take?apply=yes", yaml, "t", **{"Content-Type": "application/yaml"})], ["Ana"])
        own = write("/api/v1/entries", ENTRY, "h1", **HELPS)[0]
        self.assertEqual(own["by"], "Dora")
        self.assertEqual(self.send(*READ, {}, None)[0], 200)  # the list that is answered
        for number, words in enumerate(VISITS):
            self.assertEqual([e["by"] for e in write("/api/v1/entries", json.dumps({"words": words}), f"v{number}", **HELPS)], ["Dora"], words)
        struck = write(f"/api/v1/entries/{own['id']}/strike", "{}", "h2", **HELPS)[0]
        self.assertEqual((struck["by"], struck["strikes"]), ("Dora", own["id"]))

    def rested(self):
        """Wrong tokens are counted; a service that starts anew has forgotten them."""
        self.service.stop()
        self.service = Service(self.land, doors="{listen: ['127.0.0.1:0'], this_machine: token, names: [terrace.lan]}")


class Socket(InAFolder):
    def test_the_door_for_a_proxy_lets_nobody_in_without_a_token(self):
        garden = self.garden()
        path = os.path.join(self.place, "door")
        with Service(garden, doors=f"{{listen: ['127.0.0.1:0'], socket: {path}, names: [terrace.lan]}}"):
            for head, status in [("GET /api/v1/round HTTP/1.1\r\nHost: terrace.lan\r\n", 401), ("GET /api/v1/round HTTP/1.1\r\nHost: rebound.example\r\n", 421),
                                 ("GET /api/v1/round HTTP/1.1\r\nHost: terrace.lan\r\nX-Forwarded-For: 127.0.0.1\r\n", 401),
                                 ("GET /api/v1/round HTTP/1.1\r\nHost: localhost\r\n", 401)]:
                with socket.socket(socket.AF_UNIX) as line:
                    line.connect(path)
                    line.sendall(head.encode() + b"Connection: close\r\n\r\n")
                    self.assertTrue(line.recv(65536).startswith(f"HTTP/1.1 {status}".encode()), head)

    def test_nothing_else_listens(self):
        garden = self.garden()
        with Service(garden) as service:
            inodes = {os.readlink(f"/proc/{service.process.pid}/fd/{name}") for name in os.listdir(f"/proc/{service.process.pid}/fd")}
            listening = []
            for table in ("tcp", "tcp6", "udp", "udp6"):
                with open(f"/proc/{service.process.pid}/net/{table}", encoding="ascii") as file:
                    for row in file.read().splitlines()[1:]:
                        cells = row.split()
                        if f"socket:[{cells[9]}]" in inodes and (cells[3] == "0A" or table.startswith("udp")):
                            listening.append((table, cells[1]))
            self.assertEqual(listening, [("tcp", f"0100007F:{service.port:04X}")])


if __name__ == "__main__":
    unittest.main()
