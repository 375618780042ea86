"""What a participant said about their address: right as it stands, another one, or that they moved."""

from __future__ import annotations

from collections.abc import Awaitable
from dataclasses import dataclass

from breakdesk.desk.addresses import Concerned, KnownAddress, address_history, concerned_by_a_move
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.people import confirm_address, said_moved
from breakdesk.desk.problems import Result
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm, ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.wording import day_words


@dataclass(frozen=True, slots=True)
class Lives:
    """A participant and the address that is known now; both texts are empty where there is none."""

    person_id: int
    name: str
    address: str
    country: str


async def take_address(screen: ActingScreen, lives: Lives) -> bool:
    """Asks what they said about the address and records it; whether anything was."""
    choice = "new"
    if lives.address:
        choice = (
            await screen.pick(
                "What did they say about the address?",
                [
                    ("same", "It is right as it stands"),
                    ("new", "They gave another one"),
                    ("before", "Look at the addresses of before"),
                ],
                masking.address(", ".join((*lives.address.splitlines(), lives.country)).strip(", ")),
            )
            or ""
        )
    if choice == "same":
        return await _said(screen, screen.desk.call(confirm_address, lives.name))
    if choice == "new":
        return await _new_address(screen, lives)
    if choice == "before":
        await _show_before(screen, await screen.desk.call(_history, lives.person_id))
    return False


async def _new_address(screen: ActingScreen, lives: Lives) -> bool:
    given = await ask_address(screen, "Where do their cards go?", lives.country)
    return given is not None and await _said(screen, screen.desk.call(confirm_address, lives.name, *given))


async def ask_address(screen: ActingScreen, title: str, country: str) -> tuple[str, str] | None:
    """An address line by line and its country as a code; None where it was left. `country` is offered."""
    hint = "As it was given, its lines joined by commas; the country comes next."
    text = await screen.ask(AskText(title, hint, secret=True, check=needed))
    if not text:
        return None
    code = await screen.ask(AskText("Its country, as two letters?", "Such as US or DE.", value=country))
    if code is None:
        return None
    return "\n".join(part.strip() for part in text.split(",") if part.strip()), str(code)


def _history(_desk: Desk, person_id: int) -> tuple[KnownAddress, ...]:
    return address_history(person_id)


async def _show_before(screen: ActingScreen, known: tuple[KnownAddress, ...]) -> None:
    today = screen.desk.today()
    parts: list[str | Secret] = []
    for item in known:
        text = ", ".join(part for part in (*item.text.splitlines(), item.country) if part)
        days = [
            f"{label} {day_words(day, today)}"
            for label, day in (("since", item.since), ("confirmed", item.confirmed_on), ("moved away", item.moved_on))
            if day
        ]
        parts += ["now: " if item.is_present else "before: ", masking.address(text)]
        parts += [f" ({', '.join(days)})\n" if days else "\n"]
    await screen.ask(ShowText("Where their cards went", *parts))


async def they_moved(screen: ActingScreen, lives: Lives) -> bool:
    """Asks, records it, and shows what goes to the old address unless somebody is told."""
    question = Confirm("Did they say that they moved?", "Nothing goes to the old address then.", yes="They moved")
    if not await screen.ask(question) or not await _said(screen, screen.desk.call(said_moved, lives.name)):
        return False
    concerned = await screen.desk.call(concerned_by_a_move, lives.person_id)
    if concerned.from_makers or concerned.parcels:
        await screen.ask(ShowText("This goes to the old address", _concerned(concerned)))
    return True


def _concerned(concerned: Concerned) -> str:
    lines = [f"{tag_words(claim.tag)}  {what_of(claim)}" for claim in concerned.from_makers]
    if lines:
        lines.insert(0, "The maker sends these straight to them. Write to the maker:")
    if concerned.parcels:
        numbers = ", ".join(map(str, concerned.parcels))
        lines.append(f"Packed or on its way to the old address: parcel {numbers}.")
    return "\n".join(lines)


async def _said(screen: ActingScreen, work: Awaitable[Result]) -> bool:
    return await screen.carry_out(work, undoable=False) is not None
