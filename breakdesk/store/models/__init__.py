"""The tables of a desk."""

from __future__ import annotations

from breakdesk.store.models.base import StrictSqlite, Table, database_proxy
from breakdesk.store.models.breaks import Break, BreakProduct, Spot, SpotHolder
from breakdesk.store.models.claims import Claim, ClaimCode, ClaimNews, SearchWord
from breakdesk.store.models.history import Action, FreeText, HistoryHead, HistoryLine
from breakdesk.store.models.house import DeskFact, Migration, Term
from breakdesk.store.models.makers import Account, Card, ClosedDay, Maker, Product
from breakdesk.store.models.people import Address, Contact, FollowUp, Participant, Recipient
from breakdesk.store.models.rounds import (
    Ask,
    AskClaim,
    Look,
    Parcel,
    ParcelStep,
    Park,
    Photo,
    Setting,
    Telling,
    TellingClaim,
)

TABLES: tuple[type[Table], ...] = (
    DeskFact, Term, Migration, Maker, Account, ClosedDay, Product, Card, Participant, Contact, Address,
    Recipient, FollowUp,
    Break, BreakProduct, Spot, SpotHolder, Claim, ClaimCode, ClaimNews, SearchWord, Action, HistoryLine, HistoryHead,
    FreeText, Telling, TellingClaim, Ask, AskClaim, Look, Parcel, ParcelStep, Photo, Park, Setting,
)  # fmt: skip
"""Every table, those that others refer to first."""

__all__ = [
    "TABLES", "Account", "Action", "Address", "Ask", "AskClaim", "Break", "BreakProduct", "Card", "Claim", "ClaimCode",
    "ClaimNews", "ClosedDay", "Contact", "DeskFact", "FollowUp", "FreeText", "HistoryHead", "HistoryLine", "Look",
    "Maker", "Migration", "Parcel", "ParcelStep", "Park", "Participant", "Photo", "Product", "Recipient",
    "SearchWord", "Setting", "Spot", "SpotHolder", "StrictSqlite", "Table", "Telling", "TellingClaim", "Term",
    "database_proxy",
]  # fmt: skip
