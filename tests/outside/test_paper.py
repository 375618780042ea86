"""Paper as others see it: sizes of the standard, text by a reader of PDF, codes by a scanner."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp

from breakdesk.files import fonts
from breakdesk.files.labels import (
    LABELS_A4,
    LABELS_LETTER,
    LabelSheet,
    SleeveLabel,
    write_address_labels,
    write_sleeve_labels,
)
from breakdesk.files.paper import A4, LETTER, SIZES, Sheet, is_plain
from breakdesk.files.slips import Slip, slip_text, write_slips
from breakdesk.rules.tags import make_tag

POINT = 25.4 / 72


def slip(**more: object) -> Slip:
    facts: dict[str, object] = {
        "house": "The Corner",
        "parcel": 7,
        "on": date(2026, 3, 2),
        "to_name": "Zoë Fenn",
        "address": ("1 Mill Row", "Überhof"),
        "cards": (("K1", "Kit Moor Gold 3/25", "25.00 USD"),),
        "lines": ("3 other hits",),
        "gift_note": "All the best",
    }
    return Slip(**(facts | more))  # type: ignore[arg-type]


def text_of(path: Path) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def codes_on(path: Path) -> list[str]:
    """What a scanner reads off the first page, printed at 300 dots an inch."""
    with pypdfium2.PdfDocument(path) as document:
        picture = document[0].render(scale=300 / 72).to_pil()
    return sorted(found.text for found in zxingcpp.read_barcodes(picture))


@pytest.mark.outside(rule="A4 measures 210 mm by 297 mm", source="ISO 216")
def test_a4(tmp_path: Path) -> None:
    assert (A4.width, A4.height) == (210, 297)
    path = tmp_path / "slip.pdf"
    write_slips(path, A4, [slip()])
    box = pypdf.PdfReader(path).pages[0].mediabox
    assert (float(box.width) * POINT, float(box.height) * POINT) == (
        pytest.approx(210, abs=0.01),
        pytest.approx(297, abs=0.01),
    )


@pytest.mark.outside(
    rule="the sides of a sheet of the A series are as 1 to the square root of 2, rounded to whole millimetres",
    source="ISO 216",
)
def test_the_ratio_of_a4() -> None:
    assert A4.height / A4.width == pytest.approx(2**0.5, abs=0.5 / A4.width)


@pytest.mark.outside(rule="a slip's text can be read out of the PDF again", source="pypdf")
def test_a_slip_says_what_its_text_says(tmp_path: Path) -> None:
    path = tmp_path / "slip.pdf"
    assert write_slips(path, LETTER, [slip(), slip(parcel=8, is_gift=True)]) == ""
    pages = [page.extract_text() for page in pypdf.PdfReader(path).pages]
    assert len(pages) == 2
    for words in (
        "The Corner",
        "Zoë Fenn",
        "Überhof",
        "Kit Moor Gold 3/25",
        "25.00 USD",
        "3 other hits",
        "All the best",
    ):
        assert words in pages[0]
    assert "25.00" not in pages[1]
    assert "25.00" not in slip_text(slip(is_gift=True))


@pytest.mark.outside(rule="names in other scripts stay text in the PDF", source="pypdf")
@pytest.mark.parametrize(
    ("font", "names"),
    [
        ("machine", ["Władysław Ξένη Ольга"]),
        ("packaged", ["Władysław Ξένη Ольга", "山田 太郎, 김민준, 张伟 und Ольга", "שלום כהן"]),
    ],
    ids=["machine", "packaged"],
)
def test_names_in_other_scripts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, font: str, names: list[str]) -> None:
    kinds = {"machine": fonts.machine_fonts, "packaged": fonts.packaged_fonts}
    here = kinds[font]()
    if not here:
        pytest.skip(f"no {font} fonts here")
    for kind in kinds:
        monkeypatch.setattr(fonts, f"{kind}_fonts", lambda kind=kind: here if kind == font else ())
    path = tmp_path / "slip.pdf"
    if missing := write_slips(path, A4, [slip(to_name=names[0], address=tuple(names[1:]))]):
        pytest.skip(f"no font of this machine draws {missing}")
    assert set(names) <= set(text_of(path).split("\n"))
    printed = write_address_labels(path, LABELS_A4, [names])
    assert (printed.count, printed.undrawn) == (1, ())
    assert set(names) <= set(text_of(path).split("\n"))


@pytest.mark.outside(
    rule="Arabic letters join, in the order in which they are read", source="PDFium's reading of the PDF"
)
@pytest.mark.skipif(not (fonts.packaged_fonts() and fonts.can_shape()), reason="the extra `fonts` is not installed")
def test_letters_that_join(tmp_path: Path) -> None:
    path = tmp_path / "slip.pdf"
    assert write_slips(path, A4, [slip(to_name="محمد علي")]) == ""
    with pypdfium2.PdfDocument(path) as document:
        assert "محمد علي" in document[0].get_textpage().get_text_range()


@pytest.mark.outside(rule="a QR code on a sleeve label reads as the tag", source="ISO/IEC 18004, read by zxing-cpp")
@pytest.mark.parametrize("sheet", [LABELS_A4, LABELS_LETTER], ids=lambda sheet: sheet.paper.name)
def test_a_scanner_reads_every_tag(tmp_path: Path, sheet: LabelSheet) -> None:
    tags = [make_tag(number * 997) for number in range(sheet.count + 1)]
    path = tmp_path / "labels.pdf"
    printed = write_sleeve_labels(path, sheet, [SleeveLabel(tag, "Kit Moor Gold 3/25") for tag in tags])
    assert printed.count == len(tags)
    assert len(pypdf.PdfReader(path).pages) == 2
    assert codes_on(path) == sorted(tags[: sheet.count])


@pytest.mark.parametrize("sheet", [LABELS_A4, LABELS_LETTER], ids=lambda sheet: sheet.paper.name)
def test_labels_lie_on_their_sheet_and_not_on_each_other(sheet: LabelSheet) -> None:
    assert sheet.step_x >= sheet.width
    assert sheet.step_y >= sheet.height
    x, y = sheet.corner(sheet.count - 1)
    assert x + sheet.width <= sheet.paper.width - sheet.left / 2
    assert y + sheet.height <= sheet.paper.height - sheet.top / 2


def test_a_begun_sheet_goes_on_and_what_does_not_fit_is_named(tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    long = ["Bo Larch", *(["Room"] * 30)]
    printed = write_address_labels(path, LABELS_LETTER, [["Ada Fenn", "1 Mill Row"], long, ["Cy Wold"]], first=30)
    assert (printed.count, printed.too_long, printed.missing) == (2, ("Bo Larch",), "")
    pages = [page.extract_text() for page in pypdf.PdfReader(path).pages]
    assert ["Ada Fenn" in pages[0], "Cy Wold" in pages[1], "Larch" in pages[0] + pages[1]] == [True, True, False]
    with pytest.raises(ValueError, match="places 1 to 30"):
        write_address_labels(path, LABELS_LETTER, [["Ada Fenn"]], first=31)


def test_what_no_font_draws_is_said_on_the_paper(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "slip.pdf"
    assert write_slips(path, A4, [slip(to_name="Ada \U000f1234"), slip(parcel=8)]) == "\U000f1234"
    first, second = (page.extract_text() for page in pypdf.PdfReader(path).pages)
    assert "Ada ?" in first
    assert "no font has the letter: U+F1234." in first
    assert "no font" not in second
    monkeypatch.setattr(fonts, "machine_fonts", lambda: ())
    monkeypatch.setattr(fonts, "packaged_fonts", lambda: ())
    assert write_slips(path, A4, [slip(to_name="Zoë Жук")]) == "Жку"
    assert "Zoë ???" in text_of(path)


def test_a_label_with_half_an_address_is_not_printed(tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    printed = write_address_labels(path, LABELS_A4, [["Ada \U000f1234", "1 Mill Row"], ["Bo Larch", "2 Mill Row"]])
    assert (printed.count, printed.undrawn) == (1, ("Ada \U000f1234",))
    assert "Ada" not in text_of(path)


def test_long_words_and_many_cards_stay_on_the_paper(tmp_path: Path) -> None:
    path = tmp_path / "slip.pdf"
    cards = tuple((f"K{number}", "x" * 300, "") for number in range(60))
    write_slips(path, A4, [slip(cards=cards)])
    reader = pypdf.PdfReader(path)
    assert len(reader.pages) > 1
    assert text_of(path).replace("\n", "").count("x") == 60 * 300 + "".join(slip().lines).count("x")


def test_plain_text_needs_no_fonts() -> None:
    assert is_plain("Zoë, 1 Mill Row")
    assert not is_plain("Ольга")
    assert Sheet(A4, ["Zoë"]).missing == frozenset()
    assert set(SIZES) == {"a4", "letter"}
