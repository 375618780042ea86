"""The desk's own fair choice by chance, which anyone can check afterwards.

The house fixes a secret and publishes its commitment together with the entries; then people watching call out words;
then the secret is revealed. Neither side alone can steer the result, as long as the last word taken is not the
house's own and no word called is left out. The numbers come as in RFC 3797, section 4, with
SHA-256 in place of MD5: number i is the digest of i, key and i again, read as one large integer and reduced by the
count of what is left. The reduction favours some entries by less than the count divided by 2**256, which is nothing. A
shuffle is Algorithm P (Knuth, The Art of Computer Programming, volume 2, section 3.4.2).
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

Way = Literal["winners", "order"]
Item = TypeVar("Item")

SHORT_DIGITS = 16
_SECRET_LENGTH = 32
# The number's index is framed in two octets (RFC 3797, section 4), and each entry takes one number.
_MOST_ENTRIES = 65_535
_WAYS: dict[str, Way] = {"winners": "winners", "order": "order"}
_HEADING = "Breakdesk draw receipt 1"


@dataclass(frozen=True, slots=True)
class Draw:
    """What is drawn: `winners` takes `places` of the entries in turn, `order` puts all of them in a chance order.

    An entry is one chance; who has two has two entries. Make it with `prepare`.
    """

    title: str
    way: Way
    entries: tuple[str, ...]
    places: int


@dataclass(frozen=True, slots=True)
class Receipt:
    """Everything needed to check a draw afterwards: commitment, secret, the public words in order, and the result."""

    draw: Draw
    commitment: str
    secret: str
    words: tuple[str, ...]
    result: tuple[str, ...]

    def to_text(self) -> str:
        """The receipt as lines of plain text that people can read and `from_text` reads back."""
        draw = self.draw
        head = [_HEADING, f"Title: {draw.title}", f"Way: {draw.way}", f"Places: {draw.places}"]
        proof = [f"Commitment: {self.commitment}", f"Secret: {self.secret}"]
        lists = (("Entries", draw.entries), ("Words", self.words), ("Result", self.result))
        listed = [line for name, lines in lists for line in (f"{name}: {len(lines)}", *lines)]
        return "\n".join([*head, *proof, *listed]) + "\n"

    @classmethod
    def from_text(cls, text: str) -> Receipt:
        """Read a receipt back. Raises ValueError with a sentence where the text is not a whole receipt."""
        lines = _Lines(text)
        lines.expect(_HEADING)
        title, way, places = lines.field("Title"), _WAYS.get(lines.field("Way")), lines.count("Places")
        commitment, secret = lines.field("Commitment"), lines.field("Secret")
        entries, words, result = lines.listed("Entries"), lines.listed("Words"), lines.listed("Result")
        lines.expect_end()
        if way is None:
            raise ValueError("The way of drawing in the receipt should be winners or order.")
        return cls(prepare(title, way, entries, places), commitment, secret, words, result)


@dataclass(frozen=True, slots=True)
class Recheck:
    """What checking a receipt found: a sentence for each thing that does not fit; none means that all is right."""

    doubts: tuple[str, ...]

    @property
    def ok(self) -> bool:
        """Whether the receipt proves its result."""
        return not self.doubts


def prepare(title: str, way: Way, entries: Sequence[str], places: int = 1) -> Draw:
    """A draw ready for commitment, its title and entries as single lines.

    For `order`, `places` is the count of entries whatever is given. Raises ValueError with a sentence where there are
    no entries, more than 65,535, an empty one, or fewer than the places.
    """
    listed = tuple(_one_line(entry) for entry in entries)
    if not listed:
        raise ValueError("There is nobody to draw from.")
    if len(listed) > _MOST_ENTRIES:
        raise ValueError(f"A draw can have at most {_MOST_ENTRIES} entries.")
    if not all(listed):
        raise ValueError("An entry is empty; every entry needs a name.")
    if way == "order":
        places = len(listed)
    if not 1 <= places <= len(listed):
        raise ValueError(f"{places} cannot be drawn from {len(listed)}; draw at least one and at most all.")
    return Draw(_one_line(title), way, listed, places)


def commitment(draw: Draw, secret: str) -> str:
    """The SHA-256 digest, in hexadecimal, that binds the house to the secret, the entries and the way of drawing.

    Publish it whole before the first word is called. The secret must be fresh and random, 32 characters or more;
    ValueError if it is shorter.
    """
    if len(secret) < _SECRET_LENGTH or secret != _one_line(secret):
        raise ValueError(f"The secret must be one line of at least {_SECRET_LENGTH} characters.")
    lines = [secret, draw.title, draw.way, str(draw.places), *draw.entries]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def short(digest: str) -> str:
    """The first 16 digits in groups of four, to read aloud or compare by eye; only the whole digest binds."""
    return " ".join(digest[start : start + 4] for start in range(0, SHORT_DIGITS, 4))


def reveal(draw: Draw, secret: str, words: Sequence[str]) -> Receipt:
    """Draw with the committed secret and the public words in the order in which they were called.

    Raises ValueError where no word was called: the house alone would then have fixed the result.
    """
    called = tuple(line for line in (_one_line(word) for word in words) if line)
    if not called:
        raise ValueError("No word was called; at least one is needed that the house did not choose.")
    receipt = Receipt(draw, commitment(draw, secret), secret, called, ())
    return replace(receipt, result=_derive(receipt))


def recheck(receipt: Receipt) -> Recheck:
    """Work the draw out again from the receipt alone."""
    doubts: list[str] = []
    try:
        committed = commitment(receipt.draw, receipt.secret)
    except ValueError as problem:
        return Recheck((str(problem),))
    if committed != receipt.commitment:
        doubts.append("The commitment does not fit: the secret, the entries or the way of drawing were changed.")
    if not receipt.words:
        doubts.append("No word was called, so the house alone fixed the result.")
    if _derive(receipt) != receipt.result:
        doubts.append("The result is not what the secret and the words give.")
    return Recheck(tuple(doubts))


def shuffle(items: Sequence[Item], below: Callable[[int], int]) -> tuple[Item, ...]:
    """Algorithm P: `below(j)` gives a fair number from 0 to j - 1 and is asked for j = count, count - 1, …, 2."""
    shuffled = list(items)
    for unsettled in range(len(shuffled), 1, -1):
        chosen = below(unsettled)
        shuffled[chosen], shuffled[unsettled - 1] = shuffled[unsettled - 1], shuffled[chosen]
    return tuple(shuffled)


def rfc_3797_key(sources: Sequence[Sequence[int]]) -> str:
    """The key of RFC 3797, section 4: each source's numbers sorted, a point after each, a stroke after each source."""
    return "".join("".join(f"{number}." for number in sorted(source)) + "/" for source in sources)


def rfc_3797_digest(key: str, index: int) -> str:
    """The MD5 digest number `index`, in hexadecimal capitals, of RFC 3797, section 6."""
    return f"{_number(key.encode(), index, 'md5'):032X}"


def rfc_3797_selection(sources: Sequence[Sequence[int]], pool_size: int, places: int) -> tuple[int, ...]:
    """The selected positions, counted from 1, exactly as RFC 3797 selects them with MD5; for checking our own way."""
    key = rfc_3797_key(sources).encode()
    return _select(range(1, pool_size + 1), places, lambda index, left: _number(key, index, "md5") % left)


def _derive(receipt: Receipt) -> tuple[str, ...]:
    key = "\n".join([receipt.commitment, receipt.secret, *receipt.words]).encode()
    entries = receipt.draw.entries
    if receipt.draw.way == "winners":
        return _select(entries, receipt.draw.places, lambda index, left: _number(key, index, "sha256") % left)
    return shuffle(entries, lambda left: _number(key, len(entries) - left, "sha256") % left)


def _select(items: Sequence[Item], places: int, below: Callable[[int, int], int]) -> tuple[Item, ...]:
    left = list(items)
    return tuple(left.pop(below(index, len(left))) for index in range(places))


def _number(key: bytes, index: int, algorithm: Literal["md5", "sha256"]) -> int:
    framed = index.to_bytes(2, "big")
    return int.from_bytes(hashlib.new(algorithm, framed + key + framed, usedforsecurity=False).digest(), "big")


def _one_line(text: str) -> str:
    return " ".join("".join(symbol if symbol.isprintable() else " " for symbol in text).split())


class _Lines:
    """The lines of a receipt, read from the top; every line that is not as expected is named by its number."""

    def __init__(self, text: str) -> None:
        self._lines = text.splitlines()
        self._position = 0

    def expect(self, wanted: str) -> None:
        if self._next() != wanted:
            raise ValueError(f"Line {self._position} of the receipt should be “{wanted}”.")

    def field(self, name: str) -> str:
        line = self._next()
        if not line.startswith(f"{name}:"):
            raise ValueError(f"Line {self._position} of the receipt should begin with “{name}:”.")
        return line.removeprefix(f"{name}:").strip()

    def count(self, name: str) -> int:
        written = self.field(name)
        if not (written.isascii() and written.isdigit() and len(written) < 6):
            raise ValueError(f"Line {self._position} of the receipt should have a number after “{name}:”.")
        return int(written)

    def listed(self, name: str) -> tuple[str, ...]:
        return tuple([self._next() for _ in range(self.count(name))])

    def expect_end(self) -> None:
        if self._position < len(self._lines):
            raise ValueError(f"The receipt should end before line {self._position + 1}.")

    def _next(self) -> str:
        self._position += 1
        if self._position > len(self._lines):
            raise ValueError(f"The receipt ends too early: line {self._position} is missing.")
        return self._lines[self._position - 1]
