"""The house, the four makers and the eight products with their checklists."""

from __future__ import annotations

from dataclasses import dataclass

from .leagues import players

HOUSE: dict[str, str] = {
    "house": "Juniper Kettle Breaks",
    "zone": "America/Denver",
    "currency": "USD",
    "country": "US",
    "submit_within_days": "3",
    "tell_urgent_within_days": "1",
    "tell_routine_within_days": "3",
    "update_every_days": "60",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """A maker's terms; `closed_in` are days from the anchor day on which the office is shut besides public holidays."""

    name: str
    zone: str
    country: str
    subdivision: str
    opens: str
    closes: str
    closed_in: tuple[int, ...]
    months: int
    every: int
    expired_policy: str
    contact: str
    reference: str
    currency: str


MAKERS: dict[str, Maker] = {
    "Q": Maker(
        name="Quarrowby Card Works",
        zone="America/Chicago",
        country="US",
        subdivision="IL",
        opens="09:00",
        closes="17:00",
        closed_in=(-172, 18, 193),
        months=4,
        every=30,
        expired_policy="ask_first",
        contact="claims@quarrowby.example",
        reference="QW-{:05d}",
        currency="USD",
    ),
    "P": Maker(
        name="Pellwether Issue",
        zone="America/New_York",
        country="US",
        subdivision="PA",
        opens="10:00",
        closes="16:00",
        closed_in=(-31, 17),
        months=6,
        every=45,
        expired_policy="refuses",
        contact="https://desk.pellwether.example/claims",
        reference="PI {:06d}",
        currency="USD",
    ),
    "I": Maker(
        name="Ildefors Kortverk",
        zone="Europe/Stockholm",
        country="SE",
        subdivision="",
        opens="08:00",
        closes="16:30",
        closed_in=(21, 22, 23, 24, 25),
        months=5,
        every=30,
        expired_policy="accepts",
        contact="kundvård@ildefors.example",
        reference="IK/{:05d}/S",
        currency="EUR",
    ),
    "N": Maker(
        name="Nagisora Card Company",
        zone="Asia/Tokyo",
        country="JP",
        subdivision="",
        opens="10:00",
        closes="18:00",
        closed_in=(58, 59, 60),
        months=3,
        every=60,
        expired_policy="unknown",
        contact="exchange@nagisora.example",
        reference="N{:04d}-渚",
        currency="USD",
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One release: how many players sign, in which variations, and how many patch and two-player cards there are."""

    code: str
    name: str
    maker: str
    sport: str
    first_player: int
    signers: int
    variations: tuple[tuple[str, str], ...]
    patches: int
    duals: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One line of a checklist; two-player cards hold subjects and teams joined by `;`."""

    product: Product
    card: str
    subject: str
    team: str
    variation: str
    numbered_to: str
    features: str


def _product(
    code: str, name: str, sport: str, players_from: int, signers: int, variations: str, patches: int, duals: int
) -> Product:
    pairs = [text.split("/") for text in variations.split(",")]
    return Product(
        code=code,
        name=name,
        maker=code[0],
        sport=sport,
        first_player=players_from,
        signers=signers,
        variations=tuple((word, run) for word, run in pairs),
        patches=patches,
        duals=duals,
    )


PRODUCTS: dict[str, Product] = {
    product.code: product
    for product in (
        _product(
            "QB", "Quarrowby 2025-26 Basketball Autograph Hobby", "basketball", 0, 26, "/,Silver/75,Gold/10", 12, 8
        ),
        _product("QD", "Quarrowby 2025 Baseball Hobby", "baseball", 0, 22, "/199,Blue/50,Gold/10", 10, 6),
        _product("PI", "Pellwether 2025-26 Hockey Premium Box", "hockey", 0, 24, "/99,Ruby/25", 12, 6),
        _product("PD", "Pellwether 2025 Baseball Rookie Jumbo", "baseball", 8, 20, "/,Foil/99", 6, 4),
        _product("IS", "Ildefors 2025-26 Soccer Signatures", "soccer", 0, 30, "/,Midnight/40,Rose/15", 8, 6),
        _product("IH", "Ildefors 2024-25 Hockey Rookie Edition", "hockey", 6, 20, "/,Frost/60", 4, 4),
        _product("NS", "Nagisora 2025 Soccer Deluxe Pack", "soccer", 4, 16, "/88,Indigo/18", 6, 2),
        _product("NB", "Nagisora 2025-26 Basketball Patch Box", "basketball", 4, 20, "/,Vermilion/30", 14, 4),
    )
}


def checklist(product: Product) -> list[Card]:
    """The product's cards in checklist order: signed cards by variation, patch cards, two-player cards."""
    league = players(product.sport)
    signers = [league[(product.first_player + place) % len(league)] for place in range(product.signers)]
    rows: list[tuple[str, str, str, str, str, str]] = []
    for number, (subject, team) in enumerate(signers, 1):
        rookie = "auto;rookie" if number % 3 == 0 else "auto"
        rows.extend((f"SG-{number}", subject, team, word, run, rookie) for word, run in product.variations)
    for number, (subject, team) in enumerate(signers[-product.patches :], 1):
        rows.append((f"SP-{number}", subject, team, "", "49", "auto;patch"))
    for number in range(1, product.duals + 1):
        first, second = signers[number - 1], signers[-number - 1]
        teams = ";".join(dict.fromkeys((first[1], second[1])))
        rows.append((f"TS-{number}", f"{first[0]};{second[0]}", teams, "", "25", "auto"))
    return [
        Card(product=product, card=card, subject=who, team=team, variation=word, numbered_to=run, features=features)
        for card, who, team, word, run, features in rows
    ]
