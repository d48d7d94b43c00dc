#!/usr/bin/env python3
"""Clients that never read, never finish, or come in crowds: memory and connections stay bounded, others are served, and all are let go.

usage: serve_clients_test.py PROGRAM LIBFAKETIME [unittest's own words]. The service's time runs ten times as fast.
"""
import concurrent.futures
import os
import re
import socket
import sys
import time
import unittest

FAKETIME = sys.argv.pop(2)

import command_garden
from command_garden import InAFolder, hourly_weather
from peers import until
from serve_garden import AT, Service

RATE = 10
CONNECTIONS, SHARE = 64, 48  # at once, and from this machine; http.hpp says so


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Clients(InAFolder):
    def setUp(self):
        super().setUp()
        self.land = self.garden()
        # A daybook whose answer is larger than what a socket holds.
        self.note = "n" * 900
        with Service(self.land) as service:
            for number in range(600):
                answer = service.post("/api/v1/entries", {"words": ["7", "noted", f"write {number}"], "note": self.note}, f"w{number}")
                assert answer.status == 201, answer.body
            self.large = len(service.get("/api/v1/daybook").body)
        assert self.large > 500_000
        self.service = Service(self.land, LD_PRELOAD=FAKETIME, FAKETIME=f"+0 x{RATE}", NO_FAKE_STAT="1")
        self.addCleanup(self.service.stop)

    def resident_kb(self):
        with open(f"/proc/{self.service.process.pid}/status", encoding="ascii") as file:
            return int(re.search(r"VmRSS:\s+(\d+) kB", file.read())[1])

    def descriptors(self):
        return len(os.listdir(f"/proc/{self.service.process.pid}/fd"))

    def asks(self, path, times=1):
        line = socket.socket()
        self.addCleanup(line.close)
        line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        line.settimeout(60)
        line.connect((self.service.host, self.service.port))
        line.sendall(f"GET {path} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode() * times)
        return line

    def served(self, within_s=5):
        began = time.monotonic()
        self.assertEqual(self.service.get("/").status, 200)
        self.assertLess(time.monotonic() - began, within_s)

    def test_who_never_reads_costs_little_and_is_let_go(self):
        self.assertEqual(len(self.service.get("/api/v1/daybook").body), self.large)
        before_kb, before_fd = self.resident_kb(), self.descriptors()
        lines = [self.asks("/api/v1/daybook", times=3) for _ in range(32)]
        began = time.monotonic()
        most_kb = 0
        while time.monotonic() - began < 2:
            self.served()
            most_kb = max(most_kb, self.resident_kb())
            time.sleep(0.1)
        # What a reader has not taken yet waits in memory once; a row of requests is answered one by one.
        self.assertLess(most_kb - before_kb, 32 * 1.5 * self.large / 1024 + 4096)
        until(lambda: self.descriptors() <= before_fd, 120 / RATE, lambda: f"{self.descriptors() - before_fd} connections are left")
        self.assertLess((time.monotonic() - began) * RATE, 100)
        self.served()
        for line in lines:
            line.close()
        self.assertEqual(len(self.service.get("/api/v1/daybook").body), self.large)

    def test_who_reads_slowly_but_reads_is_served_whole(self):
        with self.asks("/api/v1/daybook") as line:
            got = b""
            while len(got) < self.large:
                part = line.recv(64 * 1024)
                if not part:
                    break
                got += part
                time.sleep(0.01)
            self.assertGreaterEqual(len(got), self.large)

    def test_who_sends_a_letter_at_a_time_is_let_go(self):
        """By a bound on the whole, not by a bound on each letter."""
        head = b"POST /api/v1/entries HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nIdempotency-Key: a\r\nContent-Length: 5000\r\n\r\n"
        for begin, most_s in [(b"GET /health HTTP/1.1\r\nHost: localhost\r\nX-Long: ", 10), (head, 30)]:
            with self.service.connect() as line:
                line.sendall(begin)
                line.setblocking(False)
                began, got, ended = time.monotonic(), b"", False
                while not ended and time.monotonic() - began < 20:
                    try:
                        line.send(b"a")
                        part = line.recv(4096)
                        got += part
                        ended = not part
                    except BlockingIOError:
                        pass
                    except OSError:
                        ended = True
                    time.sleep(0.05)
                passed_s = (time.monotonic() - began) * RATE
                self.assertTrue(ended)
                self.assertGreater(passed_s, most_s - 2)
                self.assertLess(passed_s, most_s + 30)
                self.assertEqual(got, b"")

    def test_a_crowd_from_one_place_holds_up_nobody(self):
        """What has been silent for two seconds gives way to whoever comes next."""
        # By the true clock: under a fast one a timer that is due at once may never ring, and here nothing else wakes the loop.
        self.service.stop()
        self.service = Service(self.land)
        self.addCleanup(self.service.stop)
        before_kb, before_fd = self.resident_kb(), self.descriptors()
        began = time.monotonic()
        lines = []
        for _ in range(2 * CONNECTIONS):  # as many as are let in, and as many again whom the system keeps waiting
            lines.append(self.service.connect())
            self.addCleanup(lines[-1].close)
        until(lambda: self.descriptors() - before_fd >= CONNECTIONS - 1)
        # Two rounds of two seconds, and as much again for a busy machine. Without the rule it would be ten seconds, when who has asked
        # nothing yet is let go anyway.
        self.served(within_s=8)
        self.assertEqual(self.service.get("/health").status, 200)
        self.assertLess(time.monotonic() - began, 9.5)
        self.assertLessEqual(self.descriptors() - before_fd, CONNECTIONS + 1)
        self.assertLess(self.resident_kb() - before_kb, 8 * 1024)
        lines[0].settimeout(1)
        self.assertEqual(lines[0].recv(1), b"")  # the first that came was the first to go
        self.service.until_told(f"this machine has {SHARE} connections or more at once")
        # Who says nothing from the first is let go after ten seconds.
        until(lambda: self.descriptors() <= before_fd + 1, 20)
        self.assertLess(time.monotonic() - began, 20)

    def test_a_new_connection_may_be_silent_for_ten_seconds(self):
        for asked, most_s in ((b"", 10), (b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", 30)):
            with self.service.connect() as line:
                line.sendall(asked)
                began = time.monotonic()
                while line.recv(65536):
                    pass
                passed_s = (time.monotonic() - began) * RATE
                self.assertGreater(passed_s, most_s - 2)
                self.assertLess(passed_s, most_s + 15)

    def test_a_thousand_that_come_and_go_leave_nothing(self):
        def once(number):
            with self.service.connect() as line:
                line.sendall([b"GET /health HTTP/1.1\r\n", b"", b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", b"\x00" * 100][number % 4])
        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            list(pool.map(once, range(400)))
            until(lambda: self.descriptors() < 40, 20)
            before_kb = self.resident_kb()
            list(pool.map(once, range(1000)))
        until(lambda: self.descriptors() < 40, 20)
        self.served()
        self.assertLess(self.resident_kb() - before_kb, 2048)


class TwoDoors(InAFolder):
    """A house that is full at two doors at once, by the true clock."""

    def setUp(self):
        super().setUp()
        self.door = os.path.join(self.place, "door")
        self.service = Service(self.garden(), doors=f"{{listen: ['127.0.0.1:0'], socket: {self.door}}}")
        self.addCleanup(self.service.stop)
        self.idle_fd = self.descriptors()

    def descriptors(self):
        return len(os.listdir(f"/proc/{self.service.process.pid}/fd"))

    def come(self, by_file):
        line = socket.socket(socket.AF_UNIX if by_file else socket.AF_INET)
        self.addCleanup(line.close)
        line.settimeout(20)
        line.connect(self.door if by_file else (self.service.host, self.service.port))
        return line

    def work_s(self):
        """What processors did for the service."""
        with open(f"/proc/{self.service.process.pid}/stat", encoding="ascii") as file:
            user, system = file.read().rsplit(")", 1)[1].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")

    def sleeps(self):
        """How often a thread of it went to sleep, and so was woken."""
        total = 0
        for task in os.listdir(f"/proc/{self.service.process.pid}/task"):
            with open(f"/proc/{self.service.process.pid}/task/{task}/status", encoding="ascii") as file:
                total += int(re.search(r"\nvoluntary_ctxt_switches:\s+(\d+)", file.read())[1])
        return total

    def test_a_full_house_sleeps_and_gives_each_door_what_becomes_free(self):
        inside = [self.come(by_file=number % 2 == 0) for number in range(CONNECTIONS - 1)]
        until(lambda: self.descriptors() - self.idle_fd == CONNECTIONS - 1)
        # The last one at each door: whichever comes in first, the other door's is the one too many that a door holds in its hand.
        inside += [self.come(by_file=False), self.come(by_file=True)]
        until(lambda: self.descriptors() - self.idle_fd == CONNECTIONS + 1)
        outside = [self.come(by_file=False), self.come(by_file=True)]
        for line in outside:
            line.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
        time.sleep(2.5)  # its benches have come to rest
        self.assertEqual(self.descriptors() - self.idle_fd, CONNECTIONS + 1)
        worked_s, slept = self.work_s(), self.sleeps()
        time.sleep(2)
        self.assertLess(self.work_s() - worked_s, 0.2)
        self.assertLessEqual(self.sleeps() - slept, 4)
        # One that goes leaves the house full; with the next ones there is room at both doors.
        for line in inside[:4]:
            line.close()
        for line in outside:
            self.assertTrue(line.recv(4096).startswith(b"HTTP/1.1 200 "))
        slept = self.sleeps()
        time.sleep(1)
        self.assertLessEqual(self.sleeps() - slept, 20)

    def test_a_full_house_of_silent_ones_is_empty_soon(self):
        """Where nobody has all of a share, others wait ten seconds, and the keeper is told."""
        for number in range(CONNECTIONS + 10):
            self.come(by_file=number % 2 == 0)
        until(lambda: self.descriptors() - self.idle_fd >= CONNECTIONS)
        began = time.monotonic()
        self.assertEqual(self.service.get("/health").status, 200)
        self.assertGreater(time.monotonic() - began, 5)
        self.assertLess(time.monotonic() - began, 15)
        self.service.until_told(f"all {CONNECTIONS} connections are taken")


if __name__ == "__main__":
    unittest.main()
