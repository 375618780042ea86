"""Both debts, the list behind each number, and the sheet of a year."""

from __future__ import annotations

import openpyxl

from breakdesk.desk.totals import totals, year
from breakdesk.rules.tags import shown as tag_words


async def test_both_debts_stand_above_each_other_with_all_their_bands(sample):
    view = sample.do(totals)
    async with sample.open() as player:
        await player.press("f4", "t")
        assert f"The house owes people {view.house.whole.count} cards" in player.words
        assert f"Makers owe the house {view.makers.whole.count} cards" in player.words
        assert player.seen.count("over 365") == 2
        assert f"{view.house.whole.no_value} have no value." in player.words
        assert "━" in player.seen


async def test_each_way_of_counting_has_a_key(sample):
    async with sample.open(size=(120, 40)) as player:
        await player.press("f4", "t")
        assert "never a promise" in player.words
        await player.press("m")
        assert "Quarrowby Card Works" in player.seen
        await player.press("a")
        assert "Quarrowby Card Works, " in player.seen
        await player.press("k")
        assert "101" in player.seen
        await player.press("o")
        assert "Jun 2026 +" in player.seen
        await player.press("b")
        assert "0-30" in player.seen


async def test_behind_a_number_stand_its_claims_and_behind_those_their_stories(sample):
    line = sample.do(totals).makers.by_band[1]
    async with sample.open(size=(120, 40)) as player:
        await player.press("f4", "t", "tab", "down", "enter")
        assert "Owed by makers: 31-60 days old" in player.words
        for tag in line.tags:
            assert tag_words(tag) in player.seen
        await player.press("enter")
        assert "Claim" in player.seen
        await player.press("escape", "escape")
        assert "The house owes people" in player.seen


async def test_an_empty_desk_owes_nothing(empty):
    async with empty.open() as player:
        await player.press("f4", "t")
        assert "The house owes people nothing." in player.words
        assert "Makers owe the house nothing." in player.words


async def test_a_year_is_shown_walked_and_written(sample, tmp_path):
    sheet = sample.do(year, 2026).sheet
    path = tmp_path / "sheet.xlsx"
    async with sample.open(size=(120, 50)) as player:
        await player.press("f4", "t", "y")
        assert "Juniper Kettle Breaks, the year 2026, up to Mon 15 Jun" in player.words
        assert f"closing {sheet.house.closing.count}" in player.words
        await player.press("n")
        assert "There is no sheet of 2027." in player.status
        await player.press("b")
        assert "the year 2025" in player.words
        await player.press("n", "w", "ctrl+u")
        await player.paste(str(tmp_path / "sheet.csv"), "enter")
        assert "Let the name end in .xlsx." in player.words
        await player.press("ctrl+u")
        await player.paste(str(path), "enter")
        assert "Written to" in player.status
        await player.press("w", "ctrl+u")
        await player.paste(str(path), "enter")
        assert "is there already. Write over it?" in player.words
        await player.press("enter")
    assert openpyxl.load_workbook(path).sheetnames == ["Year 2026", "Claims", "Payments"]


async def test_behind_a_line_of_the_year_stand_its_claims_or_payments(sample):
    sheet = sample.do(year, 2026).sheet
    async with sample.open(size=(120, 50)) as player:
        await player.press("f4", "t", "y", "down", "enter")
        assert "2026: opening" in player.words
        oldest = min(sheet.house.opening.claims, key=lambda claim: (claim.pull_day, claim.tag))
        assert tag_words(oldest.tag) in player.seen
        await player.press("escape", "end", "up", "up", "enter")
        assert "2026: cash paid out" in player.words
        for payment in sheet.cash_paid.payments:
            assert f"{payment.day:%a} {payment.day.day} {payment.day:%b %Y}" in player.seen


async def test_cards_that_came_and_went_are_counted_month_by_month(sample):
    async with sample.open(size=(120, 40)) as player:
        await player.press("f4", "t", "c")
        assert "Cards that went to people, by month." in player.words
        assert "Cards that came from makers, by month." in player.words
        assert "Jun 2026" in player.words
        await player.press("tab", "end", "enter")
        assert "Came from makers: Jun 2026" in player.words
