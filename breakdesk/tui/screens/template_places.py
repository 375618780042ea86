"""What a text of the house is for, and for whom: everybody, one tone, one language, or both."""

from __future__ import annotations

from typing import Final

from breakdesk.desk.house_wording import Place
from breakdesk.files.messages.language import known_language
from breakdesk.files.messages.sources import TONES
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.acting_screen import ActingScreen

EVERYBODY: Final = "for everybody"


TEXTS: Final = {
    "message": "The message",
    "subject": "Subject of e-mails",
    "sms": "Short message",
    "public": "Public post",
    "ask": "To a maker",
    "ask_subject": "Subject to a maker",
    "answer": "Answer on the phone",
    "delay_notice": "Notice of delay",
    "need_choose": "Needed: a choice",
    "need_confirm_address": "Needed: the address",
    "need_confirm_delivery": "Needed: did it come",
}


def text_words(name: str) -> str:
    """What a text is for; news by the word that lists and stories use."""
    return TEXTS.get(name) or f"News: {name.removeprefix('news_').replace('_', ' ')}"


def place_words(place: Place) -> str:
    """For whom the texts are."""
    parts = [f"in the {place.tone} tone" if place.tone else "", f"in {place.language}" if place.language else ""]
    return " and ".join(part for part in parts if part) or EVERYBODY


async def pick_place(screen: ActingScreen, now: Place) -> Place | None:
    """Ask for whom; None where nothing is to change."""
    tones = [("", "Whichever tone is settled"), *((tone, f"The {tone} tone alone") for tone in TONES)]
    about = f"Now: {place_words(now)}. A text for one tone or language goes before the one for everybody."
    tone = await screen.pick("Texts for which tone?", [(key or "any", label) for key, label in tones], about)
    if tone is None:
        return None
    dialog = AskText(
        "And for which language?",
        "As in BCP 47: de, fr, pt-BR. Empty for every language; it stands in for those without a text of their own.",
        value=now.language.replace("_", "-"),
        check=_language_problem,
    )
    language = await screen.ask(dialog)
    if language is None:
        return None
    return Place("" if tone == "any" else tone, known_language(language) if language else "")


def _language_problem(text: str) -> str | None:
    if not text or known_language(text) != "en" or text.casefold().startswith("en"):
        return None
    return f"{text} is not a language that is known. Write it as de, fr or pt-BR."
