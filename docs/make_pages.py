"""Writes the pages that are read off the program: docs/keys.md, docs/commands.md and docs/terms.md.

Run `python docs/make_pages.py` after a key, a command, an option or a term was added or changed; a test fails where a
page and the program disagree.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from importlib import import_module
from inspect import isclass
from pathlib import Path
from types import ModuleType

import click

from breakdesk import tui
from breakdesk.cli.root import COMMANDS, breakdesk
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS
from breakdesk.tui.commands import EVERYWHERE, REGISTRY, key_words
from breakdesk.tui.help import IN_LISTS

DOCS = Path(__file__).resolve().parent
BY_SCRIPT = "This page is written by `python docs/make_pages.py`; a test fails where it and the program disagree.\n"
KEYS_SAID = (
    "Help (F1 or ?) on a screen shows the same for that screen, Ctrl+P finds any command by a word of its name. A "
    "command without a key is found there. Keys can be changed: [settings.md](settings.md).\n"
)
COMMANDS_SAID = (
    "What the commands share, and the JSON that other programs rely on, stands in [command-line.md](command-line.md). "
    "`-h` or `--help` on any of them prints the same.\n"
)
TERMS_SAID = (
    "Terms are settled on the settings screen (F8), by `breakdesk settle`, or by loading a file, each from a day on. "
    "How each clock counts, and where its rule comes from, stands in [rules.md](rules.md).\n"
)


def cell(text: str) -> str:
    """Text that may stand in a cell of a table."""
    return " ".join(text.split()).replace("|", "\\|")


# Keys


def _modules() -> Iterator[ModuleType]:
    """Every module of the screen, so that every command is in the registry."""
    for found in pkgutil.walk_packages(tui.__path__, "breakdesk.tui."):
        yield import_module(found.name)


def _titles() -> dict[str, str]:
    """What the screen of each context is called."""
    titles = {EVERYWHERE: "Everywhere", "dialog": "In every dialog", "dialog.text": "In a dialog that shows a text"}
    for module in _modules():
        for thing in vars(module).values():
            if isclass(thing) and getattr(thing, "CONTEXT", "") and getattr(thing, "TITLE_WORDS", ""):
                titles.setdefault(thing.CONTEXT, thing.TITLE_WORDS)
    return titles


def _title(titles: dict[str, str], context: str) -> str:
    dialog = context.removeprefix("dialog.")
    return titles.get(context) or (f"In a dialog: {dialog}" if dialog != context else context)


def keys_page() -> str:
    """Every key of every screen."""
    titles = _titles()
    lines = [
        "# Every key\n",
        BY_SCRIPT,
        KEYS_SAID,
        "## In lists and fields\n",
        "| key | what it does |",
        "| --- | --- |",
        *(f"| {key} | {cell(said)} |" for key, said in IN_LISTS),
    ]
    contexts = sorted(
        (context for context in REGISTRY.contexts() if REGISTRY.of(context)),
        key=lambda context: (context != EVERYWHERE, _title(titles, context)),
    )
    for context in contexts:
        lines += [
            f"\n## {_title(titles, context)}\n",
            "| key | what it does | name for the settings file |",
            "| --- | --- | --- |",
        ]
        for command in REGISTRY.of(context):
            keys = " ".join(key_words(key) for key in command.keys) or "–"
            lines.append(f"| {cell(keys)} | {cell(f'{command.label}: {command.tooltip}')} | `{command.id}` |")
    return "\n".join(lines) + "\n"


# Commands


def _commands(group: click.Group, before: str) -> Iterator[tuple[str, click.Command]]:
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None, name
        yield f"{before} {name}", command
        if isinstance(command, click.Group):
            yield from _commands(command, f"{before} {name}")


def _option_rows(command: click.Command) -> list[str]:
    context = click.Context(command)
    rows = []
    for parameter in command.params:
        record = parameter.get_help_record(context)
        if record is not None and record[1]:
            rows.append(f"| `{cell(record[0])}` | {cell(record[1])} |")
    return rows


def commands_page() -> str:
    """Every command with its arguments and options, from the help of each."""
    lines = [
        "# Every command and option\n",
        BY_SCRIPT,
        COMMANDS_SAID,
        "| option before the command | what it does |",
        "| --- | --- |",
        *_option_rows(breakdesk),
    ]
    for path, command in _commands(breakdesk, "breakdesk"):
        pieces = " ".join(command.collect_usage_pieces(click.Context(command)))
        lines += [f"\n## {path}\n", f"`{path} {pieces}`\n".replace(" `", "`"), *_about(command)]
        rows = _option_rows(command)
        if rows:
            lines += ["", "| option | what it does |", "| --- | --- |", *rows]
    assert set(COMMANDS) == {path.split()[1] for path, _ in _commands(breakdesk, "breakdesk")}
    return "\n".join(lines) + "\n"


def _about(command: click.Command) -> list[str]:
    """The help of a command, paragraph by paragraph; lines that are to stay as they are become a block."""
    lines: list[str] = []
    for paragraph in (command.help or "").replace("\b\n", "\b").split("\n\n"):
        if paragraph.startswith("\b"):
            lines += ["", "```text", *(line.strip() for line in paragraph[1:].splitlines()), "```"]
        elif paragraph.strip():
            lines += [*([""] if lines else []), " ".join(paragraph.split()).replace("<", "\\<")]
    return lines


# Terms


def terms_page() -> str:
    """Every term of the house and of makers with its default."""
    from breakdesk.tui.term_words import HOUSE_WORDS, MAKER_WORDS

    lines = [
        "# Every term\n",
        BY_SCRIPT,
        TERMS_SAID,
    ]
    for title, defaults, known in (
        ("The house", HOUSE_DEFAULTS, HOUSE_WORDS),
        ("A maker", MAKER_DEFAULTS, MAKER_WORDS),
    ):
        lines += [f"## {title}\n", "| term | on the screen | usual | what it does |", "| --- | --- | --- | --- |"]
        for name, usual in defaults.items():
            said = known[name]
            lines.append(f"| `{name}` | {cell(said.label)} | {cell(usual) or 'empty'} | {cell(said.about)} |")
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


PAGES = {"keys.md": keys_page, "commands.md": commands_page, "terms.md": terms_page}


def main() -> None:
    """Writes the pages anew."""
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
