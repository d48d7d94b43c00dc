#!/usr/bin/env python3
"""The list that the README shows is the one that the program prints of the demo garden.

usage: readme_test.py PROGRAM
It lives through the demo's season, which takes a while. After a change that is meant, put what it says into the README.
"""
import difflib
import os
import shutil
import subprocess
import sys
import tempfile

PROJECT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")


def shown_in_readme():
    with open(os.path.join(PROJECT, "README.md"), encoding="utf-8") as file:
        block = file.read().split("<!-- list: begin -->")[1].split("<!-- list: end -->")[0]
    return block.split("```\n")[1]


def printed_by(program, folder):
    """The demo's files are looked for beside the program, so that it stands in a folder like the project's."""
    copy = os.path.join(folder, "build", "tubgrove")
    os.makedirs(os.path.dirname(copy))
    shutil.copy(program, copy)
    os.symlink(os.path.join(PROJECT, "config"), os.path.join(folder, "config"))
    # Warnings of sanitizers and the progress go to standard error.
    return subprocess.run([copy, "demo", "--into", os.path.join(folder, "demo")], stdout=subprocess.PIPE, text=True, check=True).stdout


def main():
    with tempfile.TemporaryDirectory(prefix="tubgrove-readme-test-") as folder:
        printed = printed_by(sys.argv[1], folder)
    shown = shown_in_readme()
    if "\n".join(printed.splitlines()) == "\n".join(shown.splitlines()):
        return 0
    sys.stdout.writelines(difflib.unified_diff(shown.splitlines(True), printed.splitlines(True), "README.md", "printed"))
    print("\nprinted as a whole:\n" + printed)
    return 1


if __name__ == "__main__":
    sys.exit(main())
