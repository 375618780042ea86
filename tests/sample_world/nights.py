"""The twenty-four breaks over fourteen months: what was opened, how it was sold, and who bought which spot."""

from __future__ import annotations

import datetime
import random
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field

from .leagues import TEAMS
from .people import PEOPLE
from .products import PRODUCTS, Card, checklist

# number | label | format | products | days before the anchor day | starts at | how teams are grouped
_PLAN = """
101|Hoops pick your team|team|QB|425|19:00|single
102|Ice random team|team|PI|405|19:30|pairs
103|Diamond by the box|box|QD|388|20:00|
104|Pitch by player|player|IS|369|18:30|
105|Rookie pick your team|team|PD|350|19:00|single
106|Hoops by letter|letter|QB|331|19:00|
107|Patch random team|team|NB|313|21:30|pairs
108|Ice last digit|serial|PI|294|19:00|
109|Hoops mixer|team|QB;NB|276|18:00|single
110|Pitch hit draft|hit_draft|IS|257|20:00|
111|Diamond pick your team|team|QD|239|19:00|bundles
112|Hoops personal boxes|personal|QB|220|17:00|
113|Ice personal boxes|personal|IH|201|17:30|
114|Rookie by player|player|PD|183|19:00|
115|Hoops last digit|serial|QB|164|22:15|
116|Ice mixer|team|PI;IH|146|19:00|single
117|Pitch by the box|box|NS|128|20:00|
118|Hoops pick your team|team|QB|109|19:00|bundles
119|Diamond by letter|letter|QD|91|19:00|
120|Patch hit draft|hit_draft|NB|66|20:30|
121|Pitch random team|team|IS|38|19:00|pairs
122|Diamond last digit|serial|QD|12|19:00|
123|Hoops and pitch mixer|team|QB;IS|1|18:30|single
124|Hoops pick your team|team|QB|0|19:00|single
"""

_PRICES = {"team": 55, "player": 24, "letter": 18, "box": 140, "hit_draft": 95, "serial": 60, "personal": 165}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One row of a spots file; no buyers means unsold, two mean shared."""

    products: tuple[str, ...]
    holds: tuple[str, ...]
    buyers: tuple[str, ...]
    order: str
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One break, `age` days before the anchor day."""

    number: int
    name: str
    format: str
    products: tuple[str, ...]
    age: int
    starts: datetime.time
    spots: list[Spot] = field(default_factory=list)

    def cards(self) -> list[Card]:
        """Every card that could come out of this break."""
        return [card for code in self.products for card in checklist(PRODUCTS[code])]

    def owners(self, card: Card, serial: str = "") -> set[str] | None:
        """Who owns a card: names, with "" for the house; None where only the operator or a later day can say."""
        if self.format in {"box", "hit_draft", "personal"}:
            return None
        if self.format == "serial":
            if not serial:
                return None
            wanted = {serial[-1]}
        elif self.format == "letter":
            wanted = {initial(subject) for subject in card.subject.split(";")}
        else:
            wanted = set((card.team if self.format == "team" else card.subject).split(";"))
        owners: set[str] = set()
        for spot in self.spots:
            if card.product.code in spot.products and wanted & set(spot.holds):
                owners.update(spot.buyers or ("",))
        return owners


def initial(subject: str) -> str:
    """The plain capital under which a simple surname is sold; "" where a person would have to think."""
    words = [word for word in subject.split() if word not in {"Jr.", "III", "IV"}]
    surname = unicodedata.normalize("NFD", words[-1])
    simple = len(words) == 2 and surname[0].isalpha() and not set(surname) & set("-'’")
    return surname[0].upper() if simple and surname[0].isascii() else ""


def nights() -> list[Night]:
    """All breaks with their spots, oldest first; always the same."""
    chance = random.Random(20260615)
    orders = iter(range(10417, 99999, 3))
    return [_night(line, chance, orders) for line in _PLAN.strip().splitlines()]


def _night(line: str, chance: random.Random, orders: Iterator[int]) -> Night:
    number, label, form, products, age, starts, grouping = line.split("|")
    night = Night(
        number=int(number),
        name=f"{number} {label}",
        format=form,
        products=tuple(products.split(";")),
        age=int(age),
        starts=datetime.time.fromisoformat(starts),
    )
    lots = list(_lots(night, grouping, chance))
    unsold = set(chance.sample(range(len(lots)), k=max(1, len(lots) // 9) if form != "hit_draft" else 0))
    shared = chance.choice([place for place in range(len(lots)) if place not in unsold])
    for place, (codes, holds) in enumerate(lots):
        if place in unsold:
            night.spots.append(Spot(products=codes, holds=holds, buyers=(), order="", price=0))
            continue
        buyers = _buyers(chance, 2 if place == shared and form in {"team", "serial"} and len(holds) == 1 else 1)
        # The last spot of every third break was sold, given back and sold again: its order says so.
        again = "-R" if place == len(lots) - 1 and night.number % 3 == 0 else ""
        price = _PRICES[form] * len(holds) + chance.choice((-6, -3, 0, 0, 4, 10))
        night.spots.append(
            Spot(products=codes, holds=holds, buyers=buyers, order=f"K{next(orders)}{again}", price=price)
        )
    return night


def _buyers(chance: random.Random, count: int) -> tuple[str, ...]:
    buyers: list[str] = []
    while len(buyers) < count:
        # A few people buy much and many people buy a little, as at every break.
        name = PEOPLE[min(int(chance.triangular(0, 60, 6)), 58)].name
        if name not in buyers:
            buyers.append(name)
    return tuple(buyers)


def _lots(night: Night, grouping: str, chance: random.Random) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    if night.format == "team":
        by_sport: dict[str, list[str]] = {}
        for code in night.products:
            by_sport.setdefault(PRODUCTS[code].sport, []).append(code)
        for sport, codes in by_sport.items():
            teams = list(TEAMS[sport])
            if grouping == "pairs":
                chance.shuffle(teams)
            size = {"single": 1, "pairs": 2}.get(grouping, 1)
            groups = [teams[at : at + size] for at in range(0, len(teams), size)]
            if grouping == "bundles":
                # The three teams that nobody wants alone go together in one spot.
                groups = [*([team] for team in teams[:-3]), teams[-3:]]
            for group in groups:
                yield tuple(codes), tuple(group)
        return
    if night.format == "player":
        for name in dict.fromkeys(who for card in night.cards() for who in card.subject.split(";")):
            yield night.products, (name,)
        return
    counts = {
        "letter": "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
        "serial": "0123456789",
        "box": [str(place) for place in range(1, 11)],
        "hit_draft": [str(place) for place in range(1, 9)],
        "personal": [str(place) for place in range(1, 7)],
    }
    for word in counts[night.format]:
        yield night.products, (word,)
