"""Every action of the desk is walked by the machine, or excused with a reason: a new one has to be taken in."""

from __future__ import annotations

import ast
from pathlib import Path

from breakdesk import desk

HERE = Path(__file__).parent
ACTING = ("act", "settle", "undo")
"""What carries an action out: each takes the desk and gives what came of it."""
EXCUSED = {
    ("locking", "add_passphrase"): "slow on purpose; tests/desk/test_locking.py",
    ("locking", "add_key_file"): "no claim has to do with it; tests/desk/test_locking.py",
    ("locking", "add_keyring"): "needs a keyring of the system; tests/store/test_keys.py",
    ("locking", "add_recovery_key"): "no claim has to do with it; tests/desk/test_locking.py",
    ("locking", "remove_way"): "no claim has to do with it; tests/desk/test_locking.py",
    ("house", "start_house"): "a desk is started once, before anything else; tests/tui/places/test_first_start.py",
    ("staff", "add_staff"): "needs a server; tests/server/test_staff.py",
    ("staff", "remove_staff"): "needs a server; tests/server/test_staff.py",
    ("shipping", "add_to_parcel"): "needs a second card for a parcel begun; tests/desk/parcels/test_parcels.py",
    ("linking", "link"): "needs a checklist; tests/desk/catching",
    ("under_way", "record_sent"): "follows a message that was sent; tests/desk/bulk",
    ("under_way", "settle_under_way"): "follows a message that was sent; tests/desk/bulk",
}
"""Actions that no walk takes, each with why, and where it is tested."""


def actions() -> set[tuple[str, str]]:
    """Module and name of every public function of the desk that carries an action out."""
    found = set()
    for path in sorted(Path(str(desk.__file__)).parent.rglob("*.py")):
        for function in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(function, ast.FunctionDef) and not function.name.startswith("_"):
                calls = (node.func for node in ast.walk(function) if isinstance(node, ast.Call))
                if any(isinstance(call, ast.Name) and call.id in ACTING for call in calls):
                    found.add((path.stem, function.name))
    return found


def walked() -> set[tuple[str, str]]:
    """Module and name of every function that the machine calls."""
    found = set()
    for name in ("test_machine.py", "machine_actions.py", "conftest.py"):
        for node in ast.walk(ast.parse((HERE / name).read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                found.add((node.value.id, node.attr))
    return found


def test_every_action_is_walked_or_excused() -> None:
    known = actions()
    assert len(known) > 100
    assert known - walked() - set(EXCUSED) == set()


def test_no_excuse_is_stale() -> None:
    assert set(EXCUSED) <= actions() - walked()
