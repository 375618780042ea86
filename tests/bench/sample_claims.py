"""The sample's files as the rules' values, for replaying claims without a desk."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from openpyxl import load_workbook

from breakdesk.rules.break_facts import BreakFacts, Card, Person, Spot
from breakdesk.rules.ownership import Owner, Pull, owner_of
from breakdesk.rules.spot_holdings import numbers_in


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleClaim:
    """A claim of a break as its row says, with the owner that the break's spots give it."""

    break_name: str
    format: str
    product_id: int
    subjects: tuple[str, ...]
    teams: tuple[str, ...]
    variation: str
    numbered_to: int | None
    serial: int | None
    features: tuple[str, ...]
    kind: str
    box: int | None
    expires_on: date | None
    owner: Owner
    people: tuple[Person, ...]
    playing: frozenset[int]


@dataclass(frozen=True, slots=True)
class Sample:
    """Everything that a replay needs."""

    folder: Path
    people: tuple[Person, ...]
    cards: dict[int, list[Card]]
    breaks: dict[str, BreakFacts]
    claims: tuple[SampleClaim, ...]


def load_sample(folder: Path) -> Sample:
    """Read a folder of sample files."""
    products: dict[str, int] = {}
    people = tuple(
        Person(id=number, name=row["participant"], handle=row["handle"], on_air_name=row["on_air_name"])
        for number, row in enumerate(_rows(folder / "participants.csv"), start=1)
    )
    cards = _cards(folder, products)
    breaks = _breaks(folder, products, {person.name: person.id for person in people})
    claims = tuple(_claims(folder, products, breaks, people))
    return Sample(folder, people, cards, breaks, claims)


def _cards(folder: Path, products: dict[str, int]) -> dict[int, list[Card]]:
    cards: dict[int, list[Card]] = {}
    number = 0
    for path in sorted(folder.glob("checklist-*.csv")):
        for row in _rows(path):
            number += 1
            product_id = products.setdefault(row["product"], len(products) + 1)
            cards.setdefault(product_id, []).append(
                Card(
                    id=number,
                    product_id=product_id,
                    card=row["card"],
                    subjects=_several(row["subject"]),
                    teams=_several(row["team"]),
                    variation=row["variation"],
                    numbered_to=_figure(row["numbered_to"]),
                    features=_several(row["features"]),
                )
            )
    return cards


def _breaks(folder: Path, products: dict[str, int], ids: dict[str, int]) -> dict[str, BreakFacts]:
    rows_by_break: dict[str, list[dict[str, str]]] = {}
    for path in sorted(folder.glob("spots-*")):
        for row in _rows(path):
            rows_by_break.setdefault(row["break"], []).append(row)
    breaks: dict[str, BreakFacts] = {}
    for number, (name, rows) in enumerate(rows_by_break.items(), start=1):
        all_products = sorted({products[product] for row in rows for product in _several(row["product"])})
        spots = tuple(
            Spot(
                id=place,
                product_id=products[named[0]] if len(named := _several(row["product"])) == 1 else None,
                holds=_several(row["spot"]),
                owners=tuple(ids[person] for person in _several(row["participant"])),
                order=row["order"],
            )
            for place, row in enumerate(rows, start=1)
        )
        breaks[name] = BreakFacts(
            id=number,
            name=name,
            format=rows[0]["format"],  # type: ignore[arg-type]
            product_ids=tuple(all_products),
            spots=spots,
            starts_at=datetime.fromisoformat(rows[0]["starts_at"]).replace(tzinfo=UTC),
        )
    return breaks


def _claims(
    folder: Path, products: dict[str, int], breaks: dict[str, BreakFacts], people: tuple[Person, ...]
) -> Iterator[SampleClaim]:
    ids = {person.name: person.id for person in people}
    for row in _rows(folder / "claims.csv"):
        facts = breaks.get(row["break"])
        if facts is None:
            continue
        named = tuple(ids[person] for person in _several(row["participant"]))
        pull = Pull(
            product_id=products[row["product"]],
            subjects=_several(row["subject"]),
            teams=_several(row["team"]),
            numbered_to=_figure(row["numbered_to"]),
            serial=_figure(row["serial"]),
            box=_box(facts, named),
            named=named if facts.format == "hit_draft" else (),
        )
        yield SampleClaim(
            break_name=facts.name,
            format=facts.format,
            product_id=products[row["product"]],
            subjects=pull.subjects,
            teams=pull.teams,
            variation=row["variation"],
            numbered_to=pull.numbered_to,
            serial=1 if pull.serial is None and pull.numbered_to == 1 else pull.serial,
            features=_several(row["features"]),
            kind=row["kind"] or "redemption",
            box=pull.box,
            expires_on=date.fromisoformat(row["expires_on"]) if row["expires_on"] else None,
            owner=owner_of(pull, facts).owner,
            people=people,
            playing=frozenset(owner for spot in facts.spots for owner in spot.owners),
        )


def _box(facts: BreakFacts, owners: tuple[int, ...]) -> int | None:
    """A box of the claim's participant: the claims do not say which, and a night's boxes are opened in turn."""
    if facts.format not in ("box", "personal"):
        return None
    boxes = (min(numbers_in(text)) for spot in facts.spots if spot.owners == owners for text in spot.holds)
    return next(boxes, None)


def _rows(path: Path) -> Iterator[dict[str, str]]:
    if path.suffix == ".xlsx":
        book = load_workbook(path, read_only=True)
        header, *rows = book.worksheets[0].iter_rows(values_only=True)
        book.close()
        for row in rows:
            yield {str(name): _text(value) for name, value in zip(header, row, strict=True)}
        return
    with path.open(encoding="utf-8-sig", newline="") as file:
        yield from csv.DictReader(file)


def _text(value: object) -> str:
    return "" if value is None else value.isoformat() if isinstance(value, datetime) else str(value)


def _several(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())


def _figure(cell: str) -> int | None:
    return int(cell) if cell else None
