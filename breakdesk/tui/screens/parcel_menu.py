"""What else there is about one parcel: what goes along, who gets it, and whatever happened after it left."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from typing import Any

from breakdesk.desk.combining import Combining, combine, end_combining
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.parcel_details import (
    HEAVIEST_GRAMS,
    Contents,
    ParcelDetails,
    UnderWay,
    after_it_left,
    parcel_details,
    report_loss,
    send_to,
    set_contents,
)
from breakdesk.desk.printing import slips_of
from breakdesk.desk.problems import Done
from breakdesk.desk.settling import Close, close
from breakdesk.desk.ship_cards import ship_card
from breakdesk.desk.shipping import add_to_parcel, card_failed, delivered, parcel_failed
from breakdesk.files.slips import slip_text
from breakdesk.rules.parcel_states import STATE_WORDS, TROUBLE
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.tags import with_tags_shown
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.day_entry import HINT, day_check, read_day
from breakdesk.tui.dialogs import AskText, ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.screens.address_steps import ask_address
from breakdesk.tui.wording import day_words, values_words

CAUTION = (
    "What is covered is for the conditions of the carrier and of the insurer to say; the desk only keeps the days."
)
TROUBLE_CHOICES = {
    "lost": "It is lost",
    "damaged": "It was damaged on the way",
    "not_delivered": "They say that it did not come",
    "returned": "It came back",
}
Step = Callable[[], Coroutine[Any, Any, Done | None]]


async def about_parcel(screen: ActingScreen, parcel_id: int) -> Done | None:
    """Offers what can be done about a parcel where it stands now; gives what came of it, None where nothing did."""
    parcel = await screen.desk.call(parcel_details, parcel_id)
    if parcel is None:
        screen.say(f"There is no parcel {parcel_id} any more.")
        return None
    if parcel.state == "packing":
        card = await screen.desk.call(ship_card, parcel.person_id)
        steps = _while_packing(screen, parcel, [claim.tag for claim in card.cards] if card is not None else [])
    else:
        steps = _after_it_left(screen, parcel)
    picked = await screen.pick(
        f"Parcel {parcel.id}, {STATE_WORDS[parcel.state]}",
        [(str(place), label) for place, (label, _) in enumerate(steps)],
    )
    return None if picked is None else await steps[int(picked)][1]()


def _while_packing(
    screen: ActingScreen, parcel: ParcelDetails, loose: Sequence[str]
) -> Sequence[tuple[str | Secret, Step]]:
    def labelled(label: str, known: str) -> str | Secret:
        return masking.Secret(masking.Kind.NOTE, f"{label}: {known}", label) if known else label

    came_since: tuple[str | Secret, Step] = (
        f"Put in what came since: {', '.join(map(tag_words, loose))}",
        lambda: screen.carry_out(screen.desk.call(add_to_parcel, parcel.id, loose)),
    )
    return [
        *([came_since] if loose else []),
        (labelled("What else is in it", "; ".join(parcel.lines)), lambda: _lines(screen, parcel)),
        (labelled("The note that goes with it", parcel.gift_note), lambda: _note(screen, parcel)),
        (
            f"Its weight: {parcel.weight_grams} g" if parcel.weight_grams else "Its weight",
            lambda: _weight(screen, parcel),
        ),
        (
            ("It goes to its participant after all", lambda: _to_participant(screen, parcel))
            if parcel.is_gift
            else ("It goes to somebody else, as a gift", lambda: _gift(screen, parcel))
        ),
        ("Read its packing slip", lambda: _slip(screen, parcel)),
        ("Everything about it", lambda: _known(screen, parcel)),
    ]


def _after_it_left(screen: ActingScreen, parcel: ParcelDetails) -> Sequence[tuple[str | Secret, Step]]:
    found: list[tuple[str | Secret, Step]] = [
        ("It arrived, and nothing more is owed", lambda: screen.carry_out(screen.desk.call(delivered, parcel.id)))
    ]
    found += [
        (TROUBLE_CHOICES[state], lambda state=state: went_wrong(screen, parcel.id, "", state))  # type: ignore[misc]
        for state in TROUBLE
        if state != parcel.state
    ]
    if parcel.loss_reported_on is None:
        found.append(("It was reported to the carrier or the insurer", lambda: _reported(screen, parcel)))
    return [*found, ("Everything about it", lambda: _known(screen, parcel))]


async def about_card(screen: ActingScreen, tag: str, state: str) -> Done | None:
    """The same for a card that was shipped in no parcel of the desk, and where it stands now."""
    from breakdesk.tui.screens.claim import ClaimScreen

    choices = [("delivered", "It arrived, and nothing more is owed")]
    choices += [(trouble, TROUBLE_CHOICES[trouble]) for trouble in TROUBLE if trouble != state]
    picked = await screen.pick(f"What became of {tag_words(tag)}?", [*choices, ("story", "Open its story")])
    if picked == "delivered":
        return await screen.carry_out(screen.desk.call(close, Close(tag=tag, how="delivered")))
    if picked == "story":
        screen.app.push_screen(ClaimScreen(tag))
    return None if picked in (None, "story") else await went_wrong(screen, None, tag, picked)


async def went_wrong(screen: ActingScreen, parcel_id: int | None, tag: str, how: str) -> Done | None:
    """Notes that a parcel, or a card that was shipped in none, did not arrive as it should."""
    note = await screen.ask(AskText("What is known about it?", "Enter alone notes nothing."))
    if note is None:
        return None
    if parcel_id is None:
        return await screen.carry_out(screen.desk.call(card_failed, tag, how, note))
    return await screen.carry_out(screen.desk.call(parcel_failed, parcel_id, how, note))


async def _reported(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    note = await screen.ask(AskText("What was reported, and to whom?", CAUTION, " Enter alone notes nothing."))
    if note is None:
        return None
    return await screen.carry_out(screen.desk.call(report_loss, parcel.id, note))


async def _change(screen: ActingScreen, parcel: ParcelDetails, contents: Contents) -> Done | None:
    return await screen.carry_out(screen.desk.call(set_contents, parcel.id, contents))


async def _lines(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    hint = "Such as: 3 other hits; a team bag. Each part between semicolons is a line of the slip."
    typed = await screen.ask(AskText("What else is in it?", hint, value="; ".join(parcel.lines)))
    return None if typed is None else await _change(screen, parcel, Contents(lines=typed.split(";")))


async def _note(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    hint = "It stands on the slip and is shown while packing."
    typed = await screen.ask(AskText("Which note goes with it?", hint, value=parcel.gift_note, secret=True))
    return None if typed is None else await _change(screen, parcel, Contents(gift_note=typed))


async def _weight(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    typed = await screen.ask(
        AskText("What does it weigh, in grams?", value=str(parcel.weight_grams or ""), check=_weight_problem)
    )
    return None if typed is None else await _change(screen, parcel, Contents(weight_grams=int(typed)))


def _weight_problem(text: str) -> str | None:
    is_weight = text.isascii() and text.isdecimal() and len(text) < 9 and 1 <= int(text) <= HEAVIEST_GRAMS
    return None if is_weight else f"Write a whole number of grams, 1 to {HEAVIEST_GRAMS:,}."


async def _gift(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    about = "The participant's own address stays what it is, and the slip shows no values."
    name = await screen.ask(AskText("Who gets it?", about, secret=True, check=needed))
    given = await ask_address(screen, "Where does it go?", parcel.country) if name else None
    if given is None:
        return None
    work = screen.desk.call(send_to, parcel.id, name, *given)
    return await screen.carry_out(work, masking.full_name(name, "somebody else"))


async def _to_participant(screen: ActingScreen, parcel: ParcelDetails) -> Done | None:
    return await screen.carry_out(screen.desk.call(send_to, parcel.id, "", "", ""))


async def _slip(screen: ActingScreen, parcel: ParcelDetails) -> None:
    slips = await screen.desk.call(slips_of, [parcel.id])
    text = "\n".join(slip_text(slip) for slip in slips)
    await screen.ask(ShowText(f"The slip of parcel {parcel.id}", masking.note(text)))


async def _known(screen: ActingScreen, parcel: ParcelDetails) -> None:
    found = await screen.desk.call(_under_way, parcel.id)
    await screen.ask(ShowText(f"Parcel {parcel.id}", *_parts(screen, parcel, found)))


def _under_way(desk: Desk, parcel_id: int) -> UnderWay | None:
    return next((line for line in after_it_left(desk) if line.parcel.id == parcel_id), None)


def _parts(screen: ActingScreen, parcel: ParcelDetails, under_way: UnderWay | None) -> list[str | Secret]:
    today = screen.desk.today()
    money = {"Postage": parcel.cost, "Insured for": parcel.insured}
    address = ", ".join(part for part in (*parcel.address.splitlines(), parcel.country) if part)
    fields: list[tuple[str, str | Secret]] = [
        ("For", masking.full_name(parcel.participant)),
        ("Goes to", masking.full_name(parcel.to_name) if parcel.is_gift else ""),
        ("Address", masking.address(address)),
        ("Cards", with_tags_shown("; ".join(f"{claim.tag} {what_of(claim)}" for claim in parcel.claims))),
        ("Worth", values_words(parcel.values.items()) if parcel.values else ""),
        ("Also in it", masking.note("; ".join(parcel.lines))),
        ("Note", masking.note(parcel.gift_note)),
        ("Weight", f"{parcel.weight_grams} g" if parcel.weight_grams else ""),
        ("Tracking", masking.reference(parcel.tracking)),
        ("Its rule", parcel.standard),
        *((label, values_words([(parcel.currency or "", minor)]) if minor else "") for label, minor in money.items()),
        ("Left", day_words(parcel.shipped_on, today) if parcel.shipped_on else ""),
        ("Reported", day_words(parcel.loss_reported_on, today) if parcel.loss_reported_on else ""),
    ]
    if under_way is not None:
        by = f", by {day_words(under_way.next.by, today)}" if under_way.next.by else ""
        fields += [
            ("Next", f"{under_way.next.words}{by}"),
            ("Tell them", f"by {day_words(under_way.tell_by, today)}" if under_way.tell_by else ""),
        ]
    parts: list[str | Secret] = []
    for label, value in fields:
        parts += [f"{label}: ", value, "\n"] if value else []
    return [*parts, f"\n{CAUTION}"] if under_way is not None else parts


async def let_wait(screen: ActingScreen, name: str) -> Done | None:
    """Lets a participant's parcel wait for other cards or the next order, up to the house's limit."""
    today = screen.desk.today()
    about = (HINT, " Enter alone: as long as the house lets a card wait.")
    typed = await screen.ask(AskText("Until when does it wait?", *about, check=day_check(today, optional=True)))
    if typed is None:
        return None
    reason = await screen.ask(AskText("What does it wait for?", "Other cards, the next order; Enter alone is enough."))
    if reason is None:
        return None
    until = read_day(typed, today) if typed else None
    return await screen.carry_out(screen.desk.call(combine, name, until, reason))


async def about_waiting(screen: ActingScreen, item: Combining) -> Done | None:
    """Offers to end the waiting of a parcel, or to give it another day."""
    still = (
        f"{counted(len(item.still_to_come), 'card')} still to come." if item.still_to_come else "Nothing more to come."
    )
    picked = await screen.pick(
        "Their parcel waits for more",
        [("pack", "It waits no longer: pack what is here"), ("wait", "It waits until another day")],
        still,
        masking.note(f" {item.reason}"),
    )
    if picked == "pack":
        return await screen.carry_out(screen.desk.call(end_combining, item.name))
    return await let_wait(screen, item.name) if picked == "wait" else None
