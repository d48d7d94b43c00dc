#!/usr/bin/env python3
"""The service from outside: the same bytes as the command line, writes that are written once, and doors that hold.

usage: serve_test.py PROGRAM [unittest's own words].
"""
import concurrent.futures
import datetime
import http.client
import json
import os
import random
import re
import signal
import socket
import stat
import subprocess
import threading
import time
import unittest
import zoneinfo

import command_garden
from command_garden import PROGRAM, ZONE, InAFolder, hourly_weather
from serve_garden import AT, Answer, Service

PHONE = "name: phone"


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class SameBytes(InAFolder):
    def test_reads_are_what_the_command_line_prints(self):
        garden = self.garden()
        with Service(garden) as service:
            for path, words in [("/api/v1/round", ["round"]), ("/api/v1/round?walk=morning", ["round", "--walk", "morning"]),
                                ("/api/v1/round?day=today", ["round", "--day", "today"]), ("/api/v1/why/7", ["why", "7"]),
                                ("/api/v1/pots", ["pot", "list"]), ("/api/v1/pots?retired=yes", ["pot", "list", "--retired"]),
                                ("/api/v1/pots/lemon", ["pot", "show", "lemon"]), ("/api/v1/daybook", ["daybook"]),
                                ("/api/v1/daybook?pot=7&from=2026-07-01&to=2026-07-14",
                                 ["daybook", "--pot", "7", "--from", "2026-07-01", "--to", "2026-07-14"]),
                                ("/api/v1/weather", ["weather", "show"]), ("/api/v1/words", ["words"]),
                                ("/api/v1/water/7?from=2026-07-10", ["water", "7", "--from", "2026-07-10"]),
                                ("/api/v1/weather?from=2026-07-10&to=2026-07-12",
                                 ["weather", "show", "--from", "2026-07-10", "--to", "2026-07-12"])]:
                answer = service.get(path)
                self.assertEqual(answer.status, 200, answer.body)
                self.assertEqual(answer.headers["content-type"], "application/json")
                self.assertEqual(answer.body.decode(), garden.run("--json", *words, at=AT).stdout, path)

    def test_a_read_may_look_at_another_moment(self):
        garden = self.garden()
        garden.run("round", at="2026-07-14")
        with Service(garden, at="2026-07-16") as service:
            answer = service.get("/api/v1/round?at=2026-07-14")
            self.assertEqual(answer.body.decode(), garden.run("--json", "round", at="2026-07-14").stdout)
            answer = service.get("/api/v1/pots/7?at=2026-07-14T12:00:00%2B02:00&hindsight=yes")
            self.assertEqual(answer.body.decode(),
                             garden.run("--json", "--hindsight", "pot", "show", "7", at="2026-07-14T12:00:00" + ZONE).stdout)

    def test_writes_answer_as_the_command_line_does(self):
        spoken, sent = self.garden("spoken"), self.garden("sent")
        spoken.run("round", at=AT)
        sent.run("round", at=AT)
        yaml = "pots:\n  - {id: q1, bay: south-wall, container: {size: 30 L}, trees: [{id: a, species: apple}]}\n"
        spoken.write("body", yaml)
        csv = spoken.write("more.csv", hourly_weather(14, 14))
        with open(csv, encoding="utf-8") as file:
            weather = file.read() + "nonsense,1,2,3,4,5\n"
        spoken.write("more.csv", weather)
        writes = [
            (["did", "7", "8", "watered", "2,5L", "--note", "after the wind", "--when", "05:30"], "/api/v1/entries",
             {"words": ["7", "8", "watered", "2,5L"], "note": "after the wind", "when": "05:30"}),
            (["did", "round", "all"], "/api/v1/entries", {"words": ["round", "all"]}),
            (["did", "7", "felt", "dry", "--by", "Ana"], "/api/v1/entries", {"words": ["7", "felt", "dry"], "by": "Ana"}),
            (["strike", "4", "--note", "that was pot 8"], "/api/v1/entries/4/strike", {"note": "that was pot 8"}),
            (["pot", "add", "12", "bay=south-wall", "container.size=40L", "tree.a.species=apple"], "/api/v1/pots",
             {"id": "12", "facts": ["bay=south-wall", "container.size=40L", "tree.a.species=apple"]}),
            (["pot", "change", "7", "tree.a.leaves=dense", "--since", "2026-07-10"], "/api/v1/pots/7/change",
             {"facts": ["tree.a.leaves=dense"], "since": "2026-07-10"}),
            (["pot", "retire", "8", "--because", "given away"], "/api/v1/pots/8/retire", {"because": "given away"}),
            (["weather", "note", "max=31degC", "min=17degC", "--day", "today"], "/api/v1/weather/notes",
             {"words": ["max=31degC", "min=17degC"], "day": "today"}),
            (["clock", "confirm"], "/api/v1/clock/confirm", {}),
        ]
        with Service(sent) as service:
            for number, (words, path, fields) in enumerate(writes):
                said = spoken.run("--json", *words, at=AT)
                answer = service.post(path, fields, f"key-{number}")
                self.assertIn(answer.status, (200, 201), (words, answer.body, said.stderr))
                self.assertEqual(answer.body.decode(), said.stdout, words)
            said = spoken.run("--json", "pot", "take", "body", "--apply", at=AT).stdout
            answer = service.post("/api/v1/pots/take?apply=yes", yaml, "take", Content_Type="application/yaml")
            self.assertEqual((answer.status, answer.body.decode()), (200, said))
            said = spoken.run("--json", "weather", "add", "more.csv", "--source", "roof", at=AT).stdout
            answer = service.post("/api/v1/weather/readings?source=roof", weather, "more", Content_Type="text/csv")
            self.assertEqual((answer.status, answer.body.decode().replace("body:", "more.csv:")), (200, said))
            for path, words in [("/api/v1/daybook", ["daybook"]), ("/api/v1/round", ["round"])]:
                self.assertEqual(service.get(path).body.decode(), spoken.run("--json", *words, at=AT).stdout)

    def test_a_daybook_is_taken_as_the_command_line_takes_it(self):
        land = self.garden()
        self.check_done(land.run("export", at=AT))
        with open(os.path.join(land.folder, "tubgrove-daybook.csv"), encoding="utf-8") as file:
            book = file.read()
        spoken, sent = (command_garden.Garden(os.path.join(self.place, name)) for name in ("spoken", "sent"))
        for fresh in (spoken, sent):
            os.makedirs(fresh.folder)
            with open(land.configuration, encoding="utf-8") as file:
                fresh.write("tubgrove.yaml", file.read())
        spoken.write("body", book)
        with Service(sent) as service:
            for words, query in [((), ""), (("--apply",), "?apply=yes")]:
                said = spoken.run("--json", "daybook", "take", "body", *words, at=AT)
                answer = service.post("/api/v1/daybook/take" + query, book, "take" + query, Content_Type="text/csv")
                self.assertEqual((answer.status, answer.body.decode()), (200, said.stdout), said.stderr)
            self.assertEqual(service.get("/api/v1/daybook").body.decode(), land.run("--json", "daybook", at=AT).stdout)

    def test_what_the_command_line_writes_beside_it_is_seen(self):
        garden = self.garden()
        with Service(garden) as service:
            before = service.get("/api/v1/daybook")
            self.check_done(garden.run("did", "7", "watered", "16L", at=AT))
            after = service.get("/api/v1/daybook")
            self.assertNotEqual(before.headers["etag"], after.headers["etag"])
            self.assertIn(b"watered", after.body)
            self.assertEqual(service.get("/api/v1/round").body.decode(), garden.run("--json", "round", at=AT).stdout)

    def test_an_answer_that_was_just_given_is_not_given_after_a_write(self):
        garden = self.garden()
        with Service(garden) as service:  # its clock stands still, so that only what is written makes an answer old
            for number in range(12):
                before = service.get("/api/v1/daybook").body
                self.assertEqual(service.get("/api/v1/daybook").body, before)
                if number % 2:
                    self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "noted", f"write {number}"]}, f"n{number}").status, 201)
                else:
                    self.check_done(garden.run("did", "7", "noted", f"write {number}", at=AT))
                self.assertIn(f"write {number}".encode(), service.get("/api/v1/daybook").body)
            self.assertEqual(service.get("/api/v1/daybook").body.decode(), garden.run("--json", "daybook", at=AT).stdout)

    def test_a_tag_saves_the_sending(self):
        with Service(self.garden()) as service:
            for path in ("/", "/api/v1/round", "/api/v1/pots", "/api/v1/openapi.json"):
                first = service.get(path)
                again = service.get(path, If_None_Match=first.headers["etag"])
                self.assertEqual((again.status, again.body), (304, b""))
                head = service.ask("HEAD", path)
                self.assertEqual((head.status, head.body, head.headers["content-length"]), (200, b"", str(len(first.body))))


class Once(InAFolder):
    def count(self, garden, at=AT):
        return len(json.loads(garden.run("--json", "daybook", at=at).stdout)["entries"])

    def test_a_double_send_is_one_entry_also_after_a_restart(self):
        garden = self.garden()
        before = self.count(garden)
        with Service(garden) as service:
            first = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "k1")
            again = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "k1")
            self.assertEqual((first.status, again.status, first.body), (201, 201, again.body))
        with Service(garden) as service:
            again = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "\"k1\"")
            self.assertEqual(again.body, first.body)
            other = service.post("/api/v1/entries", {"words": ["7", "watered", "3L"]}, "k1")
            self.assertEqual(other.status, 422)
            self.assertIn("another request", other.json()["detail"])
            other = service.post("/api/v1/clock/confirm", {}, "k1")
            self.assertEqual(other.status, 422)
        self.assertEqual(self.count(garden), before + 1)

    def test_a_refused_write_leaves_its_key_free_and_writes_nothing(self):
        garden = self.garden()
        before = self.count(garden)
        with Service(garden) as service:
            for words in [["7", "watered", "2gal"], ["99", "watered", "2L"], ["7", "felt", "damp"], []]:
                refused = service.post("/api/v1/entries", {"words": words}, "k2")
                self.assertEqual(refused.status, 422, refused.body)
            self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "watered", "2L"], "when": "noon"}, "k2").status, 422)
            self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "k2").status, 201)
        self.assertEqual(self.count(garden), before + 1)

    def test_many_at_once_with_one_key_write_once(self):
        garden = self.garden()
        before = self.count(garden)
        with Service(garden) as service, concurrent.futures.ThreadPoolExecutor(8) as pool:
            answers = list(pool.map(lambda _: service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "k3"), range(24)))
        self.assertEqual({answer.status for answer in answers}, {201})
        self.assertEqual(len({answer.body for answer in answers}), 1)
        self.assertEqual(self.count(garden), before + 1)

    def test_killed_at_random_moments_no_entry_is_lost_or_doubled(self):
        garden = self.garden()
        chance = random.Random(20260714)
        writes, kills = 300, 8
        moments = sorted(chance.sample(range(10, writes - 10), kills))
        service = Service(garden)
        line = http.client.HTTPConnection(service.host, service.port, timeout=20)
        acknowledged, killed, number = [], 0, 0
        while number < writes:
            if moments and number >= moments[0]:
                moments.pop(0)
                killed += 1
                threading.Timer(chance.uniform(0, 0.012), service.process.kill).start()
            try:
                answer = service.post("/api/v1/entries", {"words": ["7", "noted", f"write {number}"]}, f"w{number}", line)
                self.assertEqual(answer.status, 201, answer.body)
                acknowledged.append(number)
                number += 1
            except (OSError, http.client.HTTPException):
                service.kill()
                service = Service(garden)
                line = http.client.HTTPConnection(service.host, service.port, timeout=20)
        if service.process.poll() is None:
            service.stop()
        self.assertEqual(killed, kills)
        book = json.loads(garden.run("--json", "daybook", at=AT).stdout)["entries"]
        noted = [entry["values"]["text"] for entry in book if entry["action"] == "noted"]
        self.assertEqual(noted, [f"write {number}" for number in range(writes)])
        self.assertEqual(acknowledged, list(range(writes)))


class Held(InAFolder):
    """Doors that hold against whoever knocks."""

    def setUp(self):
        super().setUp()
        self.service = Service(self.garden())
        self.addCleanup(self.service.stop)

    def status(self, data, wait=10):
        got = self.service.raw(data, wait)
        return int(got.split(b" ", 2)[1]) if got.startswith(b"HTTP/1.1 ") else got

    def test_bytes_that_are_no_request(self):
        host = b"Host: localhost\r\n"
        for data, wanted in [
                (b"hello\r\n\r\n", 400), (b"GET\r\n\r\n", 400), (b"GET /health\r\n\r\n", 400), (b"\x16\x03\x01\x02\x00\x01\x00", 400),
                (b"GET /health HTTP/2.0\r\n" + host + b"\r\n", 505), (b"GET /health HTTP/1.1\r\nHost : localhost\r\n\r\n", 400),
                (b"GET /health HTTP/1.1\r\n" + host + b"Bad\x01Name: x\r\n\r\n", 400),
                (b"GET /health HTTP/1.1\r\n\r\n", 400), (b"GET /health HTTP/1.1\r\n" + host + host + b"\r\n", 400),
                (b"GET /health HTTP/1.1\r\n" + host + b"X: " + b"a" * 9000 + b"\r\n\r\n", 431),
                (b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\n" + host + b"\r\n", 431),
                (b"GET /" + b"a" * 4000 + b" HTTP/1.1\r\n" + host + b"\r\n", 414),
                (b"POST /api/v1/entries HTTP/1.1\r\n" + host + b"Content-Length: x\r\n\r\n", 400),
                (b"POST /api/v1/entries HTTP/1.1\r\n" + host + b"Content-Length: -1\r\n\r\n", 400),
                (b"POST /api/v1/entries HTTP/1.1\r\n" + host + b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n", 400),
                (b"POST /api/v1/entries HTTP/1.1\r\n" + host + b"Content-Type: application/json\r\nIdempotency-Key: a\r\n"
                 b"Transfer-Encoding: chunked\r\n\r\nzz\r\n", 400),
                (b"BREW /health HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n", 405),
                (b"GET /health HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n", 200)]:
            self.assertEqual(self.status(data), wanted, data[:80])

    def test_bodies_longer_than_they_may_be_are_told_so(self):
        head = (b"POST /api/v1/entries HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nIdempotency-Key: a\r\n")
        big = b"x" * (200 * 1024)
        self.assertEqual(self.status(head + b"Content-Length: %d\r\n\r\n" % len(big) + big), 413)
        self.assertEqual(self.status(head + b"Transfer-Encoding: chunked\r\n\r\n" + b"%x\r\n" % len(big) + big + b"\r\n0\r\n\r\n"), 413)
        weather = head.replace(b"application/json", b"text/csv").replace(b"/entries", b"/weather/readings?source=roof")
        big = b"x" * (1024 * 1024 + 1)
        self.assertEqual(self.status(weather + b"Content-Length: %d\r\n\r\n" % len(big) + big), 413)
        refused = head.replace(b"localhost", b"foreign.example") + b"Content-Length: %d\r\n\r\n" % len(big) + big
        self.assertEqual(self.status(refused), 421)

    def test_an_asker_may_wait_for_leave_to_send(self):
        body = json.dumps({"words": ["7", "felt", "dry"]}).encode()
        with self.service.connect() as line:
            line.sendall(b"POST /api/v1/entries HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                         b"Idempotency-Key: e1\r\nExpect: 100-continue\r\nConnection: close\r\nContent-Length: %d\r\n\r\n" % len(body))
            self.assertTrue(line.recv(4096).startswith(b"HTTP/1.1 100"))
            line.sendall(body)
            self.assertTrue(line.recv(65536).startswith(b"HTTP/1.1 201"))

    def test_several_requests_on_one_connection_are_answered_in_order(self):
        one = b"GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n"
        got = self.service.raw(one + one.replace(b"/health", b"/api/v1/me") + one.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n"))
        self.assertEqual(got.count(b"HTTP/1.1 200"), 3)
        self.assertLess(got.index(b'"status"'), got.index(b'"token"'))

    def test_who_never_finishes_is_let_go_and_keeps_nobody_waiting(self):
        def stalled(data):
            began = time.monotonic()
            return self.service.raw(data, 60), time.monotonic() - began

        head = b"POST /api/v1/entries HTTP/1.1\r\nHost: localhost\r\n"
        began = [b"GET /health HTTP/1.1\r\nHos", head, b"G"] * 10
        before = self.memory()
        with concurrent.futures.ThreadPoolExecutor(len(began)) as pool:
            waiting = [pool.submit(stalled, data) for data in began]
            for _ in range(20):
                asked = time.monotonic()
                self.assertEqual(self.service.get("/health").status, 200)
                self.assertLess(time.monotonic() - asked, 5)
            self.assertLess(self.memory() - before, 8 * 1024)
            for one in waiting:
                got, seconds = one.result()
                self.assertEqual(got, b"")
                self.assertLess(seconds, 25)
                self.assertGreater(seconds, 8)

    def memory(self):
        with open(f"/proc/{self.service.process.pid}/status", encoding="ascii") as file:
            return int(re.search(r"VmRSS:\s+(\d+) kB", file.read()).group(1))

    def test_more_connections_than_there_is_room_for_wait_their_turn(self):
        lines = [self.service.connect() for _ in range(80)]
        for line in lines:
            line.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
        for line in lines:
            self.assertTrue(line.recv(4096).startswith(b"HTTP/1.1 200"))
            line.close()

    def test_nothing_of_a_foreign_page_comes_in(self):
        for headers in ({"Host": "rebound.example"}, {"Origin": "https://foreign.example"}, {"Sec-Fetch-Site": "cross-site"},
                        {"X-Forwarded-For": "203.0.113.9"}, {"Authorization": "Bearer wrong"}):
            answer = self.service.ask("GET", "/api/v1/round", headers=headers)
            self.assertIn(answer.status, (401, 403, 421), headers)
            self.assertEqual(answer.headers["content-type"], "application/problem+json")
            self.assertEqual(answer.json()["status"], answer.status)
            for name in ("access-control-allow-origin", "set-cookie"):
                self.assertNotIn(name, answer.headers)

    def test_the_page_is_careful(self):
        page = self.service.get("/")
        self.assertEqual(page.headers["content-type"], "text/html; charset=utf-8")
        self.assertIn("default-src 'self'", page.headers["content-security-policy"])
        self.assertEqual(page.headers["x-content-type-options"], "nosniff")
        self.assertIn("no-cache", page.headers["cache-control"])
        self.assertEqual(self.service.get("/tubgrove.db").status, 404)


class Pairing(InAFolder):
    DOORS = "{listen: ['127.0.0.1:0'], this_machine: token}"

    def test_a_phone_is_let_in_once_by_a_code_and_can_be_ended(self):
        garden = self.garden()
        now = subprocess.run(["date", "+%F"], capture_output=True, text=True, check=True, env={"TZ": "Europe/Budapest", "PATH": os.environ["PATH"]})
        with Service(garden, doors=self.DOORS) as service:
            self.assertEqual(service.get("/api/v1/round").status, 401)
            offer = garden.run("--json", "pair", "--name", "Ana", "--until", now.stdout.strip())
            code = json.loads(offer.stdout)["code"]
            self.assertEqual(service.ask("POST", "/api/v1/pairings", '{"code": "0000-0000"}', {"Content-Type": "application/json"}).status, 403)
            paired = service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": "application/json"})
            self.assertEqual(paired.status, 201, paired.body)
            again = service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": "application/json"})
            self.assertEqual(again.status, 403)
            token = "Bearer " + paired.json()["token"]
            self.assertEqual(service.get("/api/v1/round", Authorization=token).status, 200)
            self.assertEqual(service.get("/api/v1/me", Authorization=token).json(), {"name": "Ana", "token": 1, "until": paired.json()["until"], "looks_back_at": None})
            self.assertRegex(paired.json()["until"], r"T00:00:00\+0[12]:00$")  # the end of the last day
            visit = service.get("/api/v1/visit?to=2026-07-20", Authorization=token)  # what her phone shows
            self.assertEqual((visit.status, visit.json()["returns"][:10]), (200, "2026-07-21"))
            wrote = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "p1", Authorization=token)
            self.assertEqual(wrote.json()["entries"][0]["by"], "Ana")
            refused = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"], "by": "Ben"}, "p2", Authorization=token)
            self.assertEqual(refused.status, 403)
            listed = json.loads(garden.run("--json", "pair", "list").stdout)["tokens"]
            self.assertEqual([(one["number"], one["name"]) for one in listed], [(1, "Ana")])
            self.assertIn("Ana", self.check_done(garden.run("pair", "list")))
            self.check_done(garden.run("pair", "end", "Ana"))
            self.assertEqual(service.get("/api/v1/round", Authorization=token).status, 401)
            self.check_refused(garden.run("pair", "end", "Ana"), "no phone 'Ana' is let in")
        mode = os.stat(os.path.join(garden.data, "tubgrove-tokens")).st_mode
        self.assertEqual(stat.S_IMODE(mode), 0o600)

    def test_weather_that_somebody_sends_carries_the_name(self):
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            def let_in(name):
                code = json.loads(garden.run("--json", "pair", "--name", name).stdout)["code"]
                return "Bearer " + service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": "application/json"}).json()["token"]
            ana, ben = let_in("Ana"), let_in("Ben")
            note = lambda key, who, *words: self.assertEqual(service.post("/api/v1/weather/notes", {"words": list(words), "day": "2026-07-13"}, key, Authorization=who).status, 201)
            note("n1", ben, "max=31degC", "min=17degC")
            note("n2", ben, "max=31degC")   # says nothing new
            note("n3", ana, "max=31degC")   # nor does this, whoever says it
            note("n4", ana, "rain=3mm")
            rows = "day,wind_speed:mean [m s-1]\n2026-07-12,2.5\n"
            self.assertEqual(service.ask("POST", "/api/v1/weather/readings?source=roof", rows, {"Content-Type": "text/csv", "Idempotency-Key": "r1", "Authorization": ana}).status, 200)
            shown = service.get("/api/v1/weather", Authorization=ana)
            self.assertEqual({day["day"]: day["by"] for day in shown.json()["days"] if day["by"]}, {"2026-07-12": ["Ana"], "2026-07-13": ["Ben", "Ana"]})
            self.assertEqual(shown.body.decode(), garden.run("--json", "weather", "show", at=AT).stdout)
        said = self.check_done(garden.run("weather", "show", at=AT))
        self.assertIn("Sent by Ana: 2026-07-12, 2026-07-13.", said)
        self.assertIn("Sent by Ben: 2026-07-13.", said)

    def test_a_reading_about_midnight_is_of_the_day_of_its_middle_for_whoever_asks(self):
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            code = json.loads(garden.run("--json", "pair", "--name", "Ana").stdout)["code"]
            ana = "Bearer " + service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": "application/json"}).json()["token"]
            for key, minute in (("r1", "15"), ("r2", "45")):   # an hour each, most of it before midnight and after
                day = {"r1": "2026-07-11", "r2": "2026-07-13"}[key]
                rows = f"time,wind_speed:mean [m s-1]\n{day}T00:{minute}:00{ZONE},2.5\n"
                self.assertEqual(service.ask("POST", "/api/v1/weather/readings?source=roof", rows, {"Content-Type": "text/csv", "Idempotency-Key": key, "Authorization": ana}).status, 200)
        for span, days in (((), ["2026-07-10", "2026-07-13"]), (("--from", "2026-07-11"), ["2026-07-13"]), (("--to", "2026-07-12"), ["2026-07-10"])):
            shown = json.loads(self.check_done(garden.run("--json", "weather", "show", *span, at=AT)))
            self.assertEqual([day["day"] for day in shown["days"] if day["by"]], days)
            self.assertIn("Sent by Ana: " + ", ".join(days) + ".", self.check_done(garden.run("weather", "show", *span, at=AT)))

    def test_who_guesses_is_made_to_wait(self):
        with Service(self.garden(), doors=self.DOORS) as service:
            statuses = [service.get("/api/v1/round", Authorization=f"Bearer guess{number}").status for number in range(14)]
            self.assertEqual(statuses[:10], [401] * 10)
            self.assertEqual(statuses[-1], 429)
            waiting = service.ask("POST", "/api/v1/pairings", '{"code": "0000-0000"}', {"Content-Type": "application/json"})
            self.assertEqual(waiting.status, 429)
            self.assertGreater(int(waiting.headers["retry-after"]), 0)
            self.assertEqual(service.get("/health").status, 200)

    def test_wrong_words_of_pair(self):
        garden = self.garden()
        self.check_refused(garden.run("pair", "--until", "2020-01-01"), "that day has passed")
        self.check_refused(garden.run("pair", "--name", "a\tb"), "is no name")
        self.check_refused(garden.run("pair", "--name", " "), "nobody is named", "--name Ana")
        # A helper's entries carry their name, so that they are told from the gardener's and may be struck by whoever wrote them.
        day = lambda days: str(datetime.datetime.now(zoneinfo.ZoneInfo("Europe/Budapest")).date() + datetime.timedelta(days=days))
        self.check_refused(garden.run("pair", "--until", day(30)), "is a helper's and needs a name", "pair --name Ana --until " + day(30))
        self.check_refused(garden.run("pair", "end", "3"), "no phone '3' is let in")
        self.assertIn("No phone is let in", self.check_done(garden.run("pair", "list")))
        # Not further than a visit is worked out: beyond, such a phone would show a refusal and nothing else. Its last day is that of the return.
        self.check_refused(garden.run("pair", "--name", "Ana", "--until", day(92)), "too far ahead", "a day up to " + day(91))
        self.check_refused(garden.run("pair", "--name", "Ana", "--until", "2127-01-01"), "too far ahead")
        self.assertEqual(garden.run("pair", "--name", "Ana", "--until", day(91)).returncode, command_garden.DONE)
        self.assertEqual(garden.run("pair", "--calendar", "--name", "Ana", "--until", day(400)).returncode, command_garden.DONE)
        self.assertEqual(garden.run("visit", day(90)).returncode, command_garden.DONE)
        self.check_refused(garden.run("visit", day(91)), "too far ahead")


class Life(InAFolder):
    def test_systemd_is_told_when_the_doors_are_open(self):
        garden = self.garden()
        path = os.path.join(self.place, "notify")
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as inbox:
            inbox.bind(path)
            inbox.settimeout(20)
            with Service(garden, NOTIFY_SOCKET=path, WATCHDOG_USEC="400000") as service:
                self.assertEqual(inbox.recv(4096), b"READY=1")
                self.assertEqual(service.get("/health").status, 200)
                self.assertEqual(inbox.recv(4096), b"WATCHDOG=1")
                service.process.send_signal(signal.SIGTERM)
                self.assertEqual(service.stop(), 0)
            told = []
            inbox.settimeout(0.2)
            try:
                while True:
                    told.append(inbox.recv(4096))
            except OSError:
                pass
            self.assertIn(b"STOPPING=1", told)

    def test_a_bad_new_configuration_is_told_and_not_taken(self):
        garden = self.garden()
        with Service(garden) as service:
            with open(garden.configuration, encoding="utf-8") as file:
                good = file.read()
            garden.write("tubgrove.yaml", good.replace("latitude: 47.9", "latitude: 147.9"))
            service.process.send_signal(signal.SIGHUP)
            service.until_told("not in order")
            self.assertIn("tubgrove.yaml:", service.until_told("latitude"))
            self.assertEqual(service.get("/api/v1/pots").status, 200)
            self.assertEqual(service.get("/api/v1/round?recompute=yes").json()["site"], "Lark Terrace")
            garden.write("tubgrove.yaml", good.replace("Lark Terrace", "Lark Yard"))
            service.process.send_signal(signal.SIGHUP)
            service.until_told("was read again")
            self.assertEqual(service.get("/api/v1/round?recompute=yes").json()["site"], "Lark Yard")

    def test_a_door_that_does_not_open_ends_the_start(self):
        with Service(self.garden("one")) as service:
            other = self.garden("two")
            with open(other.configuration, "a", encoding="utf-8") as file:
                file.write(f"doors: {{listen: ['{service.doors[0]}']}}\n")
            result = other.run("serve")
            self.assertEqual(result.returncode, command_garden.FAULT)
            self.assertIn(f"the door {service.doors[0]} does not open", result.stderr)
        result = self.empty.run("serve")
        self.check_refused(result, "there is no configuration at")

    def test_a_socket_in_the_file_system_is_for_a_proxy(self):
        garden = self.garden()
        path = os.path.join(self.place, "door")
        with socket.socket(socket.AF_UNIX) as left:  # as a service that was cut off leaves it
            left.bind(path)
        with Service(garden, doors=f"{{listen: ['127.0.0.1:0'], socket: {path}, names: [terrace.lan]}}") as service:
            self.assertEqual(stat.S_IMODE(os.stat(path).st_mode), 0o660)

            def ask(request):
                with socket.socket(socket.AF_UNIX) as line:
                    line.connect(path)
                    line.sendall(request)
                    return line.recv(65536)

            close = b"Connection: close\r\n\r\n"
            self.assertTrue(ask(b"GET /api/v1/round HTTP/1.1\r\nHost: terrace.lan\r\n" + close).startswith(b"HTTP/1.1 401"))
            self.assertTrue(ask(b"GET /health HTTP/1.1\r\nHost: terrace.lan\r\n" + close).startswith(b"HTTP/1.1 200"))
            self.assertTrue(ask(b"GET /health HTTP/1.1\r\nHost: other.lan\r\n" + close).startswith(b"HTTP/1.1 421"))
            result = garden.run("serve")
            self.assertEqual(result.returncode, command_garden.FAULT)
            self.assertIn("is open already", result.stderr)
        self.assertFalse(os.path.exists(path))

    def test_what_is_at_work_ends_before_the_service_does(self):
        garden = self.garden()
        service = Service(garden)
        with service.connect() as idle, concurrent.futures.ThreadPoolExecutor(1) as pool:
            asked = pool.submit(service.get, "/api/v1/round")
            time.sleep(0.05)
            self.assertEqual(service.stop(), 0)
            try:
                self.assertEqual(asked.result().status, 200)
            except (OSError, http.client.HTTPException):
                self.fail("an answer that was being worked out was cut off")
            self.assertEqual(idle.recv(10), b"")


if __name__ == "__main__":
    unittest.main()
