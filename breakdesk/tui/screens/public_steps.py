"""The public list: one post with handles and cards, which counts as telling where the house says so."""

from __future__ import annotations

from breakdesk.desk.desk import Desk
from breakdesk.desk.public_list import posted, public_list
from breakdesk.rules.wording import counted
from breakdesk.store.parties import read_house
from breakdesk.tui.dialogs import Confirm, ShowText
from breakdesk.tui.screens.acting_screen import ActingScreen


async def show_public_list(screen: ActingScreen) -> bool:
    """Show the post to be copied, and ask whether it was posted where that counts; whether anybody was told by it."""
    shown = await screen.desk.call(public_list)
    if not shown.people:
        screen.say("Nothing is new that a public list may say.")
        return False
    parts = shown.message.parts
    for number, part in enumerate(parts, start=1):
        # Handles and cards only: the stream may read it.
        which = f", part {number} of {len(parts)}" if len(parts) > 1 else ""
        await screen.ask(ShowText(f"The public list{which}: copy it, post it, close this", part))
    if not await screen.desk.call(_counts):
        screen.say("A posted list tells nobody here; the settings decide whether it counts.")
        return False
    yes = await screen.ask(
        Confirm(
            "Was it posted?",
            f"Everybody on it ({counted(len(shown.people), 'participant')}) counts as told of these cards then; urgent "
            "news stays to be told.",
            yes="Posted: they are told what it says",
            no="Not posted",
        )
    )
    return bool(yes) and await screen.carry_out(screen.desk.call(posted, shown)) is not None


def _counts(desk: Desk) -> bool:
    house = read_house()
    return house.terms.on("public_list_tells", house.today(desk.clock.as_of())) == "on"
