#!/usr/bin/env python3
"""What is odd, asked of the running service: the same answers as at the command line, and nothing written by a look.

usage: serve_doubts_test.py PROGRAM [unittest's own words]
"""
import unittest

import command_garden
from command_garden import ZONE, InAFolder
from serve_garden import Service


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Doubts(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def test_more_than_the_pot_can_take_up_is_kept_and_told(self):
        garden = self.garden()
        with Service(garden, at=self.AT) as service:
            answer = service.post("/api/v1/entries", {"words": ["7", "8", "watered", "300L"]}, "much")
            self.assertEqual(answer.status, 201)
            self.assertEqual(len(answer.json()["entries"]), 2)
            self.assertEqual(len([r for r in answer.json()["remarks"] if "can take up" in r]), 2)
            again = service.post("/api/v1/entries", {"words": ["7", "8", "watered", "300L"]}, "much")   # a second sending is the same
            self.assertEqual(again.json(), answer.json())
            told = [n["text"] for n in service.get("/api/v1/round").json()["notices"] if n["code"] == "pour-doubted"]
            self.assertEqual(len(told), 2)
            entry = answer.json()["entries"][0]["id"]
            self.assertTrue(any("strike %d" % entry in text for text in told))
            self.assertEqual(service.post("/api/v1/entries/%d/strike" % entry, {}, "back").status, 201)
            self.assertEqual(len([n for n in service.get("/api/v1/round").json()["notices"] if n["code"] == "pour-doubted"]), 1)

    def test_a_bare_number_is_a_problem_that_says_how_to_write_it(self):
        with Service(self.garden(), at=self.AT) as service:
            for path, fields, right in [("/api/v1/weather/notes", {"words": ["rain=60"]}, "60mm"), ("/api/v1/entries", {"words": ["7", "watered", "3"]}, "3L")]:
                problem = service.post(path, fields, "bare" + right)
                self.assertEqual((problem.status, problem.json()["status"]), (422, 422))
                self.assertIn(right, problem.json()["right"])

    def test_a_look_at_a_day_to_come_writes_nothing(self):
        garden = self.garden()
        with Service(garden, at=self.AT) as service:
            looked = service.get("/api/v1/round?at=2027-01-01").json()
            self.assertEqual(looked["day"], "2027-01-01")
            self.assertIn("look-ahead", [n["code"] for n in looked["notices"]])
            # Nothing was learned in 2027: today's entry is taken.
            self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "today").status, 201)

    def test_a_restore_while_it_serves_is_seen_at_once(self):
        garden = self.garden()
        with Service(garden, at=self.AT) as service:
            self.check_done(garden.run("backup", "before.db"))
            self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "watered", "2L"]}, "lost").status, 201)
            self.assertEqual(len(service.get("/api/v1/daybook").json()["entries"]), 4)
            self.check_done(garden.run("restore", "before.db"))
            self.assertEqual(len(service.get("/api/v1/daybook").json()["entries"]), 3)
            self.assertEqual(service.post("/api/v1/entries", {"words": ["7", "watered", "3L"]}, "after").status, 201)
            self.assertEqual(len(service.get("/api/v1/daybook").json()["entries"]), 4)


if __name__ == "__main__":
    unittest.main()
