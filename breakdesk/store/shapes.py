"""Makes claims of rows, column by column: a list reads tens of thousands of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, make_dataclass
from datetime import date
from typing import Any, Generic, TypeVar

from breakdesk.rules.claim import News

T = TypeVar("T")

DAYS_KEPT = 20_000
_FLAGS = frozenset({"seen_on_camera", "ask_held", "on_hold"})


class _Days(dict[str | None, date | None]):
    """Days by the text in which they are stored; the few thousand that occur are read once each."""

    def __missing__(self, text: str) -> date:
        if len(self) > DAYS_KEPT:
            self.clear()
            self[None] = None
        day = self[text] = date.fromisoformat(text)
        return day


def _keys(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split(";"))) if text else ()


def _told(text: str) -> tuple[date, ...]:
    return tuple(map(date.fromisoformat, text.split(";"))) if text else ()


_days = _Days({None: None})


def _conversion(name: str) -> Callable[[Any], Any] | None:
    """What turns a column's stored form into a claim's; None where they are the same."""
    if name.endswith(("_on", "_since")) or name in ("pull_day", "reply_by"):
        return _days.__getitem__
    if name in _FLAGS:
        return bool
    return {"candidates": _keys, "phase_told": _told}.get(name)


class Shape(Generic[T]):
    """How rows of the table `claim` become claims of one kind, whose last field is their news."""

    def __init__(self, kind: type[T]) -> None:
        self.kind = kind
        self.columns = tuple(field.name for field in fields(kind) if field.name != "news")  # type: ignore[arg-type]
        self.selected = ", ".join(f'claim."{name}"' for name in self.columns)
        found = ((place, _conversion(name)) for place, name in enumerate(self.columns))
        self._conversions = tuple((place, convert) for place, convert in found if convert is not None)
        # A frozen class sets each field by a call, which takes longer than reading the row. Its open twin has the same
        # slots, so that a filled twin can be made the real thing.
        self._open: Any = make_dataclass("_Open", [*self.columns, "news"], slots=True)

    def made(self, rows: Sequence[Sequence[Any]], news: Mapping[int, tuple[News, ...]]) -> list[T]:
        """The claims of some rows, in their order; the key stands first in each row."""
        if not rows:
            return []
        columns: list[Any] = list(zip(*rows, strict=True))
        keys = columns[0]
        for place, convert in self._conversions:
            column = columns[place]
            # Most claims lack most days; a whole column of nothing needs no converting.
            if column[0] is not None or column.count(None) < len(column):
                columns[place] = map(convert, column)
        found = list(map(self._open, *columns, (news.get(key, ()) for key in keys)))
        for claim in found:
            claim.__class__ = self.kind
        return found
