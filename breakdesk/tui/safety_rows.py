"""The rows of the page about safety: how each thing stands, and in sentences what Enter does with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo

from breakdesk.desk.safety import Safety
from breakdesk.rules.wording import counted
from breakdesk.store import keys
from breakdesk.store.backups import BEFORE_UPDATE, Backup
from breakdesk.tui.wording import day_words, path_words, without_home

FRESH_HOURS = 26
"""A newest backup that is older than a day and a bit is said with emphasis."""


@dataclass(frozen=True, slots=True)
class SafetyRow:
    """One row: what it is, how it stands, and what Enter does; `strong` for what a person should see to."""

    kind: str
    label: str
    now: str
    about: str
    strong: bool = False


def safety_rows(safety: Safety, now: datetime) -> list[SafetyRow]:
    """Backups first, then what opens the codes, then the desk file itself."""
    return [*_backup_rows(safety, now), *_code_rows(safety, now), *_file_rows(safety)]


def instant_words(instant: datetime, now: datetime) -> str:
    """A moment for a list: the time alone today, with its day before that. `now` is in the house's zone."""
    local = instant.astimezone(now.tzinfo)
    return (
        f"today {local:%H:%M}"
        if local.date() == now.date()
        else f"{day_words(local.date(), now.date())}, {local:%H:%M}"
    )


def backup_words(backup: Backup, zone: tzinfo | None) -> str:
    """A backup in a list: when it was made, how large it is, and why where that is special."""
    local = backup.made_at.astimezone(zone)
    why = ", before an update" if backup.reason == BEFORE_UPDATE else ""
    return f"{day_words(local.date())}, {local:%H:%M} ({backup.size / 1_000_000:.1f} MB{why})"


def _backup_rows(safety: Safety, now: datetime) -> list[SafetyRow]:
    newest = safety.backups[0] if safety.backups else None
    is_old = newest is None or (now - newest.made_at).total_seconds() > FRESH_HOURS * 3600
    size = sum(backup.size for backup in safety.backups) / 1_000_000
    return [
        SafetyRow(
            "make",
            "Newest backup",
            f"{instant_words(newest.made_at, now)}, proved when made" if newest else "none yet",
            "Enter makes one now. Breakdesk makes one soon after the start, each hour and at the end, with your photos "
            "and your wording, and proves each after writing.",
            is_old,
        ),
        SafetyRow(
            "check",
            "All backups",
            f"{counted(len(safety.backups), 'backup')}, {size:.0f} MB" if safety.backups else "none yet",
            f"Enter reads every backup again and lists them. They stand in {path_words(safety.folder)}: one an hour "
            "for a day, one a day for a month, one a month for a year.",
        ),
        SafetyRow(
            "copy",
            "Copy elsewhere",
            "to another disk",
            "Backups beside the desk are lost with the machine. Enter writes one to a stick or another disk. The key "
            "file is not in it: keep a copy of that, or a recovery key, in a third place.",
        ),
        SafetyRow(
            "restore",
            "Restore",
            "to a new desk file",
            "Enter makes a new desk from a backup, with its photos and wording. The desk in use stays as it is; "
            "nothing is replaced until you open the new one instead.",
        ),
    ]


def _code_rows(safety: Safety, now: datetime) -> list[SafetyRow]:
    return [_lock_row(safety), *(_way_row(kind, safety) for kind in keys.WAYS[:3]), _recovery_row(safety, now)]


def _lock_row(safety: Safety) -> SafetyRow:
    if not safety.is_unlocked:
        about = "Codes cannot be read, entered or compared. Enter asks for the passphrase or the recovery key."
        return SafetyRow("unlock", "Codes", "locked", about, strong=True)
    if safety.asks:
        about = "Enter locks them until somebody types the passphrase again. Everything else goes on without them."
        return SafetyRow("lock", "Codes", "open until you leave", about)
    about = (
        "They are always sealed in the file, and open here without asking. To be asked for them, set a passphrase, "
        "then take the key file away."
    )
    return SafetyRow("lock", "Codes", "open by themselves", about)


_ABOUT = {
    keys.KEY_FILE: "A small file beside the desk opens the codes and asks nobody: whoever has both files reads them.",
    keys.PASSPHRASE: "Is asked for at the start. It is stretched (Argon2id, 64 MiB), so that guessing is slow.",
    keys.KEYRING: "The keyring of this machine opens the codes while you are logged in (extra: breakdesk[keyring]).",
}


def _way_row(kind: str, safety: Safety) -> SafetyRow:
    is_there = kind in safety.ways
    if not is_there:
        enter = "sets one" if kind == keys.PASSPHRASE else "adds it"
    else:
        enter = "changes it or takes it away" if kind == keys.PASSPHRASE else "takes it away"
    is_missing = "not there now" in safety.ways.get(kind, "")
    now = "its file is not there" if is_missing else "opens the codes" if is_there else "none"
    return SafetyRow(kind, kind.capitalize(), now, f"{_ABOUT[kind]} Enter {enter}.", is_missing)


def _recovery_row(safety: Safety, now: datetime) -> SafetyRow:
    made = safety.recovery_made_on if keys.RECOVERY in safety.ways else None
    about = (
        "48 printed symbols for the day when the other ways are lost; they open the backups, too. Enter makes a new "
        "one, shown once or written as a page to print. An earlier one opens this desk no more."
    )
    if keys.RECOVERY not in safety.ways:
        return SafetyRow(keys.RECOVERY, "Recovery key", "none: make one", about, strong=True)
    return SafetyRow(keys.RECOVERY, "Recovery key", f"made {day_words(made, now.date())}", about)


def _file_rows(safety: Safety) -> list[SafetyRow]:
    who = without_home(" ".join(safety.notes)) or "The desk and its key file can be read by you alone on this machine."
    return [
        SafetyRow(
            "readers", "Who can read it", "others, too" if safety.notes else "you alone", who, bool(safety.notes)
        ),
        SafetyRow(
            "verify",
            "Check the desk",
            "on Enter",
            "Enter plays every claim's history again and compares it with what stands in the lists, follows the chain "
            "of the history, and holds every photo against its digest. A large desk takes some seconds.",
        ),
    ]
