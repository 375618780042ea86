"""Rows of a long list, where they come from, and the pages of them that are kept."""

from __future__ import annotations

import inspect
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field

from breakdesk.tui.masking import Secret

PAGE = 64
"""Rows asked for at a time."""
PAGES_KEPT = 16


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what it stands for, and its cells in the order of the columns."""

    key: object
    cells: tuple[str | Secret, ...]
    tone: str = "plain"
    """`plain`, `quiet` for what may be overlooked, `strong` for what must not; say why in a cell as well."""


Provider = Callable[[int, int], Sequence[Row] | Awaitable[Sequence[Row]]]
"""Gives at most `limit` rows from `offset` (from 0) on: `provider(offset, limit)`."""


def no_rows(_offset: int, _limit: int) -> Sequence[Row]:
    """Give nothing: the provider of a list that has been shown nothing yet."""
    return ()


@dataclass(slots=True)
class Pages:
    """What one call of `show` gave to the list, and the pages that have come since."""

    provider: Provider
    count: int
    pages: dict[int, Sequence[Row]] = field(default_factory=dict)
    under_way: bool = False
    """Whether a page was asked for that has not come."""

    def row(self, index: int) -> Row | None:
        """Return a row, None where it has not come."""
        page = self.pages.get(index // PAGE, ())
        place = index % PAGE
        return page[place] if place < len(page) else None

    def find(self, key: object) -> int | None:
        """The number of the row with a key among those that have come; None where it is not among them."""
        for page, rows in self.pages.items():
            for place, row in enumerate(rows):
                if row.key == key:
                    return page * PAGE + place
        return None

    def fetch(self, first: int, height: int) -> tuple[bool, Awaitable[None] | None]:
        """Whether `height` rows from `first` on are here, and what to await until a page of them has come.

        There is nothing to await while a page is under way that was asked for before.
        """
        for page in self._missing(first, height):
            if self.under_way:
                return False, None
            answer = self.provider(page * PAGE, PAGE)
            if inspect.isawaitable(answer):
                self.under_way = True
                return False, self._come(page, answer)
            self._keep(page, answer)
        return True, None

    async def _come(self, page: int, answer: Awaitable[Sequence[Row]]) -> None:
        try:
            self._keep(page, await answer)
        finally:
            self.under_way = False

    def _missing(self, first: int, height: int) -> list[int]:
        """Return the pages that have not come of `height` rows from `first` on."""
        last = min(self.count, first + height) - 1
        return [page for page in range(first // PAGE, last // PAGE + 1) if page not in self.pages]

    def _keep(self, page: int, rows: Sequence[Row]) -> None:
        """Keep a page, and let go of those farthest from it where there are too many."""
        self.pages[page] = rows
        while len(self.pages) > PAGES_KEPT:
            self.pages.pop(max(self.pages, key=lambda kept: abs(kept - page)))
