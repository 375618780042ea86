"""What waits for the house, whichever way a claim is looked at."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import ANSWERS, Claim
from breakdesk.rules.parties import House, Maker, Parties
from breakdesk.rules.rounds.decide import reasons_to_decide, to_decide
from breakdesk.rules.rounds.items import Parked

NOW = datetime(2026, 6, 15, 18, tzinfo=UTC)
TODAY = date(2026, 6, 15)
PARTIES = Parties(house=House(), makers={1: Maker(id=1)}, people={})
DAYS = st.none() | st.integers(0, 60).map(lambda back: TODAY - timedelta(days=back))


@given(
    st.sampled_from(("pulled", "submitted", "refused")), st.sampled_from(("several", "house")), DAYS, DAYS,
    st.none() | st.sampled_from(ANSWERS), DAYS,
)  # fmt: skip
@settings(max_examples=200, deadline=None)
def test_the_list_holds_every_reason_of_every_claim(
    state: str, owner_kind: str, asked: date | None, follow_up: date | None, answer: str | None, refused: date | None
) -> None:
    claim = Claim(
        id=1, tag="T", maker_id=1, state=state, owner_kind=owner_kind, owner_since=TODAY, pull_day=TODAY,  # type: ignore[arg-type]
        submitted_on=TODAY - timedelta(days=90), last_asked_on=asked, follow_up_on=follow_up, answer=answer,
        refused_on=refused, last_event_on=TODAY,
    )  # fmt: skip
    listed = [(item.why, item.since) for item in to_decide([claim], PARTIES, NOW, Parked())]
    assert listed == sorted(reasons_to_decide(claim, PARTIES, TODAY, TODAY))
