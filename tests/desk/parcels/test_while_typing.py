"""What the screen lists while a line about a card that came in is typed."""

from __future__ import annotations

from typing import Any

from breakdesk.desk import arriving, submitting
from breakdesk.desk.arrivals import serial_doubts
from breakdesk.desk.recognising import Match, fresh_counter, open_counter, what_it_can_be
from breakdesk.store import models


def submitted(world: Any, owner: str = "Ada", reference: str = "", **pulled: Any) -> str:
    tag: str = world.pull(owner, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference=reference)))
    return tag


def typing(world: Any, line: str) -> tuple[Match, ...]:
    return what_it_can_be(world.desk, open_counter(world.desk), line)


class TestWhileTyping:
    """What the screen lists while a line is typed."""

    def test_the_likeliest_first_with_what_is_odd(self, world: Any) -> None:
        first = submitted(world, "Ada", numbered_to=25, serial=7)
        tag = submitted(world, "Bo", numbered_to=25)
        run_of_99 = submitted(world, "Cy", numbered_to=99)
        found = typing(world, "kit moor 7/25")
        assert [match.claim.tag for match in found] == [first, tag, run_of_99]
        assert "nobody offered a replacement" in found[2].odd[0]
        (match,) = typing(world, f"{tag} 7/25")
        assert match.arrival.serial == 7
        assert f"Claim {first} has serial 7" in match.odd[0]
        assert "outside a run of 25" in typing(world, f"{tag} 26/25")[0].odd[0]

    def test_half_a_tag_a_variation_or_a_team_finds_some_too(self, world: Any) -> None:
        tag = submitted(world, variation="Blue")
        assert [[match.claim.tag for match in typing(world, line)] for line in (tag[:4], "blu")] == [[tag], [tag]]
        assert typing(world, "  ") == typing(world, "zzz") == ()

    def test_by_code_and_reference_and_what_came_already_is_said(self, world: Any) -> None:
        tag = submitted(world, reference="RF 77", code="AB12-CD34")
        for line in ("rf 77", "ab12 cd34"):
            assert [match.claim.tag for match in typing(world, line)] == [tag]
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
        assert "came on 2 March 2026 already" in typing(world, tag)[0].odd[0]

    def test_what_it_is_read_against_is_made_anew_only_after_a_change(self, world: Any) -> None:
        counter = fresh_counter(world.desk, None)
        assert fresh_counter(world.desk, counter) is counter
        with world.desk.database.atomic():
            models.Card.create(product=world.products["Tern Cards"], subject="Una Dale", row_digest="2")
        assert fresh_counter(world.desk, counter) is not counter

    def test_a_number_that_cannot_be_is_doubted(self, world: Any) -> None:
        first = submitted(world, "Ada", numbered_to=25, serial=7)
        claim = world.claim(submitted(world, "Bo", numbered_to=25))
        assert serial_doubts(claim, 8) == ()
        assert "a run of 25" in serial_doubts(claim, 26)[0]
        assert first in serial_doubts(claim, 7)[0]
