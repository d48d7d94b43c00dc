#!/usr/bin/env python3
"""What is odd is taken, told and asked about; what nobody knows is not claimed.

usage: command_doubts_test.py PROGRAM [unittest's own words]
"""
import datetime
import json
import os
import shutil
import unittest

import command_garden
from command_garden import NOT_IN_ORDER, ZONE, InAFolder


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def flat(text):
    return " ".join(text.split())


class Doubts(InAFolder):
    AT = "2026-07-14T08:00:00" + ZONE

    def round(self, garden, at):
        return json.loads(self.check_done(garden.run("--json", "round", at=at)))

    def notices(self, garden, at, code):
        return [n["text"] for n in self.round(garden, at)["notices"] if n["code"] == code]


class MuchPoured(Doubts):
    """A pot takes up less than its own volume: more may be a slip of the hand, or a hose left on."""

    def test_it_is_kept_told_and_asked_about_until_it_is_struck(self):
        garden = self.garden()
        done = flat(self.check_done(garden.run("did", "7", "watered", "300L", at=self.AT)))
        self.assertIn("pot 7: 300 L is more than a pot of 40 L can take up. It is kept", done)
        self.assertIn("strike 4, and tell it anew", done)
        asked = self.notices(garden, "2026-07-15", "pour-doubted")
        self.assertEqual(len(asked), 1)
        self.assertIn("A slip? strike 4", asked[0])
        self.check_done(garden.run("strike", "4", at="2026-07-15T07:30:00" + ZONE))
        self.assertEqual(self.notices(garden, "2026-07-15T07:31:00" + ZONE, "pour-doubted"), [])

    def test_a_usual_pour_is_not_asked_about(self):
        garden = self.garden()
        self.assertNotIn("can take up", self.check_done(garden.run("did", "7", "watered", "20L", at=self.AT)))
        self.assertEqual(self.notices(garden, "2026-07-15", "pour-doubted"), [])

    def test_a_hose_left_on_is_told_with_a_note_and_lists_do_not_ask(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "300L", "--note", "the hose was left on", at=self.AT))
        self.assertEqual(self.notices(garden, "2026-07-15", "pour-doubted"), [])
        answer, missing = self.round(garden, "2026-07-15"), {}
        for line in answer["pours"] + answer["no_water"]:
            missing[line["pot"]] = line["depletion_l"] / line["available_l"]
        self.assertLess(missing["7"], min(missing["8"], missing["lemon"]))      # it counts as filled

    def test_lists_ask_on_the_day_and_the_day_after_and_then_leave_it(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "ran-through", "300L", at=self.AT))
        self.assertEqual(len(self.notices(garden, "2026-07-14T08:30:00" + ZONE, "pour-doubted")), 1)
        self.assertEqual(len(self.notices(garden, "2026-07-15", "pour-doubted")), 1)
        self.assertEqual(self.notices(garden, "2026-07-16", "pour-doubted"), [])

    def test_of_several_pots_the_small_one_is_named(self):
        garden = self.garden()
        done = flat(self.check_done(garden.run("did", "7", "8", "lemon", "watered", "20L", at=self.AT)))
        self.assertIn("pot 8: 20 L is more than a pot of 30 L", done)       # 30 L to the brim
        self.assertIn("pot lemon: 20 L is more than a pot of 20 L", done)   # 20 L
        self.assertNotIn("pot 7: 20 L", done)                # 40 L
        self.assertIn("strike 5", done)
        self.assertIn("strike 6", done)

    def test_a_pot_described_by_its_lengths_is_asked_about_too(self):
        garden = self.garden()
        self.check_done(garden.run("pot", "add", "2", "container.form=square", "container.top=46cm", "container.base=40cm", "container.height=42cm",
                                   "bay=south-wall", "tree.a.species=apple", at=self.AT))
        # A frustum of 46 and 40 cm over 42 cm: 42/3 (46^2 + 46 x 40 + 40^2) = 77 784 cm3.
        self.assertIn("more than a pot of 77.8 L can take up", flat(self.check_done(garden.run("did", "2", "watered", "300L", at=self.AT))))

    def test_the_answer_as_json_says_it_too(self):
        answer = json.loads(self.check_done(self.garden().run("--json", "did", "7", "watered", "300L", at=self.AT)))
        self.assertEqual(len(answer["entries"]), 1)
        self.assertIn("can take up", answer["remarks"][-1])


class ToldRain(Doubts):
    """What a person read off a gauge is a measurement."""

    def text_of(self, garden, at):
        return flat(self.check_done(garden.run("round", at=at)))

    def setUp(self):
        super().setUp()
        self.garden_without_weather = self.empty
        self.check_done(self.empty.run("setup", at="2026-07-01", typed=command_garden.ANSWERS))

    def test_a_guess_of_the_day_is_no_statement_about_it_and_known_days_correct_it(self):
        garden = self.empty
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("latitude: 47.9", "latitude: 27.9"))
        shown = lambda at: flat(self.check_done(garden.run("round", at=at)))
        self.assertIn("No forecast; today is guessed to reach", shown("2026-07-08"))
        self.assertNotIn("Up to", shown("2026-07-08"))
        # A cool week by the thermometer: no warning of a heat that only the latitude speaks of, and less evaporation.
        evaporation = lambda at: json.loads(garden.run("--json", "round", at=at).stdout)["et0_mm"]
        by_latitude = evaporation("2026-07-08")
        for day in range(8, 15):
            self.check_done(garden.run("weather", "note", "max=22degC", "min=13degC", "--day", f"2026-07-{day:02d}", at="2026-07-14T20:00:00" + ZONE))
        self.assertNotIn("is guessed to reach", shown("2026-07-15"))
        self.assertLess(evaporation("2026-07-15"), 0.8 * by_latitude)
        why = flat(self.check_done(garden.run("why", "7", at="2026-07-15")))
        self.assertIn("guessed from the known days near and the latitude", why)

    def test_a_device_without_end_is_no_configuration(self):
        result = self.empty.run("--config", "/dev/zero", "check")
        self.assertIn("File too large", result.stderr)
        self.assertNotEqual(result.returncode, 0)

    def test_told_rain_is_not_perhaps(self):
        garden = self.empty
        self.assertIn("no rain was told", self.text_of(garden, "2026-07-14"))
        self.check_done(garden.run("weather", "note", "rain=60mm", at="2026-07-14T20:00:00" + ZONE))
        text = self.text_of(garden, "2026-07-15")
        self.assertIn("60 mm fell", text)
        self.assertNotIn("erhaps 60 mm", text)
        self.assertNotIn("no rain was told", text)
        self.assertNotIn("no weather readings", text.lower())
        self.assertIn("Weather from rain by hand, then usual values", text)

    def test_days_between_of_which_nobody_told_are_named(self):
        for day in ("2026-07-10", "2026-07-14"):
            self.check_done(self.empty.run("weather", "note", "rain=5mm", "--day", day, at="2026-07-14T20:00:00" + ZONE))
        text = self.text_of(self.empty, "2026-07-15")
        self.assertIn("rain of some days of the week before was not told", text)
        self.assertNotIn("no rain was told", text)

    def test_a_week_of_told_rain_leaves_nothing_to_say(self):
        garden = self.empty
        for day in range(7, 15):
            self.check_done(garden.run("weather", "note", "rain=2mm", "max=28degC", "min=16degC", "--day", f"2026-07-{day:02d}", at="2026-07-14T20:00:00" + ZONE))
        text = self.text_of(garden, "2026-07-15")
        self.assertNotIn("rain gauge", text)
        self.assertNotIn("was not told", text)
        self.assertNotIn("were not told", text)
        self.assertIn("Weather from highest and lowest by hand and rain by hand, then usual values", text)

    def test_told_rain_lessens_what_is_missing(self):
        garden = self.empty
        self.check_done(garden.run("pot", "change", "7", "container.size=40L", at="2026-07-14T05:00:00" + ZONE))
        dry = self.empty.copy(self.place + "/dry")
        self.check_done(garden.run("weather", "note", "rain=60mm", at="2026-07-14T20:00:00" + ZONE))
        self.check_done(dry.run("weather", "note", "rain=0mm", at="2026-07-14T20:00:00" + ZONE))

        def missing(garden):
            answer = self.round(garden, "2026-07-15")
            return next(line["depletion_l"] for line in answer["pours"] + answer["no_water"] if line["pot"] == "7")
        self.assertLess(missing(garden), missing(dry))


    def test_rain_is_told_when_it_has_fallen(self):
        self.check_refused(self.empty.run("weather", "note", "rain=3mm", "--day", "2026-07-16", at=self.AT), "the rain of 2026-07-16 has not fallen yet")
        self.check_done(self.empty.run("weather", "note", "hot", "--day", "2026-07-16", at=self.AT))
        self.check_done(self.empty.run("weather", "note", "rain=3mm", at=self.AT))


class FirstList(Doubts):
    """Nobody has told of any water yet: a list says so instead of claiming dryness."""

    def test_the_first_list_says_what_settles_it(self):
        self.check_done(self.empty.run("setup", at="2026-07-01", typed=command_garden.ANSWERS))
        text = flat(self.check_done(self.empty.run("round", at="2026-07-14")))
        self.assertIn("How wet the pots are was never told", text)
        self.assertIn("did 7 felt dry (or barely-moist, moist, wet)", text)
        self.assertNotIn("; dry already", text)
        self.assertIn("perhaps dry", text)

    def test_what_was_felt_settles_it_for_that_pot(self):
        garden = self.garden()
        self.assertEqual(len(self.notices(garden, "2026-07-14", "water-unknown")), 1)
        self.check_done(garden.run("did", "7", "felt", "dry", at=self.AT))
        asked = self.notices(garden, "2026-07-14T08:05:00" + ZONE, "water-unknown")
        self.assertIn("How wet 8, lemon are was never told", asked[0])
        self.check_done(garden.run("did", "8", "watered", "5L", at="2026-07-14T08:10:00" + ZONE))
        self.check_done(garden.run("did", "lemon", "weighed", "14kg", at="2026-07-14T08:10:00" + ZONE))
        self.assertEqual(self.notices(garden, "2026-07-15", "water-unknown"), [])

    def test_a_pot_planted_and_watered_in_today_is_not_asked_about(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "8", "lemon", "felt", "moist", at=self.AT))
        self.check_done(garden.run("pot", "add", "9", "bay=south-wall", "container.size=25L", "tree.a.species=pear", at=self.AT))
        self.assertEqual(self.notices(garden, "2026-07-15", "water-unknown"), [])


class Slips(Doubts):
    """What was typed wrong, at odd moments."""

    def test_days_that_have_not_come_are_refused(self):
        garden = self.garden()
        for fact in ("tree.a.planted=2027-01-01", "tree.a.grafted=2026-07-15", "tree.a.crown.measured=2026-12-24", "tree.a.stage.full-bloom=2027-04-20"):
            self.check_refused(garden.run("pot", "change", "7", fact, at=self.AT), "has not come yet; today or a day before")
        self.check_refused(garden.run("pot", "add", "9", "bay=south-wall", "container.size=9L", "tree.a.species=apple", "tree.a.grafted=2026-08-01", at=self.AT), "has not come yet")
        garden.write("more.yaml", "pots: [{id: 9, bay: south-wall, container: {size: 9 L}, trees: [{id: a, species: apple, grafted: 2026-08-01}]}]\n")
        self.check_refused(garden.run("pot", "take", "more.yaml", "--apply", at=self.AT), "tree.a.grafted: 2026-08-01 has not come yet")
        self.check_done(garden.run("pot", "change", "7", "tree.a.planted=2026-07-14", at=self.AT))

    def test_a_highest_below_the_lowest_of_another_note_is_told_at_once(self):
        garden = self.garden()
        note = lambda *words: self.check_done(garden.run("weather", "note", *words, at="2026-07-14T20:00:00" + ZONE))
        told = "2026-07-14: the highest, 20 °C, now lies below the lowest, 25 °C, so that neither counts"
        self.assertNotIn("counts", note("min=25degC"))
        self.assertIn(told, " ".join(note("max=20degC").split()))
        self.assertIn(told, " ".join(note("rain=3mm").split()))   # as long as it is so
        self.assertNotIn("counts", note("max=20degC", "min=12degC", "--day", "2026-07-13"))
        self.assertNotIn("counts", note("max=28degC"))
        self.assertNotIn("rejected", garden.run("weather", "show", at="2026-07-14T20:00:00" + ZONE).stdout)

    def test_a_moment_that_is_none_is_told_with_all_that_would_be_one(self):
        self.check_refused(self.garden().run("round", at="nonsense"), "'nonsense' is no time", "2026-07-14 for that morning's list", "2026-07-14T07:30:00+02:00")

    def test_a_time_that_the_clocks_skip_is_refused_and_the_hours_beside_it_are_taken(self):
        garden = self.garden()
        skipped = ("'2026-03-29T02:30' did not come in Europe/Budapest: clocks are put forward there from 2026-03-29T02:00 to 03:00",
                   "2026-03-29T03:30 if the clock was not put forward yet, or a time before 02:00")
        self.check_refused(garden.run("did", "7", "watered", "2L", "--when", "2026-03-29T02:30", at=self.AT), *skipped)
        self.check_refused(garden.run("round", at="2026-03-29T02:30"), *skipped)
        self.assertNotIn("watered", self.check_done(garden.run("daybook", "--from", "2026-03-01", at=self.AT)))
        for clock in ("01:59", "03:30"):
            self.check_done(garden.run("did", "7", "watered", "2L", "--when", "2026-03-29T" + clock, at=self.AT))
        kept = json.loads(self.check_done(garden.run("--json", "daybook", "--from", "2026-03-29", "--to", "2026-03-29", at=self.AT)))["entries"]
        self.assertEqual([e["when"] for e in kept], ["2026-03-29T01:59:00+01:00", "2026-03-29T03:30:00+02:00"])

    def test_a_struck_addition_is_told_and_comes_back(self):
        garden = self.garden()
        entry = next(e for e in json.loads(self.check_done(garden.run("--json", "daybook", "--pot", "7", at=self.AT)))["entries"] if e["action"] == "added")["id"]
        done = flat(self.check_done(garden.run("strike", str(entry), at=self.AT)))
        self.assertIn("pot 7 is no more, as if it had never been added; strike 4 brings it back with all its entries", done)
        self.check_refused(garden.run("did", "7", "watered", "2L", at=self.AT), "there is no pot '7'")
        self.check_done(garden.run("strike", "4", at=self.AT))
        self.check_done(garden.run("did", "7", "watered", "2L", at=self.AT))

    def test_an_entry_about_a_tree_that_is_not_there_or_a_list_that_was_not_issued_is_kept_and_told(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "died", at=self.AT))
        self.assertIn("no tree stands in pot 7", flat(self.check_done(garden.run("did", "7", "grafted", at=self.AT))))
        for name in ("2026-07-13-morning", "yesterday"):
            self.assertIn("no list " + name + " was issued here", flat(self.check_done(garden.run("did", "8", "watered", "2L", "--round", name, at=self.AT))))

    def test_a_saucer_as_large_as_the_pot_is_told_and_a_day_to_come_is_refused_also_where_it_is_only_tried_out(self):
        garden = self.garden()
        large = "saucer of 39 L is large beside a pot of 40 L. A slip? container.saucer=4L would be usual"
        for words in (("compare", "7", "container.saucer=39L"), ("pot", "change", "7", "container.saucer=39L"),
                      ("pot", "add", "q9", "bay=south-wall", "container.size=40L", "container.saucer=39L", "tree.a.species=apple")):
            self.assertIn(large, flat(self.check_done(garden.run(*words, at=self.AT))), words)
        self.assertNotIn("is large", flat(self.check_done(garden.run("compare", "8", "container.saucer=3L", at=self.AT))))
        self.check_refused(garden.run("compare", "7", "tree.a.planted=2027-01-01", at=self.AT), "tree.a.planted: 2027-01-01 has not come yet; today or a day before")

    def test_a_weight_that_no_pot_has_is_kept_and_told(self):
        garden = self.garden()
        # 40 L of quartz, 2.65 kg/L, weigh 106 kg.
        self.assertIn("pot 7: 840 kg is more than its 40 L of solid rock would weigh", flat(self.check_done(garden.run("did", "7", "weighed", "840kg", at=self.AT))))
        self.assertNotIn("rock", self.check_done(garden.run("did", "7", "weighed", "60kg", at=self.AT)))

    def test_what_could_not_be_taken_back_from_an_export_is_refused(self):
        garden = self.garden()
        for words in (("did", "7", "watered", "2L", "--by", "Ana\x1b[31m"), ("did", "7", "watered", "2L", "--by", "A" * 61), ("did", "7", "watered", "2L", "--by", "Ana\nBen"),
                      ("did", "7", "watered", "2L", "--note", "a\x07"), ("did", "7", "watered", "2L", "--note", "N" * 2001), ("strike", "3", "--note", "\x1b[2J"),
                      ("pot", "retire", "8", "--because", "gone\x00".rstrip("\x00") + "\x08"), ("did", "7", "watered", "2L", "--note", os.fsdecode(b"\xff\xfe"))):
            with self.subTest(words):
                self.check_refused(garden.run(*words, at=self.AT), "control bytes")
        self.check_done(garden.run("did", "7", "watered", "2L", "--by", "Zo\u00eb", "--note", "first line\nsecond line", at=self.AT))
        self.check_done(garden.run("export", "--into", "out", at=self.AT))
        fresh = garden.copy(self.place + "/fresh")
        shutil.rmtree(fresh.data)
        self.check_done(fresh.run("daybook", "take", "out/tubgrove-daybook.csv", "--apply", at=self.AT))
        told = json.loads(self.check_done(fresh.run("--json", "daybook", at=self.AT)))["entries"][-1]
        self.assertEqual((told["by"], told["note"]), ("Zo\u00eb", "first line\nsecond line"))

    def test_pots_as_people_name_them(self):
        garden = self.garden()
        self.check_refused(garden.run("did", "7,8", "watered", "2L", at=self.AT), "with blanks between them")
        self.check_refused(garden.run("did", "all", "watered", "2L", at=self.AT), "did round all")
        self.check_refused(garden.run("did", "pot", "7", "watered", "2L", at=self.AT), "write the id alone")

    def test_verbs_and_widths_as_people_say_them(self):
        garden = self.garden()
        self.check_refused(garden.run("did", "7", "water", "2L", at=self.AT), "did you mean watered?")
        self.check_refused(garden.run("did", "7", "prune", "20%", at=self.AT), "did you mean pruned?")
        self.assertIn("90", self.check_done(garden.run("did", "7", "crown", "90cm", "x", "80cm", "high", "140cm", at=self.AT)))

    def test_a_daybook_from_after_to_is_refused(self):
        self.check_refused(self.garden().run("daybook", "--from", "2026-07-20", "--to", "2026-07-01", at=self.AT), "the first day is after the last")

    def test_an_export_into_a_file_is_refused(self):
        garden = self.garden()
        self.check_refused(garden.run("export", "--into", "tubgrove.yaml", at=self.AT), "tubgrove.yaml is no folder; a folder: --into DIR")

    def test_many_write_at_once_and_all_is_there(self):
        garden = self.garden()
        started = [garden.start("did", "7", "watered", f"{n}L", at=self.AT) for n in range(1, 9)]
        for one in started:
            out, err = one.communicate(timeout=120)
            self.assertEqual(one.returncode, 0, out + err)
        told = [e["values"]["amount_l"] for e in json.loads(self.check_done(garden.run("--json", "daybook", "--pot", "7", at=self.AT)))["entries"] if e["action"] == "watered"]
        self.assertEqual(sorted(told), [float(n) for n in range(1, 9)])


class NamesForPeople(Doubts):
    """Keys of tables are for typing; people are shown what they call the thing."""

    def test_media_have_their_names(self):
        garden = self.garden()
        self.check_done(garden.run("pot", "change", "7", "medium=bark_peat_sand", at=self.AT))
        name = "bark, peat and sand"
        with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "config", "media.yaml"), encoding="utf-8") as table:
            for row in table:
                if "{key: bark_peat_sand," in row:
                    name = row.split('name: "')[1].split('"')[0]
        self.assertIn("40 L of " + name, flat(self.check_done(garden.run("pot", "list", at=self.AT))).replace("\u00a0", " "))
        self.assertIn("bark_peat_sand (" + name + ")", flat(self.check_done(garden.run("words", at=self.AT))))
        pots = json.loads(self.check_done(garden.run("--json", "pot", "list", at=self.AT)))["pots"]
        self.assertEqual([(p["medium"], p["medium_name"]) for p in pots if p["id"] == "7"], [("bark_peat_sand", name)])
        why = flat(self.check_done(garden.run("why", "7", at=self.AT)))
        self.assertIn("possible pots that fit what was told, of 128 that are followed", why)
        self.assertNotIn("members still believed", why)


class Indoors(Doubts):
    """A bay indoors: no rain, little wind, a temperature that is held."""

    def garden_in(self, place, name):
        garden = self.garden(name)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("rain: eaves", "rain: open").replace("place: ground", "place: " + place))
        self.check_done(garden.run("did", "7", "8", "lemon", "weighed-drained", "50kg", at=self.AT))
        return garden

    def missing(self, garden, at):
        return json.loads(self.check_done(garden.run("--json", "pot", "show", "7", at=at)))["water"]["depletion_l"]

    def test_no_rain_arrives(self):
        got = {}
        for place in ("indoors", "ground"):
            for rain in ("0mm", "40mm"):
                garden = self.garden_in(place, place + rain)
                self.check_done(garden.run("weather", "note", "rain=" + rain, "--day", "2026-07-14", at="2026-07-14T20:00:00" + ZONE))
                got[place, rain] = self.missing(garden, "2026-07-15T08:00:00" + ZONE)
        self.assertEqual(got["indoors", "0mm"], got["indoors", "40mm"])
        self.assertLess(got["ground", "40mm"], got["ground", "0mm"])

    def test_frost_outside_is_no_frost_indoors(self):
        used, steps = {}, {}
        for place in ("indoors", "ground"):
            garden = self.garden_in(place, place)
            self.check_done(garden.run("did", "lemon", "weighed-drained", "50kg", at="2026-12-01T08:00:00" + ZONE.replace("2", "1")))
            for day in range(1, 9):
                self.check_done(garden.run("weather", "note", "max=-1degC", "min=-9degC", "--day", f"2026-12-{day:02d}", at="2026-12-08T20:00:00+01:00"))
            at = "2026-12-09T08:00:00+01:00"
            used[place] = json.loads(self.check_done(garden.run("--json", "pot", "show", "lemon", at=at)))["water"]["depletion_l"]
            steps[place] = json.loads(self.check_done(garden.run("--json", "why", "lemon", at=at)))["steps"]
        self.assertGreater(used["indoors"], used["ground"])
        told = {s["label"]: s for s in steps["indoors"]}
        self.assertEqual(told["temperature indoors, as it is held"]["value"], "10.0")
        self.assertIn("held between 10 and 30 degC", told["temperature indoors, as it is held"]["equation"])
        self.assertEqual(float(told["share of the open rain"]["value"]), 0)
        self.assertNotIn("temperature indoors, as it is held", [s["label"] for s in steps["ground"]])


class Site(Doubts):
    """A position and a zone that cannot belong together; the clocks of real places stand up to about 3.5 h off their sun."""

    def with_site(self, **changed):
        garden = self.garden("garden-" + "-".join(str(v).replace("/", "_") for v in changed.values()))
        with open(garden.configuration, encoding="utf-8") as file:
            lines = file.read().splitlines()
        for key, value in changed.items():
            lines = [line.split(":")[0] + f": {value}" if line.strip().startswith(key + ":") else line for line in lines]
        garden.write("tubgrove.yaml", "\n".join(lines) + "\n")
        return garden

    def test_places_that_there_are(self):
        # Longitude, latitude and zone of cities far from their zone's meridian, from memory: Kashgar, Reykjavik, Vigo, Apia, Kiritimati.
        for latitude, longitude, zone in [(39.5, 76.0, "Asia/Shanghai"), (64.1, -21.9, "Atlantic/Reykjavik"), (42.2, -8.7, "Europe/Madrid"),
                                          (-13.8, -171.8, "Pacific/Apia"), (1.9, -157.4, "Pacific/Kiritimati"), (-36.8, 174.8, "Pacific/Auckland")]:
            with self.subTest(zone):
                self.check_done(self.with_site(latitude=latitude, longitude=longitude, timezone=zone).run("check"))

    def test_a_longitude_with_the_wrong_sign_is_told(self):
        garden = self.with_site(longitude=87.6, latitude=41.9, timezone="America/Chicago")
        result = garden.run("check")
        self.assertEqual(result.returncode, NOT_IN_ORDER)
        self.assertIn("longitude 87.6° east and the zone America/Chicago do not belong together: its clock is 11.8 h behind the sun there", result.stdout)
        self.assertIn("a longitude in the west is negative", result.stdout)
        self.assertEqual(len(self.notices(garden, "2026-07-14", "site-doubted")), 1)
        # Turned round it would be no better: only the zone can be wrong.
        for longitude, zone in ((139.7, "UTC"), (-120.3, "Europe/Budapest")):
            result = self.with_site(longitude=longitude, timezone=zone).run("check")
            self.assertIn("; the zone whose time is kept there", result.stdout)
            self.assertNotIn("is negative", result.stdout)

    def test_a_latitude_of_the_other_half_of_the_earth_is_told_by_its_summer_time(self):
        result = self.with_site(latitude=-47.9).run("check")
        self.assertEqual(result.returncode, NOT_IN_ORDER)
        self.assertIn("latitude 47.9° south and the zone Europe/Budapest do not belong together: its summer time is that of the north", result.stdout)
        self.assertEqual(self.with_site(latitude=36.8, longitude=174.8, timezone="Pacific/Auckland").run("check").returncode, NOT_IN_ORDER)

    def test_the_interview_asks_again(self):
        answers = command_garden.ANSWERS.replace("Europe/Budapest", "Pacific/Auckland\nEurope/Budapest", 1)
        done = self.check_done(self.empty.run("setup", at="2026-07-01", typed=answers))
        self.assertIn("the zone Pacific/Auckland do not belong together", flat(done))


class MomentsAndPotsGone(Doubts):
    """A clock that cannot be right is told of, a slip in --at locks nothing, and a pot that is gone is still looked back at."""

    def test_a_clock_that_was_confirmed_is_no_longer_doubted(self):
        garden, by_the_clock = self.garden(), {"TUBGROVE_CLOCK": ""}
        moment = datetime.date(2026, 7, 14)
        while moment <= datetime.date.today():       # no write may lie years ahead of what is known
            moment += datetime.timedelta(days=700)
            self.check_done(garden.run("did", "7", "watered", "2L", at=str(moment)))   # what is learned now seems to come before it
        self.assertIn("cannot be right", self.check_done(garden.run("round", **by_the_clock)))
        self.assertIn("cannot be right, and this stands at that", " ".join(self.check_done(garden.run("did", "7", "felt", "dry", **by_the_clock)).split()))
        self.assertNotIn("cannot be right", self.check_done(garden.run("did", "7", "felt", "dry", "--when", "2026-07-14T07:00", **by_the_clock)))
        self.check_done(garden.run("clock", "confirm", **by_the_clock))
        self.assertNotIn("cannot be right", self.check_done(garden.run("round", **by_the_clock)))
        self.assertNotIn("cannot be right", self.check_done(garden.run("did", "7", "felt", "dry", **by_the_clock)))

    def test_a_moment_years_ahead_of_all_that_is_known_locks_nothing(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "2L", at=self.AT))
        for words in (("did", "7", "watered", "2L"), ("weather", "note", "max=31degC", "min=17degC"), ("pot", "retire", "7", "--because", "gone")):
            self.check_refused(garden.run(*words, at="9999-12-31"), "more than two years before")
        self.assertIn("A look ahead", self.check_done(garden.run("round", at="9999-12-31")))
        self.check_done(garden.run("did", "7", "watered", "2L", at="2028-07-01"))

    def test_the_season_of_a_pot_that_is_gone_is_looked_back_at(self):
        garden = self.garden()
        self.check_done(garden.run("did", "7", "watered", "2L", at="2026-07-14T07:00:00" + ZONE))
        self.check_done(garden.run("pot", "retire", "7", "--because", "given away", at="2026-07-20T07:00:00" + ZONE))
        season = json.loads(self.check_done(garden.run("--json", "season", "7", at="2027-03-01T08:00:00" + ZONE)))
        self.assertEqual((season["from"], season["water"]["poured_l"]), ("2026-01-01", 2))
        self.assertTrue(season["stages"])
        self.check_refused(garden.run("season", "7", "--year", "2027", at="2027-03-01T08:00:00" + ZONE), "has not begun")


if __name__ == "__main__":
    unittest.main()
