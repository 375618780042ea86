"""A small app with a long list, for pictures and for trying it out: the first argument is the number of rows."""

from __future__ import annotations

import asyncio
import sys
from datetime import UTC, datetime

from textual.app import ComposeResult

from breakdesk.tui import masking
from breakdesk.tui.base import DeskApp
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

NOW = datetime(2026, 3, 3, 14, 30, tzinfo=UTC)
NAMES = ("Ada Marsh", "Teo Vale", "渡辺 はるか", "[bold]Ostrow[/]", "Zoë Quay", "Nía Sand\x1b[31m")

PARK = Command(
    id="listing.park", keys=("p",), label="Park", tooltip="Put the claim aside until a day.", context="listing"
)
OPEN = Command(id="listing.copy", keys=("y",), label="Copy", tooltip="Copy the line.", context="listing")
COMMANDS = REGISTRY.add(PARK, OPEN)


def row(number: int) -> Row:
    """Return an invented claim."""
    waits = number * 7 % 400
    return Row(
        number,
        (
            f"K{number:05}",
            NAMES[number % len(NAMES)],
            f"heron_{number % 97}",
            masking.reference(f"REF-{number}"),
            "Northlight" if number % 3 else "Tidewater",
            f"{waits // 30} months, {waits % 30} days",
            f"{number * 13 % 900:,}.00",
        ),
        "strong" if number % 11 == 3 else "plain",
    )


async def provide(offset: int, limit: int) -> list[Row]:
    await asyncio.sleep(0)
    return [row(number) for number in range(offset, min(offset + limit, COUNT))]


COUNT = int(sys.argv[1]) if len(sys.argv) > 1 and sys.argv[1].isdigit() else 100_000


class Owed(DeskScreen):
    TITLE_WORDS = "Owed"
    ABOUT = "Everything that is owed, the oldest first."
    CONTEXT = "listing"
    BINDINGS = bindings(COMMANDS)

    def compose_body(self) -> ComposeResult:
        yield LongList(
            [
                Column(title="Claim", width=7),
                Column(title="Card", width=14, stretch=2),
                Column(title="Goes to", width=12, stretch=1),
                Column(title="Reference", width=14, priority=3, quiet=True),
                Column(title="Maker", width=11, priority=2, quiet=True),
                Column(title="Waits", width=19, right=True),
                Column(title="Value", width=9, right=True, priority=4),
            ],
            empty="Nothing is owed.",
        )

    def on_mount(self) -> None:
        self.query_one(LongList).show(provide, COUNT)

    def action_park(self) -> None:
        self.say("Parked until Friday 6 March 2026. Undo with u.")

    def action_copy(self) -> None:
        raise ValueError("secret code AB12")


class Listing(DeskApp):
    MODES = {"owed": Owed}
    START = "owed"


app = Listing(desk_name="Harbour Breaks", now=lambda: NOW)

if __name__ == "__main__":
    app.run()
