"""Many messages in one go: who is chosen, each message to read, and writing or sending with progress and a stop."""

from __future__ import annotations

import asyncio
import threading
from datetime import date
from pathlib import Path
from typing import Any, Final, cast

from textual.app import ComposeResult

from breakdesk.desk.bulk import Recipient, Wanted, choose
from breakdesk.desk.bulk_files import Form, ToWrite, mark_list_told, write_bulk
from breakdesk.desk.problems import Problem
from breakdesk.desk.reaching import CHANNEL_WORDS
from breakdesk.desk.sending import Sent, send_all
from breakdesk.desk.telling import telling_for
from breakdesk.files.mail_settings import MailSettings, mail_settings_path, read_mail_settings
from breakdesk.files.messages.eml import MailProblem
from breakdesk.files.messages.wording import NEWS
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText, Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, person_words


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"bulk.{name}", keys=(key,), label=label, tooltip=tooltip, context="bulk", footer=footer)


COMMANDS = REGISTRY.add(
    _command("narrow", "f", "Narrow", "Choose by news, channel or silence, or only those who are due."),
    _command("take", "x", "In or out", "Take the one under the cursor out, or in again."),
    _command("all", "a", "All or none", "Take everybody in, or nobody.", footer=False),
    _command("files", "w", "Write files", "Write a message for each into files; nobody is marked as told."),
    _command("send", "s", "Send e-mail", "Send by your own mail server; each message that it takes is marked as told."),
    _command("told", "t", "Files went out", "Mark as told, word for word, what files say that were written before."),
    _command("stop", "c", "Stop", "Stop between two messages; what is done stays done."),
)

FORMS: Final = (("eml", "E-mail drafts, one a message"), ("txt", "Text files"), ("csv", "One CSV file"))
PROGRESS_SECONDS: Final = 0.2


class BulkScreen(ActingScreen):
    """Messages to many."""

    TITLE_WORDS = "Messages to many"
    ABOUT = (
        "Everybody who has something to hear. Narrow it down by f, take single ones out by x, read each message by "
        "Enter. Then write files, or send by your own mail server. A message counts as told when the server took it, "
        "or when you say that the files went out. Whoever opted out is listed and never written to."
    )
    CONTEXT = "bulk"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen; everybody is chosen."""
        super().__init__()
        self._wanted = Wanted()
        self._words = "everybody who has something to hear"
        self._found: tuple[Recipient, ...] = ()
        self._out: set[int] = set()
        self._stop: threading.Event | None = None
        self._done = (0, 0)

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

    def on_mount(self) -> None:
        """Show how far it is while something goes on."""
        self.set_interval(PROGRESS_SECONDS, self._show_progress)
        self.query_one(LongList).focus()

    def on_screen_resume(self) -> None:
        """Read anew."""
        if self._stop is None:
            self.read_anew(self.reload, "choose participants")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While something goes on nothing else begins."""
        busy = self._stop is not None
        if action == "stop":
            return busy
        if action in ("narrow", "take", "all", "files", "send", "told"):
            return not busy
        return super().check_action(action, parameters)

    async def reload(self) -> None:
        """Read who fits."""
        self._found = await self.desk.call(choose, self._wanted)
        self._show()

    def _show(self) -> None:
        today = self.desk.today()
        rows = [self._row(item, today) for item in self._found]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        keys = self._keys
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
    def _keys(self) -> tuple[int, ...]:
        return tuple(item.person_id for item in self._found if not item.left_out and item.person_id not in self._out)

    def hidden(self) -> tuple[Secret, ...]:
        """Names stand in no sentence here on air."""
        return tuple(_who(item) for item in self._found)

    # Choosing

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
        self._out = set() if self._out else {item.person_id for item in self._found}
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

    # Files

    def action_files(self) -> None:
        """Write files."""
        self.walk(self._files(self._keys))

    async def _files(self, keys: tuple[int, ...]) -> None:
        if not keys:
            self.say("Nobody is chosen.")
            return
        form = await self.pick("Write what?", FORMS)
        if form is None:
            return
        place = await self.ask(
            AskText("Where?", "A new file." if form == "csv" else "A new folder.", secret=False, check=needed)
        )
        if place is None:
            return
        sender = MailProblem("") if form != "eml" else read_mail_settings(mail_settings_path())
        address = sender.sender if isinstance(sender, MailSettings) else ""
        if form == "eml" and not address:
            address = await self.ask(AskText("From which of your addresses?", secret=True, check=needed)) or ""
            if not address:
                return
        wanted = ToWrite(
            person_ids=keys,
            out=_path(place),
            form=cast("Form", form),
            from_address=address,
            from_name=sender.sender_name if isinstance(sender, MailSettings) else "",
        )
        written = await self._busy(self.desk.queue(write_bulk, wanted, self._progress))
        if isinstance(written, Problem):
            self.say(written.sentence)
            return
        left = f" {len(written.left_out)} could not be written: no address." if written.left_out else ""
        stopped = " You stopped it." if written.stopped else ""
        self.say(f"{written.count:,} written.{left}{stopped} Nobody is marked as told: t does when they went out.")

    def action_told(self) -> None:
        """Mark files as told."""
        self.walk(self._told())

    async def _told(self) -> None:
        place = await self.ask(AskText("Which folder or CSV file went out?", check=needed))
        if place is None:
            return
        result = await self._busy(self.desk.queue(mark_list_told, _path(place), self._progress))
        if isinstance(result, Problem):
            self.say(result.sentence)
            return
        told, problems = result
        if problems:
            await self.ask(ShowText("What could not be marked", masking.note("\n".join(problems))))
        await self.reload()
        self.say(f"{told:,} marked as told.")

    # Sending

    def action_send(self) -> None:
        """Send."""
        by_mail = {item.person_id for item in self._found if item.channel == "email"}
        self.walk(self._send(tuple(key for key in self._keys if key in by_mail)))

    async def _send(self, keys: tuple[int, ...]) -> None:
        settings = read_mail_settings(mail_settings_path())
        if isinstance(settings, MailProblem):
            self.say(settings.sentence)
            return
        if not keys:
            self.say("Nobody who is chosen is written to by e-mail.")
            return
        minutes = max(1, len(keys) // settings.per_minute)
        question = Confirm(
            f"Send {counted(len(keys), 'e-mail')} now?",
            f"At most {settings.per_minute} a minute, so about {minutes} min. Each that the server takes is marked as "
            "told. c stops between two.",
            yes="Send",
            no="Send nothing",
        )
        if not await self.ask(question):
            return
        stop = threading.Event()
        # The network has a thread of its own, so that the desk stays free between two messages.
        work = asyncio.get_running_loop().run_in_executor(
            None,
            lambda: send_all(
                lambda do, *given: self.desk.queue(do, *given).result(),
                settings,
                keys,
                progress=self._progress,
                pause=lambda seconds: cast("None", stop.wait(seconds)),
            ),
        )
        sent = await self._busy(work, stop)
        await self._say_sent(sent)

    async def _say_sent(self, sent: Sent | Problem) -> None:
        if isinstance(sent, Problem):
            self.say(sent.sentence)
            return
        if sent.not_sent:
            lines = (f"{item.name}: {item.why}." for item in sent.not_sent)
            await self.ask(ShowText("Not sent", masking.note("\n".join(lines))))
        await self.reload()
        stopped = f" {sent.stopped} {sent.left:,} left: s goes on." if sent.stopped else ""
        self.say(f"{len(sent.keys):,} sent and marked as told.{stopped}")

    # Going on

    def _progress(self, done: int, total: int) -> bool:
        self._done = (done, total)
        return self._stop is None or not self._stop.is_set()

    async def _busy(self, work: Any, stop: threading.Event | None = None) -> Any:
        self._stop, self._done = stop or threading.Event(), (0, 0)
        self.refresh_bindings()
        try:
            return await asyncio.wrap_future(work) if not asyncio.isfuture(work) else await work
        finally:
            self._stop = None
            self.refresh_bindings()

    def _show_progress(self) -> None:
        if self._stop is not None:
            done, total = self._done
            going = "Stopping after this one" if self._stop.is_set() else f"{done:,} of {total:,}"
            self.say(f"{going} …")

    def action_stop(self) -> None:
        """Stop."""
        if self._stop is not None:
            self._stop.set()


def _who(item: Recipient) -> Secret:
    return person_words(item.name, item.handle, item.on_air_name)


def _path(text: str) -> Path:
    return Path(text.strip()).expanduser()


def _days(text: str) -> str | None:
    return None if text.isdecimal() and 1 <= int(text) <= 3650 else "A number of days, such as 30."
