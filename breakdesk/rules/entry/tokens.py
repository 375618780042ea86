"""Cut a line into pieces: words, quoted text, and the note after a semicolon."""

from __future__ import annotations

from dataclasses import dataclass

LONGEST_LINE = 400
"""Characters that are read; what stands behind them goes into the note, so that a paste can never stall the screen."""

_QUOTES = {'"': '"', "“": "”", "„": "“", "«": "»"}
_BRACKETS = {"(": ")"}
_NOTE_MARK = ";"
_ENDING = frozenset({*_QUOTES, *_BRACKETS, _NOTE_MARK})
_EDGES = ".,:!?)[]{}<>*_|~\\"


@dataclass(frozen=True, slots=True)
class Piece:
    """One word, one text in quotes, or one in round brackets."""

    text: str
    quoted: bool = False
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Pieces:
    """A line in pieces; `overlong` says that its end was not read but kept in the note."""

    pieces: tuple[Piece, ...]
    note: str
    overlong: bool


def pieces_of(line: str) -> Pieces:
    """The pieces of a line; control characters count as spaces, and an open quote or bracket ends with the line."""
    printable = "".join(character if character.isprintable() else " " for character in line)
    read, rest = printable[:LONGEST_LINE], printable[LONGEST_LINE:].strip()
    pieces: list[Piece] = []
    position = 0
    while position < len(read):
        character = read[position]
        if character == _NOTE_MARK:
            note = f"{read[position + 1 :]}{printable[LONGEST_LINE:]}"
            return Pieces(tuple(pieces), " ".join(note.split()), False)
        if character.isspace():
            position += 1
        elif character in _QUOTES or character in _BRACKETS:
            text, position = _enclosed(read, position, _QUOTES.get(character) or _BRACKETS[character])
            if text:
                pieces.append(Piece(text, quoted=character in _QUOTES, bracketed=character in _BRACKETS))
        else:
            end = _end_of_word(read, position)
            word = read[position:end].strip(_EDGES)
            if word:
                pieces.append(Piece(word))
            position = end
    return Pieces(tuple(pieces), " ".join(rest.split()), bool(rest))


def _enclosed(text: str, start: int, closing: str) -> tuple[str, int]:
    """What stands between the mark at `start` and its closing one, and where the line goes on."""
    end = text.find(closing, start + 1)
    end = len(text) if end < 0 else end
    return " ".join(text[start + 1 : end].split()), end + 1


def _end_of_word(text: str, start: int) -> int:
    end = start
    while end < len(text) and not text[end].isspace() and text[end] not in _ENDING:
        end += 1
    return end
