"""All messages that are left, written to files instead of copied one by one; told only when somebody says so."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem, Result
from breakdesk.desk.reaching import WrittenMessage, write_messages
from breakdesk.desk.telling import mark_told
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.wording import person_words


async def write_all(screen: ActingScreen, people: Sequence[int]) -> bool:
    """Asks for a folder, writes the messages, then asks whether they count as told; whether anybody was told."""
    start = screen.desk.desk.path.with_name(f"messages {screen.desk.now():%Y-%m-%d %H%M}")
    title = f"Write the {len(people)} messages that are left into which folder?"
    folder = await screen.ask(AskText(title, "It is made anew; one text file a person.", value=str(start), secret=True))
    if not folder:
        return False
    written = await screen.desk.call(write_messages, people, folder)
    if isinstance(written, Problem):
        screen.say(written.sentence)
        return False
    screen.say(f"{len(written)} messages are written. Nobody is marked as told yet.")
    yes = await screen.ask(
        Confirm(
            f"Mark these {len(written)} as told?",
            "A message counts as told when you say so. Each can be undone by name.",
            yes=f"Mark all {len(written)} as told",
            no="Not yet: they stay in this round",
        )
    )
    marked = 0
    for message in written if yes else ():
        name = person_words(message.name, message.handle, message.on_air_name)
        marked += await screen.carry_out(screen.desk.call(_mark_written, message), name) is not None
    if marked:
        screen.say(f"{marked} are marked as told.", undoable=True)
    return marked > 0


def _mark_written(desk: Desk, message: WrittenMessage) -> Result:
    return mark_told(desk, message.person_id, message.claim_ids, message.channel, message.text, message.template)
