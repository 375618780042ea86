"""A claim's history in plain words: the one wording for screen, command line and disputes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from breakdesk.desk.asking import ANSWER_WORDS
from breakdesk.desk.settling import CLOSING_WORDS, amount_words
from breakdesk.desk.submitting import FAILURE_WORDS
from breakdesk.rules.claim import Event
from breakdesk.rules.parties import Person
from breakdesk.rules.story import standing
from breakdesk.store import history

FIXED = {
    "pulled": "Pulled",
    "try_again": "To be submitted again",
    "ask_held": "A message to the maker was written and held until its office opens",
    "ask_dropped": "The held message to the maker was dropped",
    "asked": "The maker was asked",
    "offered": "The maker offered another card",
    "offer_passed_on": "The answer to the offer was given to the maker",
    "refused": "The maker refused",
    "in_hand": "The card came to hand",
    "packed": "Packed",
    "shipped": "Shipped",
    "told": "The participant was told",
    "noted": "Noted",
    "seen": "The code was seen on camera",
    "followed_up": "Followed up",
    "held": "Put on hold",
    "released": "Released from hold",
    "code_entered": "The code was entered",
    "split": "A part of it waits on as a claim of its own",
    "void": "Voided: entered by mistake",
    "undone": "The step before was taken back",
    "looked": "Looked up on the maker's page",
}


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One line of a claim's story. `note` is what a person wrote, None where it was erased."""

    day: date
    said: str
    note: str | None
    counts: bool
    """False for a step that was taken back later."""
    reference: str = ""
    """The maker's reference that came with it; a stream may not see it."""


def story_lines(events: Iterable[Event], people: Mapping[int, Person]) -> list[StoryLine]:
    """A claim's history, line by line, in the order in which it was recorded."""
    recorded = list(events)
    still = {id(event) for event in standing(recorded)}
    return [
        StoryLine(
            day=event.day,
            said=_said(event, people),
            note=_note(event.body),
            counts=id(event) in still,
            reference=str(event.body.get("reference", "")),
        )
        for event in recorded
    ]


def _note(body: Mapping[str, Any]) -> str | None:
    return history.text_of(body["text"]) if body.get("text") is not None else ""


def _said(event: Event, people: Mapping[int, Person]) -> str:
    body = event.body
    match event.kind:
        case "submitted":
            return "Submitted"
        case "submit_failed":
            return f"Not submitted: {FAILURE_WORDS.get(body['how'], body['how'])}"
        case "chosen":
            return "To be tried though it had expired" if body["choice"] == "try" else "The maker is asked first"
        case "answered":
            return f"The maker answered: {ANSWER_WORDS.get(body['answer'], body['answer'])}"
        case "offer_answered":
            return f"The offer was answered: {body['answer']}"
        case "lost":
            return "The parcel came back" if body["how"] == "returned" else "The parcel was lost"
        case "closed":
            return _closed(body)
        case "owner":
            return _owner(body, people)
        case "follow_up":
            return f"To come back on {body['on']}"
        case "corrected":
            return (
                f"Corrected: {', '.join(key.replace('_', ' ') for key in sorted(body) if not key.startswith('text'))}"
            )
        case _:
            return FIXED.get(event.kind, event.kind.replace("_", " "))


def _closed(body: Mapping[str, Any]) -> str:
    said = CLOSING_WORDS.get(body["how"], body["how"]).capitalize()
    amount = amount_words(body.get("amount"), body.get("currency"))
    if amount:
        said += f", {amount}"
    return f"{said}; at fault: {body['fault']}" if body.get("fault") else said


def _owner(body: Mapping[str, Any], people: Mapping[int, Person]) -> str:
    kind = body["owner_kind"]
    if kind == "house":
        return "It is the house's now"
    if kind == "several":
        return "It belongs to several, to be settled"
    person = people.get(body.get("owner_id") or 0)
    if kind == "person" and person is not None:
        return f"It is for {person.on_air_name or person.handle or 'its participant'} now"
    return "Its owner changed"
