"""How an entry line was read: its fields, its owner and every doubt."""

from __future__ import annotations

from breakdesk.cli.named import person_name
from breakdesk.cli.output import say, say_table
from breakdesk.desk.desk import Desk
from breakdesk.desk.entering import Table
from breakdesk.rules.entry import Reading
from breakdesk.rules.ownership import Owner
from breakdesk.store.parties import read_house

CERTAINTY_WORDS = {"sure": "", "likely": "likely", "unsure": "UNSURE"}
ORIGIN_WORDS = {
    "line": "",
    "checklist": "from the checklist",
    "older": "from an older checklist",
    "kept": "as given",
    "rule": "",
}


def say_reading(desk: Desk, table: Table, reading: Reading, whose: Owner | None) -> None:
    """Prints the reading; `whose` is the owner that the operator named beside the line."""
    rows = [("for", _owner_words(desk, whose or reading.owner.value), "" if whose else _certainty(reading), "")]
    product = table.products.get(reading.product_id.value or 0)
    if product is not None:
        rows.append(("product", product[0], CERTAINTY_WORDS[reading.product_id.certainty], ""))
    rows += [
        (item.label, item.text, CERTAINTY_WORDS[item.certainty], ORIGIN_WORDS[item.origin])
        for item in reading.labelled()
    ]
    say_table(("", "", "", ""), rows)
    if reading.why and whose is None:
        say(reading.why)
    for doubt in reading.doubts:
        say(f"{doubt.word.upper()}: {doubt.sentence}")


def _certainty(reading: Reading) -> str:
    return CERTAINTY_WORDS[reading.owner.certainty]


def is_doubtful(reading: Reading, whose: Owner | None) -> bool:
    """Whether a person should look before this is written down."""
    unsure = any(item.certainty == "unsure" for item in reading.labelled())
    owner_unsure = whose is None and reading.owner.certainty == "unsure"
    return unsure or owner_unsure or bool(reading.doubts)


def _owner_words(desk: Desk, owner: Owner) -> str:
    if owner.kind == "house":
        return read_house().name
    if owner.kind == "nobody":
        return "nobody yet"
    names = [person_name(desk, key) for key in owner.ids]
    return " or ".join([*names, read_house().name] if owner.house_too else names)
