"""What is said of the video of a break: where it is seen, until when, and how its clock runs."""

from __future__ import annotations

from datetime import date
from typing import cast

from breakdesk.desk.video import correct_offset, set_video
from breakdesk.tui.day_entry import read_day
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_words import clock_words


class VideoActions(CatchBase):
    """Actions on the video of the break at which a person sits."""

    async def ask_video(self) -> None:
        """Ask where the video is seen, and until when."""
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

    async def ask_clock(self) -> None:
        """Ask how the stream's clock is to be corrected."""
        state = self.state
        if state is None:
            return
        now = clock_words(state.stream_seconds(self.desk.desk.clock.as_of()))
        text = await self.ask(
            AskText(
                "How long had the video run when the break was started?",
                f"Minutes and seconds such as 4:30, or -0:20 where it began later. The clock says {now} now.",
                value=_offset_words(state.video_offset),
                check=offset_problem,
            )
        )
        if text is not None:
            await self.carry_out(self.desk.call(correct_offset, state.id, cast("int", seconds_in(text))))


def _day_problem(text: str, today: date) -> str | None:
    if not text.strip():
        return None
    try:
        read_day(text, today)
    except ValueError as error:
        return str(error)
    return None


def seconds_in(text: str) -> int | None:
    """Minutes and seconds as they are typed, with a sign; None where that is none."""
    bare = text.strip()
    sign = -1 if bare.startswith("-") else 1
    parts = bare.lstrip("+-").split(":")
    if not 1 <= len(parts) <= 3 or not all(part.isascii() and part.isdigit() and len(part) < 4 for part in parts):
        return None
    total = 0
    for part in parts:
        total = total * 60 + int(part)
    return sign * total


def offset_problem(text: str) -> str | None:
    """What is wrong with minutes and seconds, or None."""
    return None if seconds_in(text) is not None else "Write it as minutes and seconds, such as 4:30."


def _offset_words(seconds: int) -> str:
    sign, whole = ("-" if seconds < 0 else ""), abs(seconds)
    return f"{sign}{whole // 60}:{whole % 60:02}"
