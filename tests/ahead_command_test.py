#!/usr/bin/env python3
"""Looking ahead from outside: days ahead with and without a forecast, a heat episode and the list that it changes, absences, a
change tried out, and how good forecasts were.

usage: ahead_command_test.py PROGRAM [unittest's own words]
"""
import datetime
import json
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
        garden = self.with_forecast(highest=40)
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
        round_ = self.answer(garden, "round")
        self.assertIn("heat-ahead", [notice["code"] for notice in round_["notices"]])
        text = self.check_done(garden.run("ahead", at=MORNING))
        self.assertIn("Heat:", text)
        self.assertIn("doctor", text)
        # The same days without heat have no such notice.
        cool = self.answer(self.with_forecast(highest=27), "round")
        self.assertNotIn("heat-ahead", [notice["code"] for notice in cool["notices"]])

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

    def test_a_butt_is_held_against_what_is_needed(self):
        garden = self.with_forecast(highest=30)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read()
        text = text.split("carry:")[0]
        said, visits = {}, {}
        for holds in (5, 5000):
            garden.write("tubgrove.yaml", text + f"carry:\n  can: 10 L\n  taps:\n    - {{id: butt, near: [south-wall], holds: {holds} L}}\n")
            said[holds], = self.answer(garden, "ahead")["stocks"]
            visits[holds] = len(self.answer(garden, "absence", "2026-07-16", "2026-07-25")["visits"])
        self.assertFalse(said[5]["enough"])
        self.assertIsNotNone(said[5]["lasts_until"])
        self.assertTrue(said[5000]["enough"])
        self.assertLessEqual(visits[5000], visits[5])  # more water in stock never adds visits

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
        self.check_refused(garden.run("compare", "99", "container.size=80L", at=MORNING))
        self.check_refused(garden.run("compare", "7", "container.size=blue", at=MORNING))
        self.check_refused(garden.run("compare", "7", at=MORNING))

    def test_a_past_day_looks_ahead_with_what_was_known_then(self):
        garden = self.with_forecast(highest=30)
        before = self.answer(garden, "ahead", "--days", "2", at="2026-07-14T05:30:00" + ZONE)
        self.assertTrue(any("no forecast" in line for line in before["remarks"]))
        self.check_refused(garden.run("ahead", "--days", "11", at=MORNING))


if __name__ == "__main__":
    unittest.main()
