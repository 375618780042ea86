"""The words of the submit round: ways, dangers, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.submit_cards import SubmitCard

METHODS = {"site": "on the maker's site", "mail": "by mail", "e-mail": "by e-mail"}
SHIP_TO = {"house": "the card comes to the house", "participant": "the maker sends it straight to the participant"}


@dataclass(frozen=True, slots=True)
class Way:
    """How claims of one maker are entered, as last chosen in this round."""

    method: str = "site"
    account: str = ""
    ship_to: str = "house"


def next_words(card: SubmitCard, way: Way) -> str:
    """The one thing to do next, and in which way the claim is entered."""
    if card.view.claim.state != "pulled":
        return ""
    account = f"account {way.account}, " if way.account else ""
    kept = bool(card.code) and not card.is_partial
    start = "Enter the reference; the code is kept already." if kept else "Enter, the code, Enter, the reference."
    return f"{start} {capitalised(account + METHODS[way.method])}; {SHIP_TO[way.ship_to]}."


def danger_words(card: SubmitCard) -> str:
    """What cannot wait about a claim, or that it is done with."""
    if card.view.claim.state != "pulled":
        return "This one is done with." if card.view.claim.state != "submitted" else "This one is submitted."
    said = []
    if card.view.claim.seen_on_camera:
        said.append("The code was seen on camera: whoever read it can take the card.")
    if card.days_left is not None and card.days_left < 0:
        said.append("The claim card has expired.")
    elif card.submit_by is not None and card.submit_by <= card.now:
        said.append("Later than your own term.")
    return " ".join(said)


def clock_words(seconds: int | None) -> str:
    """A mark in the video, h:mm:ss."""
    if seconds is None:
        return ""
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02} since going live"


def capitalised(text: str) -> str:
    """The words as the beginning of a line."""
    return text[:1].upper() + text[1:]
