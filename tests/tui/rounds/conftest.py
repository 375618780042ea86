"""The program with a small desk behind it: two makers, four people, and a clock that tests set."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar

import pytest
from textual import events
from textual.pilot import Pilot

from breakdesk.desk import entering, viewing
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done
from breakdesk.desk.thread import DeskThread
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.money import Money
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Owner
from breakdesk.rules.rounds.items import Today
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk

from ..waiting import settle

MONDAY = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)
"""11:00 in Chicago, where one office is open; 02:00 on Tuesday in Tokyo, where the other is closed."""
PEOPLE = {
    "Ada Fenn": ("@fern_ada", "Fern"),
    "Bo Larch": ("@larch", "Larch"),
    "Cy Wold": ("@wolds", "Wolds"),
    "Dee Marl": ("@marly", "Marly"),
}
ZONES = {"Tern Cards": "America/Chicago", "Rising Press": "Asia/Tokyo"}
KEY_NAMES = {" ": "space", "-": "minus", ".": "full_stop", ",": "comma", "/": "slash", "?": "question_mark"}
LETTERS = {name: letter for letter, name in KEY_NAMES.items()}
Answer = TypeVar("Answer")


class Stage:
    """A desk on its thread, and short ways to prepare and to ask."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.now = MONDAY
        self.thread = DeskThread(folder / "desk.db", Clock(lambda: self.now), create=True, who="T")
        self.people: dict[str, int] = {}
        self.products: dict[str, int] = {}
        self.do(self._furnish)

    def _furnish(self, desk: Desk) -> None:
        with desk.database.atomic():
            models.DeskFact.create(name="house", value="The Corner")
            for name, (handle, on_air) in PEOPLE.items():
                row = models.Participant.create(name=name, folded=folded(name), handle=handle, on_air_name=on_air)
                self.people[name.split()[0]] = int(row.id)
                models.Address.create(
                    participant=row.id,
                    text=f"{row.id} Quay\nHarbour",
                    country="US",
                    confirmed_on=date(2026, 2, 20),
                    since=date(2026, 2, 20),
                    recorded_at=self.now,
                )
            for name, zone in ZONES.items():
                contact = f"desk@{name.split()[0].lower()}.example"
                maker = models.Maker.create(name=name, folded=folded(name), contact=contact)
                for term, value in {"zone": zone, "ask_after_months": "0", "ask_every_days": "1"}.items():
                    models.Term.create(maker_id=maker.id, name=term, value=value, recorded_at=self.now)
                product = models.Product.create(maker=maker.id, name=f"{name} One", folded=folded(f"{name} One"))
                self.products[name] = int(product.id)

    def do(self, work: Callable[..., Answer], *given: Any, **named: Any) -> Answer:
        """Runs something on the desk's thread and waits for it."""
        return self.thread.submit(work, *given, **named).result()

    def done(self, work: Callable[..., Any], *given: Any, **named: Any) -> Done:
        """Runs an action in whose way nothing stands."""
        result = self.do(work, *given, **named)
        assert isinstance(result, Done), result
        return result

    def pull(self, owner: str = "Ada", *, maker: str = "Tern Cards", subject: str = "Kit Moor", **more: Any) -> str:
        """A claim is written down; returns its tag."""
        request = {name: more.pop(name) for name in ("code", "seen_on_camera") if name in more}
        value = more.pop("value", None)
        fields: dict[str, Any] = {
            "subjects": Field((subject,)),
            "product_id": Field(self.products[maker]),
            "plan": Field(more.pop("plan", "submit")),
            "value": Field(Money(value, "USD") if value is not None else None),
        }
        reading = Reading(**fields, **{name: Field(said) for name, said in more.items()})
        whose = Owner.house() if owner == "house" else Owner.several([self.people[part] for part in owner.split("+")])
        done = self.done(entering.pull, entering.Pull(break_id=None, reading=reading, owner=whose, **request))
        return self.do(lambda desk: claims_with_keys(desk.database, done.claims)[0].tag)

    def later(self, **more: int) -> None:
        """Time passes."""
        self.now += timedelta(**more)

    def claim(self, tag: str) -> Claim:
        """A claim by its tag."""

        def read(desk: Desk) -> Claim:
            key = claim_with_tag(tag)
            assert key is not None, tag
            return claims_with_keys(desk.database, [key])[0]

        return self.do(read)

    def claim_id(self, tag: str) -> int:
        """A claim's key."""
        return self.claim(tag).id

    def today(self) -> Today:
        """The five lists."""
        return self.do(viewing.today).today

    def app(self, **options: Any) -> Breakdesk:
        """The program, without its way of going on after a failure."""
        house = self.do(lambda _desk: read_house())
        return Breakdesk(self.thread, house, go_on_after_failure=False, **options)

    @asynccontextmanager
    async def open(self, *, size: tuple[int, int] = (80, 24), on_air: bool = False) -> AsyncIterator[Player]:
        """The program on a screen, and somebody at the keyboard."""
        app = self.app(on_air=on_air)
        async with app.run_test(size=size) as pilot:
            player = Player(self, app, pilot)
            await player.settle()
            yield player


class Player:
    """Presses keys and reads the screen."""

    def __init__(self, stage: Stage, app: Breakdesk, pilot: Pilot[Any]) -> None:
        self.stage = stage
        self.app = app
        self.pilot = pilot

    async def settle(self) -> None:
        """Waits until the desk has answered and the screen is drawn."""
        await settle(self.pilot, self.stage.thread)

    def _send(self, key: str) -> None:
        driver = self.app._driver
        assert driver is not None
        event = events.Key(key, key if len(key) == 1 else LETTERS.get(key))
        event.set_sender(self.app)
        driver.send_message(event)

    async def press(self, *keys: str) -> None:
        """Presses keys one after the other, each once the one before has done its work."""
        for key in keys:
            self._send(key)
            await self.settle()

    async def until(self, holds: Callable[[], bool]) -> None:
        """Waits until something holds; on a busy machine an answer may come after the screen seemed to rest."""
        for _ in range(200):
            await self.settle()
            if holds():
                return
            await asyncio.sleep(0.02)
        raise AssertionError(self.seen)

    async def type(self, text: str, *keys: str) -> None:
        """Types a text where the cursor is, then presses keys."""
        for letter in text:
            self._send(KEY_NAMES.get(letter, letter))
        await self.settle()
        await self.press(*keys)

    async def paste(self, text: str, *keys: str) -> None:
        """Pastes a text over what stands in the field, then presses keys."""
        focused = self.app.focused
        assert focused is not None, "nothing takes a text here"
        focused.post_message(events.Paste(text))
        await self.settle()
        await self.press(*keys)

    @property
    def seen(self) -> str:
        """The text on the screen, its lines joined by one space where they wrap."""
        return "\n".join(strip.text for strip in self.app.screen._compositor.render_strips())

    @property
    def words(self) -> str:
        """The text beside the strip with single spaces, so that a wrapped sentence is found."""
        return " ".join(" ".join(line.rpartition("│")[2] for line in self.seen.splitlines()).split())

    @property
    def status(self) -> str:
        """The line that says what was done last."""
        from breakdesk.tui.widgets.key_line import StatusLine

        return self.app.screen.query_one(StatusLine).text

    @property
    def copied(self) -> str:
        """What was last sent to the clipboard."""
        return self.app.clipboard


@pytest.fixture(autouse=True)
def _no_system_clipboard(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("breakdesk.tui.clipboard._system_copy", lambda _text: True)


@pytest.fixture(autouse=True)
def quick_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys in tests come faster than anybody pastes."""
    monkeypatch.setattr("breakdesk.tui.screens.tell_copying.PASTE_SECONDS", 0.0)


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[Stage]:
    """A desk of which everything must hold at the end of the test."""
    made = Stage(tmp_path)
    yield made
    assert made.do(lambda desk: list(verify(desk))) == []
    made.thread.close()


@pytest.fixture
def player_class() -> type[Player]:
    """Whoever presses the keys, for pictures."""
    return Player
