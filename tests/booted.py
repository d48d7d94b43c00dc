"""A fresh system that is started as a machine would be: systemd as its first process, in namespaces of its own, without a network.
As root, with util-linux alone."""
import os
import signal
import subprocess
import sys
import tempfile
import time

ENTER = r"""
set -e
root=$1
mount --make-rprivate /
mount --bind "$root" "$root"
cd "$root"
mount -t proc proc proc
mount -t sysfs sysfs sys
mount -t cgroup2 cgroup2 sys/fs/cgroup
mount -t tmpfs -o mode=755 tmpfs run
mount -t tmpfs -o mode=1777 tmpfs tmp
mount -t tmpfs -o mode=755 tmpfs dev
mkdir dev/pts dev/shm
for name in null zero full random urandom tty; do : >dev/$name; mount --bind /dev/$name dev/$name; done
mount -t devpts -o newinstance,ptmxmode=0666,mode=620 devpts dev/pts
mount -t tmpfs -o mode=1777 tmpfs dev/shm
ln -s pts/ptmx dev/ptmx
ln -s /proc/self/fd dev/fd
mkdir -p .outside
pivot_root . .outside
exec chroot . /bin/sh -c 'umount -l /.outside; rmdir /.outside; exec env -i container=test PATH=/usr/sbin:/usr/bin:/sbin:/bin /lib/systemd/systemd --unit=multi-user.target --log-target=kmsg --show-status=no' </dev/null
"""


def control_groups():
    """Where this machine has the second version of control groups; None where it has not."""
    with open("/proc/mounts", encoding="utf-8") as file:
        return next((line.split()[1] for line in file if line.split()[2] == "cgroup2"), None)


class Booted:
    """The system in this folder, up and running until stop()."""

    def __init__(self, root):
        groups = control_groups()
        assert groups, "a system is started in a control group of its own, and this machine has none of the second version"
        self.group = os.path.join(groups, f"tubgrove-room-{os.getpid()}")
        os.makedirs(self.group)
        line = ["sh", "-c", 'echo $$ >"$1/cgroup.procs"; shift; exec unshare --fork --kill-child --pid --mount --ipc --uts --net --cgroup sh -c "$@"',
                "sh", self.group, ENTER, "sh", root]
        self.said = tempfile.TemporaryFile("w+", encoding="utf-8")
        self.process = subprocess.Popen(line, stdin=subprocess.DEVNULL, stdout=self.said, stderr=self.said)
        self.first = self.wait(lambda: self.child(), "no first process")
        self.wait(lambda: self.call("test", "-S", "/run/systemd/private").returncode == 0, "systemd does not come up")
        self.state = self.call("systemctl", "is-system-running", "--wait").stdout.strip()

    def child(self):
        with open(f"/proc/{self.process.pid}/task/{self.process.pid}/children", encoding="ascii") as file:
            found = file.read().split()
        return int(found[0]) if found else None

    def wait(self, true, words, seconds=60):
        """The first answer that counts as true."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = true()
            if found:
                return found
            assert self.process.poll() is None, "the system ended: " + self.told()
            time.sleep(0.1)
        raise AssertionError(words)

    def told(self):
        self.said.seek(0)
        return self.said.read()

    def line(self, *words):
        return ["nsenter", "--target", str(self.first), "--all", "/usr/bin/env", "-i", "PATH=/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C.UTF-8",
                "HOME=/root", "DEBIAN_FRONTEND=noninteractive", *words]

    def call(self, *words, **more):
        return subprocess.run(self.line(*words), capture_output=True, text=True, check=False, timeout=300, **more)

    def must(self, *words, **more):
        result = self.call(*words, **more)
        assert result.returncode == 0, f"{words}: {result.stdout[-2000:]}{result.stderr[-2000:]}"
        return result.stdout

    def get(self, url):
        """What this address of the system gives; the asker is a program of the machine in the system's network."""
        line = ["nsenter", "--target", str(self.first), "--net", sys.executable, "-c",
                "import sys, urllib.request; print(urllib.request.urlopen(sys.argv[1], timeout=20).read().decode(), end='')", url]
        return subprocess.run(line, capture_output=True, text=True, check=True, timeout=60).stdout

    def shown(self, unit, *names):
        """What systemd knows of a unit."""
        text = self.must("systemctl", "show", "--property", ",".join(names), unit)
        return dict(line.split("=", 1) for line in text.splitlines())

    def stop(self):
        if self.process.poll() is None:
            os.kill(self.first, signal.SIGKILL)  # and with it all that it started
            self.process.wait(30)
        self.said.close()
        for folder, _, _ in os.walk(self.group, topdown=False):
            for _ in range(50):
                try:
                    os.rmdir(folder)
                    break
                except OSError:
                    time.sleep(0.1)
