"""Tags: six symbols that name a claim, short enough to say aloud and to write on a sleeve.

A tag of ours is five symbols and a check symbol from an alphabet of 23 that leaves out what is misread or misheard
most. Foreign tags, from somebody's spreadsheet, are any text up to 24 characters and are kept as they came.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from breakdesk.rules.compact import compact

TAG_ALPHABET = "34679ACDEFGHJKMNPQRTWXY"
TAG_LENGTH = 6
TAG_COUNT = len(TAG_ALPHABET) ** (TAG_LENGTH - 1)
FOREIGN_TAG_LIMIT = 24

# The alphabet's size is prime, so with weights that are all different and none zero, one changed symbol or two swapped
# ones always move the weighted sum away from zero.
_WEIGHTS = (6, 5, 4, 3, 2, 1)

# In base 23 every multiple of this factor up to the twentieth has no digit 0 or 22, so that carries leave none of the
# five places unchanged: tags whose numbers are at most 20 apart differ in every place.
_SPREAD = 612_985
_SHIFT = 4_057_901

_TAG_IN_A_SENTENCE = re.compile(rf"(?<![\w-])[{TAG_ALPHABET}]{{{TAG_LENGTH}}}(?![\w-])")

_VALUES = {symbol: value for value, symbol in enumerate(TAG_ALPHABET)}

# The words of the radiotelephony spelling alphabet, ICAO Annex 10, volume II; digits as plain English.
_SPELLING_WORDS = (
    "Alfa Bravo Charlie Delta Echo Foxtrot Golf Hotel India Juliett Kilo Lima Mike November Oscar Papa Quebec Romeo "
    "Sierra Tango Uniform Victor Whiskey X-ray Yankee Zulu zero one two three four five six seven eight nine"
)
_SPOKEN = dict(zip("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", _SPELLING_WORDS.split(), strict=True))


@dataclass(frozen=True, slots=True)
class TagReading:
    """What a typed tag looks like: `tag` as it is looked up, and `doubt`, a sentence where it is not one of ours."""

    tag: str
    doubt: str | None

    @property
    def ok(self) -> bool:
        """Whether the text is a tag of ours with the right check symbol."""
        return self.doubt is None


def make_tag(number: int) -> str:
    """The tag with this running number, from 0 to 23**5 - 1; no two numbers share a tag.

    Numbers at most 20 apart give tags that differ in each of the first five places. Raises ValueError outside the
    range.
    """
    if not 0 <= number < TAG_COUNT:
        raise ValueError(f"There is no tag number {number}; tags are numbered from 0 to {TAG_COUNT - 1}.")
    scrambled = (number * _SPREAD + _SHIFT) % TAG_COUNT
    symbols = ""
    for _ in range(TAG_LENGTH - 1):
        scrambled, value = divmod(scrambled, len(TAG_ALPHABET))
        symbols = TAG_ALPHABET[value] + symbols
    return symbols + TAG_ALPHABET[-_weighted_sum(symbols) % len(TAG_ALPHABET)]


def normalise_tag(text: str) -> str:
    """The form under which a tag is looked up: capitals, without spaces, hyphens and invisible characters."""
    return compact(text)


def is_well_formed(text: str) -> bool:
    """Whether the text, normalised, is a tag of ours: six symbols of the alphabet, the last the right check symbol."""
    return check(text).ok


def check(text: str) -> TagReading:
    """Say whether the text is a tag of ours and, if not, what is wrong in one sentence for a person.

    A foreign tag is in doubt, too: look it up first and show the doubt only where nothing was found.
    """
    tag = normalise_tag(text)
    return TagReading(tag, _doubt(tag))


def can_be_tag(text: str) -> bool:
    """Whether a foreign text may serve as a tag: 1 to 24 printable characters, more than spaces and hyphens."""
    return 0 < len(text) <= FOREIGN_TAG_LIMIT and text.isprintable() and normalise_tag(text) != ""


def spoken(tag: str) -> str:
    """The tag in words to say aloud, by the spelling alphabet of ICAO Annex 10; other characters by Unicode name."""
    return " ".join(_SPOKEN.get(symbol) or unicodedata.name(symbol, "symbol").lower() for symbol in normalise_tag(tag))


def shown(tag: str) -> str:
    """The tag as people read it: ours as two groups of three, `ACD 734`; a foreign one exactly as it came."""
    reading = check(tag)
    return f"{reading.tag[:3]} {reading.tag[3:]}" if reading.ok else tag


def with_tags_shown(sentence: str) -> str:
    """A sentence in which every tag of ours stands as people read it."""
    return _TAG_IN_A_SENTENCE.sub(lambda found: shown(found[0]), sentence)


def _doubt(tag: str) -> str | None:
    if not tag:
        return "There is no tag here."
    strangers = [symbol for symbol in dict.fromkeys(tag) if symbol not in _VALUES]
    if strangers:
        return f"“{tag}” is not a tag of this desk: tags have no {' and no '.join(strangers)}."
    if len(tag) != TAG_LENGTH:
        return f"“{tag}” is not a tag of this desk: a tag has {TAG_LENGTH} symbols, this has {len(tag)}."
    if _weighted_sum(tag) % len(TAG_ALPHABET):
        return f"“{tag}” does not add up: a symbol is wrong, or two are swapped."
    return None


def _weighted_sum(symbols: str) -> int:
    return sum(weight * _VALUES[symbol] for weight, symbol in zip(_WEIGHTS, symbols, strict=False))
