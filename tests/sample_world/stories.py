"""The days of each case: when a claim was submitted, asked about, came, went out, and how it ended."""

from __future__ import annotations

import random

from .claims import STALE, Claim
from .products import MAKERS


def live(claim: Claim, chance: random.Random) -> None:
    """Give the claim the days that its case calls for, youngest days last."""
    first, _, rest = claim.case.partition("_")
    _expiry(claim, chance)
    if first == "pulled":
        _pulled(claim, rest)
    elif first == "given" or claim.case == "terms":
        _never_submitted(claim, rest, chance)
    else:
        claim.submitted_age = max(claim.pulled_age - chance.choice((0, 1, 1, 2, 3)), 1)
        _BY_CASE[first](claim, rest, chance)


def _expiry(claim: Claim, chance: random.Random) -> None:
    if claim.kind:
        return
    claim.expires_age = claim.pulled_age - chance.choice((210, 300, 390, 480, 560, 730)) - chance.randrange(25)


def _pulled(claim: Claim, rest: str) -> None:
    claim.seen = rest == "seen"
    claim.plan = "give" if rest == "give" else "submit" if claim.seen else ""
    claim.expires_age = {
        "expiring": -4,
        "last_day": -1,
        "expired_since": 4,
        "too_late": claim.pulled_age + 45,
    }.get(rest, claim.expires_age)


def _never_submitted(claim: Claim, rest: str, chance: random.Random) -> None:
    if claim.case == "terms":
        claim.expires_age = claim.pulled_age + 120
        claim.closed_age, claim.closed_how, claim.fault = claim.pulled_age - 20, "terms", "nobody"
        claim.note = "Expired long before the box was opened; the break was sold under those terms."
        return
    claim.plan, claim.closed_how = "give", "given"
    if rest == "on_the_night":
        claim.closed_age = claim.pulled_age
        claim.note = "Handed over at the table."
        return
    claim.shipped_age = max(claim.pulled_age - chance.randint(4, 9), 3)
    claim.closed_age = claim.shipped_age - 2


def _waiting(claim: Claim, rest: str, chance: random.Random) -> None:
    maker = MAKERS[claim.card.product.maker]
    if rest == "asked_before":
        claim.asked_age = maker.every + chance.randint(5, 32)
    elif rest == "asked_lately":
        claim.asked_age = chance.randint(3, maker.every - 6)


def _settled(claim: Claim, rest: str, chance: random.Random) -> None:
    how, fault = {"Q": ("bought_out", "nobody"), "P": ("refunded", "maker"), "I": ("credited", "maker")}.get(
        claim.card.product.maker, ("replaced", "maker")
    )
    claim.closed_how, claim.fault = how, fault
    if rest == "arrived":
        claim.closed_age, claim.arrived_age = 74, 6
        return
    claim.closed_age = chance.randint(20, 90)


def _arrived(claim: Claim, rest: str, chance: random.Random) -> None:
    if rest in {"refunded", "bought_out"}:
        claim.arrived_age = chance.randint(95, 120)
        claim.closed_age = claim.arrived_age - 9
        claim.closed_how = rest
        claim.fault = "maker" if rest == "refunded" else "nobody"
        claim.note = "-2 corners on arrival; money back was preferred." if rest == "refunded" else "Asked for cash."
        return
    claim.arrived_age = 2 if rest == "untold" else chance.randint(3, 12)


def _shipped(claim: Claim, rest: str, chance: random.Random) -> None:
    claim.shipped_age = {"lately": chance.randint(3, 7), "unheard": 12, "unheard_abroad": 27, "untold": 2}[rest]
    claim.arrived_age = claim.shipped_age + chance.randint(3, 8)


def _delivered(claim: Claim, rest: str, chance: random.Random) -> None:
    _come(claim, chance)
    assert claim.arrived_age is not None
    claim.shipped_age = claim.arrived_age - chance.randint(2, 8)
    claim.closed_age = claim.shipped_age - chance.randint(3, 10)
    claim.closed_how = "delivered"


def _come(claim: Claim, chance: random.Random) -> None:
    assert claim.submitted_age is not None
    # Old deliveries only for people whose address is to look unconfirmed: a delivery confirms an address.
    latest = 112 if claim.owners & STALE else 24
    longest = claim.submitted_age - latest
    claim.arrived_age = claim.submitted_age - min(longest, int(chance.triangular(35, max(longest, 60), 110)))


def _refused(claim: Claim, rest: str, chance: random.Random) -> None:
    assert claim.submitted_age is not None
    claim.fault = "maker"
    if rest == "early":
        claim.refused_age = 2 if claim.card.product.maker == "N" else 5
    elif rest == "late":
        claim.refused_age = chance.choice((9, 12, 17, 26))
    else:
        claim.refused_age = max(claim.submitted_age - chance.randint(50, 90), 16)
        claim.closed_age = claim.refused_age - chance.randint(1, 6)
        claim.closed_how = rest
    claim.note = chance.choice(
        (
            "Player did not return the stickers.",
            "Maker says the card was already replaced [sic].",
            "Run is finished, nothing equal offered.",
        )
    )


def _lost(claim: Claim, rest: str, chance: random.Random) -> None:
    _come(claim, chance)
    assert claim.arrived_age is not None
    claim.shipped_age = claim.arrived_age - 4
    claim.closed_age = claim.shipped_age - 16
    claim.closed_how, claim.fault = rest, "carrier"
    claim.note = "Parcel never arrived; the same card in the next number was bought."


def _unclaimed(claim: Claim, rest: str, chance: random.Random) -> None:
    claim.arrived_age = 170
    claim.closed_age = chance.randint(20, 45)
    claim.closed_how, claim.fault = "unclaimed", "nobody"
    claim.note = "No answer to any letter in four months."


def _kept(claim: Claim, rest: str, chance: random.Random) -> None:
    _come(claim, chance)
    assert claim.arrived_age is not None
    claim.closed_age, claim.closed_how = claim.arrived_age - 1, "kept"


_BY_CASE = {
    "waiting": _waiting,
    "settled": _settled,
    "arrived": _arrived,
    "shipped": _shipped,
    "delivered": _delivered,
    "refused": _refused,
    "lost": _lost,
    "unclaimed": _unclaimed,
    "kept": _kept,
}
