"""The ways to unlock the desk's codes: listed, added, removed and used."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.codes import KEY_REMEDY
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.rules import recovery
from breakdesk.store import keys
from breakdesk.store.sealing import NoKey, key_path

SHORTEST_PASSPHRASE = 12
_ABOUT = {
    keys.KEY_FILE: "asks nobody: whoever has the desk file and the key file can read the codes",
    keys.PASSPHRASE: "is asked for when codes are needed",
    keys.KEYRING: "asks nobody while you are logged in at this machine",
    keys.RECOVERY: "48 printed symbols, for when the other ways are lost",
}
THING = "way to unlock"
ONLY_A_PASSPHRASE = (
    "Only the passphrase opens the codes now: whoever forgets it has lost them. "
    "`breakdesk lock add recovery-key` makes a key to print."
)


@dataclass(frozen=True, slots=True)
class WayLine:
    """A way to unlock that the desk has, and what it means."""

    kind: str
    about: str


def list_ways(desk: Desk) -> list[WayLine]:
    """The desk's ways to unlock, with where each stands or what it asks."""
    lines = []
    for kind in keys.WAYS:
        if kind in keys.ways():
            path = key_path(desk.path)
            missing = "" if kind != keys.KEY_FILE or path.exists() else f"; the file {path} is not there now"
            lines.append(WayLine(kind, _ABOUT[kind] + missing))
    return lines


def must_be_typed(desk: Desk) -> bool:
    """Whether codes stay closed until somebody types a passphrase or a recovery key."""
    return keys.must_be_typed(desk.path)


def unlock(desk: Desk, typed: str) -> Problem | None:
    """Opens the codes for as long as this desk is open, by its passphrase or its recovery key."""
    is_recovery_key = recovery.doubt(typed) is None
    try:
        if is_recovery_key and keys.RECOVERY in keys.ways():
            desk.sealer.use(keys.unlock_by_recovery_key(typed))
        else:
            desk.sealer.use(keys.unlock_by_passphrase(typed))
    except NoKey:
        known = keys.ways()
        if keys.RECOVERY in known and (keys.PASSPHRASE not in known or len(recovery.plain(typed)) > 40):
            return Problem(
                "That did not unlock the desk.", recovery.doubt(typed) or "It is another desk's recovery key."
            )
        return Problem("That is not the passphrase of this desk.", "Type it again.")
    return None


def add_passphrase(desk: Desk, passphrase: str) -> Result:
    """Lets a passphrase unlock the desk, in place of an earlier one."""

    def work(a: Act) -> str:
        if len(passphrase.strip()) < SHORTEST_PASSPHRASE:
            raise refuse(f"A passphrase needs at least {SHORTEST_PASSPHRASE} characters.", "Take several words.")
        keys.wrap_by_passphrase(passphrase, _data_key(desk))
        a.line(THING, 0, "way_added", {"way": keys.PASSPHRASE})
        return "The passphrase unlocks this desk from now on."

    return act(desk, "add a way to unlock", work)


def add_key_file(desk: Desk) -> Result:
    """Lets a key file beside the desk unlock it."""

    def work(a: Act) -> str:
        try:
            keys.wrap_by_key_file(desk.path, _data_key(desk))
        except NoKey:
            raise refuse(f"{key_path(desk.path)} is there already and is no key file.", "Move it away first.") from None
        except OSError as error:
            raise refuse(f"The key file cannot be written: {error.strerror}.", "Check the folder.") from None
        a.line(THING, 0, "way_added", {"way": keys.KEY_FILE})
        return f"The key file {key_path(desk.path)} unlocks this desk. Keep a copy of it somewhere else."

    return act(desk, "add a way to unlock", work)


def add_keyring(desk: Desk) -> Result:
    """Lets the operating system's keyring unlock the desk."""

    def work(a: Act) -> str:
        data_key = _data_key(desk)
        try:
            keys.wrap_by_keyring(data_key)
        except NoKey:
            raise refuse(
                "This machine has no keyring that can be used.",
                "Install the extra `breakdesk[keyring]`, or take another.",
            ) from None
        a.line(THING, 0, "way_added", {"way": keys.KEYRING})
        return "The keyring of this machine unlocks this desk while you are logged in."

    return act(desk, "add a way to unlock", work)


def add_recovery_key(desk: Desk) -> tuple[Result, str]:
    """Makes a recovery key in place of an earlier one; the second part is the key, which is kept nowhere."""
    made = ""

    def work(a: Act) -> str:
        nonlocal made
        made = keys.wrap_by_recovery_key(_data_key(desk))
        a.line(THING, 0, "way_added", {"way": keys.RECOVERY})
        return "This recovery key unlocks the desk and its backups. It is kept nowhere: print it or write it down now."

    return act(desk, "add a way to unlock", work), made


def remove_way(desk: Desk, kind: str) -> Result:
    """Takes a way to unlock out of the desk; one that does not need the recovery key has to stay.

    Backups made before still open by it, and so does the file for those who copied both.
    """

    def work(a: Act) -> str:
        known = keys.ways()
        if kind not in known:
            raise refuse(f"This desk has no {kind}.", "`breakdesk lock` lists its ways to unlock.")
        if not set(known) - {kind, keys.RECOVERY}:
            raise refuse(f"The {kind} is the last way to unlock this desk.", "Add another first.")
        _data_key(desk)
        keys.forget(kind)
        a.line(THING, 0, "way_removed", {"way": kind})
        if set(known) - {kind} == {keys.PASSPHRASE}:
            a.warnings.append(ONLY_A_PASSPHRASE)
        return f"The {kind} unlocks this desk no more. Backups made before still open by it."

    result = act(desk, "remove a way to unlock", work)
    if not isinstance(result, Problem):
        try:
            keys.forget_outside(desk.path, kind)
        except (OSError, NoKey):
            return Problem(f"The {kind} unlocks nothing now, but it could not be deleted.", "Delete it by hand.")
    return result


def _data_key(desk: Desk) -> bytes:
    try:
        return desk.sealer.data_key()
    except NoKey:
        raise refuse("The desk's codes are locked.", KEY_REMEDY) from None
