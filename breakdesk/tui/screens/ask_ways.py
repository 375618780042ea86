"""The message to a maker by other ways than copying: into a file, or by the house's own mail server."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import cast

from breakdesk.desk.ask_files import Form, Sender, write_asks
from breakdesk.desk.ask_mail import in_doubt, send_ask, settle_ask
from breakdesk.desk.problems import Done, Problem
from breakdesk.files.mail_settings import MailSettings, mail_settings_path, read_mail_settings
from breakdesk.files.messages.eml import MailProblem
from breakdesk.files.typed_paths import typed_path
from breakdesk.rules.claim import Listed
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen, needed


async def write_file(screen: ActingScreen, claims: Sequence[Listed]) -> None:
    """Ask where, and write the message; it is no ask until somebody says that it was sent."""
    form = await screen.pick("Write what?", [("eml", "An e-mail draft, for your mail program"), ("txt", "A text file")])
    if form not in ("eml", "txt"):
        return
    settings = read_mail_settings(mail_settings_path())
    sender = Sender()
    if form == "eml" and isinstance(settings, MailSettings):
        sender = Sender(address=settings.sender, name=settings.sender_name)
    elif form == "eml":
        address = await screen.ask(AskText("From which of your addresses?", secret=True, check=needed))
        if not address:
            return
        sender = Sender(address=address)
    start = screen.desk.desk.path.with_name(f"asks {screen.desk.now():%Y-%m-%d %H%M}")
    place = await screen.ask(AskText("Into which new folder?", value=str(start), secret=True, check=needed))
    if not place:
        return
    written = await screen.desk.call(write_asks, [claims], typed_path(place), cast("Form", form), sender)
    if isinstance(written, Problem):
        screen.say(masking.note(written.sentence))
    elif written.left_out:
        screen.say(masking.note(" ".join(written.left_out)))
    else:
        screen.say("The message is written. It is no ask yet: s records it once it went out.")


async def send_by_mail(
    screen: ActingScreen, claims: Sequence[Listed], held_id: int | None, contact: str, *, open_now: bool
) -> Done | None:
    """Ask, send, and record the ask once the server took it; a message in doubt is settled first."""
    settings = read_mail_settings(mail_settings_path())
    if isinstance(settings, MailProblem):
        screen.say(settings.sentence)
        return None
    tags = tuple(claim.tag for claim in claims)
    doubts = await screen.desk.call(in_doubt, tags)
    if doubts:
        answers = [("no", "It did not arrive: it can be sent again"), ("yes", "It arrived: record the ask")]
        about = "The line broke while the last one was on its way. Look into your mail server's log, or ask them."
        arrived = await screen.pick("Did the last message to this maker arrive?", answers, about)
        if arrived is None:
            return None
        return await screen.carry_out(screen.desk.call(settle_ask, doubts[0], arrived=arrived == "yes"))
    after = (
        "It is an ask once your mail server took it."
        if open_now
        else "The office is closed: the message is held, and can be sent once it opens."
    )
    question = Confirm(
        "Send this message by e-mail?",
        masking.email(contact) or "no address is noted",
        f". {after}",
        yes="Send it" if open_now else "Hold it until the office opens",
        no="Send nothing",
    )
    if not await screen.ask(question):
        return None
    screen.say("Sending …")
    work = asyncio.get_running_loop().run_in_executor(
        None, lambda: send_ask(lambda do, *given: screen.desk.queue(do, *given).result(), settings, tags, held_id)
    )
    return await screen.carry_out(work)
