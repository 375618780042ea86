"""What a stream may not see, and the one way in which it is shown or hidden.

Codes, references, addresses, e-mail, phone numbers, full names and notes travel to the screen as `Secret`. A secret
gives its text only to one who says whether the stream can see the screen, so that forgetting the mask is hard:
printing, formatting or joining it gives the mask. The mask has one width, because a length also tells something.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

MASK: Final = "hidden on air"
"""What stands on the screen in place of anything hidden."""


class Kind(StrEnum):
    """What a secret is; the word is what a person calls it."""

    CODE = "code"
    REFERENCE = "reference"
    ADDRESS = "address"
    EMAIL = "e-mail"
    PHONE = "phone"
    NAME = "full name"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Secret:
    """A text that the stream may not see.

    `instead` is what may be shown on air in its place, such as the on-air name for a full name.
    """

    kind: Kind
    _text: str = field(repr=False)
    instead: str = ""

    def shown(self, *, on_air: bool) -> str:
        """Return the text, or on air the mask; nothing to hide stays empty."""
        if not on_air or not self._text:
            return self._text
        return self.instead or MASK

    def __str__(self) -> str:
        return self.shown(on_air=True)

    def __format__(self, layout: str) -> str:
        return format(str(self), layout)

    def __bool__(self) -> bool:
        return bool(self._text)


def code(text: str) -> Secret:
    """Hide the code of a claim card: who reads it can take the card."""
    return Secret(Kind.CODE, text)


def reference(text: str) -> Secret:
    """Hide the maker's reference of a claim."""
    return Secret(Kind.REFERENCE, text)


def address(text: str) -> Secret:
    """Hide a postal address; it may have several lines."""
    return Secret(Kind.ADDRESS, text)


def email(text: str) -> Secret:
    """Hide an e-mail address."""
    return Secret(Kind.EMAIL, text)


def phone(text: str) -> Secret:
    """Hide a phone number."""
    return Secret(Kind.PHONE, text)


def full_name(text: str, on_air_name: str = "") -> Secret:
    """Hide a full name behind the on-air name of the same person."""
    return Secret(Kind.NAME, text, on_air_name)


def note(text: str) -> Secret:
    """Hide free text: a note may hold a code, a name or an address."""
    return Secret(Kind.NOTE, text)


def shown(value: str | Secret, *, on_air: bool) -> str:
    """Return what may stand on the screen for a value."""
    return value.shown(on_air=on_air) if isinstance(value, Secret) else value
