"""Text from outside, checked on the bytes of every output."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from datetime import UTC, date, datetime
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from breakdesk.files.messages import wording
from breakdesk.files.messages.channels import KINDS, Channel, Message, shape
from breakdesk.files.messages.composing import answer_message, ask_message, tell_message
from breakdesk.files.messages.eml import Envelope, eml_bytes
from breakdesk.files.messages.plain import plain_line, plain_text
from breakdesk.files.messages.sources import TONES
from breakdesk.files.messages.views import AnswerClaim, AnswerView, AskReference, AskView, NewsGroup

NASTY = [
    "{{ 7 * 7 }}",
    "{% for x in needs %}{{ x }}{% endfor %}",
    "{# hidden #}",
    "<b>bold</b> & [red]markup[/red]",
    "\x1b[31mred\x1b]52;c;QUJD\x07",
    "\x9b31m\x90q\x9c",
    "\u202egnp.drac\u202c \u2066x\u2069 \u200e\u200f",
    "a\r\nBcc: other@example.org\r\n\r\nbody",
    "a\u2028b\u2029c\x85d\x0be\x0cf",
    "=1+1\t+2-3@x",
    "\ud800\ufffe\ufeff\x00\x7f\U000e0041",
]
HOSTILE = st.one_of(st.sampled_from(NASTY), st.text(alphabet=st.characters(), max_size=30))
FORBIDDEN = set("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029\ufeff")
SETTINGS = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def assert_harmless(message: Message) -> None:
    for text in (*message.parts, message.subject or "", message.shorter or ""):
        assert not FORBIDDEN & set(text)
        assert all(c == "\n" or unicodedata.category(c) not in ("Cc", "Cs") for c in text)
        text.encode("utf-8")
    assert "\n" not in (message.subject or "")
    assert message.warnings == () or message.channel == "sms"


@SETTINGS
@given(HOSTILE, HOSTILE, st.sampled_from(list(wording.NEWS)), st.sampled_from(KINDS), st.sampled_from(TONES))
def test_a_telling_holds_nothing_that_acts(
    samples: SimpleNamespace, what: str, name: str, word: str, kind: str, tone: str
) -> None:
    claims = samples.cards(what, what + "2", offer_what=name, tracking=name, note=what, outlook=name, product=what)
    view = samples.telling(
        participant_name=name,
        handle=what,
        on_air_name=what,
        house_name=name,
        language=what,
        news=(NewsGroup(word=word, claims=claims),),
        needs=(replace(samples.CHOOSE, what=what, offer_what=name),),
        waiting=claims,
    )
    assert_harmless(tell_message(view, tone, Channel(kind)))


@SETTINGS
@given(HOSTILE, HOSTILE, st.sampled_from(KINDS))
def test_asks_and_answers_hold_nothing_that_acts(what: str, name: str, kind: str) -> None:
    references = (AskReference(reference=name, what=what, submitted_on=date(2026, 1, 5)),)
    ask = AskView(maker=name, account=what, house_name=name, references=references)
    assert_harmless(ask_message(ask, channel=Channel(kind)))
    claim = AnswerClaim(tag=name, what=what, state=what, product=name, last_told_text=what, next_step=what)
    answer = AnswerView(participant_name=name, house_name=what, claims=(claim,))
    assert_harmless(answer_message(answer, channel=Channel(kind)))


@SETTINGS
@given(HOSTILE, HOSTILE, HOSTILE)
def test_no_text_adds_a_header_to_an_email(subject: str, name: str, body: str) -> None:
    envelope = Envelope(
        from_name=name,
        from_address="desk@example.org",
        to_name=subject,
        to_address="ana@example.com",
        written_at=datetime(2026, 7, 3, 12, tzinfo=UTC),
    )
    data = eml_bytes(shape(body, Channel("email"), subject=subject), envelope)
    assert isinstance(data, bytes)
    head, _, _ = data.partition(b"\r\n\r\n")
    names = [line.split(b":")[0] for line in head.split(b"\r\n") if line[:1] not in (b" ", b"\t")]
    assert sorted(names) == sorted(
        [
            b"X-Unsent",
            b"Date",
            b"From",
            b"To",
            b"Subject",
            b"Content-Type",
            b"MIME-Version",
            b"Content-Transfer-Encoding",
        ]
    )
    assert data.isascii()
    assert b"\x1b" not in data
    assert b"\n" not in data.replace(b"\r\n", b"")


@pytest.mark.parametrize("template", ["{{ 7 * 7 }}", "{% raw %}", "{# x #}", "{{ house }}"])
def test_template_syntax_in_data_stays_as_it_was_typed(samples: SimpleNamespace, template: str) -> None:
    for kind in KINDS:
        assert template in tell_message(samples.news("in_hand", template), "warm", Channel(kind)).text


def test_plain_lines_and_texts() -> None:
    assert plain_line(" a\r\n b\tc\x1b[1m \u202ed ") == "a b c[1m d"
    assert plain_line("Zoë 😀 👩‍🎨") == "Zoë 😀 👩‍🎨"
    assert plain_text("a  \r\n\r\n\r\nb\x07\rc\u2028d\n") == "a\n\nb\nc d"
