"""The first start: nothing is made before a person has answered."""

from __future__ import annotations

from contextlib import ExitStack
from datetime import date
from pathlib import Path

import pytest

from breakdesk.desk.desk import open_desk
from breakdesk.desk.house import NewHouse
from breakdesk.store.opening import CannotOpen
from breakdesk.store.parties import read_house
from breakdesk.tui import starting
from breakdesk.tui.machine import MachineFile
from breakdesk.tui.screens.first_start import Start
from breakdesk.tui.starting import FirstStart, opened


@pytest.fixture
def begin(tmp_path, monkeypatch, clock, play):
    """Opens the first start for a desk that is not there."""
    monkeypatch.setattr(starting, "machine_zone", lambda: "America/Denver")

    def open_it():
        folder = tmp_path / "throwaway"
        folder.mkdir(exist_ok=True)
        return play(FirstStart(tmp_path / "desk.db", clock, folder, go_on_after_failure=False))

    return open_it


async def test_an_empty_desk_is_asked_its_name_zone_and_currency(begin, tmp_path):
    async with begin() as player:
        assert "There is no desk yet at" in player.words
        await player.press("enter")
        await player.paste("The Corner", "enter")
        assert "America/Denver" in player.seen
        await player.press("enter", "enter")
        answer = player.app.answer
    assert answer == Start(
        path=tmp_path / "desk.db", house=NewHouse(name="The Corner", zone="America/Denver", currency="USD")
    )
    assert not (tmp_path / "desk.db").exists()


async def test_a_spreadsheet_makes_a_desk_and_goes_on_to_loading(begin):
    async with begin() as player:
        await player.press("down", "enter")
        await player.paste("The Corner", "enter", "enter", "enter")
        assert player.app.answer.loads


async def test_a_wrong_zone_is_said_and_can_be_corrected(begin):
    async with begin() as player:
        await player.press("enter")
        await player.paste("The Corner", "enter")
        await player.press("ctrl+u")
        await player.paste("Mars/Base", "enter")
        assert "Mars/Base" in player.seen
        assert player.app.answer is None
        await player.press("ctrl+u")
        await player.paste("tokyo", "enter")
        assert "did you mean Asia/Tokyo?" in player.words
        await player.press("ctrl+u")
        await player.paste("Asia/Tokyo", "enter", "enter")
        assert player.app.answer.house.zone == "Asia/Tokyo"


async def test_who_goes_back_finds_the_name_as_it_was_typed(begin):
    async with begin() as player:
        await player.press("enter")
        await player.paste("The Corner", "enter", "escape", "enter")
        assert "The Corner" in player.words
        await player.press("enter", "enter", "enter")
        assert player.app.answer.house.name == "The Corner"


async def test_the_home_folder_is_not_named_while_the_stream_may_see_it(begin, tmp_path, monkeypatch):
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    async with begin() as player:
        assert str(tmp_path) not in player.seen
        assert "There is no desk yet at ~" in player.words


async def test_leaving_makes_nothing(begin, tmp_path):
    async with begin() as player:
        await player.press("enter", "escape", "f10")
        assert player.app.answer is None
    assert not (tmp_path / "desk.db").exists()


async def test_another_desk_is_opened_only_if_it_is_one(begin, tmp_path):
    (tmp_path / "page.txt").write_text("no desk")
    open_desk(tmp_path / "other.db", create=True).close()
    async with begin() as player:
        await player.press("down", "down", "enter")
        await player.paste(str(tmp_path / "page.txt"), "enter")
        assert "page.txt is not a desk" in player.words
        await player.press("ctrl+u")
        await player.paste(str(tmp_path / "gone.db"), "enter")
        assert "There is no file" in player.words
        await player.press("ctrl+u")
        await player.paste(str(tmp_path / "other.db"), "enter")
        assert player.app.answer == Start(path=tmp_path / "other.db")


async def test_the_sample_is_made_in_a_folder_that_is_thrown_away(begin, tmp_path, clock):
    async with begin() as player:
        await player.press("end")
        await player.pilot.press("enter")
        for _ in range(500):
            if player.app.answer is not None:
                break
            await player.pilot.pause(0.02)
        assert player.app.answer.path == tmp_path / "throwaway" / "sample.db"
    desk = open_desk(tmp_path / "throwaway" / "sample.db", clock)
    assert read_house().name == "Juniper Kettle Breaks"
    desk.close()


class TestWhatFollows:
    """What `opened` makes of the answers."""

    @pytest.fixture
    def answers(self, monkeypatch):
        """The first start answers these, one after the other; the problems that it was shown are kept."""
        wanted, shown = [], []

        def run(app):
            shown.append(app.problem)
            app.answer = wanted.pop(0)

        monkeypatch.setattr(FirstStart, "run", run)
        return wanted, shown

    @pytest.fixture(autouse=True)
    def _clock(self, clock):
        self.clock = clock

    def open(self, path, held):
        return opened(path, self.clock, MachineFile(path=path.parent / "none"), held, create=False)

    def test_a_desk_that_is_there_is_opened_without_asking(self, tmp_path):
        open_desk(tmp_path / "desk.db", create=True).close()
        with ExitStack() as held:
            desk, loads = self.open(tmp_path / "desk.db", held)
            assert not loads
            desk.close()

    def test_the_new_desk_knows_its_house(self, tmp_path, answers):
        house = NewHouse(name=" The  Corner ", zone="Asia/Tokyo", currency="jpy")
        answers[0].append(Start(path=tmp_path / "new" / "desk.db", house=house, loads=True))
        with ExitStack() as held:
            desk, loads = self.open(tmp_path / "desk.db", held)
            found = desk.submit(lambda _desk: read_house()).result()
            desk.close()
        assert loads
        assert found.name == "The Corner"
        assert found.terms.on("zone", date(2026, 6, 15)) == "Asia/Tokyo"
        assert found.terms.on("currency", date(2026, 6, 15)) == "JPY"

    def test_no_answer_leaves_everything_as_it_is(self, tmp_path, answers):
        answers[0].append(None)
        with ExitStack() as held:
            assert self.open(tmp_path / "desk.db", held) is None
        assert list(tmp_path.iterdir()) == []

    def test_what_cannot_be_opened_is_asked_again_with_the_reason(self, tmp_path, answers):
        answers[0].extend([Start(path=tmp_path / "gone.db"), None])
        with ExitStack() as held:
            assert self.open(tmp_path / "desk.db", held) is None
        assert answers[1][0] == ""
        assert "There is no desk at" in answers[1][1]

    def test_a_broken_desk_of_ones_own_is_said_to_the_caller(self, tmp_path):
        (tmp_path / "desk.db").write_text("not a desk at all, but long enough to be looked at" * 40)
        with ExitStack() as held, pytest.raises(CannotOpen):
            self.open(tmp_path / "desk.db", held)


async def test_after_a_spreadsheet_was_chosen_the_program_opens_with_loading(empty):
    async with empty.open(opens_with_load=True) as player:
        assert "Load files" in player.seen
        await player.press("escape")
        assert "Nothing is left to do today" in player.words


async def test_what_is_wrong_with_the_settings_file_is_read_first(empty):
    async with empty.open(notes=("The settings of this machine were not taken.",)) as player:
        assert "The settings of this machine were not taken." in player.words
        await player.press("escape")
        assert "Today" in player.seen
