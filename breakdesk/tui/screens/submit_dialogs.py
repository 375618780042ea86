"""What is asked about a code, and about the way in which a maker's claims are entered."""

from __future__ import annotations

from breakdesk.desk.submit_cards import SubmitCard
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.submit_words import METHODS, SHIP_TO, Way, capitalised

NEW_ACCOUNT = "+"


def alike_question(tag: str) -> Confirm:
    """Asks whether a code is right that looks like the one of another claim, before it is saved."""
    return Confirm(
        "Is the code right?",
        f"It differs from that of {tag_words(tag)} only by characters that look alike.",
        yes="Keep it as it was typed",
        no="Look at the card again",
    )


async def ask_way(screen: ActingScreen, card: SubmitCard, way: Way) -> Way | None:
    """Asks for account, way and where the card goes; None where it was left."""
    account = await _pick_account(screen, card, way.account)
    if account is None:
        return None
    method = await screen.pick("How is it entered?", [(key, capitalised(said)) for key, said in METHODS.items()])
    if method is None:
        return None
    places = [(key, capitalised(said)) for key, said in SHIP_TO.items()]
    ship_to = await screen.pick("Where does the card go?", places)
    return None if ship_to is None else Way(method, account, ship_to)


async def _pick_account(screen: ActingScreen, card: SubmitCard, known: str) -> str | None:
    names = list(dict.fromkeys([*([known] if known else []), *card.accounts]))
    choices = [(name, name) for name in names] + [("", "No account"), (NEW_ACCOUNT, "Another account …")]
    choice = await screen.pick("Which account?", choices)
    if choice != NEW_ACCOUNT:
        return choice
    name = await screen.ask(AskText("What is the account called?", "A word of your own, never its password."))
    return name or None
