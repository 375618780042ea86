"""Search as you type over people, handles, players, tags and references."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, cast

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from breakdesk.desk.searching import Hit, look_for
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import handle_words, owner_words, person_words, short_state

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


BEGINNING = "Type a beginning: of a person, a handle, a player, a team, a tag or a reference."
NOTHING = "Nothing begins like that. Try fewer letters, the handle, or the tag on the sleeve."


class SearchScreen(DeskScreen):
    """Find anything by its first letters."""

    TITLE_WORDS = "Search"
    ABOUT = (
        "Type the first letters of a person, a handle, a player, a team, a tag or a reference. Several words narrow "
        "it down. Down goes to the list, Enter opens what the cursor is on."
    )
    CONTEXT = "search"
    ENTER_WORDS = "Open"
    BINDINGS = bindings(())

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the line above what it finds."""
        yield Input(placeholder="first letters of anything", id="search-line")
        yield LongList(
            [
                Column(title="What", width=8),
                Column(title="Name or card", width=22, stretch=3),
                Column(title="For", width=14, stretch=2),
                Column(title="Where it is", width=14, priority=2),
                Column(title="Product", width=16, stretch=1, priority=3, quiet=True),
            ],
            empty=BEGINNING,
            id="search-list",
        )

    def on_screen_resume(self) -> None:
        """Be ready to type."""
        self.query_one(Input).focus()

    @on(Input.Changed)
    def _search(self, event: Input.Changed) -> None:
        # The letter that was typed is drawn before anything is looked for.
        self.call_after_refresh(self._begin, event.value)

    def _begin(self, text: str) -> None:
        self.read_anew(partial(self._find, text), "search")

    async def _find(self, text: str) -> None:
        hits = await self.desk.call(look_for, text)
        self.query_one(LongList).empty = NOTHING if text.strip() else BEGINNING
        rows = [self._row(hit) for hit in hits]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=0)

    def _row(self, hit: Hit) -> Row:
        if hit.person_id is not None:
            name = person_words(hit.name, hit.handle, hit.on_air_name)
            return Row(hit, ("person", name, handle_words(hit.handle), hit.where, ""))
        owner = owner_words(hit.owner_kind, hit.name, hit.handle, hit.on_air_name, self.desk.house.name)
        return Row(hit, (tag_words(hit.tag), hit.what, owner, short_state(hit.where, hit.closed_how), hit.product))

    @on(Input.Submitted)
    def _open_first(self) -> None:
        row = self.query_one(LongList).current
        if row is not None:
            self._open(cast("Hit", row.key))

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Open what was found."""
        self._open(cast("Hit", event.row.key))

    def _open(self, hit: Hit) -> None:
        from breakdesk.tui.screens.claim import ClaimScreen
        from breakdesk.tui.screens.person import PersonScreen

        screen = PersonScreen(hit.person_id) if hit.person_id is not None else ClaimScreen(hit.tag)
        self.app.push_screen(screen)

    def on_key(self, event: object) -> None:
        """Let the arrows leave the line for the list."""
        key = getattr(event, "key", "")
        if key == "down" and self.query_one(Input).has_focus:
            self.query_one(LongList).focus()
        elif key == "up" and self.query_one(LongList).has_focus and self.query_one(LongList).cursor == 0:
            self.query_one(Input).focus()
