"""Makers, what they release, and when their offices are closed."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField
from breakdesk.store.models.base import Table, Versioned


class Maker(Versioned):
    """A company that issues claim cards. `status` and `review_on` mark one that collapsed, moved or changed."""

    id = BigAutoField()
    name = TextField()
    folded = TextField(unique=True)
    contact = TextField(default="")
    status = TextField(default="")
    review_on = DayField(null=True)
    successor = ForeignKeyField("self", null=True, column_name="successor_id")


class Account(Table):
    """An account that the house has with a maker."""

    id = BigAutoField()
    maker = ForeignKeyField(Maker, column_name="maker_id", backref="accounts")
    maker_id: int
    name = TextField()
    folded = TextField()

    class Meta:
        indexes = ((("maker", "folded"), True),)


class ClosedDay(Table):
    """A day on which a maker's office is closed: `holiday` as published, `noted` by the house."""

    id = BigAutoField()
    maker = ForeignKeyField(Maker, column_name="maker_id")
    maker_id: int
    day = DayField()
    source = TextField()
    name = TextField(default="")

    class Meta:
        indexes = ((("maker", "day", "source"), True),)


class Product(Versioned):
    """One release by a maker."""

    id = BigAutoField()
    maker = ForeignKeyField(Maker, null=True, column_name="maker_id")
    maker_id: int | None
    name = TextField()
    folded = TextField(unique=True)


class Card(Table):
    """A line of a product's checklist. Several subjects, teams or features are joined by `;`."""

    id = BigAutoField()
    product = ForeignKeyField(Product, column_name="product_id")
    product_id: int
    card = TextField(default="")
    subject = TextField(default="")
    team = TextField(default="")
    variation = TextField(default="")
    numbered_to = BigIntegerField(null=True)
    features = TextField(default="")
    row_digest = TextField()

    class Meta:
        indexes = ((("product", "row_digest"), True),)
