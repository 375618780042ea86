"""The settings of the mail server: only from a file that nobody else can read, each value checked."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from breakdesk.files.mail_settings import MailSettings, read_mail_settings
from breakdesk.files.messages.eml import MailProblem

GOOD = 'host = "mail.corner.example"\nfrom = "desk@corner.example"\n'


@pytest.fixture
def settings(tmp_path: Path) -> Callable[[str], MailSettings | MailProblem]:
    def read(text: str) -> MailSettings | MailProblem:
        path = tmp_path / "mail.toml"
        path.write_text(text, encoding="utf-8")
        path.chmod(0o600)
        return read_mail_settings(path)

    return read


def test_what_is_not_written_is_usual(settings: Callable[[str], MailSettings]) -> None:
    assert settings(GOOD) == MailSettings(
        host="mail.corner.example", port=587, security="starttls", sender="desk@corner.example", sender_name=""
    )
    assert settings(f'{GOOD}security = "tls"').port == 465


def test_the_password_is_in_no_repr(settings: Callable[[str], MailSettings]) -> None:
    found = settings(f'{GOOD}user = "u"\npassword = "sesame"')
    assert found.password == "sesame"
    assert "sesame" not in repr(found)


@pytest.mark.skipif(sys.platform == "win32", reason="the rights of files are others there")
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620, 0o666])
def test_a_file_that_others_can_reach_is_refused(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "mail.toml"
    path.write_text(GOOD)
    path.chmod(mode)
    found = read_mail_settings(path)
    assert isinstance(found, MailProblem)
    assert "chmod 600" in found.sentence


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('from = "desk@corner.example"', "host is missing"),
        ('host = "h"', "from:"),
        ('host = "h"\nfrom = "no address"', "from:"),
        (f'{GOOD}security = "ssl"', "security is one of"),
        (f'{GOOD}security = "none"', "on this machine only"),
        (f"{GOOD}port = 0", "port has to be"),
        (f"{GOOD}port = true", "port has to be"),
        (f'{GOOD}per_minute = "9"', "per_minute has to be"),
        (f"{GOOD}host_name = 1", "there is no setting host_name"),
        (f'{GOOD}user = "u\\r\\nRSET"\npassword = "p"', "user has to be a text"),
        (f'{GOOD}user = "u"', "no password for u"),
        ("host = ", "is not TOML"),
    ],
)
def test_what_is_wrong_is_said(settings: Callable[[str], MailProblem], text: str, said: str) -> None:
    found = settings(text)
    assert isinstance(found, MailProblem)
    assert said in found.sentence
    assert "\n" not in found.sentence


def test_a_server_on_this_machine_needs_no_encryption(settings: Callable[[str], MailSettings]) -> None:
    for host in ("localhost", "127.0.0.1", "::1"):
        found = settings(f'host = "{host}"\nfrom = "desk@corner.example"\nsecurity = "none"')
        assert (found.security, found.port) == ("none", 25)


def test_there_is_no_file(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        assert isinstance(read_mail_settings(path), MailProblem)


def test_the_keyring_can_hold_the_password(
    settings: Callable[[str], MailSettings], monkeypatch: pytest.MonkeyPatch
) -> None:
    keyring, errors = ModuleType("keyring"), ModuleType("keyring.errors")
    kept = {("breakdesk", "u"): "sesame"}
    errors.KeyringError = RuntimeError  # type: ignore[attr-defined]
    keyring.get_password = lambda service, user: kept.get((service, user))  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "keyring", keyring)
    monkeypatch.setitem(sys.modules, "keyring.errors", errors)
    assert settings(f'{GOOD}user = "u"').password == "sesame"
    assert isinstance(settings(f'{GOOD}user = "other"'), MailProblem)
