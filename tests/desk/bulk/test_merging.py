"""Two handles, one person, and two again: claims, tellings and names follow, and nobody is told of it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from breakdesk.desk import answering, finding, submitting, telling, viewing
from breakdesk.desk.bulk import Wanted, choose
from breakdesk.desk.checking import verify
from breakdesk.desk.loading import load_files
from breakdesk.desk.merging import merge, merged_names, split
from breakdesk.desk.ownership import people_of
from breakdesk.desk.people import confirm_address, promise
from breakdesk.desk.settling import change_owner
from breakdesk.store import models
from tests.desk.conftest import World


@pytest.fixture
def merged(world: World, reach: Callable[..., int]) -> World:
    """Bo's record is merged into Ada's; both had cards, tellings, handles; Bo alone an address and an e-mail."""
    reach("Ada", handle="@ada", phone="+1 555 0100")
    reach("Bo", handle="@larch", email="bo@mail.example")
    world.tags = {  # type: ignore[attr-defined]
        "Ada": world.pull("Ada"), "Bo": world.pull("Bo"), "both": world.pull("Ada+Bo"), "Cy": world.pull("Cy"),
    }  # fmt: skip
    submit(world, "Bo")
    tag = world.tags["Bo"]  # type: ignore[attr-defined]
    world.done(telling.mark_told(world.desk, world.people["Bo"], [world.claim(tag).id], "direct", "It is sent in."))
    world.done(confirm_address(world.desk, "Bo Larch", "1 Elm Row", "US"))
    world.done(promise(world.desk, "Bo Larch", world.now.date().replace(day=20), "Call back"))
    world.later(days=1)
    world.done(merge(world.desk, "@larch", "Ada Fenn"))
    return world


def submit(world: World, name: str) -> None:
    tag = world.tags[name]  # type: ignore[attr-defined]
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference=f"R{tag}")))


def tag_of(world: World, name: str) -> str:
    return str(world.tags[name])  # type: ignore[attr-defined]


def test_everything_is_one_persons_and_nobody_is_told(merged: World) -> None:
    world, ada = merged, merged.people["Ada"]
    assert world.claim(tag_of(world, "Bo")).owner_id == ada
    assert world.claim(tag_of(world, "Bo")).first_owner_id == ada
    assert world.news(tag_of(world, "Bo")) == {}
    assert world.news(tag_of(world, "Ada")) == {ada: "pulled"}
    both = world.claim(tag_of(world, "both"))
    assert (both.owner_kind, both.owner_id) == ("person", ada)
    view = answering.person_view(world.desk, ada)
    assert view is not None
    assert view.owed is not None
    assert {line.claim.tag for line in view.owed.claims} == {tag_of(world, name) for name in ("Ada", "Bo", "both")}
    assert (view.last_told_text, view.address, len(view.promises)) == ("It is sent in.", "1 Elm Row", 1)
    assert models.Contact.get(models.Contact.participant == ada).email == "bo@mail.example"
    assert models.Contact.get(models.Contact.participant == ada).phone == "+1 555 0100"
    assert [item.person_id for item in choose(world.desk, Wanted())] == [ada, world.people["Cy"]]


def test_both_names_find_the_one(merged: World) -> None:
    world, ada = merged, merged.people["Ada"]
    for name in ("Ada Fenn", "@ada", "Bo Larch", "@larch"):
        assert finding.person_named(name).id == ada
    assert viewing.search(world.desk, "larch").people == (ada,)
    assert {(person.id, person.handle) for person in people_of()} >= {(ada, "@ada"), (ada, "@larch")}
    assert {person.id: person for person in people_of()}[ada].handle == "@ada"
    assert [item.name for item in merged_names(world.desk, ada)] == ["Bo Larch"]


def test_split_gives_back_what_came_with_the_merge_and_no_more(merged: World) -> None:
    world, ada, bo = merged, merged.people["Ada"], merged.people["Bo"]
    later = world.pull("Ada")
    world.later(days=1)
    world.done(split(world.desk, "@larch"))
    assert world.claim(tag_of(world, "Bo")).owner_id == bo
    assert world.claim(tag_of(world, "Bo")).first_owner_id == bo
    assert world.claim(tag_of(world, "Ada")).owner_id == ada
    assert world.claim(later).owner_id == ada
    view = answering.person_view(world.desk, bo)
    assert view is not None
    assert (view.last_told_text, view.address, len(view.promises)) == ("It is sent in.", "1 Elm Row", 1)
    assert finding.person_named("@larch").id == bo
    assert viewing.search(world.desk, "larch").people == (bo,)
    assert viewing.search(world.desk, "fenn").people == (ada,)
    assert models.Contact.get(models.Contact.participant == ada).email == ""
    world.refused(lambda: split(world.desk, "@larch"))


def test_what_was_given_away_since_does_not_go_back(merged: World) -> None:
    world = merged
    world.done(change_owner(world.desk, tag_of(world, "Bo"), "Cy Wold", "sold"))
    world.done(split(world.desk, "Bo Larch"))
    assert world.claim(tag_of(world, "Bo")).owner_id == world.people["Cy"]


def test_the_past_still_shows_two(merged: World) -> None:
    world = merged
    before = viewing.owed(world.on(world.now.replace(day=2)))
    assert {item.participant for item in before if item.participant} >= {"Ada Fenn", "Bo Larch"}


def test_a_merge_into_a_merged_record_goes_to_the_one(merged: World) -> None:
    world = merged
    world.done(merge(world.desk, "Ada Fenn", "Cy Wold"))
    for name in ("@ada", "@larch", "Cy Wold"):
        assert finding.person_named(name).id == world.people["Cy"]
    world.refused(lambda: split(world.desk, "Bo Larch"))
    world.done(split(world.desk, "Ada Fenn"))
    assert finding.person_named("@larch").id == world.people["Ada"]
    world.done(split(world.desk, "Bo Larch"))
    assert list(verify(world.desk)) == []


def test_nobody_is_merged_with_themselves(merged: World) -> None:
    merged.refused(lambda: merge(merged.desk, "@larch", "Ada Fenn"))
    merged.refused(lambda: merge(merged.desk, "Nobody", "Ada Fenn"))


def test_no_messages_for_one_means_none_for_both(world: World, reach: Callable[..., int]) -> None:
    reach("Bo", opted_out=True)
    done = world.done(merge(world.desk, "Bo Larch", "Ada Fenn"))
    assert "no messages" in done.warnings[0]
    assert models.Participant.get_by_id(world.people["Ada"]).opted_out


def test_loading_the_old_files_again_changes_neither(merged: World, tmp_path_factory: pytest.TempPathFactory) -> None:
    world = merged
    path = tmp_path_factory.mktemp("files") / "participants.csv"
    path.write_text("participant,handle,email\nBo Larch,@other,other@mail.example\n")
    report = load_files(world.desk, [path])
    assert any("merged" in problem.what for problem in report.problems)
    assert models.Participant.get_by_id(world.people["Ada"]).handle == "@ada"
