"""The command `breakdesk` and where its commands stand; a command's module is loaded when it is needed."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import click

from breakdesk import __version__
from breakdesk.cli.place import DeskPlace

COMMANDS = {
    "load": "loading",
    "today": "reading",
    "owed": "reading",
    "claim": "reading",
    "search": "reading",
    "outlook": "outlook",
    "totals": "totals",
    "year": "totals",
    "notices": "notices",
    "maker": "makers",
    "terms": "terms",
    "settle": "terms",
    "start-line": "start_lines",
    "verify": "checking",
    "photo": "photos",
    "photos": "night_photos",
    "code": "locks",
    "lock": "locks",
    "backup": "backups",
    "backups": "backups",
    "restore": "backups",
    "move": "moving",
    "staff": "staff",
    "archive": "archives",
    "unarchive": "archives",
    "evidence": "evidence",
    "export": "exporting",
    "calendar": "calendars",
    "pull": "night",
    "breaks": "night",
    "start": "night",
    "end": "night",
    "correct": "correcting",
    "link": "linking",
    "recheck": "recheck",
    "submit": "submitting",
    "ask": "asking",
    "look": "looking",
    "answer": "looking",
    "tell": "telling",
    "send": "sending",
    "templates": "templates",
    "arrived": "arrivals",
    "in-hand": "shipping",
    "damage": "damages",
    "proof": "damages",
    "direct": "damages",
    "combine": "postage",
    "ship": "shipping",
    "parcel": "postage",
    "postage": "postage",
    "paper": "paper",
    "page": "pages",
    "address": "people",
    "promise": "people",
    "people": "participants",
    "decide": "deciding",
    "consent": "making_good",
    "sell": "making_good",
    "card": "making_good",
    "knew": "making_good",
    "close": "settling",
    "void": "settling",
    "note": "settling",
    "hold": "holding",
    "release": "holding",
    "park": "holding",
    "undo": "undoing",
    "try": "trying",
}


class DeskCommands(click.Group):
    """The commands in the order in which a night and the mornings after it use them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """A command by its name."""
        module = COMMANDS.get(cmd_name)
        if module is None:
            return None
        name = f"{cmd_name.replace('-', '_')}_command"
        command: click.Command = getattr(import_module(f"breakdesk.cli.{module}"), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Lists the commands with their first sentence whole, not cut to one line."""
        found = ((name, self.get_command(ctx, name)) for name in self.list_commands(ctx))
        with formatter.section("Commands"):
            formatter.write_dl([(name, command.get_short_help_str(200)) for name, command in found if command])


@click.group(
    cls=DeskCommands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--desk",
    type=DeskPlace(),
    metavar="PATH",
    help="The desk file, or a desk on a server (postgresql://USER@HOST/DATABASE, the password never in it); otherwise "
    "what BREAKDESK_DESK names, or a file in your data folder.",
)
@click.version_option(__version__, prog_name="breakdesk", message="%(prog)s %(version)s")
@click.pass_context
def breakdesk(context: click.Context, desk: Path | None) -> int:
    """Keeps the claim cards of a break house: what is owed to whom, what to do today, and the story of each card.

    Without a command the screen opens. The desk is named before the command: breakdesk --desk PATH COMMAND.

    Exit codes: 0 done, 1 something to correct, 2 wrong usage.
    """
    context.obj = desk
    if context.invoked_subcommand is not None:
        return 0
    from breakdesk.cli.screen import open_screen

    return open_screen()
