"""The notice of a delay, with its choice: a template like every message, for a law that may ask for it."""

from __future__ import annotations

from breakdesk.files.messages.channels import DIRECT_MESSAGE, EMAIL, Channel, Message
from breakdesk.files.messages.composing import Writer, address_name
from breakdesk.files.messages.plain import plain_line
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.variables import group_text
from breakdesk.files.messages.views import TellingView


def delay_message(
    view: TellingView, tone: str = "warm", channel: Channel = DIRECT_MESSAGE, templates: Templates | None = None
) -> Message:
    """One notice to one participant about the cards in `view.waiting`, of which there is at least one."""
    writer = Writer(templates, tone, view.language)
    group = group_text("waiting", view.waiting, writer.templates.language_of("delay_notice"))
    variables: dict[str, object] = {
        "name": address_name(view),
        "handle": plain_line(view.handle),
        "house": plain_line(view.house_name),
        "claim": group.claims[0],
        **{name: getattr(group, name) for name in ("claims", "count", "one", "few", "cards", "same")},
    }
    subject = f"{variables['house']}: a delay, and your choice" if channel.kind == EMAIL else ""
    return writer.finish(writer.write("delay_notice", variables), channel, subject)
