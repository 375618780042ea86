"""The public list: one post with handles and cards, which counts as telling where the house says so."""

from __future__ import annotations

from breakdesk.desk.desk import Desk
from breakdesk.desk.public_list import posted, public_list
from breakdesk.rules.wording import counted
from breakdesk.store.parties import read_house
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.dialogs import Choice, Confirm, Pick
from breakdesk.tui.screens.acting_screen import ActingScreen


async def show_public_list(screen: ActingScreen) -> bool:
    """Copy the post, and ask whether it was posted where that counts; whether anybody was told by it."""
    shown = await screen.desk.call(public_list)
    if not shown.people:
        screen.say("Nothing is new that a public list may say.")
        return False
    # Handles and cards only: the stream may read it.
    choices = [Choice("copy", f"Copy it: {counted(len(shown.people), 'participant')}"), Choice("no", "Leave it")]
    if await screen.ask(Pick("The public list", choices, shown.message.whole)) != "copy":
        return False
    said = " ".join(copy_text(screen.desk, part) for part in shown.message.parts[:1])
    parts = len(shown.message.parts)
    for number, part in enumerate(shown.message.parts[1:], start=2):
        if not await screen.ask(Confirm(f"{said} Copy part {number} of {parts}?", yes="Copy the next part", no="Stop")):
            return False
        said = copy_text(screen.desk, part)
    if not await screen.desk.call(_counts):
        screen.say(f"{said} It tells nobody; Settings decide whether a posted list counts.")
        return False
    yes = await screen.ask(
        Confirm(
            "Was it posted?",
            f"{said} Once it was posted, everybody on it counts as told of these cards; urgent news stays to be told.",
            yes="Posted: they are told what it says",
            no="Not posted",
        )
    )
    return bool(yes) and await screen.carry_out(screen.desk.call(posted, shown)) is not None


def _counts(desk: Desk) -> bool:
    house = read_house()
    return house.terms.on("public_list_tells", house.today(desk.clock.as_of())) == "on"
