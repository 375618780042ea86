"""An e-mail as a draft file: RFC 5322 by the standard library, with nothing from outside able to add a header."""

from __future__ import annotations

import email.policy
import re
from binascii import b2a_qp
from dataclasses import dataclass
from datetime import datetime
from email.errors import HeaderParseError
from email.headerregistry import Address
from email.message import EmailMessage
from functools import lru_cache

from breakdesk.files.messages.channels import Message
from breakdesk.files.messages.plain import is_harmful, plain_line

# Seven bits only: the file then passes through any mail program and any server unchanged.
POLICY = email.policy.SMTP.clone(cte_type="7bit")
LONGEST_ADDRESS = 254
LONGEST_LOCAL_PART = 64
LONGEST_NAME = 120
LONGEST_HEADER_WORD = 60
LONGEST_LINE = 78
# What the standard library folds to itself, where it fits a line: a mailbox of plain words, and ASCII words elsewhere.
_PLAIN_MAILBOX = re.compile(
    r"(?:[A-Za-z0-9_-]+ )*<?[A-Za-z0-9_-]+(?:\.[A-Za-z0-9_-]+)*@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)+>?"
)
_PLAIN_WORDS = re.compile(r"[!-~]+(?: [!-~]+)*")
_MAILBOXES = frozenset(("From", "To"))
_LABEL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?")
_LOCAL_PART = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*")


@dataclass(frozen=True, slots=True)
class MailProblem:
    """Why no e-mail can be written: one sentence with its remedy."""

    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """From whom, to whom, and when it was written (aware)."""

    from_name: str
    from_address: str
    to_name: str
    to_address: str
    written_at: datetime


def eml_bytes(message: Message, envelope: Envelope) -> bytes | MailProblem:
    """The bytes of an `.eml` file that a mail program opens as a draft, lines within RFC 5322 section 2.1.1.

    They are those of `mail_message`, put together without an object a mail: a house writes ten thousand in one go.
    """
    parts = _parts(message, envelope)
    if isinstance(parts, MailProblem):
        return parts
    headers, body = parts
    lines = "".join(_lines_of(name, value) for name, value in headers)
    content = body.replace("\n", "\r\n")
    return f"{lines}\r\n{content}".encode("ascii")


def mail_message(message: Message, envelope: Envelope) -> EmailMessage | MailProblem:
    """The e-mail as the standard library's object, to be sent; a problem where an address is not one."""
    parts = _parts(message, envelope)
    if isinstance(parts, MailProblem):
        return parts
    headers, body = parts
    mail = EmailMessage(policy=POLICY)
    for name, value in headers:
        mail[name] = value
    mail.set_payload(body)
    return mail


HeaderList = list[tuple[str, str | datetime | Address]]


def _parts(message: Message, envelope: Envelope) -> tuple[HeaderList, str] | MailProblem:
    """Headers in their order, and the encoded body."""
    sender = mail_address(envelope.from_name, envelope.from_address)
    recipient = mail_address(envelope.to_name, envelope.to_address)
    if isinstance(sender, MailProblem):
        return sender
    if isinstance(recipient, MailProblem):
        return recipient
    encoding, body = _body(message.text + "\n")
    headers: HeaderList = [
        # A header that mail programs read, though no standard names it: not yet sent, open it for editing.
        ("X-Unsent", "1"),
        ("Date", envelope.written_at),
        ("From", str(sender)),
        ("To", recipient),
        ("Subject", _foldable(plain_line(message.subject or ""))),
        ("MIME-Version", "1.0"),
        ("Content-Type", 'text/plain; charset="utf-8"'),
        ("Content-Transfer-Encoding", encoding),
    ]
    return headers, body


def _lines_of(name: str, value: str | datetime | Address) -> str:
    """A header's lines, as the standard library folds them; what it leaves as it is does not go through it."""
    if isinstance(value, datetime):
        return _folded(name, value)
    text = str(value)
    if len(name) + 2 + len(text) <= LONGEST_LINE:
        plain = _PLAIN_MAILBOX if name in _MAILBOXES else _PLAIN_WORDS
        if plain.fullmatch(text) and "=?" not in text:
            return f"{name}: {text}\r\n"
    return _folded(name, value) if isinstance(value, str) else _fold(name, value)


@lru_cache(maxsize=64)
def _folded(name: str, value: str | datetime) -> str:
    """The lines of a header that a whole batch of messages may share."""
    return _fold(name, value)


def _fold(name: str, value: str | datetime | Address) -> str:
    folded: str = POLICY.header_store_parse(name, value)[1].fold(policy=POLICY)
    return folded


@lru_cache(maxsize=2048)
def mail_address(name: str, address: str) -> Address | MailProblem:
    """A mailbox for a header. The name is cut down to plain text; an address with anything odd in it is refused."""
    trimmed = address.strip(" ")
    shown = plain_line(address)[:80]
    if not trimmed:
        return MailProblem(f"There is no e-mail address for {plain_line(name)[:80] or 'this person'}; enter one.")
    if is_harmful(trimmed) or any(map(str.isspace, trimmed)):
        return MailProblem(f"The e-mail address “{shown}” holds characters that no address may hold; enter it again.")
    local, at, domain = trimmed.rpartition("@")
    host = _host(domain)
    if not at or host is None or not _LOCAL_PART.fullmatch(local):
        return MailProblem(f"“{shown}” is not an e-mail address that can be written to; correct it.")
    if len(local) > LONGEST_LOCAL_PART or len(local) + 1 + len(host) > LONGEST_ADDRESS:
        return MailProblem(f"The e-mail address “{shown}” is longer than an address can be; correct it.")
    try:
        return Address(_foldable(plain_line(name)[:LONGEST_NAME].strip()), username=local, domain=host)
    except (HeaderParseError, ValueError):
        return MailProblem(f"“{shown}” is not an e-mail address that can be written to; correct it.")


def _body(text: str) -> tuple[str, str]:
    """Transfer encoding and encoded text: ASCII in short lines as it is, else quoted-printable (RFC 2045)."""
    if text.isascii() and all(len(line) <= LONGEST_LINE for line in text.split("\n")):
        return "7bit", text
    return "quoted-printable", b2a_qp(text.encode("utf-8"), istext=True).decode("ascii")


def _foldable(text: str) -> str:
    """A header is folded between words only, so a word too long for a line is cut by blanks."""
    return " ".join(
        word[start : start + LONGEST_HEADER_WORD]
        for word in text.split(" ")
        for start in range(0, max(len(word), 1), LONGEST_HEADER_WORD)
    )


def _host(domain: str) -> str | None:
    """The domain in ASCII, or None."""
    try:
        host = domain.encode("idna").decode("ascii")
    except UnicodeError:
        return None
    labels = host.split(".")
    return host if len(labels) > 1 and all(_LABEL.fullmatch(label) for label in labels) else None
