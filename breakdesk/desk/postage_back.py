"""Tracking numbers, cost and insurance come back from wherever postage was bought, each by our parcel number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem, Refusal, Result, refuse
from breakdesk.desk.shipping import Ship, open_steps, send_off
from breakdesk.files.named_rows import read_named_rows
from breakdesk.rules.money import parse_money
from breakdesk.rules.parcel_states import said_of_parcel
from breakdesk.rules.tracking import look_at
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.parties import read_house

RETURN_COLUMNS: Final = {
    "parcel": ("parcel number", "order", "order number", "reference"),
    "tracking": ("tracking number", "tracking code", "barcode"),
    "cost": ("price", "postage", "amount"),
    "insured": ("insured value", "insurance", "insured for"),
}

MOST_NAMED: Final = 12
"""How many parcels that stay are named by their numbers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What came back for one parcel, as it is written; `line` is where it stands in the file."""

    line: int
    parcel: str
    tracking: str
    cost: str = ""
    insured: str = ""


def read_bought(path: Path) -> tuple[Bought, ...] | Problem:
    """Reads the table that came back, a CSV file or a workbook; no row of it is checked yet."""
    found = read_named_rows(path.expanduser(), RETURN_COLUMNS, ["parcel", "tracking"])
    if found.problem:
        return Problem(found.problem)
    return tuple(Bought(line=row.line, **{name: row.get(name) for name in RETURN_COLUMNS}) for row in found.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForeseenPostage:
    """One row before it is kept. `problem` says why the file cannot be taken; `doubt` is no reason not to.

    Money is in minor units of `currency`; `open_steps` are what keeps the parcel here.
    """

    bought: Bought
    parcel_id: int | None = None
    name: str = ""
    handle: str = ""
    on_air_name: str = ""
    tracking: str = ""
    standard: str = ""
    doubt: str = ""
    cost: int | None = None
    insured: int | None = None
    currency: str | None = None
    open_steps: tuple[str, ...] = ()
    problem: Problem | None = None


def foresee_postage(desk: Desk, bought: Sequence[Bought]) -> tuple[ForeseenPostage, ...]:
    """What taking the rows would do, each looked at alone; nothing is written."""
    house = read_house()
    currency = house.terms.on("currency", house.today(desk.clock.as_of()))
    return tuple(_foreseen(bought, currency))


def _foreseen(bought: Sequence[Bought], currency: str) -> Iterator[ForeseenPostage]:
    seen: dict[int, int] = {}
    for item in bought:
        try:
            yield _checked(item, seen, currency)
        except Refusal as refusal:
            problem = refusal.problem
            yield ForeseenPostage(bought=item, problem=Problem(problem.what, problem.remedy, f"line {item.line}"))


def take_postage(desk: Desk, bought: Sequence[Bought], key: int | None = None) -> Result:
    """Writes tracking numbers, cost and insurance to parcels, all rows or none, and ticks their step "postage"."""

    def work(a: Act) -> str:
        if not bought:
            raise refuse("There is no row with a parcel.", "The file needs a column parcel and a column tracking.")
        for row in _foreseen(bought, a.house.terms.on("currency", a.day)):
            if row.problem is not None:
                raise Refusal(row.problem)
            if row.doubt:
                a.warnings.append(f"Parcel {row.parcel_id}: {row.doubt}")
            _keep(a, row)
        return f"{counted(len(bought), 'parcel')} with postage."

    return act(desk, "postage", work, key)


def _checked(item: Bought, seen: dict[int, int], currency: str) -> ForeseenPostage:
    number = item.parcel.strip().lstrip("#")
    row = models.Parcel.get_or_none(models.Parcel.id == int(number)) if _is_key(number) else None
    if row is None:
        raise refuse(f"There is no parcel {item.parcel.strip() or 'without a number'}.", "Use our parcel numbers.")
    if row.state != "packing":
        raise refuse(f"{said_of_parcel(row.id, row.state)} already.", "Leave its row out.")
    if row.id in seen:
        raise refuse(f"Parcel {row.id} stands in line {seen[row.id]}, too.", "Keep one of the two rows.")
    seen[int(row.id)] = item.line
    tracking = " ".join(item.tracking.split())
    if not tracking:
        raise refuse(f"Parcel {row.id} has no tracking number.", "Leave the row out until it has one.")
    reading = look_at(tracking)
    amounts = [(name, text) for name, text in (("cost", item.cost), ("insured", item.insured)) if text.strip()]
    money: dict[str, Any] = {}
    for name, text in amounts:
        try:
            amount = parse_money(text, currency)
        except ValueError as error:
            raise refuse(str(error)) from error
        if money.setdefault("currency", amount.currency) != amount.currency:
            raise refuse(f"Parcel {row.id} has amounts in two currencies.", "Write both in one.")
        money[name] = amount.minor
    return ForeseenPostage(
        bought=item,
        parcel_id=int(row.id),
        name=row.participant.name,
        handle=row.participant.handle,
        on_air_name=row.participant.on_air_name,
        tracking=tracking,
        standard=reading.standard or "",
        doubt=reading.doubt or "",
        # The step "postage" is ticked by what came back.
        open_steps=tuple(name for name in open_steps(int(row.id)) if name != "postage"),
        **money,
    )


def _is_key(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) < 19


def _keep(a: Act, row: ForeseenPostage) -> None:
    assert row.parcel_id is not None
    money = {name: said for name in ("cost", "insured", "currency") if (said := getattr(row, name)) is not None}
    changes = {"tracking": row.tracking, **money}
    models.Parcel.update(standard=row.standard, **changes).where(models.Parcel.id == row.parcel_id).execute()
    steps = models.ParcelStep
    steps.update(done_at=a.happened, who=a.desk.who).where(
        steps.parcel == row.parcel_id, steps.name == "postage", steps.done_at.is_null()
    ).execute()
    a.line("parcel", row.parcel_id, "postage bought", changes)


def leave_together(desk: Desk, parcel_ids: Sequence[int], key: int | None = None) -> Result:
    """Lets every one of these parcels leave whose mandatory steps are done; the others stay and are named."""

    def work(a: Act) -> str:
        ready = [parcel_id for parcel_id in parcel_ids if not open_steps(parcel_id)]
        waiting = [parcel_id for parcel_id in parcel_ids if parcel_id not in ready]
        stays = [f"{counted(len(waiting), 'parcel')} with open steps: {_numbers(waiting)}."] if waiting else []
        left = 0
        for parcel_id in ready:
            try:
                send_off(a, Ship(parcel_id=parcel_id))
                left += 1
            except Refusal as refusal:
                stays.append(f"Parcel {parcel_id}: {refusal.problem.sentence}")
        if not left:
            raise refuse("None of these parcels can leave yet.", " ".join(stays))
        if stays:
            a.warnings.append(f"Staying here: {' '.join(stays)}")
        return f"{counted(left, 'parcel is', 'parcels are')} on the way."

    return act(desk, "ship", work, key)


def _numbers(parcel_ids: Sequence[int]) -> str:
    more = len(parcel_ids) - MOST_NAMED
    return ", ".join(map(str, parcel_ids[:MOST_NAMED])) + (f" and {more} more" if more > 0 else "")
