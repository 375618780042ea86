"""Who of many is written to: the list, narrowed down by what they have to hear, with single ones taken out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any, cast

from textual.app import ComposeResult

from breakdesk.desk.breaks import BreakLine, list_breaks
from breakdesk.desk.bulk import Recipient, Wanted, choose, makers_by_key
from breakdesk.desk.desk import Desk
from breakdesk.desk.reaching import CHANNEL_WORDS
from breakdesk.desk.telling import telling_for
from breakdesk.files.messages.wording import NEWS
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Paragraph, ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, person_words

Narrowed = tuple[dict[str, Any], str] | None
"""A further condition, and what it says of those who are left."""
EVERYBODY, DUE = "everybody who has something to hear", "whose telling is due"


class ChosenRecipients(ActingScreen):
    """The list of recipients, and choosing among them."""

    def __init__(self, *, due: bool = False) -> None:
        """Make the screen; everybody is chosen, or everybody whose telling is due."""
        super().__init__()
        self.found: tuple[Recipient, ...] = ()
        self._wanted = Wanted(due=due)
        self._conditions: dict[str, str] = {"due": DUE} if due else {}
        self._out: set[int] = set()

    def compose_body(self) -> ComposeResult:
        """Lay out what is chosen above the list."""
        yield Paragraph("", id="bulk-chosen")
        yield LongList(
            [
                Column(title="", width=3),
                Column(title="Participant", width=18, stretch=2),
                Column(title="By", width=14, priority=2),
                Column(title="News", width=4, right=True),
                Column(title="Waits", width=5, right=True),
                Column(title="Last told", width=11, priority=4),
                Column(title="To know", width=16, stretch=2, priority=3, quiet=True),
            ],
            empty="Nobody fits.",
            id="bulk-list",
        )

    async def reload(self) -> None:
        """Read who fits."""
        self.found = await self.desk.call(choose, self._wanted)
        self._show()

    def _show(self) -> None:
        today = self.desk.today()
        rows = [self._row(item, today) for item in self.found]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        keys = self.keys
        conditions = ", ".join(self._conditions.values()) or EVERYBODY
        self.query_one("#bulk-chosen", Paragraph).show(f"{counted(len(keys), 'message')}: {conditions}.")

    def _row(self, item: Recipient, today: date) -> Row:
        taken = not item.left_out and item.person_id not in self._out
        missing = "address or number missing" if item.note else ""
        said = item.left_out or missing or item.quiet
        return Row(
            item,
            (
                "yes" if taken else "no",
                _who(item),
                CHANNEL_WORDS[item.channel],
                str(item.news),
                str(item.waiting),
                day_words(item.last_told_on, today) if item.last_told_on else "never",
                said,
            ),
            tone="plain" if taken else "quiet",
        )

    @property
    def keys(self) -> tuple[int, ...]:
        """The participants who are chosen."""
        return tuple(item.person_id for item in self.found if not item.left_out and item.person_id not in self._out)

    def hidden(self) -> tuple[Secret, ...]:
        """Names stand in no sentence here on air."""
        return tuple(_who(item) for item in self.found)

    def action_take(self) -> None:
        """Take one in or out."""
        row = self.query_one(LongList).current
        item = None if row is None else cast("Recipient", row.key)
        if item is None:
            return
        if item.left_out:
            self.say(f"This one is left out: {item.left_out}.")
            return
        self._out ^= {item.person_id}
        self._show()

    def action_all(self) -> None:
        """Take all in, or none."""
        self._out = set() if self._out else {item.person_id for item in self.found}
        self._show()

    def action_narrow(self) -> None:
        """Choose by something."""
        self.walk(self._narrow())

    async def _narrow(self) -> None:
        ways = [
            ("all", "Everybody who has something to hear"),
            ("due", "Whose telling is due"),
            ("news", "Who has a certain kind of news"),
            ("maker", "Who waits for a maker"),
            ("break", "Who has claims from a break"),
            ("channel", "Who is written to in a certain way"),
            ("silent", "Who was told nothing for so many days"),
        ]
        about = "Each narrows the list further; the first one begins anew."
        way = await self.pick("Whom?", ways, about)
        if way == "all":
            await self._take_conditions(Wanted(), {})
        elif way is not None:
            found = await getattr(self, f"_by_{way}")()
            if found is not None:
                change, words = found
                await self._take_conditions(replace(self._wanted, **change), self._conditions | {way: words})

    async def _take_conditions(self, wanted: Wanted, conditions: dict[str, str]) -> None:
        self._wanted, self._conditions = wanted, conditions
        self._out.clear()
        await self.reload()

    async def _by_due(self) -> Narrowed:
        return {"due": True}, DUE

    async def _by_news(self) -> Narrowed:
        kinds = [("any", "Any"), *((word, title) for word, (title, _) in NEWS.items())]
        word = await self.pick("Which news?", kinds)
        return None if word is None else ({"news": word}, f"who has news: {word.replace('_', ' ')}")

    async def _by_maker(self) -> Narrowed:
        makers = dict(await self.desk.call(makers_by_key))
        key = await self.pick("Which maker?", [(str(key), name) for key, name in makers.items()])
        return None if key is None else ({"maker_id": int(key)}, f"who waits for {makers[int(key)]}")

    async def _by_break(self) -> Narrowed:
        breaks = {line.id: line.name for line in await self.desk.call(_breaks)}
        key = await self.pick("Which break? The latest first.", [(str(key), name) for key, name in breaks.items()])
        return None if key is None else ({"break_id": int(key)}, f"who has claims from {breaks[int(key)]}")

    async def _by_channel(self) -> Narrowed:
        word = await self.pick("Which way?", list(CHANNEL_WORDS.items()))
        return None if word is None else ({"channel": word}, f"who is written to by {CHANNEL_WORDS[word]}")

    async def _by_silent(self) -> Narrowed:
        days = await self.ask(AskText("For how many days?", "Told nothing for so long, or never.", check=_days))
        return None if days is None else ({"silent_days": int(days)}, f"told nothing for {counted(int(days), 'day')}")

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Read a message."""
        self.walk(self._read(cast("Recipient", event.row.key)))

    async def _read(self, item: Recipient) -> None:
        telling = await self.desk.call(telling_for, item.person_id)
        await self.ask(ShowText("The message as it would be sent", masking.note(telling.message.whole)))


def _breaks(_desk: Desk) -> list[BreakLine]:
    return list_breaks()


def _who(item: Recipient) -> Secret:
    return person_words(item.name, item.handle, item.on_air_name)


def _days(text: str) -> str | None:
    return None if text.isdecimal() and 1 <= int(text) <= 3650 else "A number of days, such as 30."
