"""Peers for the tests on this machine, loopback only: certificates, a web server that does what a test tells it, a proxy, a broker."""
import http.server
import os
import signal
import socket
import ssl
import subprocess
import threading
import time


def make_authority(folder, name):
    """A certificate for localhost, signed by itself: name.pem, name.key."""
    files = [os.path.join(folder, name + end) for end in (".pem", ".key")]
    subprocess.run(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes",
                    "-days", "2", "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost",
                    "-out", files[0], "-keyout", files[1]], check=True, capture_output=True)
    return files


def server_context(files):
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(*files)
    return context


def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


def until(true, seconds=30, words="what was waited for did not come"):
    """The first answer that counts as true; asked again and again."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = true()
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError(words() if callable(words) else words)


class WebServer:
    """HTTPS on localhost. `answer(request)` gives (status, body, headers) for each GET, or None to say nothing at all."""

    def __init__(self, authority, answer):
        self.seen = []  # (moment, path, headers)
        outer = self

        class Handler(http.server.BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def log_message(self, *_):
                pass

            def do_GET(self):
                headers = {name.lower(): value for name, value in self.headers.items()}
                outer.seen.append((time.monotonic(), self.path, headers))
                told = outer.answer(self.path, headers)
                if told is None:
                    outer.ends.wait(120)
                    self.close_connection = True
                    return
                status, body, more = told
                self.send_response(status)
                for name, value in more.items():
                    self.send_header(name, value)
                if status != 304:
                    self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

        self.answer = answer
        self.ends = threading.Event()
        self.server = http.server.ThreadingHTTPServer(("localhost", 0), Handler)
        self.server.daemon_threads = True
        self.server.socket = server_context(authority).wrap_socket(self.server.socket, server_side=True)
        self.server.handle_error = lambda *_: None  # who does not believe the certificate hangs up
        self.base = f"https://localhost:{self.server.server_port}"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def close(self):
        self.ends.set()
        self.server.shutdown()
        self.server.server_close()


class Proxy:
    """Knows CONNECT only (RFC 9110, 9.3.6)."""

    def __init__(self):
        self.asked = []
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.address = "http://127.0.0.1:%d" % self.listener.getsockname()[1]
        threading.Thread(target=self.serve, daemon=True).start()

    def serve(self):
        while True:
            try:
                line, _ = self.listener.accept()
            except OSError:
                return
            threading.Thread(target=self.tunnel, args=(line,), daemon=True).start()

    def tunnel(self, line):
        head = b""
        while b"\r\n\r\n" not in head:
            part = line.recv(4096)
            if not part:
                return
            head += part
        goal = head.split(b" ")[1].decode()
        self.asked.append(goal)
        host, port = goal.rsplit(":", 1)
        with line, socket.create_connection((host, int(port))) as other:
            line.sendall(b"HTTP/1.1 200 go on\r\n\r\n")
            back = threading.Thread(target=self.pump, args=(other, line), daemon=True)
            back.start()
            self.pump(line, other)
            back.join()

    @staticmethod
    def pump(one, other):
        try:
            while part := one.recv(65536):
                other.sendall(part)
            other.shutdown(socket.SHUT_WR)
        except OSError:
            pass

    def close(self):
        self.listener.shutdown(socket.SHUT_RDWR)
        self.listener.close()


class MessageBroker:
    """mosquitto with a password file, who may read what, TLS where an authority is given, and what it kept across restarts."""

    def __init__(self, program, folder, passwords, rights, authority=None):
        self.program, self.folder, self.port = program, folder, free_port()
        self.log = os.path.join(folder, "broker.log")
        self.name, self.password = next(iter(passwords.items()))
        self.authority = authority
        users, allowed = os.path.join(folder, "users"), os.path.join(folder, "rights")
        for number, (name, word) in enumerate(passwords.items()):
            subprocess.run(["mosquitto_passwd", "-b"] + ([] if number else ["-c"]) + [users, name, word], check=True, capture_output=True)
        with open(allowed, "w", encoding="utf-8") as file:
            file.write(rights)
        lines = [f"listener {self.port} localhost", "allow_anonymous false", f"password_file {users}", f"acl_file {allowed}", "persistence true",
                 f"persistence_location {folder}/", "autosave_on_changes true", "autosave_interval 1", f"log_dest file {self.log}", "log_type all"]
        if authority:
            lines += [f"certfile {authority[0]}", f"keyfile {authority[1]}"]
        if os.geteuid() == 0:
            lines.append("user root")
        self.configuration = os.path.join(folder, "broker.conf")
        with open(self.configuration, "w", encoding="utf-8") as file:
            file.write("\n".join(lines) + "\n")
        for name in (users, allowed):
            os.chmod(name, 0o600)
        self.process = None
        self.start()

    def start(self):
        self.process = subprocess.Popen([self.program, "-c", self.configuration], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

        def listens():
            try:
                socket.create_connection(("localhost", self.port), 1).close()
                return True
            except OSError:
                return False
        until(listens)

    def told(self):
        with open(self.log, encoding="utf-8", errors="replace") as file:
            return file.read()

    def publish(self, topic, text, *more):
        line = ["mosquitto_pub", "-h", "localhost", "-p", str(self.port), "-u", self.name, "-P", self.password, "-q", "1", "-t", topic, "-s" if text else "-n", *more]
        if self.authority:
            line += ["--cafile", self.authority[0]]
        subprocess.run(line, input=text if isinstance(text, bytes) else text.encode(), check=True, timeout=30)

    def stop(self):
        if self.process and self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            self.process.wait(timeout=20)
