"""Opens the screen on a desk that holds a secret of every kind: `on_air_desk.py DESK_FILE PLACE ASKED ANSWER`.

ASKED and ANSWER are ends of pipes: a line with a number asks to be answered by one byte once so many keys have done
their work, and the end of the pipe ends the program, so that it never outlives the test.
"""

from __future__ import annotations

import asyncio
import os
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

from textual import events
from textual.screen import Screen

from breakdesk.desk.breaks import list_breaks, start_break
from breakdesk.desk.clock import Clock
from breakdesk.desk.codes import enter_code
from breakdesk.desk.desk import Desk
from breakdesk.desk.following import note
from breakdesk.desk.loading import load_files
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.thread import DeskThread
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk
from breakdesk.tui.failures import Steady

CODE, TYPED_CODE = "QXZW8V77K4", "MM3NWPQ99T"
REFERENCE, NOTE = "RF551892", "pays by the blue account"
ADDRESS, EMAIL, PHONE = "12 Heronsgate Row", "corvane@mail.example", "303 555 0107"
FULL_NAMES = ("Petronella Corvane", "Odobert Lindquell", "Silas Quietwater")
SECRETS = (CODE, TYPED_CODE, REFERENCE, NOTE, ADDRESS, EMAIL, PHONE, "Corvane", "Lindquell", "Quietwater")
"""What must not reach the terminal while the stream can see it."""

WHERE = "screens.txt"
"""The file beside the desk that tells which screen stood on top, a line each time."""

NOW = datetime(2026, 6, 16, 1, 0, tzinfo=UTC)
FILES = {
    "house": "house,zone,currency,country\nThe Corner Table,America/Denver,USD,US\n",
    "people": "participant,handle,on_air_name,email,phone,address,address_country\n"
    f"{FULL_NAMES[0]},petrichor,Petra,{EMAIL},+1 {PHONE},{ADDRESS},US\n"
    f"{FULL_NAMES[1]},odolind,,odo.{EMAIL},,{ADDRESS} 2,US\n"
    f"{FULL_NAMES[2]},,,silas.{EMAIL},,,\n",
    "checklist": "product,maker,card,subject,team,variation,numbered_to,features\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,,,auto\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,Gold,10,auto\n"
    "Lantern Hoops,Lantern Works,S-2,Bram Oster,River Otters,,,auto\n"
    "Lantern Hoops,Lantern Works,S-3,Kai Marlowe;Bram Oster,Marsh Herons;River Otters,,25,auto\n"
    "Lantern Hoops,Lantern Works,S-5,Una Dellamore,Bay Wolves,,,auto\n",
    "spots": "break,product,starts_at,format,spot,participant\n"
    f"Hoops night,Lantern Hoops,2026-06-15T19:00,team,Marsh Herons,{FULL_NAMES[0]}\n"
    f"Hoops night,Lantern Hoops,2026-06-15T19:00,team,River Otters,{FULL_NAMES[1]}\n"
    f"Hoops night,Lantern Hoops,2026-06-15T19:00,team,Bay Wolves,{FULL_NAMES[2]}\n",
    "claims": "tag,product,participant,subject,pulled_at,submitted_on,reference,in_hand_on,expires_on\n"
    f"K5A1,Lantern Hoops,{FULL_NAMES[0]},Kai Marlowe,2026-06-14,,,,2027-03-31\n"
    f"K5A2,Lantern Hoops,{FULL_NAMES[0]},Bram Oster,2025-11-02,2025-11-04,{REFERENCE},,\n"
    f"K5A3,Lantern Hoops,{FULL_NAMES[1]},Ivo Kest,2025-10-02,2025-10-04,{REFERENCE}7,2026-06-12,\n"
    f"K5A4,Lantern Hoops,{FULL_NAMES[2]},Una Dellamore,2026-06-13,,,,2026-06-01\n",
}


def fill(desk: Desk, folder: Path) -> None:
    """Put a secret of every kind into the desk."""
    paths = []
    for name, text in FILES.items():
        path = folder / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    (folder / "bought.csv").write_text(f"parcel,tracking\n1,{REFERENCE}33\n", encoding="utf-8")
    phone = folder / "photos of a phone"
    phone.mkdir()
    for number in (1, 2):
        (phone / f"IMG_{number}.jpg").write_bytes(b"a picture")
    report = load_files(desk, paths)
    assert report.saved, list(report.errors)
    enter_code(desk, "K5A1", CODE)
    note(desk, "K5A2", NOTE)
    submit(desk, Submit(tag="K5A4", reference=f"{REFERENCE}9"))
    start_break(desk, list_breaks()[0].id)


def tell_where_one_is(log: Path) -> None:
    """Write the name of every screen and dialog into a file, in the order in which they come to the top."""

    def tell(screen: Steady) -> None:
        if isinstance(screen, Screen):
            with log.open("a", encoding="utf-8") as file:
                file.write(f"{type(screen).__name__}\n")

    # Textual calls the handler of every class of a screen, so that this one takes the place of none.
    Steady.on_screen_resume = tell  # type: ignore[attr-defined]


class Watched(Breakdesk):
    """The program, which says when it is at rest."""

    def __init__(self, *given: object, asked: int, answer: int, **options: object) -> None:
        super().__init__(*given, **options)  # type: ignore[arg-type]
        self._asked, self._answer, self._pressed = asked, answer, 0

    def on_mount(self) -> None:
        """Listen to the test."""
        asyncio.get_running_loop().add_reader(self._asked, self._listen)

    async def on_event(self, event: events.Event) -> None:
        """Count the keys that came."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            self._pressed += 1
        await super().on_event(event)

    def _listen(self) -> None:
        said = os.read(self._asked, 4096)
        if not said:
            os._exit(1)
        self._answering = asyncio.create_task(self._say_when_at_rest(int(said.split()[-1])))

    async def _say_when_at_rest(self, pressed: int) -> None:
        from waiting import at_rest

        for _ in range(200):
            if self._pressed >= pressed:
                break
            await asyncio.sleep(0.005)
        await at_rest()
        self.screen.call_next(self.screen._on_timer_update)
        await at_rest()
        writer = getattr(self._driver, "_writer_thread", None)
        for _ in range(1000):
            if writer is None or not writer.is_alive() or writer._queue.empty():
                break
            await asyncio.sleep(0.001)
        os.write(self._answer, b".")


def main() -> None:
    """Make the desk and open one of its places."""
    from waiting import followed

    path, place = Path(sys.argv[1]), sys.argv[2]
    started = datetime.now(UTC)
    clock = Clock(lambda: NOW + timedelta(seconds=(datetime.now(UTC) - started).total_seconds()))
    desk = DeskThread(path, clock, create=True, who="AB")
    desk.submit(fill, path.parent).result()
    house = desk.submit(lambda _desk: read_house()).result()
    Breakdesk.START = "today" if place not in Breakdesk.MODES else place
    tell_where_one_is(path.with_name(WHERE))
    ThreadPoolExecutor.submit = followed  # type: ignore[method-assign]
    asked, answer = map(int, sys.argv[3:5])
    Watched(desk, house, go_on_after_failure=False, asked=asked, answer=answer).run()
    desk.close()


if __name__ == "__main__":
    main()
