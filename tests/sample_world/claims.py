"""Claims to be, and the picker that finds a card and an owner for every wish."""

from __future__ import annotations

import datetime
import random
from dataclasses import dataclass

from .nights import Night, initial, nights
from .people import PEOPLE, Person
from .products import PRODUCTS, Card, checklist
from .wishes import Wish

STALE_AFTER_DAYS = 90
_HOME = "US"
PERSON_BY_NAME: dict[str, Person] = {person.name: person for person in PEOPLE}
STALE = {person.name for person in PEOPLE if person.confirmed is None or person.confirmed > STALE_AFTER_DAYS}


@dataclass(slots=True, kw_only=True)
class Claim:
    """One claim to be; every `…_age` is in days before the anchor day, None where it has not happened."""

    case: str
    card: Card
    night: Night | None
    owners: set[str]
    kind: str
    pulled_age: int
    pulled_time: datetime.time | None = None
    named: bool = True
    account: str = ""
    serial: str = ""
    code: str = ""
    expires_age: int | None = None
    value: str = ""
    plan: str = ""
    submitted_age: int | None = None
    reference: str = ""
    asked_age: int | None = None
    told_age: int | None = None
    arrived_age: int | None = None
    shipped_age: int | None = None
    tracking: str = ""
    closed_age: int | None = None
    closed_how: str = ""
    closed_amount: str = ""
    fault: str = ""
    refused_age: int | None = None
    seen: bool = False
    note: str = ""

    @property
    def person(self) -> str:
        """The one participant it is (or was) owed to, "" for the house, several or nobody."""
        return next(iter(self.owners)) if len(self.owners) == 1 else ""


class Picker:
    """Hands out cards that fit a wish, none of them twice."""

    def __init__(self, chance: random.Random) -> None:
        self._chance = chance
        self._nights = nights()
        self._used: set[tuple[str, str, str]] = set()
        self._counts: dict[str, int] = {}

    def claim(self, wish: Wish) -> Claim:
        """A claim on a card that was not picked before. Raises LookupError where no card fits."""
        if wish.from_age is None:
            return self._bought_elsewhere(wish)
        found = [
            (night, card, serial, owners)
            for night in self._nights
            if wish.from_age <= night.age <= wish.to_age
            for card in self._cards(night.products, wish.maker)
            for serial in [self._serial(night, card, wish)]
            for owners in self._owners(night, card, serial, wish)
        ]
        if not found:
            raise LookupError(f"No card is left for {wish}.")
        night, card, serial, owners = self._chance.choices(found, [self._weight(one[3]) for one in found])[0]
        for name in owners:
            self._counts[name] = self._counts.get(name, 0) + 1
        self._take(card)
        claim = Claim(
            case=wish.case,
            card=card,
            night=night,
            owners=owners,
            kind=wish.kind,
            pulled_age=night.age,
            serial=serial,
            named=night.owners(card, serial) is None or self._chance.random() < 0.8,
        )
        self._set_time(claim, night)
        return claim

    def _bought_elsewhere(self, wish: Wish) -> Claim:
        codes = [code for code in PRODUCTS if code[0] == wish.maker]
        card = self._chance.choice(self._cards(tuple(codes), wish.maker))
        self._take(card)
        fitting = [person.name for person in PEOPLE[20:50] if person.name not in STALE]
        owner = "" if wish.owner == "house" else self._chance.choice(fitting)
        self._counts[owner] = self._counts.get(owner, 0) + 1
        return Claim(case=wish.case, card=card, night=None, owners={owner}, kind=wish.kind, pulled_age=wish.to_age)

    def _weight(self, owners: set[str]) -> float:
        # The first dozen customers own much, as in a real house; the others come sooner while they have nothing.
        favourite = owners & {person.name for person in PEOPLE[:12]}
        count = sum(self._counts.get(name, 0) for name in owners)
        return 0.8 / (1 + count * 0.25) if favourite else 1 / (1 + count)

    def _cards(self, codes: tuple[str, ...], maker: str) -> list[Card]:
        return [
            card
            for code in codes
            if code[0] == maker
            for card in checklist(PRODUCTS[code])
            if (code, card.card, card.variation) not in self._used
        ]

    def _take(self, card: Card) -> None:
        self._used.add((card.product.code, card.card, card.variation))

    def _serial(self, night: Night, card: Card, wish: Wish) -> str:
        if night.format != "serial" or wish.owner == "nobody" or not card.numbered_to:
            return ""
        return str(self._chance.randint(1, int(card.numbered_to)))

    def _owners(self, night: Night, card: Card, serial: str, wish: Wish) -> list[set[str]]:
        if night.format == "serial" and not serial:
            return [set()] if wish.owner == "nobody" and card.numbered_to else []
        if night.format == "letter" and not _plain_letters(night, card):
            return []
        owners = night.owners(card, serial)
        if owners is None:
            candidates = [{spot.buyers[0]} for spot in night.spots if spot.buyers]
            return [owner for owner in candidates if _fits(owner, wish.owner)]
        return [owners] if _fits(owners, wish.owner) else []

    def _set_time(self, claim: Claim, night: Night) -> None:
        if night.age > 300 and self._chance.random() < 0.2:
            return
        start = datetime.datetime.combine(datetime.date(2000, 1, 3), night.starts)
        late = start + datetime.timedelta(seconds=self._chance.randrange(400, 11_000))
        claim.pulled_time = late.time()
        # A break that runs past midnight: the pull has the next date, the night stays the day on which it began.
        claim.pulled_age -= (late.date() - start.date()).days


def _plain_letters(night: Night, card: Card) -> bool:
    return all(initial(subject) for subject in card.subject.split(";"))


def _fits(owners: set[str], wanted: str) -> bool:
    if wanted == "house":
        return owners == {""}
    if wanted == "several":
        return len(owners) > 1 and "" not in owners
    if len(owners) != 1 or owners == {""}:
        return False
    person = PERSON_BY_NAME[next(iter(owners))]
    return {
        "one": True,
        "near": person.country == _HOME,
        "far": person.country != _HOME,
        "fresh": person.name not in STALE,
        "stale": person.name in STALE,
    }.get(wanted, False)
