"""Loading files at the keyboard."""

from __future__ import annotations

import threading
from pathlib import Path

from breakdesk.desk.loading import load_files
from breakdesk.store import models

GOOD = (
    "pulled_at,participant,subject,maker,expires_on,value\n2026-06-12,Ada Fenn,Kit Moor,Tern Cards,2027-01-01,12.00\n"
)
BAD = (
    "pulled_at,participant,subject,maker,expires_on,value\n"
    "2026-06-12,Ada Fenn,Kit Moor,Tern Cards,2027-13-01,12.00\n"
    "2026-06-1x,Bo Larch,Lee Dunn,Tern Cards,2027-01-01,twelve\n"
)


def written(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def claims(house) -> int:
    return house.do(lambda _desk: models.Claim.select().count())


async def test_files_are_checked_then_loaded_then_it_is_said_what_is_due(empty, tmp_path):
    path = written(tmp_path, "my claims.csv", GOOD)
    async with empty.open() as player:
        await player.press("o")
        await player.paste(str(path), "enter")
        assert "Nothing is wrong in my claims.csv." in player.words
        assert "Nothing was written yet." in player.words
        assert "Claims 1 new" in player.words
        assert claims(empty) == 0
        await player.press("enter")
        assert "Loaded 1 claim (1 new)." in player.words
        assert "1 claim to submit, 1 more than before" in player.words
        assert "F2 goes to Today" in player.status
        assert claims(empty) == 1
        await player.press("f2")
        assert "claim to submit" in player.words
        assert player.words.startswith("Today")


async def test_loading_the_same_again_says_that_nothing_is_new(empty, tmp_path):
    path = written(tmp_path, "claims.csv", GOOD)
    async with empty.open() as player:
        await player.press("o")
        await player.paste(str(path), "enter", "enter", "r")
        assert "Claims 1 known already" in player.words
        await player.press("enter")
        assert "Nothing is new: the desk held all of this already." in player.words
    assert claims(empty) == 1


async def test_every_problem_is_listed_with_its_place_and_its_remedy(empty, tmp_path):
    path = written(tmp_path, "bad.csv", BAD)
    async with empty.open(size=(120, 40)) as player:
        await player.press("o")
        await player.paste(str(path), "enter")
        assert "3 problems in bad.csv. Nothing was written." in player.words
        assert "bad.csv, line 2, column expires_on:" in player.words
        await player.press("down", "down")
        assert "bad.csv, line 3, column pulled_at:" in player.words
        assert '"2026-06-1x"' in player.words
        await player.press("enter")
        assert "What is wrong here" in player.seen
        await player.press("escape")
        path.write_text(GOOD, encoding="utf-8")
        await player.press("r")
        assert "Nothing is wrong in bad.csv." in player.words
        await player.press("enter")
    assert claims(empty) == 1


async def test_a_value_that_may_name_somebody_is_hidden_on_air(empty, tmp_path):
    title = "All of Ada Fenn's cards"
    path = written(tmp_path, "claims.csv", f"{title}\n{GOOD}")
    for on_air in (True, False):
        async with empty.open(size=(120, 40), on_air=on_air) as player:
            await player.press("o")
            await player.paste(str(path), "enter", "w")
            assert "the lines above the header are left out" in player.words
            assert (title in player.words) is not on_air
            assert ("hidden on air" in player.words) is on_air


async def test_warnings_stand_apart_and_keep_nothing_out(empty, tmp_path):
    text = GOOD.replace("value\n", "value,shelf\n").replace("12.00\n", "12.00,B2\n")
    path = written(tmp_path, "claims.csv", text)
    async with empty.open(size=(120, 40)) as player:
        await player.press("o")
        await player.paste(str(path), "enter")
        assert "things to look at." in player.words
        await player.press("w")
        assert "columns that are not known for claims are left out" in player.words
        await player.press("w", "enter")
        assert "Loaded 1 claim" in player.words


async def test_a_folder_stands_for_its_tables_and_several_paths_go_together(empty, tmp_path):
    folder = tmp_path / "night"
    folder.mkdir()
    written(folder, "claims.csv", GOOD)
    written(folder, "notes.md", "no table")
    people = written(tmp_path, "people.csv", "participant,handle\nAda Fenn,@fern\n")
    async with empty.open() as player:
        await player.press("o")
        await player.paste(f"'{folder}' {people}", "enter")
        assert "Nothing is wrong in claims.csv, people.csv." in player.words


async def test_checking_again_lists_a_folder_anew(empty, tmp_path):
    folder = tmp_path / "night"
    folder.mkdir()
    wrong = written(folder, "claims.csv", BAD)
    async with empty.open() as player:
        await player.press("o")
        await player.paste(str(folder), "enter")
        assert "in claims.csv. Nothing was written." in player.words
        written(folder, "claims-mended.csv", GOOD)
        written(folder, "people.csv", "participant,handle\nAda Fenn,@fern\n")
        wrong.unlink()
        await player.press("r")
        assert "Nothing is wrong in claims-mended.csv, people.csv." in player.words
        for path in folder.iterdir():
            path.unlink()
        await player.press("r")
        assert "holds no table" in player.words


async def test_what_cannot_be_read_as_paths_is_said_and_nothing_is_lost(empty, tmp_path):
    (tmp_path / "bare").mkdir()
    async with empty.open() as player:
        await player.press("o", "enter")
        assert "Type the path of a file or a folder first." in player.words
        await player.paste(str(tmp_path / "bare"), "enter")
        assert "holds no table" in player.words
        assert "bare" in player.seen
        await player.press("home", "delete")
        await player.paste("/nowhere", "enter")
        assert "there is no such file" in player.words


async def test_a_load_can_be_stopped_and_then_nothing_is_saved(empty, tmp_path, monkeypatch):
    path = written(tmp_path, "claims.csv", GOOD)
    under_way, go_on = threading.Event(), threading.Event()

    def slow(desk, paths, *, column_map, progress):
        under_way.set()
        assert go_on.wait(10)
        return load_files(desk, paths, column_map=column_map, progress=progress)

    monkeypatch.setattr("breakdesk.tui.screens.load.load_files", slow)
    async with empty.open() as player:
        await player.press("o")
        await player.paste(str(path), "enter")
        await player.pilot.press("enter")
        while not under_way.is_set():
            await player.pilot.pause(0.01)
        await player.pilot.pause(0.15)
        assert "c Stop" in player.seen
        await player.pilot.press("escape")
        await player.pilot.pause()
        assert "Stopping" in player.seen
        go_on.set()
        await player.settle()
        assert "The load was stopped; nothing was saved." in player.words
        await player.press("escape")
        assert "Today" in player.seen
    assert claims(empty) == 0


async def test_the_sample_is_known_already_on_its_own_desk(sample):
    async with sample.open(size=(120, 40)) as player:
        await player.press("o")
        await player.paste(str(Path(__file__).parents[3] / "sample_breaks"), "enter")
        await player.settle()
        assert "180 known already" in player.words


async def test_a_path_is_dots_on_air_and_what_it_names_is_said_without_its_folders(empty, tmp_path):
    folder = tmp_path / "Ada Fenn"
    folder.mkdir()
    path = written(folder, "claims.csv", GOOD)
    for on_air in (True, False):
        async with empty.open(size=(200, 50), on_air=on_air) as player:
            await player.press("o")
            await player.paste(f"'{path}' gone.csv")
            assert ("Ada Fenn" in player.words) is not on_air
            assert ("Typed so far: claims.csv (found), gone.csv (not found)." in player.words) is on_air


async def test_a_folder_without_tables_is_named_without_its_own_folder_on_air(empty, tmp_path):
    folder = tmp_path / "Ada Fenn" / "night"
    folder.mkdir(parents=True)
    async with empty.open(on_air=True) as player:
        await player.press("o")
        await player.paste(str(folder), "enter")
        assert "night holds no table" in player.words
        assert "Ada Fenn" not in player.words
