"""A claim card that cannot be found, and who saw or received a code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.story import active
from breakdesk.store import history, models
from breakdesk.store.claims import claim_with_tag


def card_is_lost(
    desk: Desk, tag: str, last_had_it: str, video_seconds: int | None = None, key: int | None = None
) -> Result:
    """The claim card of a pull cannot be found; the video may still show its code. It waits for a decision."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "missing its card", "pulled")
        if not last_had_it.strip():
            raise refuse("Say who had it last, or where it lay.", "A few words are enough.")
        body: dict[str, object] = dict(a.text(last_had_it))
        if video_seconds is not None:
            if video_seconds < 0:
                raise refuse("The mark in the video is a number of seconds from 0 on.")
            body["video_seconds"] = video_seconds
        a.add_in_order(claim, "card_lost", body)
        a.add_in_order(claim, "submit_failed", {"how": "card_missing"})
        return f"{claim.tag}: its claim card is missing. Look at the video, then decide."

    return act(desk, "card lost", work, key)


def card_is_found(desk: Desk, tag: str, where: str = "", key: int | None = None) -> Result:
    """A missing claim card turned up: it is to be submitted as before."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "found again", "pulled")
        if claim.failed_how != "card_missing":
            raise refuse(f"The card of {claim.tag} is not missing.")
        a.add_in_order(claim, "card_found", a.text(where))
        a.add_in_order(claim, "try_again")
        return f"{claim.tag}: its claim card is here again and is to be submitted."

    return act(desk, "card found", work, key)


@dataclass(frozen=True, slots=True)
class Knew:
    """Somebody who saw or received a code: when, what happened, whose initials, or which participant."""

    day: date
    at: datetime | None
    how: str
    who: str


def who_knew_the_code(tag: str) -> tuple[Knew, ...] | None:
    """Everybody who had a claim's code in sight or in hand, oldest first; None where there is no such claim.

    A code that was seen on camera was seen by whoever watched.
    """
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        return None
    lines, actions = models.HistoryLine, models.Action
    rows = (
        lines.select(lines, actions)
        .join(actions)
        .where(lines.thing == "claim code", lines.thing_id == claim_id, lines.kind == "code_shown")
    )
    found = [Knew(row.day, row.action.recorded_at, "it was shown at the desk", row.action.who) for row in rows]
    events = active(history.claim_events([claim_id])[claim_id])
    whos = {row.key: row.who for row in actions.select().where(actions.key.in_([e.action for e in events] or [0]))}
    owner_id = None
    is_given = has_card = False
    for event in events:
        if event.kind == "pulled":
            owner_id, is_given = event.body.get("owner_id"), event.body.get("plan") == "give"
            if event.body.get("seen_on_camera"):
                found.append(Knew(event.day, None, "it was in sight on the stream", "everybody who watched"))
        elif event.kind == "owner":
            owner_id = event.body.get("owner_id")
        elif event.kind == "in_hand" and not event.body.get("again"):
            has_card = True
        elif event.kind == "code_entered":
            found.append(Knew(event.day, None, "it was typed in", whos.get(event.action, "")))
        elif event.kind == "seen":
            found.append(Knew(event.day, None, "it was in sight on the stream", "everybody who watched"))
        elif event.kind == "submitted":
            found.append(Knew(event.day, None, "it was given to the maker", whos.get(event.action, "")))
        elif event.kind == "shipped" and is_given and not has_card:
            found.append(Knew(event.day, None, "the claim card was sent", _name(owner_id)))
        elif event.kind == "closed" and event.body.get("how") == "given":
            found.append(Knew(event.day, None, "the claim card or its code was received", _name(owner_id)))
    return tuple(sorted(found, key=lambda one: one.day))


def _name(person_id: int | None) -> str:
    row = None if person_id is None else models.Participant.get_or_none(models.Participant.id == person_id)
    return "the participant" if row is None else str(row.name)
