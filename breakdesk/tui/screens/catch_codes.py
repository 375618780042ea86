"""Codes of claims that were just written down, and who may have seen them."""

from __future__ import annotations

from breakdesk.desk.breaks import Caught
from breakdesk.desk.codes import code_alike, enter_code, read_code
from breakdesk.desk.describing import what_of
from breakdesk.desk.submit_cards import readings_to_try
from breakdesk.desk.video import seen_now
from breakdesk.rules.codes import is_partial
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.submit_dialogs import alike_question
from breakdesk.tui.widgets.entry_line import EntryLine

IN_SIGHT = "What you type here can be read on the stream."
TYPED = "typed"


class CodeActions(CatchBase):
    """Actions on the code of one claim: the one chosen in the list, else the newest."""

    def needed(self) -> Caught | None:
        """The claim that a key is about; says so where there is none."""
        target = self.target
        if target is None:
            self.say("There is no claim yet.")
        return target

    def action_seen(self) -> None:
        """The code can be seen now."""
        target = self.needed()
        if target is not None:
            self.do(self._seen(target.claim.tag, ""))

    async def _seen(self, tag: str, viewer: str) -> None:
        await self.carry_out(self.desk.call(seen_now, tag, viewer))

    def action_reported(self) -> None:
        """A viewer said so."""
        self.do(self._reported())

    async def _reported(self) -> None:
        target = self.needed()
        if target is None:
            return
        viewer = await self.ask(AskText("Which viewer saw the code?", f"Type the handle. {IN_SIGHT}"))
        if viewer is not None:
            await self._seen(target.claim.tag, viewer)

    def action_code(self) -> None:
        """Enter the code."""
        self.do(self._code())

    async def _code(self) -> None:
        target = self.needed()
        if target is None:
            return
        code = await self._code_to_keep(target)
        if code is not None:
            await self.carry_out(self.desk.call(enter_code, target.claim.tag, code))

    async def take_code(self, text: str) -> None:
        """A scanner typed a code into the line of claims: offer to keep it where it belongs."""
        code, line = self.code_in(text), self.query_one(EntryLine)
        if await self._is_card(code):
            self.no_code = text
        else:
            text = " ".join(word for word in text.split() if word not in code.split())
        line.value, line.cursor_position = text, len(text)

    async def _is_card(self, code: str) -> bool:
        target = self.caught[0] if self.caught else None
        keep = [] if target is None else [Choice("keep", f"Keep it as the code of {tag_words(target.claim.tag)}")]
        choice = await self.pick(
            "That looks like the code of a claim card",
            [*keep, Choice("card", "It stands on the card: read it as part of the claim")],
            f"{what_of(target.claim)}. Esc lets go of it." if target is not None else "Esc lets go of it.",
        )
        if choice == "keep" and target is not None:
            alike = await self.desk.call(code_alike, target.claim.tag, code)
            if not alike or await self._keep_although_alike(alike):
                await self.carry_out(self.desk.call(enter_code, target.claim.tag, code))
        return choice == "card"

    async def _code_to_keep(self, target: Caught) -> str | None:
        """A code as it was typed, or another reading of the one that could not be read whole."""
        kept = await self.desk.call(read_code, target.claim.id)
        partial = isinstance(kept, str) and is_partial(kept)
        if isinstance(kept, str) and partial and not self.desk.on_air:
            choice = await self._reading_of(target, kept)
            if choice != TYPED:
                return choice
        off_air = " Off air its other readings are offered here, to try in turn." if partial else ""
        typed = ""
        while True:
            answer = await self.ask(
                AskText(
                    f"Code of {tag_words(target.claim.tag)}",
                    f"{what_of(target.claim)}. A scanner may type it. ? stands for an unreadable place.{off_air}",
                    value=typed,
                    secret=True,
                    check=something,
                )
            )
            if answer is None:
                return None
            typed = str(answer)
            alike = await self.desk.call(code_alike, target.claim.tag, typed)
            if not alike or await self._keep_although_alike(alike):
                return typed

    async def _reading_of(self, target: Caught, kept: str) -> str | None:
        readings = await self.desk.call(readings_to_try, kept)
        choices = [Choice(reading, masking.code(reading)) for reading in readings]
        return await self.pick(
            f"{tag_words(target.claim.tag)}: some places of its code could not be read",
            [Choice(TYPED, "Type it anew"), *choices],
            "The likeliest readings stand first; try them in turn with the maker.",
        )

    async def _keep_although_alike(self, alike: str) -> bool:
        return bool(await self.ask(alike_question(alike)))


def something(text: str) -> str | None:
    """Whether anything was typed."""
    return None if text.strip() else "A few letters are needed; Esc changes nothing."
