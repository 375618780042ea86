"""Loads makers: their terms, their closed days and the public holidays of their countries."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from breakdesk.desk.loading.merging import Merged, merged
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts
from breakdesk.rules.office import check_hours, parse_hour
from breakdesk.rules.public_holidays import known_country, known_subdivision, public_holidays
from breakdesk.store import models

TERMS = (
    "zone", "country", "subdivision", "opens", "closes", "ask_after_months", "ask_every_days", "expired_policy",
)  # fmt: skip
_COLUMNS = (*TERMS, "closed_days", "contact")


def plan_makers(plan: Plan, names: Names, sheets: Sequence[Sheet], counts: Counts) -> None:
    """Takes makers' rows; an empty cell keeps what holds."""
    pairs = [(sheet.file, sheet.rows) for sheet in sheets]

    def key_of(row: Any, place: Place) -> str | None:
        return names.key(row.maker, place, "maker")

    for item in merged(plan, pairs, _COLUMNS, key_of, "maker"):
        present = names.makers.get(names.folded(item.first.maker))
        maker_id = names.define_maker(item.first.maker) if present is None else present
        digest = plan.digest("maker", *(item.values.get(column) for column in _COLUMNS))
        changed = [] if plan.is_same_row(f"maker {maker_id}", digest) else _change(plan, maker_id, item)
        if present is None or changed:
            plan.line("maker", maker_id, columns=changed)
        if present is None:
            counts.new += 1
        elif changed:
            counts.changed += 1
        else:
            counts.known += 1


def _change(plan: Plan, maker_id: int, item: Merged) -> list[str]:
    recorded = {name: value for name, value, _ in plan.snapshot.maker_terms.get(maker_id, ())}
    wanted = {name: str(item.values[name]) for name in TERMS if name in item.values}
    # Without a country nobody knows its holidays; only a maker of whom nothing is known gets the stated defaults.
    if "zone" in wanted and "country" not in wanted and "country" not in recorded:
        wanted["country"] = ""
    if wanted.get("country", recorded.get("country")) != recorded.get("country") and recorded.get("subdivision"):
        wanted.setdefault("subdivision", "")
    if not _is_possible(plan, maker_id, item, wanted):
        return []
    changed = []
    for name, value in wanted.items():
        if recorded.get(name) != value:
            plan.settle(maker_id, name, value, first=name not in recorded)
            changed.append(name)
    contact = item.values.get("contact")
    if contact and contact != plan.snapshot.makers[maker_id]["contact"]:
        plan.snapshot.makers[maker_id]["contact"] = contact
        plan.change(models.Maker, maker_id, {"contact": contact})
        changed.append("contact")
    noted = plan.snapshot.closed_days.setdefault((maker_id, "noted"), set())
    more = [day for day in item.values.get("closed_days", ()) if day.isoformat() not in noted]
    for day in more:
        noted.add(day.isoformat())
        plan.add(models.ClosedDay, maker_id=maker_id, day=day.isoformat(), source="noted")
    if more:
        plan.note_changed_terms(maker_id)
        changed.append("closed_days")
    country_moved = recorded and {"country", "subdivision"} & set(changed)
    note_holidays(plan, maker_id, anew=bool(country_moved))
    return changed


def _is_possible(plan: Plan, maker_id: int, item: Merged, wanted: dict[str, str]) -> bool:
    terms = plan.snapshot.maker(maker_id)
    country = wanted.get("country", terms.on("country", date.max))
    subdivision = wanted.get("subdivision", terms.on("subdivision", date.max))
    fine = True
    if wanted.get("country") and not known_country(country):
        place = item.places["country"]
        plan.error(place, "country", country, "the holidays of this country are not known", "Write it like US.")
        fine = False
    elif subdivision and not (country and known_subdivision(country, subdivision)):
        place = item.places.get("subdivision", item.place)
        what = f"the holidays of this part of {country} are not known" if country else "it needs its country"
        plan.error(place, "subdivision", subdivision, what, "Write it as in ISO 3166-2 without the country, like IL.")
        fine = False
    opens = wanted.get("opens", terms.on("opens", date.max))
    closes = wanted.get("closes", terms.on("closes", date.max))
    try:
        check_hours(parse_hour(opens), parse_hour(closes))
    except ValueError:
        place = item.places.get("closes", item.places.get("opens", item.place))
        what = f"the office would close at {closes} but open at {opens}"
        plan.error(place, "closes", item.values.get("closes"), what, "Correct one of the two hours.")
        fine = False
    return fine


def note_holidays(plan: Plan, maker_id: int, *, anew: bool = False) -> None:
    """Notes a maker's public holidays from last year on to three years ahead, where they are not noted yet."""
    terms = plan.snapshot.maker(maker_id)
    country = terms.on("country", date.max)
    noted = plan.snapshot.closed_days.setdefault((maker_id, "holiday"), set())
    if anew and noted:
        noted.clear()
        plan.forgotten_holidays.append(maker_id)
        plan.note_changed_terms(maker_id)
    if not country:
        return
    years = set(range(plan.today.year - 1, plan.today.year + 4)) - {int(day[:4]) for day in noted}
    if not years:
        return
    for day, name in public_holidays(country, terms.on("subdivision", date.max) or None, years).items():
        noted.add(day.isoformat())
        plan.add(models.ClosedDay, maker_id=maker_id, day=day.isoformat(), source="holiday", name=name)
    plan.note_changed_terms(maker_id)
