#!/usr/bin/env python3
"""What a monitor is told: /metrics as promtool, the format's own checker, reads it, and /health when something is wrong.

usage: metrics_test.py PROGRAM PROMTOOL [unittest's own words].
"""
import os
import re
import sqlite3
import subprocess
import sys
import time
import unittest

PROMTOOL = sys.argv.pop(2)

import command_garden
from command_garden import InAFolder
from serve_garden import AT, Service


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def samples(text):
    """{'name{labels}': number}, and the kind of each family."""
    found, kinds = {}, {}
    for line in text.splitlines():
        if line.startswith("# TYPE "):
            _, _, name, kind = line.split(" ")
            kinds[name] = kind
        elif not line.startswith("#"):
            name, number = line.rsplit(" ", 1)
            found[name] = float(number)
    return found, kinds


class Metrics(InAFolder):
    def promtool(self, text):
        ran = subprocess.run([PROMTOOL, "check", "metrics"], input=text, capture_output=True, timeout=60)
        return ran.returncode, ran.stdout + ran.stderr

    def metrics(self, service, **headers):
        answer = service.get("/metrics", **headers)
        self.assertEqual(answer.status, 200, answer.body)
        self.assertEqual(answer.headers["content-type"], "text/plain; version=0.0.4; charset=utf-8")
        return answer.body

    def test_promtool_finds_nothing_wrong(self):
        garden = self.garden()
        os.makedirs(os.path.join(self.place, "drop"))
        with open(garden.configuration, "a", encoding="utf-8") as file:
            file.write(f"drop_folder: {self.place}/drop\n")
            file.write("notices: {webhook: [{name: nobody, url: 'http://127.0.0.1:1/'}]}\n")
        garden.run("round", at=AT)
        for at in (AT, None):
            with Service(garden, at=at) as service:
                service.get("/api/v1/nothing")
                text = self.metrics(service)
                self.assertEqual(self.promtool(text), (0, b""), text.decode())
        # The checker sees what would be wrong.
        self.assertNotEqual(self.promtool(text.replace(b"# HELP process_cpu_seconds_total", b"# HELP nothing"))[0], 0)
        self.assertNotEqual(self.promtool(text.replace(b"_requests_total", b"_requests_count"))[0], 0)
        self.assertNotEqual(self.promtool(text + b"tubgrove_next\n")[0], 0)

    def test_the_numbers_are_those_of_the_list(self):
        garden = self.garden()
        with Service(garden) as service:
            found, _ = samples(self.metrics(service).decode())
            self.assertNotIn("tubgrove_round_jobs", found)  # no list yet, and asking makes none
            shown = service.get("/api/v1/round").json()
            found, kinds = samples(self.metrics(service).decode())
            self.assertEqual(found["tubgrove_round_water_liters"], shown["total_l"])
            self.assertEqual(found['tubgrove_round_pots{water="yes"}'], len(shown["pours"]))
            self.assertEqual(found['tubgrove_round_pots{water="no"}'], len(shown["no_water"]))
            self.assertEqual(found["tubgrove_round_jobs"], len(shown["jobs"]))
            for severity in ("note", "warning", "danger"):
                self.assertEqual(found[f'tubgrove_round_notices{{severity="{severity}"}}'],
                                 sum(one["severity"] == severity for one in shown["notices"]))
            for line in shown["pours"]:
                for name in ("pour", "depletion", "available"):
                    self.assertEqual(found[f'tubgrove_pot_{name}_liters{{pot="{line["pot"]}"}}'], line[f"{name}_l"])
            self.assertEqual(found['tubgrove_http_requests_total{status="200"}'], 2)
            self.assertEqual({name for name, kind in kinds.items() if kind == "counter"},
                             {name for name in kinds if name.endswith("_total")})
            self.assertLess(abs(found["process_start_time_seconds"] - time.time()), 120)
            with open(f"/proc/{service.process.pid}/status", encoding="utf-8") as file:
                resident = int(re.search(r"VmRSS:\s+(\d+) kB", file.read())[1]) * 1024
            self.assertLess(abs(found["process_resident_memory_bytes"] - resident), 0.2 * resident)

    def test_a_label_may_be_any_text(self):
        garden = self.garden()
        garden.run("pot", "add", 'back\\slash"quote', "bay=south-wall", "container.size=40L", "tree.a.species=apple", at=AT)
        with Service(garden) as service:
            pots = [one["id"] for one in service.get("/api/v1/pots").json()["pots"]]
            service.get("/api/v1/round")
            text = self.metrics(service)
            self.assertEqual(self.promtool(text), (0, b""))
            if any('"' in one for one in pots):
                self.assertIn(b'pot="back\\\\slash\\"quote"', text)

    def test_only_who_was_let_in_reads_them(self):
        with Service(self.garden(), doors="{listen: ['127.0.0.1:0'], this_machine: token}") as service:
            self.assertEqual(service.get("/metrics").status, 401)
            self.assertEqual(service.get("/health").status, 200)
        with Service(self.garden("open")) as service:
            self.assertEqual(service.get("/metrics", Origin="https://foreign.example").status, 403)
            self.assertEqual(service.get("/metrics", Sec_Fetch_Site="cross-site").status, 403)
            self.assertEqual(service.get("/metrics?all=yes").status, 400)
            self.assertEqual(service.ask("POST", "/metrics", "x").status, 405)


class Health(InAFolder):
    def test_a_service_that_is_well(self):
        with Service(self.garden(), at=None) as service:
            answer = service.get("/health")
            self.assertEqual((answer.status, answer.json()), (200, {"status": "ok"}))

    def test_a_clock_that_cannot_be_right(self):
        garden = self.garden()
        book = sqlite3.connect(os.path.join(garden.data, "tubgrove.db"))
        book.execute("INSERT INTO entries (pot, action, happened, learned, clock, author, note, round) VALUES ('', 'noted', 1, ?, 'board', '', '', '')",
                     (int(time.time()) + 10 * 86400,))
        book.commit()
        book.close()
        with Service(garden, at=None) as service:
            service.until_told("clock cannot be right")
            answer = service.get("/health")
            self.assertEqual(answer.status, 503)
            self.assertIn("clock", answer.json()["detail"])
            self.assertIn(b"tubgrove_clock_believed 0\n", service.get("/metrics").body)
            # The command line confirms it beside the running service, which notices.
            self.check_done(garden.run("clock", "confirm"))
            service.until_told("the clock is believed again", 8)
            self.assertEqual(service.get("/health").status, 200)

    def test_a_store_that_cannot_be_read(self):
        garden = self.garden()
        with Service(garden) as service:
            path = os.path.join(garden.data, "tubgrove.db")
            size = os.path.getsize(path)
            with open(path, "r+b") as file:
                file.seek(4096)
                file.write(b"\xff" * (size - 4096))
            answer = service.get("/health")
            self.assertEqual(answer.status, 503)
            self.assertIn("store", answer.json()["detail"])
            self.assertNotIn(garden.data, answer.body.decode())


if __name__ == "__main__":
    unittest.main()
