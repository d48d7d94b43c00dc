#!/usr/bin/env python3
"""The service on a disk that is full, read-only or dying: it says so, acknowledges nothing that is not kept, and goes on when it can.

usage: serve_disk_test.py PROGRAM STRACE [unittest's own words]. It mounts small disks of its own, in a name space of its own, where the
system lets it.
"""
import json
import os
import shutil
import subprocess
import sys
import unittest

ALONE = "TUBGROVE_TEST_ALONE"
if ALONE not in os.environ:
    line = ["unshare", "--mount"] + ([] if os.geteuid() == 0 else ["--map-root-user"])
    if subprocess.run(line + ["true"], capture_output=True).returncode == 0:
        os.execvpe(line[0], line + [sys.executable, "-B", *sys.argv], {**os.environ, ALONE: "yes"})

STRACE = sys.argv.pop(2)

import command_garden
from command_garden import InAFolder
from serve_garden import AT, Service


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def can_trace():
    return subprocess.run([STRACE, "-o", os.devnull, "true"], capture_output=True).returncode == 0


class Writer:
    """Sends numbered notes, each under a key of its own, and remembers which were acknowledged."""

    def __init__(self, test, service):
        self.test, self.service, self.acknowledged, self.refused = test, service, [], []

    def send(self, number, filled=""):
        answer = self.service.post("/api/v1/entries", {"words": ["7", "noted", f"write {number}"], "note": filled}, f"w{number}")
        if answer.status == 201:
            self.acknowledged.append(number)
        else:
            self.refused.append(number)
            self.test.assertEqual(answer.headers["content-type"], "application/problem+json")
        return answer


class OnABadDisk(InAFolder):
    def setUp(self):
        super().setUp()
        self.mounted = []

    def tearDown(self):
        for place in self.mounted:
            subprocess.run(["umount", place], check=True)
        super().tearDown()

    def mount(self, *words):
        subprocess.run(["mount", *words], check=True)
        self.mounted = [words[-1]] + [place for place in self.mounted if place != words[-1]]

    def noted(self, garden):
        return self.numbers(self.check_done(garden.run("--json", "daybook", at=AT)))

    @staticmethod
    def numbers(text):
        book = json.loads(text)["entries"]
        return [int(entry["values"]["text"].split()[1]) for entry in book if entry["action"] == "noted"]

    @unittest.skipUnless(ALONE in os.environ, "no disk can be mounted here")
    def test_a_full_disk(self):
        garden = self.garden()
        kept = garden.data + "-kept"
        os.rename(garden.data, kept)
        os.mkdir(garden.data)
        self.mount("-t", "tmpfs", "-o", "size=16m,mode=2770", "tmpfs", garden.data)
        for name in os.listdir(kept):
            shutil.copy2(os.path.join(kept, name), garden.data)
        filler = os.path.join(garden.data, "filler")
        with Service(garden) as service:
            writer = Writer(self, service)
            number = 0
            for turn in range(3):
                room = os.statvfs(garden.data)
                with open(filler, "wb") as file:  # up to a little above what the store leaves free for its own safety
                    file.write(b"x" * (room.f_bavail * room.f_bsize - (1280 << 10)))
                before = len(writer.acknowledged)
                while not writer.refused:
                    self.assertLess(number, 2000)
                    answer = writer.send(number, "n" * 400)
                    number += 1
                self.assertGreater(len(writer.acknowledged), before, answer.body)
                for _ in range(10):  # it goes on refusing
                    answer = writer.send(number)
                    number += 1
                    if answer.status == 201:  # a short one may find a corner yet
                        continue
                    self.assertEqual(answer.status, 503, answer.body)
                    self.assertIn("disk is full", answer.json()["detail"])
                with open(filler, "ab", buffering=0) as file:  # and somebody else takes the very last of it
                    try:
                        while file.write(b"x" * 4096):
                            pass
                    except OSError:
                        pass
                self.assertEqual(os.statvfs(garden.data).f_bavail, 0)
                self.assertEqual(writer.send(number).status, 503)
                number += 1
                # Who only looks is answered.
                for path in ("/api/v1/daybook", "/api/v1/pots", "/"):
                    self.assertEqual(service.get(path).status, 200, path)
                self.assertEqual(self.numbers(service.get("/api/v1/daybook").body), writer.acknowledged)
                unkept = service.get("/api/v1/round")
                self.assertEqual(unkept.status, 200, unkept.body)
                # Later the list is an issued one, which notes do not change.
                self.assertEqual("not-kept" in [notice["code"] for notice in unkept.json()["notices"]], turn == 0)
                # And a monitor learns that nothing can be written.
                sick = service.get("/health")
                self.assertEqual((sick.status, sick.json()["detail"]), (503, "the store cannot be written to, since its disk is full"))
                os.remove(filler)
                self.assertEqual(service.get("/health").status, 200)
                for missed in list(writer.refused):  # the phone tries again, with the same keys
                    self.assertEqual(writer.send(missed).status, 201)
                    writer.refused.remove(missed)
                self.assertNotIn("not-kept", [notice["code"] for notice in service.get("/api/v1/round").json()["notices"]])
            self.assertEqual(sorted(self.noted(garden)), list(range(number)))

    def test_a_folder_that_goes_away_under_the_service(self):
        """Moved, unmounted or put in from a copy: no entry is acknowledged that nobody would find, and a monitor learns it."""
        garden = self.garden()
        aside = garden.data + "-aside"

        def refused(service, writer, number):
            answer = writer.send(number)
            self.assertEqual(answer.status, 500, answer.body)
            self.assertIn("start the program again", answer.json()["detail"])
            self.assertTrue(answer.json()["right"])
            sick = service.get("/health")
            self.assertEqual((sick.status, sick.json()["detail"]), (503, "the store cannot be written to; the log says why"))
            self.assertTrue(sick.json()["right"])
        with Service(garden) as service:
            writer = Writer(self, service)
            self.assertEqual(service.get("/health").status, 200)
            self.assertEqual(writer.send(0).status, 201)
            os.rename(garden.data, aside)
            refused(service, writer, 1)
            shutil.copytree(aside, garden.data)  # as a mount from a copy would
            refused(service, writer, 2)
            shutil.rmtree(garden.data)
            os.rename(aside, garden.data)
            self.assertEqual(service.get("/health").status, 200)
            self.assertEqual(writer.send(1).status, 201)
        self.assertEqual(self.noted(garden), [0, 1])

    @unittest.skipUnless(can_trace(), "tracing is not allowed here")
    def test_a_disk_that_turns_read_only_or_fails(self):
        garden = self.garden()
        with Service(garden, ASAN_OPTIONS="detect_leaks=0") as service:
            writer = Writer(self, service)
            number = 0
            for inject, words in [("pwrite64:error=EROFS", ""), ("fdatasync,fsync:error=EIO", ""), ("pwrite64:error=ENOSPC", "full")]:
                self.assertEqual(writer.send(number).status, 201)
                number += 1
                with service.failing(STRACE, inject):
                    for _ in range(4):
                        answer = writer.send(number)
                        number += 1
                        self.assertIn(answer.status, (500, 503), (inject, answer.body))
                        self.assertIn(words, answer.json()["detail"])
                        self.assertTrue(answer.json()["detail"])
                    self.assertEqual(service.get("/health").status, 200)
                for missed in list(writer.refused):
                    self.assertEqual(writer.send(missed).status, 201, inject)
                    writer.refused.remove(missed)
            self.assertEqual(sorted(set(writer.acknowledged)), list(range(number)))
            self.assertEqual(sorted(self.noted(garden)), list(range(number)))

    @unittest.skipUnless(ALONE in os.environ, "no disk can be mounted here")
    def test_a_disk_that_is_read_only_from_the_start(self):
        garden = self.garden()
        self.mount("--bind", garden.data, garden.data)
        self.mount("-o", "remount,bind,ro", garden.data)
        result = garden.run("serve")
        self.assertEqual(result.returncode, command_garden.FAULT, result.stderr)
        self.assertRegex(result.stderr, "tubgrove: .*on a disk that cannot be written")


if __name__ == "__main__":
    unittest.main()
