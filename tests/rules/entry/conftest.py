"""An invented night for the entry line: a short checklist, a break by team, and a few people."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from breakdesk.rules.break_facts import BreakFacts, Card, Person, Spot
from breakdesk.rules.entry import Kept, Lexicon, Readings, RecentClaim, read

HERONS, FOXES, OTTERS, OWLS, WOLVES, TERNS = (
    "Marsh Herons",
    "Dune Foxes",
    "Glass Otters",
    "Tin Owls",
    "Salt Wolves",
    "Marble Terns",
)
TODAY = date(2026, 6, 15)

# card number, players, teams, variation, print run, features
_ROWS: tuple[tuple[str, str, str, str, int | None, str], ...] = (
    ("SG-1", "Kai Marlowe", HERONS, "", None, "auto"),
    ("SG-1", "Kai Marlowe", HERONS, "Blue", 99, "auto"),
    ("SG-1", "Kai Marlowe", HERONS, "Gold", 10, "auto"),
    ("SP-1", "Kai Marlowe", HERONS, "", 25, "auto;patch"),
    ("BA-1", "Kai Marlowe", HERONS, "", None, ""),
    ("SG-2", "Lou Pender", FOXES, "", None, "auto"),
    ("SG-3", "Lou Pender Jr.", OTTERS, "", None, "auto"),
    ("SG-4", "Jo Brandt", FOXES, "", None, "auto;rookie"),
    ("SG-4", "Jo Brandt", FOXES, "Gold", 10, "auto;rookie"),
    ("PL-4", "Jo Brandt", FOXES, "Printing Plate Cyan", 1, "auto;plate"),
    ("SG-5", "Zoë Ångström-Réy", OTTERS, "", 49, "auto"),
    ("SG-6", "Ana García López", OWLS, "", 25, "auto"),
    ("SG-7", "Ruben van der Moor", WOLVES, "", None, "auto"),
    ("SG-8", "Sam O'Dell", WOLVES, "", None, "auto"),
    ("TG-9", "Mara Quill", OWLS, "", 1, "auto;tag"),
    ("LG-9", "Mara Quill", OWLS, "", 5, "patch;logo"),
    ("BT-9", "Mara Quill", OWLS, "", None, "box topper"),
    ("SG-10", "Tam Patch", HERONS, "", None, "auto"),
    ("SG-11", "C.J. Marsh", OTTERS, "", None, "auto"),
    ("DU-1", "Kai Marlowe;Jo Brandt", f"{HERONS};{FOXES}", "", 15, "auto"),
    ("SG-12", "Ivo Stern", TERNS, "", None, "auto"),
    ("SG-13", "Gus Teller", "", "", None, "auto"),
)
CARDS = tuple(
    Card(
        id=number,
        product_id=1,
        card=card,
        subjects=tuple(subjects.split(";")),
        teams=tuple(filter(None, teams.split(";"))),
        variation=variation,
        numbered_to=run,
        features=tuple(filter(None, features.split(";"))),
    )
    for number, (card, subjects, teams, variation, run, features) in enumerate(_ROWS, start=1)
)
OLDER_CARDS = (
    Card(id=901, product_id=9, card="OL-1", subjects=("Kai Marlowe",), teams=(HERONS,), features=("auto",)),
    Card(id=902, product_id=9, card="OL-2", subjects=("Dee Rover",), teams=(OWLS,), features=("auto",)),
    Card(id=903, product_id=8, card="OL-3", subjects=("Dee Rover",), teams=(WOLVES,), variation="Lantern"),
)
PEOPLE = tuple(
    Person(id=number, name=name, handle=handle, on_air_name=on_air)
    for number, name, handle, on_air in (
        (1, "Petra Wynn", "petrichor", "Petra"),
        (2, "Otis Vale", "otisopens", "Otis"),
        (3, "Bea Lund", "beeline", "Bea L"),
        (4, "Cy Hart", "cyhart77", "Cy"),
        (5, "Olga Venn", "otisfan", "Olga"),
    )
)
BREAK = BreakFacts(
    id=1,
    name="Friday teams",
    format="team",
    product_ids=(1,),
    spots=(
        Spot(id=1, product_id=None, holds=(HERONS,), owners=(1,)),
        Spot(id=2, product_id=None, holds=(FOXES,), owners=(2,)),
        Spot(id=3, product_id=None, holds=(OTTERS, OWLS), owners=(3,)),
        Spot(id=4, product_id=None, holds=(WOLVES,), owners=()),
    ),
    starts_at=datetime(2026, 6, 15, 18, 0, tzinfo=UTC),
)

Reader = Callable[..., Readings]


@pytest.fixture(scope="session")
def lexicon() -> Lexicon:
    """The night with its checklist."""
    return Lexicon.build(BREAK, CARDS, PEOPLE, OLDER_CARDS)


@pytest.fixture(scope="session")
def release_day() -> Lexicon:
    """The same night before the checklist is out."""
    return Lexicon.build(BREAK, (), PEOPLE, OLDER_CARDS)


@pytest.fixture(scope="session")
def hit_draft() -> Lexicon:
    """The same cards in a break where the operator names each owner."""
    spots = tuple(Spot(id=n, product_id=None, holds=(str(n),), owners=(n,)) for n in (1, 2, 3))
    return Lexicon.build(replace(BREAK, format="hit_draft", spots=spots), CARDS, PEOPLE)


def _reader(lexicon: Lexicon) -> Reader:
    def reading(
        line: str,
        kept: Kept | None = None,
        now: datetime | None = None,
        recent: tuple[RecentClaim, ...] = (),
    ) -> Readings:
        return read(line, lexicon, kept, today=TODAY, now=now, recent=recent)

    return reading


@pytest.fixture(scope="session")
def typed(lexicon: Lexicon) -> Reader:
    """Read a line of the night with its checklist."""
    return _reader(lexicon)


@pytest.fixture(scope="session")
def typed_early(release_day: Lexicon) -> Reader:
    """Read a line before the checklist is out."""
    return _reader(release_day)


@pytest.fixture(scope="session")
def typed_in_draft(hit_draft: Lexicon) -> Reader:
    """Read a line in a hit draft."""
    return _reader(hit_draft)
