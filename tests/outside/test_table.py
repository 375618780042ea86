"""The table of outside checks says what the tests say, no more and no less."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


def _load_table() -> ModuleType:
    # The tests are no package, so the module next to this one is loaded from its path.
    name = "breakdesk_outside_table"
    specification = importlib.util.spec_from_file_location(name, Path(__file__).with_name("table.py"))
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    sys.modules[name] = module
    specification.loader.exec_module(module)
    return module


table = _load_table()


def test_table_and_tests_agree() -> None:
    """Every outside test is in the table, and every line of the table is an outside test."""
    of_tests = table.collect(table.ROOT)
    in_table = table.read(table.TABLE.read_text(encoding="utf-8"))
    remedy = "run: python tests/outside/table.py"
    assert [check for check in of_tests if check not in in_table] == [], f"missing in the table; {remedy}"
    assert [check for check in in_table if check not in of_tests] == [], f"no such test; {remedy}"
    assert in_table == of_tests, f"order or repetition differs; {remedy}"


def test_every_test_of_this_folder_is_an_outside_test() -> None:
    named = {check.test.split("::")[0] for check in table.collect(table.ROOT)}
    folder = Path(__file__).parent
    files = {
        path.relative_to(table.ROOT).as_posix() for path in folder.glob("test_*.py") if path.name != "test_table.py"
    }
    assert files <= named


def _write(root: Path, text: str) -> Path:
    (root / "tests").mkdir()
    path = root / "tests" / "test_sample.py"
    path.write_text(text, encoding="utf-8")
    return path


def test_markers_are_found_wherever_pytest_takes_them(tmp_path: Path) -> None:
    _write(
        tmp_path,
        """
import pytest
BOOK = "A book, | p. 1"
@pytest.mark.outside(rule="one", source=BOOK)
@pytest.mark.parametrize("x", [pytest.param(1, marks=pytest.mark.outside(rule="two", source="B"))])
def test_function(x): ...
@pytest.mark.outside(rule="three", source="C "
    "continued")
class TestGroup:
    async def test_method(self): ...
def test_plain(): ...
""",
    )
    found = table.collect(tmp_path)
    assert found == [
        table.Check("one", "A book, | p. 1", "tests/test_sample.py::test_function"),
        table.Check("two", "B", "tests/test_sample.py::test_function"),
        table.Check("three", "C continued", "tests/test_sample.py::TestGroup::test_method"),
    ]
    assert table.read(table.render(found)) == found


def test_a_mark_on_the_module_marks_every_test(tmp_path: Path) -> None:
    marker = 'pytestmark = [pytest.mark.outside(rule="r", source="s")]'
    _write(tmp_path, f"import pytest\n{marker}\ndef test_a(): ...\ndef test_b(): ...\n")
    assert [check.test.split("::")[1] for check in table.collect(tmp_path)] == ["test_a", "test_b"]


@pytest.mark.parametrize("marker", ['rule="r"', 'rule="r", source=f"{x}"', 'rule="", source="s"', '"r", source="s"'])
def test_a_marker_without_plain_texts_is_refused(tmp_path: Path, marker: str) -> None:
    _write(tmp_path, f"import pytest\n@pytest.mark.outside({marker})\ndef test_a(): ...\n")
    with pytest.raises(ValueError, match=r"test_sample\.py:2: write rule= and source="):
        table.collect(tmp_path)
