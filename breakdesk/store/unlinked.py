"""Finds claims that were written down before the checklist of their product was there."""

from __future__ import annotations

from breakdesk.rules.claim import Claim
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite

_UNLINKED = "claim.card_id IS NULL AND claim.state NOT IN ('closed', 'void')"
# A break of one product says which one its claims are from where they do not.
_OF_PRODUCT = f"""{_UNLINKED} AND (claim.product_id = ? OR (claim.product_id IS NULL AND claim.break_id IN (
  SELECT break_product.break_id FROM break_product WHERE break_product.product_id = ?)))"""
_PRODUCTS = f"""
SELECT product.id, product.name, COUNT(claim.id) FROM product JOIN claim ON claim.product_id = product.id
 WHERE {_UNLINKED} AND EXISTS (SELECT 1 FROM card WHERE card.product_id = product.id)
 GROUP BY product.id, product.name ORDER BY product.name
"""


def unlinked_claims(database: StrictSqlite, product_id: int) -> list[Claim]:
    """The open claims of a product, or of a break that opens it and does not say otherwise, that have no card."""
    return list(read_claims(database, _OF_PRODUCT, [product_id, product_id]))


def products_with_unlinked(database: StrictSqlite) -> list[tuple[int, str, int]]:
    """Key, name and number of such claims of each product that has a checklist."""
    return [(key, name, count) for key, name, count in run(database, _PRODUCTS)]
