"""Deadlines, asks and tellings into a file for a calendar program."""

from __future__ import annotations

from breakdesk.desk.calendars import write_calendar_file
from breakdesk.desk.problems import Problem
from breakdesk.files.typed_paths import typed_path
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.wording import path_words

ABOUT = (
    "An .ics file with deadlines, asks and tellings, each under its day. Import it into your calendar program; after "
    "writing it again, what moved moves, what is done is cancelled, and nothing doubles. People stand in it by handle."
)


async def write_calendar(screen: DeskScreen) -> None:
    """Ask where, and write it."""
    app = screen.desk_app
    desk = app.desk  # type: ignore[attr-defined]
    start = str(desk.path.with_name("claim cards.ics"))
    typed = await app.push_screen_wait(AskText("Write the calendar into which file?", ABOUT, value=start, secret=True))
    if not typed:
        return
    path = typed_path(typed)
    written = await desk.call(write_calendar_file, path)
    if isinstance(written, Problem):
        screen.say(masking.note(written.sentence))
        return
    done = f", {counted(written.done, 'earlier one')} cancelled" if written.done else ""
    screen.say(f"{counted(written.entries, 'entry', 'entries')} written to {path_words(path)}{done}.")
