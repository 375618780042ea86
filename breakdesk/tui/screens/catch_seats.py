"""What a person has before them at each break: its table, what is kept, and the line half typed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from breakdesk.desk.entering import Table
from breakdesk.rules.entry import Kept

PLACE = "catch"
"""The name under which the seats are remembered."""


@dataclass(slots=True)
class Seat:
    """One break at which claims are written down; without a key, cards bought elsewhere."""

    break_id: int | None
    table: Table | None = None
    kept: Kept = field(default_factory=Kept)
    line: str = ""
    dropped: str = ""
    """The line that was let go of last; Up on an empty line brings it back."""
    from_last_start: bool = False
    """Whether that line was half typed when the program last ended."""

    def let_go(self, line: str) -> None:
        """Let go of a line."""
        self.dropped, self.from_last_start = line, False

    def take_back(self) -> str:
        """Take the line up again that was let go of."""
        line = self.dropped
        self.let_go("")
        return line

    def forget_last_start(self) -> None:
        """Offer no longer what was half typed at the end of the last start: somebody went on without it."""
        if self.from_last_start:
            self.let_go("")


@dataclass(slots=True)
class Seats:
    """All seats, and the one that is taken."""

    seats: dict[int | None, Seat]
    taken: Seat | None = None

    def take(self, break_id: int | None) -> Seat:
        """Sit down at a break."""
        self.taken = self.seats.setdefault(break_id, Seat(break_id))
        return self.taken

    def to_text(self) -> str:
        """What is worth remembering, as text."""
        known = {
            "" if key is None else str(key): {"line": seat.line or seat.dropped, "kept": _kept_said(seat.kept)}
            for key, seat in self.seats.items()
            if seat.line or seat.dropped or seat.kept != Kept()
        }
        at = None if self.taken is None else "" if self.taken.break_id is None else str(self.taken.break_id)
        return json.dumps({"at": at, "seats": known}, ensure_ascii=False)


def seats_from(text: str) -> tuple[Seats, int | None, bool]:
    """The seats remembered, the break last sat at, and whether one was; nothing where the text is not ours."""
    try:
        said = json.loads(text) if text else {}
        seats = {_key(key): _seat(_key(key), known) for key, known in said.get("seats", {}).items()}
        at = said.get("at")
        return Seats(seats), None if not at else int(at), at is not None
    except (ValueError, TypeError, AttributeError):
        return Seats({}), None, False


def _key(written: str) -> int | None:
    return int(written) if written else None


def _seat(break_id: int | None, known: Mapping[str, Any]) -> Seat:
    kept = known.get("kept", {})
    expires = kept.get("expires_on")
    return Seat(
        break_id,
        kept=Kept(
            product_id=kept.get("product_id"),
            box=kept.get("box"),
            expires_on=date.fromisoformat(expires) if expires else None,
        ),
        # Not put into the line: a key typed in a hurry would end up behind the words of another night.
        dropped=str(known.get("line", "")),
        from_last_start=True,
    )


def _kept_said(kept: Kept) -> dict[str, Any]:
    expires = kept.expires_on.isoformat() if kept.expires_on else None
    return {"product_id": kept.product_id, "box": kept.box, "expires_on": expires}
