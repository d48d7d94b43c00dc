#!/usr/bin/env python3
"""That every command which has an answer gives it as JSON too.

usage: command_json_test.py PROGRAM [unittest's own words]
"""
import json
import os
import unittest

import command_garden
from command_garden import ANSWERS, DONE, FAULT, NOT_IN_ORDER, WRONG, ZONE, InAFolder


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


# What follows each command so that it answers, in an order in which each finds what it needs; None: it writes pages or a
# script for people and shells, and says that it has no JSON form.
ANSWERING = {
    "round": (), "did": ("7", "watered", "2L"), "why": ("7",), "sheet": (), "daybook": (), "strike": ("4",), "pot list": (),
    "pot show": ("7",), "pot add": ("20", "bay=south-wall", "container.size=25L", "tree.a.species=pear"),
    "pot change": ("7", "tree.a.leaves=dense"), "pot retire": ("20",), "pot take": ("out/tubgrove-garden.yaml",),
    "weather add": ("weather.csv", "weather.csv"), "weather note": ("hot",), "weather show": (), "setup": (), "check": (),
    "clock confirm": (), "export": ("--into", "out"), "daybook take": ("out/tubgrove-daybook.csv", "--data", "another"), "backup": ("copy.db",),
    "restore": ("copy.db",), "demo": (), "version": (), "water": ("7",), "ahead": (), "absence": ("2026-07-20", "2026-07-22"), "visit": ("2026-07-22",), "compare": ("7", "mulch.depth=4cm"), "words": (), "pair": (), "pair list": (), "pair end": ("1",), "jobs": (),
    "job": ("drop", "7.stake-permanent.2026", "--because", "a wall holds it"), "season": ("7",), "labels": (), "help": None,
    "completion": None, "serve": None,
}
REFUSED = {"pair end"}      # a phone lets itself in through the service, so that there is none to end
WITHOUT_A_MOMENT = {"check", "backup", "restore", "version", "pair", "pair list", "pair end"}


# Wrong words and wrong input of each kind of command: refused as talk and as JSON, with what is wrong and what would be right.
REFUSALS = [
    ("restore", "nothing.db"), ("restore", "tubgrove.yaml"), ("backup", "taken.db"), ("backup", "no/such/folder/copy.db"), ("backup", "/proc/copy.db"), ("export", "--into", "taken"), ("export", "--into", "/proc/x"), ("ruond",), ("round", "--dya", "today"), ("did", "7", "wet"),
    ("ahead", "--days", "11"), ("ahead", "--days", "x"), ("visit", "x"), ("visit", "2020-01-01"), ("absence", "x", "2026-08-01"), ("absence", "2026-08-02", "2026-08-01"),
    ("round", "--day", "2030-01-01"), ("round", "--walk", "noon"), ("why", "99"), ("water", "99"), ("season", "99"), ("season", "7", "--year", "x"), ("strike", "x"),
    ("strike", "99"), ("daybook", "--from", "x"), ("pot", "show", "99"), ("pot", "add", "30", "container.size=40"), ("pot", "change", "7", "medium=loess"),
    ("pot", "take", "nothing.yaml"), ("weather", "add", "nothing.csv"), ("weather", "note", "rain=60"), ("weather", "note", "rian=60mm"), ("weather", "show", "--from", "x"),
    ("jobs", "--day", "x"), ("job", "done", "x"), ("job", "wait", "7.thin.2026", "--until", "x"), ("labels", "99"), ("compare", "7", "foo=bar"), ("compare", "7"),
    ("pair", "--until", "2020-01-01"), ("pair", "end", "9"), ("completion", "tcsh"), ("daybook", "take", "nothing.csv"), ("clock",), ("--at", "x", "round"),
]


class Json(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def commands(self):
        for line in self.empty.run("complete", "--", "").stdout.splitlines():
            first = line.split("\t")[0]
            if first.startswith("-"):
                continue
            seconds = [s.split("\t")[0] for s in self.empty.run("complete", "--", first, "").stdout.splitlines()]
            pairs = [first + " " + second for second in seconds if first + " " + second in ANSWERING]
            if first in ANSWERING or not pairs:
                yield first
            yield from pairs

    def test_every_command_of_the_table_answers_in_json(self):
        garden = self.garden()
        listed = list(self.commands())
        self.assertEqual(sorted(listed), sorted(ANSWERING), "a command without a line here, or a line without its command")
        first = ("export", "backup")
        for command in sorted(listed, key=lambda name: (name not in first, list(ANSWERING).index(name))):
            if ANSWERING[command] is None:
                self.check_refused(garden.run("--json", *command.split()[:1], *(["bash"] if command == "completion" else [])), "no JSON form")
                continue
            if command == "demo":       # takes minutes to live through; what it prints is a round, as `round` does
                continue
            at = None if command in WITHOUT_A_MOMENT else self.AT
            typed = "no\n" if command == "setup" else None
            result = garden.run("--json", *command.split(), *ANSWERING[command], at=at, typed=typed)
            self.assertEqual(result.returncode, WRONG if command in REFUSED else DONE, command + "\n" + result.stdout + result.stderr)
            self.assertIsInstance(json.loads(result.stdout), list if command == "weather add" else dict, command)

    def test_what_was_written_is_named(self):
        garden = self.garden()
        out = json.loads(self.check_done(garden.run("--json", "export", "--into", "out", at=self.AT)))
        self.assertEqual([file["file"] for file in out["files"]], ["out/tubgrove-garden.yaml", "out/tubgrove-daybook.csv"])
        self.check_done(garden.run("--json", "backup", "copy.db"))
        back = json.loads(self.check_done(garden.run("--json", "restore", "copy.db")))
        self.assertEqual([file["code"] for file in back["files"]], ["restored", "kept"])
        made = self.empty.run("--json", "setup", at="2026-07-01", typed=ANSWERS)
        answer = json.loads(made.stdout)
        self.assertEqual([file["code"] for file in answer["files"]], ["configuration"])
        self.assertEqual(len(answer["changes"]), 3)
        self.assertIn("What do you call the garden?", made.stderr)

    def test_a_failed_check_and_a_refusal_are_json_too(self):
        garden = self.garden()
        garden.write("tubgrove.yaml", "site: {name: X}\n")
        check = garden.run("--json", "check")
        self.assertEqual(check.returncode, NOT_IN_ORDER)
        answer = json.loads(check.stdout)
        self.assertFalse(answer["in_order"])
        self.assertTrue(all(complaint["what"] and complaint["line"] for complaint in answer["complaints"]), answer)
        refused = garden.run("--json", "round")
        self.check_refused(refused, "tubgrove.yaml:1:")
        self.assertIn("tubgrove.yaml:1:", json.loads(refused.stdout)["what"])


class Refused(InAFolder):
    def test_each_says_what_would_be_right_as_talk_and_as_json(self):
        garden = self.garden()
        garden.write("taken.db", "somebody's file")
        os.makedirs(os.path.join(garden.folder, "taken"))
        garden.write("taken/tubgrove-garden.yaml", "pots: []")
        before = garden.everything()
        for words in REFUSALS:
            with self.subTest(words):
                when = [] if words[0] in ("restore", "backup", "pair", "completion", "--at") else ["--at", "2026-07-14T08:00:00" + ZONE]
                result = garden.run("--json", *when, *words)
                self.assertEqual(result.returncode, WRONG, result.stdout + result.stderr)
                answer = json.loads(result.stdout)
                self.assertEqual(set(answer), {"what", "right"})
                self.assertTrue(answer["what"] and answer["right"], answer)
                self.assertIn(answer["what"].splitlines()[0], result.stderr)
        self.assertEqual([f for f in garden.everything() if "lock" not in f], before)

    def test_a_fault_of_the_machine_is_told_as_json_too(self):
        garden = self.garden()
        result = garden.run("--json", "--data", "tubgrove.yaml", "pot", "list")
        self.assertEqual(result.returncode, FAULT)
        self.assertIn("tubgrove.yaml: is not a directory", json.loads(result.stdout)["what"])


if __name__ == "__main__":
    unittest.main()
