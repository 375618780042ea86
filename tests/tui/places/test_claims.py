"""Every claim in one list, whatever became of it."""

from __future__ import annotations

from breakdesk.desk.listing import claim_rows, count_claims
from breakdesk.rules.tags import shown as tag_words


async def test_all_claims_are_listed_the_latest_pull_first(sample):
    count = sample.do(count_claims)
    rows = sample.do(claim_rows, 0, count + 10)
    assert len({row.id for row in rows}) == len(rows) == count
    assert [row.pull_day for row in rows] == sorted((row.pull_day for row in rows), reverse=True)
    assert {row.state for row in rows} > {"closed", "submitted"}
    async with sample.open(size=(120, 40)) as player:
        await player.press("f4", "c")
        assert tag_words(rows[0].tag) in player.seen
        assert rows[-1].tag not in player.seen
        await player.press("end")
        assert tag_words(rows[-1].tag) in player.seen
        await player.press("enter")
        assert f"Tag {rows[-1].tag[:3]} {rows[-1].tag[3:]}" in player.words
        await player.press("escape", "home")
        assert tag_words(rows[0].tag) in player.seen


async def test_windows_over_all_claims_meet_without_a_gap(sample):
    count = sample.do(count_claims)
    whole = sample.do(claim_rows, 0, count)
    parts = [row for offset in range(0, count, 7) for row in sample.do(claim_rows, offset, 7)]
    assert parts == whole


async def test_an_empty_desk_has_no_claim(empty):
    async with empty.open() as player:
        await player.press("f4", "c")
        assert "No claim is in the desk yet." in player.words
