#!/usr/bin/python3
"""The calendar as a calendar program sees it: read with python3-icalendar, which shares no code with what wrote it.

usage: calendar_feed_test.py PROGRAM [unittest's own words].
"""
import datetime
import json
import os
import re
import signal
import unittest

import icalendar

import command_garden
from command_garden import ZONE, InAFolder, hourly_weather
from serve_garden import AT, Service

DAY = datetime.timedelta(days=1)


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def date(text):
    return datetime.date.fromisoformat(text)


class Feed(InAFolder):
    def feed(self, service, path="/calendar.ics", **headers):
        answer = service.get(path, **headers)
        self.assertEqual(answer.status, 200, answer.body)
        self.assertEqual(answer.headers["content-type"], "text/calendar; charset=utf-8")
        return answer.body

    def events(self, body):
        """By UID. What RFC 5545 asks of a feed is checked on the way, since the reader is more patient than it."""
        self.assertTrue(body.endswith(b"\r\n"))
        for line in body.split(b"\r\n"):
            self.assertLessEqual(len(line), 75)                      # 3.1
            self.assertNotIn(b"\n", line)
        calendar = icalendar.Calendar.from_ical(body)
        self.assertEqual(str(calendar["VERSION"]), "2.0")            # 3.7.4
        self.assertTrue(calendar["PRODID"])                          # 3.7.3
        events = {}
        for event in calendar.walk("VEVENT"):
            self.assertEqual(event.errors, [])
            for needed in ("UID", "DTSTAMP", "DTSTART", "SUMMARY"):  # 3.6.1
                self.assertIn(needed, event)
            self.assertNotIn(event["UID"], events)                   # 3.8.4.7
            self.assertEqual(event.decoded("DTSTAMP").utcoffset(), datetime.timedelta(0))  # 3.8.7.2
            if "DTEND" in event:                                     # 3.8.2.2
                self.assertGreater(event.decoded("DTEND"), event.decoded("DTSTART"))
                self.assertNotIn("DURATION", event)
            events[str(event["UID"])] = event
        return calendar, events

    def walks(self, events):
        return {uid.split("@")[0]: event for uid, event in events.items() if isinstance(event.decoded("DTSTART"), datetime.datetime)}

    def windows(self, events):
        return [event for event in events.values() if not isinstance(event.decoded("DTSTART"), datetime.datetime)]

    def test_the_list_of_a_walk(self):
        garden = self.garden()
        with Service(garden) as service:
            shown = service.get("/api/v1/round").json()
            calendar, events = self.events(self.feed(service))
        self.assertEqual(str(calendar["NAME"]), "Lark Terrace")
        walk = self.walks(events)["2026-07-14-morning"]
        self.assertEqual(walk.decoded("DTSTART"), datetime.datetime(2026, 7, 14, 5, 0, tzinfo=datetime.timezone.utc))
        self.assertEqual(str(walk["TRANSP"]), "TRANSPARENT")
        self.assertIn(f"{len(shown['pours'])} pots", str(walk["SUMMARY"]))
        text = str(walk["DESCRIPTION"])
        for line in shown["pours"]:
            litres = f"{line['pour_l']:.2f}".rstrip("0").rstrip(".")
            self.assertRegex(text, rf"- {line['pot']}[^\n]*: {re.escape(litres)} L")
        for job in shown["jobs"]:
            self.assertIn(job["title"][1:], text)
        for notice in shown["notices"]:
            self.assertIn(notice["text"][1:-1], text)

    def test_walks_to_come_are_there_before_their_lists(self):
        garden = self.garden()
        with Service(garden) as service:
            before = self.walks(self.events(self.feed(service))[1])
            self.assertEqual(sorted(before), [f"2026-07-{day}-morning" for day in range(14, 22)])
            self.assertEqual(str(before["2026-07-14-morning"]["SUMMARY"]), "Morning walk")
            self.assertEqual({str(walk["STATUS"]) for walk in before.values()}, {"TENTATIVE"})  # 3.8.1.11
            self.assertEqual(json.loads(garden.run("--json", "daybook", at=AT).stdout).get("rounds", []), [])
            service.get("/api/v1/round")
            after = self.walks(self.events(self.feed(service))[1])
            self.assertEqual(sorted(before), sorted(after))  # the same event, which now holds its list
            self.assertNotEqual(str(after["2026-07-14-morning"]["SUMMARY"]), "Morning walk")
            self.assertEqual([str(after[f"2026-07-{day}-morning"]["STATUS"]) for day in (14, 15)], ["CONFIRMED", "TENTATIVE"])

    def test_evenings_in_heat_are_seen_coming(self):
        garden = self.garden()
        rows = "".join(f"2026-07-{day},{39 if 17 <= day <= 19 else 24},{15},0,2\n" for day in range(14, 24))
        garden.write("forecast.csv", "day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm],wind_speed:mean [m s-1]\n" + rows)
        self.check_done(garden.run("weather", "add", "--forecast", "--issued", "2026-07-14T05:00:00" + ZONE, "forecast.csv", at="2026-07-14T05:10:00" + ZONE))
        with Service(garden) as service:
            walks = self.walks(self.events(self.feed(service))[1])
            planned = service.get("/api/v1/ahead").json()["walks"]
        evenings = {name[:10]: str(walk["STATUS"]) for name, walk in walks.items() if name.endswith("-evening")}
        self.assertEqual({evenings[day] for day in ("2026-07-17", "2026-07-18", "2026-07-19")}, {"TENTATIVE"})
        self.assertNotIn("2026-07-21", evenings)
        for walk in planned:
            if walk["walk"] == "evening" and walk["day"] <= "2026-07-21":
                self.assertIn(walk["day"], evenings)

    def test_summer_time_moves_the_walk_and_not_the_hour(self):
        with Service(self.garden()) as service:
            walks = self.walks(self.events(self.feed(service, "/calendar.ics?at=2026-10-22"))[1])
        self.assertEqual(walks["2026-10-24-morning"].decoded("DTSTART").hour, 5)
        self.assertEqual(walks["2026-10-25-morning"].decoded("DTSTART").hour, 6)  # clocks went back in the night

    def test_windows_of_care_are_whole_days_from_opening_to_closing(self):
        garden = self.garden()
        jobs = [job for job in json.loads(garden.run("--json", "jobs", at=AT).stdout)["jobs"] if job["state"] not in ("done", "dropped", "passed")]
        self.assertTrue(jobs)
        with Service(garden) as service:
            windows = self.windows(self.events(self.feed(service))[1])
        shown = {}
        for event in windows:
            title, pots = re.fullmatch(r"(.*): pots? (.*)", str(event["SUMMARY"])).groups()
            for pot in pots.split(", "):
                shown.setdefault((pot, title.lower()), []).append(event)
        for job in jobs:
            found = shown[(job["pot"], job["title"].lower())]
            self.assertEqual(len([event for event in found if event.decoded("DTSTART") <= datetime.date(2026, 7, 14)]), 1, job["id"])
            begins = min(one["opens"] for one in jobs if one["rule"] == job["rule"])
            ends = max(one["closes"] for one in jobs if one["rule"] == job["rule"])
            self.assertEqual(found[0].decoded("DTSTART"), date(begins), job["id"])
            self.assertEqual(found[0].decoded("DTEND"), date(ends) + DAY, job["id"])  # the first day after, 3.6.1
            for caution in job["caution"]:
                self.assertIn("Care: ", str(found[0]["DESCRIPTION"]), caution)
        with Service(garden) as service:
            _, walks = self.events(self.feed(service, "/calendar.ics?only=walks"))
            _, care = self.events(self.feed(service, "/calendar.ics?only=care"))
            self.assertEqual((len(self.windows(walks)), len(self.walks(care)), len(care)), (0, 0, len(windows)))
            self.assertEqual(service.get("/calendar.ics?only=frost").status, 400)

    def test_what_is_done_dropped_or_waits_shows(self):
        garden = self.garden()
        jobs = [job for job in json.loads(garden.run("--json", "jobs", at=AT).stdout)["jobs"] if job["state"] in ("due", "this week", "this-week", "in season", "in-season")]
        dropped = jobs[0]
        self.check_done(garden.run("job", "drop", dropped["id"], "--because", "no fruit this year", at=AT))
        with Service(garden) as service:
            left = self.windows(self.events(self.feed(service))[1])
        for event in left:
            if str(event["SUMMARY"]).lower().startswith(dropped["title"].lower() + ":") and event.decoded("DTSTART") == date(dropped["opens"]):
                self.assertNotIn(dropped["pot"], re.split(r"pots? |, ", str(event["SUMMARY"]))[1:])

    def test_the_same_garden_gives_the_same_bytes_and_a_tag(self):
        garden = self.garden()
        with Service(garden) as service:
            first = service.get("/calendar.ics")
            self.assertEqual(service.get("/calendar.ics").body, first.body)
            self.assertEqual(service.get("/calendar.ics", If_None_Match=first.headers["etag"]).status, 304)
            head = service.ask("HEAD", "/calendar.ics")
            self.assertEqual((head.status, head.headers["content-length"]), (200, str(len(first.body))))

    def test_letters_of_all_kinds(self):
        garden = self.garden()
        with open(garden.configuration, encoding="utf-8") as file:
            text = file.read().replace("Lark Terrace", "Pěstírna; a, b „Ős“ " + "ä" * 60)
        garden.write("tubgrove.yaml", text)
        with Service(garden) as service:
            service.get("/api/v1/round")
            calendar, events = self.events(self.feed(service))
            site = service.get("/api/v1/round").json()["site"]
            garden.write("tubgrove.yaml", text.replace("a, b", "a, b\\\\n"))
            service.process.send_signal(signal.SIGHUP)
            service.until_told("was read again")
            # The reader takes an escaped backslash before an n for a line's end, so this one is looked at as written, RFC 5545 3.3.11.
            self.assertIn("\r\nNAME:Pěstírna\\; a\\, b\\\\n".encode(), self.feed(service))
        self.assertEqual(str(calendar["NAME"]), site)
        self.assertIn(site, str(self.walks(events)["2026-07-14-morning"]["DESCRIPTION"]))


class Address(InAFolder):
    DOORS = "{listen: ['127.0.0.1:0'], this_machine: token}"

    def paired(self, garden, service, name, *more):
        code = json.loads(garden.run("--json", "pair", "--name", name, *more).stdout)["code"]
        answer = service.ask("POST", "/api/v1/pairings", json.dumps({"code": code}), {"Content-Type": "application/json"})
        return "Bearer " + answer.json()["token"]

    def made(self, service, token=None):
        headers = {"Content-Type": "application/json"}
        if token:
            headers["Authorization"] = token
        return service.ask("POST", "/api/v1/calendars", "{}", headers)

    def test_the_token_in_the_address_opens_the_calendar_and_nothing_else(self):
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            self.assertEqual(service.get("/calendar.ics").status, 401)
            self.assertEqual(self.made(service).status, 401)
            ana = self.paired(garden, service, "Ana")
            made = self.made(service, ana)
            self.assertEqual(made.status, 201, made.body)
            path, secret = made.json()["path"], made.json()["token"]
            self.assertEqual(made.json()["name"], "Ana")
            self.assertEqual(service.get(path).status, 200)
            self.assertEqual(service.get("/calendar.ics", Authorization=ana).status, 200)
            # It is no bearer token, and no other token is taken from an address.
            for where in ("/calendar.ics", "/api/v1/round", "/api/v1/me", "/metrics"):
                self.assertEqual(service.get(where, Authorization="Bearer " + secret).status, 401, where)
            for where in (f"/api/v1/round?token={secret}", f"/api/v1/me?token={secret}", f"/metrics?token={secret}"):
                self.assertIn(service.get(where).status, (400, 401), where)
            self.assertEqual(service.get("/calendar.ics?token=" + ana.split()[1]).status, 401)
            self.assertEqual(service.get(path, Authorization=ana).status, 400)
            self.assertEqual(service.get(path, Origin="https://foreign.example").status, 403)
            self.assertEqual(service.get(path, Host="foreign.example").status, 421)
            self.assertEqual(service.ask("POST", path, "{}", {"Content-Type": "application/json"}).status, 405)
            self.assertEqual(self.made(service, "Bearer " + secret).status, 401)

    def test_it_is_listed_and_ended_like_the_others(self):
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            ana = self.paired(garden, service, "Ana")
            path = self.made(service, ana).json()["path"]
            listed = json.loads(garden.run("--json", "pair", "list").stdout)["tokens"]
            self.assertEqual([(one["number"], one["name"], one["calendar"]) for one in listed], [(1, "Ana", False), (2, "Ana", True)])
            self.assertRegex(self.check_done(garden.run("pair", "list")), r"2\s+Ana.*calendar")
            self.check_done(garden.run("pair", "end", "2"))
            self.assertEqual(service.get(path).status, 401)
            self.assertEqual(service.get("/calendar.ics", Authorization=ana).status, 200)
            path = self.made(service, ana).json()["path"]
            self.check_done(garden.run("pair", "end", "Ana"))
            self.assertEqual(service.get(path).status, 401)
            with open(os.path.join(garden.data, "tubgrove-tokens"), encoding="utf-8") as file:
                self.assertNotIn(path.split("=")[1], file.read())

    def test_a_lost_phone_is_shut_out_whole(self):
        """By its number: with it end the calendars that it asked for; what else is open under the name is told."""
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            lost, kept = self.paired(garden, service, "Ana"), self.paired(garden, service, "Ana")
            paths = [self.made(service, token).json()["path"] for token in (lost, lost, kept)]
            listed = json.loads(garden.run("--json", "pair", "list").stdout)["tokens"]
            self.assertEqual([one["phone"] for one in listed], [None, None, 1, 1, 2])
            self.assertRegex(self.check_done(garden.run("pair", "list")), r"4\s+Ana.*calendar of 1\n")
            self.assertEqual(json.loads(self.check_done(garden.run("--json", "pair", "end", "1"))), {"ended": [1, 3, 4], "still_open": [2, 5]})
            self.assertEqual([service.get(path).status for path in paths], [401, 401, 200])
            self.assertEqual(service.get("/api/v1/me", Authorization=lost).status, 401)
            self.assertEqual(service.get("/api/v1/me", Authorization=kept).status, 200)
            # A calendar from before calendars knew their phone.
            book = os.path.join(garden.data, "tubgrove-tokens")
            with open(book, encoding="utf-8") as file:
                text = file.read()
            with open(book, "w", encoding="utf-8") as file:
                file.write(text.replace("\tAna\t2\n", "\tAna\n"))
            said = self.check_done(garden.run("pair", "end", "2"))
            self.assertIn("Ended: 2 Ana\n", said)
            self.assertIn("Still open for Ana: 5, a calendar\n", said)
            self.assertEqual(service.get(paths[2]).status, 200)

    def test_a_helper_gets_no_calendar(self):
        garden = self.garden()
        with Service(garden, doors=self.DOORS) as service:
            ben = self.paired(garden, service, "Ben", "--until", str(datetime.date.today() + datetime.timedelta(days=30)))
            self.assertEqual(self.made(service, ben).status, 403)
            self.assertEqual(service.get("/calendar.ics", Authorization=ben).status, 200)
            self.assertEqual(len(json.loads(garden.run("--json", "pair", "list").stdout)["tokens"]), 1)

    def test_from_the_command_line(self):
        garden = self.garden()
        result = garden.run("--json", "pair", "--calendar", "--name", "Ana")
        self.assertEqual(result.returncode, command_garden.DONE)
        link = json.loads(result.stdout)["link"]
        self.assertTrue(link.startswith("http://127.0.0.1:8824/calendar.ics?token="), link)
        self.assertIn("for this machine only", result.stderr)
        with Service(garden, doors=self.DOORS) as service:
            self.assertEqual(service.get(link[len("http://127.0.0.1:8824"):]).status, 200)
        plain = garden.run("pair", "--calendar")
        self.assertIn("/calendar.ics?token=", plain.stdout)
        self.check_refused(garden.run("pair", "--calendar", "--until", "2020-01-01"), "that day has passed")

    def test_who_guesses_is_made_to_wait(self):
        with Service(self.garden(), doors=self.DOORS) as service:
            statuses = [service.get(f"/calendar.ics?token=guess{number}").status for number in range(14)]
        self.assertEqual((statuses[:10], statuses[-1]), ([401] * 10, 429))


if __name__ == "__main__":
    unittest.main()
