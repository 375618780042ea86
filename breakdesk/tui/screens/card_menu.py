"""What else can be done about one card: damage and evidence, photos, a lost claim card, a sale, the maker's parcel."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from textual.screen import Screen

from breakdesk.desk import consent, damage, direct, lost_cards
from breakdesk.desk.consent import SELLING, has_agreed
from breakdesk.desk.desk import Desk
from breakdesk.desk.photo_proof import CONDITION
from breakdesk.desk.photos import keep_photos
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.rules.claim import ENDING_THE_HOUSES_DEBT, Claim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText, Dialog, Pick, ShowText
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.wording import day_words

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

AGREED = {
    "refunded": "to be refunded",
    "credited": "to a credit",
    "replaced": "to another card instead",
    "bought_out": "to sell the claim to the house",
}
Step = Callable[[], Coroutine[Any, Any, Result | None]]


def _is_for_sale(_desk: Desk, claim: Claim) -> bool:
    return claim.on_hold and has_agreed(claim, SELLING)


class CardMenu:
    """The choices about a claim's card, as far as its state allows, each with its own few questions."""

    def __init__(self, app: Breakdesk, claim: Claim) -> None:
        """Make the menu of a claim."""
        self._app = app
        self._claim = claim
        self.earlier: list[Done] = []
        """What was done before the last thing, where a list took several."""

    async def ask(self) -> Result | None:
        """Let a person choose and answer; returns what came of it, None where nothing was done."""
        steps = await self._steps()
        picked = await self._show(Pick(f"{tag_words(self._claim.tag)}: what about its card?", [c for c, _ in steps]))
        step = next((step for choice, step in steps if choice.id == picked), None)
        return None if step is None else await step()

    async def _show(self, dialog: Dialog[Any]) -> Any:
        return await self._app.push_screen_wait(cast("Screen[Any]", dialog))

    async def _words(self, title: str, *parts: str, needed: bool = True) -> str | None:
        check = (lambda text: None if text else "A few words are needed.") if needed else None
        return cast("str | None", await self._show(AskText(title, *parts, check=check)))

    async def _steps(self) -> Sequence[tuple[Choice, Step]]:
        claim = self._claim
        found: list[tuple[Choice, Step]] = []

        def add(key: str, label: str, step: Step) -> None:
            found.append((Choice(key, label), step))

        evidence = await self._app.call(damage.evidence_view, claim.tag)
        if evidence is not None:
            add("proof", "What the maker wants to see as evidence", self._proof)
        if evidence is not None and claim.kind == "damage":
            if evidence.is_away:
                add("back", "The damaged card came back", self._came_back)
            elif claim.is_open:
                add("sent", "The damaged card was posted back", self._sent_back)
        if claim.state == "in_hand" and claim.owner_kind != "nobody":
            add("damage", "It came damaged: claim another one", self._damaged)
        if claim.state == "in_hand" and claim.owner_kind == "person":
            if await self._app.call(_is_for_sale, claim):
                add("sold", "It was sold for its participant", self._sold)
            elif not claim.on_hold:
                add("sell", "Keep it here and sell it for its participant", self._sell)
        if claim.state == "pulled" and evidence is None:
            if claim.failed_how == "card_missing":
                add("found", "Its claim card was found", self._found)
            else:
                add("lost", "Its claim card cannot be found", self._lost)
        if claim.state in ("submitted", "offered"):
            if claim.ship_to == "participant":
                add("on_its_way", "The maker sent it straight to its participant", self._direct)
                add("there", "Its participant has it", self._there)
            place = "house" if claim.ship_to == "participant" else "participant"
            add("ship_to", f"The maker is to send it to the {place}", lambda: self._send_to(place))
        if claim.is_open and claim.owner_kind == "person":
            add("agreed", "Its participant agreed to something else", self._agreed)
        add("photo", "Keep a photo of it", self._photo)
        add("knew", "Who saw or received its code", self._knew)
        return found

    async def _damaged(self) -> Result | None:
        note = await self._words("How is it damaged?", "A claim for another one begins, for the same participant.")
        return None if note is None else await self._app.call(damage.came_damaged, self._claim.tag, note)

    async def _proof(self) -> Result | None:
        """The list stays until it is closed: the pieces usually come together."""
        result: Result | None = None
        while not isinstance(result, Problem):
            view = await self._app.call(damage.evidence_view, self._claim.tag)
            piece = None if view is None else await self._show(_evidence_list(view))
            if view is None or piece is None:
                break
            if isinstance(result, Done):
                self.earlier.append(result)
            result = await self._app.call(damage.gather_evidence, self._claim.tag, piece, got=piece in view.missing)
        return result

    async def _sent_back(self) -> Result | None:
        tracking = await self._words("Under which tracking number?", "Enter alone if there is none.", needed=False)
        return None if tracking is None else await self._app.call(damage.send_back, self._claim.tag, tracking)

    async def _came_back(self) -> Result | None:
        return await self._app.call(damage.came_back, self._claim.tag)

    async def _sell(self) -> Result | None:
        said = await self._words("What was agreed?", "Such as the lowest price and what the house keeps.")
        return None if said is None else await self._app.call(consent.keep_and_sell, self._claim.tag, said)

    async def _sold(self) -> Result | None:
        amount = await self._words("What does the participant get?", "An amount such as 22.50 or 22.50 EUR.")
        return None if amount is None else await self._app.call(consent.sold_for_them, self._claim.tag, amount)

    async def _lost(self) -> Result | None:
        who = await self._words("Who had it last, or where did it lay?", "It waits among the decisions meanwhile.")
        return None if who is None else await self._app.call(lost_cards.card_is_lost, self._claim.tag, who)

    async def _found(self) -> Result | None:
        where = await self._words("Where was it?", "Enter alone notes nothing.", needed=False)
        return None if where is None else await self._app.call(lost_cards.card_is_found, self._claim.tag, where)

    async def _direct(self) -> Result | None:
        tracking = await self._words("The maker's tracking number?", "Enter alone if there is none.", needed=False)
        return None if tracking is None else await self._app.call(direct.maker_shipped, self._claim.tag, tracking)

    async def _there(self) -> Result | None:
        return await self._app.call(direct.participant_has_it, self._claim.tag)

    async def _send_to(self, place: str) -> Result | None:
        return await self._app.call(direct.set_ship_to, self._claim.tag, place)

    async def _agreed(self) -> Result | None:
        choices = [Choice(how, f"They agreed {AGREED[how]}") for how in ENDING_THE_HOUSES_DEBT]
        how = await self._show(Pick("What did they agree to?", choices))
        said = None if how is None else await self._words("How did they say so?", "Where, when, and who asked.")
        return None if said is None else await self._app.call(consent.record_consent, self._claim.tag, how, said)

    async def _photo(self) -> Result | None:
        typed = await self._words("Which file?", "Its path; a copy is kept in the desk's folder.")
        if typed is None:
            return None
        view = await self._app.call(damage.evidence_view, self._claim.tag)
        shown = CONDITION
        if view is not None and view.missing:
            choices = [*(Choice(piece, piece) for piece in view.missing), Choice(CONDITION, "None of these")]
            shown = await self._show(Pick("What that the maker wants does it show?", choices))
            if shown is None:
                return None
        return await self._app.call(keep_photos, self._claim.tag, [_path(typed)], shown)

    async def _knew(self) -> Result | None:
        known = await self._app.call(_known, self._claim.tag)
        today = self._app.today()
        lines = [f"{day_words(one.day, today)}: {one.how}, {one.who}".rstrip(", ") for one in known]
        on_air = [f"{day_words(one.day, today)}: {one.how}" for one in known]
        text = "\n".join(lines) or "Nobody is known to have seen its code."
        await self._show(ShowText("Who knew the code", Secret(Kind.NAME, text, "\n".join(on_air) or text)))
        return None


def _evidence_list(view: damage.EvidenceView) -> Pick:
    choices = [Choice(piece, f"{' ' if piece in view.missing else '✔'} {piece}") for piece in view.wanted]
    until = f"To be filed by {day_words(view.until)}." if view.until else "No window is settled for this maker."
    return Pick("What is here? Enter changes it, Esc ends.", choices, until, marked=next(iter(view.missing), None))


def _known(_desk: Desk, tag: str) -> tuple[lost_cards.Knew, ...]:
    return lost_cards.who_knew_the_code(tag) or ()


def _path(typed: str) -> Path:
    """A path as it was typed or dropped onto the terminal."""
    return Path(typed.strip("'\" ")).expanduser()


def said_of(result: Result) -> str:
    """What a person reads of what came of a choice."""
    return result.sentence if isinstance(result, Problem) else " ".join((result.said, *result.warnings))
