"""The desk's own fair draw for a card of several owners, from the decide round."""

from __future__ import annotations

from breakdesk.desk.drawing import CAUTION, OpenDraw, open_draws, prepare_for_claim, reveal_draw
from breakdesk.desk.problems import Result
from breakdesk.rules.draw import Receipt, short
from breakdesk.tui.dialogs import ShowText
from breakdesk.tui.screens.acting_screen import ActingScreen


async def draw_owner(screen: ActingScreen, tag: str) -> bool:
    """Commits to a draw, takes words that others call, draws and shows the receipt; whether the card has an owner.

    A draw that is left before its words stays prepared: its commitment was heard, so the next one goes on with it.
    """
    prepared = await _prepared(screen, tag)
    if prepared is None and await screen.carry_out(screen.desk.call(prepare_for_claim, tag), undoable=False):
        prepared = await _prepared(screen, tag)
    if prepared is None:
        return False
    words = await screen.ask_words(
        f"Draw: {prepared.draw.title}",
        f"Say this aloud before a word is called: {short(prepared.commitment)}\n"
        f"Whole: {prepared.commitment}\nIn the draw: {', '.join(prepared.draw.entries)}\n"
        "Then type the words that others call, with commas between, the last one not your own.\n"
        f"{CAUTION}",
    )
    if words is None:
        return False
    result, receipt = await screen.desk.call(reveal_draw, prepared.id, words.split(","))
    done = await screen.carry_out(_same(result), undoable=False)
    if done is not None and receipt is not None:
        await _show(screen, receipt)
    return done is not None


async def _prepared(screen: ActingScreen, tag: str) -> OpenDraw | None:
    return next((item for item in await screen.desk.call(open_draws) if item.tag == tag), None)


async def _same(result: Result) -> Result:
    return result


async def _show(screen: ActingScreen, receipt: Receipt) -> None:
    title = f"Drawn: {receipt.result[0]}. Anybody can check it: breakdesk recheck, with these lines kept as a file."
    await screen.ask(ShowText(title, receipt.to_text()))
