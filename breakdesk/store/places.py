"""Where a desk file may stand: not on a network drive, and not where others can read it."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

_NETWORK_FILE_SYSTEMS = """
9p afpfs afs beegfs ceph cifs davfs fuse.davfs2 fuse.glusterfs fuse.rclone fuse.s3fs fuse.sshfs glusterfs gfs2 lustre
ncpfs nfs nfs4 ocfs2 orangefs smb3 smbfs vboxsf webdav
"""
NETWORK_FILE_SYSTEMS = frozenset(_NETWORK_FILE_SYSTEMS.split())
"""Types under which Linux and macOS name what lies on another machine (names as the systems print them)."""
_REMOTE_DRIVE = 4
"""DRIVE_REMOTE of GetDriveTypeW, Microsoft's reference of fileapi.h."""


def network_drive(path: Path) -> str | None:
    """The kind of network drive on which a path lies; None for a local disk, or where the system does not tell.

    Linux tells by its table of mounts, Windows by the drive's type, macOS by what its `mount` prints.
    """
    whole = path.absolute() if sys.platform == "win32" else path.resolve()
    if sys.platform == "win32":
        return _windows_drive(str(whole))
    try:
        if sys.platform == "darwin":
            return network_type(str(whole), _macos_mounts())
        return network_type(str(whole), linux_mounts(Path("/proc/self/mountinfo").read_text(encoding="utf-8")))
    except (OSError, ValueError):
        return None


def network_type(path: str, mounts: list[tuple[str, str]]) -> str | None:
    """The type of the mount that holds a path, where it is a network drive. `mounts` are places with their types."""
    best: tuple[str, str] | None = None
    for place, kind in mounts:
        # Of two mounts on one place the later one counts.
        if _holds(place, path) and (best is None or len(place) >= len(best[0])):
            best = (place, kind)
    return best[1] if best and best[1].lower() in NETWORK_FILE_SYSTEMS else None


def linux_mounts(text: str) -> list[tuple[str, str]]:
    """Places and types from /proc/self/mountinfo, as proc(5) describes it."""
    mounts = []
    for line in text.splitlines():
        left, separator, right = line.partition(" - ")
        fields = left.split(" ")
        if separator and len(fields) >= 5:
            mounts.append((_unescaped(fields[4]), right.split(" ")[0]))
    return mounts


def macos_mounts(text: str) -> list[tuple[str, str]]:
    """Places and types from what mount(8) prints on macOS: `device on place (type, options)`."""
    mounts = []
    for line in text.splitlines():
        left, separator, options = line.rpartition(" (")
        _, on, place = left.partition(" on ")
        if separator and on:
            mounts.append((place, options.rstrip(")").split(",")[0].strip()))
    return mounts


def readable_by_others(path: Path) -> bool:
    """Whether somebody else on this machine may read a file; unknown, and so False, on Windows."""
    if sys.platform == "win32":
        return False
    try:
        return bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))
    except OSError:
        return False


def _holds(place: str, path: str) -> bool:
    return place == "/" or path == place or path.startswith(place + "/")


def _unescaped(text: str) -> str:
    for written, meant in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        text = text.replace(written, meant)
    return text


def _macos_mounts() -> list[tuple[str, str]]:
    import subprocess

    done = subprocess.run(["/sbin/mount"], capture_output=True, text=True, timeout=5, check=False)
    return macos_mounts(done.stdout)


def _windows_drive(path: str) -> str | None:
    drive = os.path.splitdrive(path)[0]
    if drive.startswith(("\\\\", "//")) and not drive.startswith(("\\\\?\\", "\\\\.\\")):
        return "network share"
    import ctypes

    kinds = getattr(ctypes, "windll", None)
    if kinds is not None and kinds.kernel32.GetDriveTypeW(drive + "\\") == _REMOTE_DRIVE:
        return "network drive"
    return None
