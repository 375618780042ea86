"""How many segments a short message takes, and which characters make it longer.

Source: 3GPP TS 23.038 clauses 6.2.1, 6.2.1.1 and 6.2.3 (the default alphabet, its extension, UCS-2) and
3GPP TS 23.040 clause 9.2.3.24.1 (a message in several parts). National language tables are left out: a
sender cannot know whether the other end reads them.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from breakdesk.rules.wording import counted

BASIC_ALPHABET = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?"
    "¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà"
)
EXTENSION_ALPHABET = frozenset("\f^{}\\[~]|€")

SINGLE_SEPTETS, PART_SEPTETS = 160, 153
SINGLE_UNITS, PART_UNITS = 70, 67
MOST_SEGMENTS = 255

SEPTETS = "7 bit"
UCS2 = "UCS-2"

# Our own choice of stand-ins: the nearest character of the default alphabet that a reader takes for the same.
REPLACEMENTS = {
    "‘": "'",
    "’": "'",
    "‚": "'",
    "‛": "'",
    "′": "'",
    "`": "'",
    "´": "'",
    "“": '"',
    "”": '"',
    "„": '"',
    "″": '"',
    "«": '"',
    "»": '"',
    "‐": "-",
    "‑": "-",
    "‒": "-",
    "–": "-",
    "—": "-",
    "―": "-",
    "−": "-",
    "…": "...",
    "•": "*",
    "·": ".",
    "×": "x",
    "\t": " ",
    "\u00a0": " ",
    "\u2007": " ",
    "\u2009": " ",
    "\u200a": " ",
    "\u202f": " ",
    "\u200b": "",
    "\u200c": "",
    "\u200d": "",
    "\ufe0f": "",
    "™": "TM",
    "®": "(R)",
    "©": "(C)",
    "№": "No",
    "œ": "oe",
    "Œ": "OE",
    "ł": "l",
    "Ł": "L",
    "đ": "d",
    "Đ": "D",
    "ı": "i",
}


@dataclass(frozen=True, slots=True)
class ForcingCharacter:
    """A character outside the 7 bit alphabet; `replacement` is None where nothing reads the same."""

    character: str
    name: str
    replacement: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SmsCount:
    """What a text takes: `units` are septets or UCS-2 units, `segments` the text of each part, in order."""

    encoding: str
    units: int
    segments: tuple[str, ...]
    forcing: tuple[ForcingCharacter, ...]

    @property
    def too_long(self) -> bool:
        """More parts than the standard can number (255)."""
        return len(self.segments) > MOST_SEGMENTS


def is_septet_text(text: str) -> bool:
    """True where every character stands in the default alphabet or its extension."""
    return all(character in BASIC_ALPHABET or character in EXTENSION_ALPHABET for character in text)


def septets_of(character: str) -> int:
    """Septets of one character of the 7 bit alphabet: 2 for the extension (escape and character)."""
    return 2 if character in EXTENSION_ALPHABET else 1


def ucs2_units_of(character: str) -> int:
    """16 bit units of one character: 2 beyond the basic plane."""
    return 2 if ord(character) > 0xFFFF else 1


def count_sms(text: str) -> SmsCount:
    """Encoding, units and parts of a text. An escape pair or a character is never cut; empty text has no part."""
    if is_septet_text(text):
        encoding, widths, single, part = SEPTETS, [septets_of(c) for c in text], SINGLE_SEPTETS, PART_SEPTETS
    else:
        encoding, widths, single, part = UCS2, [ucs2_units_of(c) for c in text], SINGLE_UNITS, PART_UNITS
    units = sum(widths)
    segments = _cut(text, widths, part) if units > single else ((text,) if text else ())
    return SmsCount(encoding=encoding, units=units, segments=segments, forcing=forcing_characters(text))


def forcing_characters(text: str) -> tuple[ForcingCharacter, ...]:
    """The characters that force the longer encoding, each once, in the order in which they first stand."""
    outside = dict.fromkeys(c for c in text if c not in BASIC_ALPHABET and c not in EXTENSION_ALPHABET)
    return tuple(
        ForcingCharacter(
            character, unicodedata.name(character, f"U+{ord(character):04X}").lower(), replacement_for(character)
        )
        for character in outside
    )


def replacement_for(character: str) -> str | None:
    """Text of the 7 bit alphabet that reads the same, or None; an accent falls only off letters it lacks."""
    if character in REPLACEMENTS:
        return REPLACEMENTS[character]
    bare = "".join(c for c in unicodedata.normalize("NFKD", character) if not unicodedata.combining(c))
    if bare and bare != character and is_septet_text(bare):
        return bare
    return "" if unicodedata.combining(character) else None


def replace_forcing(text: str) -> str:
    """The same text with every replaceable character replaced; what has no stand-in is left as it is."""
    composed = unicodedata.normalize("NFC", text)
    if is_septet_text(composed):
        return composed
    return "".join(
        character if is_septet_text(character) or (other := replacement_for(character)) is None else other
        for character in composed
    )


def _cut(text: str, widths: list[int], room: int) -> tuple[str, ...]:
    segments, start, used = [], 0, 0
    for position, width in enumerate(widths):
        if used + width > room:
            segments.append(text[start:position])
            start, used = position, 0
        used += width
    segments.append(text[start:])
    return tuple(segments)


def sms_words(count: SmsCount) -> str:
    """What a short message takes, and which of its letters the short alphabet does not have."""
    said = counted(len(count.segments), "SMS segment")
    if not count.forcing:
        return said
    return f"{said}, with {', '.join(found.character for found in count.forcing)} outside the SMS alphabet"
