"""Messages to makers written into files, to be sent by another program; nothing counts as asked by that."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from breakdesk.desk.ask_messages import ask_draft
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.files.messages.channels import Message
from breakdesk.files.messages.eml import Envelope, MailProblem, eml_bytes
from breakdesk.files.private import for_its_owner
from breakdesk.rules.claim import Listed
from breakdesk.store.parties import read_house

Form = Literal["eml", "txt"]
_UNSAFE = re.compile(r"[^A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """From which address of the house; needed for e-mail drafts only."""

    address: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class WrittenAsks:
    """Which files were written, and a sentence for each maker for whom none could be."""

    files: tuple[str, ...]
    left_out: tuple[str, ...]


def write_asks(
    desk: Desk, about: Sequence[Sequence[Listed]], out: Path, form: Form, sender: Sender
) -> WrittenAsks | Problem:
    """Writes one message a maker into a new folder; `about` are the claims of each. Nobody counts as asked."""
    files: list[str] = []
    left_out: list[str] = []
    try:
        out.mkdir(parents=True, mode=0o700)
        for number, claims in enumerate(about, start=1):
            draft = ask_draft(desk, claims)
            content = _content(desk, draft.message, form, sender, draft.maker, draft.contact)
            if isinstance(content, MailProblem):
                left_out.append(content.sentence)
                continue
            word = _UNSAFE.sub("-", draft.maker).strip("-")[:40] or "maker"
            files.append(f"{number:02}-{word}.{form}")
            with open(out / files[-1], "xb", opener=for_its_owner) as file:
                file.write(content)
    except FileExistsError:
        return Problem(f"{out} is there already.", "Name a new folder, so that nothing is written over.")
    except OSError as error:
        return Problem(f"{out} cannot be written: {error.strerror}.", "Look at the space and the rights.")
    return WrittenAsks(tuple(files), tuple(left_out))


def _content(desk: Desk, message: Message, form: Form, sender: Sender, maker: str, contact: str) -> bytes | MailProblem:
    if form == "txt":
        return f"{message.whole}\n".encode()
    envelope = Envelope(
        from_name=sender.name or read_house().name,
        from_address=sender.address,
        to_name=maker,
        to_address=contact,
        written_at=desk.clock.as_of(),
    )
    return eml_bytes(message, envelope)
