"""The command `paper`: slips, lists, statements and labels."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from breakdesk.cli.common import fail, with_desk
from breakdesk.cli.output import say, say_problem
from breakdesk.cli.words import OneWord
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk

KINDS = ("slips", "addresses", "sleeves", "list", "statement")
SIZES = ("a4", "letter")


@click.command("paper")
@click.argument("kind", type=OneWord(KINDS), metavar="KIND")
@click.argument("names", nargs=-1, metavar="[NAME]…")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.pdf", help="Write a PDF.")
@click.option("--size", type=OneWord(SIZES), help="a4 or letter; else what your country uses.")
@click.option("--first", type=click.IntRange(min=1), default=1, help="The first free label on a sheet that was begun.")
@with_desk
def paper_command(
    desk: Desk, kind: str, names: tuple[str, ...], out: Path | None, size: str | None, first: int
) -> None:
    """Print what goes on paper. KIND is one of:

    \b
      slips [PARCEL…]       packing slips, as text or as PDF with --out
      addresses [PARCEL…]   address labels, as PDF
      sleeves [TAG…]        sleeve labels with the tag as a QR code, as PDF
      list                  who gets what, for the packing table, as text
      statement WHO         everything between you and a participant, as text

    Without names it takes the parcels that are being packed, or the cards that are here. A PDF draws the letters of
    the fonts that are here; where one is missing, the paper says so, and the text is complete.
    """
    if kind in ("addresses", "sleeves") and out is None:
        raise click.UsageError("Labels are a PDF: name it with --out.")
    if kind in ("list", "statement") and out is not None:
        raise click.UsageError("That one is text; send it to a file with >.")
    if kind == "slips":
        _slips(desk, names, out, size or "")
    elif kind == "list":
        from breakdesk.desk.printing import ship_list

        say(ship_list(desk).rstrip("\n"))
    elif kind == "statement":
        _statement(desk, names)
    else:
        assert out is not None
        _labels(desk, kind, names, out, size or "", first)


def _slips(desk: Desk, names: tuple[str, ...], out: Path | None, size: str) -> None:
    from breakdesk.desk.printing import print_notes, slips_of, write_packing_slips
    from breakdesk.desk.problems import Problem
    from breakdesk.files.slips import slip_text

    slips = slips_of(desk, _parcels(names))
    if not slips:
        fail("No such parcel is being packed. `breakdesk ship WHO` packs one.")
    if out is None:
        say("\n".join(slip_text(slip) for slip in slips).rstrip("\n"))
        return
    missing = write_packing_slips(desk, out.expanduser(), slips, size)
    if isinstance(missing, Problem):
        fail(missing.sentence)
    say(f"{counted(len(slips), 'slip')} in {out.name}.")
    for note in print_notes(missing):
        say_problem(f"Note: {note}")


def _labels(desk: Desk, kind: str, names: tuple[str, ...], out: Path, size: str, first: int) -> None:
    from breakdesk.desk import printing
    from breakdesk.desk.problems import Problem

    path = out.expanduser()
    if kind == "sleeves":
        printed = printing.write_sleeve_labels(desk, path, names, size, first)
    else:
        printed = printing.write_address_labels(desk, path, _parcels(names), size, first)
    if isinstance(printed, Problem):
        fail(printed.sentence)
    say(f"{counted(printed.count, 'label')} in {out.name}.")
    for note in printing.print_notes(printed.missing, printed):
        say_problem(f"Note: {note}")


def _statement(desk: Desk, names: tuple[str, ...]) -> None:
    from breakdesk.cli.named import person_id
    from breakdesk.desk.printing import statement_of
    from breakdesk.files.slips import statement_text

    if not names:
        raise click.UsageError("Say whose statement it is.")
    statement = statement_of(desk, person_id(desk, " ".join(names)))
    if statement is None:
        fail("That participant is not in the desk any more.")
    say(statement_text(statement).rstrip("\n"))


def _parcels(names: tuple[str, ...]) -> list[int]:
    wrong = [name for name in names if not (name.isascii() and name.isdecimal() and len(name) < 19)]
    if wrong:
        _no_number(wrong[0])
    return [int(name) for name in names]


def _no_number(name: str) -> NoReturn:
    fail(f"{name} is no number of a parcel. `breakdesk ship` lists them.")
