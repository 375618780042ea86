"""Draft files: what they hold, and the addresses that are refused."""

from __future__ import annotations

import email
import email.policy
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.messages.channels import Channel, channel_for, shape, shortened
from breakdesk.files.messages.eml import Envelope, MailProblem, eml_bytes, mail_address, mail_message

LETTER = shape("Hello Ana,\n\nZoë’s card is here 😀.", Channel("email"), subject="News: Zoë’s card")


def envelope(to_address: str = "ana@example.com", to_name: str = "Ana Lindqvist, Jr.") -> Envelope:
    return Envelope(
        from_name="Corner Table Breaks",
        from_address="desk@example.org",
        to_name=to_name,
        to_address=to_address,
        written_at=datetime(2026, 7, 3, 12, 30, tzinfo=UTC),
    )


def test_a_draft_reads_back_as_it_was_written() -> None:
    data = eml_bytes(LETTER, envelope())
    assert isinstance(data, bytes)
    mail = email.message_from_bytes(data, policy=email.policy.default)
    assert mail["X-Unsent"] == "1"
    assert mail["Subject"] == "News: Zoë’s card"
    assert [(a.display_name, a.addr_spec) for a in mail["To"].addresses] == [("Ana Lindqvist, Jr.", "ana@example.com")]
    assert mail["Date"].datetime == datetime(2026, 7, 3, 12, 30, tzinfo=UTC)
    assert mail.get_content().replace("\r\n", "\n") == LETTER.text + "\n"


@pytest.mark.parametrize(
    "address",
    [
        "",
        "ana",
        "@example.com",
        "ana@",
        "ana@localhost",
        "a b@example.com",
        "ana@example.com\r\nBcc: other@example.org",
        "ana@example.com\nBcc: other@example.org",
        "ana@example.com, other@example.org",
        "<ana@example.com>",
        "ana@exa\x00mple.com",
        "ana@-example.com",
        "ana..l@example.com",
        "anä@example.com",
        "ana\u202e@example.com",
        "x" * 65 + "@example.com",
        "ana@" + ".".join(["x" * 60] * 5) + ".com",
    ],
)
def test_an_address_that_is_none_is_refused_in_one_sentence(address: str) -> None:
    problem = eml_bytes(LETTER, envelope(address))
    assert isinstance(problem, MailProblem)
    assert "\n" not in problem.sentence
    assert "\r" not in problem.sentence


def test_a_domain_in_another_script_is_written_in_ascii() -> None:
    address = mail_address("", "ana@bücher.example")
    assert not isinstance(address, MailProblem)
    assert address.addr_spec == "ana@xn--bcher-kva.example"


def test_channels_are_known_by_the_words_people_write() -> None:
    words = {"E-mail": "email", "SMS": "sms", "text message": "sms", "chat": "direct", "": "direct", "public": "public"}
    assert {word: channel_for(word).kind for word in words} == words
    assert channel_for("chat", limit=5).limit == 100


def test_a_long_subject_is_shortened_between_words() -> None:
    assert shortened("one two three four five six seven", 24) == "one two three four..."
    assert shortened("short", 24) == "short"


_HEADER_TEXT = st.one_of(
    st.text(max_size=120),
    st.text(st.sampled_from("aZ09 -_.,:;()<>@\"\\'=?é "), max_size=120),
    st.sampled_from(["=?utf-8?q?x?=", "a  b", "News: 3 cards, here", "x" * 70, "word " * 16]),
)


@given(_HEADER_TEXT, _HEADER_TEXT, st.text(max_size=400))
@settings(max_examples=200, deadline=None)
def test_the_bytes_put_together_by_hand_are_those_of_the_standard_library(subject: str, name: str, body: str) -> None:
    message = shape(body, Channel("email"), subject=subject)
    to = replace(envelope(to_name=name), from_name=name)
    mail = mail_message(message, to)
    assert not isinstance(mail, MailProblem)
    assert eml_bytes(message, to) == mail.as_bytes()
