"""The shapes a message may have: direct message, e-mail, short message, public post; and the limits of each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from breakdesk.files.messages.plain import plain_line, plain_text
from breakdesk.rules.sms import SmsCount, count_sms, replace_forcing
from breakdesk.rules.splitting import length_in_units, split_numbered

DIRECT, EMAIL, SMS, PUBLIC = "direct", "email", "sms", "public"
KINDS = (DIRECT, EMAIL, SMS, PUBLIC)
DEFAULT_LIMIT = 2000
SMALLEST_CHANNEL_LIMIT = 100
LONGEST_SUBJECT = 120


@dataclass(frozen=True, slots=True)
class Channel:
    """A way to reach a person; `limit` counts 16 bit units a part and holds for direct messages and public posts."""

    kind: str
    limit: int = DEFAULT_LIMIT


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """A finished message: `parts` in the order in which they are pasted; `warnings` are sentences for the operator.

    `sms` is what a short message takes and `shorter` the same text with the characters replaced that force the longer
    encoding, where that helps. `templates` names the wording that made it, for the record of what was said.
    """

    channel: str
    subject: str | None
    parts: tuple[str, ...]
    warnings: tuple[str, ...] = ()
    sms: SmsCount | None = None
    shorter: str | None = None
    templates: str = ""

    @property
    def text(self) -> str:
        """All parts as one text."""
        return "\n\n".join(self.parts)

    @property
    def whole(self) -> str:
        """Exactly what was said, the subject of an e-mail first: what the record of a telling keeps."""
        return f"Subject: {self.subject}\n\n{self.text}" if self.subject else self.text


def with_plain_characters(message: Message) -> Message:
    """A short message with plain characters in place of those that make it longer; any other as it is."""
    if message.shorter is None:
        return message
    count = count_sms(message.shorter)
    return replace(message, parts=_one(message.shorter), sms=count, shorter=None, warnings=message.warnings[:-1])


DIRECT_MESSAGE, EMAIL_MESSAGE, PUBLIC_POST = Channel(DIRECT), Channel(EMAIL), Channel(PUBLIC)


def channel_for(word: str, limit: int = DEFAULT_LIMIT) -> Channel:
    """The channel that a participant's record names; anything unknown is a direct message, copied by hand."""
    folded = plain_line(word).casefold().replace("-", "").replace(" ", "_")
    kinds = {"email": EMAIL, "mail": EMAIL, "sms": SMS, "text": SMS, "text_message": SMS, "public": PUBLIC}
    return Channel(kinds.get(folded, DIRECT), max(limit, SMALLEST_CHANNEL_LIMIT))


def shape(
    text: str, channel: Channel, *, subject: str = "", warnings: tuple[str, ...] = (), templates: str = ""
) -> Message:
    """Put a rendered text into the channel's shape."""
    clean = plain_text(text)
    if channel.kind == SMS:
        return _short_message(clean, warnings, templates)
    if channel.kind == EMAIL:
        heading = shortened(plain_line(subject), LONGEST_SUBJECT)
        return Message(channel=EMAIL, subject=heading, parts=_one(clean), warnings=warnings, templates=templates)
    limit = max(channel.limit, SMALLEST_CHANNEL_LIMIT)
    parts = split_numbered(clean, limit)
    return Message(channel=channel.kind, subject=None, parts=parts, warnings=warnings, templates=templates)


def shortened(text: str, limit: int) -> str:
    """The text, or as many of its words as fit, with three dots."""
    if length_in_units(text) <= limit:
        return text
    return split_numbered(text, limit)[0].split(" ", 1)[1][: limit - 3].rstrip() + "..."


def _one(text: str) -> tuple[str, ...]:
    return (text,) if text else ()


def _short_message(text: str, warnings: tuple[str, ...], templates: str) -> Message:
    count = count_sms(text)
    other = replace_forcing(text) if count.forcing else text
    shorter = other if len(count_sms(other).segments) < len(count.segments) else None
    notes = list(warnings)
    if count.too_long:
        notes.append(
            f"This text needs {len(count.segments)} short messages; no more than 255 can be joined. Use e-mail."
        )
    if shorter is not None:
        notes.append(
            f"{_named(count)} {_make(count)} this text {len(count.segments)} messages long; "
            f"with plain characters in their place it is {len(count_sms(shorter).segments)}."
        )
    return Message(
        channel=SMS,
        subject=None,
        parts=_one(text),
        warnings=tuple(notes),
        sms=count,
        shorter=shorter,
        templates=templates,
    )


def _named(count: SmsCount) -> str:
    shown = [
        f"{found.character} ({found.name}, use {found.replacement or 'nothing'})"
        if found.replacement is not None
        else f"{found.character} ({found.name})"
        for found in count.forcing
    ]
    return "The characters " + ", ".join(shown) if len(shown) > 1 else "The character " + shown[0]


def _make(count: SmsCount) -> str:
    return "make" if len(count.forcing) > 1 else "makes"
