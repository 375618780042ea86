"""Where a desk may stand: network drives are known by what the system calls them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from breakdesk.store import places
from breakdesk.store.opening import CannotOpen, open_desk_file
from breakdesk.store.places import linux_mounts, macos_mounts, network_type

NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)

# The form is that of proc(5); the lines are invented.
MOUNTS = linux_mounts(
    "22 1 254:0 / / rw,relatime shared:1 - ext4 /dev/root rw\n"
    "30 22 0:40 / /home/kit/shared\\040cards rw,nosuid shared:9 master:2 - nfs4 box:/cards rw,vers=4.2\n"
    "31 22 0:41 / /mnt/cloud rw - fuse.sshfs kit@box: rw\n"
    "32 22 0:42 / /mnt/cloud/local rw - ext4 /dev/sdb1 rw\n"
    "33 22 0:43 / /mnt/box rw - cifs //box/cards rw\n"
    "34 22 0:44 / /mnt/box rw - tmpfs tmpfs rw\n"
    "nonsense\n"
)


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/kit/desk.db", None),
        ("/home/kit/shared cards/desk.db", "nfs4"),
        ("/home/kit/shared cards", "nfs4"),
        ("/home/kit/shared cards 2/desk.db", None),
        ("/mnt/cloud/desk.db", "fuse.sshfs"),
        ("/mnt/cloud/local/desk.db", None),
        ("/mnt/box/desk.db", None),
    ],
)
def test_the_mount_that_holds_a_path_says_what_it_is(path: str, kind: str | None) -> None:
    assert network_type(path, MOUNTS) == kind


def test_what_mount_prints_on_macos() -> None:
    mounts = macos_mounts(
        "/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)\n"
        "//kit@box/cards on /Volumes/cards (old) (smbfs, nodev, nosuid, mounted by kit)\n"
    )
    assert network_type("/Volumes/cards (old)/desk.db", mounts) == "smbfs"
    assert network_type("/Users/kit/desk.db", mounts) is None


@pytest.mark.about_files
def test_a_network_drive_is_refused_with_the_reason_and_nothing_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = f"1 0 0:1 / / rw - ext4 a rw\n2 1 0:2 / {tmp_path.resolve()} rw - nfs4 box:/x rw\n"
    monkeypatch.setattr(places.sys, "platform", "linux")
    monkeypatch.setattr(places, "linux_mounts", lambda _text: linux_mounts(lines))
    with pytest.raises(CannotOpen) as refused:
        open_desk_file(tmp_path / "new" / "desk.db", NOW, create=True)
    assert "network drive (nfs4)" in refused.value.what
    assert "damages a desk" in refused.value.remedy
    assert list(tmp_path.iterdir()) == []


def test_this_machines_own_disk_is_no_network_drive(tmp_path: Path) -> None:
    assert places.network_drive(tmp_path / "desk.db") is None


def test_a_file_that_others_can_read_is_told_from_one_that_they_cannot(tmp_path: Path) -> None:
    if places.sys.platform == "win32":
        pytest.skip("Windows keeps rights elsewhere")
    path = tmp_path / "desk.db"
    path.touch(mode=0o600)
    assert not places.readable_by_others(path)
    path.chmod(0o640)
    assert places.readable_by_others(path)
