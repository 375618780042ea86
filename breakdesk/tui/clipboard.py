"""Copying a text out of the program, and saying honestly what was done."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from breakdesk.rules.wording import counted
from breakdesk.tui.masking import Secret, shown

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp


MESSAGE_ON_AIR = "Not copied: it holds names and references, hidden on air. F9 goes off air."


def copy_text(app: DeskApp, text: str | Secret, called: str = "") -> str:
    """Send a text to the clipboard and return, as a sentence, what was done.

    It asks the terminal, which never answers (so no more is promised than the asking), and the system's own tool
    where there is one. On air a secret is not copied: the request to the terminal would hold it; `called` says in a
    word what it is where its kind does not.
    """
    if isinstance(text, Secret) and app.on_air and text:
        return f"Not copied: the {called or text.kind} is hidden on air."
    plain = shown(text, on_air=app.on_air)
    if not plain.strip():
        return "Nothing to copy here."
    app.copy_to_clipboard(plain)
    lines = len(plain.strip().splitlines())
    size = counted(lines, "line")
    if _system_copy(plain):
        return f"Sent to the clipboard ({size})."
    if os.environ.get("TMUX"):
        return f"Sent to the clipboard ({size}) by way of tmux, which passes it on if its set-clipboard is on."
    return f"Sent to the clipboard ({size}) by way of the terminal; a few terminals do not take it."


def _system_copy(text: str) -> bool:
    """Try the system's own tool; over ssh it would reach the wrong machine."""
    if os.environ.get("SSH_CONNECTION"):
        return False
    try:
        import pyperclip

        pyperclip.copy(text)
    except Exception:  # whatever a foreign tool fails on, the terminal has been asked already
        return False
    return True
