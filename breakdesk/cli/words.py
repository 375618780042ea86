"""Kinds of argument that the commands share."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

import click


class OneWord(click.ParamType):  # type: ignore[type-arg]
    """One of our words; hyphens and blanks count as underscores, and case does not count."""

    name = "word"

    def __init__(self, words: Sequence[str]) -> None:
        self._words = tuple(words)

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:
        """The words, as the help shows them."""
        return "|".join(self._words)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word as we spell it; another word is wrong usage."""
        word = str(value).strip().lower().replace("-", "_").replace(" ", "_")
        if word not in self._words:
            self.fail(f"{value!r} is not one of: {', '.join(self._words)}.", param, ctx)
        return word


def typed_code() -> str:
    """A claim's code from a prompt that shows nothing, or from standard input; never from an argument."""
    if sys.stdin.isatty():
        code: str = click.prompt("Code", hide_input=True, err=True)
        return code.strip()
    return sys.stdin.readline().strip()
