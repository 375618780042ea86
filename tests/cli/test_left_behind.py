"""Whatever the program writes by itself: no code anywhere, and no name, address, e-mail or phone outside the desk."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from breakdesk.cli.running import run

CODE, OTHER_CODE, PASSPHRASE = "QUARTZMOSS77", "FERNGLOW4411", "seven slow otters"
NAME, HANDLE, EMAIL, PHONE, ADDRESS = (
    "Ottoline Quibbleworth", "ottoquib", "otto@quibble.example", "555 0177 4242", "17 Larkspur Terrace",
)  # fmt: skip
PERSONAL = (NAME, EMAIL, PHONE, ADDRESS)
PEOPLE = (
    "participant,handle,email,phone,address,address_country,address_confirmed_on\n"
    f"{NAME},{HANDLE},{EMAIL},{PHONE},{ADDRESS},US,2026-01-05\n"
)
CLAIMS = (
    f"participant,maker,subject,pulled_at,code,note\n{NAME},Tern Cards,Kit Moor,2026-01-05,{OTHER_CODE},call {NAME}\n"
)
FAILING = """
import sys
from breakdesk.cli.running import run
from breakdesk.desk import following
def fail(*given):
    raise KeyError("{secrets}")
following.note = fail
sys.exit(run(["--desk", sys.argv[1], "note", sys.argv[2], "a word"]))
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A person's folders: their home, where programs keep settings and logs, and the folder for temporary files."""
    folder = tmp_path / "home"
    for name, part in {"HOME": "", "XDG_STATE_HOME": "state", "XDG_CONFIG_HOME": "config", "XDG_DATA_HOME": "data",
                       "XDG_CACHE_HOME": "cache", "TMPDIR": "temporary"}.items():  # fmt: skip
        (folder / part).mkdir(exist_ok=True)
        monkeypatch.setenv(name, str(folder / part))
    monkeypatch.setenv("BREAKDESK_DESK", str(tmp_path / "desk" / "desk.db"))
    monkeypatch.setenv("BREAKDESK_WHO", "JK")
    monkeypatch.setattr(tempfile, "tempdir", None)
    return folder


def typed(*arguments: object, given: str = "", code: int = 0) -> str:
    command = [sys.executable, "-m", "breakdesk", *map(str, arguments)]
    done = subprocess.run(command, input=given, capture_output=True, text=True, check=False)
    assert done.returncode == code, (arguments, done.stdout, done.stderr)
    return done.stdout


def in_process(*arguments: object) -> None:
    """A command whose start as a program of its own shows nothing: what it writes is looked at, not what it says."""
    assert run(list(map(str, arguments))) == 0, arguments


def written_in(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.skipif(sys.platform != "linux", reason="sets the folders of one person as Linux knows them")
def test_no_code_is_left_anywhere_and_nothing_personal_outside_the_desk(home: Path, tmp_path: Path) -> None:
    given, desk = tmp_path / "given", tmp_path / "desk" / "desk.db"
    given.mkdir()
    desk.parent.mkdir()
    (given / "people.csv").write_text(PEOPLE)
    (given / "claims.csv").write_text(CLAIMS)
    (given / "code.png").write_bytes(b"\x89PNG\r\n\x1a\n" + f"{CODE} of {NAME}".encode() * 30)
    in_process("load", given / "people.csv", given / "claims.csv")
    tag = json.loads(typed("search", "Kit", "--json"))["claims"][0]["tag"]
    typed("submit", tag, "--code", "--reference", "R-1", given=f"{CODE}\n")
    in_process("photo", tag, given / "code.png", "--shows-code")
    typed("lock", "add", "passphrase", given=f"{PASSPHRASE}\n")
    in_process("backup")
    in_process("export", "desk", "--out", tmp_path / "desk" / "out")
    in_process("archive", tmp_path / "desk" / "open")
    in_process("archive", tmp_path / "desk" / "open csv", "--format", "csv")
    in_process("tell", "--all", "--out", tmp_path / "desk" / "told")
    secrets = " ".join((CODE, OTHER_CODE, *PERSONAL))
    command = [sys.executable, "-c", FAILING.format(secrets=secrets), str(desk), tag]
    failed = subprocess.run(command, capture_output=True, text=True, check=False)
    assert failed.returncode == 1
    assert "did not foresee" in failed.stderr
    assert not any(secret in failed.stdout + failed.stderr for secret in (CODE, OTHER_CODE, *PERSONAL))
    _sit_at_the_screen(desk)
    logs = written_in(home / "state")
    assert {path.name.split("-")[0] for path in logs} == {"breakdesk.log", "failure"}
    everything = written_in(home) | written_in(tmp_path / "desk")
    assert len(everything) > 20
    for secret in (CODE, OTHER_CODE, PASSPHRASE):
        assert [path for path, content in everything.items() if secret.encode() in content] == []
    for secret in (*PERSONAL, HANDLE):
        assert [path for path, content in written_in(home).items() if secret.encode() in content] == []
        assert any(secret.encode() in content for content in written_in(tmp_path / "desk").values()), secret


def _sit_at_the_screen(desk: Path) -> None:
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))
    try:
        from kill_screen import Person
    finally:
        sys.path.pop(0)
    person = Person(desk)
    try:
        assert person.sees("F1 Help"), person.shown
        person.press("\x1b[15~")
        assert person.sees("Type a beginning"), person.shown
        person.press("Kit")
        assert person.sees("Kit Moor"), person.shown
        person.press("\x11")
        person.process.wait(20)
    finally:
        person.kill()
