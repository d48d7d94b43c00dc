#!/usr/bin/env python3
"""Looking ahead from outside: days ahead with and without a forecast, a heat episode and the list that it changes, a change tried
out, and how good forecasts were.

usage: ahead_command_test.py PROGRAM [unittest's own words]
"""
import datetime
import math
import os
import unittest

import command_garden
from ahead_garden import MORNING, WithAForecast, forecast
from command_garden import ZONE


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Ahead(WithAForecast):
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
