"""Asks for the passphrase before the screen starts, where the desk's codes are not unlocked by themselves."""

from __future__ import annotations

import sys
from getpass import getpass

from breakdesk.desk.locking import must_be_typed, unlock
from breakdesk.desk.thread import DeskThread

TRIES = 3


def unlock_before_the_screen(desk: DeskThread) -> None:
    """Asks on the terminal, where nothing that is typed is shown; Enter goes on with the codes locked."""
    if not desk.submit(must_be_typed).result():
        return
    for _ in range(TRIES):
        typed = getpass("Passphrase or recovery key (Enter goes on with the codes locked): ")
        if not typed:
            return
        problem = desk.submit(unlock, typed).result()
        if problem is None:
            return
        print(problem.sentence, file=sys.stderr)
