"""A world whose participants can be written to, and a real mail server on this machine that it writes by."""

from __future__ import annotations

import datetime
import ipaddress
import socket
import ssl
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from breakdesk.files.mail_settings import MailSettings
from breakdesk.store import models
from tests.desk.conftest import World


@dataclass
class Inbox:
    """What the server took, and what it answers: `answers` maps an address to the reply after its text."""

    taken: list[tuple[str, str, bytes]] = field(default_factory=list)
    answers: dict[str, str] = field(default_factory=dict)
    refused: dict[str, str] = field(default_factory=dict)
    breaks_after: set[str] = field(default_factory=set)

    async def handle_RCPT(self, server: Any, session: Any, envelope: Any, address: str, options: list[str]) -> str:  # noqa: N802
        if address in self.refused:
            return self.refused[address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802
        to = envelope.rcpt_tos[0]
        if to in self.answers:
            return self.answers[to]
        self.taken.append((envelope.mail_from, to, envelope.original_content))
        if to in self.breaks_after:
            server.transport.abort()
        return "250 taken"


@pytest.fixture(scope="session")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A certificate of 127.0.0.1 with its key in one file, trusted by nobody but who is told to."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "127.0.0.1")])
    now = datetime.datetime.now(datetime.UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=1))
        .not_valid_after(now + datetime.timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]), False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), True)
        .sign(key, hashes.SHA256())
    )
    path = tmp_path_factory.mktemp("tls") / "server.pem"
    path.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
        + made.public_bytes(serialization.Encoding.PEM)
    )
    return path


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _accept(server: Any, session: Any, envelope: Any, mechanism: str, data: Any) -> AuthResult:
    good = isinstance(data, LoginPassword) and (data.login, data.password) == (b"desk", b"right")
    return AuthResult(success=good, handled=False)


@pytest.fixture
def inbox() -> Inbox:
    return Inbox()


@pytest.fixture
def server(inbox: Inbox, certificate: Path) -> Iterator[Controller]:
    """A mail server that wants STARTTLS and a user with a password."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate)
    controller = Controller(
        inbox, hostname="127.0.0.1", port=_free_port(), tls_context=context, require_starttls=True, auth_required=True,
        authenticator=_accept,
    )  # fmt: skip
    controller.start()
    yield controller
    controller.stop()


@pytest.fixture
def settings(server: Controller, certificate: Path) -> MailSettings:
    port = server.server.sockets[0].getsockname()[1]
    return MailSettings(
        host="127.0.0.1",
        port=port,
        security="starttls",
        sender="desk@corner.example",
        sender_name="The Corner",
        user="desk",
        password="right",
        per_minute=6000,
        certificates=str(certificate),
        timeout_seconds=5,
    )


@pytest.fixture
def reach(world: World) -> Callable[..., int]:
    """Writes down how a participant is reached."""

    def write(who: str, **columns: object) -> int:
        key = world.people[who]
        contact = {part: columns.pop(part) for part in ("email", "phone") if part in columns}
        if contact:
            models.Contact.insert(participant=key, **contact).on_conflict_replace().execute()
        if columns:
            models.Participant.update(**columns).where(models.Participant.id == key).execute()
        return key

    return write
