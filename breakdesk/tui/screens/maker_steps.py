"""The steps by which a maker is changed: how to write to it, its closed days, and what happened to all of it."""

from __future__ import annotations

from collections.abc import Awaitable, Iterable
from datetime import date

from breakdesk.desk.maker_list import keep_contact, makers_listed
from breakdesk.desk.makers import MarkMaker, clear_maker, mark_maker
from breakdesk.desk.problems import Problem, Result
from breakdesk.desk.terms import drop_closed_day, note_closed_day
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.settings_pages import Item
from breakdesk.tui.wording import day_words

NO_SUCCESSOR = "none"


class MakerSteps(ActingScreen):
    """A screen on which makers are changed."""

    async def settled(self, work: Awaitable[Result]) -> None:
        """Say what came of a change that is settled anew rather than undone, and show it."""
        result = await work
        self.say(result.sentence if isinstance(result, Problem) else result.said)
        await self.desk.read_house_again()
        await self.reload()

    async def change_maker(self, maker: str, item: Item, noted: Iterable[tuple[date, str]]) -> None:
        """Change what a row of a maker stands for."""
        if item.kind == "contact":
            old = "" if isinstance(item.now, str) else item.now.shown(on_air=False)
            dialog = AskText(f"How to write to {maker}?", "Leave it empty to forget it.", value=old, secret=True)
            contact = await self.ask(dialog)
            if contact is not None:
                await self.settled(self.desk.call(keep_contact, maker, contact))
        elif item.kind == "closed":
            await self._change_closed_days(maker, noted)
        elif item.since:
            await self._clear(maker)
        else:
            await self._mark(maker)

    async def _change_closed_days(self, maker: str, noted: Iterable[tuple[date, str]]) -> None:
        today = self.desk.today()
        choices = [("add", "Note another day")]
        choices += [
            (day.isoformat(), f"Drop {day_words(day, today)} {name}".rstrip())
            for day, name in sorted(noted)
            if day >= today
        ]
        picked = await self.pick(f"Closed days of {maker}", choices, "Public holidays are known; these are others.")
        if picked is None:
            return
        if picked != "add":
            await self.settled(self.desk.call(drop_closed_day, maker, date.fromisoformat(picked)))
            return
        day = await self.ask_day("On which day is the office closed?")
        if day is not None:
            await self.settled(self.desk.call(note_closed_day, maker, day))

    async def _mark(self, maker: str) -> None:
        what = await self.ask_words(
            f"What happened to {maker}?",
            "In a few words, such as: has closed, was bought, moved. It is noted at every claim it has still to fill.",
        )
        if what is None:
            return
        review_on = await self.ask_day("On which day do you look at it again?")
        if review_on is None:
            return
        held = await self.pick(
            "Ask this maker meanwhile?", [("hold", "Ask about no claim until that day"), ("ask", "Go on asking")]
        )
        if held is None:
            return
        others = [listed.name for listed in await self.desk.call(makers_listed) if listed.name != maker]
        choices = [(NO_SUCCESSOR, "Nobody, or not known"), *((f"by {name}", name) for name in others)]
        successor = await self.pick("Who carries on in its place?", choices)
        if successor is None:
            return
        text = await self.ask(
            AskText(
                "What are participants told?",
                "It becomes news for everybody who waits for this maker. Leave it empty to tell nothing now.",
            )
        )
        if text is None:
            return
        request = MarkMaker(
            maker=maker,
            what=what,
            review_on=review_on,
            text=text,
            hold_asks=held == "hold",
            successor="" if successor == NO_SUCCESSOR else successor.removeprefix("by "),
        )
        await self.changed(self.desk.call(mark_maker, request))

    async def _clear(self, maker: str) -> None:
        dialog = Confirm(
            f"Is {maker} as usual again?", "Its claims may be asked about again from today on.", yes="As usual again"
        )
        if await self.ask(dialog):
            await self.changed(self.desk.call(clear_maker, maker))


def some_words(text: str) -> str | None:
    """A check for dialogs: a name is needed."""
    return None if text else "A name is needed."
