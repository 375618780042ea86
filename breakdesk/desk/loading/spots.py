"""Loads spots: breaks, what was bought in them, and by whom."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from breakdesk.desk.loading.merging import Merged, merged
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts
from breakdesk.files.row_kinds import SpotRow
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.names import folded
from breakdesk.store import models
from breakdesk.store.loading import SpotKey

_ANOTHER_NIGHT = timedelta(hours=24)


def plan_spots(plan: Plan, names: Names, sheets: Sequence[Sheet], counts: Counts) -> None:
    """Takes spots; several rows about one spot name those who share it."""
    _plan_breaks(plan, names, sheets)
    present = {spot_key(row): key for key, row in plan.snapshot.spots.items()}
    spots: dict[SpotKey, _Spot] = {}
    for sheet in sheets:
        for row in sheet.rows:
            assert isinstance(row, SpotRow)
            place = Place(sheet.file, row.line)
            break_id = names.breaks.get(folded(row.break_name))
            if break_id is None:
                continue
            products = _products_of(plan, names, break_id, row, place)
            held = ";".join(sorted(folded(text) or text for text in row.spot))
            key = (break_id, products[0] if len(products) == 1 else None, held, folded(row.order))
            spot = spots.setdefault(key, _Spot(row, place))
            spot.take(plan, names, row, place)
    for key, spot in spots.items():
        _plan_spot(plan, key, spot, present.get(key), counts)


class _Spot:
    """One spot as the rows of this load describe it."""

    def __init__(self, row: SpotRow, place: Place) -> None:
        self.row = row
        self.place = place
        self.holders: dict[int, None] = {}
        self.prices: dict[str, tuple[int, str]] = {}

    def take(self, plan: Plan, names: Names, row: SpotRow, place: Place) -> None:
        """One more row about the spot."""
        for name in row.participants:
            if names.is_house(name):
                continue
            person_id = names.person(name, place)
            if person_id is not None:
                self.holders[person_id] = None
        if row.price_paid is not None:
            money = (row.price_paid.minor, row.price_paid.currency)
            self.prices[";".join(map(folded, row.participants))] = money
            if len({currency for _, currency in self.prices.values()}) > 1:
                what = "the shares of this spot were paid in different currencies"
                plan.error(place, "price_paid", None, what, "Write them in one currency.")

    @property
    def price(self) -> tuple[int | None, str | None]:
        """What was paid for all of it."""
        if not self.prices:
            return None, None
        return sum(minor for minor, _ in self.prices.values()), next(iter(self.prices.values()))[1]


def spot_key(row: dict[str, Any]) -> SpotKey:
    """What a spot of the desk is found by."""
    held = ";".join(sorted(row["folded"].split(";")))
    return (row["break_id"], row["product_id"], held, folded(row["order_number"]))


def _plan_spot(plan: Plan, key: SpotKey, spot: _Spot, spot_id: int | None, counts: Counts) -> None:
    price, currency = spot.price
    digest = plan.digest("spot", *key, *sorted(spot.holders), price, currency)
    if spot_id is None:
        spot_id = plan.add(
            models.Spot, break_id=key[0], product_id=key[1], holds=";".join(spot.row.spot),
            folded=";".join(folded(text) or text for text in spot.row.spot), order_number=spot.row.order,
            price=price, currency=currency,
        )  # fmt: skip
        plan.is_same_row(f"spot {spot_id}", digest)
        for person_id in sorted(spot.holders):
            plan.add(models.SpotHolder, spot_id=spot_id, participant_id=person_id)
        plan.line("spot", spot_id, **{"break": key[0], "holders": sorted(spot.holders)})
        counts.new += 1
        return
    changed = [] if plan.is_same_row(f"spot {spot_id}", digest) else _change(plan, spot_id, spot)
    if changed:
        plan.line("spot", spot_id, columns=changed, holders=sorted(spot.holders))
        counts.changed += 1
    else:
        counts.known += 1


def _change(plan: Plan, spot_id: int, spot: _Spot) -> list[str]:
    changed = []
    price, currency = spot.price
    present = plan.snapshot.spots[spot_id]
    if price is not None and (price, currency) != (present["price"], present["currency"]):
        plan.change(models.Spot, spot_id, {"price": price, "currency": currency})
        changed.append("price_paid")
    if set(spot.holders) != plan.snapshot.holders.get(spot_id, set()):
        plan.holders[spot_id] = set(spot.holders)
        plan.snapshot.holders[spot_id] = set(spot.holders)
        what = "this spot belonged to somebody else; claims that were fixed before keep their owner"
        plan.warn(spot.place, "participant", ";".join(spot.row.participants), what, "Check the claims of this break.")
        changed.append("participant")
    return changed


def _products_of(plan: Plan, names: Names, break_id: int, row: SpotRow, place: Place) -> list[int]:
    found = []
    for name in row.products:
        product_id = names.product(name, None, place)
        if product_id is not None:
            found.append(product_id)
            products = plan.snapshot.break_products.setdefault(break_id, [])
            if product_id not in products:
                products.append(product_id)
                plan.add(models.BreakProduct, break_id=break_id, product_id=product_id)
                plan.line("break", break_id, product=product_id)
    return found


def _plan_breaks(plan: Plan, names: Names, sheets: Sequence[Sheet]) -> None:
    def key_of(row: Any, place: Place) -> str | None:
        return names.key(row.break_name, place, "break")

    pairs = [(sheet.file, sheet.rows) for sheet in sheets]
    for item in merged(plan, pairs, ("format", "starts_at"), key_of, "break", compared=True):
        name = item.first.break_name
        starts = item.values.get("starts_at")
        instant = microseconds_of(starts.instant) if starts is not None and starts.instant is not None else None
        night = starts.day.isoformat() if starts is not None else None
        break_id = names.breaks.get(folded(name))
        if break_id is None:
            if "format" not in item.values:
                what = "the break has no format, so it is taken as one by team"
                plan.warn(item.place, "format", None, what, "Write the format of the break.")
            break_id = names.define_break(name, instant, night, item.values.get("format", "team"))
            plan.is_same_row(f"break {break_id}", _break_digest(plan, item))
            plan.line("break", break_id, columns=sorted(item.values))
        elif not plan.is_same_row(f"break {break_id}", _break_digest(plan, item)):
            _change_break(plan, names, break_id, item, instant, night)


def _break_digest(plan: Plan, item: Merged) -> str:
    return plan.digest("break", item.values.get("format"), item.values.get("starts_at"))


def _change_break(
    plan: Plan, names: Names, break_id: int, item: Merged, instant: int | None, night: str | None
) -> None:
    present = plan.snapshot.breaks[break_id]
    wanted: dict[str, Any] = {}
    form = item.values.get("format")
    if form is not None and form != present["format"]:
        wanted["format"] = form
        if any(spot["break_id"] == break_id for spot in plan.snapshot.spots.values()):
            what = f"the break was recorded as {present['format']}; claims that were fixed before keep their owner"
            plan.warn(item.places["format"], "format", form, what, "Check the claims of this break.")
    if night is not None and (instant or night) != (present["starts_at"] or present["night"]):
        if _is_another_night(present, instant, night):
            what = f"a break of this name is recorded, which starts {names.shown_start(break_id)}"
            remedy = "Give the second break another name, or correct the day."
            plan.error(item.places["starts_at"], "starts_at", None, what, remedy)
            return
        wanted |= {"starts_at": instant, "night": night}
    if wanted:
        present.update(wanted)
        plan.change(models.Break, break_id, wanted)
        plan.line("break", break_id, columns=sorted(wanted))


def _is_another_night(present: dict[str, Any], instant: int | None, night: str) -> bool:
    if present["night"] is None:
        return False
    if instant is not None and present["starts_at"] is not None:
        return bool(abs(instant - present["starts_at"]) > _ANOTHER_NIGHT // timedelta(microseconds=1))
    return abs(date.fromisoformat(night) - date.fromisoformat(present["night"])) > timedelta(days=1)
