"""A card comes to hand: which claim it fills, in what condition, and whether all that was promised came."""

from __future__ import annotations

from dataclasses import dataclass, replace

from breakdesk.desk.acting import Act, act
from breakdesk.desk.arrivals import serial_doubts
from breakdesk.desk.creating import create_claim, pulled_body
from breakdesk.desk.damage import open_damage
from breakdesk.desk.desk import Desk
from breakdesk.desk.entering import open_table, read_line
from breakdesk.desk.finding import claim_named, require_state
from breakdesk.desk.ownership import owner_by_pull
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Kept
from breakdesk.rules.entry.reading import typed
from breakdesk.rules.wording import day_in_words


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """A card arrived. `still_owed` names the part that did not come: that part waits on as a claim of its own.

    `damaged` says how it came damaged: another one is claimed from the maker. `came_as` is what stands on the card, for
    a claim of which nobody knew the player: with it the break's format says whose it is.
    """

    tag: str
    serial: int | None = None
    condition: str = ""
    as_promised: bool = True
    still_owed: str = ""
    damaged: str = ""
    came_as: str = ""


def in_hand(desk: Desk, request: InHand, key: int | None = None) -> Result:
    """Marks a claim's card as here; a serial that was unknown may say who owns it."""
    return act(desk, "in hand", lambda a: take_in(a, request), key)


def take_in(a: Act, request: InHand) -> str:
    """Takes one card in inside an action; returns what to tell the person at the desk."""
    claim = claim_named(a, request.tag)
    require_state(claim, "marked as in hand", "submitted", "offered", "pulled", "refused")
    serial = request.serial if request.serial is not None else claim.serial
    if serial is not None:
        a.warnings += serial_doubts(claim, serial)
    body = {"as_promised": int(request.as_promised), **a.text(request.condition)}
    if serial is not None:
        body["serial"] = serial
    said = f"{claim.tag} is in hand."
    if request.came_as.strip():
        claim = _name_card(a, claim, request.came_as)
    if claim.owner_kind == "nobody" and (serial is not None or request.came_as.strip()):
        said += _settle_owner(a, replace(claim, serial=serial))
    a.add_in_order(claim, "in_hand", body)
    if request.still_owed.strip():
        rest = _split(a, claim, request.still_owed.strip())
        said += f" What did not come waits on as {rest}."
    if request.damaged.strip():
        opened = open_damage(a, a.claim(claim.id), request.damaged.strip())
        return f"{said} It came damaged: {opened} is the claim for another one."
    if claim.settled_how is not None:
        said += " It is the house's: the participant was settled with before."
    if not request.as_promised:
        if claim.follow_up_on not in (None, a.day):
            a.warnings.append(f"This takes the place of what was promised for {day_in_words(claim.follow_up_on)}.")
        a.add(claim.id, "follow_up", {"on": a.day.isoformat(), **a.text("Not as promised: decide what to do.")})
    return said


def _name_card(a: Act, claim: Claim, line: str) -> Claim:
    """Writes down what stands on a card that nobody could name before it came."""
    reading = read_line(open_table(a.desk, claim.break_id), line, Kept(product_id=claim.product_id), a.happened).best
    if not reading.subjects.value:
        raise refuse(f"“{line.strip()}” names no player.", "Write the player, and the team that the card prints.")
    fields = {
        "subject": ";".join(reading.subjects.value),
        "team": ";".join(reading.teams.value),
        "variation": typed(reading.variation),
        "numbered_to": typed(reading.numbered_to),
    }
    a.add_in_order(claim, "corrected", {name: said for name, said in fields.items() if said})
    return a.claim(claim.id)


def _settle_owner(a: Act, claim: Claim) -> str:
    found = owner_by_pull(claim)
    if found is None or found.kind == "nobody":
        return " Nobody's spot says whose it is: say it yourself."
    a.add_in_order(claim, "owner", found.body())
    return " The break says whose it is."


def _split(a: Act, claim: Claim, still_owed: str) -> str:
    if claim.submitted_on is None:
        raise refuse(f"{claim.tag} was never submitted, so no part of it can wait.", "Enter the rest as a new claim.")
    body = pulled_body(claim) | {"subject": still_owed, "split_from": claim.id, "quiet": 1}
    rest_id, tag = create_claim(a, body, day=claim.pull_day)
    a.add(rest_id, "submitted", {"reference": claim.reference, "method": claim.method, "quiet": 1}, claim.submitted_on)
    a.add(rest_id, "noted", {"news": 1, **a.text("Part of what was promised came; this part waits on.")})
    a.add(claim.id, "split", {"into": rest_id})
    return tag
