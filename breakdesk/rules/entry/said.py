"""What a line says outright, before any name in it is looked up: figures, dates, money, kinds, handles, features."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from typing import Final

from breakdesk.rules.entry.amounts import amount_in
from breakdesk.rules.entry.expiry import Expiry, date_after_word, full_date
from breakdesk.rules.entry.tokens import Piece, pieces_of
from breakdesk.rules.entry.words import (
    EXPIRY_WORDS,
    FEATURE_WORDS,
    KIND_WORDS,
    MISSING_HIT,
    PLAN_WORDS,
    feature_length,
)
from breakdesk.rules.money import Money, parse_money
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import NO_TEAM, Doubt
from breakdesk.rules.tags import is_well_formed
from breakdesk.rules.wording import day_in_words

MOST_WORDS: Final = 24
"""Words that are looked up; a line of more is no claim, and the rest goes into the note."""

_RUN = re.compile(r"#?([0-9]{1,6})?/([0-9]{1,6})?")
_NUMBER = re.compile(r"#?([0-9]{1,4})")
_BOX = re.compile(r"(?:b|bx|box)#?([0-9]{1,4})")
_PICK = re.compile(r"(?:pick)#?([0-9]{1,4})")
_EXPIRY = re.compile(r"(?:exp|ex|x):?(?=[0-9])", re.IGNORECASE)
# "x" and "ex" with no date after them may be part of a name.
_SHORTEST_EXPIRY_NAME = 3
_PARTING = frozenset("&+")


@dataclass(frozen=True, slots=True)
class Word:
    """One folded word, or one feature phrase, still to be looked up.

    `chunk` says which typed piece it is part of; `quoted` text is a name, `bracketed` text a variation.
    """

    plain: str
    chunk: int
    quoted: bool = False
    bracketed: bool = False
    features: tuple[str, ...] = ()


@dataclass(slots=True)
class Said:
    """The parts of a line; None or empty where it does not say."""

    numbered_to: int | None = None
    serial: int | None = None
    expiry: Expiry | None = None
    no_expiry: bool = False
    box: int | None = None
    pick: int | None = None
    tag: str = ""
    value: Money | None = None
    kind: str = ""
    plan: str = ""
    no_team: bool = False
    handles: list[str] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    chunks: list[str] = field(default_factory=list)
    parted: set[int] = field(default_factory=set)
    """Chunks before which a "&" or "+" parts two players."""
    note: str = ""
    doubts: list[Doubt] = field(default_factory=list)


def said_in(line: str, currency: str) -> Said:
    """Read a line's parts. `currency` is the house's, for amounts that name none."""
    parts = pieces_of(line)
    said = Said(note=parts.note)
    if parts.overlong:
        said.doubts.append(Doubt("long", "The line is too long: its end was put into the note."))
    position = 0
    while position < len(parts.pieces):
        rest = parts.pieces[position:]
        position += _take(said, rest, currency)
    if len(said.words) > MOST_WORDS:
        surplus = dict.fromkeys(word.chunk for word in said.words[MOST_WORDS:])
        said.note = " ".join(filter(None, (*(said.chunks[chunk] for chunk in surplus), said.note)))
        said.words = said.words[:MOST_WORDS]
        said.doubts.append(Doubt("long", "The line has too many words: the last ones were put into the note."))
    return said


def _take(said: Said, pieces: Sequence[Piece], currency: str) -> int:
    """Take what the first pieces say and return how many of them that was."""
    if not _is_marked(pieces[0]):
        texts = [piece.text for piece in takewhile(lambda piece: not _is_marked(piece), pieces[:4])]
        for reader in (_take_figures, _take_expiry, _take_place, _take_word):
            taken = reader(said, texts)
            if taken:
                return taken
        taken = _take_value(said, texts, currency)
        if taken:
            return taken
        return _take_features_or_name(said, texts)
    _add_name(said, pieces[0])
    return 1


def _is_marked(piece: Piece) -> bool:
    return piece.quoted or piece.bracketed


def _take_figures(said: Said, texts: Sequence[str]) -> int:
    """`/25`, `7/25`, `7/`, `7 of 25`, `one of one`."""
    plain = [text.casefold() for text in texts[:3]]
    if plain[0] == "one/one" or plain == ["one", "of", "one"]:
        _set_run(said, 1, 1)
        return len(plain) if plain[0] == "one" else 1
    if len(plain) == 3 and plain[1] == "of" and plain[0].isdecimal() and plain[2].isdecimal():
        plain[0] = f"{plain[0]}/{plain[2]}"
        return 3 if _take_figures(said, plain[:1]) else 0
    match = _RUN.fullmatch(plain[0])
    if not match or plain[0] in ("/", "#/"):
        return 0
    serial, run = (None if part is None else int(part) for part in match.groups())
    _set_run(said, serial, run)
    return 1


def _set_run(said: Said, serial: int | None, run: int | None) -> None:
    if run == 0:
        said.doubts.append(Doubt("print run", "A print run cannot be 0, so it was left out."))
        run = None
    for name, figure in (("serial", serial), ("numbered_to", run)):
        known = getattr(said, name)
        if figure is None:
            continue
        if known is not None and known != figure:
            # The smaller one, so that the reading does not depend on the order of the words.
            figure = min(known, figure)
            word = "serial" if name == "serial" else "print run"
            _doubt_once(said, Doubt(word, f"The line has two figures for the {word}; {figure} was taken."))
        setattr(said, name, figure)


def _take_expiry(said: Said, texts: Sequence[str]) -> int:
    lead = 0
    words = list(texts)
    attached = _EXPIRY.match(words[0])
    plain = words[0].casefold().rstrip(":")
    if attached:
        words[0] = words[0][attached.end() :]
    elif plain in EXPIRY_WORDS and len(words) > 1:
        lead = 1
        words = words[1:]
        if words[0].casefold() == "none":
            said.no_expiry = True
            return 2
    found = date_after_word(words) if lead or attached else full_date(words)
    if found is not None:
        expiry, length = found
        if said.expiry is not None and said.expiry.day != expiry.day:
            expiry = min(said.expiry, expiry, key=lambda read: read.day)
            _doubt_once(said, Doubt("date", f"The line has two dates; {day_in_words(expiry.day)} was taken."))
        said.expiry = expiry
        return lead + length
    if attached or (lead and words[0][:1].isdigit()):
        _doubt_once(said, Doubt("date", f"“{words[0]}” is not a date that can be read; write 3/27 or 2027-03-31."))
        return lead + 1
    if len(plain) >= _SHORTEST_EXPIRY_NAME and plain in EXPIRY_WORDS:
        _doubt_once(said, Doubt("date", f"No date stands after “{texts[0]}”; write 3/27 or 2027-03-31."))
        return 1
    return 0


def _take_place(said: Said, texts: Sequence[str]) -> int:
    """Box, pick number and tag label, each only where a number follows: "box", "tag" alone are words on cards."""
    plain = texts[0].casefold()
    following = _NUMBER.fullmatch(texts[1]) if len(texts) > 1 else None
    for pattern, name, words in ((_BOX, "box", ("box", "bx")), (_PICK, "pick", ("pick",))):
        attached = pattern.fullmatch(plain)
        match = attached or (following if plain in words else None)
        if match is not None:
            figure = int(match[1])
            known = getattr(said, name)
            if known is not None and known != figure:
                figure = min(known, figure)
                _doubt_once(said, Doubt(name, f"The line has two {name} numbers; {figure} was taken."))
            setattr(said, name, figure)
            return 1 if attached else 2
    if plain == "tag" and len(texts) > 1 and _is_label(texts[1]):
        said.tag = max(said.tag, texts[1].upper())
        return 2
    if _is_our_label(texts[0]):
        said.tag = max(said.tag, texts[0].upper())
        return 1
    return 0


def _is_label(text: str) -> bool:
    plain_figures = any(character.isdigit() for character in text) and "/" not in text and text[0] not in "$€£@"
    return is_well_formed(text) or (plain_figures and full_date([text]) is None)


def _is_our_label(text: str) -> bool:
    """Whether a word is a label of ours by its check symbol: scanned, it comes without the word before it."""
    return text.isalnum() and any(character.isdigit() for character in text) and is_well_formed(text)


def _take_word(said: Said, texts: Sequence[str]) -> int:
    """Kinds, plans, "no team", and handles."""
    plain = texts[0].casefold()
    if len(texts) > 1 and f"{plain} {texts[1].casefold()}" == NO_TEAM:
        said.no_team = True
        return 2
    if plain.startswith("@"):
        if len(plain) > 1:
            said.handles.append(texts[0][1:])
        return 1
    if plain in KIND_WORDS:
        taken = 2 if [text.casefold() for text in texts[:2]] == MISSING_HIT else 1
        kind = KIND_WORDS[plain]
        if said.kind not in ("", kind):
            kind = min(said.kind, kind)
            _doubt_once(said, Doubt("kind", f"The line names two kinds of claim; {kind} was taken."))
        said.kind = kind
        return taken
    if plain in PLAN_WORDS:
        said.plan = min(filter(None, (said.plan, PLAN_WORDS[plain])))
        return 1
    return 0


def _take_value(said: Said, texts: Sequence[str], currency: str) -> int:
    amount, taken = amount_in(texts, currency)
    if not taken:
        return 0
    try:
        value = parse_money(amount, currency)
    except ValueError as problem:
        _doubt_once(said, Doubt("value", str(problem)))
        return taken
    if said.value is not None and said.value != value:
        value = min(said.value, value, key=lambda money: (money.currency, money.minor))
        _doubt_once(said, Doubt("value", "The line has two amounts; the smaller one was taken."))
    said.value = value
    return taken


def _take_features_or_name(said: Said, texts: Sequence[str]) -> int:
    if texts[0] in _PARTING:
        said.parted.add(len(said.chunks))
        return 1
    plain = [folded(text) for text in texts[:3]]
    length = feature_length(plain) if all(plain) else 1
    phrase = " ".join(plain[:length])
    features = FEATURE_WORDS.get(phrase, ())
    if features:
        said.words.append(Word(phrase, len(said.chunks), features=features))
        said.chunks.append(" ".join(texts[:length]))
        return length
    _add_name(said, Piece(texts[0]))
    return 1


def _add_name(said: Said, piece: Piece) -> None:
    words = folded(piece.text).split()
    if not _is_marked(piece) and any(character.isdigit() for character in piece.text):
        # A card number, "SG-6", is looked up as one word.
        words = ["".join(words)] if words else []
    said.words.extend(Word(word, len(said.chunks), piece.quoted, piece.bracketed) for word in words)
    if words:
        said.chunks.append(piece.text)


def _doubt_once(said: Said, doubt: Doubt) -> None:
    said.doubts = [known for known in said.doubts if known.word != doubt.word] + [doubt]
