#!/usr/bin/env python3
"""The units as systemd's own tools see them, and the nightly copy.

usage: systemd_test.py PROGRAM [unittest's own words]. Without systemd's tools only the copy is tested.
"""
import concurrent.futures
import http.client
import os
import re
import shutil
import subprocess
import threading
import unittest

import command_garden
from command_garden import PROGRAM, InAFolder
from serve_garden import AT, Service

UNITS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "systemd")
ANALYZE = shutil.which("systemd-analyze")


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


class Units(InAFolder):
    def installed(self, name):
        """The unit with programs that are there, since verifying looks for them."""
        with open(os.path.join(UNITS, name), encoding="utf-8") as file:
            text = file.read().replace("/usr/bin/tubgrove", PROGRAM).replace("/usr/lib/tubgrove", UNITS)
        with open(os.path.join(self.place, name), "w", encoding="utf-8") as file:
            file.write(re.sub(r"(?m)^Documentation=.*\n", "", text))
        return os.path.join(self.place, name)

    @unittest.skipUnless(ANALYZE, "no systemd-analyze")
    def test_the_units_are_in_order(self):
        for name in ("tubgrove.service", "tubgrove-backup.service", "tubgrove-backup.timer"):
            self.installed(name)
        for name in ("tubgrove.service", "tubgrove-backup.timer"):
            result = subprocess.run([ANALYZE, "verify", "--recursive-errors=no", os.path.join(self.place, name)], capture_output=True, text=True, check=False)
            self.assertEqual((result.returncode, result.stderr), (0, ""), name)

    @unittest.skipUnless(ANALYZE, "no systemd-analyze")
    def test_the_units_expose_little(self):
        for name in ("tubgrove.service", "tubgrove-backup.service"):
            result = subprocess.run([ANALYZE, "security", "--offline=true", "--threshold=15", self.installed(name)],
                                    capture_output=True, text=True, check=False)
            self.assertEqual(result.returncode, 0, result.stdout[-400:])

    @unittest.skipUnless(shutil.which("systemd-sysusers"), "no systemd-sysusers")
    def test_user_and_folders_are_made(self):
        root = os.path.join(self.place, "root")
        os.makedirs(os.path.join(root, "etc"))
        for tool, name in (("systemd-sysusers", "tubgrove.sysusers"), ("systemd-tmpfiles", "tubgrove.tmpfiles")):
            if os.geteuid() != 0:
                continue  # they give files to others
            line = [tool, f"--root={root}"] + (["--create"] if "tmpfiles" in tool else []) + [os.path.join(UNITS, name)]
            result = subprocess.run(line, capture_output=True, text=True, check=False)
            self.assertEqual(result.returncode, 0, result.stderr)
        if os.geteuid() == 0:
            self.assertEqual(os.stat(os.path.join(root, "var/lib/tubgrove")).st_mode & 0o7777, 0o2770)
            with open(os.path.join(root, "etc/passwd"), encoding="utf-8") as file:
                self.assertIn("tubgrove:", file.read())


class Limits(InAFolder):
    """What the unit allows beside what the service takes when it is asked for all that is large at once."""
    POTS, ASKERS = 60, 24
    COURIERS, COURIER_KB = 2, 32 * 1024   # at once, and what one may take with its TLS

    def allowed(self, name):
        with open(os.path.join(UNITS, "tubgrove.service"), encoding="utf-8") as file:
            number, suffix = re.search(rf"(?m)^{name}=(\d+)(M?)$", file.read()).groups()
        return int(number) * (1024 if suffix else 1)   # kB, or tasks

    def status(self, process, name):
        with open(f"/proc/{process.pid}/status", encoding="ascii") as file:
            return int(re.search(rf"(?m)^{name}:\s+(\d+)", file.read())[1])

    def test_the_service_stays_under_what_its_unit_allows(self):
        garden = self.garden()
        lines = "\n".join(f"  - {{id: q{n}, bay: south-wall, container: {{size: {20 + n} L}}, trees: [{{id: a, species: apple, vigour: dwarfing}}]}}" for n in range(self.POTS))
        garden.write("more.yaml", "pots:\n" + lines + "\n")
        self.check_done(garden.run("pot", "take", "more.yaml", "--apply", at=AT))
        asked = ["/api/v1/round", "/api/v1/absence?from=2026-07-15&to=2026-09-12", "/api/v1/ahead?days=10", "/api/v1/hindcast", "/api/v1/compare/7?facts=container.size%3D80L",
                 "/api/v1/weather?from=2026-01-01&to=2026-07-14", "/api/v1/labels?link=http://garden.lan"] + ["/api/v1/round", "/api/v1/pots", "/app.js"] * 6
        with Service(garden) as service:
            tasks, ended = [], threading.Event()

            def watch():
                while not ended.wait(0.02):
                    tasks.append(self.status(service.process, "Threads"))
            watcher = threading.Thread(target=watch)
            watcher.start()
            try:
                with concurrent.futures.ThreadPoolExecutor(self.ASKERS) as pool:
                    answers = list(pool.map(lambda path: service.ask("GET", path, connection=http.client.HTTPConnection(service.host, service.port, timeout=300)), asked))
            finally:
                ended.set()
                watcher.join()
            peak_kb = self.status(service.process, "VmHWM")
        self.assertEqual({answer.status for answer in answers}, {200})
        self.assertGreater(len(tasks), 10)
        print(f"# at most {peak_kb / 1024:.0f} MB and {max(tasks)} tasks", flush=True)
        # A quarter is left for what the kernel counts besides, and for a larger garden; each courier may resolve names in a thread of its own.
        with open(PROGRAM, "rb") as program:
            sanitized = b"__asan_init" in program.read()   # which takes several times the memory for itself
        if not sanitized:
            self.assertLess(peak_kb + self.COURIERS * self.COURIER_KB, 0.75 * self.allowed("MemoryMax"))
        self.assertLess(max(tasks) + 2 * self.COURIERS, self.allowed("TasksMax"))


class Nightly(InAFolder):
    def run_copy(self, garden, folder, **env):
        return subprocess.run([os.path.join(UNITS, "nightly-backup"), folder], capture_output=True, text=True, check=False,
                              env=garden.environment(TUBGROVE=PROGRAM, **env))

    def test_one_copy_a_day_and_the_newest_stay(self):
        garden = self.garden()
        folder = os.path.join(self.place, "copies")
        self.assertEqual(self.run_copy(garden, folder).returncode, 2)
        os.makedirs(folder)
        for day in range(1, 10):
            with open(os.path.join(folder, f"tubgrove-2026-01-0{day}.db"), "w", encoding="utf-8"):
                pass
        with open(os.path.join(folder, "tubgrove-mine.db"), "w", encoding="utf-8"):
            pass
        cut_off = [os.path.join(folder, f"tubgrove-2026-01-0{day}.db.partial-{day}") for day in (8, 9)]
        for path in cut_off:
            with open(path, "w", encoding="utf-8"):
                pass
        os.utime(cut_off[0], (0, 0))
        for _ in range(2):
            result = self.run_copy(garden, folder)
            self.assertEqual(result.returncode, 0, result.stderr)
        names = sorted(os.listdir(folder))
        self.assertNotIn(os.path.basename(cut_off[0]), names)
        names.remove(os.path.basename(cut_off[1]))  # it may be under way
        self.assertEqual(len(names), 8)
        self.assertIn("tubgrove-mine.db", names)
        self.assertNotIn("tubgrove-2026-01-03.db", names)
        today = next(name for name in reversed(names) if name != "tubgrove-mine.db")
        fresh = command_garden.Garden(os.path.join(self.place, "fresh"))
        os.makedirs(fresh.folder)
        shutil.copy(garden.configuration, fresh.configuration)
        self.assertEqual(fresh.run("restore", os.path.join(folder, today)).returncode, 0)
        self.assertEqual(fresh.run("--json", "daybook", at="2026-07-14").stdout, garden.run("--json", "daybook", at="2026-07-14").stdout)


if __name__ == "__main__":
    unittest.main()
