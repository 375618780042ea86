"""Breaks, the spots in them and who bought those."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField, FlagField, InstantField
from breakdesk.store.models.base import Table, Versioned
from breakdesk.store.models.makers import Product
from breakdesk.store.models.people import Participant


class Break(Versioned):
    """One opening for a group. `night` is the house's date of its start."""

    id = BigAutoField()
    name = TextField()
    folded = TextField(unique=True)
    starts_at = InstantField(null=True)
    night = DayField(null=True, index=True)
    format = TextField()
    video_link = TextField(default="")
    live_at = InstantField(null=True)
    video_offset = BigIntegerField(default=0)
    video_kept_until = DayField(null=True)
    running = FlagField(default=False)
    first_pack_at = InstantField(null=True)
    ended_at = InstantField(null=True)


class BreakProduct(Table):
    """A product that a break opens."""

    id = BigAutoField()
    break_ = ForeignKeyField(Break, column_name="break_id")
    product = ForeignKeyField(Product, column_name="product_id")
    product_id: int

    class Meta:
        indexes = ((("break_", "product"), True),)


class Spot(Versioned):
    """The right to a part of what comes out. `holds` is what was bought, joined by `;`."""

    id = BigAutoField()
    break_ = ForeignKeyField(Break, column_name="break_id")
    break_id: int
    product = ForeignKeyField(Product, null=True, column_name="product_id")
    product_id: int | None
    holds = TextField()
    folded = TextField()
    order_number = TextField(default="")
    price = BigIntegerField(null=True)
    currency = TextField(null=True)


class SpotHolder(Table):
    """A participant who bought a spot; a spot without one is the house's."""

    id = BigAutoField()
    spot = ForeignKeyField(Spot, column_name="spot_id")
    spot_id: int
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int

    class Meta:
        indexes = ((("spot", "participant"), True),)
