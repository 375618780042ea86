"""The message to a maker by other ways than copying: into files, or by the house's own mail server."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from breakdesk.cli.common import fail, report
from breakdesk.cli.output import say, say_problem
from breakdesk.cli.sending import mail_settings
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.problems import Result
    from breakdesk.files.mail_settings import MailSettings
    from breakdesk.rules.claim import Listed


def write_files(
    desk: Desk, about: Sequence[Sequence[Listed]], out: Path, form: Literal["txt", "eml"], own: str
) -> None:
    """Writes one message a maker; `own` is the house's address where it was named."""
    from breakdesk.desk.ask_files import Sender, write_asks
    from breakdesk.desk.problems import Problem

    if not about:
        fail("No maker may be asked now.")
    sender = Sender(address=own)
    if form == "eml" and not own:
        settings = mail_settings()
        sender = Sender(address=settings.sender, name=settings.sender_name)
    written = write_asks(desk, about, out, form, sender)
    if isinstance(written, Problem):
        fail(written.sentence)
    for sentence in written.left_out:
        say_problem(sentence)
    say(f"{counted(len(written.files), 'message')} written to {out}. None of it is an ask yet.")
    say("Once one went out: breakdesk ask MAKER --sent")


def send_one(desk: Desk, tags: Sequence[str]) -> None:
    """Sends the message about some claims of one maker; held where the office is closed."""
    report(_sent(desk, mail_settings(), tags, None))


def send_held_ones(desk: Desk, maker_id: int | None) -> None:
    """Sends what is held, to one maker or to all."""
    from breakdesk.desk.ask_messages import held_asks
    from breakdesk.desk.problems import Problem

    settings = mail_settings()
    held = [item for item in held_asks(desk) if maker_id in (None, item.maker_id)]
    if not held:
        fail("No message is held.")
    problems = []
    for item in held:
        result = _sent(desk, settings, (), item.id)
        if isinstance(result, Problem):
            problems.append(result.sentence)
        else:
            report(result)
    if problems:
        fail(*problems)


def _sent(desk: Desk, settings: MailSettings, tags: Sequence[str], held_id: int | None) -> Result:
    from breakdesk.desk.ask_mail import send_ask

    return send_ask(lambda do, *more: do(desk, *more), settings, tags, held_id)


def settle_doubt(desk: Desk, maker: str | None, *, arrived: bool) -> None:
    """Says of a message in doubt whether it arrived."""
    from breakdesk.desk.ask_mail import in_doubt, settle_ask
    from breakdesk.rules.names import folded

    found = [item for item in in_doubt(desk) if maker is None or folded(maker) in folded(item.maker)]
    if not found:
        fail("No message to that maker is in doubt.")
    for item in found:
        report(settle_ask(desk, item, arrived=arrived))
