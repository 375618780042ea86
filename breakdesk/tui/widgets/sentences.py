"""Today's sentences: a number, what it means, and the key that leads to its round."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.geometry import Region
from textual.message import Message
from textual.reactive import reactive

from breakdesk.tui.commands import key_words
from breakdesk.tui.widgets.cells import fit, wrap
from breakdesk.tui.widgets.lines import ACCENT, QUIET, Lines, spaces, words

KEY_WIDTH = 3
NUMBER_WIDTH = 6


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence of Today."""

    id: str
    number: int
    text: str
    """What the number counts, such as "claims to submit"."""
    key: str
    """The key of its round."""
    burning: str = ""
    """What cannot wait, as its own sentence; empty where nothing burns."""


class Sentences(Lines, can_focus=True):
    """The sentences under each other; the cursor walks them, Enter or a click chooses one."""

    BINDINGS = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("enter", "choose", "Open", show=False),
    ]

    cursor: reactive[int] = reactive(0, repaint=False)

    @dataclass
    class Chosen(Message):
        """A person chose a sentence."""

        sentences: Sentences
        sentence: Sentence

        @property
        def control(self) -> Sentences:
            """The widget that sent it."""
            return self.sentences

    def __init__(self, sentences: Iterable[Sentence] = (), *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._sentences = tuple(sentences)
        self._line_owner: list[int] = []

    def show(self, sentences: Iterable[Sentence]) -> None:
        """Show other sentences; the cursor stays where it is."""
        self._sentences = tuple(sentences)
        self.cursor = min(self.cursor, max(0, len(self._sentences) - 1))
        self.draw_anew()

    def build(self, width: int) -> list[Content]:
        """Return the sentences: key, number and text; below it what burns; an empty line between two."""
        lines: list[Content] = []
        self._line_owner = []
        for index, sentence in enumerate(self._sentences):
            new = self._sentence(index, sentence, width)
            if lines:
                new = [Content(""), *new]
            lines += new
            self._line_owner += [index] * len(new)
        return lines

    def _sentence(self, index: int, sentence: Sentence, width: int) -> list[Content]:
        here = self.has_focus and index == self.cursor
        key = key_words(sentence.key)
        indent = len("▸ ") + KEY_WIDTH + NUMBER_WIDTH + len("  ")
        room = max(1, width - indent)
        style = "bold" if sentence.number else QUIET
        first, *rest = wrap(sentence.text, room)
        head = Content.assemble(
            words("▸ " if here else "  ", ACCENT),
            words(fit(key, KEY_WIDTH), ACCENT),
            words(f"{sentence.number:>{NUMBER_WIDTH},}  ", style),
            words(first, style),
        )
        more = [words(text, style) for text in rest]
        more += [words(text, ACCENT) for text in wrap(sentence.burning, room) if text]
        return [head, *(Content.assemble(spaces(indent), part) for part in more)]

    def watch_cursor(self, before: int, now: int) -> None:
        """Draw anew only the sentences on which the cursor stood and stands."""
        lines = [line for line, owner in enumerate(self._line_owner) if owner in (before, now)]
        self.refresh(*(Region(0, line, self.content_size.width, 1) for line in lines))

    def action_move(self, step: int) -> None:
        """Move the cursor by sentences, stopping at the ends."""
        self.cursor = min(max(0, self.cursor + step), max(0, len(self._sentences) - 1))

    def action_choose(self) -> None:
        """Choose the sentence under the cursor."""
        if self._sentences:
            self.post_message(self.Chosen(self, self._sentences[self.cursor]))

    def on_focus(self) -> None:
        """Show the cursor."""
        self.refresh()

    def on_blur(self) -> None:
        """Hide the cursor."""
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Choose the sentence that was clicked."""
        offset = event.get_content_offset(self)
        if offset is not None and offset.y < len(self._line_owner):
            self.cursor = self._line_owner[offset.y]
            self.action_choose()
