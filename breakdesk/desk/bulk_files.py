"""Writes many messages to files, in constant memory; `bulk_told` marks later as told exactly what they say."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.telling import PEOPLE_AT_ONCE, Telling, tellings_for
from breakdesk.desk.ways import ways_to
from breakdesk.files.messages.channels import EMAIL
from breakdesk.files.messages.eml import Envelope, MailProblem, eml_bytes
from breakdesk.files.messages.plain import plain_line
from breakdesk.files.private import for_its_owner
from breakdesk.files.writing import write_csv
from breakdesk.store import history

Form = Literal["eml", "txt", "csv"]
FORMS: tuple[Form, ...] = ("eml", "txt", "csv")
LIST = "list.csv"
"""The list beside the messages, by which they are marked as told."""
HEADER = ("key", "participant", "handle", "channel", "to", "template", "knows", "claims", "file", "text")
_UNSAFE = re.compile(r"[^A-Za-z0-9_-]+")

Progress = Callable[[int, int], bool]
"""Told how many are done and of how many; returns False to stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToWrite:
    """Which messages to write and where. `out` is a new folder, or with `csv` a new file.

    `from_address` is needed for `eml`, whose messages take the shape of an e-mail whatever people's own channel is.
    """

    person_ids: Sequence[int]
    out: Path
    form: Form
    tone: str = ""
    channel: str = ""
    """Another shape than that of people's own way; empty for their own."""
    plain: bool = False
    """Plain characters in short messages, in place of those that make them longer."""
    from_name: str = ""
    from_address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written. `left_out` are sentences about those for whom nothing could be."""

    count: int
    left_out: tuple[str, ...]
    stopped: bool


def write_bulk(desk: Desk, wanted: ToWrite, progress: Progress = lambda _done, _of: True) -> Written | Problem:
    """Writes one message a participant. Nobody is marked as told: that is a fact only once the messages went out."""
    work = _Writing(desk, wanted, progress)
    listing = wanted.out if wanted.form == "csv" else wanted.out / LIST
    try:
        if wanted.form != "csv":
            wanted.out.mkdir(parents=True, mode=0o700)
        else:
            wanted.out.parent.mkdir(parents=True, exist_ok=True)
        # "x": nothing is written over.
        with open(listing, "xb", opener=for_its_owner) as file:
            write_csv(file, HEADER if wanted.form == "csv" else HEADER[:-1], work.rows())
    except FileExistsError:
        return Problem(f"{wanted.out} is there already.", "Name a new one, so that nothing is written over.")
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return Problem(f"Writing stopped after {work.count} messages: {why}.", "Look at the space and the rights.")
    return Written(count=work.count, left_out=tuple(work.left_out), stopped=work.stopped)


def _write_new(path: Path, content: bytes) -> None:
    """A new file for its owner. Without the layers of `open`, which take half of the time of ten thousand messages."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        left = memoryview(content)
        while left:
            left = left[os.write(handle, left) :]
    finally:
        os.close(handle)


class _Writing:
    def __init__(self, desk: Desk, wanted: ToWrite, progress: Progress) -> None:
        self._desk = desk
        self._wanted = wanted
        self._progress = progress
        self.count = 0
        self.left_out: list[str] = []
        self.stopped = False

    def rows(self) -> Iterator[tuple[str, ...]]:
        """Writes each message and gives its line of the list."""
        wanted, total = self._wanted, len(self._wanted.person_ids)
        channel = EMAIL if wanted.form == "eml" else wanted.channel
        emails: dict[int, str] = {}
        keys, tone = wanted.person_ids, wanted.tone
        tellings = tellings_for(self._desk, keys, tone, channel, plain=wanted.plain)
        for number, telling in enumerate(tellings, start=1):
            if not self._progress(number - 1, total):
                self.stopped = True
                return
            if (number - 1) % PEOPLE_AT_ONCE == 0:
                ways = ways_to(self._desk, keys[number - 1 : number - 1 + PEOPLE_AT_ONCE], channel)
                emails = {key: way.email if way.channel == EMAIL else way.phone for key, way in ways.items()}
            to = emails[telling.person_id]
            if not telling.claim_ids:
                continue
            name = self._write(number, telling, to)
            if name is None:
                continue
            self.count += 1
            tags = ";".join(dict.fromkeys(item.claim.tag for item in telling.items))
            message = telling.message
            handle = plain_line(telling.view.handle or telling.view.on_air_name)
            who = (f"{history.new_key():x}", str(telling.person_id), handle, message.channel)
            row = (*who, plain_line(to), message.templates, str(telling.number), tags, name)
            yield row if wanted.form != "csv" else (*row, message.whole)
        self._progress(total, total)

    def _write(self, number: int, telling: Telling, to: str) -> str | None:
        wanted, view = self._wanted, telling.view
        if wanted.form == "csv":
            return ""
        word = _UNSAFE.sub("-", view.handle or view.on_air_name).strip("-")[:40] or "participant"
        name = f"{number:05}-{word}.{wanted.form}"
        if wanted.form == "txt":
            content: bytes | MailProblem = f"{telling.message.whole}\n".encode()
        else:
            envelope = Envelope(
                from_name=wanted.from_name or view.house_name,
                from_address=wanted.from_address,
                to_name=view.participant_name,
                to_address=to,
                written_at=self._desk.clock.as_of(),
            )
            content = eml_bytes(telling.message, envelope)
        if isinstance(content, MailProblem):
            self.left_out.append(content.sentence)
            return None
        _write_new(wanted.out / name, content)
        return name
