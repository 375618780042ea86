"""What is done to a claim that was just written down: correct, owner, note, swap, strike out, undo."""

from __future__ import annotations

from breakdesk.desk.correcting import FIELDS, KIND_WORDS, correct, fields_of, names_for
from breakdesk.desk.describing import what_of
from breakdesk.desk.following import note
from breakdesk.desk.handing import hand_over, swap_claims
from breakdesk.desk.people import NewPerson, add_person
from breakdesk.desk.settling import void
from breakdesk.desk.trades import people_called
from breakdesk.desk.undoing import last_actions, not_taken_back, undo
from breakdesk.rules.break_facts import Person
from breakdesk.rules.claim import PLANS
from breakdesk.rules.ownership import Owner
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.tags import with_tags_shown
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText
from breakdesk.tui.screens.catch_codes import IN_SIGHT, CodeActions, something
from breakdesk.tui.screens.catch_draws import settle_shared
from breakdesk.tui.screens.catch_words import caught_owner, owner_words, person_words, worded

UNDO_OFFERED = 12
MOST_PEOPLE = 40
HOUSE, NEW = "house", "new"
PLAN_WORDS = {"submit": "submit it to the maker", "give": "give the claim card to its owner"}


class ClaimActions(CodeActions):
    """Actions on one claim: the one chosen in the list, else the newest."""

    # Undo

    def action_undo(self) -> None:
        """Take something back by name."""
        self.do(self._undo())

    async def _undo(self) -> None:
        latest = await self.desk.call(lambda _desk: not_taken_back(last_actions(UNDO_OFFERED)))
        actions = [item for item in latest if item.names]
        if not actions:
            self.say("Nothing was done yet.")
            return
        cards = {item.claim.tag: what_of(item.claim) for item in self.caught}
        choices = [
            Choice(
                str(item.key),
                with_tags_shown(f"{'Do again' if item.takes_back else 'Take back'}: {item.what} {item.names}"),
                cards.get(item.names, ""),
            )
            for item in actions
        ]
        key = await self.pick("Take which step back?", choices, "The newest stands first. The history keeps both.")
        if key is not None:
            await self.carry_out(self.desk.call(undo, int(key)))

    # Correcting

    def action_correct(self) -> None:
        """Correct a field."""
        self.do(self._correct())

    async def _correct(self) -> None:
        target = self.needed()
        if target is None:
            return
        claim = target.claim
        now = await self.desk.call(fields_of, claim)
        choices = [Choice(name, label, now[name] or "–") for name, label in FIELDS.items()]
        name = await self.pick(f"Correct what of {tag_words(claim.tag)}?", choices, what_of(claim))
        if name is None:
            return
        label = FIELDS[name]
        if name == "kind":
            text = await self.pick("Which kind is it?", [Choice(key, words) for key, words in KIND_WORDS.items()])
        elif name == "plan":
            text = await self.pick("What happens to it?", [Choice(key, PLAN_WORDS[key]) for key in PLANS])
        elif name in ("product", "maker"):
            names = await self.desk.call(names_for, claim, name)
            text = await self.pick(f"{label} of {tag_words(claim.tag)}", [Choice(one, one) for one in names])
        else:
            text = await self.ask(AskText(f"{label} of {tag_words(claim.tag)}", value=now[name]))
        if text is not None:
            await self.carry_out(self.desk.call(correct, claim.tag, name, text))

    # Owners

    def action_owner(self) -> None:
        """Say whose it is."""
        self.do(self._owner())

    async def _owner(self) -> None:
        if self.typing:
            owner = await self.ask_person("Whose card is it?", house=True)
            if owner is not None:
                self.name_owner(owner)
            return
        target = self.needed()
        if target is None:
            return
        if target.claim.owner_kind == "several":
            await settle_shared(self, target)
            return
        tag = target.claim.tag
        owner = await self.ask_person(f"Whose is {tag_words(tag)}?", house=True)
        if owner is None or self.seat is None or self.seat.table is None:
            return
        reason = ""
        if target.claim.owner_id is not None:
            reason = await self.ask(AskText("Why does it change hands?", IN_SIGHT, check=something))
            if reason is None:
                return
        person_id = owner.ids[0] if owner.ids else None
        name = owner_words(owner, self.seat.table.people, self.desk.house.name)
        said_of_it = worded(f"{tag_words(tag)} is now for ", name, ".")
        await self.carry_out(self.desk.call(hand_over, tag, person_id, reason), said_of_it)

    @property
    def typing(self) -> bool:
        """Whether a line is being typed that has a reading."""
        raise NotImplementedError

    def name_owner(self, owner: Owner) -> None:
        """Say whose the card being typed is."""
        raise NotImplementedError

    async def ask_person(self, title: str, *, house: bool = False) -> Owner | None:
        """Ask for a participant by the beginning of a handle; somebody new can be added on the way."""
        table = self.seat.table if self.seat is not None else None
        if table is None:
            return None
        remark = "The beginning of the handle is enough. Enter alone lists everybody in this break."
        typed = await self.ask(AskText(title, remark))
        if typed is None:
            return None
        playing = {key for spot in (table.facts.spots if table.facts else ()) for key in spot.owners}
        people = list(table.people.values())
        found = people_called(people, typed) if typed else [one for one in people if one.id in playing]
        found.sort(key=lambda one: (one.id not in playing, str(person_words(one)).casefold()))
        if len(found) == 1 and typed:
            return Owner.person(found[0].id)
        choices = [Choice(str(one.id), person_words(one)) for one in found[:MOST_PEOPLE]]
        choices += [Choice(HOUSE, "The house itself")] if house else []
        choices += [Choice(NEW, f"Add {typed} as somebody new")] if typed and not found else []
        many = f"The first {MOST_PEOPLE} of {len(found)}; type more of the handle." if len(found) > MOST_PEOPLE else ""
        answer = await self.pick(title, choices, *([many] if many else []))
        if answer == HOUSE:
            return Owner.house()
        if answer == NEW:
            added = await self.add_person(typed)
            return None if added is None else Owner.person(added.id)
        return None if answer is None else Owner.person(int(answer))

    async def add_person(self, typed: str = "") -> Person | None:
        """Add a participant by the handle; the rest can be filled in off air."""
        handle = await self.ask(
            AskText(
                "Who is new?",
                f"The handle is enough now; name and address can be filled in off air. {IN_SIGHT}",
                value=typed.lstrip("@"),
                check=something,
            )
        )
        if handle is None:
            return None
        bare = handle.lstrip("@").strip()
        done = await self.carry_out(self.desk.call(add_person, NewPerson(name=bare, handle=bare)), f"@{bare} is added.")
        if done is None or self.seat is None:
            return None
        await self.sit(self.seat.break_id, anew=True)
        table = self.seat.table
        known = people_called(table.people.values(), bare) if table is not None else []
        return known[0] if known else None

    # The rest

    def action_note(self) -> None:
        """Write a note."""
        self.do(self._note())

    async def _note(self) -> None:
        target = self.needed()
        if target is None:
            return
        text = await self.ask(AskText(f"Note on {tag_words(target.claim.tag)}", IN_SIGHT, check=something))
        if text is not None:
            await self.carry_out(self.desk.call(note, target.claim.tag, text))

    def action_settle(self) -> None:
        """Settle a shared card."""
        self.do(self._settle())

    async def _settle(self) -> None:
        target = self.needed()
        if target is None:
            return
        if target.claim.owner_kind != "several":
            self.say(f"{tag_words(target.claim.tag)} is not shared by several owners. Ctrl+N changes its owner.")
            return
        await settle_shared(self, target)

    def action_swap(self) -> None:
        """Swap with another claim."""
        self.do(self._swap())

    async def _swap(self) -> None:
        target = self.needed()
        if target is None:
            return
        house = self.desk.house.name
        others = [item for item in self.caught if item.claim.id != target.claim.id and item.claim.is_open]
        choices = [
            Choice(
                item.claim.tag,
                worded(f"{tag_words(item.claim.tag)}  {what_of(item.claim)} · ", caught_owner(item, house)),
            )
            for item in others[:MOST_PEOPLE]
        ]
        if not choices:
            self.say("There is no other claim to swap it with.")
            return
        other = await self.pick(f"Swap {tag_words(target.claim.tag)} with which claim?", choices)
        if other is None:
            return
        reason = await self.ask(AskText("What was agreed?", IN_SIGHT, check=something))
        if reason is not None:
            await self.carry_out(self.desk.call(swap_claims, target.claim.tag, other, reason))

    def action_void(self) -> None:
        """Strike it out."""
        self.do(self._void())

    async def _void(self) -> None:
        target = self.needed()
        if target is None:
            return
        title = f"Strike out {tag_words(target.claim.tag)}?"
        reason = await self.ask(
            AskText(title, f"{what_of(target.claim)}. Say why it was a mistake; the history keeps it.", check=something)
        )
        if reason is not None:
            await self.carry_out(self.desk.call(void, target.claim.tag, reason))
