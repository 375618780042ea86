"""Ends of a debt, asked for in a few dialogs: how much, whose fault it was, and why."""

from __future__ import annotations

from breakdesk.desk.consent import lacks_consent, record_consent
from breakdesk.desk.problems import Done
from breakdesk.desk.settling import BAD_ENDS, Close, close
from breakdesk.rules.money import parse_money
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.acting_screen import ActingScreen

FAULT_WORDS = {
    "maker": "The maker's",
    "house": "The house's own",
    "carrier": "The carrier's",
    "nobody": "Nobody's",
}
MONEY_MOVES = ("refunded", "credited", "bought_out")
END_WORDS = {
    "refunded": "Refund it",
    "credited": "Give a credit",
    "replaced": "Replace it by another card",
    "bought_out": "Buy it from them",
    "terms": "Close it under the terms of the break",
    "unclaimed": "Close it as unclaimed",
    "kept": "Close it: the house bears it",
}


async def end_debt(screen: ActingScreen, tag: str, how: str, fault: str = "maker") -> Done | None:
    """Asks what an end needs and records it; None where it was left or refused. `fault` is offered first."""
    currency = screen.desk.house.terms.on("currency", screen.desk.today())

    def amount_problem(text: str) -> str | None:
        try:
            parse_money(text, currency)
        except ValueError as error:
            return str(error)
        return None

    if await screen.desk.call(lacks_consent, tag, how) and not await _ask_consent(screen, tag, how):
        return None
    amount = ""
    if how in MONEY_MOVES:
        said = await screen.ask(
            AskText("How much is paid?", f"An amount such as 40.00 {currency}.", check=amount_problem)
        )
        if said is None:
            return None
        amount = said
    whose = ""
    if how in BAD_ENDS:
        ordered = sorted(FAULT_WORDS, key=lambda name: name != fault)
        picked = await screen.pick("Whose fault was it?", [(name, FAULT_WORDS[name]) for name in ordered])
        if picked is None:
            return None
        whose = picked
    reason = await screen.ask_words("In a few words: why, and what was agreed?")
    if reason is None:
        return None
    return await screen.carry_out(
        screen.desk.call(close, Close(tag=tag, how=how, amount=amount, fault=whose, reason=reason))
    )


async def _ask_consent(screen: ActingScreen, tag: str, how: str) -> bool:
    """Asks first how the participant agreed, where the house wants their yes: nothing that is typed later is lost."""
    said = await screen.ask_words("Did they agree to it? How did they say so?", "Your house needs their yes for this.")
    return said is not None and await screen.carry_out(screen.desk.call(record_consent, tag, how, said)) is not None
