"""A participant's page: one file, nothing that runs, nothing from elsewhere, readable in order."""

from __future__ import annotations

from datetime import date
from html.parser import HTMLParser
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.messages.plain import plain_line
from breakdesk.files.person_page import PageClaim, PersonPage, page_html
from breakdesk.rules.days import Age

DAY = date(2026, 3, 2)
VOID = frozenset({"meta", "br", "link", "img", "input", "hr"})


class Outline(HTMLParser):
    """Every tag with what it says; fails where tags are not closed in order."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.stack: list[str] = []
        self.said: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.stack.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.stack.pop() == tag

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.said.append((self.stack[-1], data.strip()))


def outline(html: str) -> Outline:
    found = Outline()
    found.feed(html)
    found.close()
    assert found.stack == []
    return found


def claim(**facts: Any) -> PageClaim:
    given_facts = {
        "tag": "K1", "what": "Kit Moor Gold /25", "product": "Tern One", "state": "sent in, waiting for the maker",
        "since": DAY, "age": Age(40, 1, 9), "next_step": "we may ask the maker from", "next_day": DAY,
    } | facts  # fmt: skip
    return PageClaim(**given_facts)


def page(**facts: Any) -> PersonPage:
    given_facts = {"house": "The Corner", "name": "ada_f", "on": DAY, "needs": (), "claims": (claim(),)} | facts
    return PersonPage(**given_facts)


def test_it_is_one_document_with_a_language_a_title_and_one_heading() -> None:
    found = outline(page_html(page(needs=("Please confirm the address.",))))
    names = [tag for tag, _ in found.tags]
    assert dict(found.tags)["html"] == {"lang": "en"}
    assert names.count("h1") == names.count("main") == names.count("title") == 1
    assert "width=device-width, initial-scale=1" in [attrs.get("content") for tag, attrs in found.tags if tag == "meta"]
    levels = [int(name[1]) for name in names if len(name) == 2 and name[0] == "h" and name[1].isdigit()]
    assert levels == [1, 2, 2, 3]
    labels = {attrs["id"] for _, attrs in found.tags if "id" in attrs}
    assert {attrs["aria-labelledby"] for _, attrs in found.tags if "aria-labelledby" in attrs} == labels


def test_nothing_in_it_runs_or_asks_a_server() -> None:
    html = page_html(page())
    found = outline(html)
    assert {tag for tag, _ in found.tags} & {"script", "link", "img", "iframe", "object", "form", "a", "base"} == set()
    for _, attrs in found.tags:
        assert not any(name.startswith("on") or name in ("src", "href", "style") for name in attrs)
    assert "url(" not in html
    assert "@import" not in html
    assert "://" not in html
    policy = [attrs for tag, attrs in found.tags if attrs.get("http-equiv") == "Content-Security-Policy"]
    assert str(policy[0]["content"]).startswith("default-src 'none'")


def test_what_it_says() -> None:
    html = page_html(page(next_update=DAY, claims=(claim(outlook="Half come within 60 days.", tracking="RA1"),)))
    text = " ".join(said for _, said in outline(html).said)
    for words in ("Kit Moor Gold /25", "1 month, 9 days", "Half come within 60 days.", "RA1", "Monday 2 March 2026",
                  "You hear from us again by", "1 card is owed to you."):  # fmt: skip
        assert words in text
    assert "Nothing is owed to you now." in page_html(page(claims=()))


@pytest.mark.parametrize("age", [Age(0, 0, 0), Age(1, 0, 1), Age(31, 1, 0)])
def test_ages_are_words(age: Age) -> None:
    html = page_html(page(claims=(claim(age=age),)))
    assert any(words in html for words in ("since today", "1 day,", "1 month,"))


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60), st.text(max_size=60))
def test_text_from_outside_is_never_markup(name: str, what: str) -> None:
    hostile = f"<script>alert(1)</script>\"'&{what}"
    html = page_html(page(name=name + "</title><img src=x onerror=y>", claims=(claim(what=hostile),), needs=(hostile,)))
    found = outline(html)
    assert [tag for tag, _ in found.tags] == [tag for tag, _ in outline(page_html(page(needs=("Please.",)))).tags]
    assert plain_line(hostile) in [said for tag, said in found.said if tag in ("li", "h3")]
