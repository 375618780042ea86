"""Labelled fields under each other, labels and values aligned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from textual.content import Content

from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import fit, wrap
from breakdesk.tui.widgets.lines import ACCENT, QUIET, Lines, spaces, width_of, words

GAP = 2
WIDEST_LABEL = 22


@dataclass(frozen=True, slots=True)
class Field:
    """One labelled value."""

    label: str
    value: str | Secret
    remark: str = ""
    """A few words of doubt or warning, shown behind the value."""
    strong: bool = False


class Fields(Lines):
    """Labelled values; an empty value is shown as a dash, so that a gap is seen as a gap."""

    def __init__(self, fields: Iterable[Field] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._fields = tuple(fields)

    def show(self, fields: Iterable[Field]) -> None:
        """Show other fields."""
        self._fields = tuple(fields)
        self.draw_anew()

    def build(self, width: int) -> list[Content]:
        """Return one line a field, and more where a value is long."""
        label_width = min(WIDEST_LABEL, max((width_of(field.label) for field in self._fields), default=0))
        value_width = max(1, width - label_width - GAP)
        lines: list[Content] = []
        for field in self._fields:
            label = words(fit(field.label, label_width), QUIET)
            for part in self._value(field, value_width):
                lines.append(Content.assemble(label, spaces(GAP), part))
                label = spaces(label_width)
        return lines

    def _value(self, field: Field, width: int) -> list[Content]:
        text = self.shown(field.value)
        if not text and not field.remark:
            return [words("–", QUIET)]
        parts = [words(line, "bold" if field.strong else "") for line in wrap(text, width)] if text else []
        if not field.remark:
            return parts
        remark = f"({field.remark})"
        if parts and parts[-1].cell_length + 1 + width_of(remark) <= width:
            parts[-1] = Content.assemble(parts[-1], " ", words(remark, ACCENT))
            return parts
        return parts + [words(line, ACCENT) for line in wrap(remark, width)]
