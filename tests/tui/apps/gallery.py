"""A small app with every quiet widget, for pictures."""

from __future__ import annotations

from datetime import UTC, datetime

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from breakdesk.tui import masking
from breakdesk.tui.base import DeskApp
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.widgets.big_handle import BigHandle
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import RoundStrip, Step, StripItem
from breakdesk.tui.widgets.sentences import Sentence, Sentences

NOW = datetime(2026, 3, 3, 14, 30, tzinfo=UTC)


class Today(DeskScreen):
    TITLE_WORDS = "Today"
    ABOUT = "What is due today, in five sentences. Each leads to its round."

    def compose_body(self) -> ComposeResult:
        yield Sentences(
            [
                Sentence("submit", 12, "claims to submit", "s", "2 expire this week, the first on Thursday 5 March."),
                Sentence("ask", 31, "claims to ask about, with 3 makers", "a"),
                Sentence("tell", 8, "people to tell something", "t", "1 has waited for an answer since Friday."),
                Sentence("ship", 1204, "parcels to pack", "p"),
                Sentence("decide", 0, "nothing to decide", "d"),
            ]
        )


class Round(DeskScreen):
    TITLE_WORDS = "Submit"
    ABOUT = "One claim at a time, the one in danger first."

    def compose_body(self) -> ComposeResult:
        yield BigHandle("heron_tom-7", "goes to")
        with Horizontal():
            yield RoundStrip(
                [StripItem("K4M7 Vale", Step.DONE), StripItem("K4QA Ostrow", Step.PARKED)]
                + [StripItem(f"K5A{number} Marsh") for number in range(12)],
                3,
            )
            with Vertical():
                yield Fields(
                    [
                        Field("Claim", "K5A1", strong=True),
                        Field("Card", "Ada Marsh, harbour autograph /25, the blue one with the long, long name"),
                        Field("Expires", "Thursday 5 March 2026", "in 2 days"),
                        Field("Code", masking.code("AB12-CD34-EF56")),
                        Field("Name", masking.full_name("Tomas Heronsgate", "heron_tom-7")),
                        Field("Reference", ""),
                    ]
                )


class Gallery(DeskApp):
    MODES = {"today": Today, "catch": Round}


def make() -> Gallery:
    return Gallery(desk_name="Harbour Breaks", now=lambda: NOW, go_on_after_failure=False)


app = make()

if __name__ == "__main__":
    app.run()
