"""Phone photos of a night beside its claims: shown as they were matched, corrected by a few keys, then kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from textual.app import ComposeResult

from breakdesk.desk.breaks import Caught
from breakdesk.desk.describing import what_of
from breakdesk.desk.night_photos import NightPhotos, keep_night_photos, night_photos
from breakdesk.desk.problems import Problem
from breakdesk.rules.photo_matching import moved_from
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.rules.zones import in_zone
from breakdesk.tui.choices import Choice
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText, Paragraph, Pick
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.catch_video import offset_problem, seconds_in
from breakdesk.tui.screens.catch_words import caught_owner, worded
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"night_photos.{name}", keys=(key,), label=label, tooltip=tooltip, context="night_photos")


COMMANDS = REGISTRY.add(
    _command("claim", "c", "Claim", "Say which claim this photo shows; only this one changes."),
    _command("next", "n", "Next from here", "This photo and all after it show one claim later."),
    _command("previous", "b", "Back from here", "This photo and all after it show one claim earlier."),
    _command("leave_out", "x", "Leave out", "This photo shows none of the claims."),
    _command("turn", "t", "Other end", "The pile was photographed from its other end: the last claim first."),
    _command("phone", "p", "Phone's clock", "The phone's clock is fast or slow: match anew."),
    _command("keep", "k", "Keep", "Keep copies of the photos with their claims."),
)


class NightPhotosScreen(DeskScreen):
    """A list of photos in the order of their time, each with the claim that it shows."""

    TITLE_WORDS = "Photos of the night"
    ABOUT = (
        "The photos of a folder in the order in which they were taken, each beside the claim that it should show. "
        "n and b move this one and all after it by one claim, as where a card was taken twice; c names the claim "
        "of one photo, x leaves it out. Nothing is kept before k; Esc goes back."
    )
    CONTEXT = "night_photos"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, break_id: int, folder: Path, found: NightPhotos, caught: Sequence[Caught]) -> None:
        """Make the screen with what was matched; `caught` are the claims of the break with their people."""
        super().__init__()
        self._break_id, self._folder, self._found = break_id, folder, found
        self._places: tuple[int | None, ...] = found.matched.places
        self._night = found.claims[0].pull_day if found.claims else None
        self._caught = {item.claim.id: item for item in caught}

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out how they were matched, and the list."""
        yield Paragraph(id="photos-how", style="bold")
        yield Paragraph(id="photos-doubt", style="$accent")
        yield LongList(
            [
                Column(title="Photo", width=16, stretch=1),
                Column(title="Taken", width=26),
                Column(title="Tag", width=8),
                Column(title="Card", width=20, stretch=3),
                Column(title="For", width=12, stretch=1),
            ],
            id="photos-list",
        )

    def on_mount(self) -> None:
        """Show what was matched."""
        self._show()
        self.query_one(LongList).focus()

    def _show(self) -> None:
        photos, by_file = self._found.photos, sum(not photo.by_camera for photo in self._found.photos)
        self.query_one("#photos-how", Paragraph).show(f"{counted(len(photos), 'photo')}. {self._found.matched.how}")
        doubts = [self._found.matched.doubt] if self._found.matched.doubt else []
        if by_file:
            doubts.append(f"{by_file} of them do not say when they were taken: the time of the file stands for it.")
        self.query_one("#photos-doubt", Paragraph).show(" ".join(doubts))
        rows = [self._row(number) for number in range(len(photos))]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))

    def _row(self, number: int) -> Row:
        photo, place = self._found.photos[number], self._claim_at(number)
        local = in_zone(photo.taken_at, self.desk.house.zone_at(photo.taken_at))
        day = "" if local.date() == self._night else f"{day_words(local.date(), self.desk.today())} "
        taken = f"{day}{local:%H:%M:%S}{'' if photo.by_camera else ' (file)'}"
        if place is None:
            return Row(number, (photo.path.name, taken, "–", "none of the claims", ""), "quiet")
        claim = self._found.claims[place]
        item = self._caught.get(claim.id)
        whose: str | Secret = "" if item is None else caught_owner(item, self.desk.house.name)
        return Row(number, (photo.path.name, taken, tag_words(claim.tag), what_of(claim), whose))

    def _claim_at(self, number: int) -> int | None:
        place = self._places[number]
        return place if place is not None and 0 <= place < len(self._found.claims) else None

    @property
    def _at(self) -> int | None:
        row = self.query_one(LongList).current
        return None if row is None else cast("int", row.key)

    def _move(self, steps: int) -> None:
        at = self._at
        if at is not None:
            self._places = moved_from(self._places, at, steps)
            self._show()

    def action_next(self) -> None:
        """One claim later from here on."""
        self._move(1)

    def action_previous(self) -> None:
        """One claim earlier from here on."""
        self._move(-1)

    def action_leave_out(self) -> None:
        """Leave one out."""
        at = self._at
        if at is not None:
            self._set(at, None)

    def _set(self, at: int, place: int | None) -> None:
        self._places = (*self._places[:at], place, *self._places[at + 1 :])
        self._show()

    def action_turn(self) -> None:
        """The last claim first."""
        last = len(self._found.claims) - 1
        self._places = tuple(None if place is None else last - place for place in self._places)
        self._show()

    def action_claim(self) -> None:
        """Name the claim of one photo."""
        self._do(self._claim())

    async def _claim(self) -> None:
        at = self._at
        if at is None:
            return
        house = self.desk.house.name
        choices = [
            Choice(
                str(place),
                worded(f"{tag_words(item.claim.tag)}  {what_of(item.claim)} · ", caught_owner(item, house)),
            )
            for place, item in enumerate(self._caught[claim.id] for claim in self._found.claims)
        ]
        answer = await self.app.push_screen_wait(Pick(f"What does {self._found.photos[at].path.name} show?", choices))
        if answer is not None:
            self._set(at, int(answer))

    def action_phone(self) -> None:
        """Match anew by another clock."""
        self._do(self._phone())

    async def _phone(self) -> None:
        text = await self.app.push_screen_wait(
            AskText(
                "By how much is the phone's clock fast?",
                "Minutes and seconds such as 1:30, or -0:20 where it is slow.",
                check=offset_problem,
            )
        )
        if text is None:
            return
        found = await self.desk.call(night_photos, self._break_id, self._folder, cast("int", seconds_in(text)))
        if isinstance(found, Problem):
            self.say(found.sentence)
            return
        self._found, self._places = found, found.matched.places
        self._show()

    def action_keep(self) -> None:
        """Keep them."""
        self._do(self._keep())

    async def _keep(self) -> None:
        photos, claims = self._found.photos, self._found.claims
        placed = ((photo, self._claim_at(number)) for number, photo in enumerate(photos))
        pairs = [(claims[place].id, photo.path) for photo, place in placed if place is not None]
        choices = [
            Choice("sealed", "Keep them sealed", "codes can be read on them"),
            Choice("plain", "Keep them as they are", "no code can be read"),
        ]
        how = await self.app.push_screen_wait(
            Pick(
                f"Keep {counted(len(pairs), 'photo')} with their claims?",
                choices,
                "Delete the originals of those that show a code: only the copies are sealed.",
            )
        )
        if how is None:
            return
        result = await self.desk.call(keep_night_photos, pairs, shows_code=how == "sealed")
        if isinstance(result, Problem):
            self.say(result.sentence)
            return
        self.dismiss(f"{result.said} {' '.join(result.warnings)}".rstrip())

    def _do(self, work: Any) -> None:
        self.run_worker(work, group="write", exit_on_error=False, description="a step with the photos")
