"""The key of a place goes to its first screen, whatever was open in it."""

from __future__ import annotations

from breakdesk.tui.screens.submit_round import SubmitRound
from breakdesk.tui.screens.today import TodayScreen

from .test_tell_round import somebody_to_tell, told


class TestTodaysKey:
    async def test_from_another_place_it_shows_the_five_sentences_and_the_round_keeps_its_place(self, stage):
        stage.pull()
        second = stage.pull()
        async with stage.open() as player:
            await player.press("s", "n", "f4", "f2")
            assert isinstance(player.app.screen, TodayScreen)
            await player.press("s")
            assert isinstance(player.app.screen, SubmitRound)
            assert player.app.screen.item.tag == second

    async def test_it_leaves_a_story_opened_from_a_round_and_the_round(self, stage):
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "o", "f2")
            assert isinstance(player.app.screen, TodayScreen)

    async def test_it_works_while_a_field_has_the_cursor(self, stage):
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "enter", "f2")
            assert isinstance(player.app.screen, TodayScreen)

    async def test_from_another_place_the_tell_round_still_asks(self, stage):
        somebody_to_tell(stage, "Ada")
        async with stage.open() as player:
            await player.press("t", "y", "f4", "f2")
            assert "Told up to here?" in player.seen
            await player.press("down", "enter")
            assert isinstance(player.app.screen, TodayScreen)
        assert told(stage, "Ada") == 1

    async def test_esc_leads_from_another_place_to_the_five_sentences(self, stage):
        stage.pull()
        async with stage.open() as player:
            await player.press("s", "f4", "escape")
            assert isinstance(player.app.screen, TodayScreen)


class TestAnotherPlacesKey:
    async def test_from_elsewhere_it_comes_back_to_what_was_open_and_inside_to_the_first_screen(self, stage):
        stage.pull()
        async with stage.open() as player:
            await player.press("f4", "enter", "enter")
            opened = player.app.screen
            assert len(player.app.screen_stack) > 1
            await player.press("f2", "f4")
            assert player.app.screen is opened
            await player.press("f4")
            assert len(player.app.screen_stack) == 1
