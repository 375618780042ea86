"""What the rounds leave behind: tellings, asks, looks, parcels and what was put aside."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField, FlagField, InstantField
from breakdesk.store.models.base import Table, Versioned
from breakdesk.store.models.claims import Claim
from breakdesk.store.models.makers import Account, Maker
from breakdesk.store.models.people import Participant


class Telling(Table):
    """One message that a participant was told, word for word."""

    id = BigAutoField()
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int
    day = DayField()
    told_at = InstantField(null=True)
    channel = TextField(default="")
    template = TextField(default="")
    text_id = BigIntegerField(null=True)
    action_key = BigIntegerField()
    undone = FlagField(default=False)

    class Meta:
        indexes = ((("participant", "day"), False),)


class TellingClaim(Table):
    """A claim that a telling covered."""

    id = BigAutoField()
    telling = ForeignKeyField(Telling, column_name="telling_id")
    claim = ForeignKeyField(Claim, column_name="claim_id")
    claim_id: int


class Ask(Table):
    """A message to a maker. While `held` it waits for the office to open and is no ask yet."""

    id = BigAutoField()
    maker = ForeignKeyField(Maker, null=True, column_name="maker_id")
    maker_id: int | None
    account = ForeignKeyField(Account, null=True, column_name="account_id")
    written_on = DayField()
    asked_on = DayField(null=True)
    held = FlagField(default=False)
    dropped = FlagField(default=False)
    text_id = BigIntegerField(null=True)
    action_key = BigIntegerField()

    class Meta:
        indexes = ((("held", "dropped", "maker"), False),)


class AskClaim(Table):
    """A claim that an ask named."""

    id = BigAutoField()
    ask = ForeignKeyField(Ask, column_name="ask_id")
    claim = ForeignKeyField(Claim, column_name="claim_id")
    claim_id: int


class Look(Table):
    """The maker's status page was read; free, and never an ask."""

    id = BigAutoField()
    maker = ForeignKeyField(Maker, null=True, column_name="maker_id")
    maker_id: int | None
    day = DayField()
    claims = BigIntegerField()
    moved = BigIntegerField()
    action_key = BigIntegerField()


class Parcel(Versioned):
    """What goes to one participant in one shipment."""

    id = BigAutoField()
    participant = ForeignKeyField(Participant, column_name="participant_id")
    participant_id: int
    address_id = BigIntegerField(null=True)
    state = TextField(default="packing")
    tracking = TextField(default="")
    standard = TextField(default="")
    cost = BigIntegerField(null=True)
    insured = BigIntegerField(null=True)
    currency = TextField(null=True)
    shipped_on = DayField(null=True)
    ended_on = DayField(null=True)
    extra = TextField(default="")
    """Lines of what else is in it, one a line."""
    gift_note = TextField(default="")
    weight_grams = BigIntegerField(null=True)
    recipient_id = BigIntegerField(null=True)
    """Somebody else to whom it goes; None for the participant."""
    loss_reported_on = DayField(null=True)


class ParcelStep(Table):
    """One step of packing a parcel, or one card in it, with who did it and when."""

    id = BigAutoField()
    parcel = ForeignKeyField(Parcel, column_name="parcel_id")
    parcel_id: int
    claim_id = BigIntegerField(null=True)
    position = BigIntegerField()
    name = TextField()
    mandatory = FlagField(default=True)
    done_at = InstantField(null=True)
    who = TextField(default="")


class Photo(Table):
    """A picture kept in the desk's folder. Whether it counts is told by the claim's history."""

    id = BigAutoField()
    claim_id = BigIntegerField(index=True)
    what = TextField()
    file = TextField(unique=True)
    digest = TextField()
    """SHA-256 of the file's content, in hexadecimal digits."""
    recorded_at = InstantField()


class Park(Table):
    """An item of a round put aside until a day."""

    id = BigAutoField()
    round = TextField()
    item_id = BigIntegerField()
    until = DayField(index=True)
    text_id = BigIntegerField(null=True)
    action_key = BigIntegerField()
    undone = FlagField(default=False)


class Setting(Table):
    """A choice of this desk that is no term: where a round was left, what was half typed."""

    name = TextField(primary_key=True)
    value = TextField()
