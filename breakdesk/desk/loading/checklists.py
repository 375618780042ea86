"""Loads checklists: which cards a product has."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts
from breakdesk.files.row_kinds import CardRow
from breakdesk.store import models
from breakdesk.store.loading import read_card_digests
from breakdesk.store.models import StrictSqlite


def plan_checklists(plan: Plan, names: Names, database: StrictSqlite, sheets: Sequence[Sheet], counts: Counts) -> None:
    """Takes cards; one that the checklist has exactly like this is known."""
    known: dict[int, set[str]] = {}
    makers: dict[str, int | None] = {}
    for sheet in sheets:
        for row in sheet.rows:
            assert isinstance(row, CardRow)
            place = Place(sheet.file, row.line)
            if row.maker not in makers:
                makers[row.maker] = names.maker(row.maker, place)
            maker_id = makers[row.maker]
            product_id = names.product(row.product, maker_id, place, defines=True)
            if product_id is None:
                continue
            _warn_of_other_maker(plan, names, row, product_id, maker_id, place)
            if product_id not in known:
                known[product_id] = read_card_digests(database, product_id)
            digest = card_digest(row)
            if digest in known[product_id]:
                counts.known += 1
                continue
            known[product_id].add(digest)
            card_id = plan.add(
                models.Card, product_id=product_id, card=row.card, subject=row.subject, team=row.team,
                variation=row.variation, numbered_to=row.numbered_to, features=row.features, row_digest=digest,
            )  # fmt: skip
            plan.line("card", card_id, product=product_id)
            counts.new += 1


def card_digest(row: CardRow) -> str:
    """What tells two lines of a checklist apart."""
    cells = (row.card, row.subject, row.team, row.variation, str(row.numbered_to or ""), row.features)
    return hashlib.sha256("\x1f".join(cells).encode()).hexdigest()


def _warn_of_other_maker(
    plan: Plan, names: Names, row: CardRow, product_id: int, maker_id: int | None, place: Place
) -> None:
    recorded = names.product_maker(product_id)
    if maker_id is not None and recorded != maker_id:
        what = "another maker is recorded for this product and stays"
        plan.warn(place, "maker", row.maker, what, "Correct the maker here, or give the product another name.")
