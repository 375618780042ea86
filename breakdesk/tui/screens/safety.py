"""Safety: backups, what opens the codes, and who can read the desk, each with what can be done about it."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Final, cast

from textual.app import ComposeResult

from breakdesk.desk import backups, locking
from breakdesk.desk.checking import verify
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.safety import Safety, lock_codes, recovery_page, safety, write_recovery_page
from breakdesk.store import keys
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.safety_rows import SafetyRow, backup_words, instant_words, safety_rows
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import path_words, without_home

ON_AIR: Final = "Keys are never changed or shown on air. F9 goes off air."
MOST_FAULTS: Final = 20
ELSEWHERE: Final = "elsewhere"
_OFF_AIR = frozenset({"lock", *keys.WAYS})


class SafetyScreen(ActingScreen):
    """Whether the desk is safe."""

    TITLE_WORDS = "Safety"
    ABOUT = (
        "Backups, what opens the codes of the claim cards, and who can read the desk. Enter does what the sentences "
        "below the list say. Keys are shown and changed off air only."
    )
    CONTEXT = "safety"
    ENTER_WORDS = "Do it"
    BINDINGS = bindings(())

    def __init__(self) -> None:
        """Make the screen."""
        super().__init__()
        self._safety: Safety | None = None

    def compose_body(self) -> ComposeResult:
        """Lay out the rows and what the one under the cursor means."""
        yield LongList(
            [Column(title="What", width=18, stretch=1), Column(title="How it stands", width=26, stretch=2)],
            id="safety-rows",
        )
        yield Paragraph("", id="safety-about")

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_again()

    async def reload(self) -> None:
        """Read how it stands."""
        self._safety = await self.desk.call(safety)
        found = safety_rows(self._safety, self.desk.now())
        rows = [Row(row, (row.label, row.now), "strong" if row.strong else "plain") for row in found]
        shown = self.query_one(LongList)
        shown.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=shown.cursor)
        shown.focus()

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        """Say what the row under the cursor means."""
        if event.row is not None:
            self.query_one("#safety-about", Paragraph).show(cast("SafetyRow", event.row.key).about)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Do what the row says."""
        row = cast("SafetyRow", event.row.key)
        if row.kind in _OFF_AIR and self.desk.on_air:
            self.say(ON_AIR)
            return
        steps = {
            "make": self._back_up,
            "check": self._check_backups,
            "copy": self._copy_elsewhere,
            "restore": self._restore,
            "unlock": self._unlock,
            "lock": self._lock,
            keys.KEY_FILE: self._key_file,
            keys.PASSPHRASE: self._passphrase,
            keys.KEYRING: self._keyring,
            keys.RECOVERY: self._recovery_key,
            "verify": self._verify,
        }
        if row.kind in steps:
            self.walk(steps[row.kind]())

    # Backups: made and read on a thread of their own, so that the desk goes on meanwhile.

    async def _back_up(self, target: Path | None = None) -> None:
        self.say("The backup is being made…")
        made = await asyncio.to_thread(backups.back_up, self.desk.desk.path, self.desk.desk.clock, target)
        if isinstance(made, Problem):
            self.say(without_home(made.sentence))
        else:
            self.say(without_home(" ".join((f"Written and proved: {path_words(made.path)}.", *made.notes))))
        await self.reload()

    async def _check_backups(self) -> None:
        self.say("Every backup is being read…")
        found = await asyncio.to_thread(backups.list_backups, self.desk.desk.path)
        zone = self.desk.now().tzinfo
        lines = [
            f"{backup_words(one, zone)}: {without_home(faults[0]) if faults else 'whole'}" for one, faults in found
        ]
        broken = sum(bool(faults) for _, faults in found)
        said = f"{broken} of {len(found)} backups are not whole." if broken else "Every backup is whole."
        self.say(said if found else "There is no backup yet.")
        if found:
            await self.ask(ShowText(said, without_home("\n".join(lines))))

    async def _copy_elsewhere(self) -> None:
        path = await self._ask_path(
            "Where to?", "A new file on a stick or another disk, such as E:\\desk.backup or /media/stick/desk.backup."
        )
        if path is not None:
            await self._back_up(path)

    async def _restore(self) -> None:
        zone, known = self.desk.now().tzinfo, self._safety.backups if self._safety else ()
        choices = [(str(place), backup_words(one, zone)) for place, one in enumerate(known)]
        choices.append((ELSEWHERE, "A backup that stands elsewhere"))
        chosen = await self.pick("Which backup?", choices, "The newest stands first. The desk in use stays as it is.")
        if chosen == ELSEWHERE:
            path = await self._ask_path("Which file?", "The whole path of a backup, as on a stick.")
        else:
            path = known[int(chosen)].path if chosen is not None else None
        if path is not None:
            await self._restore_to(path)

    async def _restore_to(self, backup: Path) -> None:
        path = await self._ask_path("A new desk file", "Name a file that does not exist yet, such as restored.db.")
        if path is None:
            return
        self.say("The backup is being read to its last line…")
        made = await asyncio.to_thread(backups.restore, backup, path, self.desk.desk.path)
        if isinstance(made, Problem):
            self.say(without_home(made.sentence))
            return
        self.say(f"Written and proved: {path_words(made.path)}.")
        look = f"Leave Breakdesk, then look at it with: breakdesk --desk {path_words(made.path)}"
        await self.ask(
            ShowText("A new desk from a backup", without_home("\n \n".join((made.said, *made.missing, look))))
        )

    async def _ask_path(self, title: str, about: str) -> Path | None:
        text = cast("str | None", await self.ask(AskText(title, about, check=needed)))
        return None if text is None else _beside(self.desk.desk.path, text)

    # Codes

    async def _lock(self) -> None:
        problem = await self.desk.call(lock_codes)
        self.say(problem.sentence if problem else "The codes are locked.")
        await self.reload()

    async def _unlock(self) -> None:
        typed = await self.ask(AskText("Passphrase or recovery key", dots=True, check=needed))
        if typed is None:
            return
        problem = await self.desk.call(locking.unlock, typed)
        self.say(problem.sentence if problem else "The codes are open until you leave, or lock them.")
        await self.reload()

    async def _key_file(self) -> None:
        if not self._has(keys.KEY_FILE):
            await self.changed(self.desk.call(locking.add_key_file))
        elif await self._is_sure_to_remove(keys.KEY_FILE):
            await self.changed(self.desk.call(locking.remove_way, keys.KEY_FILE))

    async def _keyring(self) -> None:
        if not self._has(keys.KEYRING):
            await self.changed(self.desk.call(locking.add_keyring))
        elif await self._is_sure_to_remove(keys.KEYRING):
            await self.changed(self.desk.call(locking.remove_way, keys.KEYRING))

    async def _passphrase(self) -> None:
        if self._has(keys.PASSPHRASE):
            choices = [("set", "Set another passphrase"), ("remove", "Take it away")]
            chosen = await self.pick("The passphrase", choices)
            if chosen == "remove" and await self._is_sure_to_remove(keys.PASSPHRASE):
                await self.changed(self.desk.call(locking.remove_way, keys.PASSPHRASE))
            if chosen != "set":
                return
        about = f"At least {locking.SHORTEST_PASSPHRASE} characters; several words are easy to keep in mind."
        first = await self.ask(AskText("The new passphrase", about, dots=True, check=_long_enough))
        if first is None:
            return
        again = await self.ask(AskText("The same again", dots=True, check=lambda text: _same(first, text)))
        if again is not None:
            await self.changed(self.desk.call(locking.add_passphrase, first))

    async def _recovery_key(self) -> None:
        choices = [("show", "Show it once on this screen"), ("page", "Write a page to print")]
        about = "A new recovery key opens this desk and the backups made from now on. An earlier one opens it no more."
        how = await self.pick("A new recovery key", choices, about)
        if how is None:
            return
        path = None
        if how == "page":
            hint = "A new file, such as ~/recovery-key.txt. Print it, then delete it."
            path = await self._ask_path("Where to?", hint)
            if path is None:
                return
        await self._make_recovery_key(path)

    async def _make_recovery_key(self, path: Path | None) -> None:
        result, key = await self.desk.call(locking.add_recovery_key)
        if not isinstance(result, Done):
            self.say(result.sentence)
            return
        page = recovery_page(self.desk.desk.path, self.desk.house.name, key, self.desk.today())
        written = write_recovery_page(path, page) if path is not None else None
        if isinstance(written, Path):
            self.say(f"The page is written: {path_words(written)}. Print it, then delete the file.")
        else:
            if written is not None:
                self.say(without_home(f"{written.sentence} The key is shown instead."))
            await self.ask(ShowText("Write it down or print it now: it is kept nowhere", masking.code(page)))
        await self.reload()

    def _has(self, kind: str) -> bool:
        return self._safety is not None and kind in self._safety.ways

    async def _is_sure_to_remove(self, kind: str) -> bool:
        question = f"Take the {kind} away?"
        about = "Codes then open by the ways that are left. Backups made before still open by it."
        return bool(await self.ask(Confirm(question, about, yes=f"Take the {kind} away")))

    # The desk

    async def _verify(self) -> None:
        self.say("The desk is being checked…")
        found = await self.desk.call(_faults)
        at = instant_words(self.desk.now(), self.desk.now())
        if found:
            self.say(f"{len(found)} things do not agree.")
            await self.ask(ShowText("What does not agree", masking.note(without_home("\n".join(found[:MOST_FAULTS])))))
        else:
            self.say(f"All agree ({at}): the history, every claim, every due day, every photo, the file itself.")


def _beside(desk_path: Path, text: str) -> Path:
    """The path that was typed; a name without its folder stands beside the desk, wherever the program was started."""
    return desk_path.parent / Path(text.strip("\"'")).expanduser()


def _faults(desk: Desk) -> list[str]:
    return list(verify(desk))


def _long_enough(text: str) -> str | None:
    is_short = len(text) < locking.SHORTEST_PASSPHRASE
    return f"It needs at least {locking.SHORTEST_PASSPHRASE} characters." if is_short else None


def _same(first: str, text: str) -> str | None:
    return None if text == first else "The two differ. Type the same again, or press Esc and begin anew."
