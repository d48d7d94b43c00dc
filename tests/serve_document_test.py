#!/usr/bin/env python3
"""The document of the API against the running service: every operation, every answer and every error that it names.

usage: serve_document_test.py PROGRAM [unittest's own words].
"""
import json
import os
import re
import sqlite3
import threading
import time
import unittest

import jsonschema

import command_garden
from command_garden import ZONE, InAFolder
from peers import until
from serve_garden import AT, Service

JSON = "application/json"


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


FACTS = ["bay=south-wall", "container.size=40L", "tree.a.species=apple"]
YAML = "pots:\n  - {id: q1, bay: south-wall, container: {size: 30 L}, trees: [{id: a, species: apple}]}\n"
CSV = "day,air_temperature:max [degC]\n2026-07-13,31\n"
DAYBOOK = "no,daybook\n"

# By operation: a request that is right, and what makes it wrong for the statuses that are not the same for all.
# (path, body); a body that is a text goes as it is.
RIGHT = {
    "round": ("/api/v1/round?day=today&walk=morning&at=2026-07-14&recompute=yes", None),
    "why": ("/api/v1/why/7?day=today", None),
    "pots": ("/api/v1/pots?retired=yes", None),
    "pot": ("/api/v1/pots/lemon?at=2026-07-14&hindsight=yes", None),
    "daybook": ("/api/v1/daybook?pot=7&from=2026-07-01&to=today", None),
    "weather": ("/api/v1/weather?from=2026-07-10&to=2026-07-12", None),
    "water": ("/api/v1/water/7?from=2026-07-10&to=2026-07-12", None),
    "words": ("/api/v1/words", None),
    "forecasts": ("/api/v1/forecasts", None),
    "hindcast": ("/api/v1/hindcast", None),
    "ahead": ("/api/v1/ahead?days=4", None),
    "absence": ("/api/v1/absence?from=2026-07-20&to=2026-07-24", None),
    "visit": ("/api/v1/visit?to=2026-07-24", None),
    "compare": ("/api/v1/compare/7?facts=mulch.depth=4cm", None),
    "jobs": ("/api/v1/jobs?day=today&pot=7", None),
    "season": ("/api/v1/season/7?year=2026", None),
    "labels": ("/api/v1/labels?pot=7&link=http://garden.lan:8824", None),
    "me": ("/api/v1/me", None),
    "sources": ("/api/v1/sources", None),
    "channels": ("/api/v1/channels", None),
    "document": ("/api/v1/openapi.json", None),
    "health": ("/health", None),
    "metrics": ("/metrics", None),
    "calendar": ("/calendar.ics", None),
    "makeCalendar": ("/api/v1/calendars", {}),
    "addEntries": ("/api/v1/entries", {"words": ["7", "watered", "2.5L"], "when": "07:10", "by": "Ana", "note": "calm"}),
    "strike": ("/api/v1/entries/4/strike", {"note": "that was pot 8"}),
    "doneJob": ("/api/v1/jobs/7.stake-permanent.2026/done", {"words": [], "when": "07:10", "by": "Ana", "note": "oak"}),
    "waitJob": ("/api/v1/jobs/7.weevil.2026/wait", {"until": "2026-07-20"}),
    "dropJob": ("/api/v1/jobs/lemon.weevil.2026/drop", {"because": "a wall holds it"}),
    "addPot": ("/api/v1/pots", {"id": "12", "facts": FACTS}),
    "changePot": ("/api/v1/pots/7/change", {"facts": ["tree.a.leaves=dense"], "since": "2026-07-01"}),
    "retirePot": ("/api/v1/pots/8/retire", {"because": "given away"}),
    "takePots": ("/api/v1/pots/take?apply=no", YAML),
    "takeDaybook": ("/api/v1/daybook/take?apply=no", None),  # its body is made from an export
    "addReadings": ("/api/v1/weather/readings?source=roof&issued=2026-07-13T05:00:00Z&member=3", CSV),
    "noteWeather": ("/api/v1/weather/notes", {"words": ["max=31degC", "min=17degC"], "day": "today"}),
    "confirmClock": ("/api/v1/clock/confirm", {}),
    "pair": ("/api/v1/pairings", None),  # its body is a code
}
NOT_FOUND = {
    "round": "/api/v1/round?day=2026-07-01", "why": "/api/v1/why/99", "pot": "/api/v1/pots/99", "water": "/api/v1/water/99",
    "compare": "/api/v1/compare/99?facts=mulch.depth=4cm",
    "jobs": "/api/v1/jobs?pot=99", "season": "/api/v1/season/99", "labels": "/api/v1/labels?pot=99", "daybook": "/api/v1/daybook?pot=99", "strike": "/api/v1/entries/999/strike"}
NOT_TAKEN = {
    "addEntries": ("/api/v1/entries", {"words": ["7", "watered", "2gal"]}),
    "strike": ("/api/v1/entries/4/strike", {}),  # for the second time
    "doneJob": ("/api/v1/jobs/7.no-such-job.2026/done", {}),
    "waitJob": ("/api/v1/jobs/7.no-such-job.2026/wait", {"until": "2026-07-20"}),
    "dropJob": ("/api/v1/jobs/7.no-such-job.2026/drop", {"because": "x"}),
    "addPot": ("/api/v1/pots", {"id": "7", "facts": FACTS}),
    "changePot": ("/api/v1/pots/99/change", {"facts": ["tree.a.leaves=dense"]}),
    "retirePot": ("/api/v1/pots/99/retire", {}),
    "takePots": ("/api/v1/pots/take", "pots: 3\n"),
    "takeDaybook": ("/api/v1/daybook/take", DAYBOOK),
    "addReadings": ("/api/v1/weather/readings?source=roof", "nonsense\n"),
    "noteWeather": ("/api/v1/weather/notes", {"words": ["max=warm"]}),
    "confirmClock": ("/api/v1/clock/confirm", {}),  # with a key that was used for something else
}


class Document(InAFolder):
    def setUp(self):
        super().setUp()
        self.land = self.garden()
        self.land.run("round", at="2026-07-14T07:00:00" + ZONE)
        self.service = Service(self.land)
        self.addCleanup(lambda: self.service.stop())
        self.document = self.service.get("/api/v1/openapi.json").json()
        self.keys = 0

    def operations(self):
        for path, item in self.document["paths"].items():
            for method, operation in item.items():
                yield path, method.upper(), operation

    def response(self, operation, status):
        response = operation["responses"][str(status)]
        if "$ref" in response:
            response = self.document["components"]["responses"][response["$ref"].rsplit("/", 1)[1]]
        return response

    def check(self, answer, operation, wanted):
        """The answer has the status, and is what the document says of it."""
        name = operation["operationId"]
        self.assertEqual(answer.status, wanted, (name, answer.body[:400]))
        response = self.response(operation, wanted)
        if "content" not in response:
            self.assertEqual(answer.body, b"", name)
            return
        (kind, content), = response["content"].items()
        self.assertEqual(answer.headers["content-type"], kind, name)
        schema = {"components": self.document["components"], **content["schema"]}
        if kind.startswith("text/"):
            answer.body.decode()
        elif answer.body:
            jsonschema.Draft202012Validator(schema).validate(answer.json())
        for header in response.get("headers", {}):
            self.assertIn(header.lower(), answer.headers, name)

    def ask(self, service, operation, method, right=None, key=None, **headers):
        path, body = right or self.right(operation)
        sent = {}
        if method == "POST":
            (kind, _), = operation["requestBody"]["content"].items()
            self.keys += 1
            sent = {"Content-Type": kind, "Idempotency-Key": key or f"key-{self.keys}"}
            body = body if isinstance(body, str) else json.dumps(body)
        sent.update({name.replace("_", "-"): value for name, value in headers.items()})
        return service.ask(method, path, body, sent)

    def right(self, operation):
        path, body = RIGHT[operation["operationId"]]
        if operation["operationId"] == "pair":
            body = {"code": json.loads(self.land.run("--json", "pair").stdout)["code"]}
        if operation["operationId"] == "takeDaybook":
            body = self.exported()
        return path, body

    def exported(self):
        self.land.run("export")
        with open(os.path.join(self.land.folder, "tubgrove-daybook.csv"), encoding="utf-8") as file:
            return file.read()

    def test_the_document_names_what_there_is(self):
        ids = [operation["operationId"] for _, _, operation in self.operations()]
        self.assertEqual(sorted(ids), sorted(RIGHT))
        for path, method, operation in self.operations():
            named = re.findall(r"{(\w+)}", path)
            parameters = [self.document["components"]["parameters"][one["$ref"].rsplit("/", 1)[1]] for one in operation.get("parameters", [])]
            self.assertEqual([one["name"] for one in parameters if one["in"] == "path"], named, path)
            self.assertEqual("requestBody" in operation, method == "POST", path)

    def test_every_operation_answers_as_described(self):
        for path, method, operation in self.operations():
            if operation["operationId"] == "takeDaybook":
                continue  # into an empty garden, below
            done = next(int(status) for status in operation["responses"] if status.startswith("2"))
            answer = self.ask(self.service, operation, method)
            self.check(answer, operation, done)
            self.assertEqual("304" in operation["responses"], method == "GET" and operation["operationId"] != "metrics")
            if "304" in operation["responses"]:
                self.check(self.ask(self.service, operation, method, If_None_Match=answer.headers["etag"]), operation, 304)

    def test_a_daybook_is_taken_into_an_empty_garden(self):
        book = self.exported()
        fresh = command_garden.Garden(os.path.join(self.place, "fresh"))
        os.makedirs(fresh.folder)
        with open(self.land.configuration, encoding="utf-8") as file:
            fresh.write("tubgrove.yaml", file.read())
        operation = self.document["paths"]["/api/v1/daybook/take"]["post"]
        with Service(fresh) as service:
            answer = self.ask(service, operation, "POST", ("/api/v1/daybook/take?apply=yes", book))
            self.check(answer, operation, 200)
            self.assertTrue(answer.json()["applied"])

    def test_wrong_facts_are_told_apart_from_an_unknown_pot(self):
        for facts, status, pot in (("mulch.depth=-4cm", 400, "7"), ("mulch.deep=4cm", 400, "7"), ("mulch.depth=4cm", 404, "99")):
            answer = self.service.get(f"/api/v1/compare/{pot}?facts={facts}")
            self.assertEqual(answer.status, status, answer.body)
            self.assertTrue(answer.json()["right"])

    def test_a_malformed_question_is_told_apart_from_one_about_what_is_not_there(self):
        for path, status in (
                ("round?walk=noon", 400), ("round?walk=", 400), ("round?day=2026-07-01", 404),
                ("water/7?from=2026-07-14&to=2026-07-10", 400), ("water/99?from=2026-07-10", 404), ("weather?from=2026-07-14&to=2026-07-10", 400),
                ("daybook?from=2026-07-14&to=2026-07-10", 400), ("labels?link=javascript:alert(1)", 400), ("labels?link=http://garden.lan&pot=99", 404),
                ("jobs?day=2099-01-01", 400), ("jobs?pot=99", 404)):
            answer = self.service.get("/api/v1/" + path)
            self.assertEqual(answer.status, status, (path, answer.body))
            self.assertTrue(answer.json()["right"], path)
            if not path.startswith("round?day"):
                self.assertNotIn("--", answer.json()["right"], path)  # the command line's options are of no use here
        for entry in ("999", "0", "-1", "1e3", "04", "4.0", "seven", "99999999999999999999"):
            answer = self.service.post(f"/api/v1/entries/{entry}/strike", {}, "s" + entry)
            self.assertEqual((answer.status, answer.json()["right"]), (404, "a number that daybook shows"), entry)
        late = self.service.post("/api/v1/weather/readings?source=roof&issued=2099-07-13T05:00:00Z", CSV, "late", Content_Type="text/csv")
        self.assertEqual((late.status, late.json()["right"]), (400, "a time that has passed"))

    def test_errors_that_are_the_same_for_all(self):
        for path, method, operation in self.operations():
            right, body = self.right(operation)
            more = "&" if "?" in right else "?"
            cases = {400: {"right": (right + more + "x=%zz", body)}, 403: {"Origin": "https://foreign.example"},
                     421: {"Host": "foreign.example"}, 414: {"right": (right + more + "x=" + "y" * 3000, body)},
                     431: {"X_Long": "y" * 9000}}
            if "415" in operation["responses"]:
                cases[415] = {"Content_Type": "text/plain"}
            for wanted, wrong in cases.items():
                self.assertIn(str(wanted), operation["responses"], path)
                self.check(self.ask(self.service, operation, method, **wrong), operation, wanted)
            self.check(self.service.ask("DELETE", right), operation, 405)
            if "413" in operation["responses"]:
                self.check(self.ask(self.service, operation, method, (right, "x" * (1024 * 1024 + 1))), operation, 413)

    def test_unknown_names_and_malformed_bodies(self):
        for path, method, operation in self.operations():
            right, body = self.right(operation)
            if "500" not in operation["responses"] or operation["operationId"] == "me":
                continue
            if operation["operationId"] != "pair":
                more = "&" if "?" in right else "?"
                self.check(self.ask(self.service, operation, method, (right + more + "nonsense=1", body)), operation, 400)
            if method == "POST" and isinstance(body, dict):
                for bad in ('{"words"', "[]", json.dumps({**body, "nonsense": 1})):
                    self.check(self.ask(self.service, operation, method, (right, bad)), operation, 400)

    def test_what_is_not_there_and_what_is_not_taken(self):
        self.ask(self.service, self.document["paths"]["/api/v1/weather/notes"]["post"], "POST", key="used")
        self.ask(self.service, self.document["paths"]["/api/v1/entries"]["post"], "POST")
        self.ask(self.service, self.document["paths"]["/api/v1/entries/{entry}/strike"]["post"], "POST")
        for path, method, operation in self.operations():
            name = operation["operationId"]
            self.assertEqual("404" in operation["responses"], name in NOT_FOUND, name)
            self.assertEqual("422" in operation["responses"], name in NOT_TAKEN, name)
            if name in NOT_FOUND:
                self.check(self.ask(self.service, operation, method, (NOT_FOUND[name], {})), operation, 404)
            if name in NOT_TAKEN:
                key = "used" if name == "confirmClock" else None
                self.check(self.ask(self.service, operation, method, NOT_TAKEN[name], key=key), operation, 422)

    def test_who_has_no_token_and_who_guesses(self):
        self.service.stop()
        self.service = Service(self.land, doors="{listen: ['127.0.0.1:0'], this_machine: token}")
        for path, method, operation in self.operations():
            if "401" in operation["responses"]:
                self.check(self.ask(self.service, operation, method), operation, 401)
        for number in range(12):
            self.service.get("/api/v1/round", Authorization=f"Bearer guess{number}")
        for path, method, operation in self.operations():
            self.check(self.ask(self.service, operation, method, Authorization="Bearer guess"), operation, 429)

    def crowd(self, ask):
        """Asks at once, and again where there was no room, while somebody holds the store; so whoever comes later finds none."""
        refused, ends = [], threading.Event()

        def member(number):
            while ask(number).status == 503 and not ends.wait(0.05):
                refused.append(number)
        crowd = [threading.Thread(target=member, args=(number,)) for number in range(40)]
        for thread in crowd:
            thread.start()
        until(lambda: len(refused) > 40, 9)  # some were refused again and again: nothing moves
        return crowd, ends

    def test_a_machine_that_is_asked_too_much(self):
        self.service.stop()
        self.land = self.garden("fresh")  # where no round is issued, so that asking for one must write
        self.service = Service(self.land)
        left = {operation["operationId"]: (method, operation) for _, method, operation in self.operations() if "503" in operation["responses"]}
        rights = {name: self.right(operation) for name, (_, operation) in left.items()}
        for full, ask in (
                ("pots", lambda n: self.service.post("/api/v1/entries", {"words": ["7", "felt", "dry"]}, f"b{n}")),
                ("round", lambda n: self.service.get("/api/v1/round"))):
            held = sqlite3.connect(os.path.join(self.land.data, "tubgrove.db"), isolation_level=None)
            held.execute("BEGIN IMMEDIATE")
            crowd, ends = self.crowd(ask)
            for name, (method, operation) in list(left.items()):
                reckons = name.endswith("Job")  # a write that stands in line with the lists
                asked = not reckons if full == "pots" else reckons or method == "GET"
                answer = self.ask(self.service, operation, method, rights[name]) if asked else None
                if answer and answer.status == 503:
                    self.check(answer, operation, 503)
                    del left[name]
            held.execute("ROLLBACK")
            held.close()
            ends.set()
            for thread in crowd:
                thread.join()
        self.assertEqual(left, {})
        self.assertEqual(self.service.post("/api/v1/entries", {"words": ["7", "felt", "dry"]}, "after").status, 201)

    def test_a_machine_that_fails(self):
        self.service.stop()
        self.service = Service(self.land)
        code = self.right(self.document["paths"]["/api/v1/pairings"]["post"])
        book = self.exported()
        path = os.path.join(self.land.data, "tubgrove.db")
        with open(path, "r+b") as file:  # every page but the first, which says what there should be
            size = os.path.getsize(path)
            file.seek(4096)
            file.write(b"\xff" * (size - 4096))
        with open(os.path.join(self.land.data, "tubgrove-tokens"), "a", encoding="utf-8") as file:
            file.write("nonsense\n")
        for _, method, operation in self.operations():
            if "500" not in operation["responses"]:
                continue
            name = operation["operationId"]
            right = code if name == "pair" else (RIGHT[name][0], book) if name == "takeDaybook" else None
            headers = {"Authorization": "Bearer x"} if name == "me" else {}
            self.check(self.ask(self.service, operation, method, right, **headers), operation, 500)


if __name__ == "__main__":
    unittest.main()
