"""The outlook on screen: numbers, sentence and picture say the same, and never a promise."""

from __future__ import annotations

from breakdesk.desk.listing import claim_rows
from breakdesk.desk.outlook import ClaimForecast, forecast_of, outlook


async def test_all_makers_come_first_with_sentence_and_curve(sample):
    everything = sample.do(outlook)[-1]
    async with sample.open(size=(120, 40)) as player:
        await player.press("f7")
        assert "▸ All makers" in player.seen
        assert everything.sentence in player.words
        assert "That is no promise." in player.words
        assert f"{everything.median_days} (" in player.seen
        assert "100 |#" in player.seen
        assert " 50 |" in player.seen
        assert "0 |" in player.seen
        assert f"{everything.curve.last_day} days" in player.seen
        assert "Kaplan-Meier" in player.words


async def test_a_maker_with_few_cards_is_read_off_all_of_them(sample):
    items = sample.do(outlook)
    place = next(index for index, item in enumerate(items) if item.pooled)
    async with sample.open() as player:
        await player.press("f7", *["down"] * (place + 1))
        assert f"▸ {items[place].maker[:10]}" in player.seen
        assert "Fewer than 10 of its cards came" in player.words


async def test_where_the_data_do_not_reach_it_is_said(sample):
    items = sample.do(outlook)
    place = next(index for index, item in enumerate(items) if item.share_within_a_year is None)
    async with sample.open(size=(120, 40)) as player:
        await player.press("f7", *["down"] * (place + 1))
        assert "12 months: the data do not reach that far." in player.words


async def test_the_sentence_is_copied_and_the_numbers_are_a_page_of_text(sample):
    everything = sample.do(outlook)[-1]
    async with sample.open(size=(120, 60)) as player:
        await player.press("f7", "y")
        assert player.app.clipboard == everything.sentence
        await player.press("n")
        assert f"Submitted: {everything.submitted}. Waiting: {everything.waiting}." in player.words
        await player.press("y")
        assert f"Came within 6 months: {everything.share_within_half_a_year:.0%}." in player.app.clipboard


async def test_an_empty_desk_draws_nothing_and_says_so(empty):
    async with empty.open() as player:
        await player.press("f7")
        assert "No card was submitted yet." in player.words
        assert "|" not in player.seen


async def test_from_a_claim_its_place_on_the_curve(sample):
    waiting = [row.tag for row in sample.do(claim_rows, 0, 500) if row.state == "submitted"]
    tag, found = next(
        (tag, said) for tag in waiting if (said := sample.do(forecast_of, tag)).forecast.half_within_days is not None
    )
    assert isinstance(found, ClaimForecast)
    async with sample.open() as player:
        await player.press("f5", *tag.lower(), "enter")
        await player.press("e")
        assert found.sentence in player.words
        assert f"has waited {found.forecast.waited_days} day" in player.words
        assert "1 where it stands now: day" in player.words
        axis = next(line for line in player.seen.splitlines() if line.lstrip().startswith("+"))
        assert axis.index("1") < axis.index("2")
        await player.press("y")
        assert player.app.clipboard == found.sentence
        await player.press("escape")
        assert f"Tag {tag[:3]} {tag[3:]}" in player.words


async def test_a_claim_that_does_not_wait_has_no_outlook(sample):
    tag = next(row.tag for row in sample.do(claim_rows, 0, 500) if row.state == "pulled")
    async with sample.open() as player:
        await player.press("f5", *tag.lower(), "enter")
        await player.press("e")
        assert "does not wait for a maker, so there is no outlook for it." in player.words
        assert "|" not in player.seen
