"""Reads what a card that was just pulled is held against: the spots of a break, its products and their checklists.

Plain statements: each claim that is written down on camera reads them, and built ones take ten times as long.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from breakdesk.rules.break_facts import Card, Spot
from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite

_SPOTS = """
SELECT spot.id, spot.product_id, spot.holds, spot.order_number, spot_holder.participant_id
  FROM spot LEFT JOIN spot_holder ON spot_holder.spot_id = spot.id
 WHERE spot.break_id = ? ORDER BY spot.id, spot_holder.participant_id
"""


def read_spots(database: StrictSqlite, break_id: int) -> tuple[Spot, ...]:
    """The spots of a break with those who own them; an unsold one has no owner."""
    found: dict[int, tuple[int | None, str, str, list[int]]] = {}
    for spot_id, product_id, holds, order, person_id in run(database, _SPOTS, (break_id,)):
        spot = found.setdefault(spot_id, (product_id, holds, order, []))
        if person_id is not None:
            spot[3].append(person_id)
    return tuple(
        Spot(
            id=spot_id,
            product_id=product_id,
            holds=split_words(holds),
            owners=tuple(owners),
            order=order,
        )
        for spot_id, (product_id, holds, order, owners) in found.items()
    )


def products_of_break(database: StrictSqlite, break_id: int) -> tuple[int, ...]:
    """The keys of the products that a break opens, in the order in which they were named."""
    rows = run(database, "SELECT product_id FROM break_product WHERE break_id = ? ORDER BY id", (break_id,))
    return tuple(product_id for (product_id,) in rows)


def maker_of_product(database: StrictSqlite, product_id: int) -> int | None:
    """The key of a product's maker; None where neither is known."""
    row = run(database, "SELECT maker_id FROM product WHERE id = ?", (product_id,)).fetchone()
    return None if row is None else row[0]


def split_words(text: str) -> tuple[str, ...]:
    """The parts of a text whose values are joined by `;`."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def read_checklists(database: StrictSqlite, product_ids: Iterable[int]) -> tuple[Card, ...]:
    """The cards of some products."""
    keys = tuple(product_ids)
    if not keys:
        return ()
    return tuple(_card(row) for row in run(database, f"{_CARDS} ({_places(keys)}) ORDER BY id", keys))


def read_older_checklists(database: StrictSqlite, product_ids: tuple[int, ...]) -> tuple[Card, ...]:
    """What all other products' checklists tell of players, newest first: one card for each player, team and parallel.

    Tens of thousands of cards say the same few thousand things, so that the engine sums them up.
    """
    where = f"WHERE product_id NOT IN ({_places(product_ids)})" if product_ids else ""
    return tuple(_card(row) for row in run(database, _OLDER.format(where=where), product_ids))


_CARDS = "SELECT id, product_id, card, subject, team, variation, numbered_to, features FROM card WHERE product_id IN"
_OLDER = """
SELECT MIN(id), MAX(product_id) AS newest, '', subject, team, variation, NULL, '' FROM card {where}
 GROUP BY subject, team, variation ORDER BY newest DESC, MIN(id)
"""


def _places(keys: tuple[int, ...]) -> str:
    return ", ".join("?" * len(keys))


def _card(row: tuple[Any, ...]) -> Card:
    key, product_id, number, subject, team, variation, numbered_to, features = row
    return Card(
        id=key,
        product_id=product_id,
        card=number,
        subjects=split_words(subject),
        teams=split_words(team),
        variation=variation,
        numbered_to=numbered_to,
        features=split_words(features),
    )


_STAMP = """
SELECT (SELECT MAX(id) FROM card), (SELECT MAX(id) FROM participant), (SELECT SUM(version) FROM participant),
       (SELECT SUM(version) FROM spot WHERE break_id = ?),
       (SELECT MAX(spot_holder.id) FROM spot_holder JOIN spot ON spot.id = spot_holder.spot_id WHERE spot.break_id = ?),
       (SELECT COUNT(*) FROM spot_holder JOIN spot ON spot.id = spot_holder.spot_id WHERE spot.break_id = ?)
"""


def table_stamp(database: StrictSqlite, break_id: int | None) -> tuple[int | None, ...]:
    """What differs once a checklist, a participant or a spot of a break was added or changed."""
    key = break_id or 0
    return tuple(run(database, _STAMP, (key, key, key)).fetchone())
