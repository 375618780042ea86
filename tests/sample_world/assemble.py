"""Puts the sample's claims together: cards, days, details, tellings."""

from __future__ import annotations

import datetime
import random

from .claims import Claim, Picker
from .details import add_details
from .stories import live
from .tellings import tell_all
from .wishes import WISHES

# What is hardest to find a card for is picked first.
_HARDEST_FIRST = {"several": 0, "nobody": 0, "house": 1, "stale": 2, "far": 2, "near": 3, "fresh": 3, "one": 4}


def all_claims() -> list[Claim]:
    """The 180 claims in the order of their pulls; always the same."""
    chance = random.Random(615)
    picker = Picker(chance)
    wishes = sorted(WISHES, key=lambda wish: (_HARDEST_FIRST[wish.owner], wish.from_age != wish.to_age))
    claims = [picker.claim(wish) for wish in wishes for _ in range(wish.count)]
    for claim in claims:
        live(claim, chance)
    claims.sort(key=lambda claim: (-claim.pulled_age, claim.pulled_time or datetime.time(), claim.card.card))
    for number, claim in enumerate(claims):
        add_details(claim, number, chance)
    tell_all(claims, chance)
    return claims
