"""What is done to a break: choose, start, end and count, trades, lists, draws, video, and new people."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import date
from typing import cast

from breakdesk.desk.breaks import BreakLine, BreakState, caught, end_break, list_breaks, start_break
from breakdesk.desk.drawing import CAUTION, open_draws, prepare_for_spots
from breakdesk.desk.handing import swap_people
from breakdesk.desk.ownership import people_of
from breakdesk.desk.problems import Problem
from breakdesk.desk.trades import paste_list, people_called, trade
from breakdesk.desk.video import correct_offset, set_video
from breakdesk.rules.break_facts import Person
from breakdesk.rules.ownership import Owner
from breakdesk.tui.day_entry import read_day
from breakdesk.tui.dialogs import AskText, Choice
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_board import BoardDialog
from breakdesk.tui.screens.catch_draws import reveal_with_words
from breakdesk.tui.screens.catch_page import AskPage
from breakdesk.tui.screens.catch_words import FORMAT_WORDS, BoardRow, clock_words
from breakdesk.tui.wording import day_words

NONE = "none"
MOST_BREAKS = 60
Step = Callable[[], Awaitable[object]]


class BreakActions(CatchBase):
    """Actions on the break at which a person sits."""

    def action_other_break(self) -> None:
        """Go to the other running break."""
        self.do(self._other_break())

    async def _other_break(self) -> None:
        running = [item.id for item in await self.desk.call(lambda _desk: list_breaks(20)) if item.running]
        at = None if self.seat is None else self.seat.break_id
        if not [key for key in running if key != at]:
            self.say("No other break is running. Ctrl+B chooses or starts one.")
            return
        place = running.index(at) if at in running else -1
        await self.sit(running[(place + 1) % len(running)])

    def action_break_menu(self) -> None:
        """Offer what can be done to a break."""
        self.do(self._menu())

    async def _menu(self) -> None:
        steps = self._steps()
        choices = [Choice(key, label, detail) for key, (label, detail, _) in steps.items()]
        answer = choices[0].id if len(choices) == 1 else await self.pick("The break", choices)
        if answer is not None:
            await steps[answer][2]()

    def _steps(self) -> dict[str, tuple[str, str, Step]]:
        steps: dict[str, tuple[str, str, Step]] = {
            "choose": ("Choose or start a break", "or cards bought elsewhere", self._choose)
        }
        if self.seat is None:
            return steps
        steps["add"] = ("Add a person", "by the handle", self._add)
        if self.state is None:
            return steps
        if self.state.running:
            steps["end"] = ("End this break", "and count the pile", self._end)
        elif self.state.claims:
            steps["end"] = ("Count the pile", "against the claims on screen", self._end)
        if self.state.first_pack_at is None:
            steps["trade"] = ("Trade spots", "herons for otters", self._trade)
            steps["paste"] = ("Paste a randomised list", "names beside teams", self._paste)
            steps["draw"] = ("Draw the spots here", "fair, and anybody can check it", self._draw)
        steps["swap"] = ("Swap between two people", "all that they hit in this break", self._swap_people)
        steps["video"] = ("Video", "link, and the day until which it is kept", self._video)
        steps["clock"] = ("Correct the stream's clock", "for all claims of this break", self._clock)
        return steps

    # Choosing and starting

    async def _choose(self) -> None:
        lines = await self.desk.call(lambda _desk: list_breaks(MOST_BREAKS))
        choices = [Choice(str(line.id), line.name, _detail(line, self.desk.today())) for line in lines]
        choices.append(Choice(NONE, "No break", "cards bought elsewhere: name the owner in the line, else the house"))
        answer = await self.pick("Which break?", choices)
        if answer is None:
            return
        if answer == NONE:
            await self.sit(None)
            return
        line = next(line for line in lines if line.id == int(answer))
        if not line.running:
            later = "Write late claims down" if line.ended else "Only look, or trade spots"
            how = await self.pick(
                f"{line.name} is not running.",
                [
                    Choice("start", "Start it again" if line.ended else "Start it now", "this goes on air"),
                    Choice("look", later),
                ],
            )
            if how is None:
                return
            if how == "start":
                self.desk.on_air = True
                if await self.carry_out(self.desk.call(start_break, line.id)) is None:
                    return
        await self.sit(line.id)

    async def _end(self) -> None:
        from breakdesk.tui.screens.catch_pile import PileScreen

        seat, state = self.seat, self.state
        if seat is None or seat.break_id is None or state is None:
            return
        on_screen = "1 claim" if state.claims == 1 else f"{state.claims} claims"
        counted = await self.ask(
            AskText(
                f"{on_screen} on screen: count the pile.",
                "How many claim cards lie on it? Enter alone ends the break without a count."
                if state.running
                else "How many claim cards lie on it?",
                check=_count,
            )
        )
        if counted is None:
            return
        number = int(counted) if counted else None
        if number is None or number == state.claims:
            await self._ended(state, number, "")
            return
        claims = list(reversed(await self.desk.call(caught, seat.break_id)))
        self.app.push_screen(PileScreen(claims, number, lambda found: self.do(self._ended(state, number, found))))

    async def _ended(self, state: BreakState, counted: int | None, found: str) -> None:
        if not state.running:
            self.say(found or f"{state.claims} on screen, and as many on the pile.")
            return
        result = await self.desk.call(end_break, state.id, counted)
        said = result.sentence if isinstance(result, Problem) else result.said
        await self.refresh_night()
        self.say(f"{said} {found}".rstrip())

    # Spots

    async def _trade(self) -> None:
        line = await self.ask(
            AskText(
                "Which trade?",
                "One line: herons for otters swaps two spots, herons to @handle gives one away, herons to house takes "
                "it back. The beginning of a name is enough.",
            )
        )
        if line and self.seat is not None and self.seat.break_id is not None:
            await self._changed_spots(trade, line)

    async def _paste(self) -> None:
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

    async def _draw(self) -> None:
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

    async def _swap_people(self) -> None:
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

    async def add_person(self, typed: str = "") -> Person | None:
        """Add a participant."""
        raise NotImplementedError

    async def _add(self) -> None:
        await self.add_person()

    def action_board(self) -> None:
        """Show the whole board."""
        self.do(self._board())

    async def _board(self) -> None:
        await self.ask(BoardDialog("Spots, who owns them, and how often they hit", await self.board()))

    async def board(self) -> list[BoardRow]:
        """Read the spots of the break."""
        raise NotImplementedError

    # The video

    async def _video(self) -> None:
        state = self.state
        if state is None:
            return
        link = await self.ask(AskText("Where can the video be seen?", "Its web address.", value=state.video_link))
        if link is None:
            return
        today = self.desk.today()
        written = state.video_kept_until.isoformat() if state.video_kept_until else ""
        kept = await self.ask(
            AskText(
                "Until when is it kept there?",
                "A date, or a number of days from today; nothing where that is not known.",
                value=written,
                check=lambda text: _day_problem(text, today),
            )
        )
        if kept is not None:
            until = read_day(kept, today) if kept else None
            await self.carry_out(self.desk.call(set_video, state.id, link, until))

    async def _clock(self) -> None:
        state = self.state
        if state is None:
            return
        now = clock_words(state.stream_seconds(self.desk.desk.clock.as_of()))
        text = await self.ask(
            AskText(
                "How long had the video run when the break was started?",
                f"Minutes and seconds such as 4:30, or -0:20 where it began later. The clock says {now} now.",
                value=_offset_words(state.video_offset),
                check=_offset_problem,
            )
        )
        if text is not None:
            await self.carry_out(self.desk.call(correct_offset, state.id, cast("int", _seconds(text))))


def _detail(line: BreakLine, today: date) -> str:
    how = "running" if line.running else "ended" if line.ended else ""
    claims = "" if not line.claims else "1 claim" if line.claims == 1 else f"{line.claims} claims"
    night = day_words(line.night, today)
    return " · ".join(part for part in (how, night, FORMAT_WORDS.get(line.format, line.format), claims) if part)


def _count(text: str) -> str | None:
    return None if not text or (text.isascii() and text.isdigit() and len(text) < 6) else "A number, or nothing."


def _day_problem(text: str, today: date) -> str | None:
    if not text.strip():
        return None
    try:
        read_day(text, today)
    except ValueError as error:
        return str(error)
    return None


def _seconds(text: str) -> int | None:
    bare = text.strip()
    sign = -1 if bare.startswith("-") else 1
    parts = bare.lstrip("+-").split(":")
    if not 1 <= len(parts) <= 3 or not all(part.isascii() and part.isdigit() and len(part) < 4 for part in parts):
        return None
    total = 0
    for part in parts:
        total = total * 60 + int(part)
    return sign * total


def _offset_problem(text: str) -> str | None:
    return None if _seconds(text) is not None else "Write it as minutes and seconds, such as 4:30."


def _offset_words(seconds: int) -> str:
    sign, whole = ("-" if seconds < 0 else ""), abs(seconds)
    return f"{sign}{whole // 60}:{whole % 60:02}"
