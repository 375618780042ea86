"""What came back from wherever postage was bought, shown row by row before anything of it is saved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from textual import events
from textual.app import ComposeResult

from breakdesk.desk.postage_back import ForeseenPostage
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import person_words, values_words

COMMANDS = REGISTRY.add(
    Command(
        id="postage-back.save",
        keys=("s",),
        label="Save",
        tooltip="Save all of it to the parcels; they stay here.",
        context="postage-back",
    ),
    Command(
        id="postage-back.depart",
        keys=("l",),
        label="Save, and let them leave",
        tooltip="Save all of it; every parcel whose mandatory steps are done leaves, the others stay and are named.",
        context="postage-back",
    ),
)


class PostageBackScreen(DeskScreen):
    """The rows of a returned file, and what would become of each."""

    TITLE_WORDS = "Postage that came back"
    ABOUT = (
        "What the file says of each parcel, by our number. Nothing is saved yet: s saves all of it, l also lets those "
        "parcels leave whose steps are done. One row that cannot be taken keeps the whole file out. Esc leaves it."
    )
    CONTEXT = "postage-back"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, name: str, rows: Sequence[ForeseenPostage]) -> None:
        """Make the screen of a file by its name; it ends with "save", "leave" or None."""
        super().__init__()
        self._file = name
        self._rows = tuple(sorted(rows, key=lambda row: (row.problem is None, not row.doubt)))

    def compose_body(self) -> ComposeResult:
        """Lay out what is said of the file above its rows."""
        yield Paragraph(id="postage-title", style="bold")
        yield LongList(
            [
                Column(title="Parcel", width=6),
                Column(title="For", width=14, stretch=1, priority=2),
                Column(title="Tracking", width=16, stretch=1),
                Column(title="Rule", width=13, stretch=1, priority=4, quiet=True),
                Column(title="Cost", width=10, right=True, priority=3),
                Column(title="Insured", width=11, right=True, priority=5),
                Column(title="What becomes of it", width=26, stretch=3),
            ],
            empty="No row of it names a parcel.",
            id="postage-list",
        )
        yield Paragraph(id="postage-below", style="$accent")

    def on_mount(self) -> None:
        """Show the rows."""
        wrong = sum(row.problem is not None for row in self._rows)
        doubtful = sum(bool(row.doubt) for row in self._rows)
        parts = [counted(len(self._rows), "row")]
        parts += [f"{wrong} that cannot be taken"] if wrong else []
        parts += [f"{doubtful} with a number in doubt"] if doubtful else []
        self.query_one("#postage-title", Paragraph).show(f"{self._file}: {', '.join(parts)}. Nothing is saved yet.")
        shown = [self._row(row) for row in self._rows]
        listing = self.query_one(LongList)
        listing.show(lambda offset, limit: shown[offset : offset + limit], len(shown))
        listing.focus()

    def _row(self, row: ForeseenPostage) -> Row:
        money = [
            values_words([(row.currency, minor)]) if minor is not None and row.currency else ""
            for minor in (row.cost, row.insured)
        ]
        return Row(
            row,
            (
                str(row.parcel_id or row.bought.parcel),
                person_words(row.name, row.handle, row.on_air_name),
                masking.reference(row.bought.tracking),
                row.standard,
                *money,
                self._outcome(row),
            ),
            "strong" if row.problem is not None else "plain",
        )

    @staticmethod
    def _outcome(row: ForeseenPostage) -> str:
        if row.problem is not None:
            return f"Line {row.bought.line}: {row.problem.what}"
        stays = f"stays: {counted(len(row.open_steps), 'step open', 'steps open')}" if row.open_steps else "can leave"
        return f"{stays}; compare the number with the label" if row.doubt else stays

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        """Say below the list the whole of what is odd about the row under the cursor."""
        if event.row is None:
            return
        row = cast("ForeseenPostage", event.row.key)
        said = row.problem.sentence if row.problem is not None else row.doubt
        waits = f"Open steps: {', '.join(row.open_steps)}." if row.open_steps else ""
        text = " ".join(part for part in (said, waits) if part)
        # What is doubted is spelled out in the sentence.
        self.query_one("#postage-below", Paragraph).show(veiled(text, [masking.reference(row.bought.tracking)]))

    def action_save(self) -> None:
        """Save."""
        self._answer("save")

    def action_depart(self) -> None:
        """Save, and let them leave."""
        self._answer("leave")

    def _answer(self, answer: str) -> None:
        if any(row.problem is not None for row in self._rows) or not self._rows:
            self.say("The file is taken whole or not at all: correct the marked rows and read it again.")
        else:
            self.dismiss(answer)

    def on_key(self, event: events.Key) -> None:
        """Escape answers, too: whoever opened this screen waits for it."""
        if event.key == "escape":
            event.stop()
            self.action_leave()

    def action_leave(self) -> None:
        """Leave it: nothing was saved."""
        self.dismiss(None)
