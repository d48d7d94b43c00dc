#!/usr/bin/env python3
"""scripts/setup on a system of straw: what it asks the package tools, and what it tells before anything is installed.

usage: setup_script_test.py [unittest's own words]
"""
import os
import shutil
import stat
import subprocess
import tempfile
import unittest

PROJECT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")

# The tools that it calls. What was installed is kept in a file; `removes` names packages that would have to go.
DPKG_QUERY = """#!/bin/sh
for package; do case "$package" in -*) ;; *) grep -qxF "$package" installed && echo "$package installed" ;; esac; done
exit 0
"""
APT_CACHE = """#!/bin/sh
echo "$2:"; echo "  Candidate: 1.0"
"""
APT_GET = """#!/bin/sh
case "$*" in
    *--simulate*) cat removes ;;
    install*) shift; for word; do case "$word" in -*) ;; *) echo "$word" >>installed ;; esac; done; echo "$*" >>calls ;;
    *) echo "$*" >>calls ;;
esac
"""


class Setup(unittest.TestCase):
    def setUp(self):
        self.place = tempfile.mkdtemp(prefix="tubgrove-setup-")
        self.addCleanup(shutil.rmtree, self.place)
        shutil.copytree(os.path.join(PROJECT, "scripts"), os.path.join(self.place, "scripts"))
        os.makedirs(os.path.join(self.place, "tools"))
        for name, text in (("dpkg-query", DPKG_QUERY), ("apt-cache", APT_CACHE), ("apt-get", APT_GET), ("id", "#!/bin/sh\necho 0\n"),
                           ("systemctl", "#!/bin/sh\n")):
            path = os.path.join(self.place, "tools", name)
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
            os.chmod(path, os.stat(path).st_mode | stat.S_IXUSR)
        for name in ("installed", "removes", "calls"):
            self.write(name, "")

    def write(self, name, text):
        with open(os.path.join(self.place, name), "w", encoding="utf-8") as file:
            file.write(text)

    def read(self, name):
        with open(os.path.join(self.place, name), encoding="utf-8") as file:
            return file.read()

    def setup(self, *words, **env):
        tools = os.path.join(self.place, "tools")
        return subprocess.run([os.path.join(self.place, "scripts/setup"), *words], capture_output=True, text=True, check=False, cwd=self.place,
                              stdin=subprocess.DEVNULL, env={"PATH": f"{tools}:/usr/bin:/bin", **env})

    def test_it_installs_what_is_missing_and_then_rests(self):
        result = self.setup()
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("libsqlite3-dev", self.read("installed").split())
        self.assertNotIn("chromium", self.read("installed").split())
        self.write("calls", "")
        again = self.setup()
        self.assertEqual((again.returncode, again.stderr, self.read("calls")), (0, "", ""))

    def test_each_purpose_brings_its_own(self):
        self.assertEqual(self.setup("--package").returncode, 0)
        self.assertIn("dpkg-dev", self.read("installed").split())
        self.assertNotIn("lintian", self.read("installed").split())
        self.assertEqual(self.setup("--tests").returncode, 0)
        self.assertIn("lintian", self.read("installed").split())

    def test_what_would_be_removed_is_told_before_and_nothing_is_installed(self):
        self.write("removes", "Inst new-dev (1.0)\nRemv old-dev [0.9]\nRemv older-dev [0.8]\n")
        result = self.setup()
        self.assertEqual(result.returncode, 1)
        self.assertIn("would REMOVE: old-dev older-dev", result.stderr)
        self.assertIn("nothing was installed", result.stderr)
        self.assertEqual((self.read("installed"), self.read("calls")), ("", ""))

    def test_removal_is_allowed_by_name_or_where_nobody_is_asked(self):
        for allowed in ({"TUBGROVE_ALLOW_REMOVAL": "1"}, {"CI": "true"}):
            self.write("installed", "")
            self.write("removes", "Remv old-dev [0.9]\n")
            result = self.setup(**allowed)
            self.assertEqual(result.returncode, 0, result.stderr)
            self.assertIn("would REMOVE: old-dev", result.stderr)
            self.assertIn("cmake", self.read("installed").split())

    def test_an_unknown_word_is_refused(self):
        result = self.setup("--everything")
        self.assertEqual(result.returncode, 1)
        self.assertIn("right would be: scripts/setup [--tests | --package]", result.stderr)


if __name__ == "__main__":
    unittest.main()
