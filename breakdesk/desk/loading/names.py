"""Finds people, makers, products, accounts and breaks by their folded names, and makes those that are unknown."""

from __future__ import annotations

from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.rules.clocks import instant_of
from breakdesk.rules.handles import split_handle
from breakdesk.rules.names import folded
from breakdesk.rules.parties import House
from breakdesk.rules.zones import in_zone
from breakdesk.store import models
from breakdesk.store.words import words_of

_MADE = "it is new to this desk and was added"
_CHECK = "Nothing to do if it is spelled right."


class Names:
    """Every name of the desk and of the load, each with its key."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        snapshot = plan.snapshot
        self.makers = {row["folded"]: key for key, row in snapshot.makers.items()}
        self.products = {row["folded"]: key for key, row in snapshot.products.items()}
        self.people = {
            row["folded"]: row["merged_into_id"] or key for key, row in snapshot.participants.items()
        }  # fmt: skip
        self.breaks = {row["folded"]: key for key, row in snapshot.breaks.items()}
        self.accounts = dict(snapshot.accounts)
        self.made_makers: list[int] = []
        self._merged = {row["folded"] for row in snapshot.participants.values() if row["merged_into_id"] is not None}
        self._handles: dict[str, set[int]] = {}
        for key, row in snapshot.participants.items():
            self.note_handle(row["handle"], row["merged_into_id"] or key)

    folded = staticmethod(folded)

    def was_merged(self, name: str) -> bool:
        """Whether this names somebody whose record was merged into another, which says what is known of them."""
        return folded(name) in self._merged

    def note_handle(self, handle: str, person_id: int) -> None:
        """A participant goes by this handle."""
        if handle and folded(handle):
            self._handles.setdefault(folded(handle), set()).add(person_id)

    def key(self, name: str, place: Place, column: str) -> str | None:
        """The folded name; None, and an error, for one without a letter or digit."""
        found = folded(name)
        if found:
            return found
        self._plan.error(place, column, name, "there is no letter or digit in this name", "Write the whole name.")
        return None

    def is_house(self, name: str) -> bool:
        """Whether the house itself is named."""
        house = self._plan.house_name or self._plan.snapshot.house_name or House().name
        return folded(name) == folded(house)

    def known_person(self, name: str) -> int | None:
        """The participant with this name or, where nobody has it, the only one with this handle."""
        found = folded(name)
        if found in self.people:
            return self.people[found]
        by_handle = self._handles.get(found, set())
        if len(by_handle) == 1:
            return next(iter(by_handle))
        return self._known_with_handle(*split_handle(name))

    def _known_with_handle(self, name: str, handle: str) -> int | None:
        """Somebody of this name who goes by this handle, or by none so far."""
        person_id = self.people.get(folded(name)) if handle else None
        if person_id is None:
            return None
        recorded = self._plan.snapshot.participants[person_id]["handle"]
        return person_id if folded(recorded) in ("", folded(handle)) else None

    def person(self, name: str, place: Place, column: str = "participant") -> int | None:
        """A participant, made with a warning where nobody has the name; None after an error."""
        plain, handle = split_handle(name)
        known = self.known_person(name)
        if known is not None:
            self._note_new_handle(known, plain, handle)
            return known
        if handle and folded(plain) not in self.people:
            name = plain
        else:
            # Somebody else has this name, so that only the handle tells the two apart.
            handle = ""
        if self.key(name, place, column) is None:
            return None
        self._plan.warn(place, column, name, f"this participant is unknown: {_MADE}", _CHECK)
        person_id = self.define_person(name)
        self._note_new_handle(person_id, name, handle)
        self._plan.new_words.append((person_id, words_of(name, handle)))
        self._plan.line("participant", person_id, columns=["participant", "handle"] if handle else ["participant"])
        return person_id

    def _note_new_handle(self, person_id: int, name: str, handle: str) -> None:
        """A handle written behind a name is kept where none is known."""
        row = self._plan.snapshot.participants[person_id]
        if handle and not row["handle"] and row["folded"] == folded(name):
            row["handle"] = handle
            self._plan.change(models.Participant, person_id, {"handle": handle})
            self._plan.changed_words.append((person_id, words_of(row["name"], handle, row["on_air_name"])))
            self.note_handle(handle, person_id)

    def define_person(self, name: str) -> int:
        """A new participant."""
        person_id = self._plan.add(models.Participant, name=name, folded=folded(name))
        self.people[folded(name)] = person_id
        self._plan.snapshot.participants[person_id] = {
            "id": person_id, "name": name, "folded": folded(name), "handle": "", "on_air_name": "", "channel": "",
            "zone": "", "language": "", "merged_into_id": None,
        }  # fmt: skip
        return person_id

    def maker(self, name: str, place: Place) -> int | None:
        """A maker, made with a warning where it is unknown; None for an empty cell and after an error."""
        if not name or self.key(name, place, "maker") is None:
            return None
        known = self.makers.get(folded(name))
        if known is not None:
            return known
        self._plan.warn(place, "maker", name, f"this maker is unknown: {_MADE}", "Load its hours and terms, too.")
        maker_id = self.define_maker(name)
        self._plan.line("maker", maker_id, columns=["maker"])
        self.made_makers.append(maker_id)
        return maker_id

    def define_maker(self, name: str) -> int:
        """A new maker."""
        maker_id = self._plan.add(models.Maker, name=name, folded=folded(name))
        self.makers[folded(name)] = maker_id
        self._plan.snapshot.makers[maker_id] = {"id": maker_id, "name": name, "folded": folded(name), "contact": ""}
        return maker_id

    def product(self, name: str, maker_id: int | None, place: Place, *, defines: bool = False) -> int | None:
        """A product; `defines` where the row is the place that introduces it, so that nothing need be warned of.

        A maker that the row names becomes the product's where none was known.
        """
        if not name or self.key(name, place, "product") is None:
            return None
        product_id = self.products.get(folded(name))
        products = self._plan.snapshot.products
        if product_id is None:
            if not defines:
                self._plan.warn(place, "product", name, f"this product is unknown: {_MADE}", _CHECK)
            product_id = self._plan.add(models.Product, name=name, folded=folded(name), maker_id=maker_id)
            self.products[folded(name)] = product_id
            products[product_id] = {"id": product_id, "maker_id": maker_id, "name": name, "folded": folded(name)}
            self._plan.line("product", product_id, columns=["product"])
        elif maker_id is not None and products[product_id]["maker_id"] is None:
            products[product_id]["maker_id"] = maker_id
            self._plan.change(models.Product, product_id, {"maker_id": maker_id})
            self._plan.line("product", product_id, columns=["maker"])
        return product_id

    def product_maker(self, product_id: int | None) -> int | None:
        """Who made a product, where that is known."""
        if product_id is None:
            return None
        maker: int | None = self._plan.snapshot.products[product_id]["maker_id"]
        return maker

    def account(self, name: str, maker_id: int | None, place: Place) -> int | None:
        """An account with a maker, made with a warning where it is unknown."""
        if not name or self.key(name, place, "account") is None:
            return None
        if maker_id is None:
            what = "the account cannot be kept, because nobody knows whose claim this is"
            self._plan.error(place, "account", name, what, "Write the maker, too.")
            return None
        account_id = self.accounts.get((maker_id, folded(name)))
        if account_id is None:
            self._plan.warn(place, "account", name, f"this account is unknown: {_MADE}", _CHECK)
            account_id = self._plan.add(models.Account, maker_id=maker_id, name=name, folded=folded(name))
            self.accounts[(maker_id, folded(name))] = account_id
            self._plan.line("account", account_id, columns=["account"])
        return account_id

    def break_of_claim(self, name: str, place: Place) -> int | None:
        """The break that a claim names, made without spots where it is unknown."""
        if not name or self.key(name, place, "break") is None:
            return None
        break_id = self.breaks.get(folded(name))
        if break_id is None:
            what = f"this break is unknown: {_MADE}, without spots"
            remedy = "Load its spots before the claims, or name the participant of each claim."
            self._plan.warn(place, "break", name, what, remedy)
            break_id = self.define_break(name, None, None, "team")
            self._plan.line("break", break_id, columns=["break"])
        return break_id

    def define_break(self, name: str, starts_at: int | None, night: str | None, form: str) -> int:
        """A new break; `starts_at` in UTC microseconds, `night` an ISO day of the house."""
        values = {"name": name, "folded": folded(name), "starts_at": starts_at, "night": night, "format": form}
        break_id = self._plan.add(models.Break, **values)
        self.breaks[folded(name)] = break_id
        self._plan.snapshot.breaks[break_id] = {"id": break_id, **values}
        return break_id

    def shown_start(self, break_id: int) -> str:
        """When a break starts, for a person to read."""
        row = self._plan.snapshot.breaks[break_id]
        if row["starts_at"] is None:
            return str(row["night"] or "no day")
        instant = instant_of(row["starts_at"])
        return f"{in_zone(instant, self._plan.house().zone_at(instant)):%Y-%m-%d %H:%M}"

    def has_other_of_handle(self, handle: str, person_id: int) -> bool:
        """Whether somebody else goes by this handle, too, or is called like it."""
        others = self._handles.get(folded(handle), set()) | {self.people.get(folded(handle), person_id)}
        return bool(others - {person_id})
