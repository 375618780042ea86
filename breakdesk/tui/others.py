"""Brings onto the screen what other desks record, without taking cursor, scroll or a half-typed line from anybody."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any, Final

from textual.widget import Widget
from textual.widgets import Input, TextArea
from textual.worker import Worker, WorkerCancelled, WorkerFailed

from breakdesk.desk.waiting import deliver
from breakdesk.desk.watching import Watcher, look, others_acted
from breakdesk.rules.wording import counted
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.widgets.head_line import HeadLine
from breakdesk.tui.widgets.long_list import LongList

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

LOOK_SECONDS: Final = 0.25
"""How often the screen asks the watcher; nothing of the desk is read where nothing was heard."""
READING: Final = ("read", "rows", "night")
"""The groups of workers by which screens read."""


class OtherDesks:
    """Shows on the open screen what was recorded elsewhere, as soon as that disturbs nobody."""

    def __init__(self, app: Breakdesk, watcher: Watcher) -> None:
        self._app = app
        self._watcher = watcher
        self._waits = True
        self._at_work = False
        # What waited when the program ended is delivered at its next start.
        self._was_down = True
        app.set_interval(LOOK_SECONDS, self._look)

    def _look(self) -> None:
        for head in self._app.screen.query(HeadLine):
            head.show(trouble=self._watcher.trouble)
        self._was_down = self._was_down or bool(self._watcher.trouble)
        if not self._at_work and not self._watcher.trouble and (self._waits or self._watcher.heard.is_set()):
            self._at_work = True
            self._app.run_worker(self._ask(), group="others", exit_on_error=False, description="what others did")

    async def _ask(self) -> None:
        try:
            self._watcher.heard.clear()
            if self._was_down:
                self._was_down = False
                await self._deliver()
            self._waits = await self._app.call(others_acted)
            screen = self._app.screen
            if self._waits and isinstance(screen, DeskScreen) and can_take_in(screen):
                await self._app.call(look)
                self._waits = False
                await take_in(self._app, screen)
        finally:
            self._at_work = False

    async def _deliver(self) -> None:
        """Send what was entered while the line was down, and say what came of it."""
        done = await self._app.call(deliver)
        if done.saved:
            self._app.notify(f"The line is back: {counted(done.saved, 'entry', 'entries')} saved.", markup=False)
        for sentence in done.refused:
            said = f"Entered while the line was down, and refused: {sentence} Enter it again."
            self._app.notify(said, severity="warning", timeout=60, markup=False)


def can_take_in(screen: DeskScreen) -> bool:
    """Whether a screen can be shown anew now: nothing goes on there, and nobody has half a line in a field."""
    if screen.busy or not screen.is_current:
        return False
    fields = [*screen.query(Input), *screen.query(TextArea)]
    typed = any(field.value if isinstance(field, Input) else field.text for field in fields if field.has_focus)
    return screen.TAKES_IN_WHILE_TYPING or not typed


async def take_in(app: Breakdesk, screen: DeskScreen) -> None:
    """Shows a screen anew; the cursor stays on its row and in its field, and what was in sight stays in sight."""
    focused = screen.focused
    rows = {shown: (shown.current, shown.cursor, shown.scroll_offset.y) for shown in screen.query(LongList)}
    scrolled = {widget: widget.scroll_offset for widget in screen.query(Widget) if widget.max_scroll_y > 0}
    screen.take_in()
    await _read(app, screen)
    if focused is not None and focused is not screen.focused and focused.is_attached and focused.display:
        screen.set_focus(focused, scroll_visible=False)
    for shown, (row, cursor, top) in rows.items():
        place = None if row is None else shown.find(row.key)
        if place is not None and place != cursor and shown.cursor == cursor:
            shown.cursor = place
            shown.scroll_to(y=top + place - cursor, animate=False, force=True)
    for widget, offset in scrolled.items():
        if widget not in rows and widget.is_attached and widget.scroll_offset != offset:
            widget.scroll_to(offset.x, offset.y, animate=False, force=True)


async def _read(app: Breakdesk, screen: DeskScreen) -> None:
    """Waits until a screen has read what it shows."""
    while reading := [worker for worker in app.workers if _reads_for(worker, screen)]:
        with suppress(WorkerFailed, WorkerCancelled):
            await app.workers.wait_for_complete(reading)


def _reads_for(worker: Worker[Any], screen: DeskScreen) -> bool:
    node = worker.node
    here = node is screen or (isinstance(node, Widget) and node.is_attached and node.screen is screen)
    return here and worker.group in READING and not worker.is_finished
