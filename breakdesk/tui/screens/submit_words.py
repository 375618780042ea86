"""The words of the submit round: ways, dangers, the facts of a claim, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.describing import what_of
from breakdesk.desk.submit_cards import SubmitCard
from breakdesk.desk.submitting import FAILURE_WORDS
from breakdesk.desk.summary import limit_words
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import days_left
from breakdesk.tui import masking
from breakdesk.tui.countdown import time_left
from breakdesk.tui.widgets.fields import Field
from breakdesk.tui.wording import day_words, owner_words

METHODS = {"site": "on the maker's site", "mail": "by mail", "e-mail": "by e-mail"}
NEAR = 14
"""Days left from which on it matters whose day it is."""
SHIP_TO = {"house": "the card comes to the house", "participant": "the maker sends it straight to the participant"}


@dataclass(frozen=True, slots=True)
class Way:
    """How claims of one maker are entered, as last chosen in this round."""

    method: str = "site"
    account: str = ""
    ship_to: str = "house"


def next_words(card: SubmitCard, way: Way) -> str:
    """The one thing to do next, and in which way the claim is entered."""
    if card.view.claim.state != "pulled":
        return ""
    account = f"account {way.account}, " if way.account else ""
    kept = bool(card.code) and not card.is_partial
    start = "Enter the reference; the code is kept already." if kept else "Enter, the code, Enter, the reference."
    return f"{start} {capitalised(account + METHODS[way.method])}; {SHIP_TO[way.ship_to]}."


def danger_words(card: SubmitCard) -> str:
    """What cannot wait about a claim, or that it is done with."""
    if card.view.claim.state != "pulled":
        return "This one is done with." if card.view.claim.state != "submitted" else "This one is submitted."
    said = []
    if card.view.claim.seen_on_camera:
        said.append("The code was seen on camera: whoever read it can take the card.")
    if card.days_left is not None and card.days_left < 0:
        said.append("The claim card has expired.")
    elif card.submit_by is not None and card.submit_by <= card.now:
        said.append("Later than your own term.")
    return " ".join(said)


def clock_words(seconds: int | None) -> str:
    """A mark in the video, h:mm:ss."""
    if seconds is None:
        return ""
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02} since going live"


def capitalised(text: str) -> str:
    """The words as the beginning of a line."""
    return text[:1].upper() + text[1:]


def card_fields(card: SubmitCard, today: date, house: str) -> list[Field]:
    """The facts of a claim, with what is left of its time."""
    claim = card.view.claim
    person = card.view.parties.people.get(claim.owner_id or 0)
    names = (person.name, person.handle, person.on_air_name) if person else ("", "", "")
    expires = "" if claim.expires_on is None else day_words(claim.expires_on, today)
    left = "" if card.days_left is None else days_left(card.days_left)
    if card.days_left is not None and card.days_left <= NEAR:
        left += " in the maker's zone"
    due = "" if card.submit_by is None else limit_words(card.submit_by, card.house_zone)
    owner = owner_words(claim.owner_kind, *names, house)
    code_remark = card.code_problem or ("a place cannot be read: r tries others" if card.is_partial else "")
    fields = [
        Field("Card", what_of(claim), strong=True),
        Field("Claim", tag_words(claim.tag)),
        Field("Maker", card.maker, "" if card.maker else "not known: w names it"),
        Field("For", owner),
        Field("Expires", expires, left),
        Field("Submit by", due, "" if card.submit_by is None else time_left(card.submit_by, card.now)),
        Field("Code", masking.code(card.code), code_remark),
        Field("Video", clock_words(claim.video_seconds)),
        Field("Product", card.view.product),
        Field("Break", card.view.break_name),
        Field("Last try", FAILURE_WORDS[claim.failed_how] if claim.failed_how else ""),
        Field("Note", masking.note(card.view.note or "")),
    ]
    always = ("Expires", "Code", "Maker")
    return [field for field in fields if field.value or field.remark or field.label in always]
