"""A desk with a clock that tests set, two makers on both sides of the house's day, and three participants."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from breakdesk.desk import entering, viewing
from breakdesk.desk.checking import counted, verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.money import Money
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Owner
from breakdesk.rules.rounds.items import Today
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.history import claim_events

MONDAY = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)
"""11:00 in Chicago, 02:00 on Tuesday in Tokyo, 07:00 on Monday in Honolulu."""
PEOPLE = ("Ada Fenn", "Bo Larch", "Cy Wold")
ZONES = {"Tern Cards": "America/Chicago", "Rising Press": "Asia/Tokyo", "Setting Press": "Pacific/Honolulu"}


class World:
    """The desk, its clock, and short ways to do things that tests do often."""

    def __init__(self, folder: Path, name: str = "desk.db") -> None:
        self.now = MONDAY
        self.desk = open_desk(folder / name, Clock(lambda: self.now), create=True, who="T")
        self.people: dict[str, int] = {}
        self.products: dict[str, int] = {}
        self.makers: dict[str, int] = {}
        with self.desk.database.atomic():
            models.DeskFact.create(name="house", value="The Corner")
            for name in PEOPLE:
                row = models.Participant.create(name=name, folded=folded(name))
                self.people[name.split()[0]] = int(row.id)
            for name, zone in ZONES.items():
                maker = models.Maker.create(name=name, folded=folded(name))
                for term, value in {"zone": zone, "ask_after_months": "0", "ask_every_days": "1"}.items():
                    models.Term.create(maker_id=maker.id, name=term, value=value, recorded_at=self.now)
                product = models.Product.create(maker=maker.id, name=f"{name} One", folded=folded(f"{name} One"))
                self.makers[name], self.products[name] = int(maker.id), int(product.id)

    def on(self, instant: datetime) -> Desk:
        """The desk with `--on` an instant."""
        return self.desk.at(Clock(lambda: self.now, instant))

    def later(self, days: int = 0, **more: int) -> None:
        """Time passes."""
        self.now += timedelta(days=days, **more)

    def owner(self, name: str) -> Owner:
        """The house, nobody, several (two names joined by `+`) or one participant."""
        if name in ("house", "nobody"):
            return Owner.house() if name == "house" else Owner.nobody()
        ids = [self.people[part] for part in name.split("+")]
        return Owner.several(ids)

    def pull(
        self,
        owner: str = "Ada",
        *,
        maker: str = "Tern Cards",
        subject: str = "Kit Moor",
        plan: str = "submit",
        value: int | None = None,
        desk: Desk | None = None,
        **more: object,
    ) -> str:
        """A claim is written down; returns its tag."""
        fields = {
            "subjects": Field((subject,)),
            "product_id": Field(self.products[maker]),
            "plan": Field(plan),
            "value": Field(Money(value, "USD") if value is not None else None),
        }
        request = {name: more.pop(name) for name in ("code", "seen_on_camera", "pulled_at") if name in more}
        reading = Reading(**fields, **{name: Field(said) for name, said in more.items()})  # type: ignore[arg-type]
        wanted = entering.Pull(break_id=None, reading=reading, owner=self.owner(owner), **request)  # type: ignore[arg-type]
        done = self.done(entering.pull(desk or self.desk, wanted))
        return self.claims(done.claims)[0].tag

    def claims(self, keys: tuple[int, ...]) -> list[Claim]:
        """Claims by their keys."""
        return claims_with_keys(self.desk.database, keys)

    def events(self, tag: str) -> list[Event]:
        """The history of a claim, in the order recorded."""
        key = self.claim(tag).id
        return claim_events([key])[key]

    def claim(self, tag: str) -> Claim:
        """A claim by its tag."""
        key = claim_with_tag(tag)
        assert key is not None, tag
        return self.claims((key,))[0]

    def done(self, result: Result) -> Done:
        """What was done, where nothing stood in the way."""
        assert isinstance(result, Done), result
        assert result.said
        return result

    def refused(self, act: Callable[[], Result]) -> Problem:
        """Why something was refused; nothing was saved by it."""
        before = counted(self.desk), models.FreeText.select().count()
        problem = act()
        assert isinstance(problem, Problem), problem
        assert problem.what.strip()
        assert problem.what[-1] in ".:"
        assert (counted(self.desk), models.FreeText.select().count()) == before
        return problem

    def today(self, desk: Desk | None = None) -> Today:
        """The five lists."""
        return viewing.today(desk or self.desk).today

    def why(self, tag: str) -> list[str]:
        """Why a claim is to be decided."""
        return [item.why for item in self.today().decide if item.claim is not None and item.claim.tag == tag]

    def news(self, tag: str) -> dict[int, str]:
        """The untold news of a claim, by participant."""
        return {item.person_id: item.word for item in self.claim(tag).news}


@pytest.fixture
def new_world(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[], World]]:
    """Makes a world as often as it is called; all are closed at the end."""
    worlds: list[World] = []

    def make() -> World:
        worlds.append(World(tmp_path_factory.mktemp("desk")))
        return worlds[-1]

    yield make
    for world in worlds:
        world.desk.close()


@pytest.fixture
def world(new_world: Callable[[], World]) -> Iterator[World]:
    """A world of which everything must hold at the end of the test."""
    made = new_world()
    yield made
    assert list(verify(made.desk)) == []
