#!/usr/bin/env python3
"""What is odd, asked of the running service: the same answers as at the command line, and nothing written by a look.

usage: serve_doubts_test.py PROGRAM [unittest's own words]
"""
import json
import re
import socket
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

    def test_what_would_be_right_is_told_in_words_for_this_face_too(self):
        with Service(self.garden(), at=self.AT) as service:
            for path, right in [("/api/v1/round?day=2026-06-01", "a look from that day itself (at 2026-06-01, recompute) works it out"),
                                ("/api/v1/absence?from=2026-07-20&to=2026-07-18", "the earlier day first")]:
                self.assertIn(right, service.get(path).json()["right"])
            problem = service.post("/api/v1/entries", {"words": ["7", "watered", "2L"], "when": "2026-03-29T02:30"}, "skipped").json()
            self.assertIn("when: '2026-03-29T02:30' did not come in Europe/Budapest", problem["detail"])
            self.assertIn("or a time before 02:00", problem["right"])

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


class Doors(InAFolder):
    """Where the service listens: what cannot be is told with what would be right, at best before it starts."""

    def doors(self, garden, listen):
        with open(garden.configuration, encoding="utf-8") as file:
            text = re.sub(r"(?m)^doors:.*\n", "", file.read())
        garden.write("tubgrove.yaml", text + f"doors: {{listen: {json.dumps(listen)}}}\n")

    def test_addresses_that_exclude_one_another(self):
        garden = self.garden()
        for listen, *told in (
                (["127.0.0.1:8824", "127.0.0.1:8824"], "'127.0.0.1:8824' is named twice; name each address once"),
                (["0.0.0.0:8824", "127.0.0.1:8824"], "'0.0.0.0:8824' holds '127.0.0.1:8824' already"),
                (["127.0.0.1:8824", "0.0.0.0:8824"], "'0.0.0.0:8824' holds '127.0.0.1:8824' already"),
                (["[::]:8824", "127.0.0.1:8824"], "'[::]:8824' holds '127.0.0.1:8824' already"),
                (["[::]:8824", "0.0.0.0:8824"], "'[::]:8824' holds '0.0.0.0:8824' already")):
            self.doors(garden, listen)
            checked = garden.run("check")
            self.assertEqual(checked.returncode, command_garden.NOT_IN_ORDER, listen)
            for words in told:
                self.assertRegex(checked.stdout, r"tubgrove\.yaml:\d+:\d+: doors: listen: " + re.escape(words))
        for listen in (["127.0.0.1:8824", "127.0.0.1:8825", "[::1]:8824"], ["127.0.0.1:0", "127.0.0.1:0"], ["0.0.0.0:8824", "[::1]:8824"]):
            self.doors(garden, listen)
            self.check_done(garden.run("check"))

    def test_an_address_that_cannot_be_had(self):
        garden = self.garden()
        with Service(garden) as service, socket.create_server(("127.0.0.1", 0)) as taken:
            another = self.garden("another")
            for listen, words in ((f"127.0.0.1:{taken.getsockname()[1]}", "another service listens there already"),
                                  ("192.0.2.1:8824", "this machine has no such address now")):  # of the block kept for examples, RFC 5737
                self.doors(another, [listen])
                self.check_refused(another.run("serve"), f"the door {listen} does not open", words, status=command_garden.FAULT)

    def test_a_second_service_on_one_data_folder(self):
        garden = self.garden()
        with Service(garden, at=None) as service:
            self.check_refused(garden.run("serve"), "another service runs on the data folder", "--data DIR")
            with Service(garden):  # a look at another day, which fetches and tells nothing
                pass
            self.assertEqual(service.get("/health").status, 200)
        with Service(garden, at=None) as service:  # nothing is left behind
            self.assertEqual(service.get("/health").status, 200)
            service.kill()
        with Service(garden, at=None):
            pass

    def test_a_decimal_comma_in_braces(self):
        garden = self.garden()
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        right_site = "site: {latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}\n"
        text = re.sub(r"(?ms)^site:.*?(?=^\S)", right_site, text)
        garden.write("tubgrove.yaml", text)
        self.check_done(garden.run("check"))
        for written, right in (("latitude: 47,9", "47.9"), ("latitude: -33,12", "-33.12"), ("elevation: 340,5 m", "340.5 m")):
            key = written.split(":")[0]
            garden.write("tubgrove.yaml", re.sub(key + r": [^,}]+", written, text, count=1))
            checked = garden.run("check")
            self.assertEqual(checked.returncode, command_garden.NOT_IN_ORDER)
            self.assertRegex(checked.stdout, r"tubgrove\.yaml:\d+:\d+: site: " + key + r": '[^']*' has a decimal comma; write " + re.escape(right) + "\n")
            self.assertNotIn("has no key", checked.stdout)


if __name__ == "__main__":
    unittest.main()
