"""The append-only history: actions, their lines, and the free text that the lines only name by digest."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, BlobField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField, InstantField
from breakdesk.store.models.base import Table


class Action(Table):
    """One thing that somebody did. `key` is random and makes doing it twice do it once."""

    key = BigIntegerField(primary_key=True)
    number = BigIntegerField(unique=True)
    kind = TextField()
    who = TextField(default="")
    machine = TextField(default="")
    day = DayField()
    recorded_at = InstantField()
    lines = BigIntegerField()
    previous = TextField()
    hash = TextField()


class HistoryLine(Table):
    """What an action changed in one thing. `body` is canonical JSON, hashed exactly as stored."""

    id = BigAutoField()
    action = ForeignKeyField(Action, column_name="action_key", deferrable="INITIALLY DEFERRED")
    position = BigIntegerField()
    thing = TextField()
    thing_id = BigIntegerField()
    kind = TextField()
    day = DayField()
    body = TextField()

    class Meta:
        indexes = ((("thing", "thing_id"), False), (("day",), False))


class HistoryHead(Table):
    """The last action's number and hash; one row, locked by the last statement of every transaction."""

    id = BigIntegerField(primary_key=True)
    number = BigIntegerField()
    hash = TextField()


class FreeText(Table):
    """What a person wrote. The history holds its salted digest, so that erasing it breaks nothing."""

    id = BigAutoField()
    salt = BlobField()
    text = TextField(null=True)
