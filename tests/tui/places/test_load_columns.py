"""A spreadsheet with headings of its own becomes claims, by keyboard alone, and a start line keeps the day calm."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import OptionList

from breakdesk.store import models

SHEET = (
    "Pal,What they hit,Came out,Whose card,Went off,Good thru,Box\n"
    "Ann Moor (@annm),Rook Ashby,3/4/2025,Larkspur Cards,3/9/2025,,A1\n"
    "Bo Finch,Cal Dunmore,3/4/2025,Larkspur Cards,3/9/2025,3/31/2027,A1\n"
)
OURS = ("participant", "subject", "pulled_at", "maker", "submitted_on", "expires_on")


def written(folder: Path, text: str) -> Path:
    path = folder / "my list.csv"
    path.write_text(text, encoding="utf-8")
    return path


async def matched(player, path: Path) -> None:
    await player.press("o")
    await player.paste(str(path), "enter")
    assert "there is no header that says what this is" in player.words
    await player.press("m")
    assert "my list.csv: claims, 0 of 7 columns are taken." in player.words
    for column in OURS:
        await player.press("enter")
        choices = player.app.screen.query_one(OptionList)
        choices.highlighted = choices.get_option_index(column)
        await player.press("enter", "down")
    assert "6 of 7 columns are taken." in player.words


async def test_a_sheet_nobody_knows_is_matched_kept_and_loaded(empty, tmp_path):
    path = written(tmp_path, SHEET)
    async with empty.open(size=(120, 40), on_air=False) as player:
        await matched(player, path)
        assert "Rook Ashby · Cal Dunmore" in player.words
        await player.press("escape")
        assert "this date can be read as" in player.words
        await player.press("m", "f", "down", "enter", "s")
        await player.press(*"mine", "enter")
        assert "Kept as “mine”." in player.status
        await player.press("escape")
        assert "Nothing is wrong in my list.csv." in player.words
        assert "Due once they are in:" in player.words
        assert "2 claims to ask about, at 1 maker (0 now, 0 with a start line)" in player.words
        assert "The first rows, as claims:" in player.words
        assert "Ann Moor (Rook Ashby · Larkspur Cards · with the maker)" in player.words
        await player.press("down", "enter")
        assert "Over how many weeks?" in player.words
        await player.press("enter")
        assert "Today: ask 2 → 0, tell 2 → 0." in player.words
        assert "Deadlines stay where they are" in player.words
        await player.press("down", "enter")
        assert "The start line is drawn." in player.status
        assert "0 claims to ask about" in player.words
    assert empty.do(lambda _desk: sorted(row.name for row in models.Participant.select())) == ["Ann Moor", "Bo Finch"]
    assert empty.do(lambda _desk: models.Claim.get().pull_day.isoformat()) == "2025-03-04"
    async with empty.open(size=(120, 40)) as player:
        await player.press("o")
        await player.paste(str(path), "enter", "m", "u", "enter", "escape")
        assert "2 known already" in player.words


async def test_on_air_no_cell_that_may_name_somebody_is_shown(empty, tmp_path):
    path = written(tmp_path, SHEET)
    async with empty.open(size=(120, 40)) as player:
        await matched(player, path)
        assert "Ann Moor" not in player.seen
        assert "hidden on air" in player.seen
        assert "Rook Ashby" in player.seen
        await player.press("escape", "m", "f", "down", "down", "enter", "escape")
        assert "Nothing is wrong in my list.csv." in player.words
        assert "Ann Moor" not in player.seen


async def test_no_line_is_drawn_unless_somebody_says_yes(empty, tmp_path):
    path = written(tmp_path, "participant,subject,maker,pulled_at,submitted_on\nAda,Kit,Tern,2025-01-02,2025-01-03\n")
    async with empty.open(size=(120, 40)) as player:
        await player.press("o")
        await player.paste(str(path), "enter", "enter")
        assert "l Start line" in player.words
        await player.press("l", "enter")
        assert "Draw the start line today?" in player.words
        await player.press("enter")
        assert "1 claim to ask about" in player.words
    assert empty.do(lambda _desk: models.Term.select().where(models.Term.name == "start_line_weeks").count()) == 0
