"""The claim's code in a line: a scanner types into whatever line is there, and that one is on the stream."""

from __future__ import annotations

from breakdesk.rules.codes import SHORTEST_CODE, normalise_code
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.said import said_in
from breakdesk.rules.names import folded

_SHORTEST_OF_FIGURES = 8
"""Symbols from which figures alone are taken for a code: a season or a day written together has six."""


def code_in(line: str, lexicon: Lexicon | None) -> str:
    """The words that say nothing else, that no list knows, and that with their figures make a code; empty where none.

    Our choice where no list helps: at least six symbols, or eight where all are figures. A code of letters alone cannot
    be told from a name.
    """
    if len(line) < SHORTEST_CODE or not any(character.isdigit() for character in line):
        return ""
    known = lexicon.postings if lexicon is not None else {}
    said = said_in(line, lexicon.currency if lexicon is not None else "USD")
    named = {word.chunk for word in said.words if not word.features and not word.bracketed and word.plain not in known}
    typed = " ".join(said.chunks[chunk] for chunk in sorted(named) if _may_be_part(said.chunks[chunk]))
    code = normalise_code(typed)
    return typed if len(code) >= (_SHORTEST_OF_FIGURES if code.isdecimal() else SHORTEST_CODE) else ""


def _may_be_part(word: str) -> bool:
    return "/" not in word and any(character.isdigit() for character in folded(word))
