"""What is done to a break: choose, start, end and count, and all else that its menu offers."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import date

from breakdesk.desk.breaks import BreakLine, BreakState, caught, end_break, list_breaks, start_break
from breakdesk.desk.night_photos import night_photos
from breakdesk.desk.problems import Problem
from breakdesk.files.typed_paths import typed_path
from breakdesk.rules.break_facts import Person
from breakdesk.rules.wording import counted
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.catch_linking import LinkActions
from breakdesk.tui.screens.catch_spots import SpotActions
from breakdesk.tui.screens.catch_video import VideoActions
from breakdesk.tui.screens.catch_words import FORMAT_WORDS
from breakdesk.tui.wording import day_words

NONE = "none"
MOST_BREAKS = 60
Step = Callable[[], Awaitable[object]]


class BreakActions(SpotActions, VideoActions, LinkActions):
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
        if self.state is not None:
            steps |= self._steps_of_break(self.state)
        steps["link"] = ("Link claims to a checklist", "those written down before it came", self.link_claims)
        return steps

    def _steps_of_break(self, state: BreakState) -> dict[str, tuple[str, str, Step]]:
        steps: dict[str, tuple[str, str, Step]] = {}
        if state.running:
            steps["end"] = ("End this break", "and count the pile", self._end)
        elif state.claims:
            steps["end"] = ("Count the pile", "against the claims on screen", self._end)
        if state.first_pack_at is None:
            steps["trade"] = ("Trade spots", "herons for otters", self.trade_spots)
            steps["paste"] = ("Paste a randomised list", "names beside teams", self.paste_spots)
            steps["draw"] = ("Draw the spots here", "fair, and anybody can check it", self.draw_spots)
        steps["swap"] = ("Swap between two people", "all that they hit in this break", self.swap_between_people)
        steps["video"] = ("Video", "link, and the day until which it is kept", self.ask_video)
        if state.claims:
            steps["photos"] = ("Photos from a folder", "matched to the claims in time order", self._photos)
        steps["clock"] = ("Correct the stream's clock", "for all claims of this break", self.ask_clock)
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
        on_screen = counted(state.claims, "claim")
        typed = await self.ask(
            AskText(
                f"{on_screen} on screen: count the pile.",
                "How many claim cards lie on it? Enter alone ends the break without a count."
                if state.running
                else "How many claim cards lie on it?",
                check=_count,
            )
        )
        if typed is None:
            return
        number = int(typed) if typed else None
        if number is None or number == state.claims:
            await self._ended(state, number, "")
            return
        claims = list(reversed(await self.desk.call(caught, seat.break_id)))
        self.app.push_screen(PileScreen(claims, number, lambda found: self.do(self._ended(state, number, found))))

    async def _ended(self, state: BreakState, on_pile: int | None, found: str) -> None:
        if not state.running:
            self.say(found or f"{state.claims} on screen, and as many on the pile.")
            return
        result = await self.desk.call(end_break, state.id, on_pile)
        said = result.sentence if isinstance(result, Problem) else result.said
        await self.refresh_night()
        self.say(f"{said} {found}".rstrip())

    async def _photos(self) -> None:
        from breakdesk.tui.screens.catch_photos import NightPhotosScreen

        if self.seat is None or self.seat.break_id is None:
            return
        break_id = self.seat.break_id
        typed = await self.ask(
            AskText(
                "Which folder holds the phone's photos?",
                "Its path; a folder dropped onto the terminal types it. Its letters are dots on air.",
                secret=True,
            )
        )
        if not typed:
            return
        self.say("Reading the photos…")
        folder = typed_path(typed)
        found = await self.desk.call(night_photos, break_id, folder)
        if isinstance(found, Problem):
            self.say(found.sentence)
            return
        self.say("")
        claims = await self.desk.call(caught, break_id)
        self.app.push_screen(NightPhotosScreen(break_id, folder, found, claims), self._photos_kept)

    def _photos_kept(self, said: str | None) -> None:
        if said:
            self.say(said, undoable=True)

    async def add_person(self, typed: str = "") -> Person | None:
        """Add a participant."""
        raise NotImplementedError

    async def _add(self) -> None:
        await self.add_person()


def _detail(line: BreakLine, today: date) -> str:
    how = "running" if line.running else "ended" if line.ended else ""
    claims = "" if not line.claims else counted(line.claims, "claim")
    night = day_words(line.night, today)
    return " · ".join(part for part in (how, night, FORMAT_WORDS.get(line.format, line.format), claims) if part)


def _count(text: str) -> str | None:
    return None if not text or (text.isascii() and text.isdigit() and len(text) < 6) else "A number, or nothing."
