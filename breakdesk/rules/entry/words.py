"""The entry line's vocabulary: the trade's words and short forms for what a card has, and the words for claims."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from breakdesk.rules.names import folded

# Generic words of the trade only, common practice, no source: a maker's own product and finish names come with the
# checklist.
_FEATURE_FORMS: dict[str, str] = {
    "autograph": "au auto autos autograph autographs autographed sig sigs signed signature signatures",
    "patch": "patch patches ptch",
    "relic": "relic relics rel mem memorabilia swatch swatches",
    "rookie": "rc rcs rook rookie rookies",
    "plate": "plate plates pp printing-plate printing-plates",
    "tag": "tag tags laundry-tag",
    "logo": "logo logos",
    "box topper": "box-topper topper",
    "box": "box",
    "letter": "letter letters letterman",
    "nameplate": "nameplate name-plate",
    "jersey": "jersey jerseys jsy",
    "bat": "bat bats",
    "ball": "ball balls",
    "glove": "glove gloves",
    "button": "button buttons",
    "shoe": "shoe shoes",
    "cap": "cap caps hat",
    "jumbo": "jumbo",
    "dual": "dual double dbl",
    "triple": "triple trip",
    "quad": "quad quadruple",
    "booklet": "booklet booklets book bk",
    "cut signature": "cut cuts",
    "inscription": "inscription inscribed insc",
    "on card": "on-card oc",
    "sticker": "sticker stickers",
    "sketch": "sketch sketches",
    "die cut": "die-cut diecut dc",
    "insert": "insert inserts",
    "case hit": "case-hit",
    "short print": "short-print short-prints sp",
    "super short print": "super-short-print ssp",
    "image variation": "image-variation photo-variation",
    "error": "error err",
    "game used": "game-used game-worn gu",
    "player worn": "player-worn event-worn pw",
    "manufactured": "manufactured manu",
}
_FEATURE_SETS: dict[str, tuple[str, ...]] = {
    "rpa": ("rookie", "patch", "autograph"),
    "rap": ("rookie", "autograph", "patch"),
    "rja": ("rookie", "jersey", "autograph"),
    "rca": ("rookie", "autograph"),
    "pa": ("patch", "autograph"),
    "ap": ("autograph", "patch"),
    "logoman": ("logo", "patch"),
    "logo man": ("logo", "patch"),
}

FEATURE_WORDS: dict[str, tuple[str, ...]] = {
    form.replace("-", " "): (feature,) for feature, forms in _FEATURE_FORMS.items() for form in forms.split()
} | _FEATURE_SETS
"""Folded word or phrase to the features it stands for."""

LONGEST_FEATURE = max(len(form.split()) for form in FEATURE_WORDS)
FEATURE_ORDER = {feature: place for place, feature in enumerate(_FEATURE_FORMS)}

_VARIATIONS = """
    acetate amber aqua aurora azure black blue bronze brown camo carbon chartreuse clear cobalt copper coral
    crimson crystal cyan diamond emerald foil frost gold golden gray green grey holo holofoil holographic ice
    indigo ivory jade lava lavender lime magenta maroon metal midnight mint mirror navy nebula negative neon
    ochre olive onyx opal orange pearl pink platinum prism purple rainbow red rose ruby sapphire scarlet sepia
    shimmer silver sky sparkle sunset tan teal turquoise velvet vermilion vinyl violet wave white yellow
"""
VARIATION_WORDS = frozenset(_VARIATIONS.split())
"""Colours and surfaces that name a parallel; without a checklist they are told from a player's name by this list."""

KIND_WORDS = {
    "damage": "damage",
    "damaged": "damage",
    "dmg": "damage",
    "missing": "shortage",
    "shortage": "shortage",
    "redemption": "redemption",
    "redeem": "redemption",
}
MISSING_HIT = ["missing", "hit"]
"""What the trade calls a shortage: the second word is no player's name."""
PLAN_WORDS = {"give": "give", "submit": "submit"}
EXPIRY_WORDS = frozenset({"exp", "expires", "expiry", "expire", "ex", "x"})

_MONTH_NAMES = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
]
MONTHS = {form: number for number, name in enumerate(_MONTH_NAMES, start=1) for form in (name, name[:3])} | {"sept": 9}

DEFAULT_KIND = "redemption"
DEFAULT_PLAN = "submit"


@lru_cache(maxsize=16384)
def features_in(text: str) -> tuple[str, ...]:
    """The features that a checklist's text names, in the trade's words; a word that names none is left out."""
    words = folded(text).split()
    found: list[str] = []
    start = 0
    while start < len(words):
        length = feature_length(words[start:])
        found.extend(FEATURE_WORDS.get(" ".join(words[start : start + length]), ()))
        start += length
    return in_trade_order(found)


def feature_length(words: list[str]) -> int:
    """How many of the first words make one feature phrase, the longest first; 1 where none does."""
    for length in range(min(LONGEST_FEATURE, len(words)), 1, -1):
        if " ".join(words[:length]) in FEATURE_WORDS:
            return length
    return 1


def in_trade_order(features: Iterable[str]) -> tuple[str, ...]:
    """Each feature once, in one order that does not depend on how the line was typed."""
    return tuple(sorted(set(features), key=lambda feature: (FEATURE_ORDER.get(feature, len(FEATURE_ORDER)), feature)))
