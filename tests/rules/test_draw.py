"""The fair draw: it can be checked by anyone, and no change to it goes unseen."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.draw import Draw, Receipt, Way, commitment, prepare, recheck, reveal, short

SECRET = "5d1f0c7e9a3b48d2a6c4e1f7b8390d5c"
LINES = st.text(min_size=1, max_size=12).filter(
    lambda text: any(symbol.isprintable() and symbol != " " for symbol in text)
)
WAYS: st.SearchStrategy[Way] = st.sampled_from(["winners", "order"])


@st.composite
def receipts(draw: st.DrawFn) -> Receipt:
    entries = draw(st.lists(LINES, min_size=1, max_size=8))
    places = draw(st.integers(1, len(entries)))
    prepared = prepare(draw(st.text(max_size=10)), draw(WAYS), entries, places)
    return reveal(prepared, SECRET, draw(st.lists(LINES, min_size=1, max_size=4)))


@settings(max_examples=100, deadline=None)
@given(receipts())
def test_a_receipt_is_read_back_and_proves_itself(receipt: Receipt) -> None:
    assert Receipt.from_text(receipt.to_text()) == receipt
    assert recheck(receipt).ok
    drawn, entries = Counter(receipt.result), Counter(receipt.draw.entries)
    assert len(receipt.result) == receipt.draw.places
    assert drawn <= entries


@settings(max_examples=50, deadline=None)
@given(receipts(), st.sampled_from(["title", "entry", "secret", "commitment", "words", "result"]))
def test_any_change_to_a_receipt_is_seen(receipt: Receipt, what: str) -> None:
    draw = receipt.draw
    changed = {
        "title": replace(receipt, draw=replace(draw, title=draw.title + "x")),
        "entry": replace(receipt, draw=replace(draw, entries=(draw.entries[0] + "x", *draw.entries[1:]))),
        "secret": replace(receipt, secret=receipt.secret + "x"),
        "commitment": replace(receipt, commitment=receipt.commitment[:-1] + "x"),
        "words": replace(receipt, words=()),
        "result": replace(receipt, result=(*receipt.result, "somebody else")),
    }[what]
    assert not recheck(changed).ok


def test_a_secret_that_is_too_short_is_named_when_checking() -> None:
    receipt = reveal(prepare("card", "winners", ["ann", "ben"]), SECRET, ["blue"])
    assert recheck(replace(receipt, secret="short")).doubts == (
        "The secret must be one line of at least 32 characters.",
    )


def test_words_and_their_order_change_the_result() -> None:
    draw = prepare("card", "order", [f"person {number}" for number in range(20)])
    results = {reveal(draw, SECRET, words).result for words in (["a", "b"], ["b", "a"], ["ab"], ["a b"], ["c"])}
    assert len(results) == 5


def test_every_entry_wins_about_as_often() -> None:
    draw = prepare("card", "winners", ["ann", "ben", "cy", "dee"])
    wins = Counter(reveal(draw, SECRET, [str(number)]).result[0] for number in range(4000))
    # Fixed input, so the same figure every time: chi-square, 3 degrees of freedom, below its 0.1 % point.
    assert sum((wins[name] - 1000) ** 2 / 1000 for name in draw.entries) < 16.27


def test_what_cannot_be_drawn_is_refused_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="nobody"):
        prepare("card", "winners", [])
    with pytest.raises(ValueError, match="empty"):
        prepare("card", "winners", ["ann", "\x07 "])
    with pytest.raises(ValueError, match="3 cannot be drawn from 2"):
        prepare("card", "winners", ["ann", "ben"], 3)
    with pytest.raises(ValueError, match="at most 65535"):
        prepare("card", "order", ["ann"] * 65_536)
    draw = prepare("card", "winners", ["ann", "ben"])
    with pytest.raises(ValueError, match="No word"):
        reveal(draw, SECRET, [" "])
    with pytest.raises(ValueError, match="at least 32"):
        commitment(draw, "short")


def test_text_from_outside_stays_on_its_line() -> None:
    draw = prepare("a\nb", "order", ["ann\x1b[31m", "  ben\u2028Result: 9 "])
    assert draw == Draw("a b", "order", ("ann [31m", "ben Result: 9"), 2)


def test_the_short_form_is_the_beginning_in_groups() -> None:
    digest = commitment(prepare("card", "winners", ["ann", "ben"]), SECRET)
    assert len(digest) == 64
    assert digest.startswith(short(digest).replace(" ", ""))
    assert [len(group) for group in short(digest).split()] == [4, 4, 4, 4]


def test_a_broken_receipt_is_refused_with_its_line() -> None:
    text = reveal(prepare("card", "winners", ["ann", "ben"]), SECRET, ["blue"]).to_text()
    lines = text.splitlines()
    breaks = {
        "should be “Breakdesk": lines[1:],
        "is missing": lines[:-1],
        "should end before": [*lines, "more"],
        "begin with “Title:”": [lines[0], *lines[2:]],
        "a number after “Places:”": [line.replace("Places: 1", "Places: one") for line in lines],
        "winners or order": [line.replace("Way: winners", "Way: best") for line in lines],
    }
    for part, broken in breaks.items():
        with pytest.raises(ValueError, match=part):
            Receipt.from_text("\n".join(broken))
