"""Lines as people type them, and what they mean."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest

from breakdesk.rules.break_facts import Card
from breakdesk.rules.entry import Kept, Lexicon, Reading, Readings, RecentClaim, code_in, read
from breakdesk.rules.money import Money
from breakdesk.rules.ownership import NO_TEAM, Owner

Reader = Callable[..., Readings]

HERONS, FOXES, OTTERS, OWLS, WOLVES = "Marsh Herons", "Dune Foxes", "Glass Otters", "Tin Owls", "Salt Wolves"
PETRA, OTIS, BEA = Owner.person(1), Owner.person(2), Owner.person(3)


def words(reading: Reading) -> list[str]:
    """The doubts' words."""
    return [doubt.word for doubt in reading.doubts]


@pytest.mark.parametrize(
    ("line", "card", "owner"),
    [
        ("marl", "SG-1", PETRA),
        ("MARLOWE", "SG-1", PETRA),
        ("k marl", "SG-1", PETRA),
        ("kai", "SG-1", PETRA),
        ("bra", "SG-4", OTIS),
        ("zoe", "SG-5", BEA),
        ("angstrom", "SG-5", BEA),
        ("Ångström", "SG-5", BEA),
        ("rey", "SG-5", BEA),
        ("garcia", "SG-6", BEA),
        ("lopez ana", "SG-6", BEA),
        ("garcialopez", "SG-6", BEA),
        ("moor", "SG-7", Owner.house()),
        ("van der moor", "SG-7", Owner.house()),
        ("vandermoor", "SG-7", Owner.house()),
        ("odell", "SG-8", Owner.house()),
        ("o'dell", "SG-8", Owner.house()),
        ("cj", "SG-11", BEA),
        ("c.j. marsh", "SG-11", BEA),
        ("pender jr", "SG-3", BEA),
        ("lou pender", "SG-2", OTIS),
        ("SG-6", "SG-6", BEA),
        ("sg6", "SG-6", BEA),
        ("tam patch", "SG-10", PETRA),
    ],
)
def test_a_fragment_of_a_name_finds_the_card_and_its_owner(
    typed: Reader, lexicon: Lexicon, line: str, card: str, owner: Owner
) -> None:
    best = typed(line).best
    assert card_number(best, lexicon) == card
    assert best.owner.value == owner
    assert words(best) == []


def card_number(reading: Reading, lexicon: Lexicon) -> str:
    """The checklist's number of the card that was read."""
    cards = (candidate.card for candidate in lexicon.candidates)
    return next((card.card for card in cards if card and card.id == reading.card_id.value), "")


@pytest.mark.parametrize(
    ("line", "variation", "run", "serial"),
    [
        ("marl /10", "Gold", 10, None),
        ("marl gold", "Gold", 10, None),
        ("marl gol", "Gold", 10, None),
        ("marl (gold)", "Gold", 10, None),
        ("marl 3/10", "Gold", 10, 3),
        ("3 of 10 marl", "Gold", 10, 3),
        ("marl 3/ gold", "Gold", 10, 3),
        ("marl patch", "", 25, None),
        ("brandt 1/1", "Printing Plate Cyan", 1, 1),
        ("brandt /1", "Printing Plate Cyan", 1, 1),
        ("brandt one of one", "Printing Plate Cyan", 1, 1),
        ("brandt plate", "Printing Plate Cyan", 1, 1),
        ("brandt printing plate", "Printing Plate Cyan", 1, 1),
        ("cyan bra", "Printing Plate Cyan", 1, 1),
        ("marl bra", "", 15, None),
    ],
)
def test_the_checklist_fills_in_what_the_line_leaves_out(
    typed: Reader, line: str, variation: str, run: int | None, serial: int | None
) -> None:
    best = typed(line).best
    assert (best.variation.value, best.numbered_to.value, best.serial.value) == (variation, run, serial)
    assert best.card_id.certainty == "sure"
    assert words(best) == []


@pytest.mark.parametrize(
    ("line", "card"),
    [
        ("quill tag", "TG-9"),
        ("quill logo", "LG-9"),
        ("quill box", "BT-9"),
        ("quill box topper", "BT-9"),
        ("quill box 3 tag", "TG-9"),
        ("quill logo tag 7K3M9A", "LG-9"),
    ],
)
def test_tag_logo_and_box_are_words_on_cards_unless_a_number_follows(
    typed: Reader, lexicon: Lexicon, line: str, card: str
) -> None:
    best = typed(line).best
    assert card_number(best, lexicon) == card
    assert best.box.value == (3 if "box 3" in line else None)
    assert best.tag.value == ("7K3M9A" if "7K3" in line else "")


def test_a_card_of_two_teams_belongs_to_several(typed: Reader) -> None:
    best = typed("marl bra").best
    assert best.subjects.value == ("Kai Marlowe", "Jo Brandt")
    assert best.owner.value == Owner.several([1, 2])


def test_what_is_not_typed_is_taken_not_to_be_there_and_the_others_are_runners_up(typed: Reader) -> None:
    readings = typed("marl")
    assert (readings.best.variation.value, readings.best.variation.certainty) == ("", "likely")
    assert readings.best.subjects.certainty == "sure"
    assert {(other.variation.value, other.numbered_to.value) for other in readings.runners_up} >= {
        ("Blue", 99),
        ("Gold", 10),
        ("", 25),
    }


def test_two_players_that_fit_as_well_look_unsure(typed: Reader) -> None:
    readings = typed("mar")
    assert readings.best.subjects.certainty == "unsure"
    assert readings.best.owner.certainty == "unsure"
    assert "which player" in words(readings.best)
    assert {"Kai Marlowe", "C.J. Marsh"} <= {
        subject for reading in (readings.best, *readings.runners_up) for subject in reading.subjects.value
    }


def test_father_and_son_are_never_chosen_silently(typed: Reader) -> None:
    assert "which player" in words(typed("pender").best)


@pytest.mark.parametrize(
    "line", ["marlwoe", "marlpwe", "mralowe", "kai marlow3", "brnadt", "angstorm", "lopes", "mrlowe"]
)
def test_a_slip_is_forgiven_and_said(typed: Reader, line: str) -> None:
    best = typed(line).best
    assert best.card_id.value is not None
    assert "spelling" in words(best)
    assert best.subjects.certainty == "likely"
    assert best.owner.certainty != "sure"


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("marl /50", "print run"),
        ("bra /25", "print run"),
        ("marl 30/25", "serial"),
        ("marl 0/25", "serial"),
        ("stern", "no spot"),
        ("marl wolves", "team"),
        ("marl rel", "features"),
        ("marl (lantern)", "variation"),
        ("marl xyz", "left over"),
        ("pip larkin", "not listed"),
        ("marl exp 1/20", "expired"),
        ("marl 03/04/2027", "date"),
        ("marl exp 27/3", "date"),
        ("marl exp", "date"),
        ("marl @whoever", "handle"),
        ("marl @otisopens", "other owner"),
        ("marl /10 /25", "print run"),
        ("marl exp 3/27 exp 4/27", "date"),
        ("marl $1.2345", "value"),
        ("marl /0", "print run"),
        ("her", "player"),
        ("teller", "team"),
    ],
)
def test_nothing_is_guessed_silently(typed: Reader, line: str, word: str) -> None:
    assert word in words(typed(line).best)


def test_a_day_is_written_in_words(typed: Reader) -> None:
    assert "The card expired on 31 January 2020." in [doubt.sentence for doubt in typed("marl exp 1/20").best.doubts]


def test_a_relative_with_the_same_surname_is_not_taken_for_the_listed_player(typed: Reader) -> None:
    best = typed("wendel marlowe au").best
    assert best.subjects.value == ("Wendel Marlowe",)
    assert best.card_id.value is None
    assert "not listed" in words(best)


@pytest.mark.parametrize("line", ["marlowe exp 3/27 missing", "marlowe $40 damage @petrichor", "marlowe patch 3/25"])
def test_the_card_stays_while_the_rest_of_the_line_is_typed(typed: Reader, line: str) -> None:
    for length in range(len("marlowe"), len(line) + 1):
        assert typed(line[:length]).best.subjects.value == ("Kai Marlowe",), line[:length]


def test_a_team_alone_finds_the_owner_of_a_player_to_be_named_later(typed: Reader) -> None:
    best = typed("herons au").best
    assert (best.subjects.value, best.teams.value, best.owner.value) == ((), (HERONS,), PETRA)
    assert best.features.value == ("autograph",)


def test_a_team_tells_two_players_apart(typed: Reader) -> None:
    assert typed("mar otters").best.subjects.value == ("C.J. Marsh",)
    assert typed("mar her").best.subjects.value == ("Kai Marlowe",)


def test_a_card_without_a_team_can_be_said(typed: Reader) -> None:
    best = typed("teller no team").best
    assert (best.teams.value, best.owner.value) == ((NO_TEAM,), Owner.house())


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("exp 3/27", date(2027, 3, 31)),
        ("x3/27", date(2027, 3, 31)),
        ("exp: 02/2028", date(2028, 2, 29)),
        ("expires 2027-03", date(2027, 3, 31)),
        ("03/31/2027", date(2027, 3, 31)),
        ("31/03/2027", date(2027, 3, 31)),
        ("3/31/27", date(2027, 3, 31)),
        ("2027-03-31", date(2027, 3, 31)),
        ("31 Mar 2027", date(2027, 3, 31)),
        ("March 31, 2027", date(2027, 3, 31)),
        ("mar 2027", date(2027, 3, 31)),
        ("04/04/2027", date(2027, 4, 4)),
        ("exp none", None),
    ],
)
def test_expiry_as_printed_or_iso(typed: Reader, text: str, day: date | None) -> None:
    best = typed(f"brandt {text}", Kept(expires_on=date(2026, 12, 31))).best
    assert (best.expires_on.value, best.expires_on.certainty) == (day, "sure")
    assert best.subjects.value == ("Jo Brandt",)
    assert words(best) == []


def test_a_date_that_can_be_read_both_ways_is_month_first_and_the_other_is_the_runner_up(typed: Reader) -> None:
    readings = typed("brandt 03/04/2027")
    assert readings.best.expires_on.value == date(2027, 3, 4)
    assert readings.best.expires_on.certainty == "unsure"
    assert readings.runners_up[0].expires_on.value == date(2027, 4, 3)
    assert readings.runners_up[0].card_id == readings.best.card_id
    kept = Kept(expires_on=date(2027, 3, 4))
    assert words(typed("brandt 03/04/2027", kept).best) == []


def test_product_box_and_expiry_are_kept_until_said_anew(typed: Reader) -> None:
    kept = Kept(product_id=1, box=4, expires_on=date(2027, 1, 31))
    best = typed("marl", kept).best
    assert (best.box.value, best.box.origin) == (4, "kept")
    assert (best.expires_on.value, best.expires_on.origin) == (date(2027, 1, 31), "kept")
    for line in ("marl box 5", "b5 marl", "marl box #5", "bx5 marl"):
        assert typed(line, kept).best.box.value == 5


@pytest.mark.parametrize(
    ("text", "money"),
    [
        ("$120", Money(12000, "USD")),
        ("$1,250.50", Money(125050, "USD")),
        ("120 usd", Money(12000, "USD")),
        ("120usd", Money(12000, "USD")),
        ("eur 45.5", Money(4550, "EUR")),
        ("£30", Money(3000, "GBP")),
    ],
)
def test_values(typed: Reader, text: str, money: Money) -> None:
    best = typed(f"marl {text}").best
    assert best.value.value == money
    assert best.card_id.value == 1


@pytest.mark.parametrize(
    ("line", "kind", "plan"),
    [
        ("marl", "redemption", "submit"),
        ("marl damage", "damage", "submit"),
        ("dmg marl", "damage", "submit"),
        ("marl missing", "shortage", "submit"),
        ("marl give", "redemption", "give"),
    ],
)
def test_kinds_and_plans(typed: Reader, line: str, kind: str, plan: str) -> None:
    best = typed(line).best
    assert (best.kind.value, best.plan.value, best.card_id.value) == (kind, plan, 1)


def test_a_missing_hit_names_no_player(typed: Reader) -> None:
    best = typed("missing hit box 3").best
    assert (best.kind.value, best.subjects.value, best.box.value) == ("shortage", (), 3)


def test_quotes_make_plain_text_and_a_semicolon_starts_the_note(typed: Reader) -> None:
    assert typed('"patch"').best.subjects.value == ("Tam Patch",)
    assert typed('"missing /25 box 3"').best.subjects.value == ("missing /25 box 3".title(),)
    assert typed('"missing /25 box 3"').best.kind.value == "redemption"
    best = typed('marl /10; corner "soft", box 9').best
    assert (best.note.value, best.box.value, best.card_id.value) == ('corner "soft", box 9', None, 3)


@pytest.mark.parametrize("line", ["marl @petrichor", "@pet marl", "marl @petrychor", "marl @PETRA"])
def test_an_owner_named_by_handle(typed: Reader, line: str) -> None:
    best = typed(line).best
    assert best.named.value == (1,)
    assert best.owner.value == PETRA
    assert words(best) == []


def test_people_of_the_break_come_before_others_with_a_like_handle(typed_in_draft: Reader) -> None:
    best = typed_in_draft("bra @otis").best
    assert (best.owner.value, best.owner.certainty) == (OTIS, "likely" if best.named.certainty == "likely" else "sure")
    assert words(best) == []


def test_a_hit_draft_takes_a_handle_a_pick_or_a_handle_typed_in_full(typed_in_draft: Reader) -> None:
    assert words(typed_in_draft("bra").best) == ["owner"]
    assert typed_in_draft("bra").best.owner.value == Owner.nobody()
    assert typed_in_draft("bra pick 3").best.owner.value == BEA
    assert typed_in_draft("bra beeline").best.owner.value == BEA
    assert typed_in_draft("bra @bee @pet").best.owner.value == Owner.several([1, 3])


def test_the_same_card_as_two_minutes_ago_is_said(typed: Reader) -> None:
    now = datetime(2026, 6, 16, 1, 0, tzinfo=UTC)

    def claim(serial: int | None, minutes: int) -> tuple[RecentClaim]:
        return (
            RecentClaim(
                card_id=3,
                subjects=("Kai Marlowe",),
                variation="Gold",
                numbered_to=10,
                serial=serial,
                pulled_at=now - timedelta(minutes=minutes),
            ),
        )

    assert "again" in words(typed("marl /10", now=now, recent=claim(None, 2)).best)
    assert "again" in words(typed("marl 3/10", now=now, recent=claim(3, 2)).best)
    assert words(typed("marl 4/10", now=now, recent=claim(3, 2)).best) == []
    assert words(typed("marl", now=now, recent=claim(None, 2)).best) == []
    assert words(typed("marl /10", now=now, recent=claim(None, 30)).best) == []


def test_release_day_a_known_players_team_finds_the_owner_with_doubt(typed_early: Reader) -> None:
    best = typed_early("marl au /25").best
    assert best.subjects.value == ("Kai Marlowe",)
    assert (best.teams.value, best.teams.origin, best.teams.certainty) == ((HERONS,), "older", "likely")
    assert (best.owner.value, best.owner.certainty) == (PETRA, "likely")
    assert words(best) == ["older list"]


def test_release_day_a_player_on_two_teams_is_unsure_until_the_team_is_said(typed_early: Reader) -> None:
    readings = typed_early("rover au")
    assert words(readings.best) == ["two teams", "older list"]
    assert (readings.best.teams.value, readings.best.owner.certainty) == ((OWLS,), "unsure")
    assert readings.runners_up[0].teams.value == (WOLVES,)
    said = typed_early("rover wol au").best
    assert (said.teams.value, said.owner.value, words(said)) == ((WOLVES,), Owner.house(), [])
    moved = typed_early("rover fox").best
    assert (moved.teams.value, moved.owner.value) == ((FOXES,), OTIS)


def test_release_day_unknown_names_are_free_text(typed_early: Reader) -> None:
    best = typed_early("pip o'larkin-reyes rc au gold 3/25 fox box 2").best
    assert best.subjects.value == ("Pip O'Larkin-Reyes",)
    assert best.teams.value == (FOXES,)
    assert best.features.value == ("autograph", "rookie")
    assert (best.variation.value, best.serial.value, best.numbered_to.value, best.box.value) == ("Gold", 3, 25, 2)
    assert best.owner.value == OTIS
    assert typed_early("Pip McLarkin").best.subjects.value == ("Pip McLarkin",)


def test_release_day_variations_from_older_lists_and_in_brackets(typed_early: Reader) -> None:
    assert typed_early("pip larkin lantern").best.variation.value == "Lantern"
    best = typed_early("pip larkin (left over stars)").best
    assert (best.subjects.value, best.variation.value) == (("Pip Larkin",), "Left Over Stars")


def test_release_day_several_players(typed_early: Reader) -> None:
    best = typed_early("marl + pip larkin au her fox").best
    assert best.subjects.value == ("Kai Marlowe", "Pip Larkin")
    assert best.teams.value == (FOXES, HERONS)
    assert best.owner.value == Owner.several([1, 2])
    known = typed_early("marl & rover").best
    assert known.subjects.value == ("Kai Marlowe", "Dee Rover")
    assert "older list" in words(known)


def test_fields_are_labelled_for_the_screen(typed: Reader) -> None:
    kept = Kept(product_id=1, box=4, expires_on=date(2027, 1, 31))
    labelled = {field.label: field.text for field in typed("marl 3/10 $40 dmg; soft corner", kept).best.labelled()}
    assert labelled == {
        "player": "Kai Marlowe",
        "team": HERONS,
        "variation": "Gold",
        "print run": "/10",
        "serial": "3",
        "features": "auto",
        "expires": "2027-01-31",
        "box": "4",
        "value": "40.00 USD",
        "kind": "damage",
        "note": "soft corner",
    }


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("ABCD-1234", "ABCD-1234"),
        ("marl mossbank-1000-quartz", "mossbank-1000-quartz"),
        ("AB12 CD34 herons EF56", "AB12 CD34 EF56"),
        ("40718253", "40718253"),
        *((line, "") for line in ("marl 3/10 x3/27 b2 $45.50", "sg6", "SG-6", "tag LBL-0042 marl", "marl 2027-03-31")),
        *((line, "") for line in ("@kenji1984x marl", "2024-25 marl", "marl 7K3M9A", "quartz", "marl (gold 2025 x12)")),
    ],
)
def test_a_code_in_the_line_is_told_from_what_a_line_says(lexicon: Lexicon, line: str, code: str) -> None:
    assert code_in(line, lexicon) == code
    assert code_in(line, None) in (code, line)


def test_a_given_name_of_two_words_may_be_written_as_one() -> None:
    cards = (Card(id=1, product_id=1, card="SG-1", subjects=("Sung-min Baek",), teams=(HERONS,), features=("auto",)),)
    lexicon = Lexicon.build(None, cards, ())
    for line in ("sungmin", "sung min", "sung-min", "baek sungm"):
        assert read(line, lexicon, today=date(2026, 6, 15)).best.card_id.value == 1, line


def test_a_particle_beside_other_words_is_no_beginning_of_a_name() -> None:
    cards = (Card(id=1, product_id=1, card="SG-1", subjects=("Nico Dell'Acqua",), teams=(HERONS,)),)
    lexicon = Lexicon.build(None, cards, ())
    assert read("de la cruz", lexicon, today=date(2026, 6, 15)).best.subjects.value == ("De La Cruz",)
    assert read("dell", lexicon, today=date(2026, 6, 15)).best.card_id.value == 1


def test_a_label_of_ours_needs_no_word_before_it(typed: Reader) -> None:
    for line in ("marl 7K3M9A", "7k3m9a marl"):
        best = typed(line).best
        assert (best.tag.value, best.subjects.value) == ("7K3M9A", ("Kai Marlowe",))
    assert typed("marl 7K3M9C").best.tag.value == ""


def test_an_empty_line_is_an_empty_reading(typed: Reader) -> None:
    best = typed("   ").best
    assert (best.subjects.value, best.teams.value, best.card_id.value) == ((), (), None)
    assert best.owner.value == Owner.nobody()


def test_another_product_is_said(typed: Reader) -> None:
    assert "product" in words(typed("marl", Kept(product_id=2)).best)
    assert OTTERS in typed("zoe").best.teams.value
