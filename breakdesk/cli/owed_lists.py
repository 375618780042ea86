"""What is owed, as text: everybody in one table, or one participant with every claim."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from breakdesk.cli.output import say, say_fields, say_table
from breakdesk.cli.wording import day_words, value_words, weekday_words
from breakdesk.desk.answering import PersonView, person_view
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS
from breakdesk.desk.settling import amount_words
from breakdesk.desk.viewing import owed, product_names
from breakdesk.rules.claim import Claim
from breakdesk.rules.debts import SIDES, debts_of
from breakdesk.rules.money import Money, total
from breakdesk.rules.names import folded
from breakdesk.rules.owed import Owed
from breakdesk.rules.parties import House
from breakdesk.rules.wording import age_words, counted
from breakdesk.store.parties import read_house

SEVERAL = "several or nobody yet"


def owed_to(desk: Desk, who: str | None) -> tuple[Owed, ...]:
    """What is owed to everybody, to one participant, or to the house itself."""
    if who is None:
        return owed(desk)
    if folded(who) in ("house", folded(read_house().name)):
        house = read_house().name
        return tuple(item for item in owed(desk) if item.person_id is None and item.participant == house)
    from breakdesk.cli.named import person_id

    key = person_id(desk, who, beginning_is_enough=True)
    return owed(desk, key) or (Owed(participant=_name(desk, key), person_id=key, value={}, no_value=0, claims=()),)


def _name(desk: Desk, key: int) -> str:
    from breakdesk.cli.named import person_name

    return person_name(desk, key)


def say_owed(desk: Desk, found: Sequence[Owed]) -> None:
    """Prints one line a participant and the totals of the house's two debts."""
    house = read_house()
    today = house.today(desk.clock.as_of())
    say(f"{house.name}, {weekday_words(today)}")
    say()
    rows = []
    for item in found:
        oldest = max((line.age for line in item.claims), key=lambda age: age.days)
        tellings = [line.next_tell for line in item.claims if line.next_tell]
        rows.append(
            (
                item.participant or SEVERAL,
                str(len(item.claims)),
                value_words(item.value, item.no_value),
                age_words(oldest),
                weekday_words(min(tellings)) if tellings else "",
            )
        )
    if not rows:
        say("Nothing is owed to anybody.")
        return
    say_table(("participant", "claims", "value", "oldest", "next telling"), rows, right=(1,))
    say()
    _say_totals(house, today, found)


def _say_totals(house: House, day: date, found: Sequence[Owed]) -> None:
    claims = [line.claim for item in found for line in item.claims]
    debts = [debt for claim in claims for debt in debts_of(claim) if debt.owed_at_end_of(day)]
    to_people, from_makers = ([debt.claim for debt in debts if debt.side == side] for side in SIDES)
    say(f"{house.name} owes people: {_total(to_people)}.")
    say(f"Makers owe {house.name}: {_total(from_makers)}.")


def _total(claims: Sequence[Claim]) -> str:
    valued = [Money(claim.value, claim.currency) for claim in claims if claim.value is not None and claim.currency]
    words = value_words(total(valued), len(claims) - len(valued))
    return f"{counted(len(claims), 'claim')}, {words}" if words else counted(len(claims), "claim")


def say_owed_by_one(desk: Desk, found: Sequence[Owed]) -> None:
    """Prints everything about one participant, or what is the house's own."""
    for item in found:
        say(item.participant or SEVERAL)
        view = None if item.person_id is None else person_view(desk, item.person_id)
        if view is not None:
            _say_person(view, item, read_house().today(desk.clock.as_of()))
        say()
        _say_claims(item)


def _say_person(view: PersonView, item: Owed, day: date) -> None:
    told = [line.claim.last_told_on for line in item.claims if line.claim.last_told_on]
    if view.last_told_on is not None and view.last_told_on <= day:
        told.append(view.last_told_on)
    tellings = [line.next_tell for line in item.claims if line.next_tell]
    say_fields(
        (
            ("handle", view.handle),
            ("on air", view.on_air_name),
            ("channel", view.channel),
            ("address", "confirmed" if view.address_confirmed else "to be confirmed"),
            ("last told", weekday_words(max(told, default=None)) or "never"),
            ("next telling", weekday_words(min(tellings, default=None))),
            ("when offered", view.wish),
            ("on hold", "yes: nothing goes out" if view.on_hold else ""),
            *((f"promise {key}", f"{weekday_words(due)}: {text}") for key, due, text in view.promises),
        )
    )


def _say_claims(item: Owed) -> None:
    if not item.claims:
        say("Nothing is owed.")
        return
    products = product_names([line.claim for line in item.claims])
    rows = []
    for line in item.claims:
        claim = line.claim
        hold = ", on hold" if claim.on_hold else ""
        rows.append(
            (
                claim.tag,
                what_of(claim),
                products.get(claim.product_id or 0, ""),
                f"{STATE_WORDS[claim.state]}{hold}",
                age_words(line.age),
                day_words(claim.last_told_on) or "never",
                amount_words(claim.value, claim.currency) or "no value",
            )
        )
    say_table(("tag", "card", "product", "state", "age", "last told", "value"), rows, right=(6,))
    say()
    words = value_words(item.value, item.no_value)
    say(f"{counted(len(item.claims), 'claim')}, {words}." if words else f"{counted(len(item.claims), 'claim')}.")
