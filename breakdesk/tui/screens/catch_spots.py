"""What is done to the spots of a break: trades, pasted lists, draws, swaps, and the board."""

from __future__ import annotations

from breakdesk.desk.drawing import CAUTION, open_draws, prepare_for_spots
from breakdesk.desk.handing import swap_people
from breakdesk.desk.ownership import people_of
from breakdesk.desk.trades import paste_list, people_called, trade
from breakdesk.rules.ownership import Owner
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_board import BoardDialog
from breakdesk.tui.screens.catch_draws import reveal_with_words
from breakdesk.tui.screens.catch_page import AskPage
from breakdesk.tui.screens.catch_words import BoardRow


class SpotActions(CatchBase):
    """Actions on the spots of the break at which a person sits."""

    async def trade_spots(self) -> None:
        """Trade spots by one line."""
        line = await self.ask(
            AskText(
                "Which trade?",
                "One line: herons for otters swaps two spots, herons to @handle gives one away, herons to house takes "
                "it back. The beginning of a name is enough.",
            )
        )
        if line and self.seat is not None and self.seat.break_id is not None:
            await self._changed_spots(trade, line)

    async def paste_spots(self) -> None:
        """Take a pasted list of who has which spot."""
        text = await self.ask(
            AskPage(
                "Paste the randomised list",
                "A name beside a team on each line, in either order; numbers before them do not matter. F12 takes it.",
            )
        )
        if text:
            await self._changed_spots(paste_list, text)

    async def _changed_spots(self, action: object, text: str) -> None:
        if self.seat is None or self.seat.break_id is None:
            return
        break_id = self.seat.break_id
        done = await self.carry_out(self.desk.call(action, break_id, text))  # type: ignore[arg-type]
        if done is not None:
            await self.sit(break_id, anew=True)

    async def draw_spots(self) -> None:
        """Draw the spots, in the open."""
        seat = self.seat
        if seat is None or seat.break_id is None or seat.table is None:
            return
        prepared = next((one for one in await self.desk.call(open_draws) if one.break_id == seat.break_id), None)
        if prepared is None:
            buyers = await self._buyers()
            if buyers is None or await self.carry_out(self.desk.call(prepare_for_spots, seat.break_id, buyers)) is None:
                return
            prepared = next((one for one in await self.desk.call(open_draws) if one.break_id == seat.break_id), None)
        if prepared is not None:
            await reveal_with_words(self, prepared)
            await self.sit(seat.break_id, anew=True)

    async def _buyers(self) -> list[int] | None:
        text = await self.ask(
            AskPage(
                "Who bought spots?", f"One handle on each line, once for every spot; house for one unsold. {CAUTION}"
            )
        )
        if not text:
            return None
        people = await self.desk.call(lambda _desk: people_of())
        buyers = []
        for number, line in enumerate(filter(None, map(str.strip, text.splitlines())), start=1):
            found = people_called(people, line)
            if line.casefold() == "house":
                buyers.append(0)
            elif len(found) == 1:
                buyers.append(found[0].id)
            else:
                self.say(f"Line {number} names {'nobody the desk knows' if not found else 'several people'}.")
                return None
        return buyers

    async def swap_between_people(self) -> None:
        """Swap all that two people hit."""
        seat = self.seat
        if seat is None or seat.break_id is None:
            return
        first = await self.ask_person("Swap between whom? The first:")
        second = await self.ask_person("And the second:") if first is not None else None
        if first is None or second is None:
            return
        reason = await self.ask(AskText("What was agreed?", "It is kept in the history."))
        if reason is not None:
            await self.carry_out(self.desk.call(swap_people, seat.break_id, first.ids[0], second.ids[0], reason))

    async def ask_person(self, title: str, *, house: bool = False) -> Owner | None:
        """Ask for a participant."""
        raise NotImplementedError

    def action_board(self) -> None:
        """Show the whole board."""
        self.do(self._board())

    async def _board(self) -> None:
        await self.ask(BoardDialog("Spots, who owns them, and how often they hit", await self.board()))

    async def board(self) -> list[BoardRow]:
        """Read the spots of the break."""
        raise NotImplementedError
