"""The submit round: one claim at a time, real dangers first; the code and the reference in one go."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input

from breakdesk.desk.codes import code_alike
from breakdesk.desk.describing import what_of
from breakdesk.desk.submit_cards import SubmitCard, maker_names, readings_to_try, submit_card
from breakdesk.desk.submitting import (
    FAILURE_WORDS,
    Submit,
    move_to_maker,
    seen_on_camera,
    submission_failed,
    submit,
)
from breakdesk.desk.viewing import today
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, round_commands
from breakdesk.tui.screens.submit_dialogs import alike_question, ask_way
from breakdesk.tui.screens.submit_words import (
    Way,
    capitalised,
    card_fields,
    danger_words,
    next_words,
)
from breakdesk.tui.widgets.fields import Fields
from breakdesk.tui.widgets.inputs import SecretInput


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"submit-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="submit-round", footer=footer
    )


COMMANDS = round_commands(
    "submit-round",
    _command("type", "e", "Enter code", "Type the code and the reference in one go (also the Enter key)."),
    _command("failed", "f", "Not accepted", "Say what the maker's site answered instead of a reference."),
    _command("how", "m", "Account, way", "Change the account, the way it is entered, and where the card goes."),
    _command("readings", "r", "Readings", "Try other readings of a code that cannot be read whole.", footer=False),
    _command("copy", "c", "Copy code", "Copy the code for the maker's site; never on air.", footer=False),
    _command("seen", "k", "Seen", "The code was seen on camera: this claim goes first.", footer=False),
    _command("maker", "w", "Maker", "Say which maker it is, where that is unknown or wrong.", footer=False),
)


class SubmitRound(RoundScreen):
    """Walks the claims that are to be submitted."""

    TITLE_WORDS = "Submit"
    ABOUT = (
        "Claims that are to be submitted, those in danger first. Enter begins with the code; Enter again goes on to "
        "the reference, and a third Enter saves both. Whatever else the maker's site says goes by f."
    )
    CONTEXT = "submit-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "submit"
    ZERO = "Nothing is left to be submitted."

    def __init__(self) -> None:
        super().__init__()
        self._card: SubmitCard | None = None
        self._ways: dict[int | None, Way] = {}

    def compose_item(self) -> ComposeResult:
        """Give the facts of the claim."""
        yield Paragraph(id="submit-danger", style="bold $accent")
        yield Fields(id="submit-fields")

    def compose_below(self) -> ComposeResult:
        """Give the two fields."""
        with Vertical(id="submit-entry"):
            yield Paragraph(id="submit-next")
            with Horizontal(classes="entry"):
                yield Paragraph("Code", style="$quiet", id="submit-code-label")
                yield SecretInput(id="submit-code", max_length=80)
            with Horizontal(classes="entry"):
                yield Paragraph("Reference", style="$quiet", id="submit-reference-label")
                yield SecretInput(id="submit-reference", max_length=80)

    async def read_items(self) -> list[Item]:
        """Read today's list."""
        view = await self.desk.call(today)
        return [
            Item(
                key=line.claim.tag,
                label=f"{tag_words(line.claim.tag)} {what_of(line.claim)}",
                data=line,
                park_ids=(line.claim.id,),
                tag=line.claim.tag,
                names=f"{line.claim.tag} {line.claim.subject}",
            )
            for line in view.today.submit
        ]

    async def show_item(self, item: Item) -> None:
        """Show the claim with its clocks."""
        changed = self._card is None or self._card.view.claim.tag != item.tag
        self._card = card = await self.desk.call(submit_card, item.tag)
        if card is None:
            return
        claim = card.view.claim
        self.query_one("#submit-danger", Paragraph).show(danger_words(card))
        self.query_one("#submit-fields", Fields).show(card_fields(card, self.desk.today(), self.desk.house.name))
        self.query_one("#submit-entry").display = claim.state == "pulled"
        self.query_one("#submit-next", Paragraph).show(next_words(card, self._way(card)))
        if changed:
            for field in self.query(SecretInput):
                field.value = ""

    def _way(self, card: SubmitCard) -> Way:
        chosen = self._ways.get(card.view.claim.maker_id)
        known = card.view.account or (card.accounts[0] if len(card.accounts) == 1 else "")
        return chosen or Way(account=known)

    # Doing one

    def main_action(self) -> None:
        """Begin to type."""
        self.action_type()

    def action_type(self) -> None:
        """Put the cursor where the next thing is to be typed."""
        card = self._card
        if card is None or card.view.claim.state != "pulled":
            return
        known = card.code and not card.is_partial and not self.query_one("#submit-code", SecretInput).value
        self.query_one("#submit-reference" if known else "#submit-code", SecretInput).focus()

    @on(Input.Submitted, "#submit-code")
    def _code_typed(self, event: Input.Submitted) -> None:
        event.stop()
        self.query_one("#submit-reference", SecretInput).focus()

    @on(Input.Submitted, "#submit-reference")
    def _reference_typed(self, event: Input.Submitted) -> None:
        event.stop()
        self.walk(self._submit())

    async def _submit(self) -> None:
        card = self._card
        if card is None or card.view.claim.state != "pulled":
            return
        way = self._way(card)
        code = self.query_one("#submit-code", SecretInput).value.strip()
        reference = self.query_one("#submit-reference", SecretInput).value.strip()
        if not reference and way.method == "site":
            self.say("Type the reference the maker gave. If it gave none, f says what it answered instead.")
            return
        if not code and not card.code and not await self._without_code():
            self.query_one("#submit-code", SecretInput).focus()
            return
        alike = await self.desk.call(code_alike, card.view.claim.tag, code) if code else ""
        if alike and not await self.ask(alike_question(alike)):
            self.query_one("#submit-code", SecretInput).focus()
            return
        request = Submit(
            tag=card.view.claim.tag,
            code=code,
            reference=reference,
            account=way.account,
            method=way.method,
            ship_to=way.ship_to,
        )
        if await self.carry_out(self.desk.call(submit, request), masking.reference(reference)) is None:
            return
        self._ways[card.view.claim.maker_id] = way
        await self.finish()
        if self.has_open():
            self.action_type()
        else:
            self.set_focus(None)

    async def _without_code(self) -> bool:
        choice = await self.pick(
            "No code was typed for this claim.", [("back", "Type the code"), ("go", "Submit it without a code")]
        )
        return choice == "go"

    def action_failed(self) -> None:
        """Take another outcome than success."""
        self.walk(self._failed())

    async def _failed(self) -> None:
        card = self._card
        if card is None or card.view.claim.state != "pulled":
            return
        how = await self.pick(
            "What came instead of a reference?", [(key, capitalised(FAILURE_WORDS[key])) for key in FAILURE_WORDS]
        )
        if how is None:
            return
        note = await self.ask(AskText("Anything to note?", "Enter alone notes nothing."))
        if note is None:
            return
        tag = card.view.claim.tag
        if await self.carry_out(self.desk.call(submission_failed, tag, how, note)) is None:
            return
        if how == "must_mail":
            way = self._way(card)
            self._ways[card.view.claim.maker_id] = Way("mail", way.account, way.ship_to)
        await self.go_on()

    def action_how(self) -> None:
        """Change the way."""
        self.walk(self._how())

    async def _how(self) -> None:
        card = self._card
        if card is not None:
            way = await ask_way(self, card, self._way(card))
            if way is not None:
                self._ways[card.view.claim.maker_id] = way
                await self._show()

    def action_readings(self) -> None:
        """Offer other readings."""
        self.walk(self._readings())

    async def _readings(self) -> None:
        card, field = self._card, self.query_one("#submit-code", SecretInput)
        if card is None:
            return
        code = field.value.strip() or card.code
        readings = await self.desk.call(readings_to_try, code) if code else ()
        if not readings:
            self.say("There is no code to read in another way; type it first, with ? for a place that cannot be read.")
            return
        choice = await self.pick(
            "Try which reading?",
            [(reading, masking.code(reading)) for reading in readings],
            "The likeliest stand first; try them in turn. Look at the card again before you try many.",
        )
        if choice is not None:
            field.value = choice
            self.query_one("#submit-reference", SecretInput).focus()

    def action_copy(self) -> None:
        """Copy the code."""
        if self._card is not None:
            typed = self.query_one("#submit-code", SecretInput).value.strip()
            self.say(copy_text(self.desk, masking.code(typed or self._card.code)))

    def action_seen(self) -> None:
        """Say that the code was seen."""
        if self._card is not None:
            self.walk(self.changed(self.desk.call(seen_on_camera, self._card.view.claim.tag)))

    def action_maker(self) -> None:
        """Name the maker."""
        self.walk(self._maker())

    async def _maker(self) -> None:
        card = self._card
        if card is None:
            return
        makers = await self.desk.call(maker_names)
        choice = await self.pick("Which maker is it?", [(name, name) for _, name in makers])
        if choice is not None:
            await self.changed(self.desk.call(move_to_maker, card.view.claim.tag, choice))
