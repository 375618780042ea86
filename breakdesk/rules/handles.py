"""A name with its handle behind it, as lists of people often have it: `Ann Moor (@annm)`, `Ann Moor @annm`."""

from __future__ import annotations

import re

from breakdesk.rules.names import folded

_BEHIND = re.compile(
    r"(?P<name>[^@]*[^@\s(\[<])\s*(?:\(\s*@(?P<round>[^\s@()]{1,60})\s*\)|"
    r"\[\s*@(?P<square>[^\s@\[\]]{1,60})\s*\]|<\s*@(?P<angle>[^\s@<>]{1,60})\s*>|"
    r"\s@(?P<bare>[^\s@()\[\]<>]{1,60}))"
)


def split_handle(text: str) -> tuple[str, str]:
    """The name and the handle without its @; the whole text and "" where no handle with an @ stands behind a name."""
    match = _BEHIND.fullmatch(text.strip())
    if match is None or not folded(match["name"]):
        return text, ""
    handle = match["round"] or match["square"] or match["angle"] or match["bare"]
    return (match["name"].strip(), handle) if folded(handle) else (text, "")
