"""The breaks of a benchmark desk, their spots and their claims, made one break at a time so that memory stays flat."""

from __future__ import annotations

import datetime
import random
from collections.abc import Iterator
from dataclasses import dataclass

from world_catalogue import TEAMS_IN_A_LEAGUE, VARIATIONS, Row, Size, card, person_name, product_name, team_name

from breakdesk.rules.tags import make_tag

SPOTS_IN_A_BREAK = 60
_FORMATS = ("team", "team", "serial", "team", "box", "team", "letter", "team", "player", "hit_draft", "personal")


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One break: who bought the spot with which text, in the order of the spots."""

    name: str
    day: datetime.date
    format: str
    product: int
    buyers: dict[str, int | None]


def night(size: Size, number: int) -> Night:
    """The break with this number, oldest first; always the same for the same size."""
    chance = random.Random(size.seed * 1_000_003 + number)
    age = round((size.breaks - 1 - number) * size.years * 365.25 / size.breaks)
    product, form = number % size.products, _FORMATS[number % len(_FORMATS)]
    buyers: dict[str, int | None] = {}
    for text in _spot_texts(size, product, form):
        # Regulars buy at every break, most people now and then; one spot in twelve stays unsold.
        regular = chance.random() < 0.3
        someone = chance.randrange(max(size.participants // 50, 1) if regular else size.participants)
        buyers[text] = None if chance.random() < 1 / 12 else someone
    return Night(
        name=f"Night {number + 1:05d}",
        day=size.anchor - datetime.timedelta(days=age),
        format=form,
        product=product,
        buyers=buyers,
    )


def _spot_texts(size: Size, product: int, form: str) -> list[str]:
    if form == "team":
        return [team_name(number) for number in range(TEAMS_IN_A_LEAGUE)]
    if form == "player":
        subjects = range(0, min(size.cards, SPOTS_IN_A_BREAK * len(VARIATIONS)), len(VARIATIONS))
        return [str(card(size, product, number)["subject"]) for number in subjects]
    if form == "letter":
        return list("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    if form == "serial":
        return list("0123456789")
    return [str(number) for number in range(1, SPOTS_IN_A_BREAK + 1)]


def spots(size: Size) -> Iterator[Row]:
    """One row a spot of every break."""
    for number in range(size.breaks):
        one = night(size, number)
        for place, (text, buyer) in enumerate(one.buyers.items()):
            yield {
                "break": one.name,
                "product": product_name(one.product),
                "starts_at": f"{one.day}T19:00",
                "format": one.format,
                "spot": text,
                "participant": "" if buyer is None else person_name(buyer),
                "order": "" if buyer is None else f"K{number:05d}{place:03d}",
                "price_paid": "" if buyer is None else f"{20 + place % 60}.00",
            }


def claims(size: Size) -> Iterator[Row]:
    """One row a claim, break by break."""
    for number in range(size.breaks):
        one = night(size, number)
        chance = random.Random(size.seed * 1_000_003 + number + 500_009)
        first, last = size.claims * number // size.breaks, size.claims * (number + 1) // size.breaks
        for place in range(first, last):
            yield _claim(size, one, place, chance)


def _claim(size: Size, one: Night, number: int, chance: random.Random) -> Row:
    cards = min(size.cards, SPOTS_IN_A_BREAK * len(VARIATIONS)) if one.format == "player" else size.cards
    printed = card(size, one.product, chance.randrange(cards))
    if one.format == "serial" and not printed["numbered_to"]:
        printed.update(variation="Silver", numbered_to="99")
    serial = str(chance.randint(1, int(str(printed["numbered_to"])))) if one.format == "serial" else ""
    buyer = one.buyers[_spot_of(one, printed, serial, chance)]
    age = (size.anchor - one.day).days
    row: Row = {
        "tag": make_tag(number),
        "break": one.name,
        **{name: printed[name] for name in ("product", "maker")},
        "participant": "" if buyer is None else person_name(buyer),
        "kind": "redemption" if number % 40 else "damage",
        **{name: printed[name] for name in ("subject", "team", "variation", "numbered_to", "features")},
        "serial": serial,
        "code": f"ladle-{number:07d}-heron" if number % 40 and number % 17 else "",
        "expires_on": (one.day + datetime.timedelta(days=200 + number % 500)).isoformat(),
        "value": "" if number % 4 == 0 else f"{10 + number % 300}.00",
        "pulled_at": f"{one.day}T19:{10 + number % 50:02d}:{number % 60:02d}",
        **dict.fromkeys(_DAY_COLUMNS, ""),
    }
    _give_days(row, size, age, buyer, chance)
    return row


_DAY_COLUMNS = (
    *("submitted_on", "reference", "last_asked_on", "last_told_on", "in_hand_on", "shipped_on", "tracking"),
    *("closed_on", "closed_how", "closed_amount", "fault", "refused_on", "note"),
)


def _spot_of(one: Night, printed: Row, serial: str, chance: random.Random) -> str:
    if one.format == "team":
        return str(printed["team"])
    if one.format == "player":
        return str(printed["subject"])
    if one.format == "letter":
        return str(printed["subject"]).split()[1][0]
    # In a break by box, pick or personal box only the operator knows; an empty cell would mean nobody yet.
    return serial[-1] if serial else chance.choice([text for text, buyer in one.buyers.items() if buyer is not None])


def _give_days(row: Row, size: Size, age: int, buyer: int | None, chance: random.Random) -> None:
    ages: dict[str, int] = {}
    luck = chance.random()
    if age > 3 and luck > 0.002:
        ages["submitted_on"] = age - chance.randint(0, 3)
        row["reference"] = f"R-{row['tag']}"
        # The older the break, the fewer of its claims still wait: 98 in 100 of the newest, 22 in 100 of the oldest.
        if luck > 0.98 - 0.76 * age / (size.years * 365.25):
            _come_or_end(row, ages, luck, chance)
        elif luck < 0.012 and buyer is not None:
            # Bought out while the card is still to come: it waits on for the house.
            ages["closed_on"] = chance.randint(0, ages["submitted_on"])
            row.update(closed_how="bought_out", closed_amount="40.00", fault="nobody")
        elif age > 240 and chance.random() < 0.5:
            ages["last_asked_on"] = chance.randint(1, 90)
    if buyer is not None:
        _tell(ages, age, buyer)
    for column, days in ages.items():
        row[column] = (size.anchor - datetime.timedelta(days=days)).isoformat()


def _come_or_end(row: Row, ages: dict[str, int], luck: float, chance: random.Random) -> None:
    submitted = ages["submitted_on"]
    share = chance.random()
    if share < 0.03:
        ages["refused_on"] = chance.randint(0, submitted)
        row["fault"] = "maker"
        return
    arrived = submitted - min(submitted, int(chance.triangular(10, max(submitted, 30), min(120, max(submitted, 30)))))
    if share < 0.06:
        arrived = min(submitted, chance.randint(0, 20))
    ages["in_hand_on"] = arrived
    if not row["participant"]:
        if share > 0.06:
            ages["closed_on"], row["closed_how"] = arrived, "kept"
        return
    if share < 0.045:
        return
    ages["shipped_on"] = max(arrived - 3, 0)
    row["tracking"] = f"KT{row['tag']}"
    if share > 0.06:
        ages["closed_on"], row["closed_how"] = max(arrived - 8, 0), "delivered"


def _tell(ages: dict[str, int], age: int, buyer: int) -> None:
    # Everybody has a day of the last telling of their own; one in nine has heard nothing for more than sixty days.
    told = buyer * 7 % 50 + (62 if buyer % 9 == 0 else 0)
    told = max(told, ages.get("closed_on", 0))
    if told <= age:
        ages["last_told_on"] = told
