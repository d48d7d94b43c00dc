#!/usr/bin/env python3
"""Labels from outside: what their codes say, read back by a decoder that has nothing to do with the encoder.

usage: labels_test.py PROGRAM ZBARIMG [unittest's own words]
"""
import json
import os
import re
import subprocess
import sys
import unittest

ZBARIMG = os.path.abspath(sys.argv.pop(2))
import command_garden
from command_garden import ZONE, InAFolder

AT = "2026-07-14T07:00:00" + ZONE
LINK = "http://garden.lan:8824"


def setUpModule():
    command_garden.make_ready()


def tearDownModule():
    command_garden.TEMPORARY.cleanup()


def rows_of_path(path, side):
    """The dark modules of an SVG path of runs, as rows of booleans with a margin of four."""
    rows = [[False] * (side + 8) for _ in range(side + 8)]
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", path)
    assert "".join(f"M{x} {y}h{n}v1h-{m}z" for x, y, n, m in runs) == path
    for x, y, n, m in runs:
        assert n == m
        for i in range(int(n)):
            rows[int(y) + 4][int(x) + 4 + i] = True
    return rows


def rows_of_text(text):
    """The same of a code drawn for a dark screen, two rows to a line: a drawn half is light."""
    rows = []
    for line in text.splitlines():
        for light in ("█▀", "█▄"):
            rows.append([False] * 2 + [c not in light for c in line[2:]] + [False] * 2)
    return rows


class Labels(InAFolder):
    def decoded(self, rows):
        scale = 4
        width = max(len(row) for row in rows) * scale
        lines = []
        for row in rows:
            line = "".join(("0 " if dark else "255 ") * scale for dark in row)
            lines += [line + "255 " * (width - len(row) * scale)] * scale
        picture = os.path.join(self.land.folder, "code.pgm")
        with open(picture, "w", encoding="ascii") as file:
            file.write(f"P2 {width} {len(lines)} 255\n" + "\n".join(lines) + "\n")
        done = subprocess.run([ZBARIMG, "--quiet", "--raw", picture], capture_output=True, text=True, timeout=60)
        return done.stdout.strip()

    def setUp(self):
        super().setUp()
        self.land = self.garden()

    def labels(self, *words):
        return json.loads(self.check_done(self.land.run("--json", "labels", "--link", LINK, *words, at=AT)))

    def test_each_code_opens_its_pot(self):
        answer = self.labels()
        listed = json.loads(self.check_done(self.land.run("--json", "pot", "list", at=AT)))["pots"]
        self.assertEqual([label["pot"] for label in answer["labels"]], [pot["id"] for pot in listed])
        for label in answer["labels"]:
            self.assertEqual(label["link"], LINK + "/#/pots/" + label["pot"])
            self.assertEqual(self.decoded(rows_of_path(label["code_path"], label["code_modules"])), label["link"])

    def test_the_terminal_shows_the_same_codes(self):
        text = self.check_done(self.land.run("labels", "8", "7", "--link", LINK + "/", at=AT))
        blocks = re.findall(r"((?:^ {2}[█▀▄ ]+\n)+)", text, re.MULTILINE)
        self.assertEqual(sorted(self.decoded(rows_of_text(block)) for block in blocks), [LINK + "/#/pots/7", LINK + "/#/pots/8"])
        self.assertIn("Pot 7", text)

    def test_a_page_to_print_holds_id_name_and_code_once_and_is_never_written_over(self):
        self.check_done(self.land.run("pot", "change", "7", "label=<Old> & \"kept\"", at=AT))
        self.check_done(self.land.run("labels", "7", "--link", LINK, "--into", "labels.html", at=AT))
        with open(os.path.join(self.land.folder, "labels.html"), encoding="utf-8") as file:
            page = file.read()
        label, = self.labels("7")["labels"]
        self.assertIn(f'<path d="{label["code_path"]}"/>', page)
        self.assertIn("&lt;Old&gt; &amp; &quot;kept&quot;", page)
        self.assertEqual(page.count("<li>"), 1)
        self.assertNotRegex(page, r"<script|<Old")
        self.check_refused(self.land.run("labels", "--into", "labels.html", at=AT), "labels.html is there already")

    def test_wrong_words_are_refused(self):
        self.check_refused(self.land.run("labels", "99", at=AT), "there is no pot '99'")
        for link in ("garden.lan", "ftp://garden.lan", "http://", "http://a b", "http://a/#x", "http://" + 200 * "a"):
            self.check_refused(self.land.run("labels", "--link", link, at=AT), "is no link to the page; http://garden.lan:8824")

    def test_where_phones_cannot_come_it_is_said(self):
        result = self.land.run("--json", "labels", at=AT)
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("listens for this machine only", result.stderr)
        answer = json.loads(result.stdout)
        self.assertEqual((answer["link"], answer["from_elsewhere"]), ("http://127.0.0.1:8824", False))


if __name__ == "__main__":
    unittest.main()
