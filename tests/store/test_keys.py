"""One data key a desk, wrapped once for each way to unlock."""

from __future__ import annotations

import json
import secrets
import stat
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from breakdesk.rules.clocks import instant_of
from breakdesk.rules.recovery import doubt
from breakdesk.store import keys
from breakdesk.store.models import DeskFact
from breakdesk.store.opening import CannotOpen, OpenDesk, open_desk_file
from breakdesk.store.sealing import KEY_BYTES, NoKey, key_path

NOW = instant_of(1_772_474_400_000_000)


@pytest.fixture
def data_key(desk_file: OpenDesk) -> bytes:
    return keys.unlock_quietly(desk_file.path)


def stored() -> str:
    """All that the desk file says of its ways to unlock."""
    return "".join(fact.value for fact in DeskFact.select())


def test_a_new_desk_has_a_key_file_for_its_owner_only(desk_file: OpenDesk, data_key: bytes) -> None:
    path = key_path(desk_file.path)
    assert list(keys.ways()) == [keys.KEY_FILE]
    assert len(data_key) == KEY_BYTES
    assert data_key != keys.read_key_file(path)
    if sys.platform != "win32":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert not list(path.parent.glob("*.part"))


def test_opening_again_makes_no_new_key(desk_file: OpenDesk, data_key: bytes) -> None:
    desk_file.close()
    again = open_desk_file(desk_file.path, NOW, create=False)
    assert keys.unlock_quietly(desk_file.path) == data_key
    again.close()


def test_a_key_file_left_by_a_creation_that_was_cut_short_is_taken(tmp_path: Path) -> None:
    first = open_desk_file(tmp_path / "a.db", NOW, create=True)
    DeskFact.delete().where(DeskFact.name.startswith("way")).execute()
    wrapping = keys.read_key_file(key_path(first.path))
    first.close()
    again = open_desk_file(tmp_path / "a.db", NOW, create=False)
    assert keys.read_key_file(key_path(again.path)) == wrapping
    assert keys.unlock_quietly(again.path)
    again.close()


def test_a_passphrase_unlocks_the_same_key_and_another_does_not(data_key: bytes) -> None:
    keys.wrap_by_passphrase("four herons in a row", data_key)
    assert keys.unlock_by_passphrase("four herons in a row") == data_key
    with pytest.raises(NoKey):
        keys.unlock_by_passphrase("four herons in a roW")
    assert "herons" not in stored()
    keys.wrap_by_passphrase("another one altogether", data_key)
    with pytest.raises(NoKey):
        keys.unlock_by_passphrase("four herons in a row")


def test_a_recovery_key_unlocks_however_it_is_typed(data_key: bytes) -> None:
    text = keys.wrap_by_recovery_key(data_key)
    assert doubt(text) is None
    assert keys.unlock_by_recovery_key(text) == data_key
    assert keys.unlock_by_recovery_key(text.lower().replace(" ", "-")) == data_key
    assert text.split()[0] not in stored()
    newer = keys.wrap_by_recovery_key(data_key)
    assert newer != text
    with pytest.raises(NoKey):
        keys.unlock_by_recovery_key(text)


def test_the_keyring_unlocks_where_there_is_one(
    desk_file: OpenDesk, data_key: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: dict[tuple[str, str], str] = {}
    ring = SimpleNamespace(
        set_password=lambda service, name, value: kept.__setitem__((service, name), value),
        get_password=lambda service, name: kept.get((service, name)),
        delete_password=lambda service, name: kept.pop((service, name)),
    )
    monkeypatch.setitem(sys.modules, "keyring", ring)
    keys.wrap_by_keyring(data_key)
    key_path(desk_file.path).unlink()
    assert keys.unlock_quietly(desk_file.path) == data_key
    keys.forget(keys.KEYRING)
    keys.forget_outside(desk_file.path, keys.KEYRING)
    assert kept == {}
    with pytest.raises(NoKey):
        keys.unlock_quietly(desk_file.path)


def test_without_a_keyring_that_is_said(data_key: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "keyring", None)
    with pytest.raises(NoKey):
        keys.wrap_by_keyring(data_key)
    assert list(keys.ways()) == [keys.KEY_FILE]


def test_a_wrapping_opens_only_in_its_own_desk_and_by_its_own_way(data_key: bytes) -> None:
    text = keys.wrap_by_recovery_key(data_key)
    DeskFact.update(value="0" * 16).where(DeskFact.name == "desk_id").execute()
    with pytest.raises(NoKey):
        keys.unlock_by_recovery_key(text)


@pytest.mark.parametrize(
    "content", ["", "{}", "[]", "5", '"key"', "\xff", json.dumps({"algorithm": "AES-256-GCM", "key": "AAAA"}),
                json.dumps({"algorithm": "none", "key": "A" * 43 + "="})]
)  # fmt: skip
def test_a_file_that_is_no_key_is_refused_and_left_alone(tmp_path: Path, content: str) -> None:
    path = key_path(tmp_path / "desk.db")
    path.write_bytes(content.encode("latin-1"))
    with pytest.raises(NoKey):
        keys.read_key_file(path)
    with pytest.raises(CannotOpen, match="in the way"):
        open_desk_file(tmp_path / "desk.db", NOW, create=True)
    assert path.read_bytes() == content.encode("latin-1")


def test_another_desks_key_file_opens_nothing(desk_file: OpenDesk) -> None:
    wrapping = {"algorithm": "AES-256-GCM", "key": keys._to_text(secrets.token_bytes(KEY_BYTES))}
    key_path(desk_file.path).write_text(json.dumps(wrapping))
    with pytest.raises(NoKey):
        keys.unlock_quietly(desk_file.path)


def test_a_folder_in_its_place_is_no_key_file(tmp_path: Path) -> None:
    with pytest.raises(NoKey):
        keys.read_key_file(tmp_path)
