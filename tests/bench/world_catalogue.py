"""The invented house, makers, people and checklists of a benchmark desk: each row follows from its number alone."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

Row = dict[str, object]

ANCHOR = datetime.date(2026, 6, 15)
TEAMS_IN_A_LEAGUE = 60
_ZONES = (
    ("America/Chicago", "US", "IL"),
    ("America/New_York", "US", "NY"),
    ("Europe/Stockholm", "SE", ""),
    ("Asia/Tokyo", "JP", ""),
    ("America/Los_Angeles", "US", "CA"),
    ("Europe/Berlin", "DE", "BE"),
)
_POLICIES = ("ask_first", "accepts", "unknown", "refuses")
_FIRST_NAMES = (
    *(
        "Adela",
        "Bram",
        "Corin",
        "Dagny",
        "Edda",
        "Florian",
        "Greta",
        "Hollis",
        "Imke",
        "Jarek",
        "Kaia",
        "Linus",
        "Mirela",
    ),
    *(
        "Nils",
        "Orla",
        "Pascoe",
        "Quilla",
        "Rurik",
        "Sabela",
        "Tiago",
        "Una",
        "Viggo",
        "Wilmet",
        "Xaver",
        "Ysolde",
        "Zeno",
    ),
    *(
        "Anouk",
        "Bodil",
        "Caspian",
        "Delphine",
        "Emrys",
        "Fenna",
        "Gaspard",
        "Hedda",
        "Ines",
        "Jorin",
        "Kersti",
        "Lasse",
    ),
    *("Márta", "Noé"),
)
_ONSETS = (
    *("Brin", "Cal", "Dor", "Els", "Fen", "Gar", "Hol", "Ing", "Jas", "Kel"),
    *("Lor", "Mar", "Nor", "Os", "Pel", "Quar", "Ras", "Sel", "Tarn", "Ul"),
)
_MIDDLES = (
    *("da", "de", "di", "do", "dra", "dri", "bo", "be", "ga", "go"),
    *("la", "le", "lo", "ma", "mo", "ra", "ro", "sa", "ta", "vo"),
)
_ENDINGS = (
    *("beck", "combe", "crest", "dale", "fell", "ford", "gate", "grave", "ham", "holt"),
    *("land", "mere", "moor", "quist", "ridge", "stead", "thorn", "vale", "wick", "worth"),
)
_NICKNAMES = ("Lamplighters", "Ferrymen", "Millwrights", "Sawyers", "Tinkers", "Beacons", "Stoats")
_SURNAMES = len(_ONSETS) * len(_MIDDLES) * len(_ENDINGS)
VARIATIONS = (("", ""), ("Silver", "99"), ("Blue", "50"), ("Gold", "10"), ("Ruby", "25"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How much of everything; the breaks lie evenly over the years before the anchor day."""

    claims: int = 100_000
    participants: int = 10_000
    breaks: int = 400
    makers: int = 12
    products: int = 40
    cards: int = 2_000
    years: int = 6
    seed: int = 1
    anchor: datetime.date = ANCHOR


def person_name(number: int) -> str:
    """The invented name with this number; all names up to 320,000 differ."""
    if not 0 <= number < _SURNAMES * len(_FIRST_NAMES):
        raise ValueError(f"There is no invented name number {number}.")
    first = _FIRST_NAMES[(number // _SURNAMES + number) % len(_FIRST_NAMES)]
    place = number * 3_571 % _SURNAMES
    place, ending = divmod(place, len(_ENDINGS))
    onset, middle = divmod(place, len(_MIDDLES))
    return f"{first} {_ONSETS[onset]}{_MIDDLES[middle]}{_ENDINGS[ending]}"


def maker_name(number: int) -> str:
    """The invented maker with this number."""
    return f"{person_name(number * 37 + 11).split()[1]} Card Works {number + 1}"


def product_name(number: int) -> str:
    """The invented product with this number."""
    return f"Release {number + 1:02d} Autograph Hobby"


def team_name(number: int) -> str:
    """The invented team with this number, 0 to 59, the same in every product."""
    return f"{person_name(number * 131 + 5).split()[1]} {_NICKNAMES[number % len(_NICKNAMES)]}"


def card(size: Size, product: int, number: int) -> Row:
    """The checklist row of a product's card with this number, from 0."""
    subject, variation = divmod(number, len(VARIATIONS))
    word, run = VARIATIONS[variation]
    return {
        "product": product_name(product),
        "maker": maker_name(product % size.makers),
        "card": f"SG-{subject + 1}",
        "subject": person_name(100_000 + product % 4 * 5_000 + subject),
        "team": team_name(subject % TEAMS_IN_A_LEAGUE),
        "variation": word,
        "numbered_to": run,
        "features": "auto" if subject % 3 else "auto;rookie",
    }


def house(size: Size) -> Iterator[Row]:
    """The one row of the house."""
    yield {
        "house": "Juniper Kettle Breaks",
        "zone": "America/Denver",
        "currency": "USD",
        "country": "US",
        "submit_within_days": 3,
        "tell_urgent_within_days": 1,
        "tell_routine_within_days": 3,
        "update_every_days": 60,
    }


def makers(size: Size) -> Iterator[Row]:
    """One row a maker; zones, hours and policies go round."""
    for number in range(size.makers):
        zone, country, subdivision = _ZONES[number % len(_ZONES)]
        yield {
            "maker": maker_name(number),
            "zone": zone,
            "country": country,
            "subdivision": subdivision,
            "opens": ("09:00", "08:30", "10:00")[number % 3],
            "closes": ("17:00", "16:00")[number % 2],
            "closed_days": (size.anchor + datetime.timedelta(days=20 + number)).isoformat(),
            "ask_after_months": 3 + number % 4,
            "ask_every_days": 30 + number % 3 * 15,
            "expired_policy": _POLICIES[number % 4],
            "contact": f"claims{number + 1}@makers.example",
        }


def participants(size: Size) -> Iterator[Row]:
    """One row a participant; every ninth address is old, every thirty-first was never confirmed."""
    for number in range(size.participants):
        name = person_name(number)
        confirmed = size.anchor - datetime.timedelta(days=number % 80 + (60 if number % 9 == 0 else 0))
        yield {
            "participant": name,
            "handle": f"{name.split()[1].lower()}{number}",
            "on_air_name": f"{name.split()[0]} {number}",
            "email": f"customer{number}@mail.example",
            "phone": "",
            "channel": ("email", "chat", "text")[number % 3],
            "zone": "America/Denver",
            "language": "en",
            "address": f"{number + 1} Tin Whistle Lane, Gannet Falls",
            "address_country": ("US", "US", "US", "CA", "DE")[number % 5],
            "address_confirmed_on": "" if number % 31 == 0 else confirmed.isoformat(),
        }


def checklist(size: Size, product: int) -> Iterator[Row]:
    """One row a card of the product."""
    return (card(size, product, number) for number in range(size.cards))
