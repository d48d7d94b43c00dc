#!/usr/bin/env python3
"""The Debian package in a fresh system of its own: installed, started, shared, upgraded, removed and purged.

usage: package_test.py PROGRAM PACKAGE NEXT_PACKAGE FOLDER [unittest's own words]. As root, with debootstrap and lintian. The
fresh system is made once a day in FOLDER and unpacked anew. First no systemd runs there, and services are started by hand as their
units say; then it is started as a machine would be, and systemd does what the units say.
"""
import glob
import http.client
import json
import os
import platform
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import unittest

import booted
import command_garden
from command_garden import ANSWERS, FAULT

PACKAGE, NEXT, FOLDER = (os.path.abspath(sys.argv.pop(1)) for _ in range(3))
ROOT = os.path.join(FOLDER, "root")
STATE = "/var/lib/tubgrove"
AWAY = "/var/cache/away"  # in the fresh system, for what is the test's own
# Names of the package as a whole: a file that is missing or one too many fails.
FILES = """
/etc/default/tubgrove
/usr/bin/tubgrove
/usr/lib/systemd/system/tubgrove-backup.service
/usr/lib/systemd/system/tubgrove-backup.timer
/usr/lib/systemd/system/tubgrove.service
/usr/lib/sysusers.d/tubgrove.conf
/usr/lib/tmpfiles.d/tubgrove.conf
/usr/lib/tubgrove/nightly-backup
/usr/lib/tubgrove/tubgrove-courier
/usr/share/bash-completion/completions/tubgrove
/usr/share/doc/tubgrove/changelog.gz
/usr/share/doc/tubgrove/copyright
/usr/share/doc/tubgrove/examples/garden.yaml
/usr/share/doc/tubgrove/examples/tubgrove.yaml
/usr/share/fish/vendor_completions.d/tubgrove.fish
/usr/share/man/man1/tubgrove.1.gz
/usr/share/man/man5/tubgrove.yaml.5.gz
/usr/share/man/man8/tubgrove-serve.8.gz
/usr/share/tubgrove/demo/daybook.txt
/usr/share/tubgrove/demo/garden.yaml
/usr/share/tubgrove/demo/invented-forecast.csv
/usr/share/tubgrove/demo/invented-weather.csv
/usr/share/tubgrove/demo/tubgrove.yaml
/usr/share/zsh/vendor-completions/_tubgrove
""".split()


def suite():
    return platform.freedesktop_os_release()["VERSION_CODENAME"]


def call(*line, **more):
    return subprocess.run(line, capture_output=True, text=True, check=False, timeout=600, **more)


def must(*line, **more):
    result = call(*line, **more)
    assert result.returncode == 0, f"{line}: {result.stdout[-2000:]}{result.stderr[-2000:]}"
    return result.stdout


def inside(*words, user=None, umask="022", env=None):
    """The line that runs words in the fresh system, as a user with all that login would give, or as root."""
    enter = ('mount --make-rprivate / && mount -t proc proc "$1/proc" && mount --rbind /dev "$1/dev" && root=$1 && shift && '
             'exec chroot "$root" "$@"')
    who = ["setpriv", f"--reuid={user}", f"--regid={user}", "--init-groups", "--inh-caps=-all"] if user else []
    given = [f"{name}={value}" for name, value in (env or {}).items()]
    return ["unshare", "-m", "sh", "-c", enter, "sh", ROOT, "/usr/bin/env", "-i", "PATH=/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C.UTF-8",
            f"HOME={'/home/' + user if user and user != 'tubgrove' else AWAY}", "DEBIAN_FRONTEND=noninteractive", *given, *who,
            "sh", "-c", f'umask {umask}; cd /; exec "$@"', "sh", *words]


def there(path):
    return ROOT + path


def write(path, text):
    with open(there(path), "w", encoding="utf-8") as file:
        file.write(text)


def make_base():
    base = os.path.join(FOLDER, f"base-{suite()}.tar")
    if os.path.exists(base) and time.time() - os.stat(base).st_mtime < 86400:
        return base
    shutil.rmtree(ROOT, ignore_errors=True)
    must("debootstrap", "--variant=minbase", suite(), ROOT, "http://deb.debian.org/debian")
    shutil.copy("/etc/resolv.conf", there("/etc/resolv.conf"))
    write("/usr/sbin/policy-rc.d", "#!/bin/sh\nexit 101\n")
    os.chmod(there("/usr/sbin/policy-rc.d"), 0o755)
    depends = must("dpkg-deb", "--field", PACKAGE, "Depends").strip()
    must(*inside("apt-get", "update"))
    must(*inside("apt-get", "satisfy", "--yes", "--no-install-recommends", depends))
    must("tar", "-C", ROOT, "-cf", base + ".new", ".")
    os.rename(base + ".new", base)
    return base


def unpack():
    shutil.rmtree(ROOT, ignore_errors=True)
    os.makedirs(ROOT)
    must("tar", "-C", ROOT, "-xf", make_base())
    os.makedirs(there(AWAY))
    for package in (PACKAGE, NEXT):
        shutil.copy(package, there(AWAY))


def setUpModule():
    assert os.geteuid() == 0, "this test makes a fresh system and enters it: run it as root"
    os.makedirs(FOLDER, exist_ok=True)
    unpack()


def tearDownModule():
    shutil.rmtree(ROOT, ignore_errors=True)
    command_garden.TEMPORARY.cleanup()


def all_files():
    """Path, mode and owner of all that a package could leave behind."""
    left_out = ["/proc", "/sys", "/dev", "/run", "/tmp", "/var/cache", "/var/log", "/var/lib/dpkg", "/var/lib/apt"]
    prune = " -o ".join(f"-path {path}" for path in left_out)
    text = must(*inside("sh", "-c", f"find / -xdev \\( {prune} \\) -prune -o -printf '%p %m %u:%g\\n'"))
    return set(text.splitlines())


class Unit:
    """A unit of the package, read as far as it is needed to do by hand what systemd would."""

    def __init__(self, name):
        self.settings, self.conditions = {}, []
        with open(there("/usr/lib/systemd/system/" + name), encoding="utf-8") as file:
            for line in file:
                key, is_setting, value = line.strip().partition("=")
                if is_setting and not key.startswith("#"):
                    self.settings[key] = value
                    if key == "ConditionPathExists":
                        self.conditions.append(value)

    def line(self, env=None):
        for condition in self.conditions:
            assert os.path.exists(there(condition)), condition
        given = dict(env or {})
        file = self.settings.get("EnvironmentFile", "").removeprefix("-")
        if file and os.path.exists(there(file)):
            with open(there(file), encoding="utf-8") as lines:
                given.update(line.strip().split("=", 1) for line in lines if "=" in line and not line.startswith("#"))
        return inside(*self.settings["ExecStart"].split(), user=self.settings["User"], umask=self.settings["UMask"], env=given)


class Service:
    """tubgrove.service without systemd."""

    def __init__(self):
        self.notice = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        name = there("/run/notify")
        if os.path.exists(name):
            os.unlink(name)
        self.notice.bind(name)
        os.chmod(name, 0o777)
        self.notice.settimeout(60)
        self.log = open(os.path.join(FOLDER, "service.log"), "w+", encoding="utf-8")
        self.process = subprocess.Popen(Unit("tubgrove.service").line({"NOTIFY_SOCKET": "/run/notify"}), stderr=self.log, stdout=self.log)
        try:
            while b"READY=1" not in self.notice.recv(4096):
                pass
        except TimeoutError as late:
            self.process.kill()
            raise AssertionError(self.said()) from late
        self.port = int(re.search(r"listening: door=[\d.]+:(\d+)", self.said()).group(1))

    def said(self):
        self.log.seek(0)
        return self.log.read()

    def ask(self, method, path, body=None, **headers):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        connection.request(method, path, body, {name.replace("_", "-"): value for name, value in headers.items()})
        answer = connection.getresponse()
        text = answer.read()
        connection.close()
        return answer.status, json.loads(text) if text else None

    def write_down(self, key, *words):
        return self.ask("POST", "/api/v1/entries", json.dumps({"words": words}), Content_Type="application/json", Idempotency_Key=key)

    def entries(self):
        return self.ask("GET", "/api/v1/daybook")[1]["entries"]

    def end(self, case):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        status = self.process.wait(timeout=30)
        self.notice.close()
        case.assertEqual(status, 0, self.said())
        self.log.close()


def run(*words, user=None, typed=None, umask="022"):
    return call(*inside("tubgrove", *words, user=user, umask=umask), input=typed)


class Life(unittest.TestCase):
    """A package's life in the order of the names; each part goes on where the one before it ended."""

    maxDiff = None
    before = set()

    def done(self, result):
        self.assertEqual(result.returncode, 0, result.stdout + result.stderr)
        return result.stdout

    def entries(self, user=None):
        return json.loads(self.done(run("--json", "daybook", user=user)))["entries"]

    def check_shared(self):
        """All state belongs to the group, is writable for it, and is closed to everybody else."""
        for path in glob.glob(there(STATE + "/*")):
            status = os.stat(path)
            name = os.path.basename(path)
            wanted = 0o600 if name.startswith("tubgrove-tokens") else 0o660
            self.assertEqual((status.st_mode & 0o7777, status.st_gid), (wanted, self.group()), name)
        status = os.stat(there(STATE))
        self.assertEqual((status.st_mode & 0o7777, status.st_uid, status.st_gid), (0o2770, self.user(), self.group()))

    def user(self):
        return int(must(*inside("id", "-u", "tubgrove")))

    def group(self):
        return int(must(*inside("id", "-g", "tubgrove")))

    def test_01_the_package_holds_what_it_should(self):
        names = [line.split()[5].removeprefix(".") for line in must("dpkg-deb", "--contents", PACKAGE).splitlines() if not line.startswith("d")]
        self.assertEqual(sorted(names), sorted(FILES))
        depends = must("dpkg-deb", "--field", PACKAGE, "Depends")
        for library in ("libc6", "libsqlite3-0", "libcurl", "libyaml-cpp", "systemd | systemd-standalone-sysusers"):
            self.assertIn(library, depends)
        with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "scripts/debian/changelog"), encoding="utf-8") as file:
            newest = re.match(r"tubgrove \((.*?)\)", file.readline()).group(1)
        self.assertEqual(must("dpkg-deb", "--field", PACKAGE, "Version").strip(), newest)

    def test_02_lintian_finds_no_error(self):
        result = call("lintian", "--fail-on", "error", "--allow-root", PACKAGE)
        print(result.stdout, file=sys.stderr)
        self.assertEqual(result.returncode, 0, result.stdout + result.stderr)

    def test_03_it_installs(self):
        Life.before = all_files()
        said = must(*inside("dpkg", "--install", AWAY + "/" + os.path.basename(PACKAGE)))
        self.assertIn("sudo tubgrove setup", said)
        self.check_shared()
        for unit in ("multi-user.target.wants/tubgrove.service", "timers.target.wants/tubgrove-backup.timer"):
            self.assertTrue(os.path.islink(there("/etc/systemd/system/" + unit)), unit)
        self.assertEqual(os.stat(there("/var/backups/tubgrove")).st_uid, self.user())
        self.assertEqual(call(*inside("dpkg", "--verify", "tubgrove")).stdout, "")

    def test_04_root_sets_the_garden_up(self):
        said = self.done(run("--at", "2026-07-01", "setup", typed=ANSWERS))
        self.assertIn("/etc/tubgrove/tubgrove.yaml", said)
        with open(there("/etc/tubgrove/tubgrove.yaml"), "a", encoding="utf-8") as file:
            file.write("doors: {listen: ['127.0.0.1:0']}\n")
        self.done(run("check"))
        self.check_shared()
        self.assertEqual(os.stat(there(STATE + "/tubgrove.db")).st_uid, self.user())

    def test_05_the_demo_comes_along(self):
        self.assertTrue(os.path.exists(there("/usr/share/tubgrove/demo/daybook.txt")))
        words = run("complete", "--", "demo", "--")
        self.assertIn("--into", words.stdout)

    def test_06_service_and_members_share_one_garden(self):
        for name, more in (("ana", ["--groups", "tubgrove"]), ("ben", [])):
            must(*inside("useradd", "--create-home", *more, name))
        service = Service()
        try:
            status, _ = service.write_down("a-1", "7", "watered", "2L")
            self.assertEqual(status, 201)
            self.done(run("did", "8", "felt", "dry", user="ana"))
            self.done(run("did", "7", "ran-through", "1L", user="ana", umask="077"))
            self.assertEqual([entry["action"] for entry in self.entries("ana")][-3:], ["watered", "felt", "ran-through"])
            self.assertEqual([entry["action"] for entry in service.entries()][-3:], ["watered", "felt", "ran-through"])
            self.assertEqual(service.write_down("a-2", "8", "watered", "1L")[0], 201)
            self.assertTrue(os.path.exists(there(STATE + "/tubgrove.db-wal")))
            self.done(run("round", user="ana"))
            self.check_shared()
            refused = run("did", "7", "watered", "1L", user="ben")
            self.assertEqual(refused.returncode, FAULT)
            self.assertIn("tubgrove", refused.stderr)
            self.assertNotIn("unable to open", refused.stderr)
            code = self.done(run("pair"))
            self.assertRegex(code, r"[0-9A-Z]{4}-[0-9A-Z]{4}")
            self.assertNotEqual(run("pair", user="ana").returncode, 0)
            self.check_shared()
        finally:
            service.end(self)

    def test_07_a_member_may_be_first_after_the_service_stopped(self):
        self.done(run("did", "7", "felt", "moist", user="ana", umask="077"))
        self.done(run("round", user="ana", umask="077"))
        self.check_shared()
        service = Service()
        try:
            self.assertEqual(service.write_down("b-1", "7", "watered", "1L")[0], 201)
            self.done(run("did", "8", "felt", "moist", user="ana"))
            self.check_shared()
        finally:
            service.end(self)

    def test_08_the_nightly_copy_goes_where_it_is_told(self):
        service = Service()
        try:
            must(*Unit("tubgrove-backup.service").line())
            place = "/srv/copies"
            must(*inside("install", "-d", "-o", "tubgrove", "-m", "750", place))
            write("/etc/default/tubgrove", f"TUBGROVE_BACKUPS={place}\nTUBGROVE_BACKUPS_KEPT=2\n")
            for day in (1, 2, 3):
                write(f"{place}/tubgrove-2026-01-0{day}.db", "")
                os.chown(there(f"{place}/tubgrove-2026-01-0{day}.db"), self.user(), -1)
            must(*Unit("tubgrove-backup.service").line())
        finally:
            service.end(self)
        copies = sorted(os.listdir(there(place)))
        self.assertEqual(len(copies), 2)
        self.assertEqual(copies[0], "tubgrove-2026-01-03.db")
        newest = f"{place}/{copies[1]}"
        self.assertEqual((os.stat(there(newest)).st_mode & 0o7777, os.stat(there(newest)).st_uid), (0o600, self.user()))
        self.assertEqual([name for name in os.listdir(there("/var/backups/tubgrove"))], [copies[1]])
        present = self.entries()
        must(*inside("install", "-d", "-m", "700", AWAY + "/again"))
        self.done(run("--data", AWAY + "/again", "restore", newest))
        self.assertEqual(json.loads(self.done(run("--data", AWAY + "/again", "--json", "daybook")))["entries"], present)

    def test_09_an_upgrade_keeps_what_was_written_and_changed(self):
        present = self.entries()
        said = must(*inside("dpkg", "--install", AWAY + "/" + os.path.basename(NEXT)))
        self.assertNotIn("sudo tubgrove setup", said)
        self.assertEqual(self.entries("ana"), present)
        with open(there("/etc/default/tubgrove"), encoding="utf-8") as file:
            self.assertIn("/srv/copies", file.read())
        self.check_shared()
        service = Service()
        try:
            self.assertEqual(service.write_down("b-1", "7", "watered", "1L")[0], 201)  # the same entry sent again is no second one
            self.assertEqual(service.entries(), present)
        finally:
            service.end(self)

    def test_10_a_disabled_unit_stays_disabled(self):
        link = there("/etc/systemd/system/timers.target.wants/tubgrove-backup.timer")
        os.unlink(link)
        must(*inside("dpkg", "--install", AWAY + "/" + os.path.basename(NEXT)))
        self.assertFalse(os.path.lexists(link))

    def test_11_removed_it_leaves_the_garden(self):
        must(*inside("dpkg", "--remove", "tubgrove"))
        self.assertFalse(os.path.exists(there("/usr/bin/tubgrove")))
        for kept in (STATE + "/tubgrove.db", "/etc/tubgrove/tubgrove.yaml", "/etc/default/tubgrove"):
            self.assertTrue(os.path.exists(there(kept)), kept)

    def test_12_purged_it_leaves_nothing_but_the_copies(self):
        said = must(*inside("dpkg", "--purge", "tubgrove"))
        last = re.search(r"laid into (\S+);", said).group(1)
        left = {line for line in all_files() - Life.before
                if not re.match(r"/(home/(ana|ben)|srv/copies|var/backups/tubgrove)[/ ]|/etc/(passwd|group|g?shadow|sub[ug]id)-? ", line)}
        self.assertEqual(left, set())
        self.assertEqual(sorted(os.listdir(there(last))), ["tubgrove.db", "tubgrove.yaml"])
        status = os.stat(there("/var/backups/tubgrove"))
        self.assertEqual((status.st_mode & 0o7777, status.st_uid), (0o700, 0))

    def test_13_it_can_come_again(self):
        must(*inside("dpkg", "--install", AWAY + "/" + os.path.basename(PACKAGE)))
        self.check_shared()
        must(*inside("dpkg", "--purge", "tubgrove"))


class Machine(unittest.TestCase):
    """The package under systemd itself, in the order of the names as above."""

    @classmethod
    def setUpClass(cls):
        unpack()
        os.unlink(there("/usr/sbin/policy-rc.d"))
        write("/etc/hosts", "127.0.0.1 localhost\n")
        cls.machine = booted.Booted(ROOT)
        cls.addClassCleanup(cls.machine.stop)

    def shown(self, *names, unit="tubgrove.service"):
        return self.machine.shown(unit, *names)

    def process(self):
        return self.shown("MainPID")["MainPID"]

    def log(self, unit="tubgrove.service"):
        return self.machine.must("journalctl", "--no-pager", "--output=cat", "--unit", unit)

    def adjust(self, unit, text):
        """What holds for this unit beside its file."""
        folder = f"/etc/systemd/system/{unit}.d"
        self.machine.must("mkdir", "-p", folder)
        write(folder + "/test.conf", text)
        self.machine.must("systemctl", "daemon-reload")

    def until(self, true, words, seconds=30):
        return self.machine.wait(true, words, seconds)

    def test_1_it_waits_for_its_configuration(self):
        self.machine.must("dpkg", "--install", AWAY + "/" + os.path.basename(PACKAGE))
        self.assertEqual(self.shown("ActiveState", "ConditionResult"), {"ActiveState": "inactive", "ConditionResult": "no"})
        self.assertEqual(self.shown("ActiveState", unit="tubgrove-backup.timer")["ActiveState"], "active")
        self.machine.must("systemctl", "start", "tubgrove-backup.service")  # nothing to copy yet, and no fault
        self.assertEqual(os.listdir(there("/var/backups/tubgrove")), [])

    def test_2_it_is_started_when_its_doors_are_open(self):
        self.machine.must("tubgrove", "--at", "2026-07-01", "setup", input=ANSWERS)
        # The day's list is due from midnight on, at whatever hour this runs.
        with open(there("/etc/tubgrove/tubgrove.yaml"), "r+", encoding="utf-8") as file:
            text, walks = re.subn(r"morning: \d\d:\d\d", "morning: 01:00", file.read())
            self.assertEqual(walks, 1)
            file.seek(0)
            file.write(text)
            file.truncate()
        self.machine.must("systemctl", "start", "tubgrove.service")
        self.assertEqual(self.machine.get("http://127.0.0.1:8824/health"), '{\n  "status": "ok"\n}\n')
        self.until(lambda: "round issued" in self.log(), "no list")
        for name in ("tubgrove.db", "tubgrove.db-wal"):  # for the group, although the unit may not give files away
            self.assertEqual(os.stat(there(f"{STATE}/{name}")).st_mode & 0o7777, 0o660, name)

    def test_3_it_can_do_no_more_than_it_must(self):
        text = self.machine.must("cat", f"/proc/{self.process()}/status")
        status = dict(line.split(":\t", 1) for line in text.splitlines() if ":\t" in line)
        for name, wanted in (("NoNewPrivs", "1"), ("Seccomp", "2"), ("CapBnd", "0" * 16), ("CapEff", "0" * 16)):
            self.assertEqual(status[name], wanted, name)
        self.assertEqual(set(status["Uid"].split()), {must(*inside("id", "-u", "tubgrove")).strip()})
        overall = self.machine.must("systemd-analyze", "security", "--no-pager", "tubgrove.service").splitlines()[-1]
        self.assertLessEqual(float(re.search(r": (\d+\.\d)", overall)[1]), 1.5, overall)

    def test_4_a_new_configuration_is_taken_or_told(self):
        before = self.process()
        with open(there("/etc/tubgrove/tubgrove.yaml"), encoding="utf-8") as file:
            good = file.read()
        for text, words in ((good + "doors: {names: [terrace.lan]}\n", "the configuration was read again"),
                            (good + "doors: {nmes: [terrace.lan]}\n", "the old one stays"), (good, "the configuration was read again")):
            write("/etc/tubgrove/tubgrove.yaml", text)
            told = self.log().count(words)
            self.machine.must("systemctl", "reload", "tubgrove.service")
            self.until(lambda: self.log().count(words) > told, words)
        self.assertEqual(self.process(), before)

    def test_5_it_gives_signs_of_life_and_is_started_anew_without(self):
        self.adjust("tubgrove.service", "[Service]\nWatchdogSec=3\nRestartSec=0\n")
        self.machine.must("systemctl", "restart", "tubgrove.service")
        before = self.process()
        time.sleep(7)
        self.assertEqual(self.process(), before)
        for number, name in enumerate(("STOP", "KILL"), 1):
            self.machine.must("sh", "-c", f"kill -{name} {self.process()}")
            self.until(lambda: self.shown("NRestarts", "SubState") == {"NRestarts": str(number), "SubState": "running"}, name)
        self.machine.get("http://127.0.0.1:8824/health")

    def test_6_the_timer_makes_its_copy(self):
        calendar = self.machine.must("systemctl", "show", "--property=TimersCalendar", "--value", "tubgrove-backup.timer")
        self.assertIn("*-*-* 03:20", calendar)
        self.adjust("tubgrove-backup.timer", "[Timer]\nOnCalendar=*:*:0/2\nRandomizedDelaySec=0\nAccuracySec=1\n")
        self.machine.must("systemctl", "restart", "tubgrove-backup.timer")
        self.until(lambda: os.listdir(there("/var/backups/tubgrove")), "no copy")
        self.until(lambda: self.shown("Result", "SubState", unit="tubgrove-backup.service") == {"Result": "success", "SubState": "dead"}, "it does not end")
        self.machine.must("systemctl", "stop", "tubgrove-backup.timer")
        self.assertIn("Copied: /var/backups/tubgrove/", self.log("tubgrove-backup.service"))
        self.assertRegex("\n".join(os.listdir(there("/var/backups/tubgrove"))), r"^tubgrove-\d{4}-\d\d-\d\d\.db$")

    def test_7_it_ends_in_good_order_and_comes_again_with_an_upgrade(self):
        self.machine.must("systemctl", "stop", "tubgrove.service")
        self.assertEqual(self.shown("Result", "ExecMainStatus"), {"Result": "success", "ExecMainStatus": "0"})
        self.machine.must("systemctl", "start", "tubgrove.service")
        before = self.process()
        self.machine.must("dpkg", "--install", AWAY + "/" + os.path.basename(NEXT))
        self.assertEqual(self.shown("ActiveState")["ActiveState"], "active")
        self.assertNotEqual(self.process(), before)

    def test_8_removed_it_is_gone(self):
        self.machine.must("dpkg", "--purge", "tubgrove")
        self.assertEqual(self.machine.must("sh", "-c", "systemctl list-units --all --no-legend 'tubgrove*' || true").strip(), "")
        self.assertEqual(self.machine.must("systemctl", "--failed", "--no-legend").strip(), "")


if __name__ == "__main__":
    unittest.main(failfast=True)
