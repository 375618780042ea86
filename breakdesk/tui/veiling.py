"""Sentences that may hold a secret: on air the secret's place shows what may stand there instead."""

from __future__ import annotations

from collections.abc import Iterable

from breakdesk.tui.masking import Kind, Secret


def veiled(text: str, secrets: Iterable[Secret]) -> Secret:
    """The text as a secret whose words on air have every given secret replaced; long ones first."""
    instead = text
    for secret in sorted(secrets, key=lambda secret: len(secret.shown(on_air=False)), reverse=True):
        plain = secret.shown(on_air=False).strip()
        if plain:
            instead = instead.replace(plain, str(secret))
    return Secret(Kind.NOTE, text, instead)
