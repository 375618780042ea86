"""What a reading is checked for before it is shown: its owner, its figures, its day, and claims just written down."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Final

from breakdesk.rules.entry.candidates import Candidate
from breakdesk.rules.entry.reading import Certainty, Field, Reading, RecentClaim
from breakdesk.rules.entry.setting import Draft, Setting
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Doubt, Owner, owner_of
from breakdesk.rules.wording import day_in_words

AGAIN_WITHIN: Final = timedelta(minutes=10)
"""How long the same card is asked about; our choice, long enough for a card that is held up twice."""
_MOST_EQUALS = 12


def checked(draft: Draft, setting: Setting) -> Reading:
    """The draft with its owner and with every doubt that a person should see before saving."""
    reading, lexicon = draft.reading, setting.lexicon
    ownership = owner_of(reading.pull(), lexicon.facts, lexicon.shared)
    certainty = _owner_certainty(draft, setting, ownership.owner)
    if ownership.doubts and ownership.owner.kind != "nobody":
        certainty = "unsure"
    doubts = [
        *reading.doubts,
        *ownership.doubts,
        *_figures(reading),
        *_day(reading.expires_on, setting.today),
        *_product(reading, setting),
        *_again(reading, setting),
    ]
    owner = Field(ownership.owner, certainty, "rule")
    return replace(reading, owner=owner, why=ownership.why, doubts=tuple(dict.fromkeys(doubts)))


def _owner_certainty(draft: Draft, setting: Setting, owner: Owner) -> Certainty:
    reading, facts = draft.reading, setting.lexicon.facts
    if reading.named.value:
        return reading.named.certainty
    if facts is None or facts.format not in ("team", "player", "letter"):
        return reading.product_id.certainty
    deciding = reading.teams if facts.format == "team" else reading.subjects
    if deciding.certainty != "unsure":
        follows_player = deciding.origin != "line" and reading.subjects.certainty == "likely"
        return "likely" if follows_player else deciding.certainty
    alike = deciding.origin != "line" and len(draft.equals) > 1 and _equals_agree(draft.equals, setting, owner, reading)
    return "likely" if alike else "unsure"


def _equals_agree(equals: tuple[Candidate, ...], setting: Setting, owner: Owner, reading: Reading) -> bool:
    """Whether every candidate that fits as well belongs to the same owner."""
    if len(equals) > _MOST_EQUALS:
        return False
    facts, shared = setting.lexicon.facts, setting.lexicon.shared
    pulls = (replace(reading.pull(), subjects=other.subjects, teams=other.teams) for other in equals)
    return all(owner_of(pull, facts, shared).owner == owner for pull in pulls)


def _figures(reading: Reading) -> list[Doubt]:
    serial, run = reading.serial.value, reading.numbered_to.value
    if serial is None:
        return []
    if serial == 0:
        return [Doubt("serial", "A serial number of 0 is not printed on cards.")]
    if run is not None and serial > run:
        return [Doubt("serial", f"The serial {serial} is above the print run of {run}.")]
    return []


def _day(expires_on: Field[date | None], today: date) -> list[Doubt]:
    day = expires_on.value
    if day is None or day >= today:
        return []
    return [Doubt("expired", f"The card expired on {day_in_words(day)}.")]


def _product(reading: Reading, setting: Setting) -> list[Doubt]:
    kept = setting.kept.product_id
    product_id = reading.product_id
    if product_id.certainty == "unsure":
        return [Doubt("product", "Cards of several products fit; one of them is shown.")]
    if kept is None or product_id.value in (None, kept):
        return []
    kept_day = " The expiry was kept from the other product." if reading.expires_on.origin == "kept" else ""
    return [Doubt("product", f"The card is from another product than the claim before.{kept_day}")]


def _again(reading: Reading, setting: Setting) -> list[Doubt]:
    if setting.now is None or not reading.subjects.value:
        return []
    for claim in setting.recent:
        since = setting.now - claim.pulled_at
        if timedelta(0) <= since <= AGAIN_WITHIN and _same_card(reading, claim):
            return [Doubt("again", f"The same card was written down {_ago(setting.now, claim.pulled_at)}.")]
    return []


def _same_card(reading: Reading, claim: RecentClaim) -> bool:
    serials = {reading.serial.value, claim.serial}
    if len(serials) == 2 and None not in serials:
        return False
    if reading.card_id.value is not None and claim.card_id is not None:
        return reading.card_id.value == claim.card_id
    return (
        [folded(subject) for subject in reading.subjects.value] == [folded(subject) for subject in claim.subjects]
        and folded(reading.variation.value) == folded(claim.variation)
        and reading.numbered_to.value == claim.numbered_to
    )


def _ago(now: datetime, then: datetime) -> str:
    minutes = round((now - then).total_seconds() / 60)
    return "just now" if minutes == 0 else "a minute ago" if minutes == 1 else f"{minutes} minutes ago"
