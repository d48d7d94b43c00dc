"""A running service for the tests that speak to it: started on a door of the system's choice, and asked over sockets."""
import contextlib
import http.client
import json
import os
import re
import signal
import socket
import subprocess
import time

from command_garden import PROGRAM
from peers import until

AT = "2026-07-14T07:20:00+02:00"


class Answer:
    def __init__(self, response):
        self.status = response.status
        self.headers = {name.lower(): value for name, value in response.getheaders()}
        self.body = response.read()

    def json(self):
        return json.loads(self.body)


class Service:
    """`tubgrove serve` over a garden; its clock stands still at `at`, unless that is None."""

    def __init__(self, garden, at=AT, doors="{listen: ['127.0.0.1:0']}", **env):
        self.garden = garden
        with open(garden.configuration, encoding="utf-8") as file:
            text = re.sub(r"(?m)^doors:.*\n", "", file.read())
        garden.write("tubgrove.yaml", text + f"doors: {doors}\n")
        self.lines = []
        line = [PROGRAM] + (["--at", at] if at else []) + ["serve"]
        self.process = subprocess.Popen(line, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True, cwd=garden.folder,
                                        env=garden.environment(**env))
        self.doors = []
        wanted = doors.count(":0") + doors.count("socket:")
        while len(self.doors) < wanted:
            told = self.process.stderr.readline()
            assert told, "the service ended: " + "".join(self.lines)
            self.lines.append(told)
            if "listening: door=" in told:
                self.doors.append(told.strip().split("door=")[1])
        self.host, port = self.doors[0].rsplit(":", 1)
        self.port = int(port)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stop()

    def connect(self, timeout=30):
        return socket.create_connection((self.host, self.port), timeout=timeout)

    def ask(self, method, path, body=None, headers=None, connection=None):
        own = connection or http.client.HTTPConnection(self.host, self.port, timeout=60)
        try:
            own.request(method, path, body=body, headers=headers or {})
            return Answer(own.getresponse())
        finally:
            if not connection:
                own.close()

    def get(self, path, **headers):
        return self.ask("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})

    def post(self, path, fields, key, connection=None, **headers):
        sent = {"Content-Type": "application/json", "Idempotency-Key": key}
        sent.update({name.replace("_", "-"): value for name, value in headers.items()})
        body = fields if isinstance(fields, (str, bytes)) else json.dumps(fields)
        return self.ask("POST", path, body, sent, connection)

    def raw(self, data, wait=10):
        """Bytes in, all bytes back until the other side closes."""
        with self.connect(wait) as line:
            try:
                line.sendall(data)
            except OSError:
                pass
            got = b""
            while True:
                try:
                    part = line.recv(65536)
                except OSError:
                    break
                if not part:
                    break
                got += part
            return got

    def until_told(self, words, seconds=20):
        """Reads the log up to a line with these words."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            told = self.process.stderr.readline()
            if not told:
                break
            self.lines.append(told)
            if words in told:
                return told
        raise AssertionError(f"{words!r} was not told: " + "".join(self.lines))

    def tracer(self):
        with open(f"/proc/{self.process.pid}/status", encoding="ascii") as file:
            return int(re.search(r"TracerPid:\s+(\d+)", file.read())[1])

    @contextlib.contextmanager
    def failing(self, strace, inject):
        """strace makes these calls of the running service fail, as a dying disk would."""
        traced = subprocess.Popen([strace, "-f", "-qq", "-o", os.devnull, "-e", "inject=" + inject, "-p", str(self.process.pid)], stderr=subprocess.DEVNULL)
        try:
            until(lambda: self.tracer() == traced.pid)
            time.sleep(0.3)  # the threads follow one by one
            yield
        finally:
            traced.terminate()
            traced.wait(20)
            until(lambda: self.tracer() == 0)

    def kill(self):
        self.process.kill()
        self.process.wait()
        self.process.stderr.close()

    def stop(self):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        status = self.process.wait(timeout=30)
        if not self.process.stderr.closed:
            self.lines.append(self.process.stderr.read())
            self.process.stderr.close()
        return status
