"""The app below Breakdesk: the places, the commands of everywhere, the air, and one way to fail."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from os import environ
from pathlib import Path
from typing import Any, ClassVar

from textual.filter import LineFilter
from textual.reactive import reactive
from textual.screen import Screen
from textual.worker import WorkerFailed

from breakdesk.tui import everywhere
from breakdesk.tui.app_dialogs import FailureDialog, GoOffAir
from breakdesk.tui.clipboard import CLEAR_CODES_AFTER, clear_code
from breakdesk.tui.commands import EVERYWHERE, REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.failures import Steady, failing_line, write_report
from breakdesk.tui.harmless_lines import HARMLESS_LINES
from breakdesk.tui.help import HelpScreen
from breakdesk.tui.keys import DeskCommands, bindings
from breakdesk.tui.masking import Secret, shown
from breakdesk.tui.stylesheet import DressedApp, OnceParsed
from breakdesk.tui.theme import DEFAULT_THEME, PLAIN_THEME, THEMES

LONGEST_PAUSE = 0.005
"""Seconds without a picture when another place is opened."""


class DeskApp(Steady, DressedApp, inherit_bindings=False):
    """The app below Breakdesk: everything but the desk itself.

    A subclass fills `MODES` with its places (`today`, `catch`, …); each keeps its state while another is open.
    """

    CSS_PATH = Path(__file__).with_name("breakdesk.tcss")
    COMMANDS = {DeskCommands}
    BINDINGS = bindings(everywhere.COMMANDS)
    PAGES: ClassVar[Mapping[str, Callable[[], Screen[Any]]]] = {}
    """Screens that the palette opens above the place that is open."""
    START: ClassVar[str] = "today"
    """The place that a start opens with."""

    code_on_clipboard = ""
    """The code that was copied last and is to be cleared; empty where none is."""
    on_air: reactive[bool] = reactive(True)
    """Whether the stream can see this screen; true unless this machine was set as one that never streams."""

    def __init__(
        self,
        *,
        desk_name: str,
        now: Callable[[], datetime],
        on_air: bool = True,
        report_folder: Path | None = None,
        theme: str = DEFAULT_THEME,
        rebound: Mapping[str, str] | None = None,
        go_on_after_failure: bool = True,
        clear_codes_after: int = CLEAR_CODES_AFTER,
    ) -> None:
        """Make the app.

        `now` gives the instant in the house's zone; `rebound` holds keys by command id. Without
        `go_on_after_failure` an unexpected error ends the app at once, which is what tests want.
        """
        # Textual's own answer to NO_COLOR is shades of grey, which are colours too; our plain theme has none.
        no_color = bool(environ.pop("NO_COLOR", ""))
        super().__init__()
        self.no_color = no_color
        self.desk_name = desk_name
        self.now = now
        self.rebound = dict(rebound or {})
        self._report_folder = report_folder
        self.clear_codes_after = clear_codes_after
        self._go_on = go_on_after_failure
        self._failing_lines: set[tuple[str, int]] = set()
        self.set_reactive(DeskApp.on_air, on_air)
        for name in list(self.available_themes):
            self.unregister_theme(name)
        for own in THEMES:
            self.register_theme(own)
        self.theme = PLAIN_THEME if no_color else theme
        self.stylesheet = OnceParsed(variables=self.get_css_variables())
        if self.rebound:
            self.set_keymap(self.rebound)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Let nothing that is drawn act on the terminal, whatever was typed, pasted or loaded."""
        return (*super().get_line_filters(), HARMLESS_LINES)

    def on_unmount(self) -> None:
        """Leave no code on the clipboard, and give the terminal its own title back."""
        clear_code(self)
        if self._driver is not None:
            self._driver.write("\x1b[23;0t")

    def today(self) -> date:
        """Return today's date in the house's zone."""
        return self.now().date()

    def on_mount(self) -> None:
        """Keep the terminal's own title for later, and open the first place."""
        if self._driver is not None:
            self._driver.write("\x1b[22;0t")
        self.show_air()
        if self.START in self.MODES:
            self.switch_mode(self.START)

    # Commands

    def commands_here(self, screen: Screen[Any]) -> tuple[Command, ...]:
        """Return the commands that a screen's keys reach now, its own first."""
        context = screen.CONTEXT if isinstance(screen, DeskScreen) else EVERYWHERE
        return tuple(command for command in REGISTRY.chain(context) if self._can_run(command, screen))

    def _can_run(self, command: Command, screen: Screen[Any]) -> bool:
        name, _, arguments = command.handler.partition("(")
        parameters = (arguments.rstrip(")").strip("'\""),) if arguments else ()
        namespace = self if command.context == EVERYWHERE else screen
        return bool(namespace.check_action(name, parameters))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer only the places that there are."""
        if action == "go":
            return parameters[0] in self.MODES
        if action == "open":
            return parameters[0] in self.PAGES
        return True

    def action_open(self, page: str) -> None:
        """Open a page that no key leads to, above what is open."""
        self.push_screen(self.PAGES[page]())

    def delay_update(self, delay: float = LONGEST_PAUSE) -> None:
        """Hold pictures back while another place is opened, for less long than Textual would."""
        super().delay_update(min(delay, LONGEST_PAUSE))

    def action_go(self, place: str) -> None:
        """Go to a place as it was left; its own key goes to its first screen, and Today's key does so from anywhere."""
        inside = self.current_mode == place
        if not inside:
            self.switch_mode(place)
        if inside or (place == self.START and not (isinstance(self.screen, DeskScreen) and self.screen.busy)):
            self.call_later(self._leave_pages)

    async def _leave_pages(self) -> None:
        """Leave the pages above the first screen of a place as Esc would, up to one that still asks or works."""
        while len(self.screen_stack) > 1:
            page = self.screen
            if isinstance(page, DeskScreen) and hasattr(page, "action_leave"):
                await self.run_action("leave", page)
            elif isinstance(page, DeskScreen):
                self.pop_screen()
            if self.screen is page:
                return

    async def action_back(self) -> None:
        """Go back to the screen before, and from the last one of a place to the first place."""
        if len(self.screen_stack) > 1:
            self.pop_screen()
        elif self.START in self.MODES:
            self.action_go(self.START)

    def action_help(self) -> None:
        """Tell what this screen is."""
        screen = self.screen
        if isinstance(screen, DeskScreen):
            commands = self.commands_here(screen)
            self.push_screen(HelpScreen(screen.TITLE_WORDS, screen.ABOUT, commands, self.rebound))

    # The air

    def action_switch_air(self) -> None:
        """Go on air at once, or ask before going off air; asked again, stay on air."""
        if not self.on_air:
            self.on_air = True
        elif isinstance(self.screen, GoOffAir):
            self.screen.dismiss(False)
        else:
            self.push_screen(GoOffAir(), self._go_off_air)

    def _go_off_air(self, yes: bool | None) -> None:
        if yes:
            self.on_air = False

    def watch_on_air(self, on_air: bool) -> None:
        """Take away what may show a secret, and say the air in the titles."""
        if on_air:
            self.clear_notifications()
        self.show_air()

    def show_air(self) -> None:
        """Say in the titles of app and terminal whether the stream can see this screen."""
        self.title = f"Breakdesk – {'on air' if self.on_air else 'OFF AIR'}"
        if self._driver is not None:
            self._driver.write(f"\x1b]2;{self.title}\x07")

    def tell(self, *sentence: str | Secret) -> None:
        """Show a short notice; secrets in it are hidden on air and it is never parsed as markup."""
        self.notify("".join(shown(part, on_air=self.on_air) for part in sentence), markup=False)

    # Failures

    def show_failure(self, error: BaseException) -> None:
        """Write a report and show a plain sentence; the desk goes on."""
        path = write_report(self._report_folder, error, self.now())
        where = f"A report without names, codes or addresses is kept as {path.name}." if path else ""
        if self._running and not isinstance(self.screen, FailureDialog):
            self.push_screen(FailureDialog(where))

    def handle_failure(self, error: Exception) -> None:
        """Show a failure and go on, or end the app where it was told not to go on."""
        if self._go_on and self._running:
            self.show_failure(error.error if isinstance(error, WorkerFailed) else error)
        else:
            super()._handle_exception(error)

    def _handle_exception(self, error: Exception) -> None:
        # Errors in drawing come here again with every picture: shown once, they leave the way out of that screen free.
        place = failing_line(error)
        if not isinstance(error, WorkerFailed) and self._go_on and place in self._failing_lines:
            return
        self._failing_lines.add(place)
        self.handle_failure(error)
