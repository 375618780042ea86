"""A claim changes hands: sold or given away by its participant, or corrected because it was never theirs."""

from __future__ import annotations

from typing import Final

from breakdesk.desk.problems import Done
from breakdesk.desk.settling import change_owner
from breakdesk.desk.transferring import Transfer, transfer
from breakdesk.desk.viewing import ClaimView
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.screens.person_steps import ask_person, words_for
from breakdesk.tui.wording import person_words

HOUSE: Final = "house"
CODE_COUNTS: Final = ("pulled", "submitted", "offered", "refused")
"""Before its card is here, whoever knows a claim's code may take it."""


class OwnerSteps:
    """The questions about whose a claim is, for the screen that shows it."""

    def __init__(self, screen: ActingScreen, view: ClaimView) -> None:
        """Make the steps of a claim."""
        self._screen = screen
        self._view = view
        self._tag = tag_words(view.claim.tag)

    async def ask(self) -> Done | None:
        """Let a person say why it changes hands, and to whom."""
        ways = []
        if self._view.claim.owner_kind == "person":
            ways = [("sold", "Its participant sold it to somebody"), ("given", "Its participant gave it to somebody")]
        ways += [("corrected", "It is somebody else's: set right whose it is"), (HOUSE, "It is the house's own")]
        how = await self._screen.pick(f"{self._tag}: whose is it now?", ways)
        if how is None:
            return None
        if how == HOUSE:
            return await self._set_right(HOUSE, self._screen.desk.house.name)
        to = await ask_person(self._screen, "Who has it now?", without=self._view.claim.owner_id)
        if to is None:
            return None
        name = words_for(to)
        return await (self._set_right(to.name, name) if how == "corrected" else self._pass_on(how, to.name, name))

    async def _set_right(self, to: str, name: str | Secret) -> Done | None:
        reason = await self._screen.ask(AskText("Why is that so?", name, " has it then.", check=needed))
        if reason is None:
            return None
        work = self._screen.desk.call(change_owner, self._view.claim.tag, to, reason)
        return await self._screen.carry_out(work, *_secret(name))

    async def _pass_on(self, how: str, to: str, name: Secret) -> Done | None:
        screen, claim = self._screen, self._view.claim
        before = self._view.parties.people[claim.owner_id or 0]
        owner = person_words(before.name, before.handle, before.on_air_name)
        knew: str | None = "yes" if claim.seen_on_camera else "no"
        if not claim.seen_on_camera and claim.state in CODE_COUNTS:
            answers = [("yes", "Yes, or nobody can tell"), ("no", "No: they never had it")]
            about = "Who knows it can take the card; the new owner is told."
            knew = await screen.pick("Did the one who passes it on know its code?", answers, about)
        if knew is None:
            return None
        known = " The new owner is told that its code was known before." if knew == "yes" else ""
        did = "sold" if how == "sold" else "gave"
        yes = await screen.ask(
            Confirm(
                f"{self._tag} changes hands?",
                owner,
                f" {did} it to ",
                name,
                f". Both are to be told.{known} u takes it back until something else happens to it.",
                yes="It changes hands",
            )
        )
        if not yes:
            return None
        request = Transfer(tag=claim.tag, to=to, how=how, knew_code=knew == "yes")
        return await screen.carry_out(screen.desk.call(transfer, request), owner, name)


def _secret(name: str | Secret) -> tuple[Secret, ...]:
    return (name,) if isinstance(name, Secret) else ()
