"""The keys of the rounds: none belongs to two commands or to a field, and each screen says what it is."""

from __future__ import annotations

import pytest

from breakdesk.tui.commands import REGISTRY, key_problems
from breakdesk.tui.screens.ask_round import AskRound
from breakdesk.tui.screens.decide_round import DecideRound
from breakdesk.tui.screens.look_round import LookRound
from breakdesk.tui.screens.maker_answers import AnswersScreen
from breakdesk.tui.screens.parcels import ParcelsScreen
from breakdesk.tui.screens.ship_round import ShipRound
from breakdesk.tui.screens.submit_round import SubmitRound
from breakdesk.tui.screens.tell_round import TellRound

SCREENS = (SubmitRound, AskRound, LookRound, TellRound, ShipRound, DecideRound, ParcelsScreen, AnswersScreen)


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.__name__)
class TestScreens:
    def test_no_key_has_two_meanings(self, screen):
        assert key_problems(REGISTRY.chain(screen.CONTEXT)) == []

    def test_every_command_can_be_run(self, screen):
        for command in REGISTRY.of(screen.CONTEXT):
            assert hasattr(screen, f"action_{command.handler}"), command.id

    def test_it_says_what_it_is(self, screen):
        assert screen.TITLE_WORDS
        assert screen.ABOUT.endswith(".")
        assert len([command for command in REGISTRY.of(screen.CONTEXT) if command.footer]) <= 6
