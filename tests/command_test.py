#!/usr/bin/env python3
"""The real program from outside: words, answers, exit statuses, and a garden that lives through some days.

usage: command_test.py PROGRAM [unittest's own words]. Nothing here asks what day it is, but for a look ahead of the
machine's clock: every moment is given with --at.
"""
import csv
import datetime
import json
import os
import shutil
import signal
import subprocess
import time
import unittest

import command_garden
from command_garden import FAULT, NOT_IN_ORDER, PROGRAM, WRONG, ZONE, ANSWERS, Garden, InAFolder, Session, hourly_weather


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Words(InAFolder):
    def test_every_command_has_help_with_examples(self):
        for first in self.empty.run("complete", "--", "").stdout.splitlines():
            first = first.split("\t")[0]
            self.assertIn("tubgrove " + first, self.check_done(self.empty.run(first, "--help")))
            for second in self.empty.run("complete", "--", first, "").stdout.splitlines():
                second = second.split("\t")[0]
                if first in ("pot", "weather", "clock"):
                    text = self.check_done(self.empty.run("help", first, second))
                    self.assertIn("Example", text)

    def test_version(self):
        self.assertRegex(self.check_done(self.empty.run("version")), r"^tubgrove \d+\.\d+\.\d+, model \d+\n$")
        self.assertEqual(set(json.loads(self.check_done(self.empty.run("--json", "version")))), {"version", "model"})

    def test_wrong_words_end_with_two_and_a_hint(self):
        for words, hint in [(("ruond",), "perhaps tubgrove round"), (("pot", "lsit"), "perhaps tubgrove pot list"),
                            (("7", "watered", "2L"), "perhaps tubgrove did 7 watered 2L"),
                            (("round", "--dya", "today"), "perhaps --day"), (("why",), "for example"),
                            (("help", "dit"), "perhaps tubgrove help did"), (("completion", "tcsh"), "bash, zsh or fish"),
                            (("--at", "2026-07-14", "backup", "x"), "knows no --at"), (("--json", "completion", "bash"), "no JSON form")]:
            result = self.empty.run(*words)
            self.check_refused(result, hint)
            if "--json" not in words:
                self.assertEqual(result.stdout, "")
            else:
                self.assertIn(hint, "; ".join(json.loads(result.stdout).values()))
        self.assertIn("perhaps tubgrove round", json.loads(self.empty.run("--json", "ruond").stdout)["right"])

    def test_without_a_configuration_the_way_to_one_is_named(self):
        self.check_refused(self.empty.run(), "there is no configuration at", "tubgrove setup")
        self.assertEqual(self.empty.everything(), [])
        self.check_refused(self.empty.run(HOME="", TUBGROVE_CONFIG="", TUBGROVE_DATA=""), "there is no configuration at /")

    def test_a_folder_without_a_garden_is_no_empty_garden(self):
        garden = self.garden()
        for words in (("pot", "list"), ("round",), ("jobs",), ("daybook",), ("did", "7", "watered", "2L")):
            self.check_refused(garden.run("--data", "elsewhere", *words), "there is no garden at", "pot add")
        self.assertFalse(os.path.exists(os.path.join(garden.folder, "elsewhere")))
        self.check_done(garden.run("--data", "elsewhere", "pot", "add", "7", "bay=south-wall", "container.size=25L", "tree.a.species=pear"))
        self.assertIn("pear", self.check_done(garden.run("--data", "elsewhere", "pot", "list")))

    def test_a_full_answer_disk_is_a_fault(self):
        with open("/dev/full", "w", encoding="utf-8") as full:
            result = subprocess.run([PROGRAM, "help"], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
        self.assertEqual(result.returncode, FAULT)
        self.assertIn("could not be written out", result.stderr)

    def test_bash_completes_what_the_program_offers(self):
        if not shutil.which("bash"):
            self.skipTest("no bash")
        garden = self.garden()
        for line, wanted in [("tubgrove wea", "weather"), ("tubgrove did l", "lemon"), ("tubgrove did 7 wat", "watered"),
                             ("tubgrove pot change 7 container.si", "container.size="), ("tubgrove did 7 moved ", "south-wall"),
                             ("tubgrove pot change 7 tree.a.leaves=de", "dense"), ("tubgrove weather add weath", "weather.csv")]:
            script = (f'tubgrove() {{ "{PROGRAM}" "$@"; }}; source <(tubgrove completion bash); compopt() {{ :; }}; '
                      f'COMP_LINE="{line}"; COMP_POINT=${{#COMP_LINE}}; _tubgrove; printf "%s\\n" "${{COMPREPLY[@]}}"')
            result = subprocess.run(["bash", "-c", script], capture_output=True, text=True, cwd=garden.folder,
                                    env=garden.environment(), check=False)
            self.assertIn(wanted, result.stdout.splitlines(), line + "\n" + result.stderr)


class Setup(InAFolder):
    def test_answers_from_a_pipe_make_a_garden(self):
        result = self.empty.run("setup", at="2026-07-01", typed=ANSWERS)
        text = self.check_done(result)
        self.assertLess(text.index("latitude: 47.9"), text.index("Write it?"))
        self.check_done(self.empty.run("check"))
        pots = json.loads(self.check_done(self.empty.run("--json", "pot", "list", at="2026-07-02")))
        self.assertEqual(sorted(pot["id"] for pot in pots["pots"]), ["7", "8", "lemon"])

    def test_nothing_is_written_before_yes(self):
        answers = ANSWERS.splitlines(keepends=True)
        for count in (0, 3, 12, len(answers) - 1):
            result = self.empty.run("setup", typed="".join(answers[:count]))
            self.check_refused(result, "nothing was written")
            self.assertEqual(self.empty.everything(), [])
        result = self.empty.run("setup", typed="".join(answers[:-1]) + "no\n")
        self.assertIn("Nothing was written", self.check_done(result))
        self.assertEqual(self.empty.everything(), [])

    def test_a_configuration_is_not_replaced_unasked(self):
        garden = self.garden()
        with open(garden.configuration, encoding="utf-8") as file:
            before = file.read()
        self.assertIn("Nothing was written", self.check_done(garden.run("setup", typed="\n")))
        garden.run("setup", at="2026-07-15", typed="yes\nOther\n" + "\n".join(ANSWERS.splitlines()[1:13]) + "\nno\nyes\n")
        with open(garden.configuration + ".old", encoding="utf-8") as file:
            self.assertEqual(file.read(), before)
        with open(garden.configuration, encoding="utf-8") as file:
            self.assertIn("Other", file.read())

    def test_interrupted_on_a_terminal_it_leaves_nothing(self):
        session = Session(self.empty, "setup", NO_COLOR="1")
        session.until("What do you call the garden?")
        session.type("Lark Terrace\n")
        session.until("latitude")
        session.type("\x03")
        self.assertEqual(session.end(), -signal.SIGINT)
        self.assertEqual(self.empty.everything(), [])


class Check(InAFolder):
    def test_complaints_name_file_line_and_column_and_end_with_one(self):
        garden = self.garden()
        garden.write("tubgrove.yaml", "site: {name: X, latitude: 147.9, longitude: 20.3, elevation: 340 gal, timezone: Europe/Nowhere}\n"
                                      "bays: [{id: a, ligth: full}]\n")
        result = garden.run("check")
        self.assertEqual(result.returncode, NOT_IN_ORDER)
        lines = result.stdout.splitlines()
        self.assertGreaterEqual(len(lines), 4)
        for line in lines:
            self.assertRegex(line, r"^.*tubgrove\.yaml:\d+:\d+: .+; .+")
        self.assertIn("light", result.stdout)
        self.check_refused(garden.run("round"), "tubgrove.yaml:1:")

    def test_in_order_it_says_what_was_understood(self):
        self.assertIn("south-wall", self.check_done(self.garden().run("check")))

    def test_a_pot_whose_bay_or_species_is_gone_is_told(self):
        garden = self.garden()
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("south-wall", "north-wall"))
        result = garden.run("check")
        self.assertEqual(result.returncode, NOT_IN_ORDER, result.stdout + result.stderr)
        self.assertEqual(len(result.stdout.splitlines()), 3, "a line each for pots 7, 8 and lemon")
        self.assertIn("pot 7: there is no bay 'south-wall' any more, so that it is taken as a bay in full sun and open rain; "
                      "put it back into the configuration, or say tubgrove pot change 7 bay=…", result.stdout)
        self.assertRegex(" ".join(self.check_done(garden.run("round", at="2026-07-14")).split()),
                         r"Warning: Pot \w+: there is no bay 'south-wall' any more, .*; and 2 more such\. tubgrove check says")
        for pot in ("7", "8", "lemon"):
            self.check_done(garden.run("pot", "change", pot, "bay=north-wall", at="2026-07-14T08:00:00" + ZONE))
        self.check_done(garden.run("check"))

    def test_a_row_gone_from_the_grower_s_own_tables_is_told(self):
        garden = self.garden()
        os.makedirs(os.path.join(garden.folder, "rows"))
        own = garden.write("rows/own.yaml", "species: [{key: mulberry, name: mulberry, vigour: own-roots, source: own assumption}]\n")
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text + "\ntables: rows\n")
        self.check_done(garden.run("pot", "change", "7", "tree.a.species=mulberry", at="2026-07-14T08:00:00" + ZONE))
        self.check_done(garden.run("check"))
        os.remove(own)
        result = garden.run("check")
        self.assertEqual(result.returncode, NOT_IN_ORDER)
        self.assertIn("there is no species 'mulberry' any more", result.stdout)

    def test_checking_makes_no_daybook(self):
        shutil.copy(self.garden().configuration, self.empty.configuration)
        before = self.empty.everything()
        self.check_done(self.empty.run("check"))
        self.assertEqual(self.empty.everything(), before)


class Morning(InAFolder):
    AT = "2026-07-14"

    def round(self, garden, at=AT, *words):
        return json.loads(self.check_done(garden.run("--json", "round", *words, at=at)))

    def test_the_json_of_a_round_has_the_contract_s_keys(self):
        answer = self.round(self.garden())
        self.assertLessEqual({"id", "day", "walk", "site", "issued", "inputs_until", "model", "et0_mm", "rain_mm", "weather_from",
                              "question", "pours", "no_water", "trips", "total_l", "notices"}, set(answer))
        self.assertEqual(answer["id"], "2026-07-14-morning")
        self.assertEqual(answer["day"], "2026-07-14")
        for pour in answer["pours"]:
            self.assertLessEqual({"pot", "label", "bay", "order", "pour_l", "passes", "low_l", "high_l", "until",
                                  "depletion_l", "available_l", "dry_at", "because"}, set(pour))
        self.assertEqual({line["pot"] for line in answer["pours"] + answer["no_water"]}, {"7", "8", "lemon"})
        self.assertAlmostEqual(answer["total_l"], sum(pour["pour_l"] for pour in answer["pours"]), places=6)
        self.assertGreater(answer["et0_mm"], 2)

    def test_asked_twice_it_is_the_same_list(self):
        garden = self.garden()
        first = garden.run("--json", "round", at=self.AT).stdout
        self.assertEqual(garden.run("--json", "round", at=self.AT).stdout, first)
        self.assertEqual(garden.run("--json", at="2026-07-14T07:10:00" + ZONE).stdout, first)

    def test_the_text_says_what_the_json_says(self):
        garden = self.garden()
        answer = self.round(garden)
        text = self.check_done(garden.run(at=self.AT))
        self.assertIn("Tuesday 14 July 2026, morning", text)
        for pour in answer["pours"]:
            self.assertRegex(text, rf"(?m)^ *{pour['pot']} +{pour['pour_l']:g} L")

    def test_what_was_done_changes_the_next_list(self):
        watered, left = self.garden("watered"), self.garden("left")
        for garden in (watered, left):
            self.round(garden)
        done = self.check_done(watered.run("did", "7", "8", "watered", "16L", "--by", "Ana", at="2026-07-14T07:20:00" + ZONE))
        self.assertIn("pot 7 watered 16 L", done)
        for garden in (watered, left):
            garden.write("more.csv", hourly_weather(14, 14))
            self.check_done(garden.run("weather", "add", "more.csv", "--source", "weather", at="2026-07-15T05:00:00" + ZONE))

        def depletion(garden, pot):
            answer = self.round(garden, "2026-07-15")
            return next(line["depletion_l"] for line in answer["pours"] + answer["no_water"] if line["pot"] == pot)

        self.assertLess(depletion(watered, "7"), depletion(left, "7"))
        self.assertLess(depletion(watered, "8"), depletion(left, "8"))

    def test_a_struck_entry_no_longer_counts_but_stays(self):
        garden = self.garden()
        self.round(garden)
        self.check_done(garden.run("did", "7", "watered", "6L", at="2026-07-14T07:20:00" + ZONE))
        book = json.loads(self.check_done(garden.run("--json", "daybook", "--pot", "7", at="2026-07-14T07:25:00" + ZONE)))
        entry = next(e["id"] for e in book["entries"] if e["action"] == "watered")
        self.check_done(garden.run("strike", str(entry), "--note", "that was pot 8", at="2026-07-14T07:30:00" + ZONE))
        text = self.check_done(garden.run("daybook", at="2026-07-14T07:35:00" + ZONE))
        self.assertRegex(text, rf"(?m)^ *{entry} +STRUCK: .*watered 6 L")
        self.check_refused(garden.run("strike", "99999", at="2026-07-14T07:40:00" + ZONE))
        self.check_refused(garden.run("strike", "seven", at="2026-07-14T07:40:00" + ZONE), "daybook shows")

    def test_a_list_answered_and_asked_for_again_sends_nobody_round_twice(self):
        garden = self.garden()
        first = json.loads(garden.run("--json", "round", at=self.AT).stdout)
        self.assertTrue(first["pours"])
        self.check_done(garden.run("did", "round", "all", at="2026-07-14T07:20:00" + ZONE))
        again = self.check_done(garden.run("round", at="2026-07-14T07:25:00" + ZONE))
        self.assertIn("nothing to pour", again)
        self.assertIn("since the list before: the list answered\n", again)
        self.check_done(garden.run("did", first["pours"][0]["pot"], "felt", "dry", at="2026-07-14T07:40:00" + ZONE))
        third = json.loads(garden.run("--json", "round", at="2026-07-14T07:41:00" + ZONE).stdout)
        self.assertEqual([line["pot"] for line in third["pours"]], [first["pours"][0]["pot"]])

    def test_an_unanswered_round_is_asked_about(self):
        garden = self.garden()
        if not self.round(garden)["pours"]:
            self.fail("this garden should need water")
        question = self.round(garden, "2026-07-15")["question"]
        self.assertEqual(question["round"], "2026-07-14-morning")
        self.assertIn("did round all", self.check_done(garden.run(at="2026-07-15")))
        self.check_done(garden.run("did", "round", "all", at="2026-07-15T06:30:00" + ZONE))
        self.assertIsNone(self.round(garden, "2026-07-15T06:40:00" + ZONE)["question"])

    def test_other_days_and_walks_are_asked_for_by_name(self):
        garden = self.garden()
        first = self.round(garden)
        self.assertEqual(self.round(garden, "2026-07-15", "--day", "yesterday"), first)
        self.assertEqual(self.round(garden, "2026-07-15", "--day", "2026-07-14", "--walk", "morning"), first)
        for words in [("--day", "2026-07-13"), ("--day", "tomorrow"), ("--walk", "noon"), ("--day", "14.7.")]:
            self.check_refused(garden.run("round", *words, at="2026-07-15"))
        self.check_refused(garden.run("--hindsight", "round"), "--at TIME --hindsight")
        self.check_done(garden.run("--hindsight", "round", "--recompute", at=self.AT))

    def test_a_past_morning_replays_as_it_was(self):
        garden = self.garden()
        then = garden.run("--json", "round", at=self.AT).stdout
        self.check_done(garden.run("did", "7", "watered", "6L", at="2026-07-14T07:20:00" + ZONE))
        self.check_done(garden.run("weather", "note", "max=35degC", "min=20degC", at="2026-07-15T05:00:00" + ZONE))
        self.check_done(garden.run("pot", "change", "7", "tree.a.leaves=dense", at="2026-07-16"))
        self.assertEqual(garden.run("--json", "round", at=self.AT).stdout, then)

    def test_no_look_back_shows_a_list_that_was_learned_later(self):
        garden, other = self.garden(), self.garden("other")
        self.check_done(garden.run("did", "7", "watered", "9L", at="2026-07-14T06:35:00" + ZONE))
        later = json.loads(garden.run("--json", "round", at="2026-07-14T06:40:00" + ZONE).stdout)
        before = json.loads(garden.run("--json", "round", at="2026-07-14T06:10:00" + ZONE).stdout)
        self.assertEqual(before, json.loads(other.run("--json", "round", at="2026-07-14T06:10:00" + ZONE).stdout))
        self.assertNotEqual(before["pours"], later["pours"])
        anew = json.loads(garden.run("--json", "round", "--recompute", at="2026-07-14T06:10:00" + ZONE).stdout)
        self.assertLessEqual(anew["inputs_until"], "2026-07-14T06:10:00" + ZONE)

    def test_what_a_list_knew_is_not_told_as_news_within_the_same_second(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "9L", at=self.AT))
        garden.run("round", at=self.AT)
        self.check_done(garden.run("did", "8", "watered", "5L", at=self.AT))
        self.assertIn("since the list before: pot 8 watered\n", self.check_done(garden.run("round", at=self.AT)))

    def test_a_look_ahead_keeps_nothing_of_what_it_shows(self):
        garden, by_the_clock = self.empty, {"TUBGROVE_CLOCK": ""}
        self.check_done(garden.run("setup", typed=ANSWERS, **by_the_clock))
        for moment in ("tomorrow", "2999-07-14"):
            self.assertIn("A look ahead", self.check_done(garden.run("round", at=moment, **by_the_clock)))
        self.check_done(garden.run("did", "7", "felt", "dry", **by_the_clock))
        learned = json.loads(garden.run("--json", "daybook", **by_the_clock).stdout)["entries"][-1]["learned"]
        self.assertLess(abs(datetime.datetime.fromisoformat(learned).timestamp() - time.time()), 3600)

    def test_no_past_is_rewritten(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "2L", at="2026-07-14T07:20:00" + ZONE))
        self.assertIn("A look back", self.check_done(garden.run("round", at="2026-07-13")))
        result = garden.run("did", "7", "watered", "2L", at="2026-07-10T07:20:00" + ZONE)
        self.check_refused(result)

    def test_wrong_entries_are_refused_and_write_nothing(self):
        garden = self.garden()
        before = garden.run("--json", "daybook", at="2026-07-14T12:00:00" + ZONE).stdout
        for words in [("7", "watered", "2gal"), ("7", "watered", "-2L"), ("99", "watered", "2L"), ("7", "felt", "damp"),
                      ("7", "watred", "2L"), ("7", "moved", "nowhere"), ("7", "weighed", "8"), ("round", "most"),
                      ("7", "watered", "nanL"), ("7", "8")]:
            self.check_refused(garden.run("did", *words, at="2026-07-14T07:20:00" + ZONE))
        self.check_refused(garden.run("did", "7", "watered", "2L", "--when", "noon", at="2026-07-14T07:20:00" + ZONE), "--when")
        self.assertEqual(garden.run("--json", "daybook", at="2026-07-14T12:00:00" + ZONE).stdout, before)

    def test_why_goes_from_the_weather_to_the_litres(self):
        garden = self.garden()
        answer = self.round(garden)
        for pot in [line["pot"] for line in answer["pours"] + answer["no_water"]]:
            steps = json.loads(self.check_done(garden.run("--json", "why", pot, at=self.AT)))["steps"]
            self.assertGreater(len(steps), 8)
            self.assertTrue(all(step["label"] and step["value"] for step in steps), steps)
            self.assertTrue(any("FAO" in step["equation"] + step["source"] for step in steps))
            self.check_done(garden.run("why", pot, at=self.AT))
        self.check_refused(garden.run("why", "99", at=self.AT))

    def test_the_course_of_a_pot_s_water_ends_where_the_pot_stands_now(self):
        garden = self.garden()
        self.round(garden)
        self.check_done(garden.run("did", "7", "watered", "3L", at="2026-07-14T07:10:00" + ZONE))
        now = "2026-07-14T08:30:00" + ZONE
        course = json.loads(self.check_done(garden.run("--json", "water", "7", at=now)))
        shown = json.loads(self.check_done(garden.run("--json", "pot", "show", "7", at=now)))["water"]
        self.assertEqual((course["from"], course["to"]), ("2026-07-01", "2026-07-14"))
        last = course["points"][-1]
        self.assertEqual(last["at"], now)
        self.assertEqual([last[key] for key in sorted(shown) if key != "dry_at"], [shown[key] for key in sorted(shown) if key != "dry_at"])
        for point in course["points"]:
            self.assertLessEqual(point["depletion_low_l"], point["depletion_l"])
            self.assertLessEqual(point["depletion_l"], point["depletion_high_l"])
        self.assertIn({"at": "2026-07-14T07:10:00" + ZONE, "pour_l": 3.0, "known": "told", "round": ""}, course["pours"])
        self.assertEqual(len(course["rain"]), 14)
        part = json.loads(self.check_done(garden.run("--json", "water", "7", "--from", "2026-07-03", "--to", "2026-07-04", at=now)))
        self.assertEqual(part["points"], [p for p in course["points"] if p["at"][:10] in ("2026-07-03", "2026-07-04")])
        self.assertIn("written down", self.check_done(garden.run("water", "7", at=now)))
        self.check_refused(garden.run("water", "77", at=now), "77")
        self.check_refused(garden.run("water", "7", "--to", "2026-07-15", at=now), "has not come yet")
        self.check_refused(garden.run("water", "7", "--from", "2026-07-12", "--to", "2026-07-01", at=now), "first day")

    def test_the_words_that_a_face_may_offer_are_taken(self):
        garden = self.garden()
        words = json.loads(self.check_done(garden.run("--json", "words", at=self.AT)))
        facts = {fact["key"]: fact for fact in words["facts"]}
        self.assertEqual(facts["bay"]["words"], ["south-wall"])
        self.assertIn("M.27", facts["tree.*.rootstock"]["words"])
        self.assertEqual(facts["tree.*.leaves"]["words"], ["few", "usual", "dense"])
        self.assertEqual(facts["container.size"], {"key": "container.size", "kind": "quantity", "unit": "L", "words": [], "names": [],
                                                   "help": "litres as printed on the rim", "example": "40 L"})
        for leaves in facts["tree.*.leaves"]["words"]:
            self.check_done(garden.run("pot", "change", "7", "tree.a.leaves=" + leaves, at=self.AT))
        self.assertIn("ran-through", {action["word"] for action in words["actions"]})
        self.assertIn("container.size", self.check_done(garden.run("words", at=self.AT)))

    def test_sheet_pots_and_weather_are_shown(self):
        garden = self.garden()
        self.assertIn("[ ] ", self.check_done(garden.run("sheet", at=self.AT)))
        self.assertIn("lemon", self.check_done(garden.run("pot", "list", at=self.AT)))
        self.assertIn("container.size", self.check_done(garden.run("pot", "show", "7", at=self.AT)))
        self.check_refused(garden.run("pot", "show", "77", at=self.AT))
        weather = json.loads(self.check_done(garden.run("--json", "weather", "show", "--from", "2026-07-10", "--to", "2026-07-12",
                                                        at=self.AT)))
        self.assertEqual([day["day"] for day in weather["days"]], ["2026-07-10", "2026-07-11", "2026-07-12"])
        self.assertIn("2026-07-11", self.check_done(garden.run("weather", "show", at=self.AT)))
        self.check_refused(garden.run("weather", "show", "--from", "2026-13-01", at=self.AT), "--from")


class Pots(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def test_added_changed_and_retired(self):
        garden = self.garden()
        self.check_done(garden.run("pot", "add", "12", "bay=south-wall", "container.size=25L", "tree.a.species=pear", at=self.AT))
        self.check_done(garden.run("pot", "change", "12", "tree.a.leaves=dense", "--since", "2026-06-01", at=self.AT))
        shown = json.loads(self.check_done(garden.run("--json", "pot", "show", "12", at=self.AT)))
        facts = {fact["key"]: fact["value"] for fact in shown["facts"]}
        self.assertEqual(facts["tree.a.leaves"], "dense")
        self.check_done(garden.run("pot", "retire", "12", "--because", "given away", at=self.AT))
        self.assertNotIn("12", [p["id"] for p in json.loads(garden.run("--json", "pot", "list", at=self.AT).stdout)["pots"]])
        self.assertIn("12", [p["id"] for p in json.loads(garden.run("--json", "pot", "list", "--retired", at=self.AT).stdout)["pots"]])
        self.check_refused(garden.run("pot", "add", "12", "bay=south-wall", "container.size=25L", "tree.a.species=pear", at=self.AT))

    def test_wrong_facts_are_refused(self):
        garden = self.garden()
        for words in [("7", "container.size=40gal"), ("7", "bay=nowhere"), ("7", "tree.a.leafs=dense"), ("7", "leaves"),
                      ("99", "bay=south-wall"), ("7", "container.size=0L")]:
            self.check_refused(garden.run("pot", "change", *words, at=self.AT))

    def test_a_garden_file_shows_before_it_writes(self):
        garden = self.garden()
        garden.write("garden.yaml", "pots:\n  - id: 20\n    bay: south-wall\n    since: 2026-03-02\n    container: {size: 40 L}\n"
                                    "    trees: [{id: a, species: apple, rootstock: M.27, planted: 2023-11-12}]\n")
        shown = self.check_done(garden.run("pot", "take", "garden.yaml", at=self.AT))
        self.assertIn("tubgrove pot take garden.yaml --apply", shown)
        self.check_refused(garden.run("pot", "show", "20", at=self.AT))
        self.check_done(garden.run("pot", "take", "garden.yaml", "--apply", at=self.AT))
        self.check_done(garden.run("pot", "show", "20", at=self.AT))
        again = self.check_done(garden.run("pot", "take", "garden.yaml", "--apply", at=self.AT))
        self.assertIn("Nothing to change", again)
        garden.write("wrong.yaml", "pots:\n  - id: 21\n    bay: nowhere\n    containr: {size: 40 L}\n")
        self.check_refused(garden.run("pot", "take", "wrong.yaml", "--apply", at=self.AT), "wrong.yaml:")
        self.assertNotIn("--apply", garden.run("pot", "take", "wrong.yaml", at=self.AT).stdout)
        garden.write("wrong.yaml", "pots:\n  - id: 21\n    bay: nowhere\n    container: {size: 40 gal}\n    trees: [{id: a, speces: apple}]\n")
        told = garden.run("pot", "take", "wrong.yaml", "--apply", at=self.AT).stderr.strip().splitlines()
        self.assertEqual(len(told), 3, told)     # each mistake once, and none of what follows from it
        self.check_refused(garden.run("pot", "add", "21", "bay=south-wall", "container.size=25L", "tree.a.species=pear", "tree.a.planted=2126-01-01", at=self.AT),
                           "tree.a.planted: 2126-01-01 has not come yet")
        self.check_refused(garden.run("pot", "take", "missing.yaml", at=self.AT), "cannot read 'missing.yaml'")


class Weather(InAFolder):
    AT = "2026-07-14T05:00:00" + ZONE

    def counts(self, result):
        return json.loads(result.stdout)

    def test_the_same_file_twice_changes_nothing_and_a_correction_is_a_change(self):
        garden = self.garden()
        again = self.counts(garden.run("--json", "weather", "add", "weather.csv", at=self.AT))
        self.assertEqual((again["new"], again["changed"]), (0, 0))
        self.assertEqual(again["same"], 13 * 24)
        text = hourly_weather(1, 13).replace("T13:00:00+02:00,30.0", "T13:00:00+02:00,31.5", 1)
        garden.write("weather.csv", text)
        changed = self.counts(garden.run("--json", "weather", "add", "weather.csv", at=self.AT))
        self.assertEqual((changed["changed"], changed["same"]), (1, 13 * 24 - 1))

    def test_bad_lines_are_named_and_good_ones_kept(self):
        garden = self.garden()
        lines = hourly_weather(14, 14).splitlines()
        lines[3] = lines[3].replace("18.0", "warm", 1)
        lines[6] = "rubbish"
        garden.write("bad.csv", "\n".join(lines) + "\n")
        result = garden.run("weather", "add", "bad.csv", "--source", "weather", at="2026-07-15T05:00:00" + ZONE)
        self.assertEqual(result.returncode, NOT_IN_ORDER, result.stderr)
        self.assertIn("bad.csv:7", result.stderr)
        self.assertIn("bad.csv:4", result.stderr)
        self.assertRegex(result.stdout, r"2[23] new")

    def test_what_has_not_come_yet_is_a_forecast_and_no_reading(self):
        garden = self.garden()
        garden.write("ahead.csv", hourly_weather(13, 16))
        result = garden.run("--json", "weather", "add", "ahead.csv", "--source", "weather", at="2026-07-14T05:30:00" + ZONE)
        self.assertEqual(result.returncode, NOT_IN_ORDER, result.stderr)
        told = self.counts(result)
        self.assertEqual((told["same"], told["new"]), (24, 6), told["complaints"][:2])     # the hours up to 06:00
        self.assertIn("has not come yet", told["complaints"][0])
        garden.write("days.csv", "day,air_temperature:max [degC],air_temperature:min [degC]\n2026-07-20,30,15\n1800-01-01,5,1\n2026-07-13,30,15\n")
        result = garden.run("--json", "weather", "add", "days.csv", at="2026-07-14T05:30:00" + ZONE)
        self.assertEqual((self.counts(result)["new"], self.counts(result)["refused"]), (1, 2))
        self.assertIn("1850", self.counts(result)["complaints"][1])

    def test_what_cannot_be_read_at_all_is_refused(self):
        garden = self.garden()
        garden.write("no.csv", "a,b\n1,2\n")
        self.check_refused(garden.run("weather", "add", "no.csv", at=self.AT))
        self.check_refused(garden.run("weather", "add", "missing.csv", at=self.AT), "there is no file 'missing.csv'")
        self.check_refused(garden.run("weather", "add", garden.folder, at=self.AT), "is a folder")
        self.check_refused(garden.run("weather", "add", "/dev/null", at=self.AT), "/dev/null: the file is empty")
        self.check_refused(garden.run("weather", "add", "--mapping", "none", "weather.csv", at=self.AT), "mapping")
        self.check_refused(garden.run("weather", "add", "--forecast", "weather.csv", at=self.AT), "--issued")
        self.check_refused(garden.run("weather", "note", "max=hot", at=self.AT))

    def test_a_gauge_s_total_that_goes_on_in_a_second_file_says_what_is_lost_between(self):
        garden = self.garden()
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text + """
weather:
  - name: gauge
    time: at
    time_format: "%Y-%m-%d %H:%M"
    span: 1 h
    columns: [{from: total, quantity: "precipitation_amount:sum", unit: mm, counter: yes}]
  - name: days
    time: at
    time_format: "%Y-%m-%d"
    columns: [{from: total, quantity: "precipitation_amount:sum", unit: mm, counter: yes}]
""")
        garden.write("one.csv", "at,total\n2026-07-14 06:00,10\n2026-07-14 07:00,11\n")
        garden.write("two.csv", "at,total\n2026-07-14 09:00,13\n2026-07-14 10:00,13\n")
        garden.write("whole.csv", "at,total\n2026-07-14 07:00,11\n2026-07-14 08:00,12\n2026-07-14 09:00,13\n2026-07-14 10:00,13\n")

        def add(name, mapping="gauge"):
            return " ".join(self.check_done(garden.run("weather", "add", "--mapping", mapping, name, at="2026-07-15T08:00:00" + ZONE)).split())

        self.assertNotIn("running total", add("one.csv"))
        self.assertIn("what came between 2026-07-14 07:00 and 2026-07-14 09:00 is not known. A file that begins with the last row of "
                      "the one before loses nothing.", add("two.csv"))
        self.assertNotIn("running total", add("whole.csv"))
        # Within a file the total tells of the hours that have no row.
        garden.write("still.csv", "at,total\n2026-07-14 10:00,13\n2026-07-14 11:00,13\n2026-07-14 19:00,13\n2026-07-14 20:00,13\n2026-07-14 23:00,14.5\n")
        told = add("still.csv")
        self.assertIn("total: no reading between 2026-07-14 11:00 and 2026-07-14 19:00; its running total stood still, so that time has none.", told)
        self.assertIn("total: no reading between 2026-07-14 20:00 and 2026-07-14 23:00; what its running total rose by, 1.5 mm, is shared out evenly.", told)
        # A row whose cell is empty is a row, but no reading.
        garden.write("cells.csv", "at,total\n2026-07-15 01:00,14.5\n2026-07-15 02:00,14.5\n2026-07-15 03:00,\n2026-07-15 04:00,16.5\n")
        self.assertIn("total: no reading between 2026-07-15 02:00 and 2026-07-15 04:00; what its running total rose by, 2 mm, is shared out evenly.", add("cells.csv"))
        # A row of a whole day is a reading of it.
        garden.write("days.csv", "at,total\n2026-07-05,100\n2026-07-06,101\n2026-07-10,109\n")
        self.assertIn("total: no reading between 2026-07-07 00:00 and 2026-07-10 00:00; what its running total rose by, 8 mm, is shared out evenly.", add("days.csv", "days"))

    def test_standard_input_and_notes(self):
        garden = self.garden()
        result = garden.run("weather", "add", "--source", "weather", "-", at="2026-07-15T05:00:00" + ZONE, typed=hourly_weather(14, 14))
        self.assertIn("24 new", self.check_done(result))
        self.check_done(garden.run("weather", "note", "max=31degC", "min=17degC", "rain=3mm", at="2026-07-16T20:00:00" + ZONE))
        self.check_done(garden.run("weather", "note", "hot", at="2026-07-16T20:00:00" + ZONE))


class Copies(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def test_export_is_taken_in_again(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "2.5L", "--note", 'half; "spilled", \\ and ünïcode', at=self.AT))
        self.check_done(garden.run("export", "--into", "out", at=self.AT))
        self.check_refused(garden.run("export", "--into", "out", at=self.AT), "is there already")
        with open(os.path.join(garden.folder, "out", "tubgrove-daybook.csv"), encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        self.assertIn("watered", [row["action"] for row in rows])
        shutil.copy(garden.configuration, self.empty.configuration)
        out = os.path.join(garden.folder, "out")
        self.check_done(self.empty.run("daybook", "take", out + "/tubgrove-daybook.csv", "--apply", at=self.AT))

        def entries(of):
            book = json.loads(self.check_done(of.run("--json", "daybook", at="2026-07-14T09:00:00" + ZONE)))
            return [{key: entry.get(key) for key in ("pot", "action", "values", "when", "by", "note")} for entry in book["entries"]]

        self.assertEqual(entries(self.empty), entries(garden))
        fresh = Garden(os.path.join(self.place, "fresh"))
        os.makedirs(fresh.folder)
        shutil.copy(garden.configuration, fresh.configuration)
        self.check_done(fresh.run("pot", "take", out + "/tubgrove-garden.yaml", "--apply", at=self.AT))
        self.assertEqual([p["id"] for p in json.loads(fresh.run("--json", "pot", "list", at=self.AT).stdout)["pots"]],
                         [p["id"] for p in json.loads(garden.run("--json", "pot", "list", at=self.AT).stdout)["pots"]])

    def test_an_exported_garden_gives_the_same_list_elsewhere(self):
        garden = self.garden()
        self.check_done(garden.run("round", at="2026-07-14"))
        self.check_done(garden.run("did", "round", "all", at="2026-07-14T07:20:00" + ZONE))
        self.check_done(garden.run("round", at=self.AT))
        self.check_done(garden.run("export", "--into", "out", at=self.AT))
        shutil.copy(garden.configuration, self.empty.configuration)
        file = os.path.join(garden.folder, "out", "tubgrove-daybook.csv")
        self.assertIn("2 lists", self.check_done(self.empty.run("daybook", "take", file, at=self.AT)))
        self.check_done(self.empty.run("daybook", "take", file, "--apply", at=self.AT))
        for place in (garden, self.empty):
            shutil.copy(os.path.join(garden.folder, "weather.csv"), os.path.join(place.folder, "again.csv"))
            self.check_done(place.run("weather", "add", "--source", "weather", "again.csv", at="2026-07-15T05:00:00" + ZONE))

        def list_of(place):
            answer = json.loads(self.check_done(place.run("--json", "round", at="2026-07-15")))
            self.assertIsNone(answer["question"])
            return [(line["pot"], line.get("pour_l"), line["depletion_l"]) for line in answer["pours"] + answer["no_water"]]

        self.assertTrue(list_of(garden))
        self.assertEqual(list_of(self.empty), list_of(garden))

    def test_backup_and_restore(self):
        garden = self.garden()
        before = garden.run("--json", "daybook", at=self.AT).stdout
        self.check_done(garden.run("backup", "copy.db"))
        self.check_refused(garden.run("backup", "copy.db"))
        self.check_done(garden.run("did", "7", "watered", "2L", at=self.AT))
        self.assertNotEqual(garden.run("--json", "daybook", at=self.AT).stdout, before)
        self.check_done(garden.run("restore", "copy.db"))
        self.assertEqual(garden.run("--json", "daybook", at=self.AT).stdout, before)
        self.check_refused(garden.run("restore", "missing.db"), "no file")
        garden.write("torn.db", "this is no store")
        result = garden.run("restore", "torn.db")
        self.assertIn(result.returncode, (WRONG, FAULT))
        self.assertEqual(garden.run("--json", "daybook", at=self.AT).stdout, before)


if __name__ == "__main__":
    unittest.main()
