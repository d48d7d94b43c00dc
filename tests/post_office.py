"""Peers on this machine for what the service sends: a mail server, and a broker that keeps what it is given."""
import asyncio
import os
import shutil
import subprocess

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword, SMTP

from peers import MessageBroker

MOSQUITTO = shutil.which("mosquitto", path=os.environ.get("PATH", "") + ":/usr/sbin") or "mosquitto"


class Letters:
    def __init__(self):
        self.taken = []

    async def handle_DATA(self, server, session, envelope):
        if any("silent@" in to for to in envelope.rcpt_tos):
            await asyncio.sleep(6)
        if any("full@" in to for to in envelope.rcpt_tos):
            return "452 the box is full"
        self.taken.append((envelope.mail_from, envelope.rcpt_tos, envelope.content))
        return "250 taken"


def authenticate(server, session, envelope, mechanism, data):
    return AuthResult(success=data == LoginPassword(b"garden", b"spade and fork"), handled=False)


class Secured(Controller):
    """Asks for STARTTLS and a password before anything else."""

    def __init__(self, handler, context, port):
        super().__init__(handler, hostname="localhost", port=port)
        self.context = context

    def factory(self):
        return SMTP(self.handler, hostname="localhost", tls_context=self.context, require_starttls=True,
                    authenticator=authenticate, auth_required=True)


class Broker(MessageBroker):
    """Whoever has the password may read and write everything."""

    def __init__(self, folder, authority=None):
        super().__init__(MOSQUITTO, folder, {"garden": "spade"}, "user garden\ntopic readwrite #\n", authority)

    def kept(self, topic, seconds=10):
        """Whether the message came as one that was kept, and its bytes; None where there is none."""
        line = ["mosquitto_sub", "-h", "localhost", "-p", str(self.port), "-u", self.name, "-P", self.password, "-t", topic,
                "-C", "1", "-W", str(seconds), "-N", "-F", "%r\n%p"]
        ran = subprocess.run(line + (["--cafile", self.authority[0]] if self.authority else []), capture_output=True, timeout=seconds + 10)
        if not ran.stdout:
            return None
        kept, _, body = ran.stdout.partition(b"\n")
        return int(kept), body
