"""The house's own wording: where it is found, what a broken file does, what the sandbox refuses."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from breakdesk.files.messages.channels import Channel
from breakdesk.files.messages.checking import check_source, check_templates
from breakdesk.files.messages.composing import tell_message
from breakdesk.files.messages.sources import NAMES, TONES, Templates, shipped_source
from breakdesk.files.messages.views import ClaimLine, NewsGroup, TellingView


def arrived(*names: str, language: str = "en") -> TellingView:
    claims = tuple(ClaimLine(tag="7K3M", what=name) for name in names)
    return TellingView(
        participant_name="Ana Lindqvist",
        handle="@ana_l",
        on_air_name="Ana",
        channel="direct",
        language=language,
        zone="America/Denver",
        house_name="Corner Table Breaks",
        news=(NewsGroup(word="in_hand", claims=claims),),
    )


VIEW = arrived("Ilvo Marrin")


def told(folder: Path, tone: str = "warm", language: str = "en") -> tuple[str, tuple[str, ...]]:
    message = tell_message(arrived("Ilvo Marrin", language=language), tone, Channel("direct"), Templates(folder))
    return message.text, message.warnings


def write(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_every_shipped_template_stands_the_check() -> None:
    for tone in TONES:
        for name in NAMES:
            assert check_source(name, shipped_source(tone, name)) == ()


def test_an_own_file_replaces_the_shipped_one_of_its_name(tmp_path: Path) -> None:
    write(tmp_path, "news_in_hand.txt", "It is here: {{ cards }}!")
    text, warnings = told(tmp_path)
    assert "It is here: Ilvo Marrin!" in text
    assert "Hi Ana Lindqvist" in text
    assert warnings == ()


def test_language_and_tone_choose_the_nearest_file(tmp_path: Path) -> None:
    for place in ("", "brief/", "pt/", "pt/brief/", "pt_BR/"):
        write(tmp_path, f"{place}news_in_hand.txt", f"from {place or 'the folder'}: {{{{ cards }}}}")
    assert "from the folder" in told(tmp_path)[0]
    assert "from brief/" in told(tmp_path, "brief")[0]
    assert "from pt/" in told(tmp_path, language="pt")[0]
    assert "from pt/brief/" in told(tmp_path, "brief", language="pt")[0]
    assert "from pt_BR/" in told(tmp_path, language="pt-BR")[0]
    assert check_templates(tmp_path) == ()


@pytest.mark.parametrize(
    ("source", "line", "sentence"),
    [
        ("fine\n{{ cards", 2, "Unexpected end of template"),
        ("fine\n\n{{ code }}", 3, "There is no variable “code”"),
        ("fine\n{{ claim.code }}", 2, "There is nothing called “code” here"),
        ("fine\n{{ claim }}", 2, "It prints something that is no text"),
        ("{% set x = 1 %}", 1, "“assign” is not available"),
        ("{{ ''.__class__ }}", 1, "“__class__” is not available"),
        ("\n{{ cards.format(house) }}", 2, "“call” is not available"),
        ("{% include 'message' %}", 1, "“include” is not available"),
        ("{{ range(9) }}", 1, "“call” is not available"),
        ("{{ 'x' * 999999999 }}", 1, "“mul” is not available"),
        ("{{ cards|replace('a', cards) }}", 1, "replace"),
        ("{{ _budget }}", 1, "“_budget” is not available"),
        ("{{ self }}", 1, "There is no variable “self”"),
        ("{{ 1 + cards }}", 1, "things together that do not go together"),
        ("x" * 20_001, 1, "longer than 20000 characters"),
    ],
)
def test_a_broken_file_is_reported_by_line_and_the_shipped_one_used(
    tmp_path: Path, source: str, line: int, sentence: str
) -> None:
    path = write(tmp_path, "news_in_hand.txt", source)
    text, warnings = told(tmp_path)
    assert "Ilvo Marrin has arrived here" in text
    assert len(warnings) == 1
    assert warnings[0].startswith(f"{path}, line {line}: ")
    assert sentence in warnings[0]
    assert warnings[0].endswith("The shipped wording was used.")
    problems = check_templates(tmp_path)
    assert [(problem.file, problem.line) for problem in problems] == [(str(path), line)]
    assert sentence in problems[0].sentence


def test_the_check_finds_what_only_some_states_break(tmp_path: Path) -> None:
    write(tmp_path, "news_shipped.txt", "{% if count > 5 %}\n{{ claim.weight }}\n{% endif %}fine")
    write(tmp_path, "sms.txt", "{{ name }}")
    assert [(Path(problem.file).name, problem.line) for problem in check_templates(tmp_path)] == [
        ("news_shipped.txt", 2)
    ]


def test_files_that_no_message_reads_are_named(tmp_path: Path) -> None:
    write(tmp_path, "greeting.txt", "hello")
    write(tmp_path, "kitchen/sms.txt", "hello")
    write(tmp_path, "warm/de/sms.txt", "hello")
    sentences = {Path(problem.file).name: problem.sentence for problem in check_templates(tmp_path)}
    assert sentences["greeting.txt"].startswith("No message uses a file of this name")
    assert [problem.sentence[:21] for problem in check_templates(tmp_path)][1:] == ["No message looks here"] * 2


def test_a_file_that_is_not_utf8_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "news_in_hand.txt").write_bytes(b"\xff\xfe\x00")
    text, warnings = told(tmp_path)
    assert "Ilvo Marrin has arrived here" in text
    assert "save it as UTF-8" in warnings[0]
    assert "save it as UTF-8" in check_templates(tmp_path)[0].sentence


def test_loops_that_run_too_long_are_stopped(tmp_path: Path) -> None:
    loops = 6
    source = "".join(f"{{% for c{n} in claims %}}" for n in range(loops)) + "{% endfor %}" * loops
    write(tmp_path, "news_in_hand.txt", source)
    view = arrived(*[f"Card {n}" for n in range(50)])
    started = time.monotonic()
    message = tell_message(view, "warm", Channel("direct", 99_999), Templates(tmp_path))
    assert time.monotonic() - started < 5
    assert "Its loops run too long" in message.warnings[0]
    assert "50 of your cards have arrived" in message.text


def test_a_text_that_grows_too_long_is_stopped(tmp_path: Path) -> None:
    write(
        tmp_path,
        "news_in_hand.txt",
        "{% for a in claims %}{% for b in claims %}" + "x" * 9000 + "{% endfor %}{% endfor %}",
    )
    view = arrived(*[f"Card {n}" for n in range(50)])
    assert "Its text grows too long" in tell_message(view, templates=Templates(tmp_path)).warnings[0]


def test_the_version_follows_the_wording(tmp_path: Path) -> None:
    shipped = tell_message(VIEW).templates
    assert tell_message(VIEW, templates=Templates(tmp_path)).templates == shipped
    write(tmp_path, "news_in_hand.txt", "Here.")
    first = tell_message(VIEW, templates=Templates(tmp_path)).templates
    write(tmp_path, "news_in_hand.txt", "Here!")
    assert len({shipped, first, tell_message(VIEW, templates=Templates(tmp_path)).templates}) == 3
