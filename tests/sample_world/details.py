"""What else stands on a claim: code, reference, account, serial, value, tracking, the kind of damage."""

from __future__ import annotations

import random

from .claims import PERSON_BY_NAME, Claim
from .products import MAKERS

_CODE_WORDS = (
    *("mossbank", "ladle", "heron", "quartz", "bramble", "copper", "tansy"),
    *("willow", "fennel", "sorrel", "thimble", "pebble", "lantern", "otter"),
)
_DAMAGE = ("Crease across the signature.", "Surface scratched under the sleeve.", "+1 card stuck to it, both torn.")
_SHORTAGE = ("Box held 2 of 3 promised hits.", "One signed card fewer than the box says.")


def add_details(claim: Claim, number: int, chance: random.Random) -> None:
    """Fill in what does not depend on other claims; `number` is the claim's place and makes codes unique."""
    maker = MAKERS[claim.card.product.maker]
    if not claim.kind and number % 19 != 7:
        first, second = _CODE_WORDS[number % 14], _CODE_WORDS[(number * 5 + 3) % 14]
        claim.code = f"{first}-{1000 + number * 37}-{second}"
    if claim.submitted_age is not None:
        claim.reference = maker.reference.format(2207 + number * 13)
        claim.account = ("main", "counter")[number % 5 == 0] if claim.card.product.maker == "Q" else ""
    if claim.arrived_age is not None and claim.card.numbered_to and not claim.serial:
        claim.serial = str(chance.randint(1, int(claim.card.numbered_to)))
    if claim.shipped_age is not None:
        # What goes to one person on one day is one parcel.
        place = list(PERSON_BY_NAME).index(claim.person)
        claim.tracking = f"KT{claim.shipped_age:03d}{place:02d}JK"
    _value(claim, number, chance, maker.currency)
    if claim.kind and not claim.note:
        claim.note = chance.choice(_DAMAGE if claim.kind == "damage" else _SHORTAGE)


def _value(claim: Claim, number: int, chance: random.Random, currency: str) -> None:
    low, high = (60, 240) if "patch" in claim.card.features else (90, 380) if ";" in claim.card.subject else (12, 70)
    amount = chance.randint(low, high) * (3 if claim.card.numbered_to in {"10", "15", "18"} else 1)
    in_house_currency = currency == "USD" or number % 3 == 0
    if number % 4 != 2:
        claim.value = f"{amount}.{chance.choice(('00', '00', '50'))}" + (" USD" if number % 6 == 0 else "")
        if not in_house_currency:
            claim.value = f"{amount}.00 {currency}"
    if claim.closed_how in {"refunded", "credited", "bought_out", "replaced"}:
        claim.closed_amount = f"{amount + 5}.00" + ("" if in_house_currency else f" {currency}")
