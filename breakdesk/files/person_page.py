"""A participant's page: one self-contained HTML file with what they are owed in plain words, and nothing of others.

It runs no script and asks nothing of any server: its own rules forbid both. It has a place for no address, no contact,
no code and no reference. Text from outside is escaped, never markup.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import Final

from breakdesk.files.messages.language import day_text
from breakdesk.files.messages.plain import plain_line
from breakdesk.rules.days import Age
from breakdesk.rules.wording import age_words, counted

LANGUAGE: Final = "en"
POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
_STYLE: Final = """
:root{color-scheme:light dark}
*{box-sizing:border-box}
body{margin:0;background:#fbfaf7;color:#1d2733;font:1.0625rem/1.55 system-ui,sans-serif;overflow-wrap:anywhere}
main{max-width:44rem;margin:0 auto;padding:1.25rem 1rem 3rem}
h1{font-size:1.6rem;line-height:1.25;margin:.5rem 0}
h2{font-size:1.2rem;margin:2rem 0 .5rem}
h3{font-size:1.05rem;margin:0 0 .4rem}
ul.plain{list-style:none;margin:0;padding:0}
.card{background:#fff;border:1px solid #c9c4b8;border-radius:.5rem;padding:.9rem 1rem;margin:0 0 .9rem}
.needs h2{margin-top:0}
.needs{border-left:.35rem solid #8a3b12}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.15rem 1rem;margin:0}
dt{color:#4a5563}
dd{margin:0}
footer{margin-top:2.5rem;color:#4a5563;font-size:.95rem}
@media (max-width:30rem){dl{grid-template-columns:1fr}dd{margin-bottom:.35rem}}
@media (prefers-color-scheme:dark){
body{background:#14181d;color:#eceae4}
.card{background:#1c2229;border-color:#48525e}
.needs{border-left-color:#f0a36b}
dt,footer{color:#b9c1ca}
}
@media print{.card{break-inside:avoid}}
""".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class PageClaim:
    """One owed card. `state`, `next_step` and `outlook` are finished words; `tracking` only of a parcel on its way.

    `next_day` ends the words of the step.
    """

    tag: str
    what: str
    product: str
    state: str
    since: date
    age: Age
    next_step: str
    next_day: date | None
    outlook: str = ""
    tracking: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonPage:
    """Everything on a participant's page; `needs` are whole sentences."""

    house: str
    name: str
    on: date
    needs: tuple[str, ...]
    claims: tuple[PageClaim, ...]
    next_update: date | None = None


def page_html(page: PersonPage) -> str:
    """The page as one HTML document in UTF-8."""
    return "\n".join(_lines(page)) + "\n"


def _text(text: str) -> str:
    return escape(plain_line(text), quote=True)


def _time(day: date) -> str:
    return f'<time datetime="{day.isoformat()}">{_text(day_text(day, LANGUAGE))}</time>'


def _lines(page: PersonPage) -> Iterator[str]:
    title = f"Cards owed to {_text(page.name)} by {_text(page.house)}"
    yield "<!DOCTYPE html>"
    yield f'<html lang="{LANGUAGE}">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield '<meta name="robots" content="noindex, nofollow, noarchive">'
    yield '<meta name="referrer" content="no-referrer">'
    yield f"<title>{title}</title>"
    yield f"<style>{_STYLE}</style>"
    yield "</head>"
    yield "<body>"
    yield "<main>"
    yield f"<header><h1>{title}</h1>"
    yield f"<p>{_summary(page)} As of {_time(page.on)}.</p></header>"
    yield from _needs(page.needs)
    if page.claims:
        yield '<section aria-labelledby="cards"><h2 id="cards">Your cards</h2>'
        yield '<ul class="plain">'
        for claim in page.claims:
            yield from _claim(claim)
        yield "</ul></section>"
    yield "<footer>"
    if page.next_update is not None:
        yield f"<p>You hear from us again by {_time(page.next_update)} at the latest.</p>"
    yield "<p>Days ahead are what we plan, and expected waits look back at other cards: neither is a promise.</p>"
    yield f"<p>This page is yours alone. Ask {_text(page.house)} for a new one if you passed its address on.</p>"
    yield "</footer></main></body></html>"


def _summary(page: PersonPage) -> str:
    count = len(page.claims)
    if not count:
        return "Nothing is owed to you now."
    return f"{counted(count, 'card is', 'cards are')} owed to you."


def _needs(needs: Sequence[str]) -> Iterator[str]:
    if not needs:
        return
    yield '<section class="card needs" aria-labelledby="needs"><h2 id="needs">What we need from you</h2>'
    yield "<ul>"
    for sentence in needs:
        yield f"<li>{_text(sentence)}</li>"
    yield "</ul></section>"


def _claim(claim: PageClaim) -> Iterator[str]:
    yield f'<li class="card"><article><h3>{_text(claim.what)}</h3><dl>'
    waited = "since today" if claim.age.days == 0 else age_words(claim.age)
    rows = [("Where it is", _text(claim.state)), ("Waiting", f"{waited}, since {_time(claim.since)}")]
    if claim.next_step:
        day = f" {_time(claim.next_day)}" if claim.next_day is not None else ""
        rows.append(("Next", f"{_text(claim.next_step)}{day}"))
    if claim.outlook:
        rows.append(("Expected wait", _text(claim.outlook)))
    if claim.tracking:
        rows.append(("Tracking number", _text(claim.tracking)))
    if claim.product:
        rows.append(("Product", _text(claim.product)))
    rows.append(("Tag", _text(claim.tag)))
    for label, said in rows:
        yield f"<dt>{label}</dt><dd>{said}</dd>"
    yield "</dl></article></li>"
