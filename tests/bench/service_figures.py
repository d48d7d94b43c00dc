#!/usr/bin/env python3
"""The service's figures, each beside a peer in the same run: memory, wake-ups, bytes written, requests a second, start, the page's weight.

usage: service_figures.py TUBGROVE [memory|start|wakeups|writes|requests|page]… It prints and judges nothing but says what the aim is; a
machine that does other work makes most figures worse. Needs mosquitto, nginx, wrk, strace and libfaketime, on loopback only.
"""
import contextlib
import glob
import os
import re
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), ".."))
from peers import free_port, until

PROGRAM = os.path.abspath(sys.argv[1])
WANTED = sys.argv[2:]
SBIN = os.environ["PATH"] + ":/usr/sbin:/sbin"
MOSQUITTO, NGINX = shutil.which("mosquitto", path=SBIN), shutil.which("nginx", path=SBIN)
FAKETIME = next(iter(glob.glob("/usr/lib/*/faketime/libfaketime.so.1")), None)


def median_ms(seconds):
    return f"{statistics.median(seconds) * 1000:.1f} ms (least {min(seconds) * 1000:.1f})"


class Land:
    """The demo garden in a folder of its own."""

    def __init__(self, place):
        self.place, self.port = place, free_port()
        subprocess.run([PROGRAM, "demo", "--into", place], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.configuration = os.path.join(place, "tubgrove.yaml")
        with open(self.configuration, encoding="utf-8") as file:
            self.text = file.read() + f"doors: {{listen: ['127.0.0.1:{self.port}']}}\n"
        self.configure("")

    def configure(self, more):
        with open(self.configuration, "w", encoding="utf-8") as file:
            file.write(self.text + more)

    def start(self, *before, told="READY=1", **env):
        """The process and the seconds from its start to READY=1."""
        return started([PROGRAM, *before, "--config", self.configuration, "--data", os.path.join(self.place, "data"), "serve"],
                       os.path.join(self.place, "log"), WATCHDOG_USEC="600000000", **env)

    def log(self):
        with open(os.path.join(self.place, "log"), encoding="utf-8") as file:
            return file.read()

    def get(self, path):
        with urllib.request.urlopen(f"http://127.0.0.1:{self.port}{path}", timeout=60) as answer:
            return answer.read()


def started(line, log, **env):
    with tempfile.TemporaryDirectory() as place, socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as inbox:
        inbox.bind(os.path.join(place, "notify"))
        inbox.settimeout(60)
        with open(log, "w", encoding="utf-8") as out:
            began = time.monotonic()
            process = subprocess.Popen(line, stdout=out, stderr=out, env={**os.environ, "NOTIFY_SOCKET": os.path.join(place, "notify"), **env})
        while b"READY=1" not in inbox.recv(4096):
            pass
        return process, time.monotonic() - began


@contextlib.contextmanager
def ending(process):
    try:
        yield process
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(30)


def broker(place):
    port = free_port()
    configuration = os.path.join(place, "broker.conf")
    with open(configuration, "w", encoding="utf-8") as file:
        file.write(f"listener {port} 127.0.0.1\nallow_anonymous true\npersistence false\n" + ("user root\n" if os.geteuid() == 0 else ""))
    process, seconds = started([MOSQUITTO, "-c", configuration], os.path.join(place, "broker.log"))
    return process, port, seconds


def memory_kb(process):
    with open(f"/proc/{process.pid}/smaps_rollup", encoding="ascii") as file:
        text = file.read()
    return {name: int(re.search(rf"(?m)^{name}:\s+(\d+) kB", text)[1]) for name in ("Rss", "Pss")}


def settled(land):
    """The day's list is issued and nothing is at work."""
    until(lambda: "round issued" in land.log() or "-morning" in land.log(), 60)
    time.sleep(2)


def memory(land):
    first, _ = land.start()
    with ending(first):
        settled(land)  # so that the measured one finds it issued
    own, _ = land.start()
    with ending(own):
        peer, _, _ = broker(land.place)
        with ending(peer):
            time.sleep(3)
            rows = [("idle since its start", memory_kb(own), memory_kb(peer))]
            for path in ("/", "/app.js", "/api/v1/round", "/api/v1/pots", "/api/v1/why/1", "/api/v1/weather"):
                land.get(path)
            time.sleep(3)
            rows.append(("after a look at the page", memory_kb(own), memory_kb(peer)))
    for says, ours, theirs in rows:
        print(f"memory, {says}: " + ", ".join(f"{name.upper()} {ours[name]} kB, mosquitto {theirs[name]} kB, ratio {ours[name] / theirs[name]:.2f}" for name in ours)
              + " (aim: at most 1.2)")


def start(land):
    ours, theirs, worked = [], [], []
    for _ in range(15):
        process, seconds = land.start()
        ours.append(seconds)
        with open(f"/proc/{process.pid}/schedstat", encoding="ascii") as file:  # of the thread that starts it
            worked.append(int(file.read().split()[0]) / 1e9)
        with ending(process):
            pass
        process, _, seconds = broker(land.place)
        theirs.append(seconds)
        with ending(process):
            pass
    print(f"start to READY: {median_ms(ours)}, of them {median_ms(worked)} at work and the rest waiting for a processor or the disk; mosquitto {median_ms(theirs)}, ratio {statistics.median(ours) / statistics.median(theirs):.2f} (aim: under 30 ms)")


def woken(process, seconds):
    """How often a thread of it came back from waiting, and all of its calls that ended."""
    with tempfile.TemporaryDirectory() as place:
        log = os.path.join(place, "trace")
        tracer = subprocess.Popen(["strace", "-f", "-q", "-o", log, "-p", str(process.pid)], stderr=subprocess.DEVNULL)
        time.sleep(seconds)
        tracer.terminate()
        tracer.wait(20)
        with open(log, encoding="utf-8") as file:
            ended = [line for line in file if re.search(r"\)\s+= ", line) and "resuming interrupted" not in line]
    return sum(bool(re.search(r"(epoll_p?wait|futex|poll|select|nanosleep|rt_sigtimedwait)", line)) for line in ended), len(ended)


def wakeups(land):
    process, _ = land.start()
    with ending(process):
        settled(land)
        own = woken(process, 60)
    peer, port, _ = broker(land.place)
    with ending(peer):
        land.configure("weather:\n  - name: gauge\n    format: json\n    time: /at\n    span: 10 min\n"
                       "    columns: [{from: /rain, quantity: precipitation_amount, unit: mm}]\n"
                       f"    broker: {{host: localhost, port: {port}, topic: garden/gauge}}\n")
        process, _ = land.start()
        with ending(process):
            until(lambda: "messages are listened to" in land.log(), 60)
            time.sleep(3)
            connected = woken(process, 60)
            theirs = woken(peer, 60)
        land.configure("")
    print(f"wake-ups in 60 idle seconds: {own[0]} ({own[1]} calls; aim: 0 or 1); with a broker connected {connected[0]} ({connected[1]} calls; aim: 4); "
          f"mosquitto itself {theirs[0]} ({theirs[1]} calls)")


def written(process):
    with open(f"/proc/{process.pid}/io", encoding="ascii") as file:
        return {name: int(value) for name, value in re.findall(r"(\w+): (\d+)", file.read())}


def writes(land):
    """A whole day, in which only the morning's list is issued, in about a minute. Bytes that were handed to the system for files, the log's too."""
    days = {}
    for says, at, end in (("a day with its list", "@2030-07-14 00:10:00 x1200", 72), ("an evening without one", "@2030-07-14 08:00:00 x1200", 40)):
        process, _ = land.start(LD_PRELOAD=FAKETIME, FAKETIME=at, NO_FAKE_STAT="1", TZ="UTC")
        with ending(process):
            time.sleep(end)
            days[says] = written(process)
    for says, io in days.items():
        print(f"written, {says}: {io['wchar'] / 1024:.0f} KiB in calls, {io['write_bytes'] / 1024:.0f} KiB of pages to the disk (aim: under 1024 KiB)")


def load(url):
    told = subprocess.run(["wrk", "-t1", "-c8", "-d4s", url], capture_output=True, text=True, check=True).stdout
    assert "Non-2xx" not in told and "Socket errors" not in told, told
    return float(re.search(r"Requests/sec:\s+([\d.]+)", told)[1])


def requests(land):
    process, _ = land.start()
    with ending(process):
        settled(land)
        answer = land.get("/api/v1/round")
        place, port = os.path.join(land.place, "www"), free_port()
        os.makedirs(os.path.join(place, "api", "v1"), exist_ok=True)
        with open(os.path.join(place, "api", "v1", "round"), "wb") as file:
            file.write(answer)
        for folder, _, names in os.walk(land.place):
            os.chmod(folder, 0o755) if folder in (land.place, place) or folder.startswith(place) else None
        temporary = "".join(f"{what}_temp_path {land.place}/{what}; " for what in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
        configuration = os.path.join(land.place, "nginx.conf")
        with open(configuration, "w", encoding="utf-8") as file:
            file.write(("user root; " if os.geteuid() == 0 else "") + f"worker_processes 1; daemon off; pid {land.place}/nginx.pid; error_log {land.place}/nginx.log; events {{}} "
                       f"http {{ access_log off; sendfile on; default_type application/json; {temporary} server {{ listen 127.0.0.1:{port}; root {place}; }} }}\n")
        peer = subprocess.Popen([NGINX, "-c", configuration, "-e", f"{land.place}/nginx.log"])
        with ending(peer):
            until(lambda: urllib.request.urlopen(f"http://127.0.0.1:{port}/api/v1/round").read() == answer if listens(port) else None)
            ours, theirs = [], []
            for _ in range(3):
                ours.append(load(f"http://127.0.0.1:{land.port}/api/v1/round"))
                theirs.append(load(f"http://127.0.0.1:{port}/api/v1/round"))
    ratios = [a / b for a, b in zip(ours, theirs)]
    print(f"GET /api/v1/round ({len(answer)} bytes): {statistics.median(ours):.0f} a second, nginx with the same bytes as a file {statistics.median(theirs):.0f}, "
          f"ratio {statistics.median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f}; aim: at least 0.33)")


def listens(port):
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
        return True
    return False


def page(land):
    """What the first look at today's walk loads, as served."""
    process, _ = land.start()
    with ending(process):
        weigh_page(land)


def loaded(land, first):
    """Every file that is loaded when `first` is opened, as served, by name."""
    seen, waiting = {}, [first]
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen[name] = land.get("/" + ("" if name == "index.html" else name))
        text = seen[name].decode()
        waiting += [found for found in re.findall(r"""(?:from ?|import ?\(?|src=|href=|register\()['"](?:\./)?([\w.]+\.(?:js|css|svg|webmanifest))['"]""", text)]
    return seen


def weigh_page(land):
    seen = loaded(land, "index.html")
    whole = seen | loaded(land, "sheet.html")
    print(f"page: {sum(map(len, seen.values()))} bytes in {len(seen)} files (aim: under 100000); with the sheet for paper {sum(map(len, whole.values()))} bytes")


def main():
    parts = {"memory": memory, "start": start, "wakeups": wakeups, "writes": writes, "requests": requests, "page": page}
    for name in WANTED or parts:
        with tempfile.TemporaryDirectory(prefix="tubgrove-figures-") as place:
            land = Land(os.path.join(place, "demo"))
            os.chmod(place, 0o755)
            parts[name](land)
            sys.stdout.flush()


if __name__ == "__main__":
    main()
