"""Participants' pages as the desk writes them: only their own cards, and names that stay."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from breakdesk.desk import arriving, people, settling, shipping, submitting, terms
from breakdesk.desk.answering import answer_for_person
from breakdesk.desk.asking import Answer, answer, ask
from breakdesk.desk.pages import everybody_with_a_page, page_of, write_pages
from breakdesk.desk.problems import Problem


def submitted(world: Any, owner: str = "Ada", **pulled: Any) -> str:
    tag: str = world.pull(owner, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="SECRETREF")))
    return tag


def write(world: Any, folder: Path, *names: str, **more: Any) -> Any:
    written = write_pages(world.desk, [world.people[name] for name in names], folder, **more)
    assert not isinstance(written, Problem)
    return written


def test_a_page_holds_its_own_participants_cards_and_nothing_of_anyone_else(world: Any, tmp_path: Path) -> None:
    submitted(world, "Ada", subject="Kit Moor", code="AB12-CD34")
    submitted(world, "Bo", subject="Ana Reed")
    submitted(world, "Ada+Bo", subject="Lo Vane")
    submitted(world, "house", subject="Sil Marsh")
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
    (page,) = write(world, tmp_path, "Ada")
    html = page.path.read_text(encoding="utf-8")
    assert "Kit Moor" in html
    for other in ("Ana Reed", "Lo Vane", "Sil Marsh", "Bo Larch", "Mill Row", "SECRETREF", "AB12", "CD34"):
        assert other not in html


def test_names_cannot_be_guessed_and_stay_until_a_new_one_is_wanted(world: Any, tmp_path: Path) -> None:
    submitted(world)
    submitted(world, "Bo")
    first = write(world, tmp_path, "Ada", "Bo")
    assert all(re.fullmatch("[0-9a-f]{32}[.]html", page.path.name) for page in first)
    assert len({page.path for page in first}) == 2
    assert [page.path for page in write(world, tmp_path, "Ada", "Bo")] == [page.path for page in first]
    (new,) = write(world, tmp_path, "Ada", new_names=True)
    assert new.path != first[0].path
    assert sorted(tmp_path.iterdir()) == sorted([new.path, first[1].path])


def test_an_ask_is_promised_from_its_day_and_called_another_one_only_after_the_first(
    world: Any, tmp_path: Path
) -> None:
    tag = submitted(world)

    def page() -> str:
        (written,) = write(world, tmp_path, "Ada")
        return str(written.path.read_text(encoding="utf-8"))

    assert "we may ask the maker from <time" in page()
    world.later(days=1)
    world.done(ask(world.desk, [tag]))
    assert "we may ask the maker again from <time" in page()


def test_a_lost_parcel_is_said_on_the_page_and_on_the_phone(world: Any, tmp_path: Path) -> None:
    tag = submitted(world)
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
    world.done(shipping.start_parcel(world.desk, [tag]))
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=1, reason="in a hurry")))
    world.done(shipping.parcel_failed(world.desk, 1, "lost"))
    (page,) = write(world, tmp_path, "Ada")
    for said in (page.path.read_text(encoding="utf-8"), answer_for_person(world.desk, world.people["Ada"])):
        assert "it did not reach you" in said
        assert "we decide what to do and tell you" in said
        assert "on its way to you" not in said
        assert "should be with you" not in said


def test_who_is_owed_nothing_any_more_is_told_so(world: Any, tmp_path: Path) -> None:
    tag = submitted(world)
    write(world, tmp_path, "Ada")
    world.done(settling.close(world.desk, settling.Close(tag=tag, how="refunded", amount="5", fault="maker")))
    assert everybody_with_a_page(world.desk) == [world.people["Ada"]]
    (page,) = write(world, tmp_path, "Ada")
    assert "Nothing is owed to you now." in page.path.read_text(encoding="utf-8")


def test_what_is_needed_from_them_stands_first(world: Any) -> None:
    offered, here, sent = (submitted(world, subject=name) for name in ("Kit Moor", "Ana Reed", "Lo Vane"))
    world.done(answer(world.desk, Answer(tags=[offered], word="offers", offer="a Blue /99")))
    for tag in (here, sent):
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    world.done(shipping.start_parcel(world.desk, [sent]))
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=1, reason="in a hurry", tracking="RA1")))
    world.later(12)
    page = page_of(world.desk, world.people["Ada"])
    assert page is not None
    first, second, third = page.needs
    assert "another card instead of Kit Moor" in first
    assert "a Blue /99" in first
    assert second == "Please confirm the address to which we should send Ana Reed."
    assert third == "Please tell us whether Lo Vane has arrived."
    assert [line.tracking for line in page.claims if line.tag == sent] == ["RA1"]
    world.done(shipping.parcel_failed(world.desk, 1, "lost"))
    lost = page_of(world.desk, world.people["Ada"])
    assert lost is not None
    assert [line.state for line in lost.claims if line.tag == sent] == ["it did not reach you; we are looking into it"]
    assert len(lost.needs) == 2


def test_a_card_from_the_maker_straight_to_them(world: Any) -> None:
    from breakdesk.desk.direct import maker_shipped

    tag = world.pull()
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, ship_to="participant")))
    world.done(maker_shipped(world.desk, tag, "RA473124829GB"))
    page = page_of(world.desk, world.people["Ada"])
    assert page is not None
    (line,) = page.claims
    assert (line.state, line.tracking) == ("on its way from the maker to you", "RA473124829GB")


def test_the_expected_wait_only_where_it_is_switched_on(world: Any) -> None:
    for _ in range(3):
        done = submitted(world, "Cy")
        world.later(10)
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=done)))
    submitted(world)
    page = page_of(world.desk, world.people["Ada"])
    assert page is not None
    assert page.claims[0].outlook == ""
    world.done(terms.settle(world.desk, terms.Settle(name="outlook_in_messages", value="on")))
    page = page_of(world.desk, world.people["Ada"])
    assert page is not None
    assert page.claims[0].outlook


def test_a_place_that_cannot_be_written_is_a_problem(world: Any, tmp_path: Path) -> None:
    submitted(world)
    (tmp_path / "file").write_text("x", encoding="utf-8")
    assert isinstance(write_pages(world.desk, [world.people["Ada"]], tmp_path / "file"), Problem)
    assert page_of(world.desk, 99) is None
