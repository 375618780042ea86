"""The colours of the screen: one family of themes around one accent.

Stylesheet and widgets name variables only; the values stand here and nowhere else. Beside Textual's own names
(`background`, `surface`, `panel`, `foreground`, `accent`) the family has these:

* `quiet`: text that may be overlooked: labels, hints, what is done;
* `rule`: lines, never text;
* `chosen` and `chosen-ink`, with `chosen-style`: the row or option that the cursor is on;
* `badge` and `badge-ink`: a few words that must be seen, such as OFF AIR;
* `field`: where a person types.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual.theme import Theme

DEFAULT_THEME = "night"
"""The theme of a first start."""

TERMINAL_THEME = "terminal"
"""The theme of the terminal's own colours."""

PLAIN_THEME = "plain"
"""The theme without any colour, taken when NO_COLOR is set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """The colours that a theme is made of, as a stylesheet writes them."""

    background: str
    surface: str
    panel: str
    foreground: str
    quiet: str
    rule: str
    accent: str
    chosen: str
    chosen_ink: str
    badge: str
    badge_ink: str
    field: str


NIGHT = Palette(
    background="#15191a",
    surface="#1b2021",
    panel="#22292a",
    foreground="#dfe1dc",
    quiet="#9ba5a2",
    rule="#39433f",
    accent="#7ccaa8",
    chosen="#2a423a",
    chosen_ink="#f3f7f2",
    badge="#7ccaa8",
    badge_ink="#0d1614",
    field="#262e2f",
)

DAY = Palette(
    background="#f8f6f1",
    surface="#f1eee6",
    panel="#e8e4d9",
    foreground="#1e2421",
    quiet="#535b57",
    rule="#bdb7a8",
    accent="#0b5c42",
    chosen="#cfe4d9",
    chosen_ink="#0c2119",
    badge="#0b5c42",
    badge_ink="#ffffff",
    field="#e4dfd2",
)

HIGH_CONTRAST = Palette(
    background="#000000",
    surface="#000000",
    panel="#000000",
    foreground="#ffffff",
    quiet="#e0e0e0",
    rule="#ffffff",
    accent="#8ff5c8",
    chosen="#ffffff",
    chosen_ink="#000000",
    badge="#8ff5c8",
    badge_ink="#000000",
    field="#1c1c1c",
)


def _own_variables(palette: Palette, mark: str) -> dict[str, str]:
    """Return the variables of one theme; `mark` is the text style that shows what is chosen."""
    return {
        "quiet": palette.quiet,
        "rule": palette.rule,
        "chosen": palette.chosen,
        "chosen-ink": palette.chosen_ink,
        "chosen-style": mark,
        "badge": palette.badge,
        "badge-ink": palette.badge_ink,
        "field": palette.field,
        "text": palette.foreground,
        "text-muted": palette.quiet,
        "text-disabled": palette.quiet,
        "ansi-background": palette.background,
        "ansi-foreground": palette.foreground,
        "border": palette.rule,
        "border-blurred": palette.rule,
        "block-cursor-foreground": palette.chosen_ink,
        "block-cursor-background": palette.chosen,
        "block-cursor-text-style": mark,
        "block-cursor-blurred-foreground": palette.chosen_ink,
        "block-cursor-blurred-background": palette.chosen,
        "block-cursor-blurred-text-style": mark,
        "block-hover-background": palette.panel,
        "input-cursor-foreground": palette.background,
        "input-cursor-background": palette.foreground,
        "input-cursor-text-style": mark,
        "input-selection-foreground": palette.chosen_ink,
        "input-selection-background": palette.chosen,
        "screen-selection-foreground": palette.chosen_ink,
        "screen-selection-background": palette.chosen,
        "scrollbar": palette.rule,
        "scrollbar-hover": palette.quiet,
        "scrollbar-active": palette.accent,
        "scrollbar-background": palette.background,
        "scrollbar-background-hover": palette.background,
        "scrollbar-background-active": palette.background,
        "scrollbar-corner-color": palette.background,
    }


def _theme(name: str, palette: Palette, *, dark: bool) -> Theme:
    """Make a theme of full colours: one accent carries every role, because warnings are said in words."""
    return Theme(
        name=name,
        primary=palette.accent,
        secondary=palette.quiet,
        accent=palette.accent,
        warning=palette.accent,
        error=palette.accent,
        success=palette.accent,
        foreground=palette.foreground,
        background=palette.background,
        surface=palette.surface,
        panel=palette.panel,
        boost=palette.panel,
        dark=dark,
        variables=_own_variables(palette, "none"),
    )


def _terminal_theme(name: str, accent: str, ink: str, mark: str) -> Theme:
    """Make a theme of the terminal's own colours, which leaves all grounds alone.

    What is chosen has the accent as its ground and `ink` on it, or is marked by the text style `mark`.
    """
    own = "ansi_default"
    palette = Palette(
        background=own,
        surface=own,
        panel=own,
        foreground=own,
        quiet=own,
        rule=own,
        accent=accent,
        chosen=accent,
        chosen_ink=ink,
        badge=accent,
        badge_ink=ink,
        field=own,
    )
    variables = _own_variables(palette, mark)
    variables["input-cursor-foreground"] = ink
    variables["input-cursor-background"] = accent
    if mark != "none":
        # Options and the typing cursor are drawn by a path on which Textual drops "reverse".
        variables["block-cursor-text-style"] = "underline"
        variables["input-cursor-text-style"] = "bold underline"
    return Theme(
        name=name,
        primary=accent,
        secondary=own,
        accent=accent,
        warning=accent,
        error=accent,
        success=accent,
        foreground=own,
        background=own,
        surface=own,
        panel=own,
        boost=own,
        ansi=True,
        variables=variables,
    )


THEMES: tuple[Theme, ...] = (
    _theme("night", NIGHT, dark=True),
    _theme("day", DAY, dark=False),
    _theme("high-contrast", HIGH_CONTRAST, dark=True),
    _terminal_theme(TERMINAL_THEME, "ansi_green", "ansi_black", "none"),
    _terminal_theme(PLAIN_THEME, "ansi_default", "ansi_default", "reverse"),
)


def theme_for(chosen: str, color_system: str | None) -> str:
    """The theme that a terminal can show; `color_system` is what Rich finds it able to.

    With sixteen colours the grounds of ours fall together, so that fields and lines would not be seen.
    """
    has_few = color_system in ("standard", "windows")
    return TERMINAL_THEME if has_few and chosen != PLAIN_THEME else chosen


THEME_WORDS: dict[str, str] = {
    "night": "Night: dark",
    "day": "Day: light",
    "high-contrast": "High contrast: white on black",
    TERMINAL_THEME: "The terminal's own colours",
    PLAIN_THEME: "No colour at all",
}
"""What a person picks a theme by."""
