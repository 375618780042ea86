"""The submit round at the keyboard."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.codes import read_code
from breakdesk.rules.tags import shown as tag_words


class TestEnteringOne:
    async def test_code_and_reference_in_one_go(self, stage):
        first, second = sorted([stage.pull(subject="Kit Moor"), stage.pull(subject="Una Dale")])
        async with stage.open() as player:
            await player.press("s")
            assert "1 of 2" in player.seen
            await player.press("enter")
            await player.type("ab12-cd34", "enter")
            await player.type("T-0001", "enter")
            assert "2 of 2" in player.seen
            assert "1 left" in player.seen
            assert f"{tag_words(first)} is submitted, reference T-0001" in player.status
            await player.type("zz99", "enter")
            await player.type("T-0002", "enter")
            assert "Nothing is left to be submitted. In this round: 2 done." in player.words
        assert [stage.claim(tag).reference for tag in (first, second)] == ["T-0001", "T-0002"]
        assert stage.do(read_code, stage.claim(first).id) == "AB12CD34"
        assert stage.today().submit == ()

    async def test_no_letter_is_offered_as_a_key_while_it_would_go_into_the_code(self, stage):
        stage.pull(subject="Kit Moor")
        async with stage.open() as player:
            await player.press("s")
            assert "f Not accepted" in player.words
            await player.press("enter")
            assert "f Not accepted" not in player.words
            assert "Esc Back" in player.words
            await player.press("escape")
            assert "f Not accepted" in player.words

    async def test_what_is_seen_on_camera_comes_first(self, stage):
        stage.pull(subject="Kit Moor")
        seen = stage.pull(subject="Una Dale", seen_on_camera=True)
        async with stage.open() as player:
            await player.press("s")
            assert f"▸ {tag_words(seen)}" in player.seen
            assert "seen on camera" in player.words

    async def test_a_code_that_is_kept_needs_only_the_reference(self, stage):
        tag = stage.pull(code="AB12")
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("T-0001", "enter")
        assert stage.claim(tag).state == "submitted"
        assert stage.do(read_code, stage.claim(tag).id) == "AB12"

    async def test_a_code_that_looks_like_another_is_asked_about_before_it_is_saved(self, stage):
        other = stage.pull(subject="Kit Moor", code="QX70K4")
        tag = stage.pull(subject="Una Dale", seen_on_camera=True)
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("qx7ok4", "enter")
            await player.type("T-0001", "enter")
            assert f"It differs from that of {tag_words(other)} only by characters that look alike" in player.words
            assert stage.claim(tag).state == "pulled"
            await player.press("enter")
            assert stage.claim(tag).state == "pulled"
            await player.press("tab", "enter")
            await player.press("down", "enter")
        assert stage.claim(tag).reference == "T-0001"
        assert stage.do(read_code, stage.claim(tag).id) == "QX7OK4"

    async def test_on_air_neither_code_nor_reference_can_be_read(self, stage):
        stage.pull(code="SECRETCODE")
        async with stage.open(on_air=True) as player:
            await player.press("s", "c")
            assert "SECRETCODE" not in player.seen
            assert "Not copied" in player.status
            await player.press("enter")
            await player.type("T-0001")
            assert "T-0001" not in player.seen
            await player.press("enter")
            assert "T-0001" not in player.seen

    async def test_account_and_way_are_kept_for_the_next_of_the_same_maker(self, stage):
        first, second = sorted([stage.pull(), stage.pull(subject="Una Dale")])
        async with stage.open() as player:
            await player.press("s", "m", "down", "enter")
            await player.type("main", "enter")
            await player.press("down", "enter", "down", "enter")
            assert "Account main, by mail; the maker sends it straight to the participant." in player.words
            await player.press("enter")
            await player.type("AA11", "enter", "enter")
            await player.type("BB22", "enter", "enter")
        for tag in (first, second):
            claim = stage.claim(tag)
            assert (claim.state, claim.method, claim.ship_to) == ("submitted", "mail", "participant")
            assert claim.account_id is not None

    async def test_without_a_reference_the_site_did_not_take_it(self, stage):
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("AB12", "enter", "enter")
            assert "Type the reference" in player.status
        assert stage.claim(tag).state == "pulled"

    async def test_a_code_of_another_claim_is_refused_and_nothing_typed_is_lost(self, stage):
        stage.pull(code="AB12", subject="Una Dale")
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "n", "enter")
            await player.type("ab-12", "enter")
            await player.type("T-0001", "enter")
            assert "That code is on claim" in player.status
            assert "T-0001" in player.seen
        assert stage.claim(tag).state == "pulled"


class TestOtherOutcomes:
    async def test_each_outcome_with_a_note(self, stage):
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "f", "down", "enter")
            await player.type("no such code", "enter")
            assert "Nothing is left to be submitted" in player.words
        claim = stage.claim(tag)
        assert claim.failed_how == "invalid"
        assert [item.why for item in stage.today().decide] == ["failed_submission"]

    async def test_a_site_that_is_down_leaves_it_to_be_submitted(self, stage):
        first, second = sorted([stage.pull(), stage.pull(subject="Una Dale")])
        async with stage.open() as player:
            await player.press("s", "f", *["down"] * 5, "enter", "enter")
            assert f"▸ {tag_words(second)}" in player.seen
            assert "2 left" in player.seen
            await player.press("b")
            assert "the maker's site is down" in player.words
        assert stage.claim(first).failed_how == "site_down"

    async def test_readings_of_a_partial_code(self, stage):
        tag = stage.pull(code="AB?2")
        async with stage.open() as player:
            await player.press("s")
            assert "a place cannot be read" in player.words
            await player.press("r", "enter")
            await player.type("T-0001", "enter")
        assert stage.claim(tag).state == "submitted"
        assert "?" not in stage.do(read_code, stage.claim(tag).id)

    async def test_seen_on_camera(self, stage):
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "k")
            assert "seen on camera" in player.words
        assert stage.claim(tag).seen_on_camera


class TestWalking:
    async def test_park_until_a_day_with_a_reason(self, stage):
        tag = stage.pull()
        async with stage.open() as player:
            await player.press("s", "p")
            await player.type("friday", "enter")
            await player.type("card is at the bank", "enter")
            assert "1 put aside until a day" in player.words
        assert stage.today().submit == ()
        stage.later(days=4)
        assert [item.claim.tag for item in stage.today().submit] == [tag]

    async def test_left_and_taken_up_at_the_same_item(self, stage):
        tags = sorted(stage.pull(subject=f"Kit {letter}") for letter in "ABCDE")
        async with stage.open() as player:
            await player.press("s", "n", "down", "escape")
            assert "Today" in player.seen.splitlines()[0]
            await player.press("s")
            assert "3 of 5" in player.seen
        async with stage.open() as player:
            await player.press("s")
            assert f"▸ {tag_words(tags[2])}" in player.seen

    async def test_jump_by_number_and_by_first_letters(self, stage):
        for name in ("Kit Moor", "Una Dale", "Ivo Stone"):
            stage.pull(subject=name)
        async with stage.open() as player:
            await player.press("s", "j")
            await player.type("3", "enter")
            assert "3 of 3" in player.seen
            await player.press("j")
            await player.type("una", "enter")
            assert "2 of 3" in player.seen

    async def test_undo_by_name_brings_it_back(self, stage):
        tag = stage.pull(code="AB12")
        async with stage.open() as player:
            await player.press("s", "enter")
            await player.type("T-0001", "enter")
            await player.press("u")
            assert f"{tag_words(tag)} is submitted, reference T-0001" in player.words
            await player.press("enter")
            assert "1 left" in player.seen
        assert stage.claim(tag).state == "pulled"

    async def test_the_story_and_back(self, stage):
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "o")
            assert player.seen.splitlines()[0].startswith(" Claim")
            await player.press("escape")
            assert player.seen.splitlines()[0].startswith(" Submit")

    async def test_today_counts_anew(self, stage):
        stage.pull(code="AB12")
        async with stage.open() as player:
            assert "1  claim to submit" in player.seen
            await player.press("s", "enter")
            await player.type("T-0001", "enter")
            await player.press("escape")
            assert "0  claims to submit" in player.seen

    async def test_zero_is_said_when_there_was_nothing(self, stage):
        async with stage.open() as player:
            await player.press("s")
            assert "Nothing is left to be submitted." in player.words
            await player.press("enter", "n", "p", "o", "f", "m", "k", "e", "r", "c", "w", "u", "escape")
            assert "Today" in player.seen.splitlines()[0]

    async def test_an_expired_card_counts_down_in_the_makers_zone(self, stage):
        stage.pull(maker="Rising Press", expires_on=date(2026, 3, 4))
        async with stage.open() as player:
            await player.press("s")
            # It is Tuesday already where the maker is.
            assert "1 day left in the maker's zone" in player.words
