"""Which waiting claim an arrived card can be: how well what one sees fits what was promised, and what is odd."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from breakdesk.rules.claim import Claim, State
from breakdesk.rules.names import folded
from breakdesk.rules.wording import day_in_words

WAITING: Final[tuple[State, ...]] = ("submitted", "offered", "refused", "pulled")
"""The states in which a card may still come, the likeliest first."""

TO_BE_NAMED: Final = "Player to be named"
"""Stands for the player of a claim of which nobody knows yet who will be on the card, such as one for a missing hit."""

# How much each part of a card says about which claim it is; weighed by us, no source.
_SUBJECT = 6.0
_SERIAL, _OTHER_SERIAL = 4.0, -6.0
_RUN, _OTHER_RUN, _RUN_NOT_PROMISED = 3.0, -4.0, -1.0
_VARIATION, _OTHER_VARIATION, _VARIATION_UNSAID, _PLAIN = 3.0, -3.0, -1.0, 1.0
_PRODUCT, _OTHER_PRODUCT = 2.0, -3.0
_MAKER, _OTHER_MAKER = 1.0, -4.0
_SMALL = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What one sees of an arrived card. `words` are the folded words of the line; None and empty are what it lacks."""

    words: tuple[str, ...] = ()
    variation: str = ""
    numbered_to: int | None = None
    serial: int | None = None
    features: tuple[str, ...] = ()
    product_id: int | None = None
    maker_id: int | None = None


@dataclass(frozen=True, slots=True)
class Fit:
    """How well a claim fits: more is better; `differs` names in plain words what speaks against it."""

    score: float
    differs: tuple[str, ...]


def fit_of(seen: Seen, claim: Claim) -> Fit | None:
    """How well a card fits a claim; None where the claim names a player and the card shows nothing of the name."""
    share = 0.0 if is_unnamed(claim) else _share_named(seen.words, claim.subject)
    if not share and not is_unnamed(claim):
        return None
    score = _SUBJECT * share
    differs: list[str] = []
    for part in (_serial(seen, claim), _run(seen, claim), _variation(seen, claim), _origin(seen, claim)):
        score += part[0]
        if part[1]:
            differs.append(part[1])
    score += _SMALL * bool(_share_named(seen.words, claim.team))
    promised = {folded(feature) for feature in claim.features.split(";") if feature.strip()}
    score += _SMALL * len(promised & {folded(feature) for feature in seen.features})
    return Fit(score, tuple(differs))


def is_unnamed(claim: Claim) -> bool:
    """Whether nobody knew the player when the claim was written down."""
    return claim.subject in ("", TO_BE_NAMED)


def _share_named(said: Collection[str], names: str) -> float:
    """The share of a name's words that the line says, in full or by their beginning."""
    parts = folded(names.replace(";", " ")).split()
    named = sum(any(part == word or (len(word) > 2 and part.startswith(word)) for word in said) for part in parts)
    return named / len(parts) if parts else 0.0


def _serial(seen: Seen, claim: Claim) -> tuple[float, str]:
    if seen.serial is None or claim.serial is None:
        return 0.0, ""
    if seen.serial == claim.serial:
        return _SERIAL, ""
    return _OTHER_SERIAL, f"serial {claim.serial} was written down, not {seen.serial}"


def _run(seen: Seen, claim: Claim) -> tuple[float, str]:
    if seen.numbered_to is None:
        return 0.0, ""
    if claim.numbered_to is None:
        return _RUN_NOT_PROMISED, ""
    if seen.numbered_to == claim.numbered_to:
        return _RUN, ""
    return _OTHER_RUN, f"/{claim.numbered_to} was promised, not /{seen.numbered_to}"


def _variation(seen: Seen, claim: Claim) -> tuple[float, str]:
    promised, here = folded(claim.variation), folded(seen.variation)
    if promised == here:
        return (_VARIATION if promised else _PLAIN), ""
    if not here:
        named = set(promised.split()) <= set(seen.words)
        return (_VARIATION, "") if named else (_VARIATION_UNSAID, "")
    if not promised:
        return _OTHER_VARIATION, f"{seen.variation} was not promised"
    return _OTHER_VARIATION, f"{claim.variation} was promised, not {seen.variation}"


def _origin(seen: Seen, claim: Claim) -> tuple[float, str]:
    if seen.maker_id is not None and claim.maker_id is not None and seen.maker_id != claim.maker_id:
        return _OTHER_MAKER, "it is with another maker"
    score = _MAKER if seen.maker_id is not None and seen.maker_id == claim.maker_id else 0.0
    if seen.product_id is None or claim.product_id is None:
        return score, ""
    return score + (_PRODUCT if seen.product_id == claim.product_id else _OTHER_PRODUCT), ""


def what_is_odd(claim: Claim, seen: Seen, differs: Collection[str] = ()) -> tuple[str, ...]:
    """Everything unusual about a card that comes for this claim, each as a sentence; nothing where all is well."""
    odd = list(_about_the_claim(claim))
    if seen.serial is not None:
        run = seen.numbered_to or claim.numbered_to
        if seen.serial < 1 or (run is not None and seen.serial > run):
            odd.append(f"Serial {seen.serial} is outside a run of {run}." if run else "A serial begins at 1.")
    if differs and claim.state != "offered" and claim.offer_answer is None:
        odd.append(f"Not what was promised, and nobody offered a replacement: {'; '.join(differs)}.")
    elif differs:
        odd.append(f"A replacement: {'; '.join(differs)}.")
    unnamed = parts_unnamed(claim, seen)
    if unnamed:
        odd.append(f"Only a part of what was promised: {' and '.join(unnamed)} is not on it, and may still be owed.")
    return tuple(odd)


def parts_unnamed(claim: Claim, seen: Seen) -> tuple[str, ...]:
    """The players of a claim for several whom the line does not name, where it names others of them."""
    parts = [part.strip() for part in claim.subject.split(";") if part.strip()]
    unnamed = tuple(part for part in parts if not _share_named(seen.words, part))
    return unnamed if len(unnamed) < len(parts) else ()


def _about_the_claim(claim: Claim) -> tuple[str, ...]:
    odd = []
    if claim.settled_on is not None and claim.owner_kind == "house":
        day = day_in_words(claim.settled_on)
        odd.append(f"The participant was settled with on {day}: the card is the house's now.")
    if claim.state in ("in_hand", "shipped"):
        on = f" on {day_in_words(claim.in_hand_on)}" if claim.in_hand_on is not None else ""
        odd.append(f"Its card came{on} already.")
    elif claim.state == "closed" and claim.closed_on is not None:
        odd.append(
            f"The claim was closed on {day_in_words(claim.closed_on)}: nobody waits for it, so it is the house's."
        )
    elif claim.state == "pulled":
        odd.append("It was never submitted.")
    elif claim.state == "refused":
        odd.append("The maker had refused it.")
    elif claim.state == "offered" and claim.offer_answer is None:
        odd.append("A replacement was offered and nobody has answered yet.")
    if claim.ship_to == "participant" and claim.state not in ("in_hand", "shipped", "closed"):
        odd.append("The maker was to send it straight to the participant.")
    return tuple(odd)
