"""How a claim is named in a sentence: the card, its variation and its print run."""

from __future__ import annotations

from breakdesk.rules.break_facts import Card
from breakdesk.rules.claim import Listed


def what_of(claim: Listed) -> str:
    """A card in a few words, such as "Ana Moor Gold /25"."""
    subject = claim.subject.strip()
    if ";" in subject:
        subject = " & ".join(part.strip() for part in subject.split(";") if part.strip())
    parts = [subject, claim.variation]
    if claim.numbered_to is not None:
        parts.append(f"{claim.serial}/{claim.numbered_to}" if claim.serial is not None else f"/{claim.numbered_to}")
    said = " ".join(part for part in parts if part)
    if claim.kind == "damage":
        return f"{said} (damaged)"
    if claim.kind == "shortage":
        return f"{said} (missing hit)"
    return said


def words_of_card(card: Card) -> str:
    """A card of a checklist in a few words, with its number on it."""
    run = "" if card.numbered_to is None else f"/{card.numbered_to}"
    return " ".join(filter(None, (card.card, " & ".join(card.subjects), card.variation, run, ", ".join(card.features))))
