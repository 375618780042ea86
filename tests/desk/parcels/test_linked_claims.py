"""Claims that came out of others name each other, and say what evidence is missing."""

from __future__ import annotations

from typing import Any

from breakdesk.desk import arriving, damage, submitting, undoing
from breakdesk.desk.card_facts import CardFacts, card_facts
from breakdesk.desk.viewing import claim_view


def submitted(world: Any) -> str:
    tag: str = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
    return tag


class TestLinkedClaims:
    def facts(self, world: Any, tag: str) -> CardFacts:
        view = claim_view(world.desk, tag)
        assert view is not None
        return card_facts(world.desk, view)

    def test_both_claims_of_a_damaged_card_name_each_other(self, world: Any) -> None:
        tag = submitted(world)
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag, damaged="a crease")))
        (link,) = self.facts(world, tag).links
        (back,) = self.facts(world, link.claim.tag).links
        assert (link.claim.kind, back.claim.tag) == ("damage", tag)
        world.done(damage.gather_evidence(world.desk, link.claim.tag, "wrapper"))
        evidence = self.facts(world, link.claim.tag).evidence
        assert evidence is not None
        assert "wrapper" not in evidence.missing
        assert self.facts(world, tag).evidence is None

    def test_a_part_that_waits_on_and_an_undo(self, world: Any) -> None:
        tag = submitted(world)
        done = world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag, still_owed="the second card")))
        (link,) = self.facts(world, tag).links
        assert link.how == "what did not come waits on as"
        assert [back.claim.tag for back in self.facts(world, link.claim.tag).links] == [tag]
        world.done(undoing.undo(world.desk, done.key))
        assert self.facts(world, tag).links == ()
