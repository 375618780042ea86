"""The base of the quiet widgets: a few lines of text that are laid out anew for every width."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, cast

from rich.cells import cell_len
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from breakdesk.tui.failures import Steady
from breakdesk.tui.masking import Secret, shown
from breakdesk.tui.theme import PLAIN_THEME
from breakdesk.tui.widgets.cells import clean

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

QUIET: Final = "$quiet"
"""Text that may be overlooked."""
STRONG: Final = "bold"
"""Text that is read first."""
ACCENT: Final = "$accent"
"""What one can do: keys, titles, the place where one is."""


def words(text: str, style: str = "") -> Content:
    """Return text from anywhere as content: cleaned, never parsed as markup."""
    return Content.styled(clean(text), style)


def spaces(count: int) -> Content:
    """Return empty cells."""
    return Content(" " * max(0, count))


def width_of(content: Content | str) -> int:
    """Return the cells that a text takes."""
    return content.cell_length if isinstance(content, Content) else cell_len(content)


class Lines(Steady, Widget):
    """A widget that gives its lines for a width; it is drawn anew when the air changes."""

    ALLOW_SELECT = True

    def build(self, width: int) -> list[Content]:
        """Return the lines for a width in cells."""
        raise NotImplementedError

    @property
    def on_air(self) -> bool:
        """Whether the stream can see this screen."""
        return cast("DeskApp", self.app).on_air

    def shown(self, value: str | Secret) -> str:
        """Return what may stand on the screen for a value now."""
        return shown(value, on_air=self.on_air)

    @property
    def badge(self) -> str:
        """The style of a few words that must be seen; where there is no colour they are reversed."""
        return "bold reverse" if self.app.theme == PLAIN_THEME else "bold $badge-ink on $badge"

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self.draw_anew, init=False)

    def draw_anew(self) -> None:
        """Draw what is held now; the screen is laid out anew only where that takes another number of lines."""
        width, height = self.content_size
        decided_elsewhere = self.styles.height is not None and not self.styles.height.is_auto
        fits = decided_elsewhere or (width > 0 and len(self.build(width)) == height)
        self.refresh(layout=not fits)

    def render(self) -> Content:
        """Return all lines as one content."""
        return Content("\n").join(self.build(max(1, self.content_size.width)))

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """Take the width that is there."""
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Take a row for each line."""
        return len(self.build(max(1, width)))
