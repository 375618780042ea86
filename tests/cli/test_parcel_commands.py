"""Envelopes, damage, postage, paper, pages and making good, as a person types them."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

WHO = "Beatriz Formosinho"
"""She has one card here, and four with makers."""


@pytest.fixture
def packed(full: Callable[..., Any]) -> Callable[..., Any]:
    full("address", WHO, "--text", "Rua Alta 4\n1100-001 Lisboa", "--country", "PT")
    full("ship", WHO)
    return full


def test_an_envelope_is_shown_then_counted_in_then_undone(full: Any, shell: Any) -> None:
    typed = "MHHWHH 7/49\nwarrick fallowick silver /75\nSome Stranger 3/10\n"
    shown = full("arrived", typed=typed).out
    assert "1. MHHWHH 7/49: MHHWHH Ivo Radoslavec /49, serial 7, for Phineas Oddington." in shown
    assert "3. Some Stranger 3/10: fits no claim that waits." in shown
    assert "Nothing was counted in yet" in shown
    refused = shell("arrived", "--book", typed=typed)
    assert (refused.code, refused.err.startswith("Nothing was counted in.")) == (1, True)
    booked = full("arrived", "--book", "--keep", "--counted", 3, typed=typed).out
    assert "2 cards counted in." in booked
    assert "Phineas Oddington  MHHWHH Ivo Radoslavec 7/49" in booked
    assert full("claim", "MHHWHH", "--json").json["state"] == "in_hand"
    number = next(line.split()[0] for line in full("undo", "--list").out.splitlines() if "arrived" in line)
    full("undo", number)
    assert full("claim", "MHHWHH", "--json").json["state"] == "submitted"
    assert full("verify").out.startswith("All agree")


def test_an_envelope_from_a_table_with_damage_and_a_photo(full: Any, shell: Any, tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(20))
    table = tmp_path / "envelope.csv"
    table.write_text("Tag,serial,damaged,photo\nMHHWHH,7,a crease,a.png\n", encoding="utf-8")
    booked = full("arrived", table, "--book")
    damage = booked.err.split("MHHWHH is in hand. It came damaged: ")[1].split()[0]
    assert full("claim", damage, "--json").json["kind"] == "damage"
    assert f"another one is claimed as {damage}" in full("claim", "MHHWHH").out
    assert "is for the damaged card of MHHWHH" in full("claim", damage).out
    assert full("claim", damage, "--json").json["linked_to"] == "MHHWHH"
    assert "condition" in full("photo", "MHHWHH").out
    assert "wrapper" in full("proof", damage).out
    assert "Still missing" in full("proof", damage, "wrapper").out
    full("proof", damage, "--sent-back", "--tracking", "RA473124829GB")
    full("proof", damage, "--came-back")
    assert shell("proof", "MHHWHH").code == 1
    table.write_text("card,serial\nMHHWHH,x\n", encoding="utf-8")
    assert "line 2: x is no serial" in shell("arrived", table).err
    table.write_text("name\nMHHWHH\n", encoding="utf-8")
    assert "no column card" in shell("arrived", table).err


def test_postage_goes_out_and_comes_back(packed: Any, shell: Any, tmp_path: Path) -> None:
    out = tmp_path / "out.csv"
    packed("parcel", 1, "--weight", 90, "--line", "3 other hits")
    packed("postage", "--out", out)
    (row,) = csv.DictReader(out.read_text(encoding="utf-8").splitlines())
    assert (row["parcel"], row["name"], row["address_2"], row["country"]) == ("1", WHO, "1100-001 Lisboa", "PT")
    assert (row["weight_grams"], row["value"], row["currency"]) == ("90", "39.50", "USD")
    back = tmp_path / "back.csv"
    back.write_text("Parcel number,Tracking number,Price,extra\n1,RA473124829GB,4.50,x\n", encoding="utf-8")
    checked = packed("postage", "--in", back, "--check").out
    assert "UPU S10" in checked
    assert "Nothing was saved yet" in checked
    ran = shell("postage", "--in", back, "--leave")
    assert "1 parcel with postage." in ran.out
    assert "1 parcel with open steps: 1." in ran.err
    shown = packed("parcel", 1).out
    assert "RA473124829GB" in shown
    assert "4.50 USD" in shown
    packed("ship", WHO, "--steps-done")
    assert "on its way" in packed("parcel").out
    assert "Parcel 1 is on its way already." in shell("postage", "--in", back).err
    assert shell("postage").code == shell("postage", "--out", out, "--leave").code == 2
    packed("ship", 1, "--not-delivered")
    assert "not delivered" in packed("ship").out
    packed("ship", 1, "--lost")
    packed("parcel", 1, "--loss-reported")
    assert "reported to the carrier" in packed("parcel").out
    assert packed("verify").out.startswith("All agree")


def test_paper(packed: Any, shell: Any, tmp_path: Path) -> None:
    packed("parcel", 1, "--to", "Old Friend", "--address", "Hill 9\nTown", "--country", "FR", "--gift-note", "Cheers")
    slip = packed("paper", "slips").out
    assert "Old Friend\nHill 9\nTown\nFRANCE" in slip
    assert "Cheers" in slip
    assert "39.50" not in slip
    for kind in ("slips", "addresses", "sleeves"):
        path = tmp_path / f"{kind}.pdf"
        packed("paper", kind, "--out", path, "--size", "a4")
        assert path.read_bytes().startswith(b"%PDF-")
    assert WHO in packed("paper", "list").out
    statement = packed("paper", "statement", WHO).out
    assert "Still owed: 5" in statement
    assert "Ended: 1" in statement
    assert shell("paper", "slips", "x").code == shell("paper", "slips", 99).code == 1
    assert shell("paper", "sleeves").code == shell("paper", "statement").code == 2
    assert shell("paper", "sleeves", "--out", tmp_path / "x.pdf", "--first", 99).code == 1


def test_pages(full: Any, shell: Any, tmp_path: Path) -> None:
    folder = tmp_path / "pages"
    full("page", "--all", "--out", folder)
    files = sorted(folder.iterdir())
    assert len(files) > 30
    full("page", WHO, "--out", folder)
    assert sorted(folder.iterdir()) == files
    full("page", WHO, "--out", folder, "--new-name")
    assert len(set(folder.iterdir()) & set(files)) == len(files) - 1
    assert shell("page", "--out", folder).code == 2


def test_addresses_and_combining(packed: Any, shell: Any) -> None:
    history = packed("address", WHO, "--history").out
    assert "Rua Alta 4, 1100-001 Lisboa, PT" in history
    assert "before" in history
    assert "parcel 1" in packed("address", WHO, "--moved").out
    packed("in-hand", "MHHWHH")
    packed("combine", "Phineas Oddington", "--reason", "the next order")
    assert "the next order" in packed("combine").out
    packed("combine", "Phineas Oddington", "--end")
    assert packed("combine").out == "No parcel waits for other cards.\n"
    assert shell("combine", "--end").code == 2


def test_making_good(full: Any, shell: Any) -> None:
    full("settle", "house", "consent_needed", "on")
    full("in-hand", "MHHWHH")
    asked = shell("close", "MHHWHH", "bought_out", "--amount", "5", "--fault", "nobody")
    assert (asked.code, "participant's yes" in asked.err) == (1, True)
    full("consent", "MHHWHH", "bought_out", "on", "the", "phone")
    full("close", "MHHWHH", "bought_out", "--amount", "5", "--fault", "nobody")
    full("sell", "X4N939", "not below 20")
    full("sell", "X4N939", "--sold", "22.50")
    assert full("claim", "X4N939", "--json").json["closed_how"] == "bought_out"
    known = full("knew", "MHHWHH").out
    assert "it was given to the maker" in known
    assert shell("knew", "nothing").code == 1
    assert shell("card", "MHHWHH").code == 2


def test_a_card_straight_from_the_maker(full: Any, shell: Any) -> None:
    assert shell("direct", "MHHWHH", "--shipped").code == 1
    full("direct", "MHHWHH", "--to", "participant")
    full("direct", "MHHWHH", "--shipped", "--tracking", "RA473124829GB")
    full("direct", "MHHWHH", "--arrived")
    assert full("claim", "MHHWHH", "--json").json["closed_how"] == "delivered"
    assert shell("direct", "MHHWHH").code == 2
