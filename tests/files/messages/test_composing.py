"""One message a participant: every news word, plurals, order, languages, channels."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest

from breakdesk.files.messages import wording
from breakdesk.files.messages.channels import EMAIL, KINDS, PUBLIC, SMS, Channel
from breakdesk.files.messages.composing import answer_text, ask_message, public_post, tell_message
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import (
    AnswerClaim,
    AnswerView,
    AskReference,
    AskView,
    NewsGroup,
    PublicLine,
    PublicView,
)
from breakdesk.rules.claim import CLOSINGS, STATES

ONE = {
    "pulled": "We pulled a claim card for you on Saturday 3 January 2026: Ilvo Marrin, from Harbor Prime.",
    "submitted": "Your claim for Ilvo Marrin went in to the maker on Monday 5 January 2026.",
    "offered": "The maker offers Tove Aldan in place of Ilvo Marrin, and wants an answer by Friday 3 July 2026.",
    "refused": "We are sorry: the maker will not send Ilvo Marrin.",
    "in_hand": "Ilvo Marrin has arrived here and is waiting to go out to you.",
    "shipped": "Ilvo Marrin is on its way to you, tracking number RA473124829GB.",
    "owner": "Ilvo Marrin has changed hands. The maker waits for a signature.",
    "refunded": "We have refunded you for Ilvo Marrin: $12.50.",
    "credited": "We have given you a credit for Ilvo Marrin: $12.50.",
    "replaced": "We have replaced Ilvo Marrin by Tove Aldan.",
    "bought_out": "We have bought Ilvo Marrin from you for $12.50.",
    "terms": "Under the terms of the break, Ilvo Marrin is closed.",
    "unclaimed": "We could not reach you about Ilvo Marrin, so it is closed for now.",
    "address": "Ilvo Marrin can go out as soon as you tell us that the address you gave us is still right.",
    "delivery": "Has Ilvo Marrin reached you (tracking number RA473124829GB)?",
    "noted": "About Ilvo Marrin: The maker waits for a signature.",
    "waiting": "Still with the maker since Monday 5 January 2026: Ilvo Marrin.",
}
FEW = {
    "pulled": "We pulled 3 claim cards for you on Saturday 3 January 2026: Ilvo Marrin, Tove Aldan and Red Bram.",
    "submitted": "Your claims for Ilvo Marrin, Tove Aldan and Red Bram went in to the maker on Monday 5 January 2026.",
    "offered": "The maker offers replacements for 3 of your cards:\n- Tove Aldan in place of Ilvo Marrin, answer",
    "refused": "We are sorry: the maker will not send Ilvo Marrin, Tove Aldan and Red Bram.",
    "in_hand": "Ilvo Marrin, Tove Aldan and Red Bram have arrived here and are waiting to go out to you.",
    "shipped": "Ilvo Marrin, Tove Aldan and Red Bram are on their way to you in one parcel, tracking number RA47",
    "owner": "Ilvo Marrin, Tove Aldan and Red Bram have changed hands.",
    "refunded": "We have refunded you for Ilvo Marrin, Tove Aldan and Red Bram, $12.50 each.",
    "credited": "We have given you a credit for Ilvo Marrin, Tove Aldan and Red Bram, $12.50 each.",
    "replaced": "We have replaced 3 cards, and with that they are settled between us:\n- Ilvo Marrin, replaced by Tove",
    "bought_out": "We have bought Ilvo Marrin, Tove Aldan and Red Bram from you for $12.50 each.",
    "terms": "Under the terms of the break, Ilvo Marrin, Tove Aldan and Red Bram are closed.",
    "unclaimed": "We could not reach you about Ilvo Marrin, Tove Aldan and Red Bram, so they are closed for now.",
    "address": "Ilvo Marrin, Tove Aldan and Red Bram can go out as soon as you tell us",
    "delivery": "Have Ilvo Marrin, Tove Aldan and Red Bram reached you?",
    "noted": "About Ilvo Marrin, Tove Aldan and Red Bram: The maker waits for a signature.",
    "waiting": "Still with the maker since Monday 5 January 2026: Ilvo Marrin, Tove Aldan and Red Bram.",
}


def test_the_tables_name_every_word() -> None:
    assert set(ONE) == set(FEW) == set(wording.NEWS)


@pytest.mark.parametrize("word", wording.NEWS)
def test_one_card_reads_as_one(word: str, samples: SimpleNamespace) -> None:
    assert ONE[word] in tell_message(samples.news(word, "Ilvo Marrin")).text


@pytest.mark.parametrize("word", wording.NEWS)
def test_a_few_cards_read_as_a_phrase(word: str, samples: SimpleNamespace) -> None:
    assert FEW[word] in tell_message(samples.news(word, "Ilvo Marrin", "Tove Aldan", "Red Bram")).text


@pytest.mark.parametrize("tone", ["warm", "brief"])
@pytest.mark.parametrize("word", wording.NEWS)
def test_many_cards_read_as_a_list_with_every_card_once(word: str, tone: str, samples: SimpleNamespace) -> None:
    names = [f"Card {letter}" for letter in "ABCDEFG"]
    lines = tell_message(samples.news(word, *names, offer_what="Red Bram"), tone).text.splitlines()
    for name in names:
        assert sum(name in line for line in lines) == 1


def test_cards_sent_in_two_parcels_each_keep_their_number(samples: SimpleNamespace) -> None:
    first, second = samples.cards("Ilvo Marrin", "Tove Aldan")
    view = samples.telling(news=(NewsGroup(word="shipped", claims=(first, replace(second, tracking="ZZ1"))),))
    assert "- Ilvo Marrin, tracking number RA473124829GB\n- Tove Aldan, tracking number ZZ1" in tell_message(view).text


def test_what_the_participant_must_do_comes_first_and_is_said_once(samples: SimpleNamespace) -> None:
    view = replace(
        samples.news("address", "Ilvo Marrin"),
        needs=(samples.ADDRESS, samples.CHOOSE),
        waiting=samples.cards("Red Bram"),
    )
    text = tell_message(view).text
    assert text.index("by Friday 3 July 2026 whether you would like Tove Aldan") < text.index("the address you gave us")
    assert text.index("the address you gave us") < text.index("Still with the maker")
    assert text.count("address") == 1


def test_groups_of_one_state_become_one_and_urgent_news_leads(samples: SimpleNamespace) -> None:
    groups = [("pulled", "A"), ("shipped", "B"), ("pulled", "C")]
    view = samples.telling(news=tuple(NewsGroup(word=word, claims=samples.cards(name)) for word, name in groups))
    text = tell_message(view).text
    assert "We pulled 2 claim cards for you on Saturday 3 January 2026: A and C" in text
    assert text.index("B is on its way") < text.index("We pulled")


def test_waiting_in_the_news_joins_the_waiting_line(samples: SimpleNamespace) -> None:
    view = replace(samples.news("waiting", "Ilvo Marrin"), waiting=samples.cards("Tove Aldan"))
    text = tell_message(view).text
    assert "Ilvo Marrin and Tove Aldan" in text
    assert "There is no news yet" in text


@pytest.mark.parametrize("tone", ["warm", "brief"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_telling_of_nothing_is_still_a_message(kind: str, tone: str, samples: SimpleNamespace) -> None:
    assert tell_message(samples.telling(), tone, Channel(kind)).text


def test_an_unknown_word_is_plain_news(samples: SimpleNamespace) -> None:
    assert "About Ilvo Marrin: The maker waits" in tell_message(samples.news("flown", "Ilvo Marrin")).text


@pytest.mark.parametrize(
    ("language", "day", "amount"),
    [
        ("en", "Friday 3 July 2026", "$12.50"),
        ("en-US", "Friday, July 3, 2026", "$12.50"),
        ("de", "Friday 3 July 2026", "$12.50"),
        ("fr-CA", "Friday 3 July 2026", "$12.50"),
        ("", "Friday 3 July 2026", "$12.50"),
        ("../../etc", "Friday 3 July 2026", "$12.50"),
        ("xx-Qaaa", "Friday 3 July 2026", "$12.50"),
    ],
)
def test_days_and_amounts_of_shipped_texts_are_english(
    language: str, day: str, amount: str, samples: SimpleNamespace
) -> None:
    view = replace(samples.news("refunded", "Ilvo Marrin"), needs=(samples.CHOOSE,), language=language)
    text = tell_message(view).text
    assert day in text
    assert amount in text


@pytest.mark.parametrize(
    ("language", "day", "amount"),
    [
        ("de", "Freitag, 3. Juli 2026", "12,50\u00a0$"),
        ("fr", "vendredi 3 juillet 2026", "12,50\u00a0$US"),
    ],
)
def test_texts_of_the_house_in_a_language_have_its_days_and_amounts_and_the_shipped_ones_beside_them_do_not(
    language: str, day: str, amount: str, samples: SimpleNamespace, tmp_path: Path
) -> None:
    (tmp_path / language).mkdir()
    (tmp_path / language / "news_refunded.txt").write_text("{{ claim.amount }} ({{ claim.reply_by }})")
    view = replace(samples.news("refunded", "Ilvo Marrin"), needs=(samples.CHOOSE,), language=language)
    text = tell_message(view, templates=Templates(tmp_path)).text
    assert f"{amount} ({day})" in text
    assert "by Friday 3 July 2026" in text


def test_lists_follow_the_language_and_never_read_the_data_as_a_pattern(
    samples: SimpleNamespace, tmp_path: Path
) -> None:
    (tmp_path / "de").mkdir()
    (tmp_path / "de" / "news_in_hand.txt").write_text("{{ cards }} sind da.")
    view = replace(samples.news("in_hand", "{1}", "{0}", "C"), language="de")
    assert "{1}, {0} und C sind da." in tell_message(view, templates=Templates(tmp_path)).text
    assert "{1}, {0} and C have arrived" in tell_message(view).text


def test_an_email_has_a_subject_and_a_short_message_its_count(samples: SimpleNamespace) -> None:
    view = samples.news("in_hand", "Ilvo Marrin")
    email = tell_message(view, "warm", Channel(EMAIL))
    assert email.subject == "Corner Table Breaks: news of your cards (1 card: here with us)"
    short = tell_message(view, "warm", Channel(SMS))
    assert short.sms is not None
    assert (short.subject, short.sms.encoding, len(short.sms.segments)) == (None, "7 bit", 1)


def test_a_short_message_shows_what_makes_it_longer_and_offers_a_shorter_one(samples: SimpleNamespace) -> None:
    short = tell_message(samples.news("in_hand", "Ilvo’s Marrin " + "x" * 72), "warm", Channel(SMS))
    assert short.sms is not None
    assert len(short.sms.segments) == 3
    assert "The character ’ (right single quotation mark, use ') makes this text 3 messages long" in short.warnings[0]
    assert short.shorter == short.text.replace("’", "'")


def test_a_direct_message_is_split_at_its_limit_and_numbered(samples: SimpleNamespace) -> None:
    message = tell_message(samples.news("pulled", *[f"Card {n}" for n in range(60)]), "warm", Channel("direct", 300))
    assert len(message.parts) > 3
    assert all(len(part) <= 300 for part in message.parts)
    assert message.parts[1].startswith(f"2/{len(message.parts)} - Card")


def test_a_public_post_names_handle_and_card_only(samples: SimpleNamespace) -> None:
    groups = tuple(
        NewsGroup(word=word, claims=samples.cards(f"Card {number}")) for number, word in enumerate(wording.NEWS)
    )
    view = samples.telling(news=groups, needs=(samples.CHOOSE, samples.ADDRESS), waiting=samples.cards("Red Bram"))
    for tone in ("warm", "brief"):
        text = tell_message(view, tone, Channel(PUBLIC)).text
        assert "@ana_l: Card 5" in text
        for private in ("Ana Lindqvist", "12.50", "RA473124829GB", "7K3M", "address", "refund", "Tove Aldan"):
            assert private not in text


def test_a_handle_that_is_the_full_name_is_not_posted(samples: SimpleNamespace) -> None:
    view = replace(samples.news("in_hand", "Red Bram"), handle="ana  LINDQVIST")
    assert "- Ana: Red Bram" in tell_message(view, "warm", Channel(PUBLIC)).text
    nameless = replace(view, on_air_name="Ana Lindqvist")
    assert "- a participant: Red Bram" in tell_message(nameless, "warm", Channel(PUBLIC)).text


def test_a_public_list_gathers_handles_under_headings() -> None:
    lines = [("@a", "Card 1", "shipped"), ("@b", "Card 2", "in_hand"), ("@a", "Card 3", "shipped")]
    view = PublicView(
        house_name="Corner Table Breaks",
        lines=tuple(PublicLine(handle=handle, what=what, word=word) for handle, what, word in lines),
        on=date(2026, 7, 3),
    )
    text = public_post(view).text
    assert "Here with us:\n- @b: Card 2\n\nOn the way:\n- @a: Card 1 and Card 3" in text
    assert "Friday 3 July 2026" in text


def test_an_ask_is_polite_and_carries_every_reference() -> None:
    references = tuple(
        AskReference(reference=f"R-{n}", what="Ilvo Marrin", submitted_on=date(2026, 1, 5)) for n in range(3)
    )
    view = AskView(maker="Norwind", account="A7", house_name="Corner Table Breaks", references=references)
    message = ask_message(view)
    assert message.subject == "Status of 3 claims, account A7"
    assert "Could you please tell us how the following 3 claims stand?" in message.text
    assert "- R-2: Ilvo Marrin, submitted on Monday 5 January 2026" in message.text
    single = ask_message(replace(view, references=references[:1], account=""))
    assert single.subject == "Status of claim R-0"
    assert "how the following claim stands? It is filed under our account." in single.text
    assert ask_message(view, "brief", Channel("direct")).subject is None


def test_an_answer_says_what_when_and_what_next() -> None:
    claim = AnswerClaim(
        tag="7K3M",
        what="Ilvo Marrin",
        state="submitted",
        product="Harbor Prime",
        pulled_on=date(2026, 1, 3),
        submitted_on=date(2026, 1, 5),
        asked_on=(date(2026, 5, 5), date(2026, 6, 4)),
        last_told_on=date(2026, 6, 5),
        last_told_text="We asked again.",
        next_step="ask",
        next_day=date(2026, 7, 6),
    )
    text = answer_text(AnswerView(participant_name="Ana", house_name="Corner Table Breaks", claims=(claim,)))
    for said in (
        "Ilvo Marrin, Harbor Prime (claim 7K3M): sent in, waiting for the maker.",
        "Pulled on Saturday 3 January 2026, sent in to the maker on Monday 5 January 2026.",
        "We asked the maker 2 times: Tuesday 5 May 2026 and Thursday 4 June 2026.",
        'We last wrote to you on Friday 5 June 2026: "We asked again."',
        "What happens next: we may ask the maker again from Monday 6 July 2026.",
    ):
        assert said in text


def test_every_state_and_closing_has_its_words() -> None:
    assert set(wording.STATES) == set(STATES)
    assert set(wording.CLOSINGS) == set(CLOSINGS)
    assert wording.state_words("closed", "refunded") == "refunded"


def test_importing_the_composer_loads_neither_template_engine_nor_locale_data() -> None:
    code = "import sys, breakdesk.files.messages.composing, breakdesk.files.messages.checking; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "breakdesk.files.messages.composing" in loaded
    assert not {"jinja2", "babel"} & set(loaded)
