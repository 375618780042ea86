"""Text that people type in groups, brought into the one form in which it is compared."""

from __future__ import annotations

import unicodedata

_UNWANTED = frozenset({"Pd", "Cc", "Cf"})


def compact(text: str, separators: str = "") -> str:
    """The text in capitals (Unicode NFKC), without spaces, hyphens, invisible characters and the separators given.

    Doing it twice changes nothing.
    """
    kept = [symbol for symbol in _compatible(_compatible(text).upper()) if _is_kept(symbol, separators)]
    # Without what stood between them, neighbours may compose anew.
    return _compatible("".join(kept))


def _is_kept(symbol: str, separators: str) -> bool:
    return not (symbol.isspace() or symbol in separators or unicodedata.category(symbol) in _UNWANTED)


def _compatible(text: str) -> str:
    return unicodedata.normalize("NFKC", text)
