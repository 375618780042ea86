"""One claim with its story, as text and as JSON."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from breakdesk.cli.common import fail
from breakdesk.cli.named import person_name
from breakdesk.cli.output import say, say_fields, say_table
from breakdesk.cli.wording import instant_words, last_moment_words, weekday_words
from breakdesk.desk.card_facts import CardFacts, card_facts
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS
from breakdesk.desk.retelling import StoryLine, story_of
from breakdesk.desk.settling import CLOSING_WORDS, amount_words
from breakdesk.desk.viewing import ClaimView
from breakdesk.files.as_json import day_text, instant_text
from breakdesk.rules import clocks
from breakdesk.rules.claim import HOUSE_PARTY, Claim
from breakdesk.rules.days import age
from breakdesk.rules.rounds.decide import decide_from
from breakdesk.rules.story import fold
from breakdesk.rules.wording import age_words, days_left
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in


def as_known(desk: Desk, view: ClaimView) -> ClaimView:
    """The claim as it was known on the day asked about: what happened later is left out."""
    now = desk.clock.as_of()
    day = view.parties.house.today(now)
    # An ask carries the maker's date, which may be the house's tomorrow.
    makers_day = view.parties.maker_of(view.claim).today(now)
    events = tuple(event for event in view.events if event.day <= (makers_day if event.kind == "asked" else day))
    if len(events) == len(view.events):
        return view
    claim = fold(view.claim.id, view.events, day, {view.claim.maker_id: makers_day})
    if claim is None:
        fail(
            f"Claim {view.claim.tag} was pulled on {weekday_words(view.claim.pull_day)}, after the day you asked about."
        )
    return replace(view, claim=claim, parties=read_parties(desk.database, people_in([claim])), events=events)


def say_claim(desk: Desk, view: ClaimView) -> None:
    """Prints a claim: what it is, where it stands, and everything that happened."""
    claim = view.claim
    say(f"{claim.tag}  {what_of(claim)}")
    say_fields(_fields(desk, view))
    say()
    rows = [(weekday_words(line.day), _said(line), line.text, line.who) for line in story_of(desk, view.events)]
    say_table(("day", "what happened", "words", "by"), rows)


def _fields(desk: Desk, view: ClaimView) -> list[tuple[str, str]]:
    claim, parties = view.claim, view.parties
    house, maker = parties.house, parties.maker_of(claim)
    now = desk.clock.as_of()
    zone = house.zone_at(now)
    ask_from = clocks.ask_from(claim, maker, house.start_line)
    left = clocks.days_to_expiry(claim, maker, now)
    pulled = instant_words(clocks.instant_of(claim.pulled_at), zone) if claim.pulled_at else ""
    return [
        ("state", _state(claim)),
        ("for", _owner(desk, view)),
        ("kind", claim.kind if claim.kind != "redemption" else ""),
        ("plan", "give the claim card to the participant" if claim.plan == "give" else ""),
        ("team", claim.team.replace(";", " & ")),
        ("features", claim.features.replace(";", ", ")),
        ("product", view.product),
        ("break", view.break_name),
        ("maker", " / ".join(part for part in (maker.name or "", view.account) if part)),
        ("reference", claim.reference),
        ("value", amount_words(claim.value, claim.currency) or "no value"),
        ("code", "kept, sealed" if view.has_code else ""),
        ("pulled", pulled or weekday_words(claim.pull_day)),
        _age(claim, house.today(now)),
        ("expires", f"{weekday_words(claim.expires_on)}{f', {days_left(left)}' if left is not None else ''}"),
        ("video", _video(claim)),
        ("submit by", _submit_by(view, zone)),
        ("submitted", weekday_words(claim.submitted_on)),
        ("ask from", weekday_words(ask_from)),
        ("last asked", weekday_words(claim.last_asked_on)),
        ("reply by", weekday_words(clocks.reply_by(claim, house)) if claim.state == "offered" else ""),
        ("tracking", claim.tracking or claim.inbound_tracking),
        *_card_fields(card_facts(desk, view)),
        ("last told", weekday_words(claim.last_told_on) or "never"),
        ("follow up", weekday_words(claim.follow_up_on)),
        ("on hold", "yes: nothing goes out" if claim.on_hold else ""),
        ("note", view.note or ""),
    ]


def _card_fields(facts: CardFacts) -> list[tuple[str, str]]:
    found = [
        ("linked", f"{link.how} {link.claim.tag}, {what_of(link.claim)} ({_state(link.claim)})") for link in facts.links
    ]
    if facts.evidence is not None:
        missing = f"missing: {', '.join(facts.evidence.missing)}" if facts.evidence.missing else "all of it is here"
        until = weekday_words(facts.evidence.until)
        found.append(("evidence", f"{missing}; to be filed by {until}" if until else missing))
    return [*found, ("photos", str(facts.photos) if facts.photos else "")]


def _age(claim: Claim, today: date) -> tuple[str, str]:
    """How long the claim is owed, or how long it took until it was closed."""
    words = age_words(age(claim.pull_day, max(claim.pull_day, claim.closed_on or today)))
    if claim.closed_on is None:
        return "age", words if claim.is_open else ""
    return "closed after", "the same day" if words == "today" else words


def _submit_by(view: ClaimView, zone: str) -> str:
    claim = view.claim
    if claim.state != "pulled" or claim.plan != "submit":
        return ""
    return last_moment_words(clocks.submit_by(claim, view.parties.house, view.parties.maker_of(claim)), zone)


def _state(claim: Claim) -> str:
    if claim.state == "closed" and claim.closed_how:
        amount = amount_words(claim.closed_amount, claim.closed_currency)
        return " ".join(part for part in ("closed:", CLOSING_WORDS[claim.closed_how], amount) if part)
    words = STATE_WORDS[claim.state]
    if claim.settled_how:
        amount = amount_words(claim.settled_amount, claim.settled_currency)
        words += f"; the participant was {CLOSING_WORDS[claim.settled_how]} {amount}".rstrip()
    return words


def _owner(desk: Desk, view: ClaimView) -> str:
    claim = view.claim
    if claim.owner_kind == "several":
        house = view.parties.house.name
        return " or ".join(house if key == HOUSE_PARTY else person_name(desk, key) for key in claim.candidates)
    return view.parties.owner_name(claim) or "nobody yet"


def _video(claim: Claim) -> str:
    if claim.video_seconds is None:
        return ""
    minutes, seconds = divmod(claim.video_seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02} since going live"


def _said(line: StoryLine) -> str:
    return f"{line.said} (taken back)" if line.taken_back else line.said


def claim_object(desk: Desk, view: ClaimView) -> dict[str, Any]:
    """A claim as an object; instants in the house's offset, days as ISO dates, money in minor units."""
    claim, parties = view.claim, view.parties
    house, maker = parties.house, parties.maker_of(claim)
    zone = house.zone_at(desk.clock.as_of())
    waits = claim.state == "pulled" and claim.plan == "submit"
    return {
        "tag": claim.tag,
        "state": claim.state,
        "kind": claim.kind,
        "plan": claim.plan,
        "participant": parties.owner_name(claim),
        "subject": claim.subject or None,
        "team": claim.team or None,
        "variation": claim.variation or None,
        "numbered_to": claim.numbered_to,
        "serial": claim.serial,
        "features": claim.features or None,
        "product": view.product or None,
        "break": view.break_name or None,
        "maker": maker.name,
        "account": view.account or None,
        "reference": claim.reference or None,
        "value": claim.value,
        "currency": claim.currency,
        "pull_day": day_text(claim.pull_day),
        "pulled_at": instant_text(clocks.instant_of(claim.pulled_at) if claim.pulled_at else None, zone),
        "expires_on": day_text(claim.expires_on),
        "seen_on_camera": claim.seen_on_camera,
        "has_code": view.has_code,
        "submit_by": instant_text(clocks.submit_by(claim, house, maker) if waits else None, zone),
        "submitted_on": day_text(claim.submitted_on),
        "ask_from": day_text(clocks.ask_from(claim, maker, house.start_line)),
        "last_asked_on": day_text(claim.last_asked_on),
        "reply_by": day_text(clocks.reply_by(claim, house) if claim.state == "offered" else None),
        "refused_on": day_text(claim.refused_on),
        "in_hand_on": day_text(claim.in_hand_on),
        "shipped_on": day_text(claim.shipped_on),
        "tracking": claim.tracking or None,
        "settled_on": day_text(claim.settled_on),
        "settled_how": claim.settled_how,
        "settled_amount": claim.settled_amount,
        "closed_on": day_text(claim.closed_on),
        "closed_how": claim.closed_how,
        "closed_amount": claim.closed_amount,
        "fault": claim.fault,
        "split_from": _tag_of(desk, claim.split_from),
        "linked_to": _tag_of(desk, claim.linked_to),
        "last_told_on": day_text(claim.last_told_on),
        "decide_from": day_text(decide_from(claim, parties)),
        "on_hold": claim.on_hold,
        "note": view.note,
        "history": [
            {
                "day": day_text(line.day),
                "said": line.said,
                "text": line.text or None,
                "by": line.who or None,
                "taken_back": line.taken_back,
            }
            for line in story_of(desk, view.events)
        ],
    }


def _tag_of(desk: Desk, claim_id: int | None) -> str | None:
    found = [] if claim_id is None else claims_with_keys(desk.database, [claim_id])
    return found[0].tag if found else None
