"""The house's own tables: facts of the desk and settled terms."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, TextField

from breakdesk.store.fields import DayField, InstantField
from breakdesk.store.models.base import Table


class DeskFact(Table):
    """A fact of the whole desk, such as its random id and the house's name."""

    name = TextField(primary_key=True)
    value = TextField()


class Term(Table):
    """A settled value of the house (maker empty) or of a maker, with the day from which it holds."""

    id = BigAutoField()
    maker_id = BigIntegerField(null=True, index=True)
    name = TextField()
    value = TextField()
    from_day = DayField(null=True)
    recorded_at = InstantField()


class Migration(Table):
    """A schema step that was taken."""

    number = BigIntegerField(primary_key=True)
    name = TextField()
    applied_at = InstantField()
