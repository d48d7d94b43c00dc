#!/usr/bin/env python3
"""Looking ahead from outside: days ahead with and without a forecast, a heat episode and the list that it changes, absences, a
change tried out, and how good forecasts were.

usage: ahead_command_test.py PROGRAM [unittest's own words]
"""
import datetime
import json
import math
import os
import unittest

import command_garden
from command_garden import ZONE, InAFolder

MORNING = "2026-07-14T06:30:00" + ZONE


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def forecast(first, days, highest=28, rain=0):
    rows = ["day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm],wind_speed:mean [m s-1]"]
    start = datetime.date.fromisoformat(first)
    for number in range(days):
        rows.append(f"{start + datetime.timedelta(days=number)},{highest},{highest - 12},{rain},2")
    return "\n".join(rows) + "\n"


class Ahead(InAFolder):
    def answer(self, garden, *words, at=MORNING):
        return json.loads(self.check_done(garden.run("--json", *words, at=at)))

    def with_forecast(self, **more):
        self.gardens = getattr(self, "gardens", 0) + 1
        garden = self.garden(f"garden-{self.gardens}")
        garden.write("forecast.csv", forecast("2026-07-14", 10, **more))
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", "2026-07-14T05:00:00" + ZONE, "--source", "service",
                                   "forecast.csv", at="2026-07-14T06:00:00" + ZONE))
        return garden

    def test_days_ahead(self):
        answer = self.answer(self.with_forecast(), "ahead")
        self.assertEqual(len(answer["days"]), 10)
        self.assertEqual(answer["members"], 21)
        for day in answer["days"]:
            self.assertEqual(day["from"], "forecast")
            self.assertLess(day["max_low_degC"], day["max_degC"])
            self.assertLess(day["max_degC"], day["max_high_degC"])
        widths = [day["max_high_degC"] - day["max_low_degC"] for day in answer["days"]]
        self.assertGreater(widths[-1], widths[0])
        self.assertEqual({pot["pot"] for pot in answer["pots"]}, {"7", "8", "lemon"})
        for pot in answer["pots"]:
            chances = [day["dry_share"] for day in pot["days"]]
            self.assertEqual(chances, sorted(chances))
            self.assertGreater(chances[-1], 0.9)
        litres = sum(pour["pour_l"] for walk in answer["walks"] for pour in walk["pours"])
        self.assertGreater(litres, 0)
        self.assertAlmostEqual(sum(walk["total_l"] for walk in answer["walks"]), litres, delta=0.2)

    def test_without_a_forecast_it_says_so(self):
        answer = self.answer(self.garden(), "ahead", "--days", "3")
        self.assertEqual(len(answer["days"]), 3)
        self.assertEqual(answer["heat"], [])
        self.assertTrue(any("no forecast" in line for line in answer["remarks"]))

    def test_rain_ahead_helps(self):
        dry, wet = self.answer(self.with_forecast(), "ahead"), self.answer(self.with_forecast(rain=12), "ahead")
        open_pots = [pot["pot"] for pot in wet["pots"] if sum(day["rain_l"] for day in pot["days"]) > 0]
        self.assertTrue(open_pots)
        self.assertLess(wet["total_l"], dry["total_l"])

    def test_heat_is_told_ahead_and_the_list_changes(self):
        garden, lost = self.with_forecast(highest=40), 0
        heat, = self.answer(garden, "ahead")["heat"]
        self.assertGreaterEqual(heat["chance_share"], 0.3)
        self.assertEqual(heat["by"], "usual")  # the record is two weeks old
        for pot in heat["pots"]:
            if pot["kept"] != "one-filling":
                self.assertTrue(pot["helps"], pot)
                hours = [help["gained_h"] for help in pot["helps"]]
                self.assertEqual(hours, sorted(hours, reverse=True))
                shade = [help for help in pot["helps"] if help["what"] == "shade"]
                if shade:
                    self.assertGreater(shade[0]["saved_l"], 0)
        # Whom no single help keeps, the best two are tried together; whom these do not keep either is told so.
        for highest in (40, 44, 50):
            for heat in self.answer(self.with_forecast(highest=highest), "ahead")["heat"]:
                for pot in heat["pots"]:
                    if pot["kept"] in ("one-filling", "two-walks"):
                        continue
                    kept = {help["what"]: help["kept"] in ("one-filling", "two-walks") for help in pot["helps"]}
                    self.assertEqual("think of a larger pot" in pot["text"], not any(kept.values()), pot)
                    if not any(keeps for what, keeps in kept.items() if "-and-" not in what):
                        self.assertEqual(sum("-and-" in what for what in kept), 1, pot)
                        lost += 1
        self.assertGreater(lost, 0)
        round_ = self.answer(garden, "round")
        self.assertIn("heat-ahead", [notice["code"] for notice in round_["notices"]])
        text = self.check_done(garden.run("ahead", at=MORNING))
        self.assertIn("Heat:", text)
        self.assertIn("doctor", text)
        # The same days without heat have no such notice.
        cool = self.answer(self.with_forecast(highest=27), "round")
        self.assertNotIn("heat-ahead", [notice["code"] for notice in cool["notices"]])

    def test_a_short_new_forecast_leaves_the_older_one_its_days(self):
        def highest(*newer):
            garden = self.with_forecast(highest=40)
            for number, (first, days, degrees) in enumerate(newer):
                garden.write("newer.csv", forecast(first, days, highest=degrees))
                self.check_done(garden.run("weather", "add", "--forecast", "--issued", f"2026-07-14T05:{10 + number}:00" + ZONE, "--source", "service",
                                           "newer.csv", at="2026-07-14T06:00:00" + ZONE))
            answer = self.answer(garden, "ahead")
            self.assertEqual({day["from"] for day in answer["days"]}, {"forecast"})
            return [round(day["max_degC"]) for day in answer["days"]], len(answer["heat"])

        self.assertEqual(highest(("2026-07-14", 10, 40)), ([40] * 10, 1))
        self.assertEqual(highest(("2026-07-10", 1, 30)), ([40] * 10, 1))  # of a day that is past
        self.assertEqual(highest(("2026-07-14", 2, 30))[0], [30] * 2 + [40] * 8)
        self.assertEqual(highest(("2026-07-18", 6, 30))[0], [40] * 4 + [30] * 6)
        # A later one still is asked first.
        self.assertEqual(highest(("2026-07-14", 5, 30), ("2026-07-15", 1, 28))[0], [30, 28] + [30] * 3 + [40] * 5)

    def add_forecast(self, garden, text, issued, source, *words, at="2026-07-14T06:00:00" + ZONE):
        garden.write("added.csv", text)
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", issued + ZONE, "--source", source, *words, "added.csv", at=at))

    def codes(self, garden, at=MORNING):
        return {notice["code"]: notice for notice in self.answer(garden, "round", at=at)["notices"]}

    def test_two_sources_share_the_members_and_disagreement_is_told(self):
        garden = self.garden()
        for day in range(1, 14):  # one of them was right for two weeks: the readings' highest is 30 degC
            self.add_forecast(garden, forecast(f"2026-07-{day:02}", 10, highest=30), f"2026-07-{day:02}T05:00:00", "proven", at="2026-07-14T05:00:00" + ZONE)
        self.add_forecast(garden, forecast("2026-07-14", 10, highest=40), "2026-07-14T05:00:00", "proven")
        alone = self.answer(garden, "ahead")
        self.assertEqual((alone["members"], len(alone["heat"])), (21, 1))
        self.add_forecast(garden, forecast("2026-07-14", 10, highest=18, rain=20), "2026-07-14T05:30:00", "never compared")
        both = self.answer(garden, "ahead")
        self.assertEqual(both["members"], 21)
        for day in both["days"][1:]:
            self.assertGreater(day["max_degC"], 33)  # who was right leads, though the other is newer
            self.assertLess(day["max_low_degC"], 21)
        self.assertTrue(0.5 < both["heat"][0]["chance_share"] < 0.8, both["heat"])
        told = self.codes(garden)["forecasts-differ"]
        self.assertEqual((told["values"]["warm_degC"], told["values"]["cool_degC"]), (40, 18))
        self.assertIn("proven says up to 40", told["text"])
        self.assertTrue(any("disagree" in line for line in both["remarks"]))
        self.assertEqual(both, self.answer(garden, "ahead"))
        # Sources that agree are no notice, and a short one leaves the later days to the other, with its range.
        garden = self.with_forecast(highest=33)
        self.add_forecast(garden, forecast("2026-07-14", 3, highest=34), "2026-07-14T05:30:00", "short")
        self.assertNotIn("forecasts-differ", self.codes(garden))
        for day in self.answer(garden, "ahead")["days"]:
            self.assertEqual(day["from"], "forecast")
            self.assertGreater(day["max_high_degC"] - day["max_low_degC"], 2)

    def test_members_of_one_source_beside_another_leave_it_its_range(self):
        garden = self.garden()
        for member in range(5):
            self.add_forecast(garden, forecast("2026-07-14", 10, highest=30 + 2 * member), "2026-07-14T03:00:00", "many", "--member", str(member))
        self.add_forecast(garden, forecast("2026-07-14", 10, highest=34), "2026-07-14T05:00:00", "one")
        answer = self.answer(garden, "ahead")
        self.assertEqual(answer["members"], 21)
        for day in answer["days"]:
            self.assertGreater(day["max_high_degC"] - day["max_low_degC"], 2)
        # A single member is a single forecast, whatever its number.
        garden = self.garden("third")
        self.add_forecast(garden, forecast("2026-07-14", 10, highest=34), "2026-07-14T05:00:00", "one", "--member", "3")
        answer = self.answer(garden, "ahead")
        self.assertEqual(answer["members"], 21)
        self.assertTrue(all(day["max_high_degC"] - day["max_low_degC"] > 2 for day in answer["days"]))

    def test_the_list_shows_the_middle_of_the_members(self):
        garden = self.garden()
        for member in range(5):  # the first is the coolest, and the only wet one
            self.add_forecast(garden, forecast("2026-07-14", 10, highest=36 + 2 * member, rain=0 if member else 5), "2026-07-14T05:00:00", "many", "--member", str(member))
        self.assertEqual(self.codes(garden)["heat-people"]["values"]["max_degC"], 40)
        self.assertEqual(self.codes(garden)["heat-ahead"]["values"]["peak_degC"], 40)
        ahead = self.answer(garden, "ahead")
        self.assertEqual(round(ahead["heat"][0]["peak_degC"]), 40)
        shown = {day["day"]: day for day in self.answer(garden, "weather", "show", "--to", "2026-07-15")["days"]}["2026-07-15"]
        self.assertAlmostEqual(shown["air_temperature_max_degC"]["value"], ahead["days"][1]["max_degC"], delta=0.1)
        self.assertEqual((shown["rain_mm"]["value"], ahead["days"][1]["rain_mm"]), (0, 0))

    def test_heat_of_a_forecast_that_grew_old_is_told(self):
        garden = self.garden()
        self.add_forecast(garden, forecast("2026-07-10", 12, highest=40), "2026-07-10T05:00:00", "service", at="2026-07-14T05:00:00" + ZONE)
        self.assertIn("heat-ahead", self.codes(garden))
        later = "2026-07-15T06:30:00" + ZONE
        codes = self.codes(garden, at=later)
        self.assertNotIn("heat-ahead", codes)
        self.assertEqual(codes["forecast-old"]["values"], {"issued": "2026-07-10", "last": "2026-07-21", "peak_degC": 40})
        remarks = " ".join(self.answer(garden, "ahead", at=later)["remarks"])
        self.assertIn("of Friday 10 July, is too old; it spoke of heat until Tuesday 21 July, up to 40 °C.", remarks)
        self.assertNotIn("There is no forecast", remarks)
        # Without heat nothing is told on the list, and once its days are over it is no forecast at all.
        cool = self.garden("cool")
        self.add_forecast(cool, forecast("2026-07-10", 12, highest=26), "2026-07-10T05:00:00", "service", at="2026-07-14T05:00:00" + ZONE)
        self.assertNotIn("forecast-old", self.codes(cool, at=later))
        self.assertIn("is too old.", " ".join(self.answer(cool, "ahead", at=later)["remarks"]))
        over = "2026-07-23T06:30:00" + ZONE
        self.assertNotIn("forecast-old", self.codes(garden, at=over))
        self.assertIn("There is no forecast", " ".join(self.answer(garden, "ahead", at=over)["remarks"]))

    def test_a_stale_forecast_ends(self):
        garden = self.garden()
        garden.write("forecast.csv", forecast("2026-07-07", 14))
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", "2026-07-07T05:00:00" + ZONE, "--source", "service",
                                   "forecast.csv", at="2026-07-14T05:00:00" + ZONE))
        answer = self.answer(garden, "ahead", "--days", "2")
        self.assertTrue(all(day["from"] != "forecast" for day in answer["days"]))
        source, = self.answer(garden, "weather", "show", "--forecast")["sources"]
        self.assertTrue(source["stale"])

    def test_how_good_a_source_was(self):
        garden = self.garden()
        # Each morning of a week a forecast that is 3 K too warm: the readings' highest is 30 degC.
        for day in range(4, 12):
            garden.write("forecast.csv", forecast(f"2026-07-{day:02}", 6, highest=33))
            self.check_done(garden.run("weather", "add", "--forecast", "--issued", f"2026-07-{day:02}T05:00:00{ZONE}", "--source",
                                       "service", "forecast.csv", at="2026-07-14T05:00:00" + ZONE))
        source, = self.answer(garden, "weather", "show", "--forecast")["sources"]
        lines = {(line["quantity"], line["lead_days"]): line for line in source["lines"]}
        next_day = lines["air_temperature:max", 1]
        self.assertEqual(next_day["compared"], 8)
        self.assertAlmostEqual(next_day["bias"], 3, delta=0.2)
        self.assertIsNone(next_day["skill"])  # the days were all alike: who said "same as yesterday" was never wrong
        self.assertEqual(next_day["same_as_yesterday_miss"], 0)
        self.assertIn("service", self.check_done(garden.run("weather", "show", "--forecast", at=MORNING)))
        # What was learned is taken off: eight days against a prior of twenty.
        garden.write("forecast.csv", forecast("2026-07-14", 6, highest=33))
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", "2026-07-14T05:00:00" + ZONE, "--source", "service",
                                   "forecast.csv", at="2026-07-14T06:00:00" + ZONE))
        days = {day["day"]: day for day in self.answer(garden, "weather", "show", "--to", "2026-07-15")["days"]}
        self.assertAlmostEqual(days["2026-07-15"]["air_temperature_max_degC"]["value"], 33 - 3 * 8 / 28, delta=0.15)

    def test_absence(self):
        garden = self.with_forecast(highest=30)
        short, long = (self.answer(garden, "absence", "2026-07-16", last) for last in ("2026-07-16", "2026-07-30"))
        self.assertLessEqual(len(short["visits"]), len(long["visits"]))
        for pot in long["pots"]:
            self.assertEqual([tried["what"] for tried in pot["tried"]][:2], ["as-is", "fill-twice"])
            for tried in pot["tried"]:
                if tried["checked_h"] is not None and tried["harmed_h"] is not None:
                    self.assertLess(tried["checked_h"], tried["harmed_h"])
        self.assertTrue(long["visits"] or not long["safe"])
        self.assertTrue(long["sheet"])
        self.assertTrue(any("pair --name" in line for line in long["remarks"]))
        self.check_refused(garden.run("absence", "2026-07-20", "2026-07-18", at=MORNING))
        self.check_refused(garden.run("absence", "2026-07-01", "2026-07-18", at=MORNING))
        self.check_refused(garden.run("absence", "soon", "2026-07-18", at=MORNING))

    def test_a_visit_while_the_gardener_is_away(self):
        garden = self.with_forecast(highest=32)
        visit = self.answer(garden, "visit", "2026-07-24")
        self.assertEqual((visit["due"], visit["day"], visit["returns"][:10]), (True, "2026-07-14", "2026-07-25"))
        pots = {pour["pot"] for pour in visit["pours"]} | {rest["pot"] for rest in visit["rests"]}
        self.assertEqual(pots, {"7", "8", "lemon"})
        for pour in visit["pours"]:  # the ceiling is what nine of ten possibilities take, in whole steps of all passes
            self.assertGreaterEqual(pour["pour_l"], pour["need_high_l"] - 1e-9)
            self.assertEqual(pour["pour_l"] * 2 % 1, 0)
        carried = sum(pour["l"] for trip in visit["trips"] for can in trip["cans"] for pour in can["pours"])
        self.assertAlmostEqual(carried, sum(pour["pour_l"] for pour in visit["pours"]), delta=0.01)
        self.assertAlmostEqual(carried, visit["total_l"], delta=0.01)
        self.assertIn("A visit is needed today", self.check_done(garden.run("visit", "2026-07-24", at=MORNING)))
        # Once all is poured, nobody need come today; what then comes is what an absence from here on would plan.
        for pour in visit["pours"]:
            self.check_done(garden.run("did", pour["pot"], "ran-through", f"{pour['need_high_l']}L", "--by", "Ana", at=MORNING))
        later = "2026-07-14T09:00:00" + ZONE
        after = self.answer(garden, "visit", "2026-07-24", at=later)
        self.assertFalse(after["due"])
        self.assertGreater(after["day"], "2026-07-14")
        self.assertIn("No visit is needed today", self.check_done(garden.run("visit", "2026-07-24", at=later)))
        # A day on, fewer are to come, never more; and a longer absence never needs fewer.
        next_day = self.answer(garden, "visit", "2026-07-24", at="2026-07-15T06:30:00" + ZONE)
        counts = [len(one["later"]) + (one["day"] is not None) for one in (after, next_day, self.answer(garden, "visit", "2026-07-28", at=later))]
        self.assertLessEqual(counts[1], counts[0])
        self.assertGreaterEqual(counts[2], counts[0])
        # Nothing is left to be done in the mornings; what is not sure to last till the next one is looked at in the evening, where there is such a walk.
        today = self.answer(garden, "visit", "2026-07-14", at=later)
        self.assertEqual((today["due"], today["day"], today["walk"]), (False, "2026-07-14", "evening"))
        self.assertIn("No visit is needed now. The next is this evening", self.check_done(garden.run("visit", "2026-07-14", at=later)))
        evening = self.answer(garden, "visit", "2026-07-14", at="2026-07-14T18:40:00" + ZONE)
        self.assertEqual((evening["due"], evening["day"], evening["walk"]), (True, "2026-07-14", "evening"))
        self.assertEqual({pour["pot"] for pour in evening["pours"]}, {"7", "8", "lemon"})
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("evening: 19:00", "evening: no"))
        today = self.answer(garden, "visit", "2026-07-14", at=later)
        self.assertEqual((today["day"], today["safe"]), (None, False))
        self.assertIn("may not last from a morning to the next", today["remarks"][0])
        garden.write("tubgrove.yaml", text)
        self.assertIn("Visits are seen until", "".join(self.answer(garden, "visit", "2026-10-12", at=later)["remarks"]))
        for far in ("2026-10-13", "2027-07-01"):
            self.check_refused(garden.run("visit", far, at=later), "a last day up to 2026-10-12")
        self.check_refused(garden.run("visit", "2026-07-13", at=MORNING), "past")

    def test_a_visit_passes_by_what_had_its_need_today(self):
        later = "2026-07-14T09:00:00" + ZONE
        garden = self.with_forecast(highest=32)
        first = self.answer(garden, "visit", "2026-07-24")["pours"][0]
        at_later = lambda: self.answer(garden, "visit", "2026-07-24", at=later)
        asked = lambda: {pour["pot"] for pour in at_later()["pours"]} if at_later()["due"] else set()
        self.check_done(garden.run("did", first["pot"], "watered", "0.1L", at=MORNING))
        self.assertIn(first["pot"], asked())  # a sip is no watering
        self.check_done(garden.run("did", first["pot"], "watered", f"{first['need_l']}L", at=MORNING))
        self.assertNotIn(first["pot"], asked())
        garden = self.with_forecast(highest=32)
        listed = {pour["pot"] for pour in self.answer(garden, "round")["pours"]}
        self.assertTrue(listed & asked())
        self.check_done(garden.run("round", at=MORNING))
        self.check_done(garden.run("did", "round", "all", at="2026-07-14T08:00:00" + ZONE))
        self.assertFalse(listed & asked())

    def poured(self, garden, at):
        for pour in self.answer(garden, "visit", at[:10], at=at)["pours"] or self.answer(garden, "visit", "2026-07-19", at=at)["pours"]:
            self.check_done(garden.run("did", pour["pot"], "ran-through", f"{pour['need_high_l']}L", at=at))

    def shaded_on_saucers(self, highest):
        """All that a sheet could ask for besides water is there already, and the pots are filled on the eve."""
        garden = self.with_forecast(highest=highest)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("light: full", "light: shade"))
        for pot in ("7", "8", "lemon"):
            self.check_done(garden.run("pot", "change", pot, "container.saucer=9L", at="2026-07-14T06:10:00" + ZONE))
        self.poured(garden, at="2026-07-14T19:20:00" + ZONE)
        return garden

    def test_a_visit_follows_the_sheet_into_the_evenings(self):
        eve, last = "2026-07-14T19:30:00" + ZONE, "2026-07-19"
        for highest in (46, 50, 52, 48):         # mornings do; not even all walks do; neither; evenings do
            garden = self.shaded_on_saucers(highest)
            sheet = [(visit["day"], visit["walk"]) for visit in self.answer(garden, "absence", "2026-07-15", last, at=eve)["visits"]]
            visit = self.answer(garden, "visit", last, at=eve)
            self.assertFalse(visit["due"])
            self.assertEqual([(visit["day"], visit["walk"])] + [(later["day"], later["walk"]) for later in visit["later_visits"]], sheet, highest)
            self.assertEqual(visit["later"], [day for day, _ in sheet[1:]])

    def test_a_pour_takes_no_caution_back(self):
        garden = self.with_forecast(highest=46)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text.replace("evening: 19:00", "evening: no"))
        cautious = lambda clock: [line for line in self.answer(garden, "visit", "2026-07-19", at=f"2026-07-14T{clock}:00{ZONE}")["remarks"] if "may not last" in line]
        before = cautious("06:30")
        self.assertEqual(len(before), 1)
        self.assertIn("A second visit in the evening is safer", before[0])
        self.poured(garden, at="2026-07-14T07:20:00" + ZONE)
        self.assertEqual(cautious("07:40"), before)
        self.assertFalse(self.answer(garden, "visit", "2026-07-19", at="2026-07-14T07:40:00" + ZONE)["safe"])

    def test_another_bay_is_tried_and_the_plan_counts_on_it(self):
        garden = self.with_forecast(highest=52)
        days = "2026-07-15", "2026-07-20"
        before = self.answer(garden, "absence", *days)
        self.assertNotIn("move", {tried["what"] for pot in before["pots"] for tried in pot["tried"]})
        lost = {pot["pot"] for pot in before["pots"] if not pot["kept"]}
        self.assertTrue(lost)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        other = "  - {id: cellar-yard, light: 10 %, shelter: 30 %, rain: eaves, place: ground, ground: soil, order: 2}\n"
        taps = "  taps:\n    - {id: well, near: [south-wall], holds: 900 L}\n    - {id: butt, near: [cellar-yard], holds: 900 L}\n"
        garden.write("tubgrove.yaml", text.split("carry:")[0].replace("walks:", other + "walks:") + "carry:\n  can: 10 L\n" + taps)
        after = self.answer(garden, "absence", *days)
        moved = {pot["pot"] for pot in after["pots"] if pot["to_bay"]}
        self.assertLessEqual(lost, moved)
        for pot in after["pots"]:
            tried = {one["what"]: one for one in pot["tried"]}
            if pot["pot"] in moved:
                self.assertEqual((pot["chosen"][:4], pot["to_bay"], tried["move"]["bay"]), ("move", "cellar-yard", "cellar-yard"))
            self.assertEqual(tried["as-is"]["bay"], None)
        self.assertGreater(sum(pot["kept"] for pot in after["pots"]), sum(pot["kept"] for pot in before["pots"]))
        self.assertLessEqual(len(after["visits"]), len(before["visits"]))
        # Water is carried to where the pot then stands; the sheet says where that is, and how to tell it.
        stocks = {stock["tap"]: stock["needed_l"] for stock in after["stocks"]}
        self.assertGreater(stocks["butt"], 0)
        self.assertRegex(" ".join(after["sheet"]), r"On leaving, pots? [^:]*: move to the bay cellar-yard")
        self.assertTrue(any("pot change P bay=" in line for line in after["remarks"]))
        self.assertTrue(any("heavy" in line for line in after["cautions"]))
        # Nobody carries a pot where visits do as well.
        cool = self.with_forecast(highest=24)
        with open(garden.configuration, encoding="utf-8") as file:
            cool.write("tubgrove.yaml", file.read())
        for pot in self.answer(cool, "absence", *days)["pots"]:
            self.assertTrue(pot["safe"] or not pot["to_bay"])

    def test_the_sheet_says_how_much_is_filled_on_leaving_and_the_butt_counts_it_then(self):
        garden = self.with_forecast(highest=30)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read().split("carry:")[0]
        first = {}
        for holds in (5, 5000):
            garden.write("tubgrove.yaml", text + f"carry:\n  can: 10 L\n  taps:\n    - {{id: butt, near: [south-wall], holds: {holds} L}}\n")
            first[holds] = self.answer(garden, "absence", "2026-07-16", "2026-07-25")
        leaving = " ".join(line["what"] for line in first[5000]["sheet_lines"] if line["kind"] == "leaving")
        for pot in first[5000]["pots"]:
            self.assertLessEqual(pot["fill_l"], pot["fill_most_l"])
            self.assertRegex(leaving, rf"\b{pot['label'] or pot['pot']} \({pot['fill_most_l']:g}.L at most\)")
        # The eve's filling is more than five litres: nothing is enough "until the eve", in either line.
        said = " ".join(self.answer(garden, "absence", "2026-07-16", "2026-07-25")["sheet"])
        self.assertNotIn("may be at an end", said)
        self.assertTrue(any(line.startswith("From the beginning") for line in first[5]["sheet"]))
        garden.write("tubgrove.yaml", text + "carry:\n  can: 10 L\n  taps:\n    - {id: butt, near: [south-wall], holds: 5 L}\n")
        self.assertIn("perhaps not enough from the beginning", " ".join(self.check_done(garden.run("absence", "2026-07-16", "2026-07-25", at=MORNING)).split()))

    def test_one_pour_is_not_called_pours(self):
        garden = self.with_forecast(highest=32)
        for last in ("2026-07-15", "2026-07-24"):
            self.assertNotRegex(self.check_done(garden.run("visit", last, at=MORNING)), r"in\s+1\s+pours")
            self.assertNotIn("on the morning", self.check_done(garden.run("ahead", at=MORNING)))

    def test_what_an_absence_calls_lasting_is_safe(self):
        likely = 0
        for highest in (20, 26, 32):
            garden = self.with_forecast(highest=highest)
            said = " ".join(self.check_done(garden.run("absence", "2026-07-15", "2026-07-19", at=MORNING)).split())
            for pot in self.answer(garden, "absence", "2026-07-15", "2026-07-19")["pots"]:
                head = said.split(f"Pot {pot['label'] or pot['pot']}, ", 1)[1].split(" filled ", 1)[0]
                self.assertEqual("safe until" in head, not pot["safe"], head)
                if not pot["safe"]:
                    likely += 1
                    self.assertIn("likely", head)
        self.assertGreater(likely, 0)

    def days_off(self, garden, value):
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        garden.write("tubgrove.yaml", text + f"notices: {{days_off: {value}}}\n")

    def notice(self, garden, day):
        notices = self.answer(garden, "round", at=day + "T06:30:00" + ZONE)["notices"]
        found = [notice for notice in notices if notice["code"] == "days-off"]
        self.assertLessEqual(len(found), 1)
        return found[0] if found else None

    def test_days_off_are_told_of_on_the_day_before_when_it_is_wanted(self):
        friday, thursday = "2026-07-17", "2026-07-16"
        self.assertIsNone(self.notice(self.with_forecast(highest=36), friday))
        garden = self.with_forecast(highest=36)
        self.days_off(garden, "{told: friday, days: 2}")
        self.assertIsNone(self.notice(garden, thursday))
        hot = self.notice(garden, friday)
        self.assertEqual((hot["values"]["from"], hot["values"]["to"]), ("2026-07-18", "2026-07-19"))
        plan = self.answer(garden, "absence", "2026-07-18", "2026-07-19", at=friday + "T06:30:00" + ZONE)
        self.assertEqual(int(hot["values"]["visits"]), len(plan["visits"]))
        for pot in plan["pots"]:
            self.assertIn(pot["label"] or pot["pot"], hot["text"])
        self.assertEqual(hot["severity"], "note" if plan["safe"] and not plan["visits"] else "warning")
        cool = self.with_forecast(highest=18, rain=9)
        self.days_off(cool, "{told: thursday, days: 1}")
        one = self.notice(cool, thursday)
        self.assertEqual((one["severity"], one["values"]["visits"], one["values"]["to"]), ("note", "0", friday))
        self.assertIn("every pot lasts", one["text"])
        wrong = self.garden("wrong")
        self.days_off(wrong, "{told: weekend, days: 9}")
        check = wrong.run("check")
        self.assertIn("told", check.stdout + check.stderr)
        self.assertIn("days", check.stdout + check.stderr)

    def test_days_off_say_each_walk_by_its_hour_and_name_whom_none_keeps(self):
        friday, told = "2026-07-17", set()
        for highest in (36, 46, 54):
            garden = self.with_forecast(highest=highest)
            self.days_off(garden, "{told: friday, days: 2}")
            text = self.notice(garden, friday)["text"]
            plan = self.answer(garden, "absence", "2026-07-18", "2026-07-19", at=friday + "T06:30:00" + ZONE)
            visits = plan["visits"] if plan["safe_with_water"] else plan["kept_visits"] or []
            told |= {visit["walk"] for visit in visits} | ({"all"} if plan["safe_with_water"] else {"not all"})
            self.assertEqual(text.count("in the evening"), sum(visit["walk"] == "evening" for visit in visits), text)
            self.assertEqual(text.count("in the morning"), sum(visit["walk"] == "morning" for visit in visits), text)
            self.assertEqual(plan["safe_with_water"], all(pot["kept"] for pot in plan["pots"]))
            if not plan["safe_with_water"]:
                lost = ", ".join(pot["label"] or pot["pot"] for pot in plan["pots"] if not pot["kept"])
                self.assertIn(f"Even a walk each morning and evening may not keep {lost}. ", text)
                self.assertEqual(plan["kept_visits"] is None, not any(pot["kept"] for pot in plan["pots"]))
        self.assertLessEqual({"morning", "evening", "all", "not all"}, told)

    def test_what_was_foreseen_of_the_pots_beside_what_came(self):
        # Readings of every day are alike (30 degC by day); each morning they came in, and somebody forecast ten days.
        looked, self.foreseen = {}, {}
        for highest in (30, 40):
            garden = self.foreseen[highest] = command_garden.Garden(os.path.join(self.place, f"foreseen-{highest}"))
            os.makedirs(garden.folder)
            self.check_done(garden.run("setup", at="2026-07-01", typed=command_garden.ANSWERS))
            for day in range(2, 15):
                at = f"2026-07-{day:02}T05:10:00{ZONE}"
                garden.write("weather.csv", command_garden.hourly_weather(day - 1, day - 1))
                garden.write("forecast.csv", forecast(f"2026-07-{day:02}", 10, highest=highest))
                self.check_done(garden.run("weather", "add", "weather.csv", at=at))
                self.check_done(garden.run("weather", "add", "--forecast", "--issued", f"2026-07-{day:02}T05:00:00{ZONE}", "--source", "service",
                                           "forecast.csv", at=at))
                self.answer(garden, "round", at=at)
                if day < 14:
                    self.check_done(garden.run("did", "round", "all", at=f"2026-07-{day:02}T07:30:00{ZONE}"))
            looked[highest] = self.answer(garden, "ahead", "--hindcast")
        right, hot = looked[30], looked[40]
        self.assertGreaterEqual(len(right["mornings"]), 2)
        self.assertLessEqual(len(right["mornings"]), 8)
        self.assertEqual([line["lead_days"] for line in right["demand"]], list(range(1, len(right["demand"]) + 1)))
        for line in right["demand"] + right["dry"]:
            self.assertGreater(line["compared"], 0)
        first = {key: one["demand"][0] for key, one in looked.items()}
        self.assertEqual(first[30]["compared"] % 3, 0)  # three pots a morning
        # What is foreseen of the pots errs as what is foreseen of ET0: a forecast without sun has too little of it, heat adds to it.
        self.assertLess(self.answer(self.foreseen[30], "weather", "show", "--forecast")["et0"][1]["bias"], 0)
        self.assertLess(first[30]["bias"], 0)
        self.assertGreater(first[40]["bias"], first[30]["bias"] + 0.2)
        chances = {key: sum(line["foreseen_share"] for line in one["dry"]) for key, one in looked.items()}
        self.assertGreater(chances[40], chances[30])
        for line in right["dry"]:
            self.assertTrue(0 <= line["foreseen_share"] <= 1 and 0 <= line["brier"] <= 1)
        self.assertTrue(any("nobody measures" in line for line in right["remarks"]))
        self.assertIn("What a pot uses", self.check_done(garden.run("ahead", "--hindcast", at=MORNING)))
        # What stands otherwise since today was not so on the days looked back at.
        garden = self.foreseen[30]
        self.check_done(garden.run("pot", "change", "7", "container.wall=fabric", "mulch.depth=6cm", "--since", "2026-07-14", at=MORNING))
        self.assertEqual(self.answer(garden, "ahead", "--hindcast")["demand"], right["demand"])
        self.check_done(garden.run("pot", "change", "8", "container.wall=fabric", "--since", "2026-07-10", at=MORNING))
        self.assertNotEqual(self.answer(garden, "ahead", "--hindcast")["demand"], right["demand"])
        nothing = self.answer(self.garden("nothing"), "ahead", "--hindcast")
        self.assertEqual((nothing["mornings"], nothing["demand"]), ([], []))
        self.assertIn("nothing to compare", nothing["remarks"][0])
        self.check_refused(garden.run("ahead", "--hindcast", "--days", "3", at=MORNING))

    def test_a_butt_is_held_against_what_is_needed(self):
        garden = self.with_forecast(highest=30)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        text = text.split("carry:")[0]
        said, visits = {}, {}
        away = {}
        for holds in (5, 40, 80, 160, 5000):
            garden.write("tubgrove.yaml", text + f"carry:\n  can: 10 L\n  taps:\n    - {{id: butt, near: [south-wall], holds: {holds} L}}\n")
            said[holds], = self.answer(garden, "ahead")["stocks"]
            away[holds] = self.answer(garden, "absence", "2026-07-16", "2026-07-25")
            visits[holds] = len(away[holds]["visits"])
        self.assertFalse(said[5]["enough"])
        self.assertIsNotNone(said[5]["lasts_until"])
        self.assertTrue(said[5000]["enough"])
        self.assertEqual(list(visits.values()), sorted(visits.values(), reverse=True))  # more water in stock never adds visits
        # A visit cannot pour what is not there: no plan of a small butt is called safe, and what must be brought is told.
        needed = away[5]["stocks"][0]["needed_high_l"]
        self.assertAlmostEqual(away[5]["bring_l"], needed - 5, places=1)
        self.assertFalse(away[5]["safe"])
        self.assertIn("water", [line["kind"] for line in away[5]["sheet_lines"]])
        self.assertEqual((away[5000]["bring_l"], away[5000]["safe"]), (0, away[5000]["safe_with_water"]))
        self.assertNotIn("water", [line["kind"] for line in away[5000]["sheet_lines"]])
        brought = [one["bring_l"] for one in away.values()]
        self.assertEqual(brought, sorted(brought, reverse=True))
        # Where another tap does not end, it gives what lacks.
        garden.write("tubgrove.yaml", text + "carry:\n  can: 10 L\n  taps:\n    - {id: butt, near: [south-wall], holds: 5 L}\n    - {id: yard, near: []}\n")
        piped = self.answer(garden, "absence", "2026-07-16", "2026-07-25")
        self.assertEqual((piped["bring_l"], piped["stocks"][0]["instead"], piped["safe"]), (0, "yard", piped["safe_with_water"]))
        self.assertTrue(any("take it from yard" in line for line in piped["sheet"]))

    def test_an_evening_visit_where_mornings_are_not_enough(self):
        for highest, days, needed in ((36, ("2026-07-15", "2026-07-20"), False), (46, ("2026-07-15", "2026-07-20"), True)):
            garden = self.with_forecast(highest=highest)
            with open(garden.configuration, encoding="utf-8") as file:
                text = file.read()
            with_ = self.answer(garden, "absence", *days)
            garden.write("tubgrove.yaml", text.replace("evening: 19:00", "evening: no"))
            without = self.answer(garden, "absence", *days)
            self.assertEqual({visit["walk"] for visit in without["visits"]}, {"morning"})
            self.assertTrue(with_["safe"])
            self.assertEqual(without["safe"], not needed)
            self.assertEqual("evening" in [visit["walk"] for visit in with_["visits"]], needed)
            self.assertEqual(any("no evening walk" in line for line in without["remarks"]), needed)
            if not needed:
                self.assertEqual(with_["visits"], without["visits"])  # an evening is none too many where mornings do
            for line in with_["sheet_lines"]:
                self.assertEqual(line["kind"] == "visit", line["from"] is not None)
            self.assertEqual(any(line["when"].startswith("Each evening") or line["when"].endswith("in the evening") for line in with_["sheet_lines"]), needed)

    def test_compare(self):
        garden = self.garden()
        answer = self.answer(garden, "compare", "7", "container.size=80L")
        past = answer["seasons"][0]
        self.assertEqual(past["season"], "past")
        self.assertLess(past["difference_walks"], 0)
        self.assertTrue(past["worth_having"])
        same = self.answer(garden, "compare", "7", "container.size=40L")["seasons"][0]
        self.assertFalse(same["worth_having"])
        self.assertEqual(same["text"], "no difference worth having")
        self.assertEqual(same["difference_l"], 0)
        light = self.answer(garden, "compare", "7", "container.colour=light")["remarks"]
        self.assertTrue(any("heats them" in line for line in light))  # no litres, but the roots
        self.assertFalse(any("heats them" in line for line in answer["remarks"]))
        self.check_refused(garden.run("compare", "99", "container.size=80L", at=MORNING))
        self.check_refused(garden.run("compare", "7", "container.size=blue", at=MORNING))
        self.check_refused(garden.run("compare", "7", at=MORNING))

    def test_a_typical_season_is_lived_by_the_tree_as_old_as_it_is(self):
        garden = self.garden()
        # Four years of the same weather, day by day: what a season needs is then the tree's age alone.
        rows = ["day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm],wind_speed:mean [m s-1]"]
        start = datetime.date(2022, 7, 2)
        for number in range((datetime.date(2026, 7, 1) - start).days + 1):
            day = start + datetime.timedelta(days=number)
            warm = 15 - 13 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 20) / 365)
            rows.append(f"{day},{warm:.1f},{warm - 10:.1f},1,2")
        garden.write("years.csv", "\n".join(rows) + "\n")
        self.check_done(garden.run("weather", "add", "years.csv", at=MORNING))
        past, typical = self.answer(garden, "compare", "7", "container.size=80L")["seasons"]
        self.assertLess(typical["to"], past["from"])  # it says whose weather that is
        for key in ("poured_l", "used_l"):
            self.assertAlmostEqual(typical["without"][key] / past["without"][key], 1, delta=0.12, msg=(past["without"], typical["without"]))

    def test_a_past_day_looks_ahead_with_what_was_known_then(self):
        garden = self.with_forecast(highest=30)
        before = self.answer(garden, "ahead", "--days", "2", at="2026-07-14T05:30:00" + ZONE)
        self.assertTrue(any("no forecast" in line for line in before["remarks"]))
        self.check_refused(garden.run("ahead", "--days", "11", at=MORNING))


if __name__ == "__main__":
    unittest.main()
