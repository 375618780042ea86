"""The items of a round, and the commands that every round has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from breakdesk.rules.parties import Person
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import person_words

_WALKING = (
    ("next", "n", "Next", "Leave this one as it is and go to the next (also the Down key).", True),
    ("previous", "b", "Back", "Go back to the one before (also the Up key).", False),
    ("park", "p", "Put aside", "Put it aside until a day, with a reason.", True),
    ("story", "o", "Story", "Open the story of the claim, or everything about the person.", True),
    ("jump", "j", "Jump", "Jump to another one by its number or its first letters.", False),
    ("undo", "u", "Undo", "Undo one of the things that you did in this round; each is named first.", False),
)


def round_commands(context: str, *own: Command, without: tuple[str, ...] = ()) -> tuple[Command, ...]:
    """Registers the commands of a round: its own first, then those of walking a list but for some by name."""
    walking = (
        Command(
            id=f"{context}.{name}",
            keys=UNDO_KEYS if name == "undo" else (key,),
            label=label,
            tooltip=tooltip,
            context=context,
            footer=footer,
        )
        for name, key, label, tooltip, footer in _WALKING
        if name not in without
    )
    return REGISTRY.add(*own, *walking)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item of a round. `key` stays the same from one reading of the list to the next."""

    key: str
    label: str | Secret
    data: Any
    park_ids: tuple[int, ...] = ()
    """What putting it aside puts aside: claims' keys, for tell and ship the participant's."""
    tag: str = ""
    """The claim whose story opens."""
    person_id: int | None = None
    """The participant who opens where there is no claim."""
    names: str = ""
    """Words by which it can be jumped to."""
    secrets: tuple[Secret, ...] = ()
    """What must not be read on air in sentences about it."""
    step: Step = field(default=Step.OPEN)


def person_item(person: Person, line: Any, *, on_air: bool) -> Item:
    """The item of a participant; on air it is not found by the full name."""
    name = person_words(person.name, person.handle, person.on_air_name)
    return Item(
        key=str(person.id),
        label=name,
        data=line,
        park_ids=(person.id,),
        person_id=person.id,
        names=f"{person.on_air_name} {person.handle}" + ("" if on_air else f" {person.name}"),
        secrets=(name,),
    )


def name_parts(names: str) -> list[str]:
    """By which beginnings an item can be jumped to: all its words together, and each."""
    folded = names.casefold()
    return [folded, *(part.lstrip("@") for part in folded.split())]


def place_named(items: Sequence[Item], words: str) -> int | None:
    """Return the place of the item that is meant by its number, from 1, or by the first letters of one of its names."""
    wanted = words.casefold().lstrip("@")
    if wanted.isdecimal() and 1 <= int(wanted) <= len(items):
        return int(wanted) - 1
    together = wanted.replace(" ", "")  # a tag may be typed as it is shown
    return next(
        (
            place
            for place, item in enumerate(items)
            if wanted and any(part.startswith((wanted, together)) for part in name_parts(item.names))
        ),
        None,
    )
