"""Paper from the desk: packing slips, the list for the packing table, statements, labels for parcels and sleeves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

from breakdesk.desk.combining import combining
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS
from breakdesk.desk.parcel_details import ParcelDetails, parcel_details, parcels_in
from breakdesk.desk.problems import Problem
from breakdesk.desk.settling import CLOSING_WORDS, amount_words
from breakdesk.desk.viewing import product_names, today
from breakdesk.files.fonts import font_files
from breakdesk.files.labels import LABEL_SHEETS, LabelSheet, Printed, SleeveLabel
from breakdesk.files.labels import write_address_labels as write_addresses
from breakdesk.files.labels import write_sleeve_labels as write_sleeves
from breakdesk.files.paper import SIZES, PaperSize, paper_for
from breakdesk.files.slips import Slip, Statement, StatementLine, ToPack, ship_list_text, write_slips
from breakdesk.rules.claim import Claim
from breakdesk.rules.packing_steps import read_steps
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, claims_with_keys, read_claims
from breakdesk.store.parties import read_house

FONTS = "fonts"
LONGEST_LINE = 30


def house_paper(desk: Desk, name: str = "") -> PaperSize:
    """The sheet by its name, or the one that the house's country commonly uses. KeyError for an unknown name."""
    if name:
        return SIZES[name.lower()]
    house = read_house()
    return paper_for(house.terms.on("country", house.today(desk.clock.as_of())))


def house_fonts(desk: Desk) -> list[Path]:
    """Fonts that the house put into its desk's folder; they come before the machine's own."""
    return font_files(desk.folder / FONTS)


def address_lines(text: str, country: str, home: str) -> tuple[str, ...]:
    """An address line by line, with the country below in capitals where it is another one than the house's."""
    lines = split_address(text)
    if country and country.upper() != home.upper():
        name = country_name(country).upper()
        if not lines or lines[-1].upper() not in (name, country.upper()):
            lines.append(name)
    return tuple(lines)


def split_address(text: str) -> list[str]:
    """An address as its lines; one that was written in a single long line is parted at its commas."""
    lines = [line.strip() for line in text.replace("\r", "\n").split("\n") if line.strip()]
    if len(lines) == 1 and len(lines[0]) > LONGEST_LINE:
        lines = [part.strip() for part in lines[0].split(",") if part.strip()]
    return lines


def country_name(code: str) -> str:
    """A country's name in English; the code itself where it is not known."""
    from babel import Locale

    return str(Locale("en").territories.get(code.upper(), code.upper()))


def slips_of(desk: Desk, parcel_ids: Sequence[int] = ()) -> tuple[Slip, ...]:
    """The slips of some parcels, or of all that are being packed."""
    house = read_house()
    on = house.today(desk.clock.as_of())
    if parcel_ids:
        found = [item for item in (parcel_details(desk, key) for key in parcel_ids) if item is not None and item.claims]
    else:
        found = list(parcels_in(desk, "packing"))
    home = house.terms.on("country", on)
    return tuple(_slip(item, house.name, on, home) for item in found)


def _slip(parcel: ParcelDetails, house: str, on: date, home: str) -> Slip:
    return Slip(
        house=house,
        parcel=parcel.id,
        on=on,
        to_name=parcel.to_name,
        address=address_lines(parcel.address, parcel.country, home),
        cards=tuple((claim.tag, what_of(claim), amount_words(claim.value, claim.currency)) for claim in parcel.claims),
        lines=parcel.lines,
        gift_note=parcel.gift_note,
        is_gift=parcel.is_gift,
    )


def write_packing_slips(desk: Desk, path: Path, slips: Sequence[Slip], paper: str = "") -> str | Problem:
    """Writes slips as PDF; returns the characters that no font here can draw."""
    try:
        return write_slips(path, house_paper(desk, paper), slips, house_fonts(desk))
    except OSError as error:
        return _unwritten(path, error)


def write_address_labels(
    desk: Desk, path: Path, parcel_ids: Sequence[int] = (), paper: str = "", first: int = 1
) -> Printed | Problem:
    """Writes an address label for some parcels, or for all that are being packed."""
    slips = [slip for slip in slips_of(desk, parcel_ids) if slip.address]
    if not slips:
        return Problem("No parcel with an address is being packed.", "Pack one first.")
    addresses = [(slip.to_name, *slip.address) for slip in slips]
    try:
        return write_addresses(path, label_sheet(desk, paper), addresses, first, house_fonts(desk))
    except ValueError as error:
        return Problem(str(error))
    except OSError as error:
        return _unwritten(path, error)


def write_sleeve_labels(
    desk: Desk, path: Path, tags: Sequence[str] = (), paper: str = "", first: int = 1
) -> Printed | Problem:
    """Writes a sleeve label for some claims, or for every card that is here."""
    claims: list[Claim] = []
    for tag in tags:
        key = claim_with_tag(tag)
        if key is None:
            return Problem(f"There is no claim {tag}.", "Check the tag.")
        claims += claims_with_keys(desk.database, [key])
    if not tags:
        claims = list(read_claims(desk.database, "claim.state = 'in_hand'"))
    if not claims:
        return Problem("No card is here.", "Name the tags for which you want labels.")
    labels = [SleeveLabel(claim.tag, what_of(claim)) for claim in claims]
    try:
        return write_sleeves(path, label_sheet(desk, paper), labels, first, house_fonts(desk))
    except ValueError as error:
        return Problem(str(error))
    except OSError as error:
        return _unwritten(path, error)


def print_notes(missing: str, printed: Printed | None = None) -> Iterator[str]:
    """Sentences about what a person still has to do by hand after slips or labels were written."""
    for name in printed.too_long if printed is not None else ():
        yield f"The address of {name} does not fit on a label. Write it by hand."
    for name in printed.undrawn if printed is not None else ():
        yield f"No font here draws the whole address of {name}, so it has no label. Write it by hand."
    if missing:
        yield (
            f"No font here draws {' '.join(missing)}; a ? stands there. The package breakdesk[fonts] brings fonts for "
            "nearly all scripts, or put one that draws it into the folder fonts beside the desk."
        )


def label_sheet(desk: Desk, paper: str = "") -> LabelSheet:
    """The common sheet of labels for a size of paper."""
    return LABEL_SHEETS[house_paper(desk, paper).name.lower()]


def _unwritten(path: Path, error: OSError) -> Problem:
    return Problem(f"{path} cannot be written: {error.strerror}.", "Name another place.")


def ship_list(desk: Desk) -> str:
    """The list for the packing table as text: everybody in the ship round, and whose parcels wait."""
    view = today(desk)
    house = view.parties.house
    on = house.today(desk.clock.as_of())
    home = house.terms.on("country", on)
    steps = [step.name for name in ("card_steps", "parcel_steps") for step in read_steps(house.terms.on(name, on))]
    people = [
        _to_pack(person.person.id, person.person.name, person.address_confirmed, person.claims, home, None)
        for person in view.today.ship
    ]
    people += [_to_pack(item.person_id, item.name, True, item.here, home, item.until) for item in combining(desk)]
    return ship_list_text(house.name, on, people, steps)


def _to_pack(
    person_id: int, name: str, confirmed: bool, claims: Iterable[Claim], home: str, until: date | None
) -> ToPack:
    table = models.Address
    address = table.get_or_none(table.participant == person_id, table.ended_at.is_null())
    return ToPack(
        name=name,
        address=() if address is None else address_lines(address.text, address.country, home),
        address_confirmed=confirmed,
        waits_until=until,
        cards=tuple((claim.tag, what_of(claim)) for claim in claims),
    )


def statement_of(desk: Desk, person_id: int) -> Statement | None:
    """Everything that was and is owed to a participant; None where there is none."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return None
    house = read_house()
    where = (
        "(claim.owner_id = ? OR (claim.first_owner_id = ? AND claim.settled_on IS NOT NULL)) AND claim.state <> 'void'"
    )
    claims = list(read_claims(desk.database, where, [person_id, person_id]))
    products = product_names(claims)
    owed = [claim for claim in claims if claim.is_open and claim.owner_id == person_id]
    ended = [claim for claim in claims if claim not in owed]
    return Statement(
        house=house.name,
        name=row.name,
        on=house.today(desk.clock.as_of()),
        owed=tuple(_statement_line(claim, products) for claim in owed),
        ended=tuple(_statement_line(claim, products) for claim in ended),
    )


def _statement_line(claim: Claim, products: dict[int, str]) -> StatementLine:
    how = claim.settled_how or claim.closed_how
    on = claim.settled_on or claim.closed_on
    amount = amount_words(claim.settled_amount, claim.settled_currency) or amount_words(
        claim.closed_amount, claim.closed_currency
    )
    state = STATE_WORDS[claim.state] if how is None or on is None else f"{CLOSING_WORDS[how]} on {on.day} {on:%b %Y}"
    return StatementLine(
        tag=claim.tag,
        what=what_of(claim),
        product=products.get(claim.product_id or 0, ""),
        since=claim.pull_day,
        state=state,
        tracking=claim.tracking,
        amount=amount,
    )
