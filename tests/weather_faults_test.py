#!/usr/bin/env python3
"""Peers that are slow, silent, wrong or away, and come back: the service waits longer each time, says what is wrong, and goes on.

usage: weather_faults_test.py PROGRAM MOSQUITTO LIBFAKETIME [unittest's own words]. The service's time runs thirty times as fast, so
that its minutes are seconds.
"""
import datetime
import os
import shutil
import signal
import sys
import time
import unittest

MOSQUITTO, FAKETIME = sys.argv.pop(2), sys.argv.pop(2)

import command_garden
from peers import MessageBroker, WebServer, make_authority, until
from weather_garden import WeatherGarden, hours, stored

RATE = 30
STRACE = shutil.which("strace")
START = 60  # seconds of that clock that starting a courier may take on a busy machine


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Faster(WeatherGarden):
    def serve_fast(self, land):
        return self.serve(land, LD_PRELOAD=FAKETIME, FAKETIME=f"+0 x{RATE}", NO_FAKE_STAT="1")

    def waits_s(self, state):
        """From the newest error to the next try."""
        return (datetime.datetime.fromisoformat(state.next) - datetime.datetime.fromisoformat(state.last_error)).total_seconds()


class Servers(Faster):
    def setUp(self):
        super().setUp()
        self.authority = make_authority(self.place, "ours")
        self.told = []  # what is answered in turn; the last one stays
        self.web = WebServer(self.authority, lambda path, headers: self.told.pop(0) if len(self.told) > 1 else self.told[0])
        self.addCleanup(self.web.close)
        self.good = (200, hours((3, 14.5, 0)).encode(), {})

    def source(self, more=""):
        return self.land({"roof": f"fetch: {{url: \"{self.web.base}/now.json\", every: 12 h, ca_file: {self.authority[0]}{more}}}"})

    def test_each_wait_is_about_twice_the_last_and_then_it_goes_on(self):
        self.told = [(503, b"later", {}), (500, b"", {}), (502, b"", {}), (200, b"no JSON", {}), self.good]
        land = self.source()
        service = self.serve_fast(land)
        state = self.until_state(service, lambda s: s.last_success, seconds=60)
        self.assertEqual((state.failing, len(self.web.seen)), (False, 5))
        self.assertIn("JSON", state.error)  # the newest trouble stays to be seen
        for number, plain in enumerate((60, 120, 240, 480)):
            gap_s = (self.web.seen[number + 1][0] - self.web.seen[number][0]) * RATE
            self.assertGreaterEqual(gap_s, plain * 0.75 - 1)
            self.assertLess(gap_s, plain * 1.25 + START)
        self.assertEqual(stored(land, "roof"), [(14.5, 0)])
        told = [line for line in self.lines_of(service) if "roof" in line]
        for words in ("answered 503", "answered 500", "answered 502", "weather comes again"):
            self.assertEqual(len([line for line in told if words in line]), 1, words)

    def lines_of(self, service):
        service.stop()
        return "".join(service.lines).splitlines()

    def test_what_will_not_change_soon_is_left_for_an_hour_and_a_wish_is_honoured(self):
        for answer, least_s, most_s, words in [((404, b"", {}), 3600, 4500, "404"), ((403, b"", {}), 3600, 4500, "403"),
                                               ((429, b"", {"Retry-After": "7200"}), 7200, 7200, "429"), ((503, b"", {"Retry-After": "600"}), 600, 600, "503")]:
            with self.subTest(answer):
                self.told = [answer]
                service = self.serve_fast(self.land({"roof": f"fetch: {{url: \"{self.web.base}/now.json\", ca_file: {self.authority[0]}}}"}, name=f"land{answer[0]}"))
                state = self.until_state(service, lambda s: s.next and s.last_error)
                self.assertIn(words, state.error)
                self.assertGreaterEqual(self.waits_s(state), least_s - 1)
                self.assertLessEqual(self.waits_s(state), most_s + 1)
                service.stop()

    def test_a_server_that_says_nothing_is_left_after_a_minute(self):
        self.told = [None, self.good]
        service = self.serve_fast(self.source())
        began = time.monotonic()
        state = self.until_state(service, lambda s: s.last_error)
        self.assertRegex(state.error, "(?i)timed out|no answer")
        self.assertGreater((time.monotonic() - began) * RATE, 50)
        self.assertLess((time.monotonic() - began) * RATE, 60 + 5 * START)
        self.assertEqual(service.get("/health").status, 200)
        self.assertFalse(self.until_state(service, lambda s: s.last_success).failing)

    def test_a_courier_at_work_does_not_hold_up_the_end(self):
        self.told = [None]
        service = self.serve_fast(self.source())
        until(lambda: self.web.seen)
        began = time.monotonic()
        self.assertEqual(service.stop(), 0)
        self.assertLess(time.monotonic() - began, 5)


class Brokers(Faster):
    def setUp(self):
        super().setUp()
        place = os.path.join(self.place, "broker")
        os.makedirs(place)
        rights = "user station\ntopic readwrite garden/#\n\nuser tub\ntopic read garden/#\n"
        self.broker = MessageBroker(MOSQUITTO, place, {"station": "rain", "tub": "spade"}, rights)
        self.addCleanup(self.broker.stop)
        self.ground = self.land({"roof": f"broker: {{host: localhost, port: {self.broker.port}, topic: garden/roof, user: tub, secret_file: {self.secret('spade')}}}"})

    def test_a_broker_that_ends_and_comes_back_twice(self):
        service = self.serve_fast(self.ground)
        self.until_state(service, lambda s: s.connected)
        for number, way in enumerate((signal.SIGTERM, signal.SIGKILL)):
            self.broker.publish("garden/roof", hours((9 - number, 10 + number, 0)))
            until(lambda: len(stored(self.ground, "roof")) == number + 1)
            time.sleep(1.5)  # the broker writes down once a second what it keeps
            self.broker.process.send_signal(way)
            self.broker.process.wait(20)
            state = self.until_state(service, lambda s: not s.connected)
            self.assertTrue(state.failing)
            self.assertIn("localhost:", state.error)
            self.assertGreaterEqual(self.waits_s(state), 44)
            self.assertEqual(service.get("/health").status, 200)
            self.broker.start()
            self.until_state(service, lambda s: s.connected, seconds=60)
        self.broker.publish("garden/roof", hours((7, 12, 0)))
        until(lambda: stored(self.ground, "roof") == [(10, 0), (11, 0), (12, 0)])
        self.assertFalse(self.state(service).failing)

    def test_a_broker_that_is_not_there_at_the_start(self):
        self.broker.stop()
        service = self.serve_fast(self.ground)
        state = self.until_state(service, lambda s: s.last_error)
        self.assertIn("refused", state.error)
        self.broker.start()
        self.until_state(service, lambda s: s.connected, seconds=60)

    def test_a_broker_that_falls_silent_is_noticed(self):
        service = self.serve_fast(self.ground)
        self.until_state(service, lambda s: s.connected)
        self.broker.process.send_signal(signal.SIGSTOP)
        try:
            began = time.monotonic()
            state = self.until_state(service, lambda s: not s.connected, seconds=60)
            self.assertLess((time.monotonic() - began) * RATE, 420)
            self.assertTrue(state.failing)
        finally:
            self.broker.process.send_signal(signal.SIGCONT)
        self.until_state(service, lambda s: s.connected, seconds=60)
        self.broker.publish("garden/roof", hours((7, 12, 0)))
        until(lambda: stored(self.ground, "roof") == [(12, 0)])


class OnAFullDisk(Faster):
    def test_nothing_is_acknowledged_or_moved_away_and_all_is_taken_when_there_is_room(self):
        place = os.path.join(self.place, "broker")
        os.makedirs(place)
        broker = MessageBroker(MOSQUITTO, place, {"tub": "spade"}, "user tub\ntopic readwrite garden/#\n")
        self.addCleanup(broker.stop)
        folder = os.path.join(self.place, "drop")
        os.makedirs(folder)
        land = self.land({"roof": f"broker: {{host: localhost, port: {broker.port}, topic: garden/roof, user: tub, secret_file: {self.secret('spade')}}}"},
                         f"drop_folder: {folder}\n")
        service = self.serve_fast(land)
        self.until_state(service, lambda s: s.connected, "roof")
        with service.failing(STRACE, "pwrite64:error=ENOSPC"):
            broker.publish("garden/roof", hours((3, 14.5, 0)))
            with open(os.path.join(folder, "roof-dropped.json"), "w", encoding="utf-8") as file:
                file.write(hours((2, 15.5, 0)))
            for name in ("roof", folder):
                self.assertIn("full", self.until_state(service, lambda s: s.failing, name).error)
            self.assertEqual(os.listdir(folder), ["roof-dropped.json"])
            self.assertNotIn("Received PUBACK", broker.told())
            self.assertEqual(stored(land, "roof"), [])
        until(lambda: stored(land, "roof") == [(14.5, 0), (15.5, 0)], 60)
        for name in ("roof", folder):
            self.until_state(service, lambda s: not s.failing, name)
        self.assertEqual(os.listdir(folder), ["taken"])


if __name__ == "__main__":
    unittest.main()
