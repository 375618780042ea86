"""Who of many is written to: the list, narrowed down by what they have to hear, with single ones taken out."""

from __future__ import annotations

from datetime import date
from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.bulk import Recipient, Wanted, choose
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


class ChosenRecipients(ActingScreen):
    """The list of recipients, and choosing among them."""

    def __init__(self) -> None:
        """Make the screen; everybody is chosen."""
        super().__init__()
        self.found: tuple[Recipient, ...] = ()
        self._wanted = Wanted()
        self._words = "everybody who has something to hear"
        self._out: set[int] = set()

    def compose_body(self) -> ComposeResult:
        """Lay out what is chosen above the list."""
        yield Paragraph("", id="bulk-chosen")
        yield LongList(
            [
                Column(title="", width=3),
                Column(title="Participant", width=18, stretch=2),
                Column(title="By", width=13, priority=2),
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
        self.query_one("#bulk-chosen", Paragraph).show(f"{counted(len(keys), 'message')}: {self._words}.")

    def _row(self, item: Recipient, today: date) -> Row:
        taken = not item.left_out and item.person_id not in self._out
        missing = "address or number missing" if item.note else ""
        said = item.left_out or missing or ("quiet there now" if item.quiet_until else "")
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
            ("channel", "Who is written to in a certain way"),
            ("silent", "Who was told nothing for so many days"),
        ]
        way = await self.pick("Whom?", ways)
        chosen: tuple[Wanted, str] | None = None
        if way == "all":
            chosen = Wanted(), "everybody who has something to hear"
        elif way == "due":
            chosen = Wanted(due=True), "whose telling is due"
        elif way == "news":
            kinds = [("any", "Any"), *((word, title) for word, (title, _) in NEWS.items())]
            word = await self.pick("Which news?", kinds)
            chosen = None if word is None else (Wanted(news=word), f"who has news: {word.replace('_', ' ')}")
        elif way == "channel":
            word = await self.pick("Which way?", list(CHANNEL_WORDS.items()))
            chosen = None if word is None else (Wanted(channel=word), f"who is written to by {CHANNEL_WORDS[word]}")
        elif way == "silent":
            days = await self.ask(AskText("For how many days?", "Told nothing for so long, or never.", check=_days))
            chosen = None if days is None else (Wanted(silent_days=int(days)), f"told nothing for {days} days")
        if chosen is not None:
            self._wanted, self._words = chosen
            self._out.clear()
            await self.reload()

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Read a message."""
        self.walk(self._read(cast("Recipient", event.row.key)))

    async def _read(self, item: Recipient) -> None:
        telling = await self.desk.call(telling_for, item.person_id)
        await self.ask(ShowText("The message as it would be sent", masking.note(telling.message.whole)))


def _who(item: Recipient) -> Secret:
    return person_words(item.name, item.handle, item.on_air_name)


def _days(text: str) -> str | None:
    return None if text.isdecimal() and 1 <= int(text) <= 3650 else "A number of days, such as 30."
