"""Making good: consent, a card sold for its participant, a lost claim card, who knew a code, the terms of the break."""

from __future__ import annotations

from typing import Any

from breakdesk.desk import arriving, consent, lost_cards, settling, shipping, submitting, terms
from breakdesk.desk.undoing import last_actions, undo
from breakdesk.store import models


def here(world: Any, owner: str = "Ada", ship_to: str = "house", **pulled: Any) -> str:
    tag: str = world.pull(owner, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, ship_to=ship_to)))
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    return tag


def packed(world: Any, *tags: str) -> int:
    world.done(shipping.start_parcel(world.desk, tags))
    return int(models.Parcel.select().order_by(models.Parcel.id.desc()).first().id)


def settle(world: Any, name: str, value: str) -> None:
    world.done(terms.settle(world.desk, terms.Settle(name=name, value=value)))


class TestMakingGood:
    def test_consent_is_needed_where_the_house_says_so(self, world: Any) -> None:
        settle(world, "consent_needed", "on")
        tag = here(world)
        request = settling.Close(tag=tag, how="bought_out", amount="5", fault="nobody")
        assert "needs the participant's yes" in world.refused(lambda: settling.close(world.desk, request)).what
        world.refused(lambda: consent.record_consent(world.desk, tag, "bought_out", " "))
        world.done(consent.record_consent(world.desk, tag, "bought_out", "on the phone"))
        world.done(settling.change_owner(world.desk, tag, "Bo Larch", "sold"))
        world.refused(lambda: settling.close(world.desk, request))
        world.done(consent.record_consent(world.desk, tag, "bought_out", "by mail"))
        world.done(settling.close(world.desk, request))

    def test_a_card_is_kept_and_sold_for_its_participant(self, world: Any) -> None:
        tag = here(world)
        world.done(consent.keep_and_sell(world.desk, tag, "not below 20, we keep a tenth"))
        assert world.today().ship == ()
        world.refused(lambda: consent.sold_for_them(world.desk, tag, "a lot"))
        world.done(consent.sold_for_them(world.desk, tag, "18.00"))
        claim = world.claim(tag)
        assert (claim.closed_how, claim.closed_amount, claim.on_hold) == ("bought_out", 1800, False)
        other = here(world)
        world.refused(lambda: consent.sold_for_them(world.desk, other, "18.00"))

    def test_a_lost_claim_card_waits_for_a_decision_until_it_is_found(self, world: Any) -> None:
        tag = world.pull()
        world.refused(lambda: lost_cards.card_is_lost(world.desk, tag, ""))
        world.done(lost_cards.card_is_lost(world.desk, tag, "Jo, at the table", 4000))
        assert world.why(tag) == ["failed_submission"]
        world.done(lost_cards.card_is_found(world.desk, tag, "under the mat"))
        assert world.why(tag) == []
        world.refused(lambda: lost_cards.card_is_found(world.desk, tag))

    def test_who_knew_a_code_is_a_list(self, world: Any) -> None:
        from breakdesk.desk.codes import show_code

        tag = world.pull(plan="give", code="AB12-CD34", seen_on_camera=True)
        world.done(show_code(world.desk, tag)[0])
        world.done(shipping.start_parcel(world.desk, [tag]))
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=1, reason="in a hurry")))
        world.done(shipping.delivered(world.desk, 1))
        known = lost_cards.who_knew_the_code(tag)
        assert known is not None
        assert {(item.how, item.who) for item in known} == {
            ("it was in sight on the stream", "everybody who watched"),
            ("it was typed in", "T"),
            ("it was shown at the desk", "T"),
            ("the claim card was sent", "Ada Fenn"),
            ("the claim card or its code was received", "Ada Fenn"),
        }
        assert lost_cards.who_knew_the_code("NONE") is None
        world.done(undo(world.desk, last_actions(1)[0].key))
        assert len(lost_cards.who_knew_the_code(tag) or ()) == 4

    def test_the_terms_of_the_break_are_those_shown_at_the_pull(self, world: Any) -> None:
        tag = here(world)
        request = settling.Close(tag=tag, how="terms", fault="nobody", reason="as agreed")
        settle(world, "break_terms", "version 2")
        world.later(1)
        settle(world, "break_terms", "version 3")
        world.done(settling.close(world.desk, request))
        text = models.FreeText.select().order_by(models.FreeText.id.desc()).first().text
        assert text == "as agreed Terms shown when it was pulled: version 2"

    def test_a_claim_card_that_is_given_has_a_step_of_its_own(self, world: Any) -> None:
        parcel = packed(world, world.pull(plan="give"))
        assert "a note whether its code is scratched" in shipping.open_steps(parcel)
        assert "a note whether its code is scratched" not in shipping.open_steps(packed(world, here(world, "Bo")))
