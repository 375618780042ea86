"""One claim: what it is, where it stands, and its story."""

from __future__ import annotations

from collections.abc import Awaitable
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from breakdesk.desk.describing import what_of
from breakdesk.desk.following import follow_up, hold, note, release
from breakdesk.desk.problems import Problem, Result
from breakdesk.desk.retelling import StoryLine, story_of
from breakdesk.desk.settling import change_owner, void
from breakdesk.desk.viewing import ClaimView, claim_view
from breakdesk.files.dates import parse_day
from breakdesk.files.messages.wording import state_words
from breakdesk.rules import clocks
from breakdesk.rules.tags import shown, spoken
from breakdesk.tui import masking
from breakdesk.tui.base import DeskScreen
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.screens.card_menu import CardMenu, said_of
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.wording import day_words, owner_words, values_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.tui.app import Breakdesk


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"claim.{name}", keys=(key,), label=label, tooltip=tooltip, context="claim", footer=footer)


COMMANDS = REGISTRY.add(
    _command("note", "n", "Note", "Write a note on the claim."),
    _command("news", "w", "News", "Write something that its participant is to be told."),
    _command("follow-up", "f", "Follow up", "Let it come back among the decisions on a day."),
    _command("hold", "h", "Hold", "Hold it, or release it: while held it is in no round."),
    _command("card", "c", "Card", "Damage, evidence, photos, a sale: what else there is about its card."),
    _command("owner", "o", "Owner", "Give it to somebody else: corrected, sold or given away.", footer=False),
    _command("void", "v", "Void", "Say that it was entered by mistake.", footer=False),
)


def _read(desk: Desk, tag: str) -> tuple[ClaimView, tuple[StoryLine, ...]] | None:
    view = claim_view(desk, tag)
    return None if view is None else (view, story_of(desk, view.events))


class ClaimScreen(DeskScreen):
    """A claim and its story."""

    TITLE_WORDS = "Claim"
    ABOUT = "One claim: what it is, for whom, where it stands, and everything that happened to it."
    CONTEXT = "claim"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, tag: str) -> None:
        """Make the screen of a claim."""
        super().__init__()
        self._tag = tag
        self._view: ClaimView | None = None

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the facts above the story."""
        with VerticalScroll(id="claim-body"):
            yield Fields(id="claim-fields")
            yield Fields(id="claim-story")

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_anew(self._show, "read a claim")

    async def _show(self) -> None:
        found = await self.desk.call(_read, self._tag)
        if found is None:
            self.say(f"There is no claim {self._tag}.")
            return
        self._view, story = found
        self.query_one("#claim-fields", Fields).show(self._fields(self._view))
        self.query_one("#claim-story", Fields).show(self._story(story))
        self.query_one("#claim-body").focus()

    def _fields(self, view: ClaimView) -> list[Field]:
        claim, today = view.claim, self.desk.today()
        person = view.parties.people.get(claim.owner_id or 0)
        names = (person.name, person.handle, person.on_air_name) if person else ("", "", "")
        money = [(claim.currency, claim.value)] if claim.value is not None and claim.currency is not None else []
        maker = view.parties.maker_of(claim)
        expired = clocks.is_expired(claim, maker, self.desk.now())
        rows = [
            Field("Tag", f"{shown(claim.tag)}   ({spoken(claim.tag)})", strong=True),
            Field("Card", what_of(claim), strong=True),
            Field("For", owner_words(claim.owner_kind, *names, self.desk.house.name)),
            Field("Where it is", state_words(claim.state, claim.closed_how or ""), "on hold" if claim.on_hold else ""),
            Field("Team", claim.team.replace(";", " & ")),
            Field("Features", claim.features.replace(";", ", ")),
            Field("Product", view.product),
            Field("Break", view.break_name),
            Field("Maker", maker.name or "", view.account),
            Field("Expires", day_words(claim.expires_on, today), "expired" if expired else ""),
            Field("Reference", masking.reference(claim.reference)),
            Field("Code", "kept, sealed" if view.has_code else "", "seen on camera" if claim.seen_on_camera else ""),
            Field("Value", values_words(money) if money else ""),
            Field("Settled", f"{claim.settled_how} {day_words(claim.settled_on, today)}" if claim.settled_how else ""),
            Field("Tracking", masking.reference(claim.tracking)),
            Field("Note", masking.note(view.note or "")),
        ]
        return [field for field in rows if field.value or field.remark]

    def _story(self, story: tuple[StoryLine, ...]) -> list[Field]:
        today = self.desk.today()
        fields = []
        for line in story:
            said, on_air = (_sentence(words, line) for words in (line.said, line.said_on_air))
            fields.append(Field(day_words(line.day, today), Secret(Kind.NAME, said, on_air)))
            if line.text:
                fields.append(Field("", masking.note(line.text)))
        return fields

    # What can be done

    def action_note(self) -> None:
        """Write a note."""
        self._ask("A note on this claim", lambda text: self.desk.call(note, self._tag, text))

    def action_news(self) -> None:
        """Write news for the participant."""
        title = "What is the participant to be told about this card?"
        self._ask(title, lambda text: self.desk.call(note, self._tag, text, is_news=True))

    def action_follow_up(self) -> None:
        """Let it come back on a day."""
        dialog = AskText("On which day is it to come back?", "A day such as 2026-12-04.", check=_day_problem)
        self.app.push_screen(dialog, self._follow_up)

    def _follow_up(self, text: str | None) -> None:
        if text is not None:
            self._write(self.desk.call(follow_up, self._tag, parse_day(text)))

    def action_hold(self) -> None:
        """Hold or release."""
        if self._view is not None and self._view.claim.on_hold:
            self._write(self.desk.call(release, self._tag))
        else:
            self._ask("Why may nothing go out on this claim?", lambda text: self.desk.call(hold, self._tag, text))

    def action_card(self) -> None:
        """Offer what else there is about its card."""
        if self._view is not None:
            self.run_worker(self._card(self._view), group="write", exit_on_error=False, description="about a card")

    async def _card(self, view: ClaimView) -> None:
        result = await CardMenu(self.desk, view.claim).ask()
        if result is not None:
            self.say(masking.note(said_of(result)) if isinstance(result, Problem) else said_of(result))
        await self._show()

    def action_owner(self) -> None:
        """Give it to somebody else."""
        self.app.push_screen(
            AskText("Who is it for now?", "A participant's name or handle, or house."), self._owner_reason
        )

    def _owner_reason(self, name: str | None) -> None:
        if name is not None:
            self._ask(f"Why does it go to {name}?", lambda text: self.desk.call(change_owner, self._tag, name, text))

    def action_void(self) -> None:
        """Say that it was a mistake."""
        self._ask("Why was it a mistake? The claim is void then.", lambda text: self.desk.call(void, self._tag, text))

    def _ask(self, title: str, work: object) -> None:
        def answered(text: str | None) -> None:
            if text is not None and text.strip():
                self._write(work(text))  # type: ignore[operator]

        self.app.push_screen(AskText(title), answered)

    def _write(self, work: Awaitable[Result]) -> None:
        self.run_worker(self._done(work), group="write", description="save")

    async def _done(self, work: Awaitable[Result]) -> None:
        result = await work
        self.say(result.sentence if isinstance(result, Problem) else result.said)
        await self._show()


def _sentence(words: str, line: StoryLine) -> str:
    said = words[:1].upper() + words[1:]
    return f"{said} – taken back" if line.taken_back else said


def _day_problem(text: str) -> str | None:
    try:
        parse_day(text)
    except ValueError as error:
        return str(error)
    return None
