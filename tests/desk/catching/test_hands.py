"""Claims change hands, spots are traded, and shared cards are drawn for so that anybody can check it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breakdesk.desk.correcting import FIELDS, correct, names_for, said
from breakdesk.desk.drawing import (
    drop_draw,
    open_draws,
    prepare_for_claim,
    prepare_for_spots,
    recheck_text,
    reveal_draw,
)
from breakdesk.desk.handing import hand_over, settle, swap_claims, swap_people
from breakdesk.desk.ownership import break_facts
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.trades import paste_list, trade
from breakdesk.desk.undoing import undo
from breakdesk.rules.claim import HOUSE_PARTY
from breakdesk.store.models import HistoryLine, Maker, Product, Spot, SpotHolder

from .conftest import Night


def holders(night: Night) -> dict[str, tuple[int, ...]]:
    return {" & ".join(spot.holds): spot.owners for spot in break_facts(night.break_id).spots}


class TestTrades:
    def test_one_line_swaps_two_spots(self, night: Night) -> None:
        petra, odo = night.person("petrichor"), night.person("odolind")
        assert isinstance(trade(night.desk, night.break_id, "herons for otters"), Done)
        assert holders(night)["Marsh Herons"] == (odo,)
        assert holders(night)["River Otters"] == (petra,)
        lines = list(HistoryLine.select().where(HistoryLine.kind == "traded"))
        assert len(lines) == 2
        assert night.caught("marl").owner_id == odo

    def test_one_line_gives_a_spot_away_and_takes_it_back(self, night: Night) -> None:
        assert isinstance(trade(night.desk, night.break_id, "fox to @minatar"), Done)
        assert holders(night)["Hill Foxes"] == (night.person("minatar"),)
        assert isinstance(trade(night.desk, night.break_id, "foxes to house"), Done)
        assert holders(night)["Hill Foxes"] == ()

    @pytest.mark.parametrize("line", ["", "herons", "herons for wolves", "herons to @nobody", "herons for marsh"])
    def test_a_line_that_names_nothing_changes_nothing(self, night: Night, line: str) -> None:
        before = holders(night)
        assert isinstance(trade(night.desk, night.break_id, line), Problem)
        assert holders(night) == before

    def test_after_the_first_pack_spots_are_fixed(self, night: Night) -> None:
        night.caught("marl")
        assert isinstance(trade(night.desk, night.break_id, "herons for otters"), Problem)
        assert isinstance(paste_list(night.desk, night.break_id, "petra\tHill Foxes"), Problem)

    @pytest.mark.parametrize(
        "text",
        [
            "1. minatar - Marsh Herons\n2. petrichor - River Otters\n3. odolind - Hill Foxes\n",
            "Marsh Herons\t@minatar\nRiver Otters\tPetra\nHill Foxes\tOdo",
            "minatar, herons\n\npetra, otters\nodo, foxes",
            "1 minatar Marsh Herons\n2 River Otters Petra Corvane\n3  @odolind   Hill Foxes",
        ],
    )
    def test_a_list_names_people_beside_teams(self, night: Night, text: str) -> None:
        assert isinstance(paste_list(night.desk, night.break_id, text), Done)
        petra, odo, mina = (night.person(name) for name in ("petrichor", "odolind", "minatar"))
        assert holders(night) == {"Marsh Herons": (mina,), "River Otters": (petra,), "Hill Foxes": (odo,)}

    def test_a_list_with_one_unknown_line_changes_nothing(self, night: Night) -> None:
        before = holders(night)
        result = paste_list(night.desk, night.break_id, "minatar, herons\nsomebody, otters")
        assert isinstance(result, Problem)
        assert "Line 2" in result.sentence
        assert holders(night) == before


class TestHands:
    def test_two_claims_are_swapped_in_one_action_and_back_by_undo(self, night: Night) -> None:
        first, second = night.caught("marl"), night.caught("oster")
        done = swap_claims(night.desk, first.tag, second.tag, "agreed in the chat")
        assert isinstance(done, Done)
        assert night.claim(first.id).owner_id == night.person("odolind")
        assert night.claim(second.id).owner_id == night.person("petrichor")
        assert isinstance(undo(night.desk, done.key), Done)
        assert night.claim(first.id).owner_id == night.person("petrichor")

    def test_everything_of_two_people_is_swapped(self, night: Night) -> None:
        petra, odo = night.person("petrichor"), night.person("odolind")
        claims = [night.caught("marl"), night.caught("marl /10"), night.caught("oster")]
        assert isinstance(swap_people(night.desk, night.break_id, petra, odo, "agreed"), Done)
        assert [night.claim(claim.id).owner_id for claim in claims] == [odo, odo, petra]

    def test_a_fixed_owner_changes_only_with_a_reason(self, night: Night) -> None:
        claim = night.caught("marl")
        mina = night.person("minatar")
        assert isinstance(hand_over(night.desk, claim.tag, mina), Problem)
        assert isinstance(hand_over(night.desk, claim.tag, mina, "sold the spot"), Done)
        assert night.claim(claim.id).owner_id == mina

    def test_the_house_keeps_its_part_when_its_spot_is_sold_later(self, night: Night) -> None:
        trade(night.desk, night.break_id, "otters to house")
        claim = night.caught("marlowe oster")
        assert claim.candidates == (HOUSE_PARTY, night.person("petrichor"))
        SpotHolder.insert(spot=Spot.get(Spot.holds == "River Otters"), participant=night.person("minatar")).execute()
        assert isinstance(settle(night.desk, claim.tag, night.person("minatar"), "dice"), Problem)
        assert isinstance(settle(night.desk, claim.tag, None, "Drawn on camera by dice: 6"), Done)
        assert night.claim(claim.id).owner_kind == "house"

    def test_the_house_gets_no_shared_card_in_which_it_has_no_part(self, night: Night) -> None:
        claim = night.caught("marlowe oster")
        assert isinstance(settle(night.desk, claim.tag, None, "dice"), Problem)

    def test_a_shared_card_is_settled_among_its_owners_only(self, night: Night) -> None:
        claim = night.caught("marlowe oster")
        assert claim.owner_kind == "several"
        assert isinstance(settle(night.desk, claim.tag, night.person("minatar"), "dice"), Problem)
        assert isinstance(settle(night.desk, claim.tag, night.person("odolind"), " "), Problem)
        assert isinstance(settle(night.desk, claim.tag, night.person("odolind"), "Drawn on camera by dice: 3, 5"), Done)
        assert night.claim(claim.id).owner_id == night.person("odolind")


class TestDraws:
    def test_a_shared_card_falls_to_the_winner_and_the_receipt_proves_it(self, night: Night) -> None:
        claim = night.caught("marlowe oster")
        assert isinstance(prepare_for_claim(night.desk, claim.tag), Done)
        (prepared,) = open_draws(night.desk)
        assert prepared.draw.entries == ("Petra", "Odo")
        result, receipt = reveal_draw(night.desk, prepared.id, ["lantern", "heron"])
        assert isinstance(result, Done)
        assert receipt is not None
        assert receipt.commitment == prepared.commitment
        winner = {"Petra": "petrichor", "Odo": "odolind"}[receipt.result[0]]
        assert night.claim(claim.id).owner_id == night.person(winner)
        assert recheck_text(receipt.to_text())[1] == ()
        loser = "Odo" if receipt.result == ("Petra",) else "Petra"
        assert recheck_text(replace(receipt, result=(loser,)).to_text())[1] != ()
        assert recheck_text("no receipt")[0] is None
        assert open_draws(night.desk) == []

    def test_no_word_no_draw_and_the_commitment_stays(self, night: Night) -> None:
        claim = night.caught("marlowe oster")
        prepare_for_claim(night.desk, claim.tag)
        (prepared,) = open_draws(night.desk)
        result, receipt = reveal_draw(night.desk, prepared.id, [" ", ""])
        assert isinstance(result, Problem)
        assert receipt is None
        assert open_draws(night.desk) == [prepared]
        assert isinstance(drop_draw(night.desk, prepared.id, ""), Problem)
        assert isinstance(drop_draw(night.desk, prepared.id, "the stream broke off"), Done)
        kinds = [line.kind for line in HistoryLine.select().where(HistoryLine.thing == "draw")]
        assert kinds == ["committed", "dropped"]

    def test_the_history_never_holds_a_secret_before_it_is_revealed(self, night: Night) -> None:
        claim = night.caught("marlowe oster")
        prepare_for_claim(night.desk, claim.tag)
        (prepared,) = open_draws(night.desk)
        (line,) = HistoryLine.select().where(HistoryLine.thing == "draw")
        assert prepared.commitment in line.body
        _, receipt = reveal_draw(night.desk, prepared.id, ["word"])
        assert receipt is not None
        assert receipt.secret not in line.body

    def test_spots_are_drawn_in_an_order_anybody_can_check(self, night: Night) -> None:
        petra, odo = night.person("petrichor"), night.person("odolind")
        assert isinstance(prepare_for_spots(night.desk, night.break_id, [petra, odo]), Problem)
        assert isinstance(prepare_for_spots(night.desk, night.break_id, [petra, odo, 0]), Done)
        (prepared,) = open_draws(night.desk)
        result, receipt = reveal_draw(night.desk, prepared.id, ["word"])
        assert isinstance(result, Done)
        assert receipt is not None
        owners = {"Petra": (petra,), "Odo": (odo,), "The Corner Table": ()}
        in_order = [holders(night)[name] for name in ("Hill Foxes", "Marsh Herons", "River Otters")]
        assert in_order == [owners[entry] for entry in receipt.result]

    def test_an_unsold_spot_gives_the_house_a_part_in_the_draw(self, night: Night) -> None:
        trade(night.desk, night.break_id, "otters to house")
        claim = night.caught("marlowe oster")
        assert isinstance(prepare_for_claim(night.desk, claim.tag), Done)
        assert set(open_draws(night.desk)[0].draw.entries) == {"Petra", "The Corner Table"}


class TestCorrecting:
    @pytest.mark.parametrize(
        ("field", "text", "stored"),
        [
            ("variation", "Gold", "Gold"),
            ("numbered_to", "/25", 25),
            ("serial", "7", 7),
            ("box", "3", "3"),
            ("features", "auto;patch", "auto;patch"),
            ("kind", "damage", "damage"),
            ("plan", "give", "give"),
            ("tag", "SLEEVE 7", "SLEEVE 7"),
        ],
    )
    def test_each_field_can_be_corrected_and_emptied(self, night: Night, field: str, text: str, stored: object) -> None:
        claim = night.caught("marl")
        assert isinstance(correct(night.desk, claim.tag, field, text), Done)
        assert getattr(night.claim(claim.id), field) == stored

    def test_days_and_money_are_typed_as_people_write_them(self, night: Night) -> None:
        claim = night.caught("marl")
        assert isinstance(correct(night.desk, claim.tag, "expires_on", "3/31/2027"), Done)
        assert isinstance(correct(night.desk, claim.tag, "value", "$120"), Done)
        after = night.claim(claim.id)
        assert said(after, "expires_on") == "2027-03-31"
        assert (after.value, after.currency) == (12000, "USD")
        assert isinstance(correct(night.desk, claim.tag, "expires_on", ""), Done)
        assert night.claim(claim.id).expires_on is None

    def test_the_product_brings_its_maker_until_the_claim_is_with_one(self, night: Night) -> None:
        claim = night.caught("marl")
        other = Maker.create(name="Tern Cards", folded="tern cards")
        Product.create(name="Tern Diamond", folded="tern diamond", maker=other)
        done = correct(night.desk, claim.tag, "product", "tern diamond")
        assert isinstance(done, Done)
        assert done.said.endswith("product is Tern Diamond, was Lantern Hoops.")
        after = night.claim(claim.id)
        assert (said(after, "product"), said(after, "maker"), after.card_id) == ("Tern Diamond", "Tern Cards", None)
        assert after.owner_id == claim.owner_id
        assert isinstance(correct(night.desk, claim.tag, "maker", "Lantern Works"), Problem)
        assert isinstance(submit(night.desk, Submit(tag=claim.tag, reference="R-1")), Done)
        assert isinstance(correct(night.desk, claim.tag, "product", "Lantern Hoops"), Problem)
        assert names_for(night.desk, after, "product")[0] == "Lantern Hoops"

    def test_a_place_in_the_video_is_typed_as_the_player_shows_it(self, night: Night) -> None:
        claim = night.caught("marl")
        for text, seconds in (("1:02:03", 3723), ("12:30", 750)):
            assert isinstance(correct(night.desk, claim.tag, "video", text), Done)
            assert night.claim(claim.id).video_seconds == seconds
        assert said(night.claim(claim.id), "video") == "0:12:30"

    @pytest.mark.parametrize(
        ("field", "text"),
        [
            ("product", "nothing"),
            ("maker", ""),
            ("video", "noon"),
            ("subject", ""),
            ("serial", "x"),
            ("expires_on", "soon"),
            ("value", "much"),
            ("kind", "other"),
            ("tag", ""),
        ],
    )
    def test_what_cannot_be_is_refused_with_a_sentence(self, night: Night, field: str, text: str) -> None:
        claim = night.caught("marl")
        result = correct(night.desk, claim.tag, field, text)
        assert isinstance(result, Problem)
        assert result.sentence
        assert night.claim(claim.id) == claim

    def test_the_owner_stays_and_the_difference_is_said(self, night: Night) -> None:
        claim = night.caught("marl")
        done = correct(night.desk, claim.tag, "team", "River Otters")
        assert isinstance(done, Done)
        assert done.warnings
        assert night.claim(claim.id).owner_id == night.person("petrichor")

    def test_what_nobody_owned_yet_goes_to_whom_the_spots_say_by_one_action(self, night: Night) -> None:
        claim = night.caught("zed quill")
        assert claim.owner_kind == "nobody"
        done = correct(night.desk, claim.tag, "team", "River Otters")
        assert isinstance(done, Done)
        assert done.warnings == ("It belonged to nobody yet: now it is for whom the spots say.",)
        assert night.claim(claim.id).owner_id == night.person("odolind")
        assert isinstance(undo(night.desk, done.key), Done)
        assert night.claim(claim.id) == claim

    def test_a_tag_of_another_claim_is_refused(self, night: Night) -> None:
        first, second = night.caught("marl"), night.caught("oster")
        assert isinstance(correct(night.desk, second.tag, "tag", first.tag), Problem)

    def test_every_field_can_be_said(self, night: Night) -> None:
        claim = night.caught("marl 3/10 box 2 exp 3/27")
        assert all(isinstance(said(claim, field), str) for field in FIELDS)
