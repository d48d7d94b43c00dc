#!/usr/bin/env python3
"""The demo garden as its gardener reads it: what a page says of each pot is true of that pot, and what it prints is taken.

usage: demo_words_test.py PROGRAM [unittest's own words]
"""
import datetime
import json
import re
import unittest

from command_garden import ZONE
from demo_garden import DEMO, setUpModule, tearDownModule  # noqa: F401 (unittest calls the two)


def one_line(text):
    return re.sub(r"\s+", " ", text)


class DemoWords(unittest.TestCase):
    hot_morning = "2026-07-16T08:00:00" + ZONE

    def text(self, *words, at=None):
        done = DEMO["garden"].run(*words, at=at or self.hot_morning)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def answer(self, *words, at=None):
        return json.loads(self.text("--json", *words, at=at))

    def test_each_pot_has_its_own_reason_and_its_own_closing_day(self):
        text = self.text("jobs")
        jobs = [job for job in self.answer("jobs")["jobs"] if job["state"] in ("due", "this week", "in season")]
        told = 0
        for block in re.split(r"\n  (?=\S)", text):
            said = one_line(block)
            for job in jobs:
                if job["id"] not in said or f"{job['title']}:" not in said.lower():
                    continue
                told += 1
                mine = [part for part in re.split(r" (?=Pots? \S)", said) if re.match(rf"Pots? (?:\S+, )*{job['pot']}(?:, \S+)*;", part)]
                self.assertEqual(len(mine), 1, said)
                for reason in job["because"]:
                    self.assertIn(reason["text"].lower(), mine[0].lower())
        self.assertGreater(told, 10)
        self.assertRegex(one_line(text), r"Pot trough; until \S+ \d+ August\. About 2\.2 cm of mulch left")   # as of that morning

    def test_the_year_counts_the_lists_that_found_a_pot_dry(self):
        for pot in ("9", "1"):
            year = self.answer("season", pot, at="2026-09-30T12:00:00" + ZONE)
            lists = dry = 0
            for number in range((datetime.date.fromisoformat(year["to"]) - datetime.date.fromisoformat(year["from"])).days + 1):
                day = (datetime.date.fromisoformat(year["from"]) + datetime.timedelta(days=number)).isoformat()
                shown = DEMO["garden"].run("--json", "round", "--day", day, "--walk", "morning", at="2026-09-30T12:00:00" + ZONE)
                if shown.returncode:
                    continue             # before the garden's first list
                lists += 1
                dry += any(reason["code"] == "dry-at" and reason["text"].endswith("dry already") for pour in json.loads(shown.stdout)["pours"]
                           if pour["pot"] == pot for reason in pour["because"])
            self.assertEqual((year["water"]["lists"], year["water"]["listed_dry"]), (lists, dry), pot)
            if pot == "9":
                self.assertGreater(dry, 0)

    def test_a_job_that_passed_twice_is_told_with_both_days(self):
        passed = self.text("jobs", at="2026-04-20T12:00:00" + ZONE).split("Passed\n")[1]
        self.assertNotRegex(one_line(passed), r"lemon, lemon")
        for day in ("Tue 7", "Wed 8"):
            self.assertIn(f"Pot lemon; passed {day} April.", passed)

    def test_every_printed_answer_of_the_year_is_taken(self):
        answers = {}
        for number in range(214):
            day = (datetime.date(2026, 3, 1) + datetime.timedelta(days=number)).isoformat()
            for said in re.findall(r"Done\? tubgrove (did .*?)\. Source:", one_line(DEMO["garden"].run("round", "--day", day, at="2026-09-30T12:00:00" + ZONE).stdout)):
                for one in said.split("; "):
                    answers.setdefault(one, day)
        self.assertGreater(len(answers), 20)
        # The garden has lived on, so that nothing is written; the words are read before that is found.
        for said, day in sorted(answers.items()):
            done = DEMO["garden"].run(*said.split(" "), at=day + "T12:00:00" + ZONE)
            self.assertIn("nothing more can be written", done.stderr, said + ": " + done.stderr)

    def test_a_tender_pot_is_not_brought_where_it_stands(self):
        for day in ("2026-04-02", "2026-04-04", "2026-04-06", "2026-04-08"):
            for job in self.answer("jobs", at=day)["jobs"]:
                if job["pot"] == "lemon" and job["rule"] == "move-in":
                    self.assertEqual(job["answer"], "did lemon covered")

    def test_what_the_evening_pours_is_expected_this_evening(self):
        evening = {line["pot"] for line in self.answer("round", at="2026-07-16T19:00:00" + ZONE)["pours"]}
        resting = {line["pot"]: line["next_day"] for line in self.answer("round")["no_water"]}
        soon = {pot for pot, day in resting.items() if day == "2026-07-16"}
        self.assertTrue(soon)
        self.assertLessEqual(soon, evening)
        self.assertIn("This evening: ", self.text("round"))

    def test_an_absence_says_each_thing_once(self):
        text = one_line(self.text("absence", "2026-08-01", "2026-08-14"))
        poured = re.findall(r"(?:in the morning|Each morning, [^:]*): (.*?)\. ", text)
        self.assertTrue(poured)
        self.assertEqual(len(poured), len(set(poured)))  # mornings that pour the same are told in one line
        self.assertNotIn("longer than can be seen", text)
        self.assertIn("Growth checked: ", text)
        self.assertNotRegex(text, r"On leaving, pots [^,:]+:")  # one pot is no pots
        self.assertRegex(text, r"On leaving, pots? [^:]* \([\d.]+.L at most\)")

    def test_a_year_counts_the_pours_of_answered_lists(self):
        water = self.answer("season", "7", at="2026-09-30T12:00:00" + ZONE)["water"]
        told = [pour for pour in self.answer("water", "7", "--from", "2026-01-01", at="2026-09-30T12:00:00" + ZONE)["pours"] if pour["known"] != "silent"]
        self.assertGreater(len(told), 20)
        self.assertEqual(water["pours"], len(told))
        self.assertAlmostEqual(water["poured_l"], sum(pour["pour_l"] for pour in told), places=1)


if __name__ == "__main__":
    unittest.main()
