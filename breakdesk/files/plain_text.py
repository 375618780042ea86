"""Make text from outside harmless to a terminal, and to a spreadsheet that might take it for a formula."""

from __future__ import annotations

import re

# OWASP, "CSV Injection": = + - @, tab and CR, and LF since August 2025. A quote before one of them reads as ours, so
# a text that begins like that needs one more.
_FORMULA_START = re.compile(r"'*[=+\-@\t\r\n]")
_OUR_QUOTE = re.compile(r"'+[=+\-@\t\r\n]")
# C0 but tab and line breaks, DEL and C1, line and paragraph separators, bidi embeddings, overrides and isolates, lone
# surrogates, and the two code points that XML cannot hold.
_HARMFUL_CHARACTERS = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff"
)
_HARMFUL = re.compile(f"[{_HARMFUL_CHARACTERS}]")
_HARMFUL_IN_A_LINE = re.compile(f"[{_HARMFUL_CHARACTERS}\t\r\n]")

# What a terminal may act on and JSON leaves as it is: DEL, C1, separators, text direction, lone surrogates.
_UNSAFE_IN_JSON = re.compile("[\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")

_SHOWN_LENGTH = 60


def _spelled_out(match: re.Match[str]) -> str:
    code = ord(match[0])
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def harmless(text: str) -> str:
    """Return the text with every control character spelled out (as in \\x1b); tabs and line breaks stay."""
    return _HARMFUL.sub(_spelled_out, text)


def harmless_json(text: str) -> str:
    """Return JSON that says the same with every control character escaped: no terminal acts on it."""
    return _UNSAFE_IN_JSON.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def shown_in_a_line(text: str, length: int = _SHOWN_LENGTH) -> str:
    """Return the text fit for one line of a message: control characters spelled out, the middle left out when long."""
    if len(text) > length:
        text = f"{text[: length - 10]}…{text[-9:]}"
    return _HARMFUL_IN_A_LINE.sub(_spelled_out, text)


def is_controlled(text: str) -> bool:
    """Tell whether the text holds a control character other than a tab or a line break."""
    return _HARMFUL.search(text) is not None


def without_formula(text: str) -> str:
    """Return the text with a single quote before it where a spreadsheet would take it for a formula.

    Source of the leading characters: OWASP, "CSV Injection". `with_formula_start` takes the quote off again.
    """
    return "'" + text if _FORMULA_START.match(text) else text


def with_formula_start(text: str) -> str:
    """Return the text as it was before `without_formula`: only a quote before a formula's first character goes."""
    return text[1:] if _OUR_QUOTE.match(text) else text
