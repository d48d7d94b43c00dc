#!/usr/bin/env python3
"""Jobs from outside: the list, what is done about it, one truth with the daybook, rows of the grower's own.

usage: care_command_test.py PROGRAM [unittest's own words]
"""
import json
import os
import unittest

import command_garden
from command_garden import NOT_IN_ORDER, ZONE, InAFolder


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


MORNING = "2026-07-14T06:30:00" + ZONE


def later(minute):
    return f"2026-07-14T07:{minute:02}:00{ZONE}"


class Care(InAFolder):
    def jobs(self, garden, at, *words):
        return json.loads(self.check_done(garden.run("--json", "jobs", *words, at=at)))

    def job(self, garden, at, id):
        found = [job for job in self.jobs(garden, at)["jobs"] if job["id"] == id]
        self.assertEqual(len(found), 1, id)
        return found[0]

    def open_job(self, garden, rule):
        """One open job of a rule, whichever pot has it."""
        for job in self.jobs(garden, MORNING)["jobs"]:
            if job["rule"] == rule and job["state"] in ("due", "this week", "in season"):
                return job
        self.fail("no open job of " + rule)

    def test_each_job_says_why_until_when_and_by_whose_word(self):
        answer = self.jobs(self.garden(), MORNING)
        self.assertEqual(answer["day"], "2026-07-14")
        self.assertTrue(answer["jobs"])
        for job in answer["jobs"]:
            for key in ("id", "rule", "pot", "title", "state", "opens", "due", "closes", "source", "answer"):
                self.assertTrue(job[key], key)
            self.assertEqual(job["id"].split(".")[:2], [job["pot"], job["rule"]])
            self.assertLessEqual(job["opens"], job["due"])
            self.assertLessEqual(job["due"], job["closes"])
            if job["state"] in ("due", "this week", "in season"):
                self.assertTrue(job["because"], job["id"])
                self.assertLessEqual("2026-07-14", job["closes"])

    def test_a_round_carries_three_lines_at_most_and_their_ids_are_taken(self):
        garden = self.garden()
        round = json.loads(self.check_done(garden.run("--json", "round", at=MORNING)))
        self.assertLessEqual(len(round["jobs"]), 3)
        self.assertGreater(len(round["jobs"]), 0)
        ids = [part["id"] for line in round["jobs"] for part in line["parts"]]
        self.assertEqual(len(ids), len(set(ids)))
        self.assertEqual(self.jobs(garden, later(0))["morning"], ids)
        text = self.check_done(garden.run("round", at=MORNING))
        self.assertIn("Jobs", text)
        self.assertIn("Done? tubgrove did", text)
        # What is done makes no room for more on the same morning.
        part = round["jobs"][0]["parts"][0]
        self.check_done(garden.run("job", "done", part["id"], at=later(5)))
        again = json.loads(self.check_done(garden.run("--json", "round", at=later(6))))
        new = [p["id"] for line in again["jobs"] for p in line["parts"] if p["id"] not in ids]
        self.assertEqual(new, [])
        self.assertNotIn(part["id"], [p["id"] for line in again["jobs"] for p in line["parts"]])

    def test_did_and_job_done_are_the_same_fact_and_striking_opens_it_again(self):
        for by_id in (True, False):
            garden = self.garden("by id" if by_id else "by word")
            job = self.open_job(garden, "weevil")
            words = ["job", "done", job["id"]] if by_id else job["answer"].split()
            written = json.loads(self.check_done(garden.run("--json", *words, at=later(1))))["entries"][0]
            self.assertEqual((written["action"], written["values"]), ("looked", {"text": "weevil"}))
            done = self.job(garden, later(2), job["id"])
            self.assertEqual((done["state"], done["entry"]), ("done", written["id"]))
            self.check_refused(garden.run("job", "done", job["id"], at=later(3)), "is done by entry")
            self.check_done(garden.run("strike", str(written["id"]), at=later(4)))
            self.assertEqual(self.job(garden, later(5), job["id"])["state"], job["state"])

    def test_a_job_waits_within_its_window_and_is_dropped_with_a_reason(self):
        garden = self.garden()
        job = self.open_job(garden, "weevil")
        self.check_refused(garden.run("job", "wait", job["id"], "--until", "2026-12-24", at=later(1)), "its window ends " + job["closes"])
        self.check_refused(garden.run("job", "wait", job["id"], "--until", "2026-07-13", at=later(1)), "is not ahead")
        self.check_refused(garden.run("job", "wait", job["id"], at=later(1)), "needs --until")
        self.check_done(garden.run("job", "wait", job["id"], "--until", "2026-07-16", at=later(2)))
        waiting = self.job(garden, later(3), job["id"])
        self.assertEqual((waiting["state"], waiting["waits_until"]), ("waiting", "2026-07-16"))
        self.assertNotEqual(self.job(garden, "2026-07-16T08:00:00" + ZONE, job["id"])["state"], "waiting")
        self.check_refused(garden.run("job", "drop", job["id"], at=later(4)), "with a reason")
        self.check_done(garden.run("job", "drop", job["id"], "--because", "none seen in years", at=later(5)))
        dropped = self.job(garden, later(6), job["id"])
        self.assertEqual((dropped["state"], dropped["told"]), ("dropped", "none seen in years"))
        self.assertIn("none seen in years", self.check_done(garden.run("jobs", at=later(6))))
        self.check_refused(garden.run("job", "done", job["id"], at=later(7)), "was dropped by entry")

    def test_what_is_no_job_is_refused(self):
        garden = self.garden()
        self.check_refused(garden.run("job", "done", "weed", at=MORNING), "is no job")
        self.check_refused(garden.run("job", "done", "77.weed.2026-07-01", at=MORNING), "there is no pot '77'")
        self.check_refused(garden.run("job", "done", "7.weed.1999-01-01", at=MORNING), "there is no job")
        self.check_refused(garden.run("jobs", "--pot", "77", at=MORNING), "there is no pot '77'")
        self.check_refused(garden.run("jobs", "--day", "2026-09-01", at=MORNING), "seen no further")

    def test_a_pot_s_year_looks_back_and_ahead(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "2L", at=later(1)))
        year = json.loads(self.check_done(garden.run("--json", "season", "7", at=later(2))))
        self.assertEqual((year["from"], year["to"]), ("2026-01-01", "2026-12-31"))
        self.assertEqual((year["water"]["pours"], year["water"]["poured_l"]), (1, 2))
        self.assertEqual(year["weather"]["hottest_degC"], 30)
        self.assertIn("full-bloom", [stage["stage"] for stage in year["stages"]])
        self.assertTrue([job for job in year["jobs"] if job["ahead"]])
        text = self.check_done(garden.run("season", "7", at=later(2)))
        for part in ("Weather", "Water", "Stages", "Jobs:"):
            self.assertIn(part, text)
        self.check_refused(garden.run("season", "7", "--year", "2031", at=later(2)), "has not begun")

    def own_rows(self, garden, rows):
        os.makedirs(os.path.join(garden.folder, "tables"), exist_ok=True)
        garden.write("tables/care.yaml", rows)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text + "\ntables: tables\n")

    def test_a_row_is_switched_off_and_one_of_the_grower_s_own_added(self):
        garden = self.garden()
        self.assertTrue([job for job in self.jobs(garden, MORNING)["jobs"] if job["rule"] == "weevil"])
        self.own_rows(garden, """jobs:
  - {key: weevil, on: no, source: own garden}
  - key: wash-label
    title: wash the labels
    what: "With a wet thumb."
    trigger: season
    opens: longest-day
    closes: longest-day + 60 d
    done_by: [looked:label]
    source: own garden
""")
        self.check_done(garden.run("check"))
        rules = [job["rule"] for job in self.jobs(garden, MORNING)["jobs"]]
        self.assertNotIn("weevil", rules)
        self.assertIn("wash-label", rules)

    def test_a_wrong_row_is_complained_of_with_its_place(self):
        garden = self.garden()
        self.own_rows(garden, """jobs:
  - key: weed
    when: ["mean_7d_degc < 8", indors]
    opens: leef-fall
    source: own garden
  - key: mine
    title: mine
    trigger: after
    done_by: [weded]
    source: own garden
""")
        complaint = garden.run("check")
        self.assertEqual(complaint.returncode, NOT_IN_ORDER)
        told = complaint.stdout + complaint.stderr
        for part in ("care.yaml:3:12: ", "did you mean mean_7d_degC?", "did you mean indoors?", "care.yaml:4:12: ", "did you mean leaf-fall?",
                     "did you mean weeded?", "it does not say after which entry"):
            self.assertIn(part, told)


if __name__ == "__main__":
    unittest.main()
