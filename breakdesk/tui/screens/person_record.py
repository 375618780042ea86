"""A participant's record: how they are written to, what they wish, and every message they were told."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import Any, Final

from breakdesk.desk.answering import PersonView
from breakdesk.desk.desk import Desk
from breakdesk.desk.people import set_wish
from breakdesk.desk.preferences import Preferences, opt_out, prefer
from breakdesk.desk.problems import Result
from breakdesk.desk.reaching import CHANNEL_WORDS, channel_words, told_by_words
from breakdesk.desk.told import PastTelling, tell_again, tellings_of
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.clipboard import MESSAGE_ON_AIR, copy_text
from breakdesk.tui.dialogs import AskText, Confirm, ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.person_identity import PersonIdentity
from breakdesk.tui.wording import day_words, person_words

WISHES: Final = {
    "": "Nothing in general",
    "ask": "To be asked each time",
    "wait": "To wait for the card that was promised",
    "take": "To take the replacement",
}
ASKED: Final = {
    "language": ("In which language?", "As in BCP 47: en, de, pt-BR. Empty for none of their own."),
    "zone": ("In which time zone do they live?", "Such as Europe/Berlin; quiet hours go by it. Empty for the house's."),
    "email": ("Their e-mail address?", "Empty forgets it."),
    "phone": ("Their phone number?", "With its country, like +1 555 0100. Empty forgets it."),
}
SECRET: Final = ("email", "phone")


class PersonRecord:
    """What can be done about a participant's record, each choice with its own few questions."""

    def __init__(self, screen: ActingScreen, view: PersonView) -> None:
        """Make the menu of a participant for the screen that shows them."""
        self._screen = screen
        self._view = view
        self._name = person_words(view.name, view.handle, view.on_air_name)
        self._identity = PersonIdentity(screen, view)

    async def ask(self) -> None:
        """Let a person choose, and do what was chosen."""
        view, identity = self._view, self._identity
        if view.erased:
            self._screen.say("This participant was erased: there is nothing left to change.")
            return
        steps: dict[str, tuple[str | Secret, Callable[[], Coroutine[Any, Any, object]]]] = {
            "reach": ("How they are written to: way, address, language, zone", self._reach),
            "wish": (f"What they want when a maker offers another card: {WISHES[view.wish].lower()}", self._wish),
            "opt": ("They want messages again" if view.opted_out else "They want no messages any more", self._opt),
            "told": ("What they were told, word for word; send one once more", self._told),
            "merge": ("One person with another record: make the two one", identity.merge),
        }
        for item in view.also:
            label = person_words(item.name, item.handle, item.on_air_name)
            said = Secret(label.kind, f"Part from {label.shown(on_air=False)} again", f"Part from {label} again")
            steps[f"part {item.person_id}"] = (said, lambda one=item: identity.part(one))  # type: ignore[misc]
        steps["held"] = ("Give out everything that is held about them, as a file", identity.give_out)
        steps["erase"] = ("Erase them on their request", identity.erase)
        picked = await self._screen.pick("What about them?", [(key, label) for key, (label, _) in steps.items()])
        if picked is not None:
            await steps[picked][1]()

    async def _change(self, wanted: Preferences) -> None:
        await self._screen.carry_out(self._screen.desk.call(prefer, self._view.name, wanted), undoable=False)

    async def _reach(self) -> None:
        view = self._view
        now = {
            "channel": channel_words(view.channel),
            "fallback_channel": channel_words(view.fallback_channel) if view.fallback_channel else "none",
            "email": masking.email(view.email) or "none",
            "phone": masking.phone(view.phone) or "none",
            "language": view.language or "none of their own",
            "zone": view.zone or "the house's",
        }
        labels = {
            "channel": "Written to by",
            "fallback_channel": "Else by",
            "email": "E-mail",
            "phone": "Phone",
            "language": "Language",
            "zone": "Time zone",
        }
        choices = [(name, _joined(f"{labels[name]}: ", value)) for name, value in now.items()]
        name = await self._screen.pick("What changes?", choices)
        if name is None:
            return
        value = await (self._ask_channel(name) if name.endswith("channel") else self._ask_value(name))
        if value is not None:
            await self._change(Preferences(**{name: value}))

    async def _ask_channel(self, name: str) -> str | None:
        ways = [(kind, said) for kind, said in CHANNEL_WORDS.items() if name == "channel" or kind != "public"]
        if name == "channel":
            return await self._screen.pick("How are they written to?", ways)
        title = "And where that cannot be used, for want of an address or a number?"
        picked = await self._screen.pick(title, [*ways, ("none", "No other way")])
        return "" if picked == "none" else picked

    async def _ask_value(self, name: str) -> str | None:
        title, about = ASKED[name]
        dialog = AskText(title, about, value=getattr(self._view, name), secret=name in SECRET)
        answer: str | None = await self._screen.ask(dialog)
        return answer

    async def _wish(self) -> None:
        about = "An offer that they do not answer by its day is answered as they wish here."
        wish = await self._screen.pick(
            "What do they want in general?", [(key or "none", WISHES[key]) for key in WISHES], about
        )
        if wish is not None:
            work = self._screen.desk.call(set_wish, self._view.name, "" if wish == "none" else wish)
            await self._screen.carry_out(work, undoable=False)

    async def _opt(self) -> None:
        out = not self._view.opted_out
        if out and not await self._screen.ask(
            Confirm(
                "Write to them no more?",
                "They stay in every list and keep everything that is owed to them; no message is written, copied or "
                "sent. The same choice takes it back.",
                yes="Write no more",
            )
        ):
            return
        await self._screen.carry_out(self._screen.desk.call(opt_out, self._view.name, out=out), undoable=False)

    # Messages

    async def _told(self) -> None:
        screen, today = self._screen, self._screen.desk.today()
        found = await screen.desk.call(tellings_of, self._view.id)
        if not found:
            screen.say("They were told nothing yet.")
            return
        choices = [(str(told.id), _told_words(told, day_words(told.day, today))) for told in found]
        picked = await screen.pick("Which message?", choices, "The newest first.")
        told = next((told for told in found if str(told.id) == picked), None)
        if told is None:
            return
        ways = [("read", "Read it"), ("again", "Copy it to send it once more as it was")]
        what = await screen.pick(f"The message of {day_words(told.day, today)}", ways)
        text = masking.note(told.text or "Its words are not kept.")
        if what == "read":
            await screen.ask(ShowText(f"Told {day_words(told.day, today)}", text))
        elif what == "again":
            await self._again(told)

    async def _again(self, told: PastTelling) -> None:
        screen = self._screen
        if screen.desk.on_air:
            screen.say(MESSAGE_ON_AIR)
            return
        if self._view.opted_out:
            screen.say("They opted out of messages: nothing is copied.")
            return
        said = copy_text(screen.desk, told.text or "")
        yes = await screen.ask(
            Confirm(
                "Was it sent once more?",
                f"{said} It counts as told again, with the same words, once you say so.",
                yes="Yes: they were told again",
                no="No: nothing is noted",
            )
        )
        if yes:
            await screen.carry_out(screen.desk.call(_told_again, told.id))


def _told_again(desk: Desk, telling_id: int) -> Result:
    return tell_again(desk, telling_id)


def _joined(label: str, value: str | Secret) -> str | Secret:
    if not isinstance(value, Secret):
        return label + value
    return Secret(value.kind, label + value.shown(on_air=False), label + str(value))


def _told_words(told: PastTelling, day: str) -> str:
    about = f"about {', '.join(map(tag_words, told.tags))}" if told.tags else ""
    return ", ".join(
        part for part in (day, told_by_words(told.channel), about, "taken back" if told.undone else "") if part
    )
