"""Makers as a settings screen lists them: their names, whom to write to, and a new one."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import maker_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.terms import YEARS_AHEAD, YEARS_BEFORE, holidays_over
from breakdesk.rules.names import folded
from breakdesk.rules.terms import MAKER_DEFAULTS, Terms
from breakdesk.store import models
from breakdesk.store.terms import replace_holidays

LONGEST = 200


@dataclass(frozen=True, slots=True)
class ListedMaker:
    """A maker, and how to write to it."""

    name: str
    contact: str


def makers_listed(_desk: Desk) -> tuple[ListedMaker, ...]:
    """All makers by name."""
    found = [ListedMaker(row.name, row.contact) for row in models.Maker.select()]
    return tuple(sorted(found, key=lambda maker: (folded(maker.name), maker.name)))


def keep_contact(desk: Desk, maker: str, contact: str, key: int | None = None) -> Result:
    """Notes how to write to a maker: an address, a page, a name; empty forgets it."""

    def work(a: Act) -> str:
        row = maker_named(maker)
        written = _written(contact)
        table = models.Maker
        change = table.update(contact=written, version=table.version + 1)
        if not change.where(table.id == row.id, table.version == row.version).execute():
            raise refuse(f"{row.name} was changed elsewhere meanwhile.", "Look again, then change it.")
        a.line("maker", int(row.id), "contact kept")
        return f"How to write to {row.name} is {'kept' if written else 'forgotten'}."

    return act(desk, "keep contact", work, key)


def add_maker(desk: Desk, name: str, key: int | None = None) -> Result:
    """Takes a maker in, with the terms that hold where nothing was settled."""

    def work(a: Act) -> str:
        written = _written(name)
        if not folded(written):
            raise refuse("The maker needs a name.", "Write the one on its cards.")
        known = models.Maker.get_or_none(models.Maker.folded == folded(written))
        if known is not None:
            raise refuse(f"There is a maker {known.name} already.", "Choose it in the list.")
        row = models.Maker.create(name=written, folded=folded(written))
        found = holidays_over(Terms(MAKER_DEFAULTS), a.day.year - YEARS_BEFORE, a.day.year + YEARS_AHEAD)
        replace_holidays(desk.database, int(row.id), found, min(found))
        a.line("maker", int(row.id), "added")
        return f"{written} is a maker now."

    return act(desk, "add maker", work, key)


def _written(text: str) -> str:
    written = " ".join(text.split())
    if len(written) > LONGEST:
        raise refuse(f"That has more than {LONGEST} letters.", "Write less.")
    return written
