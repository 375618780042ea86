"""Many messages in one go: writing or sending them, with progress and a stop."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, cast

from breakdesk.desk.bulk_files import Form, ToWrite, write_bulk
from breakdesk.desk.bulk_told import Marked, mark_list_told, take_list_back
from breakdesk.desk.problems import Problem
from breakdesk.desk.sending import Sent, send_all
from breakdesk.desk.under_way import settle_under_way, under_way
from breakdesk.files.mail_settings import MailSettings, mail_settings_path, read_mail_settings
from breakdesk.files.messages.eml import MailProblem
from breakdesk.files.typed_paths import typed_path
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText, Confirm, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.acting_screen import needed
from breakdesk.tui.screens.bulk_choosing import ChosenRecipients
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.wording import person_words


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"bulk.{name}", keys=(key,), label=label, tooltip=tooltip, context="bulk", footer=footer)


COMMANDS = REGISTRY.add(
    _command("narrow", "f", "Narrow", "Choose by news, maker, break, channel or silence; one narrows the other down."),
    _command("take", "x", "In or out", "Take the one under the cursor out, or in again."),
    _command("all", "a", "All or none", "Take everybody in, or nobody.", footer=False),
    _command("files", "w", "Write files", "Write a message for each into files; nobody is marked as told."),
    _command("send", "s", "Send e-mail", "Send by your own mail server; each message that it takes is marked as told."),
    _command("told", "t", "Files went out", "Mark as told, word for word, what files say that were written before."),
    _command("undo", "u", "Undo", "Take all messages of such files back at once: they did not go out.", footer=False),
    _command("doubt", "d", "In doubt", "Say what became of messages that nobody knows of.", footer=False),
    _command("stop", "c", "Stop", "Stop between two messages; what is done stays done."),
)

FORMS: Final = (("eml", "E-mail drafts, one a message"), ("txt", "Text files"), ("csv", "One CSV file"))
PROGRESS_SECONDS: Final = 0.2


class BulkScreen(ChosenRecipients):
    """Messages to many."""

    TITLE_WORDS = "Messages to many"
    ABOUT = (
        "Everybody who has something to hear. Narrow it down by f, take single ones out by x, read each message by "
        "Enter. Then write files, or send by your own mail server. A message counts as told when the server took it, "
        "or when you say that the files went out. Whoever opted out is listed and never written to."
    )
    CONTEXT = "bulk"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, *, due: bool = False) -> None:
        """Make the screen; everybody is chosen, or everybody whose telling is due."""
        super().__init__(due=due)
        self._written: Path | None = None
        self._stop: threading.Event | None = None
        self._done = (0, 0)

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
        if action in ("narrow", "take", "all", "files", "send", "told", "undo", "doubt"):
            return not busy
        return super().check_action(action, parameters)

    # Files

    def action_files(self) -> None:
        """Write files."""
        self.walk(self._files(self.keys))

    async def _files(self, keys: tuple[int, ...]) -> None:
        if not keys:
            self.say("Nobody is chosen.")
            return
        form = await self.pick("Write what?", FORMS)
        if form is None:
            return
        start = self.desk.desk.path.with_name(f"messages {self.desk.now():%Y-%m-%d %H%M}")
        start = start.with_suffix(".csv") if form == "csv" else start
        about = "A new file." if form == "csv" else "A new folder; one file a message."
        place = await self.ask(AskText("Where?", about, value=str(start), secret=True, check=needed))
        if place is None:
            return
        out = typed_path(place)
        sender = MailProblem("") if form != "eml" else read_mail_settings(mail_settings_path())
        address = sender.sender if isinstance(sender, MailSettings) else ""
        if form == "eml" and not address:
            address = await self.ask(AskText("From which of your addresses?", secret=True, check=needed)) or ""
            if not address:
                return
        wanted = ToWrite(
            person_ids=keys,
            out=out,
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
        said = f"{counted(written.count, 'message')} written.{left}{stopped}"
        self.say(f"{said} Nobody is marked as told: t does when they went out.")
        self._written = out
        question = Confirm(
            "Did they go out?",
            f"{said} They count as told when you say so, now or later by t; u takes all of them back at once.",
            yes=f"Mark all {written.count:,} as told",
            no="Not yet",
        )
        if written.count and await self.ask(question):
            await self._mark(mark_list_told, out, "marked as told", undoable=True)

    def action_told(self) -> None:
        """Mark files as told."""
        self.walk(self._told())

    async def _told(self) -> None:
        place = await self._ask_place("Which folder or CSV file went out?")
        if place is not None:
            await self._mark(mark_list_told, place, "marked as told", undoable=True)

    def action_undo(self) -> None:
        """Take them back."""
        self.walk(self._take_back())

    async def _take_back(self) -> None:
        place = await self._ask_place("Which folder or CSV file did not go out after all?")
        if place is not None:
            await self._mark(take_list_back, place, "taken back: they are to be told again")

    async def _ask_place(self, title: str) -> Path | None:
        written = "" if self._written is None else str(self._written)
        place = await self.ask(AskText(title, value=written, secret=True, check=needed))
        return None if place is None else typed_path(place)

    async def _mark(
        self, do: Callable[..., Marked | Problem], place: Path, said: str, *, undoable: bool = False
    ) -> None:
        result = await self._busy(self.desk.queue(do, place, self._progress))
        if isinstance(result, Problem):
            self.say(masking.note(result.sentence))
            return
        self._written = place
        if result.problems:
            await self.ask(ShowText("What could not be done", masking.note("\n".join(result.problems))))
        await self.reload()
        self.say(f"{result.count:,} {said}.", undoable=undoable)

    # Sending

    def action_send(self) -> None:
        """Send."""
        by_mail = {item.person_id for item in self.found if item.channel == "email"}
        self.walk(self._send(tuple(key for key in self.keys if key in by_mail)))

    async def _send(self, keys: tuple[int, ...]) -> None:
        settings = read_mail_settings(mail_settings_path())
        if isinstance(settings, MailProblem):
            self.say(settings.sentence)
            return
        if not keys:
            self.say("Nobody who is chosen is written to by e-mail.")
            return
        minutes = max(1, len(keys) // settings.per_minute)
        about = (
            f"At most {settings.per_minute} a minute, so about {minutes} min. Each that the server takes is marked as "
            "told. c stops between two."
        )
        although_quiet = False
        quiet = sum(bool(item.quiet) for item in self.found if item.person_id in keys)
        if quiet:
            held = f"For {counted(quiet, 'participant')} these are quiet hours, which you settled. "
            choices = [("no", "Send nothing"), ("yes", "Send, and leave those for later"), ("all", "Send to all now")]
            answer = await self.pick(f"Send {counted(len(keys), 'e-mail')} now?", choices, held, about)
            although_quiet = answer == "all"
            if answer not in ("yes", "all"):
                return
        elif not await self.ask(
            Confirm(f"Send {counted(len(keys), 'e-mail')} now?", about, yes="Send", no="Send nothing")
        ):
            return
        stop = threading.Event()
        # The network has a thread of its own, so that the desk stays free between two messages.
        work = asyncio.get_running_loop().run_in_executor(
            None,
            lambda: send_all(
                lambda do, *given: self.desk.queue(do, *given).result(),
                settings,
                keys,
                although_quiet=although_quiet,
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
        if await self.desk.call(under_way):
            stopped += " d says what became of those in doubt."
        self.say(f"{len(sent.keys):,} sent and marked as told.{stopped}")

    def action_doubt(self) -> None:
        """Settle messages in doubt."""
        self.walk(self._doubt())

    async def _doubt(self) -> None:
        found = {str(item.person_id): item for item in await self.desk.call(under_way)}
        if not found:
            self.say("No message is in doubt.")
            return
        names = [(key, person_words(item.name, item.handle, "")) for key, item in found.items()]
        about = "The line broke while these were on their way. Look whether each arrived, then say so."
        key = await self.pick("Which message?", names, about)
        if key is None:
            return
        answers = [("no", "It did not arrive: it can be sent again"), ("yes", "It arrived: they were told")]
        arrived = await self.pick("Did it arrive?", answers)
        if arrived is not None:
            work = self.desk.call(settle_under_way, found[key].person_id, arrived=arrived == "yes")
            await self.carry_out(work, dict(names)[key], undoable=arrived == "yes")
            await self.reload()

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
