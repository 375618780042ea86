"""The command `send`: messages to many at once, into files or by the house's own mail server."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.wording import day_words
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.bulk import Recipient, Wanted
    from breakdesk.desk.desk import Desk
    from breakdesk.files.mail_settings import MailSettings

FORMS = ("eml", "txt", "csv")


@click.command("send")
@click.argument("who", nargs=-1)
@click.option("--news", default="", metavar="WORD", help="Only who has this news untold, such as in_hand; or any.")
@click.option("--maker", default="", help="Only who has claims with this maker.")
@click.option("--break", "break_name", default="", help="Only who has claims from this break.")
@click.option("--channel", default="", help="Only who is written to by direct, email, sms or public.")
@click.option("--silent", type=click.IntRange(1, 3650), metavar="DAYS", help="Only who was told nothing for so long.")
@click.option("--due", is_flag=True, help="Only whose telling is due.")
@click.option("--again", is_flag=True, help="Also who was told today and has heard everything.")
@click.option("--preview", is_flag=True, help="Print each message.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="PATH", help="Write into this new folder (or CSV file)."
)
@click.option("--as", "form", type=click.Choice(FORMS), default="txt", show_default=True, help="What --out writes.")
@click.option("--from", "sender", default="", metavar="ADDRESS", help="Your address, for eml without mail settings.")
@click.option("--mail", is_flag=True, help="Send e-mails by your mail server; each that it takes is marked as told.")
@click.option("--dry-run", is_flag=True, help="With --mail: sign in and write every message, and send nothing.")
@click.option("--although-quiet", is_flag=True, help="With --mail: also to whose quiet hours are now.")
@click.option("--plain", is_flag=True, help="Plain characters in short messages that others would make longer.")
@click.option("--told", type=click.Path(path_type=Path, exists=True), metavar="PATH", help="Mark what --out wrote.")
@click.option("--undo", is_flag=True, help="With --told: take all of it back; those messages did not go out.")
@click.option("--in-doubt", is_flag=True, help="List messages of which nobody knows whether they arrived.")
@click.option("--arrived/--not-arrived", default=None, help="Settle the message in doubt to WHO.")
@with_desk
def send_command(desk: Desk, who: tuple[str, ...], **given: Any) -> None:
    """List who would be written to, and write or send their messages in one go.

    Without --out or --mail nothing is written. Files mark nobody as told: once they went out, --told PATH does, word
    for word. Run --mail again to go on where it stopped; nobody is told twice.
    """
    if given["arrived"] is not None:
        _settle(desk, who, arrived=given["arrived"])
    elif given["in_doubt"]:
        _list_in_doubt(desk)
    elif given["told"] is not None:
        _mark(desk, given["told"], back=given["undo"])
    elif given["out"] is not None and given["mail"]:
        raise click.UsageError("--out writes files and --mail sends; take one of them.")
    elif given["dry_run"] and not given["mail"]:
        raise click.UsageError("--dry-run belongs to --mail; without it and --out nothing is sent anyway.")
    elif given["undo"]:
        raise click.UsageError("--undo belongs to --told; breakdesk undo takes back a single message.")
    else:
        _choose(desk, who, given)


def _choose(desk: Desk, who: tuple[str, ...], given: dict[str, Any]) -> None:
    from breakdesk.cli.telling import refuse_mixed_times
    from breakdesk.desk.bulk import choose, keys_of

    if given["mail"] and desk.clock.named is not None:
        raise click.UsageError("--mail sends now: leave --on out.")
    if given["mail"] and not given["channel"] and not who:
        # Who wants another way is not written to by e-mail without being named.
        given["channel"] = "email"
    recipients = choose(desk, _wanted(desk, who, given), again=given["again"])
    if not recipients:
        say("Nobody fits.")
        return
    keys = keys_of(recipients)
    refuse_mixed_times(desk, keys)
    if given["out"] is not None:
        _write(desk, keys, given)
    elif given["mail"]:
        _send(desk, keys, given)
    elif given["preview"]:
        _preview(desk, keys, plain=given["plain"])
    else:
        _list(recipients)
        say(f"{counted(len(keys), 'message')} would be written.")


def _wanted(desk: Desk, who: tuple[str, ...], given: dict[str, Any]) -> Wanted:
    from breakdesk.cli import named
    from breakdesk.desk.bulk import Wanted
    from breakdesk.files.messages.channels import KINDS, channel_for
    from breakdesk.files.messages.wording import NEWS

    if given["news"] and given["news"] not in ("any", *NEWS):
        raise click.UsageError(f"There is no news {given['news']}; there are any, {', '.join(NEWS)}.")
    channel = given["channel"]
    if channel and channel not in KINDS and channel_for(channel).kind == "direct":
        raise click.UsageError(f"There is no channel {channel}; there are {', '.join(KINDS)}.")
    return Wanted(
        news=given["news"],
        maker_id=named.maker_id(given["maker"]) if given["maker"] else None,
        break_id=named.break_id(given["break_name"]) if given["break_name"] else None,
        channel=channel_for(channel).kind if channel else "",
        silent_days=given["silent"],
        due=given["due"],
        person_ids=tuple(named.person_id(desk, name) for name in who),
    )


def _list(recipients: tuple[Recipient, ...]) -> None:
    rows = [
        (
            item.name,
            item.handle,
            item.channel,
            str(item.news),
            str(item.waiting),
            day_words(item.last_told_on) or "never",
            item.left_out or item.note or item.quiet,
        )
        for item in recipients
    ]
    say_table(
        ("participant", "handle", "by", "news", "waiting", "last told", "left out, or to know"), rows, right=(3, 4)
    )


def _preview(desk: Desk, keys: tuple[int, ...], *, plain: bool) -> None:
    from breakdesk.desk.telling import tellings_for

    for number, telling in enumerate(tellings_for(desk, keys, plain=plain)):
        if number:
            say("\n----\n")
        say(f"To {telling.view.participant_name}, by {telling.message.channel}:\n")
        say(telling.message.whole)
        for warning in telling.message.warnings:
            say_problem(f"Note: {warning}")


def _write(desk: Desk, keys: tuple[int, ...], given: dict[str, Any]) -> None:
    from breakdesk.desk.bulk_files import ToWrite, write_bulk
    from breakdesk.desk.problems import Problem

    sender, name = given["sender"], ""
    if given["form"] == "eml" and not sender:
        settings = mail_settings()
        sender, name = settings.sender, settings.sender_name
    wanted = ToWrite(
        person_ids=keys,
        out=given["out"],
        form=given["form"],
        plain=given["plain"],
        from_address=sender,
        from_name=name,
    )
    written = write_bulk(desk, wanted, _progress)
    if isinstance(written, Problem):
        fail(written.sentence)
    for sentence in written.left_out:
        say_problem(sentence)
    say(f"{counted(written.count, 'message')} written to {given['out']}. Nobody is marked as told.")
    say(f"Once they went out: breakdesk send --told {given['out']}")


def _mark(desk: Desk, path: Path, *, back: bool) -> None:
    from breakdesk.desk.bulk_told import mark_list_told, take_list_back
    from breakdesk.desk.problems import Problem

    result = (take_list_back if back else mark_list_told)(desk, path, _progress)
    if isinstance(result, Problem):
        fail(result.sentence)
    say(f"{counted(result.count, 'participant')} {'to be told again' if back else 'told'}.")
    if result.problems:
        fail(*result.problems)


def mail_settings() -> MailSettings:
    """The settings of the house's mail server; without them the command ends with a sentence."""
    from breakdesk.files.mail_settings import mail_settings_path, read_mail_settings
    from breakdesk.files.messages.eml import MailProblem

    settings = read_mail_settings(mail_settings_path())
    if isinstance(settings, MailProblem):
        fail(settings.sentence)
    return settings


def _send(desk: Desk, keys: tuple[int, ...], given: dict[str, Any]) -> None:
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.sending import send_all

    sent = send_all(
        lambda do, *more: do(desk, *more),
        mail_settings(),
        keys,
        again=given["again"],
        although_quiet=given["although_quiet"],
        dry_run=given["dry_run"],
        progress=_progress,
    )
    if isinstance(sent, Problem):
        fail(sent.sentence)
    for item in sent.not_sent:
        say_problem(f"{item.name}: {item.why}.")
    if sent.dry_run:
        say(f"{counted(sent.tried, 'message')} would be sent. Nothing was sent.")
    else:
        say(f"{counted(len(sent.keys), 'message')} sent and marked as told.")
    if sent.stopped:
        fail(f"{sent.stopped} {counted(sent.left, 'message')} left; the same command goes on from here.")


def _list_in_doubt(desk: Desk) -> None:
    from breakdesk.desk.under_way import under_way

    found = under_way(desk)
    if not found:
        say("No message is in doubt.")
        return
    say_table(
        ("participant", "handle", "handed over"),
        [(item.name, item.handle, f"{item.at:%Y-%m-%d %H:%M} UTC") for item in found],
    )
    say("Look whether each arrived, then: breakdesk send WHO --arrived (or --not-arrived)")


def _settle(desk: Desk, who: tuple[str, ...], *, arrived: bool) -> None:
    from breakdesk.cli import named
    from breakdesk.desk.under_way import settle_under_way

    if not who:
        raise click.UsageError("Say whose message arrived or did not: send WHO --arrived.")
    for name in who:
        report(settle_under_way(desk, named.person_id(desk, name), arrived=arrived))


def _progress(done: int, total: int) -> bool:
    """Counts on a terminal; a pipe gets nothing. Ctrl+C stops between two messages."""
    if sys.stderr.isatty():
        click.echo(f"\r{done:,} of {total:,}" + ("\n" if done == total else ""), nl=False, err=True)
    return True
