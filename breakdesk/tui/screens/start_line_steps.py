"""Drawing the start line from a screen: over how many weeks, what it would do, and then yes or no."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from breakdesk.desk.problems import Problem
from breakdesk.desk.start_line import USUAL_WEEKS, draw_start_line, foresee
from breakdesk.tui.dialogs import AskText, Confirm, Dialog
from breakdesk.tui.load_words import line_parts, weeks_check

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

EXPLAINED = (
    "What waited before today is spread over so many weeks from tomorrow on. You see what it does before it is done."
)


async def draw_a_start_line(desk: Breakdesk) -> str:
    """Asks, shows and draws; returns what to say at the foot, empty where nothing was done."""

    async def ask(dialog: Dialog[Any]) -> Any:
        return await desk.push_screen_wait(dialog)

    weeks = await ask(AskText("Over how many weeks?", EXPLAINED, value=str(USUAL_WEEKS), check=weeks_check))
    if weeks is None:
        return ""
    foreseen = await desk.call(foresee, int(weeks))
    if isinstance(foreseen, Problem):
        return foreseen.sentence
    if not await ask(Confirm("Draw the start line today?", *line_parts(foreseen), yes="Draw it")):
        return ""
    done = await desk.call(draw_start_line, int(weeks))
    await desk.read_house_again()
    if isinstance(done, Problem):
        return done.sentence
    return "The start line is drawn. On Today, u takes it back."
