"""What holds for any line."""

from __future__ import annotations

import string
from collections.abc import Callable
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.entry import Lexicon, Reading, Readings, read
from breakdesk.rules.ownership import owner_of

Reader = Callable[..., Readings]
TODAY = date(2026, 6, 15)
PARTS = (
    "marl",
    "brandt",
    "o'dell",
    "garcia lopez",
    "jr",
    "kai",
    "quill",
    "herons",
    "fox",
    "gold",
    "cyan",
    "(blue)",
    "au",
    "patch",
    "rc",
    "tag",
    "logo",
    "box",
    "box topper",
    "printing plate",
    "/25",
    "/10",
    "7/25",
    "3/",
    "1/1",
    "one of one",
    "exp 3/27",
    "03/04/2027",
    "31 Mar 2027",
    "exp none",
    "box 3",
    "b4",
    "pick 2",
    "$120",
    "120 usd",
    "damage",
    "missing",
    "give",
    "@otis",
    "@petrichor",
    "@zzz",
    "tag 7K3M9A",
    "no team",
    '"give me"',
    "xyzzy",
    "SG-4",
    "stern",
    "/0",
    "exp 99/99",
)
# A bare word that would take a following figure for its own must not stand before one by accident.
GREEDY = {"box", "tag"}

TYPED = st.text(alphabet=string.ascii_letters + string.digits + " /.-@$\"'();,&+#éÅ\u0301\u200b\t", max_size=60)


def _saved(reading: Reading) -> tuple[object, ...]:
    """Everything a person would save; what is kept as it was typed has its words in any order."""
    fields = (
        reading.teams, reading.card_id, reading.product_id,  reading.numbered_to,
        reading.serial, reading.features, reading.expires_on, reading.box, reading.pick, reading.value, reading.kind,
        reading.plan, reading.tag, reading.named, reading.owner,
    )  # fmt: skip
    doubts = frozenset(doubt.word for doubt in reading.doubts)
    typed = (*reading.subjects.value, "|", reading.variation.value, "|", reading.note.value)
    certainties = (reading.subjects.certainty, reading.variation.certainty)
    return (*fields, [sorted(text.split()) for text in " ".join(typed).split("|")], certainties, doubts)


def _whole(readings: Readings) -> tuple[Reading, ...]:
    return (readings.best, *readings.runners_up)


@settings(max_examples=200, deadline=None)
@given(line=st.one_of(st.text(max_size=80), TYPED))
def test_any_text_gives_a_reading(typed: Reader, typed_early: Reader, line: str) -> None:
    for reader in (typed, typed_early):
        for reading in _whole(reader(line)):
            assert reading.why.endswith(".")
            assert all(doubt.word and doubt.sentence.endswith((".", "!")) for doubt in reading.doubts)
            assert all(field.text for field in reading.labelled())


@settings(max_examples=20, deadline=None)
@given(piece=TYPED)
def test_a_paste_of_any_length_is_read(typed: Reader, piece: str) -> None:
    assert typed(piece * 2000).best.why


@settings(max_examples=200, deadline=None)
@given(parts=st.lists(st.sampled_from(PARTS), max_size=7, unique=True), order=st.permutations(range(7)))
def test_the_order_of_the_parts_does_not_change_the_reading(
    lexicon: Lexicon, parts: list[str], order: list[int]
) -> None:
    last = [part for part in parts if part in GREEDY]
    first = [part for part in parts if part not in GREEDY]
    moved = [part for _, part in sorted(zip(order, first, strict=False))]
    line, other = " ".join(first + last), " ".join(moved + last)
    assert _saved(read(line, lexicon, today=TODAY).best) == _saved(read(other, lexicon, today=TODAY).best)


@settings(max_examples=150, deadline=None)
@given(parts=st.lists(st.sampled_from(PARTS), max_size=5, unique=True), order=st.permutations(range(6)))
def test_release_day_the_order_does_not_matter_either(release_day: Lexicon, parts: list[str], order: list[int]) -> None:
    parts = ["wendel oakes", *(part for part in parts if part not in GREEDY)]
    moved = [part for _, part in sorted(zip(order, parts, strict=False))]
    line, other = " ".join(parts), " ".join(moved)
    assert _saved(read(line, release_day, today=TODAY).best) == _saved(read(other, release_day, today=TODAY).best)


@settings(max_examples=200, deadline=None)
@given(line=st.one_of(TYPED, st.lists(st.sampled_from(PARTS), max_size=6).map(" ".join)))
def test_every_readings_owner_is_the_one_that_the_break_gives_it(
    lexicon: Lexicon, release_day: Lexicon, hit_draft: Lexicon, line: str
) -> None:
    for words in (lexicon, release_day, hit_draft):
        for reading in _whole(read(line, words, today=TODAY)):
            found = owner_of(reading.pull(), words.facts)
            assert reading.owner.value == found.owner
            assert set(found.doubts) <= set(reading.doubts)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_a_card_said_in_full_is_that_card(lexicon: Lexicon, data: st.DataObject) -> None:
    card = data.draw(st.sampled_from([one.card for one in lexicon.candidates if one.card]))
    parts = data.draw(st.permutations([*card.subjects, card.variation, *card.features, *card.teams]))
    run = f"/{card.numbered_to}" if card.numbered_to else ""
    # A card without features and print run is never a claim, so that it has to be said by its number.
    line = " ".join([*parts, run]) if card.features else card.card
    reading = read(line, lexicon, today=TODAY).best
    assert (reading.card_id.value, reading.card_id.certainty) == (card.id, "sure")


@pytest.mark.parametrize("line", ["a", "m", "/", "@", '"', "(", ";", "&", "exp", "box", "tag", "x", "$", "no", "1/1/1"])
def test_a_line_that_has_just_begun_is_read(typed: Reader, line: str) -> None:
    assert typed(line).best.why
