"""The house's own wording: any template text renders harmlessly, in bounded time, or is named with its line."""

from __future__ import annotations

import time

from hostile_help import HOSTILE, LONGER
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from breakdesk.files.messages.checking import check_source
from breakdesk.files.messages.sources import NAMES, Source

SECONDS = 3.0
"""A template may take two seconds before it is stopped; the rest is for reading it."""
PIECES = st.sampled_from(
    [
        "{{ name }}", "{{ ''.__class__.__mro__ }}", "{{ name.__init__.__globals__ }}", "{% for a in claims %}",
        "{% if name %}", "{% endif %}", "{{ claims[0] }}", "{{ 9 ** 9 ** 9 }}", "{% endfor %}",
        "{{ 'x' * 999999999 }}", "{% set x = 1 %}",
        "{% include '/etc/passwd' %}", "{% import 'os' as os %}", "{% macro m() %}{{ m() }}{% endmacro %}", "{{ m() }}",
        "{{ range(999999999) }}", "{{ lipsum() }}", "{{ cycler }}", "{{ self }}", "{{ name|map }}",
        "{{ name|attr('x') }}",
        "{# ", " #}", "{{", "}}", "{%", "%}", "{% raw %}", "{% endraw %}", "{{ name|default(name) }}", "{{ (" * 50,
        "{{ name[::-1] }}", "{{ -" * 80 + "1 }}", "\x1b[31m", "\u202e", "{% block a %}", "{% extends name %}",
        "é", "\n",
    ]
)  # fmt: skip
TEXTS = st.one_of(st.lists(PIECES, max_size=8).map("".join), HOSTILE)


@given(name=st.sampled_from(NAMES), text=TEXTS)
@example(name="message", text="{% for a in claims %}" * 12 + "x" + "{% endfor %}" * 12)
@example(name="message", text="{{ (" * 2000)
@example(name="message", text="{{ name }}" * 5000)
@settings(max_examples=120 * LONGER, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_template_is_rendered_or_named(name: str, text: str) -> None:
    start = time.process_time()
    problems = check_source(name, Source("own.txt", text))
    assert time.process_time() - start < SECONDS
    for problem in problems:
        assert problem.line >= 1
        assert problem.sentence.strip()
        assert "object at 0x" not in problem.sentence
