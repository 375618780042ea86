"""The year sheet: what was owed when the year began, what came, what went and how, and what it cost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from breakdesk.rules.claim import Claim
from breakdesk.rules.debts import Debt
from breakdesk.rules.money import Money, total
from breakdesk.rules.totals import Line, Movement, movement

PAID_IN_CASH: Final = ("refunded", "bought_out")
"""Ways to settle in which money leaves the house; a credit does not."""


@dataclass(frozen=True, slots=True)
class Payment:
    """Money about some claims: a refund, a buy-out, a credit, or the postage of a parcel."""

    tags: tuple[str, ...]
    day: date
    money: Money | None
    """None where no amount was written down."""


@dataclass(frozen=True, slots=True)
class MoneyLine:
    """Payments under one name: their sum by currency, and how many have no amount."""

    name: str
    payments: tuple[Payment, ...]

    @property
    def sums(self) -> dict[str, int]:
        """Minor units by currency."""
        return total(payment.money for payment in self.payments if payment.money is not None)

    @property
    def without_amount(self) -> int:
        """How many have no amount; they are never taken for 0."""
        return sum(payment.money is None for payment in self.payments)


@dataclass(frozen=True, slots=True, kw_only=True)
class YearSheet:
    """One calendar year of the house; the present year goes as far as `last`.

    Values are those that the claims have now. `held` are cards that the house bought out and still owns at the end,
    here or with the maker; a claim that was bought out with its card here is closed, and its card followed no further.
    """

    year: int
    last: date
    house: Movement
    makers: Movement
    cash_paid: MoneyLine
    credited: MoneyLine
    postage: MoneyLine
    bought_out: Line
    held: Line


def year_sheet(claims: Iterable[Claim], debts: Sequence[Debt], postage: Iterable[Payment], last: date) -> YearSheet:
    """The sheet of the year in which `last` lies, up to the end of that day."""
    first = date(last.year, 1, 1)
    claims = list(claims)
    bought = [(day, claim) for claim in claims if (day := _bought_out_on(claim)) is not None and day <= last]
    paid = [(how, payment) for claim in claims for how, payment in _payments(claim) if first <= payment.day <= last]
    return YearSheet(
        year=last.year,
        last=last,
        house=movement(debts, "house", first, last),
        makers=movement(debts, "makers", first, last),
        cash_paid=MoneyLine("cash paid out", tuple(payment for how, payment in paid if how in PAID_IN_CASH)),
        credited=MoneyLine("credited", tuple(payment for how, payment in paid if how == "credited")),
        postage=MoneyLine("postage", tuple(payment for payment in postage if first <= payment.day <= last)),
        bought_out=Line("bought out", tuple(claim for day, claim in bought if first <= day)),
        held=Line("bought out and held", tuple(claim for _, claim in bought if _is_held(claim, last))),
    )


def _bought_out_on(claim: Claim) -> date | None:
    """The day on which a card became the house's for money: while it was awaited, or once it was here."""
    if claim.settled_how == "bought_out":
        return claim.settled_on
    was_here = claim.state == "closed" and claim.closed_how == "bought_out" and claim.in_hand_on is not None
    return claim.closed_on if was_here else None


def _is_held(claim: Claim, last: date) -> bool:
    """A card that was given away again, was refused or is closed is not held any more."""
    ends = [claim.closed_on] if claim.state == "closed" else []
    if claim.state == "void":
        ends.append(claim.last_event_on)
    if claim.state == "refused":
        ends.append(claim.refused_on)
    if claim.owner_kind != "house":
        ends.append(claim.owner_since)
    return all(day is None or day > last for day in ends)


def _payments(claim: Claim) -> Iterable[tuple[str, Payment]]:
    settled = (claim.settled_how, claim.settled_amount, claim.settled_currency)
    if claim.settled_on is not None and claim.settled_how is not None:
        yield claim.settled_how, _payment(claim, claim.settled_on, claim.settled_amount, claim.settled_currency)
    closed = (claim.closed_how, claim.closed_amount, claim.closed_currency)
    # A settled claim that the maker then refused is closed by the same settlement.
    if claim.state == "closed" and claim.closed_on is not None and claim.closed_how is not None and closed != settled:
        yield claim.closed_how, _payment(claim, claim.closed_on, claim.closed_amount, claim.closed_currency)


def _payment(claim: Claim, day: date, amount: int | None, currency: str | None) -> Payment:
    money = None if amount is None or currency is None else Money(amount, currency)
    return Payment((claim.tag,), day, money)
