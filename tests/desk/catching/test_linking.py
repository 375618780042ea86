"""Release day: claims are caught without a checklist, and linked in one go when it arrives."""

from __future__ import annotations

from pathlib import Path

import pytest

from breakdesk.desk.entering import is_stale, open_table, read_line
from breakdesk.desk.handing import hand_over
from breakdesk.desk.linking import link, products_to_link, to_link
from breakdesk.desk.loading import load_files
from breakdesk.desk.people import NewPerson, add_person
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.trades import trade
from breakdesk.desk.undoing import undo
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Kept
from breakdesk.store.models import Card, Product

from .conftest import Night

CHECKLIST = (
    "product,maker,card,subject,team,variation,numbered_to,features\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,Gold,10,auto\n"
    "Lantern Hoops,Lantern Works,S-2,Bram Óstrander,River Otters,,,auto\n"
    "Lantern Hoops,Lantern Works,S-7,Una Dell,River Otters,,99,auto\n"
    "Lantern Hoops,Lantern Works,S-8,Zed Quill,River Otters,,,auto\n"
)


@pytest.fixture
def released(night: Night, tmp_path: Path) -> tuple[Night, dict[str, Claim]]:
    """Claims of a night whose checklist came after them."""
    Card.delete().execute()
    lines = (
        "kai marlowe /10 au herons",
        "bram ostrander au otters",
        "una dell",
        "zed quil otters",
        "ned nobody otters",
    )
    table = night.table()
    caught = {line: night.caught(line) for line in lines}
    path = tmp_path / "late.csv"
    path.write_text(CHECKLIST, encoding="utf-8")
    assert load_files(night.desk, [path]).saved
    assert is_stale(night.desk, table)
    assert not is_stale(night.desk, night.table())
    return night, caught


def test_a_table_takes_over_its_words_until_a_card_or_a_spot_comes(night: Night, tmp_path: Path) -> None:
    before = night.table()
    assert isinstance(add_person(night.desk, NewPerson(name="New Comer", handle="@newcomer")), Done)
    assert is_stale(night.desk, before)
    table = open_table(night.desk, night.break_id, before)
    assert table.lexicon.candidates is before.lexicon.candidates
    assert read_line(table, "marl @newc", Kept(), night.tell[0]).best.named.value == (night.person("@newcomer"),)
    assert isinstance(trade(night.desk, night.break_id, "herons to @odolind"), Done)
    traded = open_table(night.desk, night.break_id, table)
    assert traded.lexicon.candidates is before.lexicon.candidates
    assert read_line(traded, "kai marl", Kept(), night.tell[0]).best.owner.value.ids == (night.person("odolind"),)
    for name, text in (
        ("cards", CHECKLIST),
        ("spots", "break,product,starts_at,format,spot,participant\nHoops night,Lantern Hoops,,team,Lake Eels,\n"),
    ):
        path = tmp_path / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        assert load_files(night.desk, [path]).saved
    renewed = open_table(night.desk, night.break_id, traded)
    for word, read_as in (("quill", ("Zed Quill",)), ("eels", ())):
        reading = read_line(renewed, word, Kept(), night.tell[0]).best
        assert reading.subjects.value == read_as
    assert reading.teams.value == ("Lake Eels",)


def test_a_player_of_older_checklists_has_the_team_of_the_newest_first(night: Night, tmp_path: Path) -> None:
    Card.delete().execute()
    path = tmp_path / "older.csv"
    for product, team in (("Lantern One", "River Otters"), ("Lantern Two", "Marsh Herons")):
        lines = [f"{product},Lantern Works,S-1,Ada Rill,{team},{run},," for run in ("", "Dusk")]
        text = "\n".join(["product,maker,card,subject,team,variation,numbered_to,features", *lines])
        path.write_text(f"{text}\n", encoding="utf-8")
        assert load_files(night.desk, [path]).saved
    readings = read_line(night.table(), "rill", Kept(), night.tell[0])
    assert readings.best.teams.value == ("Marsh Herons",)
    assert readings.runners_up[0].teams.value == ("River Otters",)
    assert read_line(night.table(), "rill dusk", Kept(), night.tell[0]).best.variation.value == "Dusk"


def test_what_fits_is_linked_in_one_action_and_no_fixed_owner_changes(
    released: tuple[Night, dict[str, Claim]],
) -> None:
    night, caught = released
    petra = night.person("petrichor")
    bram = caught["bram ostrander au otters"]
    assert isinstance(hand_over(night.desk, bram.tag, petra, "sold the spot"), Done)
    product_id = int(Product.get().id)
    assert products_to_link(night.desk) == [(product_id, "Lantern Hoops", 5)]
    plan = to_link(night.desk, product_id)
    assert {one.claim.subject for one in plan.sure} == {"Kai Marlowe", "Bram Ostrander", "Una Dell"}
    assert [one.claim.subject for one in plan.doubtful] == ["Zed Quil"]
    assert [one.claim.subject for one in plan.unlisted] == ["Ned Nobody"]
    una = caught["una dell"]
    assert una.owner_kind == "nobody"
    assert plan.owners[una.id].ids == (night.person("odolind"),)

    zed = caught["zed quil otters"]
    done = link(night.desk, product_id, {zed.id: plan.doubtful[0].cards[0].id})
    assert isinstance(done, Done), done
    assert done.said == "4 claims are linked to the checklist. 1 claim has no card yet."
    kai = night.claim(caught["kai marlowe /10 au herons"].id)
    assert (kai.variation, kai.numbered_to, kai.owner_id) == ("Gold", 10, petra)
    assert (night.claim(bram.id).subject, night.claim(bram.id).owner_id) == ("Bram Óstrander", petra)
    assert (night.claim(una.id).numbered_to, night.claim(una.id).owner_id) == (99, night.person("odolind"))
    assert night.claim(zed.id).subject == "Zed Quill"

    assert done.key is not None
    assert isinstance(undo(night.desk, done.key), Done)
    assert all(night.claim(claim.id).card_id is None for claim in caught.values())
    assert night.claim(una.id).owner_kind == "nobody"


def test_a_plan_that_no_longer_fits_changes_nothing(released: tuple[Night, dict[str, Claim]]) -> None:
    night, caught = released
    product_id = int(Product.get().id)
    assert isinstance(link(night.desk, product_id, {10**6: 1}), Problem)
    assert isinstance(link(night.desk, product_id, {}), Done)
    assert isinstance(link(night.desk, product_id, {}), Problem)
    assert night.claim(caught["ned nobody otters"].id).card_id is None
