"""The commands of the parcels."""

from __future__ import annotations

from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.screens.acting_screen import UNDO_KEYS


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"parcels.{name}", keys=(key,), label=label, tooltip=tooltip, context="parcels", footer=footer)


COMMANDS = REGISTRY.add(
    _command("arrival", "i", "Card came in", "Go to the line in which an arrived card is named."),
    _command("envelope", "w", "Envelope done", "Hold your count against what was taken in, and see whom to write."),
    _command("delivered", "d", "Arrived", "The parcel under the cursor arrived: its claims are closed."),
    _command("about", "e", "About it", "Weight, notes, a gift; or what went wrong, what is due next, the report."),
    _command("papers", "f", "Postage, paper", "Postage out and back by file, slips, labels, lists, people's pages."),
    _command("lost", "x", "Lost", "The parcel under the cursor is lost; its cards wait for a decision.", footer=False),
    _command(
        "returned",
        "r",
        "Came back",
        "The parcel under the cursor came back; its cards wait for a decision.",
        footer=False,
    ),
    _command("pack", "p", "Pack", "Open the ship round at the person of this parcel.", footer=False),
    Command(
        id="parcels.undo",
        keys=UNDO_KEYS,
        label="Undo",
        tooltip="Undo one of the things that you did here; each is named first.",
        context="parcels",
        footer=False,
    ),
)
