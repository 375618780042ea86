"""A maker's status page as it was pasted: what it says of each claim beside what the desk knows, before it is saved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.asking import ANSWER_WORDS, Answer, answers
from breakdesk.desk.looking import look
from breakdesk.desk.problems import Done
from breakdesk.rules.claim import Claim
from breakdesk.rules.page_matching import PageMatch, PageReading
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import Confirm, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.maker_answers import ask_for_offer
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

STANDS = "stands"
UNCLEAR = "not clear"
AS_BEFORE = "as before"
NOT_ON_PAGE = "not on the page"


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"page-look.{name}", keys=(key,), label=label, tooltip=tooltip, context="page-look")


COMMANDS = REGISTRY.add(
    _command("save", "s", "Save", "Save what is marked and the look; it asks first."),
    _command("mark", "space", "Mark", "Save what the page says of this one, or leave it as it is."),
    _command("change", "e", "What it says", "Say yourself what the page says of this one (also the Enter key)."),
)


class PageScreen(ActingScreen):
    """What a pasted page says; nothing is saved before a yes."""

    TITLE_WORDS = "The pasted page"
    ABOUT = (
        "The claims found on the page by their references, first those of which it seems to say something new. What is "
        "marked will be saved: Space marks or unmarks, Enter says it in your own reading, s saves after a yes. "
        "Esc leaves and saves nothing. The words on the page are kept as a note."
    )
    CONTEXT = "page-look"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, maker: str, reading: PageReading, saved: Callable[[Done, Iterable[Secret]], None]) -> None:
        """Make the screen of one reading; `saved` hears what was saved, with the secrets in its sentence."""
        super().__init__()
        self._maker = maker
        self._reading = reading
        self._saved = saved
        self._matches = sorted(reading.matches, key=lambda match: (not match.differs, match.reads_as is not None))
        # What each is said to be by the page or by the person, and the claims of which that will be saved.
        self._says = {m.claim.tag: STANDS if m.reads_as and not m.differs else m.reads_as for m in reading.matches}
        self._marked = {match.claim.tag for match in reading.moved}

    def hidden(self) -> tuple[Secret, ...]:
        """The references."""
        claims = (*(match.claim for match in self._matches), *self._reading.missing)
        return tuple(masking.reference(claim.reference) for claim in claims if claim.reference)

    def compose_body(self) -> ComposeResult:
        """Lay out what was found, the list, and the next step."""
        yield Paragraph(id="page-title", style="bold")
        columns = (
            Column(title="", width=1),
            Column(title="Reference", width=14, stretch=1),
            Column(title="Claim", width=8),
            Column(title="The page says", width=20),
            Column(title="Known until now", width=20, quiet=True),
            Column(title="Words on the page", width=18, stretch=3, priority=2, quiet=True),
        )
        yield LongList(columns, id="page-list")
        yield Paragraph(id="page-strangers")
        yield Paragraph(id="page-next", style="bold $accent")

    def on_mount(self) -> None:
        """Show what was found."""
        found, strangers = self._reading, self.query_one("#page-strangers", Paragraph)
        self.query_one("#page-title", Paragraph).show(
            f"{self._maker}: {counted(len(found.matches), 'claim')} found on the page, "
            f"{counted(len(found.moved), 'of them seems', 'of them seem')} to have moved. Nothing is saved yet."
        )
        strangers.display = bool(found.unknown)
        if found.unknown:
            strangers.show("On the page, but not waiting here: ", masking.reference(", ".join(found.unknown)))
        self._show()
        self.query_one(LongList).focus()

    async def reload(self) -> None:
        """Show the marks anew; the page itself does not change."""
        self._show()

    def _show(self) -> None:
        rows = [self._row(match) for match in self._matches]
        rows += [self._missing_row(claim) for claim in self._reading.missing]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        stand = counted(len(self._standing()), "claim stands", "claims stand")
        self.query_one("#page-next", Paragraph).show(
            f"s saves {counted(len(self._marked), 'answer')} and that {stand} as before. Enter changes what one says."
        )

    def _row(self, match: PageMatch) -> Row:
        claim = match.claim
        marked = claim.tag in self._marked
        word = self._says[claim.tag]
        said = {None: UNCLEAR, STANDS: AS_BEFORE}.get(word) or ANSWER_WORDS[word or ""]
        cells = (
            "✔" if marked else "",
            masking.reference(claim.reference),
            tag_words(claim.tag),
            said,
            ANSWER_WORDS[match.known] if match.known else "",
            masking.note(match.words),
        )
        return Row(claim.tag, cells, "strong" if marked else "plain")

    @staticmethod
    def _missing_row(claim: Claim) -> Row:
        cells = ("", masking.reference(claim.reference), tag_words(claim.tag), NOT_ON_PAGE, "", "")
        return Row(claim.tag, cells, "quiet")

    def _standing(self) -> list[str]:
        """The claims that the page shows as they were; not those that are unclear, unmarked or not on it."""
        return [tag for tag, word in self._says.items() if word == STANDS]

    def _current(self) -> str | None:
        row = self.query_one(LongList).current
        tag = None if row is None else cast("str", row.key)
        return tag if tag in self._says else None

    def action_mark(self) -> None:
        """Mark or unmark one."""
        tag = self._current()
        if tag is None:
            return
        if self._says[tag] in (None, STANDS):
            self.action_change()
            return
        self._marked ^= {tag}
        self._show()
        self.query_one(LongList).cursor += 1

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Enter says what one says."""
        self.action_change()

    def action_change(self) -> None:
        """Say what the page says of one."""
        tag = self._current()
        if tag is not None:
            self.walk(self._change(tag))

    async def _change(self, tag: str) -> None:
        words = next(match.words for match in self._matches if match.claim.tag == tag)
        choices = [*ANSWER_WORDS.items(), (STANDS, "nothing new: leave it as it is")]
        about = masking.note(f"The page says: “{words}”") if words else "The page says nothing beside it."
        word = await self.pick(f"What does the page say of {tag_words(tag)}?", choices, about)
        if word is not None:
            self._says[tag] = word
            (self._marked.discard if word == STANDS else self._marked.add)(tag)
        self._show()

    def action_save(self) -> None:
        """Save after a yes."""
        self.walk(self._save())

    async def _save(self) -> None:
        requests = await self._requests()
        if requests is None:
            return
        stand = self._standing()
        counts = Counter(request.word for request in requests)
        parts = [f"{count} {ANSWER_WORDS[word]}" for word, count in counts.items()]
        said = ", ".join([*parts, f"{len(stand)} as before"])
        question = Confirm("Save what the page says?", f"{said}.", yes="Save it", no="Not yet")
        if not await self.ask(question):
            return
        if requests:
            done = await self.carry_out(self.desk.call(answers, requests))
            if done is None:
                return
            self._saved(done, self.hidden())
        if await self.carry_out(self.desk.call(look, self._maker, stand, len(requests)), undoable=False) is not None:
            self.app.pop_screen()

    async def _requests(self) -> list[Answer] | None:
        """What is to be saved, None where it is left; an offer in the words that a participant will read."""
        requests = []
        for match in self._matches:
            tag, word = match.claim.tag, self._says[match.claim.tag]
            if tag not in self._marked or word is None:
                continue
            if word == "offers":
                offer = await ask_for_offer(self, [tag])
                if offer is None:
                    return None
                requests.append(offer)
            else:
                requests.append(Answer(tags=[tag], word=word, note=match.words))
        return requests
