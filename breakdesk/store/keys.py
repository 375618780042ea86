"""The desk's one data key, wrapped once for each way to unlock it, in the desk file itself.

A way is a key file beside the desk (the default), a passphrase, the operating system's keyring, or a printed recovery
key. Each wrapping is bound to this desk and this way. Because the wrappings travel with the desk file, a backup opens
with the same passphrase or recovery key; the key file and the keyring's entry have to be kept for themselves.
"""

from __future__ import annotations

import base64
import json
import secrets
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from breakdesk.rules import recovery
from breakdesk.store.kept_files import write_durably
from breakdesk.store.models import ClaimCode, DeskFact, StrictSqlite
from breakdesk.store.sealing import ALGORITHM, KEY_BYTES, NoKey, key_path, opened_with, sealed_with

KEY_FILE, PASSPHRASE, KEYRING, RECOVERY = "key file", "passphrase", "keyring", "recovery key"
WAYS = (KEY_FILE, PASSPHRASE, KEYRING, RECOVERY)
KEYRING_SERVICE = "breakdesk"
_FACT = "way to unlock: "
_SALT_BYTES = 16
# RFC 9106, section 4, the second recommended option: three passes, four lanes, 64 MiB.
_PASSES, _LANES, _KIBIBYTES = 3, 4, 64 * 1024


@dataclass(frozen=True, slots=True)
class Way:
    """One way to unlock: the wrapped data key, and how its wrapping key is derived where it is."""

    kind: str
    wrapped: bytes
    derivation: dict[str, Any]


def ways() -> dict[str, Way]:
    """The desk's ways to unlock, by kind."""
    facts = DeskFact.select().where(DeskFact.name.startswith(_FACT))
    found = {}
    for fact in facts:
        said = json.loads(fact.value)
        kind = fact.name.removeprefix(_FACT)
        found[kind] = Way(kind, _from_text(said["wrapped"]), said["derivation"])
    return found


def must_be_typed(desk_path: Path) -> bool:
    """Whether codes stay closed until somebody types a passphrase or a recovery key."""
    known = ways()
    opens_quietly = (KEY_FILE in known and key_path(desk_path).exists()) or KEYRING in known
    return bool(known) and not opens_quietly


def ensure_first_way(database: StrictSqlite, desk_path: Path) -> None:
    """Gives a new desk its data key and a key file that unlocks it. Raises NoKey where a file is in the way, OSError.

    A desk that has codes but no way to unlock them gets none: a new key could never open them.
    """
    if ways():
        return
    with database.atomic():
        if ways() or ClaimCode.select().exists():
            return
        data_key = secrets.token_bytes(KEY_BYTES)
        wrap_by_key_file(desk_path, data_key)


def wrap_by_key_file(desk_path: Path, data_key: bytes) -> None:
    """Adds the key file as a way. A key file that is there already is used. Call inside a transaction."""
    path = key_path(desk_path)
    wrapping = read_key_file(path) if path.exists() else _new_key_file(path)
    _keep(KEY_FILE, wrapping, data_key, {})


def wrap_by_passphrase(passphrase: str, data_key: bytes) -> None:
    """Adds a passphrase as a way, stretched by a memory-hard derivation (Argon2id, RFC 9106)."""
    salt = secrets.token_bytes(_SALT_BYTES)
    derivation = {"name": "argon2id", "salt": _to_text(salt), "passes": _PASSES, "lanes": _LANES, "memory": _KIBIBYTES}
    _keep(PASSPHRASE, _stretched(passphrase, derivation), data_key, derivation)


def wrap_by_recovery_key(data_key: bytes) -> str:
    """Adds a new recovery key as a way, replacing an earlier one; returns it as it is printed. It is kept nowhere."""
    text = recovery.written([secrets.randbelow(23) for _ in range(recovery.SYMBOLS)])
    salt = secrets.token_bytes(_SALT_BYTES)
    derivation = {"name": "hkdf-sha256", "salt": _to_text(salt)}
    _keep(RECOVERY, _expanded(recovery.plain(text), derivation), data_key, derivation)
    return text


def wrap_by_keyring(data_key: bytes) -> None:
    """Adds the operating system's keyring as a way. Raises NoKey where there is none."""
    wrapping = secrets.token_bytes(KEY_BYTES)
    _keyring_call("set_password", _desk_id(), _to_text(wrapping))
    _keep(KEYRING, wrapping, data_key, {})


def unlock_quietly(desk_path: Path) -> bytes:
    """The data key by the ways that ask nobody: the key file, then the keyring. Raises NoKey."""
    known = ways()
    path = key_path(desk_path)
    if KEY_FILE in known and path.exists():
        return _opened(known[KEY_FILE], read_key_file(path))
    if KEYRING in known:
        entry = _keyring_call("get_password", _desk_id())
        if entry:
            return _opened(known[KEYRING], _from_text(entry))
    raise NoKey("no way to unlock that asks nobody")


def unlock_by_passphrase(passphrase: str) -> bytes:
    """The data key by a passphrase. Raises NoKey where it is another one, or the desk has none."""
    way = _way(PASSPHRASE)
    return _opened(way, _stretched(passphrase, way.derivation))


def unlock_by_recovery_key(text: str) -> bytes:
    """The data key by a recovery key. Raises NoKey where it is another one, or the desk has none."""
    way = _way(RECOVERY)
    return _opened(way, _expanded(recovery.plain(text), way.derivation))


def forget(kind: str) -> None:
    """Takes a way out of the desk. What stood outside of it, `forget_outside` removes once that is saved."""
    DeskFact.delete().where(DeskFact.name == _FACT + kind).execute()


def forget_outside(desk_path: Path, kind: str) -> None:
    """Removes the key file or the keyring's entry of a way that was taken out."""
    if kind == KEY_FILE:
        key_path(desk_path).unlink(missing_ok=True)
    if kind == KEYRING:
        _keyring_call("delete_password", _desk_id())


def read_key_file(path: Path) -> bytes:
    """The key in a key file. Raises NoKey where it cannot be read or is none of ours."""
    try:
        said = json.loads(path.read_text(encoding="ascii"))
        key = base64.b64decode(said["key"], validate=True)
        is_ours = len(key) == KEY_BYTES and said.get("algorithm") == ALGORITHM
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise NoKey(str(path)) from error
    if not is_ours:
        raise NoKey(str(path))
    return key


def _new_key_file(path: Path) -> bytes:
    key = secrets.token_bytes(KEY_BYTES)
    write_durably(path, json.dumps({"algorithm": ALGORITHM, "key": _to_text(key)}).encode("ascii"))
    return key


def _keep(kind: str, wrapping: bytes, data_key: bytes, derivation: dict[str, Any]) -> None:
    wrapped = sealed_with(wrapping, data_key, _bound_to(kind))
    said = json.dumps({"wrapped": _to_text(wrapped), "derivation": derivation}, sort_keys=True)
    kept = DeskFact.insert(name=_FACT + kind, value=said)
    kept.on_conflict(conflict_target=[DeskFact.name], update={DeskFact.value: said}).execute()


def _opened(way: Way, wrapping: bytes) -> bytes:
    return opened_with(wrapping, way.wrapped, _bound_to(way.kind))


def _way(kind: str) -> Way:
    found = ways().get(kind)
    if found is None:
        raise NoKey(f"this desk has no {kind}")
    return found


def _desk_id() -> str:
    return str(DeskFact.get_by_id("desk_id").value)


def _bound_to(kind: str) -> str:
    return f"data key of desk {_desk_id()}, by {kind}"


def _stretched(passphrase: str, derivation: dict[str, Any]) -> bytes:
    import unicodedata

    from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

    typed = unicodedata.normalize("NFKC", passphrase).strip().encode()
    salt, passes = _from_text(derivation["salt"]), derivation["passes"]
    lanes, memory = derivation["lanes"], derivation["memory"]
    return Argon2id(salt=salt, length=KEY_BYTES, iterations=passes, lanes=lanes, memory_cost=memory).derive(typed)


def _expanded(symbols: str, derivation: dict[str, Any]) -> bytes:
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.hazmat.primitives.kdf.hkdf import HKDF

    salt = _from_text(derivation["salt"])
    return HKDF(algorithm=SHA256(), length=KEY_BYTES, salt=salt, info=b"breakdesk recovery key").derive(
        symbols.encode()
    )


def _keyring_call(name: str, *given: str) -> str | None:
    try:
        answer: str | None = getattr(import_module("keyring"), name)(KEYRING_SERVICE, *given)
    except Exception as error:
        # The library has as many kinds of error as there are keyrings.
        raise NoKey("this machine has no keyring that can be used") from error
    return answer


def _to_text(content: bytes) -> str:
    return base64.b64encode(content).decode()


def _from_text(text: str) -> bytes:
    return base64.b64decode(text, validate=True)
