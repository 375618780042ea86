"""Participants. What must be kept from a stream machine stands in tables of its own."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField, FlagField, InstantField
from breakdesk.store.models.base import Table, Versioned


class Participant(Versioned):
    """Somebody who buys spots. `last_told_on` and `tell_due_on` are kept by the actions that call the rules."""

    id = BigAutoField()
    name = TextField()
    folded = TextField(unique=True)
    handle = TextField(default="")
    on_air_name = TextField(default="")
    channel = TextField(default="")
    fallback_channel = TextField(default="")
    language = TextField(default="")
    zone = TextField(default="")
    wish = TextField(default="")
    opted_out = FlagField(default=False)
    on_hold = FlagField(default=False, index=True)
    merged_into = ForeignKeyField("self", null=True, column_name="merged_into_id")
    merged_into_id: int | None
    erased_on = DayField(null=True)
    last_told_on = DayField(null=True)
    tell_due_on = DayField(null=True, index=True)


class Contact(Table):
    """How a participant is reached."""

    participant = ForeignKeyField(Participant, primary_key=True, column_name="participant_id")
    participant_id: int
    email = TextField(default="")
    phone = TextField(default="")


class Address(Table):
    """Where a participant's cards go. The newest row without `ended_at` is the present one."""

    id = BigAutoField()
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int
    text = TextField()
    country = TextField(default="")
    confirmed_on = DayField(null=True)
    moved_on = DayField(null=True)
    since = DayField(null=True)
    recorded_at = InstantField()
    ended_at = InstantField(null=True)


class Recipient(Table):
    """Somebody else to whom a participant wants cards sent, as for a gift."""

    id = BigAutoField()
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int
    name = TextField()
    text = TextField()
    country = TextField(default="")
    since = DayField(null=True)
    ended_at = InstantField(null=True)


class FollowUp(Versioned):
    """Something promised to a person on a day; promises about one claim stand with the claim."""

    id = BigAutoField()
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int
    due_on = DayField(index=True)
    text_id = BigIntegerField(null=True)
    done_on = DayField(null=True)
