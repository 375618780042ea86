"""When may this card come? Its maker's curve with the place where the claim stands; a look back, never a promise."""

from __future__ import annotations

from textual.app import ComposeResult

from breakdesk.desk.curve_drawing import legend, marks_legend, marks_of
from breakdesk.desk.outlook import ClaimForecast, forecast_of
from breakdesk.desk.problems import Problem
from breakdesk.rules.outlook import POOLED_BELOW
from breakdesk.rules.tags import shown, with_tags_shown
from breakdesk.rules.wording import counted
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.widgets.curve import CurvePicture

ROOMY = 34

COMMANDS = REGISTRY.add(
    Command(
        id="claim-outlook.copy",
        keys=("y",),
        label="Copy sentence",
        tooltip="Copy the sentence that a customer understands.",
        context="claim-outlook",
    ),
)


class ClaimOutlookScreen(ActingScreen):
    """What the outlook says of one claim."""

    TITLE_WORDS = "When may it come?"
    ABOUT = (
        "What the cards of this maker that waited as long say about this one, those that still wait counted as waiting "
        "(Kaplan-Meier). The curve falls as cards come; the band is how sure one can be; from the day marked 1, where "
        "this claim stands now, only what comes after counts for it. It is never a promise."
    )
    CONTEXT = "claim-outlook"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, tag: str) -> None:
        """Make the screen of a claim."""
        super().__init__()
        self._tag = tag
        self._found: ClaimForecast | None = None

    def compose_body(self) -> ComposeResult:
        """Lay out the sentence, what it was read off, the curve and its signs."""
        yield Paragraph("", style="bold", id="claim-outlook-sentence")
        yield Paragraph("", id="claim-outlook-source")
        yield CurvePicture(id="claim-outlook-curve")
        yield Paragraph("", id="claim-outlook-marks")
        yield Paragraph("", style="$quiet", id="claim-outlook-legend")

    def on_screen_resume(self) -> None:
        """Reckon anew."""
        self.read_again()

    async def reload(self) -> None:
        """Reckon and show."""
        found = await self.desk.call(forecast_of, self._tag)
        if isinstance(found, Problem):
            self._found = None
            self.query_one("#claim-outlook-sentence", Paragraph).show(with_tags_shown(found.what))
            self.query_one("#claim-outlook-source", Paragraph).show(found.remedy)
            return
        self._found = found
        waited = counted(found.forecast.waited_days, "day")
        whose = "all makers together" if found.pooled else found.maker or "its maker"
        few = f", since fewer than {POOLED_BELOW} cards of this maker came" if found.pooled else ""
        marks = marks_of(found.forecast)
        self.query_one("#claim-outlook-sentence", Paragraph).show(found.sentence)
        self.query_one("#claim-outlook-source", Paragraph).show(
            f"{shown(found.tag)} has waited {waited} since it was submitted. Read off the claims of {whose}{few}."
        )
        drawn = found.curve if found.curve.last_day else None
        self.query_one("#claim-outlook-curve", CurvePicture).show(drawn, marks)
        self.query_one("#claim-outlook-marks", Paragraph).show("\n".join(marks_legend(marks, found.curve)))
        explained = self.query_one("#claim-outlook-legend", Paragraph)
        explained.show(legend())
        explained.display = drawn is not None and self.size.height >= ROOMY

    def action_copy(self) -> None:
        """Copy the sentence."""
        if self._found is not None:
            self.say(copy_text(self.desk, self._found.sentence))
