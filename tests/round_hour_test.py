#!/usr/bin/env python3
"""The hour of the round with the real service under a clock of the test's own: each day's round is issued once, at its hour or as soon
as it can be, whatever zones, summer time, leap days, boots, kills and people who set the clock do.

usage: round_hour_test.py PROGRAM LIBFAKETIME [unittest's own words]. All days lie in 2036, a leap year: later than any build. The rules
of summer time are those of the IANA tables as they stand; what they say of 2036 is asserted where a row leans on it.
"""
import concurrent.futures
import dataclasses
import datetime
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import unittest
import zoneinfo

FAKETIME = sys.argv.pop(2)

import command_garden
from command_garden import PROGRAM, Garden
from peers import until
from serve_garden import Service

UTC = datetime.timezone.utc
RATE = 600          # ten minutes pass in a second
LATE = 40           # minutes of that clock within which a round that is due must be there: a busy machine is slow


@dataclasses.dataclass
class Live:
    """The service from `start` to `end` of the garden's own clock; then it is stopped, or killed."""
    start: str
    end: str
    rate: int = RATE
    kill: bool = False


@dataclasses.dataclass
class Set:
    """The service runs, its clock being set to each of these moments in turn, and hears of it each time."""
    moments: list
    confirm: bool = False  # somebody says at the last one that the clock is right


@dataclasses.dataclass
class Typed:
    """Somebody asks for the list on the command line."""
    at: str
    words: tuple = ("round",)


@dataclasses.dataclass
class Scenario:
    says: str
    zone: str
    acts: list
    issued: list       # (round, moment from which it may be there)
    morning: str = "07:00"
    evening: str = "no"
    before: str = "1 h"
    truths: list = dataclasses.field(default_factory=list)  # (moment in UTC, the zone's own clock then)


MADRID, AUCKLAND = "Europe/Madrid", "Pacific/Auckland"
SCENARIOS = [
    Scenario("an ordinary morning is waited for", MADRID, [Live("07-14 05:50", "07-14 06:25")], [("07-14-morning", "07-14 06:00")]),
    Scenario("nothing is issued before its hour", MADRID, [Live("07-14 05:20", "07-14 05:50")], []),
    Scenario("a late boot issues at once", MADRID, [Live("07-14 11:20", "07-14 11:40")], [("07-14-morning", "07-14 11:20")]),
    Scenario("a boot late in the evening still issues", MADRID, [Live("07-14 22:40", "07-14 23:00")], [("07-14-morning", "07-14 22:40")], evening="19:00"),
    Scenario("a boot after midnight leaves yesterday alone", MADRID, [Live("07-15 00:10", "07-15 00:40")], []),
    Scenario("a restart after the issue doubles nothing", MADRID, [Live("07-14 05:55", "07-14 06:20"), Live("07-14 06:21", "07-14 06:45")],
             [("07-14-morning", "07-14 06:00")]),
    Scenario("killed around the issue, and again, and started again", MADRID,
             [Live("07-14 05:59", "07-14 06:00", kill=True), Live("07-14 06:01", "07-14 06:02", kill=True), Live("07-14 06:03", "07-14 06:05", kill=True),
              Live("07-14 06:06", "07-14 06:30")], [("07-14-morning", "07-14 06:00")]),
    Scenario("two nights are lived through", MADRID, [Live("07-13 19:00", "07-15 11:00", rate=3600)],
             [("07-13-morning", "07-13 19:00"), ("07-14-morning", "07-14 06:00"), ("07-15-morning", "07-15 06:00")]),
    Scenario("off for a week, and on again", MADRID, [Live("07-14 06:10", "07-14 06:25"), Live("07-21 09:00", "07-21 09:20")],
             [("07-14-morning", "07-14 06:10"), ("07-21-morning", "07-21 09:00")]),
    Scenario("a hot evening has its own", MADRID, [Typed("07-14 05:00", ("weather", "note", "max=41degC", "min=24degC")), Live("07-14 05:50", "07-14 06:20"),
                                                  Live("07-14 17:50", "07-14 18:25")],
             [("07-14-morning", "07-14 06:00"), ("07-14-evening", "07-14 18:00")], evening="19:00"),
    Scenario("after a missed day, a hot evening's only", MADRID, [Typed("07-14 05:00", ("weather", "note", "max=41degC", "min=24degC")), Live("07-14 18:30", "07-14 18:50")],
             [("07-14-evening", "07-14 18:30")], evening="19:00"),
    Scenario("spring: the night is an hour shorter", MADRID, [Live("03-30 01:30", "03-30 06:30", rate=3600)], [("03-30-morning", "03-30 06:00")],
             truths=[("03-30 00:59", "01:59"), ("03-30 01:00", "03:00")]),
    Scenario("spring: a walk at an hour that is left out", MADRID, [Live("03-30 01:30", "03-30 03:30")], [("03-30-morning", "03-30 03:00")], morning="02:30", before="0 h"),
    Scenario("spring: the hour before the walk spans the change", MADRID, [Live("03-30 01:05", "03-30 01:40")], [("03-30-morning", "03-30 01:15")], morning="03:15"),
    Scenario("autumn: the hour that comes twice issues once", MADRID, [Live("10-26 02:15", "10-26 03:15", rate=1800)], [("10-26-morning", "10-26 02:30")],
             morning="02:30", before="0 h", truths=[("10-26 00:59", "02:59"), ("10-26 01:00", "02:00")]),
    Scenario("autumn: a restart in the second such hour", MADRID, [Live("10-26 02:20", "10-26 02:50"), Live("10-26 02:20+01:00", "10-26 02:50+01:00")],
             [("10-26-morning", "10-26 02:30")], morning="02:30", before="0 h"),
    Scenario("autumn: a boot in the second such hour", MADRID, [Live("10-26 02:40+01:00", "10-26 03:00+01:00")], [("10-26-morning", "10-26 02:40+01:00")],
             morning="02:30", before="0 h"),
    Scenario("autumn: the night is an hour longer", MADRID, [Live("10-26 01:30", "10-26 06:25", rate=3600)], [("10-26-morning", "10-26 06:00+01:00")]),
    Scenario("the south changes the other way round", AUCKLAND, [Live("09-28 01:30", "09-28 06:30", rate=3600)], [("09-28-morning", "09-28 06:00")],
             truths=[("09-27 14:00", "03:00")]),
    Scenario("a leap day has its round, and so has the next", AUCKLAND, [Live("02-28 19:00", "03-01 11:00", rate=3600)],
             [("02-28-morning", "02-28 19:00"), ("02-29-morning", "02-29 06:00"), ("03-01-morning", "03-01 06:00")]),
    Scenario("a walk soon after the new year begins", AUCKLAND, [Live("12-31 23:45", "2037-01-01 00:25")],
             [("12-31-morning", "12-31 23:45"), ("2037-01-01-morning", "2037-01-01 00:00")], morning="00:30"),
    Scenario("a zone whose summer time leaves midnight out", "America/Havana", [Live("03-08 23:45", "03-09 01:35")],
             [("03-08-morning", "03-08 23:45"), ("03-09-morning", "03-09 01:00")], morning="00:10",
             truths=[("03-09 05:00", "01:00")]),
    Scenario("summer time of half an hour", "Australia/Lord_Howe", [Live("10-05 01:45", "10-05 03:05")], [("10-05-morning", "10-05 02:30")], morning="02:15", before="0 h",
             truths=[("10-04 15:30", "02:30")]),
    Scenario("a zone of quarter hours", "Asia/Kathmandu", [Live("07-14 05:50", "07-14 06:25")], [("07-14-morning", "07-14 06:00")]),
    Scenario("a boot in 1970 waits until the clock is set", MADRID, [Set(["1970-01-01 00:00:20", "07-14 06:30"])], [("07-14-morning", "07-14 06:30")]),
    Scenario("a boot in 1970 that nobody mends issues nothing", MADRID, [Set(["1970-01-01 06:30", "1970-01-02 06:30"])], []),
    Scenario("a clock before what was learned waits for somebody's word", MADRID, [Typed("07-20 12:00", ("did", "7", "watered", "2L")), Set(["07-14 06:30"])], []),
    Scenario("and believes it", MADRID, [Typed("07-20 12:00", ("did", "7", "watered", "2L")), Set(["07-14 06:30"], confirm=True)], [("07-14-morning", "07-14 06:30")]),
    Scenario("set three days forward: today's, at once", MADRID, [Set(["07-14 06:10", "07-17 09:00"])],
             [("07-14-morning", "07-14 06:10"), ("07-17-morning", "07-17 09:00")]),
    Scenario("set an hour back over the issue, and forward again", MADRID, [Set(["07-14 06:10", "07-14 05:10", "07-14 06:20"])], [("07-14-morning", "07-14 06:10")]),
    Scenario("set a day back, then right", MADRID, [Set(["07-14 06:10", "07-13 06:10", "07-14 06:30", "07-15 06:30"])],
             [("07-14-morning", "07-14 06:10"), ("07-15-morning", "07-15 06:30")]),
    Scenario("set by seconds around the hour", MADRID, [Set(["07-14 05:59:58", "07-14 06:00:01", "07-14 05:59:59", "07-14 06:00:00", "07-14 06:00:02"])],
             [("07-14-morning", "07-14 06:00")]),
    Scenario("somebody asked for the list before the service woke", MADRID, [Typed("07-14 05:30"), Live("07-14 05:50", "07-14 06:20")], [("07-14-morning", "07-14 05:30")]),
]

CONFIGURATION = """site: {{name: Lark Terrace, latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: {zone}}}
bays: [{{id: wall, light: full, shelter: usual, rain: open, order: 1}}]
walks: {{morning: {morning}, evening: {evening}, issue_before: {before}}}
"""


def moment(text, zone):
    """2036-07-14 06:00 of "07-14 06:00" in the garden's zone; the first of two, unless an offset says which."""
    written = re.fullmatch(r"(\d{4}-)?(\d\d-\d\d) (\d\d:\d\d(?::\d\d)?)([+-]\d\d:\d\d)?", text)
    year, day, clock, offset = written.groups()
    when = datetime.datetime.fromisoformat(f"{year or '2036-'}{day} {clock}{offset or ''}")
    return (when if offset else when.replace(tzinfo=zoneinfo.ZoneInfo(zone))).astimezone(UTC)


def fake(when, rate=None):
    return f"@{when:%Y-%m-%d %H:%M:%S}" + (f" x{rate}" if rate else "")


class Played:
    """A scenario in a folder of its own."""

    def __init__(self, scenario, folder):
        self.scenario, self.garden = scenario, Garden(folder)
        os.makedirs(folder)
        self.garden.write("tubgrove.yaml", CONFIGURATION.format(**dataclasses.asdict(scenario)))
        self.type(Typed("02-01 12:00", ("pot", "add", "7", "container.size=40L", "bay=wall", "tree.a.species=apple", "tree.a.planted=2035-11-16")))

    def environment(self, **more):
        # What is timed by the machine's own running (files' dates, the length of a call) stays as it is.
        return {"LD_PRELOAD": FAKETIME, "NO_FAKE_STAT": "1", "TZ": "UTC", **more}

    def type(self, act):
        result = self.garden.run(*act.words, **self.environment(FAKETIME=fake(moment(act.at, self.scenario.zone))))
        assert result.returncode == 0, (self.scenario.says, act, result.stdout, result.stderr)

    def live(self, act):
        start, end = moment(act.start, self.scenario.zone), moment(act.end, self.scenario.zone)
        wanted = time.monotonic() + (end - start).total_seconds() / act.rate
        service = Service(self.garden, at=None, **self.environment(FAKETIME=fake(start, act.rate)))
        while time.monotonic() < wanted:
            time.sleep(0.02)
            assert service.process.poll() is None, service.lines
        if act.kill:
            service.kill()
        else:
            assert service.stop() == 0, service.lines

    def set(self, act):
        path = os.path.join(self.garden.folder, "clock")

        def put(when):
            with open(path + ".new", "w", encoding="utf-8") as file:
                file.write(fake(when) + "\n")
            os.rename(path + ".new", path)

        moments = [moment(text, self.scenario.zone) for text in act.moments]
        put(moments[0])
        environment = self.environment(FAKETIME_TIMESTAMP_FILE=path, FAKETIME_NO_CACHE="1", FAKETIME_DONT_FAKE_MONOTONIC="1")
        service = Service(self.garden, at=None, **environment)
        for number, when in enumerate(moments):
            if number:
                put(when)
                # The kernel says when a clock is set; this one is set behind its back, and reading the configuration again looks too.
                service.process.send_signal(signal.SIGHUP)
                service.until_told("was read again")
            time.sleep(0.6)
        if act.confirm:
            answer = service.post("/api/v1/clock/confirm", {}, "confirmed")
            assert answer.status == 201, answer.body
            time.sleep(0.6)
        assert service.stop() == 0, service.lines

    def play(self):
        for act in self.scenario.acts:
            {Live: self.live, Set: self.set, Typed: self.type}[type(act)](act)
        return self.issued()

    def issued(self):
        store = sqlite3.connect(os.path.join(self.garden.data, "tubgrove.db"))
        try:
            return store.execute("SELECT id, issued FROM rounds ORDER BY sequence").fetchall()
        finally:
            store.close()


class Hours(unittest.TestCase):
    maxDiff = None

    def test_what_the_zones_say(self):
        for scenario in SCENARIOS:
            for when, clock in scenario.truths:
                there = moment(when + "+00:00", "UTC").astimezone(zoneinfo.ZoneInfo(scenario.zone))
                self.assertEqual(there.strftime("%H:%M"), clock, scenario.says)

    def test_each_scenario(self):
        self.assertGreaterEqual(len(SCENARIOS), 20)
        place = tempfile.mkdtemp(dir=command_garden.TEMPORARY.name)
        with concurrent.futures.ThreadPoolExecutor(6) as pool:  # they mostly sleep
            played = [pool.submit(Played(scenario, os.path.join(place, str(number))).play) for number, scenario in enumerate(SCENARIOS)]
        for scenario, one in zip(SCENARIOS, played):
            with self.subTest(scenario.says):
                issued = one.result()
                wanted = [(name if name.startswith("20") else "2036-" + name, moment(when, scenario.zone)) for name, when in scenario.issued]
                self.assertEqual([name for name, _ in issued], [name for name, _ in wanted])
                for (_, at), (_, earliest) in zip(issued, wanted):
                    late_s = at - earliest.timestamp()
                    self.assertGreaterEqual(late_s, 0)
                    rate = max([act.rate for act in scenario.acts if isinstance(act, Live)] or [1])
                    self.assertLess(late_s, LATE * 60 * max(1, rate / RATE))

    def test_the_kernel_is_asked_to_say_when_the_clock_is_set(self):
        """A clock cannot be set in a test, for it is the whole machine's: what is asked of the kernel is looked at instead."""
        strace = shutil.which("strace")
        garden = Garden(os.path.join(tempfile.mkdtemp(dir=command_garden.TEMPORARY.name), "one"))
        os.makedirs(garden.folder)
        garden.write("tubgrove.yaml", CONFIGURATION.format(zone=MADRID, morning="07:00", evening="no", before="1 h") + "doors: {listen: ['127.0.0.1:0']}\n")
        log = os.path.join(garden.folder, "trace")
        traced = subprocess.Popen([strace, "-f", "-o", log, "-e", "trace=timerfd_create,timerfd_settime,epoll_ctl", PROGRAM, "serve"], stderr=subprocess.DEVNULL,
                                  env=garden.environment(), cwd=garden.folder)

        def told():
            if not os.path.exists(log):
                return None
            with open(log, encoding="utf-8") as file:
                return re.search(r"timerfd_settime\((\d+), TFD_TIMER_ABSTIME\|TFD_TIMER_CANCEL_ON_SET", file.read())

        try:
            found = until(told)
            with open(log, encoding="utf-8") as file:
                trace = file.read()
            self.assertRegex(trace, rf"timerfd_create\(CLOCK_REALTIME, [A-Z_|]+\)\s+= {found[1]}\b")
            self.assertRegex(trace, rf"epoll_ctl\(\d+, EPOLL_CTL_ADD, {found[1]}, ")
        finally:
            pids = subprocess.run(["ps", "-o", "pid=", "--ppid", str(traced.pid)], capture_output=True, text=True).stdout.split()
            for pid in pids:
                os.kill(int(pid), signal.SIGTERM)
            traced.wait(20)


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


if __name__ == "__main__":
    unittest.main()
