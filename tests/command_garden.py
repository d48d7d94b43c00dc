"""A garden in a folder of its own for command_test.py, and the program to speak to it, piped or on a terminal."""
import datetime
import fcntl
import os
import pty
import select
import shutil
import struct
import subprocess
import sys
import tempfile
import termios
import time
import unittest

PROGRAM = os.path.abspath(sys.argv.pop(1))
ZONE = "+02:00"
DONE, NOT_IN_ORDER, WRONG, FAULT = 0, 1, 2, 3


class Garden:
    """A folder of its own with a configuration and data, and the program to speak to them."""

    def __init__(self, folder):
        self.folder = folder
        self.configuration = os.path.join(folder, "tubgrove.yaml")
        self.data = os.path.join(folder, "data")

    def environment(self, **more):
        env = {"PATH": os.environ["PATH"], "HOME": self.folder, "TUBGROVE_CONFIG": self.configuration,
               "TUBGROVE_DATA": self.data, "TUBGROVE_CLOCK": "set", "LANG": "C.UTF-8", "TERM": "xterm", "TZ": "Europe/Budapest"}
        if "ASAN_OPTIONS" in os.environ:
            env["ASAN_OPTIONS"] = os.environ["ASAN_OPTIONS"]
        env.update(more)
        return env

    def run(self, *words, at=None, typed="", **env):
        line = [PROGRAM] + (["--at", at] if at else []) + list(words)
        return subprocess.run(line, input=typed, capture_output=True, text=True, cwd=self.folder,
                              env=self.environment(**env), timeout=120)

    def start(self, *words, at=None):
        line = [PROGRAM] + (["--at", at] if at else []) + list(words)
        return subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=self.folder,
                                env=self.environment())

    def write(self, name, text):
        path = os.path.join(self.folder, name)
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        return path

    def copy(self, folder):
        shutil.copytree(self.folder, folder, dirs_exist_ok=True)
        return Garden(folder)

    def everything(self):
        return sorted(os.path.join(place, name) for place, _, names in os.walk(self.folder) for name in names)


class Session:
    """The program on a terminal of its own."""

    def __init__(self, garden, *words, columns=80, program=None, **env):
        self.seen = ""
        self.pid, self.terminal = pty.fork()
        if self.pid == 0:
            os.chdir(garden.folder)
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
            os.execve(program or PROGRAM, [program or PROGRAM, *words], garden.environment(**env))

    def read(self, seconds):
        ready, _, _ = select.select([self.terminal], [], [], seconds)
        if not ready:
            return False
        try:
            part = os.read(self.terminal, 65536)
        except OSError:
            return False
        self.seen += part.decode("utf-8", "replace")
        return bool(part)

    def until(self, text, seconds=30):
        end = time.monotonic() + seconds
        while text not in self.seen and time.monotonic() < end:
            self.read(0.2)
        assert text in self.seen, self.seen

    def type(self, text):
        os.write(self.terminal, text.encode())

    def end(self):
        while self.read(30):
            pass
        _, status = os.waitpid(self.pid, 0)
        os.close(self.terminal)
        return os.waitstatus_to_exitcode(status)


def hourly_weather(first_day, last_day, month=7):
    """A dry, warm stretch of days, hour by hour; invented. The time is an hour's end."""
    rows = ["time,air_temperature [degC],relative_humidity [%],wind_speed [m s-1],"
            "surface_downwelling_shortwave_flux_in_air [W m-2],precipitation_amount:sum [mm]"]
    start = datetime.datetime(2026, month, first_day)
    for number in range(1, 24 * (last_day - first_day + 1) + 1):
        end = start + datetime.timedelta(hours=number)
        light = max(0.0, 1.0 - ((end.hour - 13) / 7.5) ** 2)
        rows.append(f"{end.isoformat()}{ZONE},{18 + 12 * light:.1f},{75 - 40 * light:.0f},{0.8 + 1.2 * light:.1f},"
                    f"{820 * light:.0f},0")
    return "\n".join(rows) + "\n"


ANSWERS = "\n".join([
    "Lark Terrace", "47.9", "20.3", "340", "Europe/Budapest",
    "south wall", "full", "sheltered", "eaves", "ground", "no",
    "9", "2",
    "yes", "7", "40", "apple", "M.27", "2023-11-12", "2024-03-09",
    "yes", "8", "30", "apple", "M.9", "2022-11-19", "2023-03-18",
    "yes", "lemon", "20", "citrus", "unknown", "2021-04-01", "",
    "no", "yes"]) + "\n"

TEMPORARY = tempfile.TemporaryDirectory(prefix="tubgrove-command-test-")
READY = Garden(os.path.join(TEMPORARY.name, "ready"))


def make_ready():
    """One garden made by the interview and with two weeks of weather; each test lives in a copy of it."""
    os.makedirs(READY.folder)
    made = READY.run("setup", at="2026-07-01", typed=ANSWERS)
    assert made.returncode == DONE, made.stdout + made.stderr
    READY.write("weather.csv", hourly_weather(1, 13))
    added = READY.run("weather", "add", "weather.csv", at="2026-07-14T05:00:00" + ZONE)
    assert added.returncode == DONE, added.stdout + added.stderr


class InAFolder(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        self.place = tempfile.mkdtemp(dir=TEMPORARY.name)
        self.empty = Garden(os.path.join(self.place, "empty"))
        os.makedirs(self.empty.folder)

    def tearDown(self):
        shutil.rmtree(self.place)

    def garden(self, name="garden"):
        return READY.copy(os.path.join(self.place, name))

    def check_refused(self, result, *parts, status=WRONG):
        self.assertEqual(result.returncode, status, result.stdout + result.stderr)
        for line in result.stderr.strip().splitlines():
            self.assertTrue(line.startswith("tubgrove: "), line)
        for part in parts:
            self.assertIn(part, result.stderr)

    def check_done(self, result):
        self.assertEqual(result.returncode, DONE, result.stdout + result.stderr)
        self.assertEqual(result.stderr, "")
        return result.stdout
