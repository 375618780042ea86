"""Who a participant is: two records that are one person, everything held given out, and erased on request.

Each of these is asked about in words of what happens, what stays and what takes it back; none is done by one key.
"""

from __future__ import annotations

from typing import Final

from breakdesk.desk.answering import PersonView, person_view
from breakdesk.desk.erasing import erase, write_held
from breakdesk.desk.merging import MergedName, merge, split
from breakdesk.desk.problems import Problem
from breakdesk.files.typed_paths import typed_path
from breakdesk.rules.wording import counted
from breakdesk.tui.dialogs import AskText, Confirm
from breakdesk.tui.screens.acting_screen import ActingScreen, needed
from breakdesk.tui.screens.person_steps import ask_person, words_for
from breakdesk.tui.wording import path_words, person_words

TYPED_TO_ERASE: Final = "erase"


class PersonIdentity:
    """The steps by which records become one, are parted, given out and erased."""

    def __init__(self, screen: ActingScreen, view: PersonView) -> None:
        """Make the steps about the participant whom a screen shows."""
        self._screen = screen
        self._view = view
        self._name = person_words(view.name, view.handle, view.on_air_name)

    async def merge(self) -> None:
        """Make another record a second name of this one."""
        screen, name = self._screen, self._name
        other = await ask_person(screen, "Which other record is the same person?", without=self._view.id)
        if other is None:
            return
        gone = words_for(other)
        yes = await screen.ask(
            Confirm(
                "Make the two records one?",
                gone,
                " becomes a second name of ",
                name,
                ". All their cards, messages, promises, spots and parcels go over; both names find the one that is "
                "left. The address and the contact here stay; what is missing is taken from the other. Nobody is "
                "told, since nobody got or lost a card. “Part” in the same menu takes it back.",
                yes="Make them one",
            )
        )
        if yes:
            work = screen.desk.call(merge, other.name, self._view.name)
            await screen.carry_out(work, gone, undoable=False)

    async def part(self, gone: MergedName) -> None:
        """Take a merge back."""
        screen = self._screen
        name = person_words(gone.name, gone.handle, gone.on_air_name)
        yes = await screen.ask(
            Confirm(
                "Part the two records again?",
                "What came over with ",
                name,
                " goes back, as far as it is still here. What came since stays with ",
                self._name,
                ": change the owner of such a card by hand where it has to go, too. Merging again takes this back.",
                yes="Part them",
            )
        )
        if yes:
            await screen.carry_out(screen.desk.call(split, gone.name), name, undoable=False)

    async def give_out(self) -> bool:
        """Write everything held about them into a file; whether that was done."""
        screen = self._screen
        word = "".join(letter for letter in self._view.handle or "participant" if letter.isalnum()) or "participant"
        start = screen.desk.desk.path.with_name(f"held about {word} {screen.desk.today():%Y-%m-%d}.json")
        while True:
            about = "A new file that only you can read; codes are not about them and stay out. Hand it over safely."
            typed = await screen.ask(AskText("Into which file?", about, value=str(start), secret=True, check=needed))
            if not typed:
                return False
            written = await screen.desk.call(write_held, self._view.name, typed_path(typed))
            if not isinstance(written, Problem):
                screen.say(f"Everything held about them is in {path_words(written)}.")
                return True
            if not await screen.ask(Confirm("It was not written", written.sentence, yes="Name another file")):
                return False

    async def erase(self) -> None:
        """Erase them, once what stays and what cannot be taken back was read."""
        screen = self._screen
        view = await screen.desk.call(person_view, self._view.id)
        if view is None:
            return
        owed = len(view.owed.claims) if view.owed else 0
        still = f"{counted(owed, 'card is', 'cards are')} still owed to them: settle that first if you can. "
        choices = [
            ("no", "Leave them as they are"),
            ("first", "Give out everything held about them, then erase"),
            ("erase", "Erase without giving anything out"),
        ]
        picked = await screen.pick(
            "Erase this participant?",
            choices,
            self._name,
            ": names, handle, address, e-mail, phone, messages, notes and promises are removed for good. This cannot "
            "be undone.\n \n",
            still if owed else "",
            "What stays: claims, days and amounts, under a number instead of the name, because your books and the "
            "history have to add up.\n \n"
            "Backups made before now still hold it until they are gone by themselves, at most a year from now; files "
            "that were written stay until you delete them. How long records must be kept is a matter of local law.",
        )
        if picked not in ("first", "erase") or (picked == "first" and not await self.give_out()):
            return
        typed = await screen.ask(
            AskText(
                "Erase them for good?",
                self._name,
                f" is erased when you type the word {TYPED_TO_ERASE}. Esc leaves them as they are.",
                check=lambda text: None if text.casefold() == TYPED_TO_ERASE else f"Type {TYPED_TO_ERASE}, or Esc.",
            )
        )
        if typed:
            work = screen.desk.call(erase, view.name, although_owed=bool(owed))
            await screen.carry_out(work, undoable=False)
