"""Cards of several owners: the desk's own fair draw, what was done on camera, or a reason."""

from __future__ import annotations

from breakdesk.desk.breaks import Caught
from breakdesk.desk.drawing import CAUTION, OpenDraw, drop_draw, open_draws, prepare_for_claim, reveal_draw
from breakdesk.desk.handing import settle
from breakdesk.desk.problems import Problem
from breakdesk.rules.claim import HOUSE_PARTY
from breakdesk.rules.draw import Receipt, short
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText, Confirm, ShowText
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_words import person_words, worded

CAMERA_WAYS = {"list": "a randomised list", "dice": "dice", "wheel": "a wheel"}
HOUSE = "house"


async def settle_shared(screen: CatchBase, target: Caught) -> None:
    """Settle a shared card in one of the ways."""
    tag = target.claim.tag
    open_now = next((item for item in await screen.desk.call(open_draws) if item.tag == tag), None)
    choices = [
        Choice("draw", "Go on with the prepared draw" if open_now else "Draw here", "fair, and anybody can check it"),
        Choice("camera", "It was drawn on camera", "say how: list, dice or wheel, times, result"),
        Choice("reason", "Choose with a reason"),
    ]
    if open_now:
        choices.append(Choice("drop", "Give the prepared draw up", "with a reason"))
    way = await screen.pick(f"{tag_words(tag)} belongs to several. How is it settled?", choices, CAUTION)
    if way == "draw":
        await _draw(screen, tag, open_now)
    elif way == "drop" and open_now:
        await _drop(screen, open_now)
    elif way in ("camera", "reason"):
        await _settle_by_hand(screen, target, on_camera=way == "camera")


async def _draw(screen: CatchBase, tag: str, open_now: OpenDraw | None) -> None:
    if open_now is None:
        if await screen.carry_out(screen.desk.call(prepare_for_claim, tag)) is None:
            return
        open_now = next((item for item in await screen.desk.call(open_draws) if item.tag == tag), None)
    if open_now is not None:
        await reveal_with_words(screen, open_now)


async def reveal_with_words(screen: CatchBase, prepared: OpenDraw) -> None:
    """Show the commitment, take words from the chat, draw, and show the receipt."""
    listed = ", ".join(prepared.draw.entries)
    words = await screen.ask(
        AskText(
            f"Draw: {prepared.draw.title}",
            f"Say this aloud before a word is called: {short(prepared.commitment)}\n"
            f"Whole: {prepared.commitment}\nIn the draw: {listed}\n"
            "Then take words from the chat, all of them and the last one not your own; type them with commas between.",
        )
    )
    if not words:
        screen.say("The draw stays prepared: choose it again to go on, or give it up with a reason.")
        return
    result, receipt = await screen.desk.call(reveal_draw, prepared.id, words.split(","))
    if isinstance(result, Problem):
        screen.say(result.sentence)
        return
    screen.say(result.said)
    await screen.refresh_night()
    if receipt is not None:
        await show_receipt(screen, receipt)


async def show_receipt(screen: CatchBase, receipt: Receipt) -> None:
    """Show what anybody needs to check the draw."""
    result = ", ".join(receipt.result[:5])
    title = f"Drawn: {result}. Anybody can check it: breakdesk recheck, with these lines kept as a file."
    await screen.ask(ShowText(title, receipt.to_text()))


async def _drop(screen: CatchBase, prepared: OpenDraw) -> None:
    sure = await screen.ask(
        Confirm("Give the prepared draw up?", "Viewers have heard its commitment.", yes="Give it up", no="Keep it")
    )
    if sure:
        reason = await screen.ask(AskText("Why is it given up?"))
        if reason is not None:
            await screen.carry_out(screen.desk.call(drop_draw, prepared.id, reason))


async def _settle_by_hand(screen: CatchBase, target: Caught, *, on_camera: bool) -> None:
    tag, how = target.claim.tag, ""
    if on_camera:
        way = await screen.pick("What was used?", [Choice(key, words) for key, words in CAMERA_WAYS.items()])
        if way is None:
            return
        told = await screen.ask(
            AskText(
                "How often, and what came out?", "Such as: 7 times, list of 4, first was @handle.", check=_something
            )
        )
        if told is None:
            return
        how = f"Drawn on camera by {CAMERA_WAYS[way]}: {told}"
    else:
        told = await screen.ask(AskText("What is the reason?", "It is kept in the history.", check=_something))
        if told is None:
            return
        how = f"Chosen with a reason: {told}"
    choices = [Choice(str(person.id), person_words(person)) for person in target.people]
    if HOUSE_PARTY in target.claim.candidates:
        choices.append(Choice(HOUSE, "The house"))
    winner = await screen.pick(f"To whom did {tag_words(tag)} fall?", choices)
    if winner is None:
        return
    person = next((one for one in target.people if str(one.id) == winner), None)
    name = screen.desk.house.name if person is None else person_words(person)
    person_id = None if person is None else person.id
    said = worded(f"{tag_words(tag)} is settled: it is for ", name, ".")
    await screen.carry_out(screen.desk.call(settle, tag, person_id, how), said)


def _something(text: str) -> str | None:
    return None if text.strip() else "A few words are needed; Esc changes nothing."
