"""The house's mail server: its settings, read from a file that only its owner can read."""

from __future__ import annotations

import ipaddress
import os
import stat
import sys
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from breakdesk.files.messages.eml import MailProblem, mail_address

STARTTLS, TLS, NONE = "starttls", "tls", "none"
SECURITY = (STARTTLS, TLS, NONE)
PORTS = {STARTTLS: 587, TLS: 465, NONE: 25}
"""Submission and submission over TLS: RFC 6409 and RFC 8314; SMTP: RFC 5321."""
PER_MINUTE = 30
LARGEST_FILE = 100_000
KEYRING_SERVICE = "breakdesk"


@dataclass(frozen=True, slots=True, kw_only=True)
class MailSettings:
    """How the house sends e-mail; `per_minute` at most so many messages a minute."""

    host: str
    port: int
    security: str
    sender: str
    sender_name: str
    user: str = ""
    password: str = field(default="", repr=False)
    per_minute: int = PER_MINUTE
    certificates: str = ""
    """A file with the certificates to trust instead of the system's; empty for the system's."""
    timeout_seconds: int = 60


def mail_settings_path() -> Path:
    """Where the settings stand: the file that BREAKDESK_MAIL names, or one in the user's own settings folder."""
    named = os.environ.get("BREAKDESK_MAIL", "").strip()
    if named:
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path("breakdesk", appauthor=False) / "mail.toml"


def read_mail_settings(path: Path) -> MailSettings | MailProblem:
    """The settings in a TOML file; a problem with its remedy where they cannot be used.

    On Linux and macOS a file that others can read or change is refused, since it holds a password.
    """
    problem = _not_its_owners(path)
    if problem is not None:
        return problem
    try:
        text = path.read_text(encoding="utf-8-sig")
        given = tomllib.loads(text)
    except OSError:
        return MailProblem(f"{path} cannot be read; look at its permissions.")
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return MailProblem(f"{path} is not TOML: {' '.join(str(error).split())}. Correct that line.")
    return _checked(given, path)


def _not_its_owners(path: Path) -> MailProblem | None:
    try:
        found = path.stat()
    except OSError:
        return MailProblem(f"There are no mail settings at {path}; docs/messages.md says what to write there.")
    if not stat.S_ISREG(found.st_mode) or found.st_size > LARGEST_FILE:
        return MailProblem(f"{path} is no file of mail settings.")
    if sys.platform != "win32" and (found.st_mode & 0o077 or found.st_uid != os.getuid()):
        return MailProblem(f"Others can read {path}, which holds a password. Run: chmod 600 {path}")
    return None


_TEXTS = ("host", "security", "from", "from_name", "user", "password", "certificates")
_NUMBERS = {"port": (1, 65535), "per_minute": (1, 6000), "timeout_seconds": (1, 600)}


def _checked(given: dict[str, Any], path: Path) -> MailSettings | MailProblem:
    for name, value in given.items():
        if name not in _TEXTS and name not in _NUMBERS:
            known = ", ".join((*_TEXTS, *_NUMBERS))
            return MailProblem(f"{path}: there is no setting {name}; there are {known}.")
        if name in _TEXTS and not (isinstance(value, str) and value.isprintable()):
            return MailProblem(f"{path}: {name} has to be a text of one line, in quotes.")
        if name in _NUMBERS:
            least, most = _NUMBERS[name]
            if type(value) is not int or not least <= value <= most:
                return MailProblem(f"{path}: {name} has to be a whole number from {least} to {most}.")
    security = given.get("security", STARTTLS)
    host = given.get("host", "").strip()
    if security not in SECURITY:
        return MailProblem(f"{path}: security is one of {', '.join(SECURITY)}.")
    if not host:
        return MailProblem(f"{path}: host is missing; write the name of your mail server.")
    if security == NONE and not _is_this_machine(host):
        return MailProblem(f"{path}: security “none” is for a server on this machine only; use starttls or tls.")
    address = mail_address(given.get("from_name", ""), given.get("from", ""))
    if isinstance(address, MailProblem):
        return MailProblem(f"{path}: from: {address.sentence}")
    user, password = given.get("user", ""), given.get("password", "")
    if user and not password:
        password = password_in_keyring(user)
        if not password:
            return MailProblem(f"{path}: there is no password for {user}, neither here nor in the system's keyring.")
    return MailSettings(
        host=host,
        port=given.get("port", PORTS[security]),
        security=security,
        sender=given["from"],
        sender_name=given.get("from_name", ""),
        user=user,
        password=password,
        per_minute=given.get("per_minute", PER_MINUTE),
        certificates=given.get("certificates", ""),
        timeout_seconds=given.get("timeout_seconds", 60),
    )


def _is_this_machine(host: str) -> bool:
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def password_in_keyring(user: str) -> str:
    """The password kept in the system's keyring; empty where the extra `keyring` is not installed or has none."""
    try:
        import keyring
        from keyring.errors import KeyringError
    except ImportError:
        return ""
    try:
        return keyring.get_password(KEYRING_SERVICE, user) or ""
    except KeyringError:
        return ""
