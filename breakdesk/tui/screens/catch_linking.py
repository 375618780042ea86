"""Linking claims to a checklist that came later: what fits is shown, what is doubtful walked, then all of it done."""

from __future__ import annotations

from breakdesk.desk.describing import what_of, words_of_card
from breakdesk.desk.linking import ToLink, link, products_to_link, to_link
from breakdesk.rules.entry.linking import Linking, what_a_link_says
from breakdesk.rules.ownership import Owner
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import ShowText
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_words import owner_words, worded

NONE, LATER = "none", "later"


class LinkActions(CatchBase):
    """Actions on the claims that have no card of a checklist yet."""

    async def link_claims(self) -> None:
        """Show what would be linked, ask where it is doubtful, and do it in one action."""
        products = await self.desk.call(products_to_link)
        if not products:
            self.say("Every open claim whose product has a checklist is linked to it.")
            return
        product_id = products[0][0]
        if len(products) > 1:
            listed = [Choice(str(key), name, counted(count, "claim")) for key, name, count in products]
            answer = await self.pick("Link the claims of which product?", listed)
            if answer is None:
                return
            product_id = int(answer)
        plan = await self.desk.call(to_link, product_id)
        chosen: dict[int, int] = {}
        while (answer := await self._what_now(plan, chosen)) is not None:
            if answer == "link":
                await self.carry_out(self.desk.call(link, product_id, chosen))
                return
            await self._look(plan, chosen, answer)

    async def _what_now(self, plan: ToLink, chosen: dict[int, int]) -> str | None:
        ready = len(plan.sure) + len(chosen)
        doubtful = [one for one in plan.doubtful if one.claim.id not in chosen]
        choices = [Choice("sure", f"Look at the {len(plan.sure)} that fit one card")] if plan.sure else []
        choices += (
            [Choice("doubtful", f"Go through the {len(doubtful)} that are doubtful, one by one")] if doubtful else []
        )
        choices += [Choice("unlisted", f"Look at the {len(plan.unlisted)} not listed")] if plan.unlisted else []
        choices += [Choice("link", f"Link {counted(ready, 'claim')}", "no fixed owner changes")] if ready else []
        return await self.pick(
            "The checklist is here", choices, "Nothing is linked before you say so; then one undo takes all of it back."
        )

    async def _look(self, plan: ToLink, chosen: dict[int, int], answer: str) -> None:
        if answer == "doubtful":
            await self._walk([one for one in plan.doubtful if one.claim.id not in chosen], chosen)
            return
        listed = plan.sure if answer == "sure" else plan.unlisted
        title = "These fit one card of the checklist" if answer == "sure" else "The checklist has no such card"
        await self.ask(ShowText(title, *(self._line(one, plan.owners.get(one.claim.id)) for one in listed)))

    def _line(self, one: Linking, owner: Owner | None) -> Secret:
        said = f"{tag_words(one.claim.tag)}  {what_of(one.claim)}"
        if one.cards:
            added = _added_words(one)
            said += f" · adds {added}" if added else ""
        if owner is None or self.seat is None or self.seat.table is None:
            return worded(f"{said}\n", "")
        return worded(f"{said} · for ", owner_words(owner, self.seat.table.people, self.desk.house.name), "\n")

    async def _walk(self, doubtful: list[Linking], chosen: dict[int, int]) -> None:
        for place, one in enumerate(doubtful, start=1):
            choices = [Choice(str(card.id), words_of_card(card), " / ".join(card.teams)) for card in one.cards]
            choices += [Choice(NONE, "None of them"), Choice(LATER, "Leave the rest for later")]
            doubts = " ".join(doubt.sentence for doubt in one.doubts)
            said = f"{tag_words(one.claim.tag)}, {place} of {len(doubtful)}: which card is it?"
            answer = await self.pick(said, choices, f"Written down: {_written(one)}. {doubts}")
            if answer in (None, LATER):
                return
            if answer != NONE:
                chosen[one.claim.id] = int(str(answer))


def _written(one: Linking) -> str:
    claim = one.claim
    details = (what_of(claim), claim.features.replace(";", ", "), claim.team.replace(";", " / "))
    return ", ".join(filter(None, details))


def _added_words(one: Linking) -> str:
    said = what_a_link_says(one.claim, one.cards[0])
    parts = [
        said.get("subject", "").replace(";", " & "),
        said.get("variation", ""),
        f"/{said['numbered_to']}" if "numbered_to" in said else "",
        said.get("features", "").replace(";", ", "),
        said.get("team", "").replace(";", " / "),
    ]
    return ", ".join(filter(None, parts))
