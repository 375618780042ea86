"""What a maker wants to see of a card that came damaged or of a box short of its promised cards, and until when."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta
from typing import Final

from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import Maker

MOST_PIECES: Final = 20
LONGEST_PIECE: Final = 60
KINDS_WITH_EVIDENCE: Final = ("damage", "shortage")


def read_pieces(written: str) -> tuple[str, ...]:
    """The pieces of evidence in a text whose parts are joined by `;`, each once.

    Raises ValueError with a sentence for pieces that are too many or too long.
    """
    pieces = tuple(dict.fromkeys(" ".join(part.split()) for part in written.split(";") if part.strip()))
    if len(pieces) > MOST_PIECES:
        raise ValueError(f"There are {len(pieces)} pieces of evidence; at most {MOST_PIECES} are kept.")
    for piece in pieces:
        if len(piece) > LONGEST_PIECE or not piece.isprintable():
            raise ValueError(f"A piece of evidence is at most {LONGEST_PIECE} printable characters long.")
    return pieces


def wanted_pieces(claim: Claim, maker: Maker) -> tuple[str, ...]:
    """What the maker wants as evidence for a claim, by the terms of the day of the pull; nothing for a claim card."""
    if claim.kind not in KINDS_WITH_EVIDENCE:
        return ()
    return read_pieces(maker.terms.on(f"{claim.kind}_evidence", claim.pull_day))


def piece_named(typed: str, wanted: Collection[str]) -> str | None:
    """The one piece that is called so, or that alone begins so; None where none or several are meant."""
    name = " ".join(typed.split()).casefold()
    exact = [piece for piece in wanted if piece.casefold() == name]
    alike = exact or [piece for piece in wanted if name and piece.casefold().startswith(name)]
    return alike[0] if len(alike) == 1 else None


def missing_pieces(wanted: Collection[str], got: Collection[str]) -> tuple[str, ...]:
    """The pieces that are wanted and not here yet, in the order in which the maker names them."""
    here = {piece.casefold() for piece in got}
    return tuple(piece for piece in wanted if piece.casefold() not in here)


def file_until(claim: Claim, maker: Maker) -> date | None:
    """The last day on which the maker takes such a claim, counted from its pull; None where no window is settled."""
    if claim.kind not in KINDS_WITH_EVIDENCE:
        return None
    days = maker.terms.count_on(f"{claim.kind}_within_days", claim.pull_day)
    return claim.pull_day + timedelta(days=days) if days else None
