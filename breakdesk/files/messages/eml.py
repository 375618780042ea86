"""An e-mail as a draft file: RFC 5322 by the standard library, with nothing from outside able to add a header."""

from __future__ import annotations

import email.policy
import re
from dataclasses import dataclass
from datetime import datetime
from email.errors import HeaderParseError
from email.headerregistry import Address, BaseHeader, HeaderRegistry
from email.message import EmailMessage
from email.quoprimime import body_encode
from functools import lru_cache

from breakdesk.files.messages.channels import Message
from breakdesk.files.messages.plain import is_harmful, plain_line


class _FoldedOnce(BaseHeader):
    """A header that keeps its lines: those that a batch shares are folded once, not for every mail."""

    _folded: str | None = None

    def fold(self, *, policy: email.policy.Policy) -> str:
        """The header's lines, as the one policy here folds them."""
        if self._folded is None:
            self._folded = super().fold(policy=policy)
        return self._folded


class _Headers(HeaderRegistry):
    """The standard library's classes of headers, each made once: it makes one anew for every header of every mail."""

    def __init__(self) -> None:
        super().__init__(base_class=_FoldedOnce)
        self._made: dict[str, type] = {}

    def __getitem__(self, name: str) -> type:
        """The class of a header by its name."""
        if name not in self._made:
            self._made[name] = super().__getitem__(name)
        return self._made[name]


# Seven bits only: the file then passes through any mail program and any server unchanged.
POLICY = email.policy.SMTP.clone(cte_type="7bit", header_factory=_Headers())
LONGEST_ADDRESS = 254
LONGEST_LOCAL_PART = 64
LONGEST_NAME = 120
LONGEST_HEADER_WORD = 60
LONGEST_LINE = 78
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
    """The bytes of an `.eml` file that a mail program opens as a draft, lines within RFC 5322 section 2.1.1."""
    mail = mail_message(message, envelope)
    return mail if isinstance(mail, MailProblem) else mail.as_bytes()


def mail_message(message: Message, envelope: Envelope) -> EmailMessage | MailProblem:
    """The e-mail as the standard library's object, to be written or sent; a problem where an address is not one."""
    sender = mail_address(envelope.from_name, envelope.from_address)
    recipient = mail_address(envelope.to_name, envelope.to_address)
    for address in (sender, recipient):
        if isinstance(address, MailProblem):
            return address
    mail = EmailMessage(policy=POLICY)
    # A header that mail programs read, though no standard names it: not yet sent, open it for editing.
    mail["X-Unsent"] = _same_header("X-Unsent", "1")
    mail["Date"] = _same_header("Date", envelope.written_at)
    mail["From"] = _same_header("From", str(sender))
    mail["To"] = recipient
    mail["Subject"] = _foldable(plain_line(message.subject or ""))
    encoding, body = _body(message.text + "\n")
    mail["MIME-Version"] = _same_header("MIME-Version", "1.0")
    mail["Content-Type"] = _same_header("Content-Type", 'text/plain; charset="utf-8"')
    mail["Content-Transfer-Encoding"] = _same_header("Content-Transfer-Encoding", encoding)
    mail.set_payload(body)
    return mail


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
    return "quoted-printable", body_encode(text.encode("utf-8").decode("latin-1"))


@lru_cache(maxsize=64)
def _same_header(name: str, value: str | datetime) -> object:
    """A header that a whole batch of messages shares: reading it takes longer than wording the message."""
    return POLICY.header_store_parse(name, value)[1]


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
