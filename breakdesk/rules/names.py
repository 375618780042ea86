"""Names as people write and say them: folding for comparison, and which part of a name is the surname."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

# Letters that Unicode does not decompose into a base letter and a mark.
_PLAIN_LETTERS = str.maketrans(
    {
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "æ": "ae",
        "œ": "oe",
        "ı": "i",
        "ħ": "h",
        "ŧ": "t",
        "ŋ": "n",
    }
)
_APOSTROPHES = frozenset("'’‘ʼʻ`´′")
SUFFIXES = frozenset({"jr", "junior", "sr", "senior", "ii", "iii", "iv", "2nd", "3rd", "4th"})
PARTICLES = frozenset(
    [
        "abu",
        "al",
        "af",
        "av",
        "ben",
        "bin",
        "da",
        "dal",
        "das",
        "de",
        "degli",
        "dei",
        "del",
        "della",
        "den",
        "der",
        "des",
        "di",
        "do",
        "dos",
        "du",
        "el",
        "ibn",
        "la",
        "las",
        "le",
        "les",
        "lo",
        "los",
        "mac",
        "o",
        "san",
        "santa",
        "st",
        "ste",
        "te",
        "ten",
        "ter",
        "van",
        "vander",
        "ver",
        "vom",
        "von",
        "y",
        "zu",
        "zum",
        "zur",
    ]
)


_NO_APOSTROPHES = {ord(apostrophe): None for apostrophe in _APOSTROPHES}
_PLAIN_ASCII = {
    code: None if chr(code) in _APOSTROPHES else chr(code).lower() if chr(code).isalnum() else " "
    for code in range(128)
}


@lru_cache(maxsize=65536)
def folded(text: str) -> str:
    """The form in which two spellings of one name are equal.

    Case is folded, diacritics are dropped (compatibility decomposition, NFKD), an apostrophe is dropped without a gap
    ("O'Dell" is "odell"), any other punctuation is a space, and spaces are single. Folding twice changes nothing.
    """
    plain = text.translate(_PLAIN_ASCII) if text.isascii() else _folded_beyond_ascii(text)
    return " ".join(plain.split())


def _folded_beyond_ascii(text: str) -> str:
    decomposed = unicodedata.normalize("NFKD", text.translate(_NO_APOSTROPHES).casefold())
    # Decomposing can uncover capitals, marks and apostrophes that were one character before.
    again = unicodedata.normalize("NFKD", decomposed.casefold().translate(_PLAIN_LETTERS))
    unmarked = (character for character in again if not unicodedata.combining(character))
    return "".join(
        character if character.isalnum() else "" if character in _APOSTROPHES else " " for character in unmarked
    )


@dataclass(frozen=True, slots=True)
class NameParts:
    """A personal name in folded words: given names, surname (particles included) and suffixes."""

    given: tuple[str, ...]
    surname: tuple[str, ...]
    suffixes: tuple[str, ...]

    @property
    def core(self) -> tuple[str, ...]:
        """The surname without its leading particles."""
        for position, word in enumerate(self.surname[:-1]):
            if word not in PARTICLES:
                return self.surname[position:]
        return self.surname[-1:]


@lru_cache(maxsize=32768)
def name_parts(name: str) -> NameParts:
    """Given names, surname and suffixes of a name as a card prints it.

    The rule (common practice, no source): a suffix (Jr., Sr., II, III, IV) is never the surname; the surname is the
    last word that is left, a hyphenated double surname being one whole, together with the particles written directly
    before
    it ("van der Moor", "de la Cruz"). "Moor, Ana" puts the surname first. A single word is the surname.
    """
    before, comma, after = name.partition(",")
    if comma and not folded(before):
        return _natural_order(after, [])
    if comma and not _only_suffixes(after):
        given, _, suffixes = _split(after)
        surname, _, more = _split(before)
        return NameParts(given, surname, suffixes + more)
    return _natural_order(before if comma else name, folded(after).split() if comma else [])


def _natural_order(name: str, trailing: list[str]) -> NameParts:
    words, joined, suffixes = _split(name)
    if not words:
        return NameParts((), tuple(suffixes[:1]) or tuple(trailing[:1]), tuple(suffixes[1:]))
    start = len(words) - joined
    while start > 1 and words[start - 1] in PARTICLES:
        start -= 1
    # A name may begin with its particle only when nothing else could be the given name: "De Luca", "van der Moor".
    if start == 1 and words[0] in PARTICLES:
        start = 0
    return NameParts(words[:start], words[start:], tuple(suffixes) + tuple(trailing))


def _split(name: str) -> tuple[tuple[str, ...], int, tuple[str, ...]]:
    """The folded words without suffixes, how many of them the last written word makes, and the suffixes."""
    written = [part for part in (folded(word) for word in name.split()) if part]
    suffixes: list[str] = []
    while len(written) > 1 and written[-1] in SUFFIXES:
        suffixes.insert(0, written.pop())
    words = tuple(word for part in written for word in part.split())
    return words, len(written[-1].split()) if written else 0, tuple(suffixes)


def _only_suffixes(text: str) -> bool:
    words = folded(text).split()
    return all(word in SUFFIXES for word in words)


def surname_letters(name: str) -> tuple[str, ...]:
    """The letters under which a name could be filed, the one that counts first.

    The first letter of the surname, particles included, counts. The others are readings that a viewer could defend:
    the surname without its particles, and the word before it where the name has three words or more, because
    that may be the first of two surnames; an initial is none.
    """
    parts = name_parts(name)
    readings = [parts.surname[:1], parts.core[:1]]
    if len(parts.given) > 1 and len(parts.given[-1]) > 1:
        readings.append(parts.given[-1:])
    letters = [word[0] for reading in readings for word in reading]
    return tuple(dict.fromkeys(letters))


def without_suffix(name: str) -> str:
    """The folded name without Jr., Sr. and the like, in natural order."""
    parts = name_parts(name)
    return " ".join(parts.given + parts.surname)


def name_order(name: str | None) -> tuple[str, str]:
    """The order of names in every list: folded, then as written; nobody first."""
    return (folded(name), name) if name else ("", "")
