"""Asks for the passphrase before the screen starts, where the desk's codes are not unlocked by themselves."""

from __future__ import annotations

import sys
from getpass import getpass

from breakdesk.desk.thread import DeskThread
from breakdesk.store.keys import must_be_typed

TRIES = 3


def unlock_before_the_screen(desk: DeskThread) -> None:
    """Asks on the terminal, where nothing that is typed is shown; Enter goes on with the codes locked."""
    if not desk.submit(lambda opened: must_be_typed(opened.path)).result():
        return
    # Actions and all that they need are loaded only where somebody has to type.
    from breakdesk.desk.locking import unlock

    for _ in range(TRIES):
        typed = getpass("Passphrase or recovery key (Enter goes on with the codes locked): ")
        if not typed:
            return
        problem = desk.submit(unlock, typed).result()
        if problem is None:
            return
        print(problem.sentence, file=sys.stderr)
