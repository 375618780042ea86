"""Claims as their history leaves them, and what hangs on each."""

from __future__ import annotations

from peewee import BigAutoField, BigIntegerField, BlobField, ForeignKeyField, TextField

from breakdesk.store.fields import DayField, FlagField
from breakdesk.store.models.base import Table, Versioned
from breakdesk.store.models.breaks import Break
from breakdesk.store.models.makers import Account, Maker, Product
from breakdesk.store.models.people import Participant


class Claim(Versioned):
    """One owed card. Every column but the last block is the fold of its history; the last block is the rules' days."""

    id = BigAutoField()
    tag = TextField()
    tag_key = TextField(unique=True)
    kind = TextField()
    plan = TextField()
    state = TextField()
    owner_kind = TextField()
    owner = ForeignKeyField(Participant, null=True, column_name="owner_id", index=False)
    owner_id: int | None
    candidates = TextField(default="")
    owner_since = DayField(null=True)
    first_owner_id = BigIntegerField(null=True)
    break_ = ForeignKeyField(Break, null=True, column_name="break_id")
    product = ForeignKeyField(Product, null=True, column_name="product_id")
    product_id: int | None
    maker = ForeignKeyField(Maker, null=True, column_name="maker_id")
    maker_id: int | None
    account = ForeignKeyField(Account, null=True, column_name="account_id", index=False)
    card_id = BigIntegerField(null=True)
    box = TextField(default="")
    subject = TextField(default="")
    team = TextField(default="")
    variation = TextField(default="")
    numbered_to = BigIntegerField(null=True)
    serial = BigIntegerField(null=True)
    features = TextField(default="")
    expires_on = DayField(null=True)
    value = BigIntegerField(null=True)
    currency = TextField(null=True)
    pull_day = DayField()
    pulled_at = BigIntegerField(null=True)
    video_seconds = BigIntegerField(null=True)
    seen_on_camera = FlagField(default=False)
    expired_choice = TextField(null=True)
    failed_on = DayField(null=True)
    failed_how = TextField(null=True)
    submitted_on = DayField(null=True)
    method = TextField(default="")
    ship_to = TextField(default="")
    reference = TextField(default="")
    last_asked_on = DayField(null=True)
    ask_held = FlagField(default=False)
    answer = TextField(null=True)
    answered_on = DayField(null=True)
    answer_days = BigIntegerField(null=True)
    inbound_tracking = TextField(default="")
    offered_on = DayField(null=True)
    reply_by = DayField(null=True)
    offer_answer = TextField(null=True)
    offer_answered_on = DayField(null=True)
    refused_on = DayField(null=True)
    in_hand_on = DayField(null=True)
    parcel_id = BigIntegerField(null=True)
    shipped_on = DayField(null=True)
    tracking = TextField(default="")
    lost_on = DayField(null=True)
    lost_how = TextField(null=True)
    settled_on = DayField(null=True)
    settled_how = TextField(null=True)
    settled_amount = BigIntegerField(null=True)
    settled_currency = TextField(null=True)
    closed_on = DayField(null=True)
    closed_how = TextField(null=True)
    closed_amount = BigIntegerField(null=True)
    closed_currency = TextField(null=True)
    fault = TextField(null=True)
    last_told_on = DayField(null=True)
    phase_told = TextField(default="")
    follow_up_on = DayField(null=True)
    noticed_on = DayField(null=True)
    on_hold = FlagField(default=False)
    split_from = BigIntegerField(null=True)
    linked_to = BigIntegerField(null=True)
    last_event_on = DayField()

    row_digest = TextField(null=True)
    """Keyed digest of the file row it was loaded from and which of equal rows it was; None for live entries."""
    note_id = BigIntegerField(null=True)

    submit_by = BigIntegerField(null=True)
    """Instant in UTC microseconds."""
    ask_from = DayField(null=True)
    decide_from = DayField(null=True)
    """The day, in the house's zone, from which the claim waits for a decision; None where it does not."""
    notice_from = DayField(null=True)
    """The day, in the house's zone, from which a notice of delay is due; None where none is asked for."""

    class Meta:
        # The counts of today and the list of who is owed read these alone and never the rows themselves.
        indexes = (
            (("state", "maker", "ask_from", "ask_held", "on_hold", "owner"), False),
            (("state", "owner_kind", "decide_from", "on_hold", "owner"), False),
            (("owner", "state", "pull_day", "currency", "value"), False),
            (("on_hold", "state"), False),
            (("pull_day",), False),
            (("notice_from",), False),
            (("row_digest",), False),
        )


class ClaimCode(Table):
    """A claim's code, sealed. The digests find an equal or lookalike code without opening any."""

    # A claim that is pulled with its code gets its row at the end of the action, when its history is folded.
    claim = ForeignKeyField(Claim, primary_key=True, column_name="claim_id", deferrable="INITIALLY DEFERRED")
    key_id = BigIntegerField()
    sealed = BlobField()
    digest = TextField(null=True, unique=True)
    """None where the code is partial or the claim is void."""
    folded_digest = TextField(null=True, index=True)


class ClaimNews(Table):
    """The newest untold news of a claim for one participant."""

    id = BigAutoField()
    claim = ForeignKeyField(Claim, column_name="claim_id")
    participant = ForeignKeyField(Participant, column_name="participant_id")
    word = TextField()
    since = DayField()
    urgent = FlagField()
    urgent_days = TextField(default="")
    """ISO days joined by `;`, here and in `routine_days`."""
    routine_days = TextField(default="")


class SearchWord(Table):
    """A folded word by which a claim or a participant is found."""

    id = BigAutoField()
    word = TextField()
    thing = TextField()
    thing_id = BigIntegerField()

    class Meta:
        indexes = ((("thing", "word", "thing_id"), False), (("thing", "thing_id", "word"), False))
