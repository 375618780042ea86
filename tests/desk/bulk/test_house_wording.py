"""The house's own wording: checked, tried on real participants, saved with its versions."""

from __future__ import annotations

import pytest

from breakdesk.desk import house_wording, telling
from breakdesk.desk.house_wording import FOLDER, Place
from breakdesk.desk.problems import Problem
from breakdesk.files.messages.sources import NAMES
from tests.desk.conftest import World

OWN = "{{ cards }} is yours, {{ name }}."


def test_a_saved_text_writes_the_next_message_and_the_old_one_is_kept(world: World) -> None:
    world.pull("Ada")
    shipped = house_wording.wording(world.desk, "news_pulled")
    assert not shipped.own
    world.done(house_wording.save(world.desk, "news_pulled", OWN))
    world.done(house_wording.save(world.desk, "news_pulled", f"{OWN} Really."))
    told = telling.telling_for(world.desk, world.people["Ada"]).message
    assert "Kit Moor is yours, Ada Fenn. Really." in told.text
    assert told.warnings == ()
    assert [version.text for version in house_wording.versions(world.desk, "news_pulled")] == [OWN + "\n"]
    world.done(house_wording.use_shipped(world.desk, "news_pulled"))
    assert house_wording.wording(world.desk, "news_pulled") == shipped
    assert len(house_wording.versions(world.desk, "news_pulled")) == 2
    assert isinstance(house_wording.use_shipped(world.desk, "news_pulled"), Problem)
    assert house_wording.check(world.desk) == ()


@pytest.mark.parametrize(
    ("name", "text", "place"),
    [
        ("news_pulled", "{{ code }}", Place()),
        ("news_pulled", "Hello\n{% if %}", Place()),
        ("news_pulled", "{{ claim.value }}", Place()),
        ("no_such", OWN, Place()),
        ("../escape", OWN, Place()),
        ("news_pulled", OWN, Place(tone="loud")),
        ("news_pulled", OWN, Place(language="../../etc")),
    ],
)
def test_what_is_wrong_is_not_saved(world: World, name: str, text: str, place: Place) -> None:
    assert isinstance(house_wording.save(world.desk, name, text, place), Problem)
    assert not (world.desk.folder / FOLDER).exists()


def test_a_broken_file_blocks_no_message_and_is_named_by_line(world: World) -> None:
    world.pull("Ada")
    folder = world.desk.folder / FOLDER
    folder.mkdir(parents=True)
    (folder / "news_pulled.txt").write_text("Fine\n{{ nothing }}\n")
    (problem,) = house_wording.check(world.desk)
    assert (problem.line, problem.file) == (2, str(folder / "news_pulled.txt"))
    told = telling.telling_for(world.desk, world.people["Ada"]).message
    assert "Kit Moor" in told.text
    assert "line 2" in told.warnings[0]


def test_a_place_narrows_to_tone_and_language(world: World) -> None:
    place = Place(tone="brief", language="de")
    world.done(house_wording.save(world.desk, "news_pulled", "Gezogen.", place))
    assert (world.desk.folder / FOLDER / "de" / "brief" / "news_pulled.txt").is_file()
    assert house_wording.wording(world.desk, "news_pulled", place).own
    assert not house_wording.wording(world.desk, "news_pulled").own


def test_a_preview_is_true_of_a_real_participant_and_saves_nothing(world: World) -> None:
    world.pull("Ada", subject="Rosa Dell")
    key = world.people["Ada"]
    shown = house_wording.preview(world.desk, "news_pulled", OWN, key)
    assert (shown.real, shown.problems) == (True, ())
    assert "Rosa Dell is yours, Ada Fenn." in shown.text
    assert not (world.desk.folder / FOLDER).exists()
    invented = house_wording.preview(world.desk, "news_shipped", "Gone: {{ cards }}", key)
    assert (invented.real, invented.text.startswith("Gone: ")) == (False, True)
    wrong = house_wording.preview(world.desk, "news_pulled", "{{ code }}", key)
    assert wrong.problems
    assert wrong.text == ""


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_text_can_be_previewed(world: World, name: str) -> None:
    world.pull("Ada")
    text = house_wording.wording(world.desk, name).text
    assert house_wording.preview(world.desk, name, text, world.people["Ada"]).text.strip()
    assert house_wording.preview(world.desk, name, text, None).text.strip()


def test_the_participants_that_a_text_is_tried_on(world: World) -> None:
    assert house_wording.people_for_preview(world.desk) == ()
    world.pull("Bo")
    assert [row[2] for row in house_wording.people_for_preview(world.desk)] == ["Bo Larch"]
