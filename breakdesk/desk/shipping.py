"""The ship round: a parcel a participant, its steps, its tracking number, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, claims_named
from breakdesk.desk.photo_proof import photographed
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Claim
from breakdesk.rules.money import minor_digits
from breakdesk.rules.packing_steps import PackingStep, read_steps, takes_a_photo
from breakdesk.rules.parcel_states import STATE_WORDS, TROUBLE, said_of_parcel, state_said
from breakdesk.rules.rounds.ship import can_go_out
from breakdesk.rules.tracking import look_at
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.claims import claims_with_keys

STEPS_FOR_A_CLAIM_CARD = ("a note whether its code is scratched",)
"""A claim card that is given away is worth what its code is worth."""
STEP_FROM_A_VALUE = (("insurance", "insure_from"), ("signature", "sign_from"))


def start_parcel(desk: Desk, tags: Sequence[str], key: int | None = None) -> Result:
    """Puts cards of one participant into a parcel, with the steps that packing it takes."""

    def work(a: Act) -> str:
        claims = claims_named(a, tags)
        person_id = _one_recipient(claims)
        for claim in claims:
            if claim.parcel_id is not None:
                raise refuse(f"{claim.tag} is in a parcel already.", "Go on with that parcel.")
        parcel = models.Parcel.create(participant=person_id)
        _write_steps(a, int(parcel.id), claims)
        for claim in claims:
            a.add_in_order(claim, "packed", {"parcel": int(parcel.id)})
        name = models.Participant.get_by_id(person_id).name
        return f"Parcel {parcel.id} for {name} with {counted(len(claims), 'card')}."

    return act(desk, "pack", work, key)


def add_to_parcel(desk: Desk, parcel_id: int, tags: Sequence[str], key: int | None = None) -> Result:
    """Puts cards that came since into a parcel that is being packed, with the steps that they take."""

    def work(a: Act) -> str:
        parcel, inside = _parcel(a, parcel_id, "packing")
        claims = claims_named(a, tags)
        for claim in claims:
            if claim.parcel_id is not None:
                raise refuse(f"{claim.tag} is in a parcel already.", "Go on with that parcel.")
        if not claims or _one_recipient([*inside, *claims]) != parcel.participant_id:
            raise refuse(f"Parcel {parcel_id} is for somebody else.", "A parcel holds one participant's cards.")
        _write_steps(a, parcel_id, claims, inside)
        for claim in claims:
            a.add_in_order(claim, "packed", {"parcel": parcel_id})
        return f"Parcel {parcel_id} holds {counted(len(inside) + len(claims), 'card')} now."

    return act(desk, "pack", work, key)


def _one_recipient(claims: Sequence[Claim]) -> int:
    if not claims:
        raise refuse("No claim was named.", "Name at least one.")
    for claim in claims:
        if not can_go_out(claim):
            raise refuse(f"Claim {claim.tag} has nothing here that could be shipped.", "Mark it as in hand first.")
        if claim.on_hold:
            raise refuse(f"Claim {claim.tag} is on hold.", "Release it first, if the reason is gone.")
    owners = {claim.owner_id for claim in claims}
    if len(owners) != 1:
        raise refuse("These cards belong to different participants.", "A parcel holds one participant's cards.")
    owner_id = owners.pop()
    if owner_id is None or models.Participant.get_by_id(owner_id).on_hold:
        raise refuse("This participant is on hold: nothing goes out.", "Release them first, if the reason is gone.")
    return owner_id


def _write_steps(a: Act, parcel_id: int, claims: Sequence[Claim], inside: Sequence[Claim] = ()) -> None:
    """Writes the steps of cards and of their parcel; of one that holds cards already only what their worth adds."""
    terms = a.house.terms
    currency = terms.on("currency", a.day)
    of_a_card, of_the_parcel = (read_steps(terms.on(name, a.day)) for name in ("card_steps", "parcel_steps"))
    worth = {claim.id: _whole_units(claim, currency) for claim in (*inside, *claims)}
    value = sum(worth.values())
    wanted = [(claim.id, step) for claim in claims for step in of_a_card if step.is_due(worth[claim.id])]
    wanted += [
        (claim.id, PackingStep(name)) for claim in claims if claim.state == "pulled" for name in STEPS_FOR_A_CLAIM_CARD
    ]
    due = (step for step in of_the_parcel if step.is_due(value) and (step.from_value or not inside))
    steps: list[tuple[int | None, PackingStep]] = [*wanted, *((None, step) for step in due)]
    table = models.ParcelStep
    there = list(table.select().where(table.parcel == parcel_id))
    known = {step.name.casefold() for _, step in steps} | {row.name.casefold() for row in there}
    for name, term in STEP_FROM_A_VALUE:
        threshold = terms.count_on(term, a.day)
        if threshold and value >= threshold and name not in known:
            steps.append((None, PackingStep(name)))
    # What was written for a card that was taken out and is put in again stands there still.
    written = {(row.claim_id, row.name.casefold()) for row in there}
    new = [(claim_id, step) for claim_id, step in steps if (claim_id, step.name.casefold()) not in written]
    done = photographed([claim.id for claim in claims])
    for position, (claim_id, step) in enumerate(new, start=len(there) + 1):
        when, who = done.get(claim_id or 0, (None, "")) if takes_a_photo(step.name) else (None, "")
        table.create(
            parcel=parcel_id,
            claim_id=claim_id,
            position=position,
            name=step.name,
            mandatory=step.mandatory,
            done_at=when,
            who=who,
        )


def _whole_units(claim: Claim, currency: str) -> Fraction:
    minor = claim.value if claim.value is not None and claim.currency == currency else 0
    return Fraction(minor, 10 ** minor_digits(currency))


def tick(desk: Desk, step_id: int, *, done: bool = True, key: int | None = None) -> Result:
    """Ticks a step of a parcel, with the time and initials; or takes the tick back."""

    def work(a: Act) -> str:
        step = models.ParcelStep.get_or_none(models.ParcelStep.id == step_id)
        if step is None:
            raise refuse("That step is gone.", "Open the parcel again.")
        models.ParcelStep.update(done_at=a.happened if done else None, who=desk.who if done else "").where(
            models.ParcelStep.id == step_id
        ).execute()
        a.line("parcel", int(step.parcel_id), "ticked" if done else "unticked", {"step": step_id})
        return f"{step.name}: {'done' if done else 'open again'}."

    return act(desk, "tick", work, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ship:
    """A parcel left. With open mandatory steps it needs a reason, which the history keeps."""

    parcel_id: int
    tracking: str = ""
    reason: str = ""


def ship(desk: Desk, request: Ship, key: int | None = None) -> Result:
    """Marks a parcel and its cards as shipped."""

    return act(desk, "ship", lambda a: send_off(a, request), key)


def send_off(a: Act, request: Ship) -> str:
    """Marks a parcel as shipped inside an action. Without a tracking number the one that the parcel has stays."""
    parcel, claims = _parcel(a, request.parcel_id, "packing")
    if _one_recipient(claims) != parcel.participant_id:
        raise refuse(f"Parcel {parcel.id} is for somebody else than the cards in it.", "Pack the cards anew.")
    missing = open_steps(request.parcel_id)
    if missing and not request.reason.strip():
        raise refuse(f"Open steps: {', '.join(missing)}.", "Do them, or say why it goes without.")
    tracking = " ".join(request.tracking.split()) or parcel.tracking
    reading = look_at(tracking) if tracking else None
    if reading is not None and reading.doubt:
        a.warnings.append(reading.doubt)
    standard = reading.standard if reading is not None and reading.standard else ""
    address = models.Address
    current = address.get_or_none(address.participant == parcel.participant_id, address.ended_at.is_null())
    for claim in claims:
        a.require_order(claim)
    changes = {"state": "shipped", "tracking": tracking, "standard": standard, "shipped_on": a.day}
    changes["address_id"] = None if current is None or parcel.recipient_id is not None else current.id
    models.Parcel.update(**changes).where(models.Parcel.id == parcel.id).execute()
    body: dict[str, object] = {"parcel": int(parcel.id), "tracking": tracking}
    if missing:
        body |= {"open_steps": len(missing), **a.text(request.reason)}
    for claim in claims:
        a.add_in_order(claim, "shipped", body)
    return f"Parcel {parcel.id} is on its way with {counted(len(claims), 'card')}."


def delivered(desk: Desk, parcel_id: int, key: int | None = None) -> Result:
    """The parcel arrived: its claims are closed, and its address counts as confirmed."""

    def work(a: Act) -> str:
        parcel, claims = _parcel(a, parcel_id, "shipped", *TROUBLE)
        models.Parcel.update(state="delivered", ended_on=a.day).where(models.Parcel.id == parcel.id).execute()
        for claim in claims:
            how = "given" if claim.plan == "give" and claim.in_hand_on is None else "delivered"
            a.add_in_order(claim, "closed", {"how": how, "parcel": parcel_id})
        return f"Parcel {parcel.id} arrived: {counted(len(claims), 'card')} closed."

    return act(desk, "delivered", work, key)


def parcel_failed(desk: Desk, parcel_id: int, how: str, note: str = "", key: int | None = None) -> Result:
    """The parcel was lost, was damaged, was not delivered or came back: its claims wait for a decision."""

    def work(a: Act) -> str:
        _require_trouble(how)
        parcel, claims = _parcel(a, parcel_id, "shipped", *(state for state in TROUBLE if state != how))
        models.Parcel.update(state=how, ended_on=a.day).where(models.Parcel.id == parcel.id).execute()
        for claim in claims:
            a.add_in_order(claim, "lost", {"how": how, "parcel": parcel_id, **a.text(note)})
        return f"{said_of_parcel(parcel_id, how)}: {counted(len(claims), 'card')} waiting for your decision."

    return act(desk, "parcel failed", work, key)


def card_failed(desk: Desk, tag: str, how: str, note: str = "", key: int | None = None) -> Result:
    """The same of a card that was shipped in no parcel of the desk, such as one loaded from a file."""

    def work(a: Act) -> str:
        _require_trouble(how)
        claim = claim_named(a, tag)
        if claim.state != "shipped":
            raise refuse(f"Claim {claim.tag} is not under way.", "Only a shipped card can be lost or come back.")
        if claim.parcel_id is not None:
            raise refuse(f"{claim.tag} is in parcel {claim.parcel_id}.", "Say it of that parcel.")
        a.add_in_order(claim, "lost", {"how": how, **a.text(note)})
        return f"{claim.tag} {state_said(how)}: it waits for your decision."

    return act(desk, "parcel failed", work, key)


def _require_trouble(how: str) -> None:
    if how not in TROUBLE:
        words = ", ".join(STATE_WORDS[state] for state in TROUBLE)
        raise refuse(f"{how} is not something that happens to a parcel here.", f"Use one of: {words}.")


def back_in_hand(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """A card whose parcel came back, or was found, is here again."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.state != "shipped":
            raise refuse(f"Claim {claim.tag} was not shipped.", "Only a shipped card can come back.")
        a.add_in_order(claim, "in_hand", {"again": 1, **a.text(note)})
        return f"{claim.tag} is in hand again."

    return act(desk, "back in hand", work, key)


def open_steps(parcel_id: int) -> list[str]:
    """The mandatory steps of a parcel that are not ticked, in order."""
    table, claims = models.ParcelStep, models.Claim
    inside = {row.id for row in claims.select(claims.id).where(claims.parcel_id == parcel_id)}
    rows = table.select().where(table.parcel == parcel_id, table.done_at.is_null()).order_by(table.position)
    due = (row for row in rows if row.mandatory and (row.claim_id is None or row.claim_id in inside))
    return list(dict.fromkeys(row.name for row in due))


def _parcel(a: Act, parcel_id: int, *states: str) -> tuple[models.Parcel, list[Claim]]:
    parcel = models.Parcel.get_or_none(models.Parcel.id == parcel_id)
    if parcel is None:
        raise refuse(f"There is no parcel {parcel_id}.", "Look at the ship round again.")
    if parcel.state not in states:
        takes = state_said(states[0]) if len(states) == 1 else "has left"
        raise refuse(f"{said_of_parcel(parcel_id, parcel.state)}.", f"That takes a parcel that {takes}.")
    table = models.Claim
    ids = [row.id for row in table.select(table.id).where(table.parcel_id == parcel_id)]
    # A card that was settled or came back on its own has nothing to do with what becomes of the parcel.
    wanted = ("pulled", "in_hand") if parcel.state == "packing" else ("shipped",)
    claims = [claim for claim in claims_with_keys(a.desk.database, ids) if claim.state in wanted]
    if not claims:
        raise refuse(f"There is no card in parcel {parcel_id} any more.", "Look at the ship round again.")
    return parcel, claims
