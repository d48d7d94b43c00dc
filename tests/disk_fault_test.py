#!/usr/bin/env python3
"""The real program on a disk that fails under it: strace makes system calls fail as a dying card or a full one would.

usage: disk_fault_test.py PROGRAM STRACE [unittest's own words]
"""
import json
import os
import subprocess
import sys
import tempfile
import unittest

PROGRAM, STRACE = os.path.abspath(sys.argv.pop(1)), sys.argv.pop(1)
DONE, FAULT = 0, 3
CONFIGURATION = """site: {name: Lark Terrace, latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}
bays: [{id: wall, light: full, shelter: usual, rain: open, order: 1}]
"""


def can_trace():
    tried = subprocess.run([STRACE, "-o", os.devnull, "true"], capture_output=True)
    return tried.returncode == 0


@unittest.skipUnless(can_trace(), "tracing is not allowed here")
class OnAFailingDisk(unittest.TestCase):
    def setUp(self):
        self.temporary = tempfile.TemporaryDirectory(prefix="tubgrove-disk-test-")
        self.addCleanup(self.temporary.cleanup)
        self.folder = self.temporary.name
        with open(os.path.join(self.folder, "tubgrove.yaml"), "w", encoding="utf-8") as file:
            file.write(CONFIGURATION)
        self.expect(DONE, "pot", "add", "7", "container.size=40L", "bay=wall", "tree.a.species=apple",
                    "tree.a.rootstock=M.27", "tree.a.planted=2024-11-16")
        self.expect(DONE, "did", "7", "watered", "2L", "--note", "before")

    def run_program(self, *words, inject=None):
        line = [PROGRAM, "--config", "tubgrove.yaml", "--data", "data", *words]
        if inject:
            line = [STRACE, "-f", "-o", os.devnull, "-e", "inject=" + inject] + line
        # The leak check is itself a tracer, and only one can be at work.
        env = dict(os.environ, HOME=self.folder, ASAN_OPTIONS="detect_leaks=0")
        return subprocess.run(line, capture_output=True, text=True, cwd=self.folder, env=env, timeout=120)

    def expect(self, status, *words, inject=None):
        ran = self.run_program(*words, inject=inject)
        self.assertEqual(ran.returncode, status, ran.stdout + ran.stderr)
        return ran

    def notes(self):
        entries = json.loads(self.expect(DONE, "--json", "daybook").stdout)["entries"]
        return [entry["note"] for entry in entries if entry["action"] == "watered"]

    def test_no_room_for_the_log(self):
        """Whichever write of an entry fails, it is told, the entry is not there, and the garden goes on."""
        told = 0
        for when in range(1, 30):
            ran = self.run_program("did", "7", "watered", "2L", "--note", "lost", inject=f"pwrite64:error=ENOSPC:when={when}+")
            if ran.returncode == DONE:
                break
            self.assertEqual(ran.returncode, FAULT, ran.stdout + ran.stderr)
            self.assertIn("disk is full", ran.stderr)
            self.assertEqual(self.notes(), ["before"])
            told += 1
        self.assertGreater(told, 2)
        self.expect(DONE, "did", "7", "watered", "2L", "--note", "after")
        self.assertEqual(self.notes()[0], "before")
        self.assertEqual(self.notes()[-1], "after")

    def test_a_list_is_shown_without_room_to_keep_it(self):
        """Showing a list keeps it; where there is no room it is shown all the same, and says so."""
        shown = 0
        for when in range(1, 40):
            ran = self.run_program("--json", "round", inject=f"pwrite64:error=ENOSPC:when={when}+")
            codes = [notice["code"] for notice in json.loads(ran.stdout).get("notices", [])]
            if ran.returncode == DONE and "not-kept" not in codes:
                break                                            # all was written before the disk was full
            if ran.returncode == DONE:
                shown += 1
            else:                                                # not even opened
                self.assertEqual(ran.returncode, FAULT, ran.stdout + ran.stderr)
                self.assertIn("disk is full", ran.stderr)
        self.assertGreater(shown, 1)
        kept = json.loads(self.expect(DONE, "--json", "round").stdout)
        self.assertNotIn("not-kept", [notice["code"] for notice in kept["notices"]])
        self.assertFalse(kept["id"].endswith(".2"))

    def test_a_card_that_no_longer_takes_anything(self):
        """An entry that could not be made safe is told as a fault, never as done."""
        ran = self.expect(FAULT, "did", "7", "watered", "2L", "--note", "unsafe", inject="fsync,fdatasync:error=EIO:when=1+")
        self.assertIn("failed", ran.stderr)
        self.expect(DONE, "did", "7", "watered", "2L", "--note", "after")
        # What was not acknowledged may be there or not, but once and whole.
        self.assertIn(self.notes(), (["before", "after"], ["before", "unsafe", "after"]))

    def test_a_backup_that_fails_leaves_nothing_behind(self):
        ran = self.run_program("backup", "copy.db", inject="pwrite64:error=ENOSPC:when=1+")
        self.assertEqual(ran.returncode, FAULT, ran.stdout + ran.stderr)
        self.assertEqual([name for name in os.listdir(self.folder) if "copy" in name], [])
        self.expect(DONE, "backup", "copy.db")


if __name__ == "__main__":
    unittest.main()
