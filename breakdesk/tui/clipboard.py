"""Copying a text out of the program, and saying honestly what was done."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from breakdesk.rules.wording import counted
from breakdesk.tui.masking import Kind, Secret, shown

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

CLEAR_CODES_AFTER = 60
"""Seconds after which a code that was copied is cleared from the clipboard, where nothing else is set; 0 is never."""
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
    later = _clear_later(app, plain) if isinstance(text, Secret) and text.kind is Kind.CODE else ""
    if _system_copy(plain):
        return f"Sent to the clipboard ({size}).{later}"
    if os.environ.get("TMUX"):
        return f"Sent to the clipboard ({size}) by way of tmux, which passes it on if its set-clipboard is on.{later}"
    return f"Sent to the clipboard ({size}) by way of the terminal; a few terminals do not take it.{later}"


def _clear_later(app: DeskApp, plain: str) -> str:
    """Has a code cleared from the clipboard after the time that is set; returns a sentence about it."""
    if not app.clear_codes_after:
        return ""
    app.code_on_clipboard = plain
    app.set_timer(app.clear_codes_after, lambda: clear_code(app, plain))
    return f" It is cleared there in {counted(app.clear_codes_after, 'second')}."


def clear_code(app: DeskApp, plain: str | None = None) -> None:
    """Clears a code that was copied, the last one where none is given; what was copied since stays.

    The system's clipboard can be looked at. Of the terminal's nobody can tell: it is asked, and does not answer.
    """
    code = app.code_on_clipboard if plain is None else plain
    if not code or code != app.code_on_clipboard:
        return
    app.code_on_clipboard = ""
    try:
        import pyperclip

        if not os.environ.get("SSH_CONNECTION") and pyperclip.paste() != code:
            return
        pyperclip.copy("")
    except Exception:
        pass
    if app.clipboard == code:
        app.copy_to_clipboard("")


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
