"""Sentences that may hold a secret: on air the secret's place shows what may stand there instead."""

from __future__ import annotations

import re
from collections.abc import Iterable

from breakdesk.tui.masking import Kind, Secret

_SPELLED_FREELY = frozenset({Kind.CODE, Kind.REFERENCE, Kind.PHONE})
_SEPARATORS = re.compile(r"[\s-]+")
_FEWEST = 4
"""Symbols from which a spelling is looked for freely: shorter ones occur within ordinary words."""


def veiled(text: str, secrets: Iterable[Secret]) -> Secret:
    """The text as a secret whose words on air have every given secret replaced; long ones first.

    Numbers are found in any spelling: a sentence may say them without the spaces, or in the capitals, that were typed.
    """
    instead = text
    for secret in sorted(secrets, key=lambda secret: len(secret.shown(on_air=False)), reverse=True):
        plain = secret.shown(on_air=False).strip()
        if plain:
            instead = instead.replace(plain, str(secret))
            instead = _without_spellings(instead, plain, secret)
    return Secret(Kind.NOTE, text, instead)


def _without_spellings(text: str, plain: str, secret: Secret) -> str:
    symbols = _SEPARATORS.sub("", plain)
    if secret.kind not in _SPELLED_FREELY or len(symbols) < _FEWEST:
        return text
    spelling = r"[\s-]*".join(re.escape(symbol) for symbol in symbols)
    return re.sub(spelling, lambda _found: str(secret), text, flags=re.IGNORECASE)
