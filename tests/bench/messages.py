"""Write 10,000 merged messages for 60,000 waiting claims, beside bare Jinja2 on the same templates.

Run: python tests/bench/messages.py [COUNT]
"""

from __future__ import annotations

import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import jinja2

from breakdesk.files.messages.channels import Channel
from breakdesk.files.messages.composing import tell_message
from breakdesk.files.messages.eml import Envelope, eml_bytes
from breakdesk.files.messages.sources import NAMES, shipped_source
from breakdesk.files.messages.variables import group_text
from breakdesk.files.messages.views import ClaimLine, NewsGroup, TellingView

WAITING_EACH = 6
WORDS = ("pulled", "submitted", "in_hand", "shipped", "refused")
START = date(2026, 1, 1)


def views(count: int) -> Iterator[TellingView]:
    """One telling after another: six waiting claims and two pieces of news each."""
    for number in range(count):
        lines = tuple(
            ClaimLine(
                tag=f"T{number}-{place}",
                what=f"Ilvo Marrin {place}, Gold /{number % 90 + 9}",
                pulled_on=START + timedelta(days=number % 200),
                submitted_on=START + timedelta(days=(number + place) % 200),
            )
            for place in range(WAITING_EACH + 2)
        )
        yield TellingView(
            participant_name=f"Participant {number}",
            handle=f"@p{number}",
            on_air_name=f"P{number}",
            channel="email",
            language=("en", "de", "fr")[number % 3],
            zone="America/Denver",
            house_name="Corner Table Breaks",
            news=tuple(
                NewsGroup(word=WORDS[(number + place) % len(WORDS)], claims=lines[place : place + 1])
                for place in (0, 1)
            ),
            waiting=lines[2:],
        )


def bare_writer() -> Callable[[TellingView], str]:
    """The same templates in an ordinary environment, without cleaning, guards, shapes or checks."""
    environment = jinja2.Environment(trim_blocks=True, lstrip_blocks=True)
    environment.filters["led_by"] = lambda value, prefix: f"{prefix}{value}" if value else ""
    templates = {name: environment.from_string(shipped_source("warm", name).text) for name in NAMES}

    def write(view: TellingView) -> str:
        written = []
        for word, claims in [*((group.word, group.claims) for group in view.news), ("waiting", view.waiting)]:
            group = group_text(word, claims, view.language)
            shared = {name: getattr(group, name) for name in ("claims", "count", "one", "few", "cards", "same")}
            text = templates[f"news_{word}"].render(claim=group.claims[0], **shared)
            written.append({"text": text, "count": group.count})
        return templates["message"].render(
            name=view.participant_name, house=view.house_name, needs=(), news=written[:-1], waiting=written[-1]
        )

    return write


def envelope(number: int) -> Envelope:
    """From the house to one participant."""
    return Envelope(
        from_name="Corner Table Breaks",
        from_address="desk@example.org",
        to_name=f"Participant {number}",
        to_address=f"p{number}@example.com",
        written_at=datetime(2026, 7, 3, tzinfo=UTC),
    )


def timed(title: str, count: int, write: Callable[[int, TellingView], object]) -> float:
    """Seconds for all views, printed."""
    started = time.perf_counter()
    for number, view in enumerate(views(count)):
        write(number, view)
    seconds = time.perf_counter() - started
    print(f"{title:<44}{seconds:>8.2f} s{1e6 * seconds / count:>10.0f} microseconds each")
    return seconds


def main(count: int) -> None:
    """Print the table."""
    print(f"{count} messages, {count * WAITING_EACH} waiting claims")
    bare = bare_writer()
    channel = Channel("email")
    timed("views alone", count, lambda number, view: None)
    timed("bare Jinja2, same templates", count, lambda number, view: bare(view))
    timed("merged messages", count, lambda number, view: tell_message(view, "warm", channel))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)

        def write_text(number: int, view: TellingView) -> None:
            (path / f"{number}.txt").write_text(tell_message(view, "warm", channel).text, encoding="utf-8")

        def write_mail(number: int, view: TellingView) -> None:
            data = eml_bytes(tell_message(view, "warm", channel), envelope(number))
            assert isinstance(data, bytes)
            (path / f"{number}.eml").write_bytes(data)

        timed("merged messages into .txt files", count, write_text)
        timed("merged messages into .eml files", count, write_mail)
    for some in (count // 10, count // 2):
        tracemalloc.start()
        for view in views(some):
            tell_message(view, "warm", channel)
        print(f"peak memory for {some} messages: {tracemalloc.get_traced_memory()[1] / 1e6:.1f} MB")
        tracemalloc.stop()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
