#!/usr/bin/env python3
"""The real program from outside, when things go wrong, and what it draws on a terminal.

usage: command_faults_test.py PROGRAM [unittest's own words]
"""
import csv
import datetime
import json
import os
import re
import shutil
import signal
import time
import unittest

import command_garden
from command_garden import DONE, FAULT, PROGRAM, ZONE, InAFolder, Session, hourly_weather


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Faults(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def test_killed_while_writing_entries_nothing_acknowledged_is_lost(self):
        garden = self.garden()
        acknowledged = []
        for i in range(24):
            running = garden.start("did", "7", "watered", "1L", "--note", f"mark-{i}", at=self.AT)
            time.sleep(0.002 * i)
            running.kill()
            out, _ = running.communicate()
            if f"mark-{i}" in out:
                acknowledged.append(i)
        self.check_done(garden.run("did", "7", "watered", "1L", "--note", "mark-last", at=self.AT))
        text = self.check_done(garden.run("daybook", "--pot", "7", at="2026-07-14T09:00:00" + ZONE))
        kept = re.findall(r"mark-(\w+)", " ".join(text.split()))
        self.assertEqual(len(kept), len(set(kept)), "an entry was written twice")
        for i in acknowledged:
            self.assertIn(str(i), kept)
        self.assertIn("last", kept)

    def test_killed_while_taking_weather_it_can_be_taken_again(self):
        garden = self.garden()
        garden.write("long.csv", hourly_weather(1, 30, 4) + hourly_weather(1, 30, 6).split("\n", 1)[1])
        for delay in (0.01, 0.03, 0.05, 0.08):
            running = garden.start("weather", "add", "long.csv", at=self.AT)
            time.sleep(delay)
            running.kill()
            running.communicate()
        answer = json.loads(self.check_done(garden.run("--json", "weather", "add", "long.csv", at=self.AT)))
        self.assertEqual(answer["new"] + answer["same"], 60 * 24)
        self.assertEqual(answer["changed"], 0)
        again = json.loads(self.check_done(garden.run("--json", "weather", "add", "long.csv", at=self.AT)))
        self.assertEqual(again["same"], 60 * 24)

    def test_interrupted_while_taking_weather_it_stops_in_words_and_can_go_on(self):
        garden = self.garden()
        start, rows = datetime.datetime(2020, 1, 1, tzinfo=datetime.timezone.utc), 40000
        garden.write("years.csv", "time,air_temperature [degC]\n" + "".join(
            f"{(start + datetime.timedelta(hours=n)).isoformat()},{n % 30}\n" for n in range(1, rows + 1)))
        session = Session(garden, "--at", self.AT, "weather", "add", "years.csv", NO_COLOR="1")
        session.until("rows")
        self.assertRegex(session.seen, r"years\.csv  \[=*")
        session.type("\x03")
        self.assertEqual(session.end(), -signal.SIGINT, session.seen)
        self.assertIn("tubgrove: stopped", session.seen)
        answer = json.loads(self.check_done(garden.run("--json", "weather", "add", "years.csv", at=self.AT)))
        self.assertEqual((answer["new"] + answer["same"], answer["changed"]), (rows, 0))
        self.assertGreater(answer["new"], 0)

    def test_interrupted_while_the_demo_lives_it_leaves_nothing(self):
        # The demo's files lie beside the program, as they do after scripts/build.
        program = os.path.join(self.place, "build", "tubgrove")
        os.makedirs(os.path.dirname(program))
        shutil.copy(PROGRAM, program)
        os.symlink(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "config"), os.path.join(self.place, "config"))
        session = Session(self.empty, "demo", "--into", "my-demo", program=program, NO_COLOR="1")
        session.until("living through the season", 60)
        session.type("\x03")
        self.assertEqual(session.end(), -signal.SIGINT, session.seen)
        self.assertIn("tubgrove: stopped; nothing of the demo was kept", session.seen)
        self.assertIn("\r\x1b[K", session.seen, "the bar is wiped away")
        self.assertEqual(self.empty.everything(), [])

    def test_a_store_that_is_none_is_a_fault_of_the_machine(self):
        garden = self.garden()
        shutil.rmtree(garden.data)
        garden.write("data", "not a folder")
        self.check_refused(garden.run("round", at=self.AT), status=FAULT)


class Terminal(InAFolder):
    def drawn(self, *words, **more):
        session = Session(self.garden("terminal"), "--at", "2026-07-14", *words, **more)
        status = session.end()
        self.assertEqual(status, DONE, session.seen)
        return session.seen.replace("\r\n", "\n")

    def test_colour_only_on_a_terminal_and_only_where_wanted(self):
        self.assertIn("\x1b[1m", self.drawn())
        shutil.rmtree(os.path.join(self.place, "terminal"))
        self.assertNotIn("\x1b", self.drawn(NO_COLOR="1"))
        shutil.rmtree(os.path.join(self.place, "terminal"))
        self.assertNotIn("\x1b", self.drawn(TERM="dumb"))
        self.assertNotIn("\x1b", self.garden().run(at="2026-07-14").stdout)

    def test_a_phone_s_terminal_is_not_overrun(self):
        for words in [(), ("why", "7"), ("pot", "show", "7"), ("weather", "show"), ("daybook",), ("pot", "list"), ("--help",)]:
            text = re.sub("\x1b\\[[0-9;]*m", "", self.drawn(*words, columns=40))
            shutil.rmtree(os.path.join(self.place, "terminal"))
            for line in text.splitlines():
                self.assertLessEqual(len(line), 40, line)

if __name__ == "__main__":
    unittest.main()
