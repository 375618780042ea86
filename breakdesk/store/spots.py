"""Reads what a card that was just pulled is held against: the spots of a break, its products, a product's maker.

Plain statements: each claim that is written down on camera reads them, and built ones take ten times as long.
"""

from __future__ import annotations

from breakdesk.rules.break_facts import Spot
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
            holds=tuple(part.strip() for part in holds.split(";") if part.strip()),
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
