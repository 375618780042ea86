"""The words around a message of the tell round: what it hides, what is pasted in turn, what to do next."""

from __future__ import annotations

from breakdesk.desk.reaching import TellCard
from breakdesk.tui import masking
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.round_items import Item
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import person_words

QUIET_CHOICES = (
    ("later", "Leave it until then: the next one"),
    ("this", "Copy this one all the same"),
    ("all", "Copy whoever is due in this round, quiet or not"),
)


def to_know(card: TellCard) -> str:
    """What to know before a message goes out: quiet hours, a way that cannot be used, wording with a mistake."""
    quiet = f"Held: {card.quiet}." if card.quiet else ""
    return " ".join(part for part in (quiet, card.note, *card.telling.message.warnings) if part)


def secrets_of(card: TellCard) -> tuple[Secret, ...]:
    """What the message holds that the stream may not read: the full name, tracking numbers and free words."""
    view = card.telling.view
    lines = [line for group in view.news for line in group.claims] + list(view.waiting)
    found = [person_words(card.name, card.handle, card.on_air_name)]
    found += [masking.reference(line.tracking) for line in lines if line.tracking]
    found += [masking.note(text) for line in lines for text in (line.offer_what, line.note) if text]
    found += [masking.note(need.offer_what) for need in view.needs if need.offer_what]
    return tuple(found)


def to_copy(card: TellCard) -> tuple[str, ...]:
    """What is pasted one after the other: an e-mail's subject has a line of its own in every mail program."""
    message = card.telling.message
    return (message.subject, *message.parts) if message.subject else message.parts


def next_words(card: TellCard | None, item: Item, copied: TellCard | None, part: int) -> str:
    """The one thing to do next."""
    if card is None or item.step is not Step.OPEN:
        return ""
    if card.opted_out:
        return "Opted out: t settles their news without a message, n leaves it."
    if card.quiet and (copied is None or copied.person_id != card.person_id):
        return "Held until their quiet hours are over: n leaves it, Enter asks whether to copy it all the same."
    if copied is None or copied.person_id != card.person_id:
        return "Enter copies this message."
    if part < len(to_copy(card)):
        following = "the text" if card.telling.message.subject else f"part {part + 1}"
        return f"Paste it, then Enter copies {following}."
    return "Paste it, then Enter: told, and the next one is copied."
