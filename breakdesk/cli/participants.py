"""The command `people`: what participants want, who they are, what they were told, and what is held about them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_fields, say_table
from breakdesk.cli.wording import day_words, weekday_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.group("people")
def people_command() -> None:
    """Participants: how they are written to, what they wish, who they are, and what is held about them."""


@people_command.command("show")
@click.argument("who")
@with_desk
def show_command(desk: Desk, who: str) -> None:
    """Print what is known of WHO, and when they last heard from you."""
    from breakdesk.cli import named
    from breakdesk.desk.answering import person_view
    from breakdesk.desk.reaching import channel_words, told_by_words

    key = named.person_id(desk, who)
    view = person_view(desk, key)
    if view is None:
        fail("That participant is not in the desk any more.")
    last = weekday_words(view.last_told_on) or "never"
    say_fields(
        [
            ("name", view.name),
            ("handle", view.handle),
            ("on-air name", view.on_air_name),
            ("also known as", ", ".join(item.handle or item.name for item in view.also)),
            ("written to by", channel_words(view.channel)),
            ("else by", channel_words(view.fallback_channel) if view.fallback_channel else ""),
            ("language", view.language),
            ("wish", view.wish),
            ("messages", "none: opted out" if view.opted_out else ""),
            ("on hold", "yes" if view.on_hold else ""),
            ("last heard from you", ", ".join(filter(None, (last, told_by_words(view.last_told_channel))))),
            ("hears next by", weekday_words(view.next_tell_on)),
            ("owed", str(len(view.owed.claims)) if view.owed else "nothing"),
        ]
    )
    if view.last_told_text:
        say()
        say(view.last_told_text)


@people_command.command("told")
@click.argument("who")
@click.option("--again", type=int, metavar="NUMBER", help="The message with this number was sent once more as it was.")
@click.option("--channel", default="", help="With --again: by which way.")
@with_desk
def told_command(desk: Desk, who: str, again: int | None, channel: str) -> None:
    """List what WHO was told, word for word, newest first."""
    from breakdesk.cli import named
    from breakdesk.desk.reaching import told_by_words
    from breakdesk.desk.told import tell_again, tellings_of

    found = tellings_of(desk, named.person_id(desk, who))
    if again is not None:
        if again not in {item.id for item in found}:
            fail(f"{who} was told no message with the number {again}.")
        report(tell_again(desk, again, channel))
        return
    if not found:
        say("They were told nothing yet.")
    for item in found:
        undone = " (undone)" if item.undone else ""
        way = told_by_words(item.channel)
        parts = (weekday_words(item.day), way, f"about {', '.join(item.tags)}")
        say(f"{item.id}  {', '.join(filter(None, parts))}{undone}")
        say("\n".join(f"    {line}" for line in (item.text or "Its words are not kept.").splitlines()))
        say()


@people_command.command("set")
@click.argument("who")
@click.option("--channel", help="direct, email, sms or public.")
@click.option("--fallback", help="The way to take where the first cannot be used.")
@click.option("--language", help="As in BCP 47: de, pt-BR.")
@click.option("--zone", help="Such as Europe/Berlin.")
@click.option("--email", help="Empty to forget it.")
@click.option("--phone", help="Empty to forget it.")
@with_desk
def set_command(desk: Desk, who: str, fallback: str | None, **given: str | None) -> None:
    """Change how WHO is written to."""
    from breakdesk.desk.preferences import Preferences, prefer

    report(prefer(desk, who, Preferences(fallback_channel=fallback, **given)))


@people_command.command("wish")
@click.argument("who")
@click.argument("wish", type=click.Choice(["wait", "take", "ask", "none"]))
@with_desk
def wish_command(desk: Desk, who: str, wish: str) -> None:
    """What WHO generally wants when a maker offers another card."""
    from breakdesk.desk.people import set_wish

    report(set_wish(desk, who, "" if wish == "none" else wish))


@people_command.command("opt-out")
@click.argument("who")
@click.option("--back", is_flag=True, help="They want messages again.")
@with_desk
def opt_out_command(desk: Desk, who: str, back: bool) -> None:
    """Write to WHO no more; what is owed to them stays listed."""
    from breakdesk.desk.preferences import opt_out

    report(opt_out(desk, who, out=not back))


@people_command.command("transfer")
@click.argument("tag")
@click.argument("to")
@click.option("--sold", "how", flag_value="sold", help="The owner sold it.")
@click.option("--given", "how", flag_value="given", help="The owner gave it away.")
@click.option("--knew-code/--never-knew-code", default=None, help="Whether the owner before knew the code.")
@click.option("--reason", default="", help="A few words for the history.")
@with_desk
def transfer_command(desk: Desk, tag: str, to: str, how: str | None, knew_code: bool | None, reason: str) -> None:
    """Pass claim TAG on to another participant; both are to be told."""
    from breakdesk.desk.transferring import Transfer, transfer

    if how is None or knew_code is None:
        raise click.UsageError("Say --sold or --given, and --knew-code or --never-knew-code.")
    report(transfer(desk, Transfer(tag=tag, to=to, how=how, knew_code=knew_code, reason=reason)))


@people_command.command("merge")
@click.argument("who")
@click.argument("into")
@with_desk
def merge_command(desk: Desk, who: str, into: str) -> None:
    """Make WHO a second name of INTO: two handles, one person."""
    from breakdesk.desk.merging import merge

    report(merge(desk, who, into))


@people_command.command("split")
@click.argument("who")
@with_desk
def split_command(desk: Desk, who: str) -> None:
    """Take a merge back: WHO, which was merged into another, is a participant of their own again."""
    from breakdesk.desk.merging import split

    report(split(desk, who))


@people_command.command("held")
@click.argument("who")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="A new JSON file.")
@with_desk
def held_command(desk: Desk, who: str, out: Path) -> None:
    """Write everything that the desk holds about WHO into a file, to be given to them."""
    from breakdesk.desk.erasing import write_held
    from breakdesk.desk.problems import Problem

    written = write_held(desk, who, out)
    if isinstance(written, Problem):
        fail(written.sentence)
    say(f"Everything held about {who} is in {written}. Only you can read it; hand it over safely.")


@people_command.command("erase")
@click.argument("who")
@click.option("--although-owed", is_flag=True, help="Although claims are still owed to them.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@with_desk
def erase_command(desk: Desk, who: str, although_owed: bool, yes: bool) -> None:
    """Remove everything that says who WHO is, for good; claims and amounts stay, under a number.

    Give them what is held first: people held. Backups made before keep it until they are gone, at most a year.
    """
    from breakdesk.cli import named
    from breakdesk.desk.erasing import erase

    named.person_id(desk, who)
    if not yes:
        click.confirm(f"Erase {who} for good? This cannot be undone", abort=True, err=True)
    report(erase(desk, who, although_owed=although_owed))


@people_command.command("tidy")
@with_desk
def tidy_command(desk: Desk) -> None:
    """Rewrite the desk's file so that nothing erased can be read from its free space."""
    from breakdesk.desk.erasing import tidy

    report(tidy(desk))


@people_command.command("unanswered")
@click.option("--settle", is_flag=True, help="Answer them as the wish or the rule says.")
@with_desk
def unanswered_command(desk: Desk, settle: bool) -> None:
    """List offers that nobody answered by their day, and what the wish or the house's rule makes of each."""
    from breakdesk.desk.transferring import settle_unanswered, unanswered_offers

    if settle:
        report(settle_unanswered(desk))
        return
    found = unanswered_offers(desk)
    if not found:
        say("No offer is past its day without an answer, or the house decides each by itself.")
        return
    rows = [(item.claim.tag, day_words(item.last_day), item.answer, item.because) for item in found]
    say_table(("claim", "last day", "answer", "because of"), rows)


@people_command.command("public-list")
@click.option("--posted", is_flag=True, help="It was posted: everybody on it is told what it says of their cards.")
@with_desk
def public_list_command(desk: Desk, posted: bool) -> None:
    """Print the public list: handles and cards, pulled and submitted, nothing else."""
    from breakdesk.desk import public_list

    shown = public_list.public_list(desk)
    if not shown.people:
        say("Nothing is new that a public list may say.")
        return
    say(shown.message.whole)
    if posted:
        say()
        report(public_list.posted(desk, shown))
