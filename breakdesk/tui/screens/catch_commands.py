"""The keys of the Catch screen. Letters are typed into the line, so what must work while typing has a key with Ctrl."""

from __future__ import annotations

from breakdesk.tui.commands import REGISTRY, Command

CONTEXT = "catch"


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"catch.{name}", keys=(key,) if key else (), label=label, tooltip=tooltip, context=CONTEXT, footer=footer
    )


COMMANDS = REGISTRY.add(
    _command("undo", "f12", "Undo", "Take one of the last actions back, or do it again; each is named first."),
    _command("correct", "ctrl+r", "Correct", "Correct a field of the last claim, or of the one chosen in the list."),
    _command("seen", "ctrl+t", "Seen", "The code can be seen on camera now: stamp the video, submit it first."),
    _command("code", "ctrl+o", "Code", "Enter the claim's code; its letters are dots on air."),
    _command(
        "owner",
        "ctrl+n",
        "Owner",
        "Say whose card it is: of the line being typed, else of the last claim.",
        footer=False,
    ),
    _command(
        "other_break",
        "ctrl+g",
        "Other break",
        "Go to the other running break; its half-typed line is kept.",
        footer=False,
    ),
    _command("break_menu", "ctrl+b", "Break", "Choose, start or end a break; trades, lists, draws, video, new people."),
    _command("board", "ctrl+f", "Spots", "Show who owns what and what they have hit.", footer=False),
    _command("let_go", "ctrl+l", "Let go", "Let go of the box, expiry and product kept from before.", footer=False),
    _command("note", "n", "Note", "Write a note on the claim chosen in the list (Tab goes there).", footer=False),
    _command("reported", "y", "Reported", "A viewer says the code could be seen; keep the handle.", footer=False),
    _command("settle", "s", "Settle", "Settle a card of several owners by a draw or a reason.", footer=False),
    _command("swap", "w", "Swap", "Swap two claims, or everything of two people, in one action.", footer=False),
    _command("void", "x", "Void", "Strike out a claim that was entered by mistake, with a reason.", footer=False),
)
