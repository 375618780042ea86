"""What goes out of the parcels as files: the table for postage, slips and labels, the packing list, people's pages."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any, Final, cast

from breakdesk.desk import printing
from breakdesk.desk.desk import Desk
from breakdesk.desk.pages import everybody_with_a_page, write_pages
from breakdesk.desk.postage import pack_everything, write_postage
from breakdesk.desk.postage_back import foresee_postage, leave_together, read_bought, take_postage
from breakdesk.desk.problems import Done, Problem
from breakdesk.files.labels import Printed
from breakdesk.files.slips import statement_text
from breakdesk.files.typed_paths import typed_paths
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.dialogs import AskText, Confirm, Dialog, ShowText
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.person_steps import ask_person
from breakdesk.tui.wording import path_words

CHOICES: Final = (
    ("out", "Write the packed parcels for wherever postage is bought (CSV)"),
    ("back", "Take tracking numbers, cost and insurance back (CSV or XLSX)"),
    ("slips", "Packing slips (PDF)"),
    ("addresses", "Address labels (PDF)"),
    ("sleeves", "Sleeve labels with the tag as a code (PDF)"),
    ("list", "The list for the packing table"),
    ("statement", "One participant's statement: owed, and how the rest ended"),
    ("page", "One participant's page (HTML)"),
    ("pages", "Everybody's pages (HTML)"),
)


async def take_papers(screen: ActingScreen) -> None:
    """Offers them all, and does the one that was picked."""
    steps: dict[str, Callable[[ActingScreen], Coroutine[Any, Any, None]]] = {
        "out": _postage_out,
        "back": _postage_back,
        "slips": _slips,
        "addresses": _addresses,
        "sleeves": _sleeves,
        "list": _list,
        "statement": _statement,
        "page": _page,
        "pages": _pages,
    }
    picked = await screen.pick("Postage, paper and pages", CHOICES)
    if picked is not None:
        await steps[picked](screen)


async def ask_file(screen: ActingScreen, title: str, name: str, ending: str) -> Path | None:
    """Asks where a file goes, beside the desk unless said; asks again before anything is written over."""
    place = str(screen.desk.desk.path.with_name(f"{name} {screen.desk.now():%Y-%m-%d}{ending}"))

    def check(typed: str) -> str | None:
        path = _one_path(typed)
        return (
            None if path is not None and path.suffix.casefold() == ending else f"Name one file that ends in {ending}."
        )

    while True:
        typed = await screen.ask(AskText(title, value=place, secret=True, check=check))
        path = None if typed is None else _one_path(typed)
        if path is None:
            return None
        place = str(path)
        question = Confirm(f"{path.name} is there already", yes="Write over it", no="Name another")
        if not await screen.desk.call(_is_there, path) or await screen.ask(question):
            return path


def _is_there(_desk: Desk, path: Path) -> bool:
    return path.exists()


def _one_path(typed: str) -> Path | None:
    # A name with blanks is one path here, quoted or not.
    written = typed.strip().strip("'\"")
    return Path(written).expanduser() if written else None


async def _postage_out(screen: ActingScreen) -> None:
    which = await screen.pick(
        "Which parcels?",
        [
            ("packed", "Those that are packed already"),
            ("all", "First pack one for everybody whose address is confirmed"),
        ],
    )
    path = None if which is None else await ask_file(screen, "Write them into which file?", "postage", ".csv")
    if path is None:
        return
    packed = await screen.desk.call(pack_everything) if which == "all" else []
    written = await screen.desk.call(write_postage, path)
    begun = sum(isinstance(result, Done) for result in packed)
    said = f"{counted(begun, 'parcel')} packed. " if packed else ""
    said += written.sentence if isinstance(written, Problem) else f"{counted(written, 'parcel')} in {path_words(path)}."
    screen.say(said)
    await screen.reload()


async def _postage_back(screen: ActingScreen) -> None:
    from breakdesk.tui.screens.postage_back import PostageBackScreen

    about = "It needs the columns parcel and tracking, and may have cost and insured. First it is only shown."
    typed = await screen.ask(AskText("Which file came back?", about, secret=True, check=_path_problem))
    if typed is None:
        return
    path = typed_paths(typed)[0]
    bought = await screen.desk.call(lambda _desk: read_bought(path))
    if isinstance(bought, Problem):
        screen.say(bought.sentence)
        return
    rows = await screen.desk.call(foresee_postage, bought)
    answer = await screen.ask(cast("Dialog[Any]", PostageBackScreen(path.name, rows)))
    if answer is None or await screen.carry_out(screen.desk.call(take_postage, bought), undoable=False) is None:
        return
    if answer == "leave":
        ids = [row.parcel_id for row in rows if row.parcel_id is not None]
        await screen.carry_out(screen.desk.call(leave_together, ids))
    await screen.reload()


def _path_problem(typed: str) -> str | None:
    try:
        return None if len(typed_paths(typed)) == 1 else "Name one file."
    except ValueError as error:
        return str(error)


async def _slips(screen: ActingScreen) -> None:
    slips = await screen.desk.call(printing.slips_of)
    if not slips:
        screen.say("No parcel is being packed.")
        return
    path = await ask_file(screen, f"Write {counted(len(slips), 'slip')} into which file?", "slips", ".pdf")
    if path is None:
        return
    missing = await screen.desk.call(printing.write_packing_slips, path, slips)
    if isinstance(missing, Problem):
        screen.say(missing.sentence)
        return
    await _say_printed(screen, counted(len(slips), "slip"), path, tuple(printing.print_notes(missing)))


async def _addresses(screen: ActingScreen) -> None:
    await _labels(screen, "address labels", printing.write_address_labels)


async def _sleeves(screen: ActingScreen) -> None:
    await _labels(screen, "sleeve labels", printing.write_sleeve_labels)


async def _labels(screen: ActingScreen, name: str, write: Callable[..., Printed | Problem]) -> None:
    sheet = await screen.desk.call(printing.label_sheet)
    title = "Which label of the sheet is the first free one?"
    about = f"A sheet has {sheet.count}: {sheet.columns} by {sheet.rows} on {sheet.paper.name} paper, counted by rows."

    def check(typed: str) -> str | None:
        is_place = typed.isascii() and typed.isdecimal() and 1 <= int(typed) <= sheet.count
        return None if is_place else f"Write a number from 1 to {sheet.count}."

    first = await screen.ask(AskText(title, about, value="1", check=check))
    path = None if first is None else await ask_file(screen, "Write them into which file?", name, ".pdf")
    if path is None:
        return
    printed = await screen.desk.call(lambda desk: write(desk, path, first=int(first)))
    if isinstance(printed, Problem):
        screen.say(printed.sentence)
        return
    notes = tuple(printing.print_notes(printed.missing, printed))
    await _say_printed(screen, counted(printed.count, "label"), path, notes)


async def _say_printed(screen: ActingScreen, what: str, path: Path, notes: tuple[str, ...]) -> None:
    if notes:
        # A note names people, and may hold the letters of a name that nothing drew.
        await screen.ask(ShowText(f"{what} written, but mind", masking.note("\n\n".join(notes))))
    screen.say(f"{what} in {path_words(path)}.")


async def _list(screen: ActingScreen) -> None:
    text = await screen.desk.call(printing.ship_list)
    await screen.ask(ShowText("For the packing table", masking.note(text)))


async def _statement(screen: ActingScreen) -> None:
    found = await ask_person(screen, "Whose statement?")
    if found is None or found.person_id is None:
        return
    statement = await screen.desk.call(printing.statement_of, found.person_id)
    if statement is not None:
        await screen.ask(ShowText("Statement", masking.note(statement_text(statement))))


async def _page(screen: ActingScreen) -> None:
    found = await ask_person(screen, "Whose page?")
    if found is not None and found.person_id is not None:
        await write_people(screen, [found.person_id])


async def _pages(screen: ActingScreen) -> None:
    await write_people(screen, await screen.desk.call(everybody_with_a_page))


async def write_people(screen: ActingScreen, person_ids: list[int]) -> None:
    """Asks for a folder and writes participants' pages into it; each keeps its file's name."""
    if not person_ids:
        screen.say("Nobody is owed anything.")
        return
    start = screen.desk.desk.path.with_name("pages")
    about = "One HTML file a participant, with a name that nobody can guess. Pages of before are written over."
    typed = await screen.ask(AskText("Write into which folder?", about, value=str(start), secret=True))
    folder = None if typed is None else _one_path(typed)
    if folder is None:
        return
    written = await screen.desk.call(_written, person_ids, folder)
    if isinstance(written, Problem):
        screen.say(written.sentence)
    elif len(written) == 1:
        screen.say("Their page is ", masking.note(path_words(written[0])), ".")
    else:
        screen.say(f"{counted(len(written), 'page')} in {path_words(folder)}.")


def _written(desk: Desk, person_ids: list[int], folder: Path) -> list[Path] | Problem:
    written = write_pages(desk, person_ids, folder)
    return written if isinstance(written, Problem) else [page.path for page in written]
