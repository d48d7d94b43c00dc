#!/usr/bin/env python3
"""Being away, from outside: the plan and its sheet, visits, days off, and what the butt has.

usage: absence_command_test.py PROGRAM [unittest's own words]
"""
import unittest

import command_garden
from ahead_garden import MORNING, WithAForecast
from command_garden import ZONE


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Absence(WithAForecast):
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

    def test_of_a_pot_that_nobody_weighed_or_saw_run_through_the_sheet_says_what_would_tell_more(self):
        garden = self.with_forecast(highest=32)
        days = "2026-07-16", "2026-07-30"
        def asked():
            answer = self.answer(garden, "absence", *days)
            lines = [line["what"] for line in answer["sheet_lines"] if line["kind"] == "leaving" and "Nobody told a weight" in line["what"]]
            return {pot["pot"] for pot in answer["pots"] if pot["little_known"]}, lines
        pots, lines = asked()
        self.assertEqual(pots, {"7", "8", "lemon"})
        self.assertEqual(len(lines), 1)
        for pot in pots:
            self.assertIn(pot, lines[0])
        self.assertIn("before you leave: that tells more", " ".join(self.check_done(garden.run("absence", *days, at=MORNING)).split()))
        # A pour that was told says nothing of the room; a run-through does, and so does a weight.
        self.check_done(garden.run("did", "8", "watered", "2L", at=MORNING))
        self.check_done(garden.run("did", "7", "ran-through", "2L", at=MORNING))
        self.check_done(garden.run("did", "lemon", "weighed", "20kg", at=MORNING))
        pots, lines = asked()
        self.assertEqual(pots, {"8"})
        self.assertRegex(lines[0], r"^Nobody told .* of pot \S+ yet, so how long it lasts")

    def test_a_list_that_takes_more_than_the_butt_holds_says_so(self):
        garden = self.with_forecast(highest=32)
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read().split("carry:")[0]
        tap = "    - {id: yard, near: []}\n"
        def told(holds, other=""):
            garden.write("tubgrove.yaml", text + f"carry:\n  can: 10 L\n  taps:\n    - {{id: butt, near: [south-wall], holds: {holds} L}}\n{other}")
            answer = self.answer(garden, "round", "--recompute")
            return answer["total_l"], [notice for notice in answer["notices"] if notice["code"] == "butt-short"]
        total_l, none = told(5000)
        self.assertEqual(none, [])
        self.assertEqual(told(int(total_l) + 1)[1], [])
        _, (notice,) = told(1)
        self.assertEqual((float(notice["values"]["holds_l"]), float(notice["values"]["taken_l"])), (1, total_l))
        self.assertRegex(notice["text"], r"^butt holds 1.L when full, and this list takes up to [\d.]+.L from it: have \d+.L more at hand\.$")
        self.assertIn("take the rest from yard", told(1, tap)[1][0]["text"])

    def test_one_pour_is_not_called_pours(self):
        garden = self.with_forecast(highest=32)
        for last in ("2026-07-15", "2026-07-24"):
            self.assertNotRegex(self.check_done(garden.run("visit", last, at=MORNING)), r"in\s+1\s+pass")
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


if __name__ == "__main__":
    unittest.main()
