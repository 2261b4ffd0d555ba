"""Step 6 of the working tool: lesson 09's way from what is felt to one change."""

from collections.abc import Callable

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.panels.complaint import complaint_panel
from dampinglab.panels.controls import row
from dampinglab.panels.own_bench import Bench
from dampinglab.panels.own_boxes import WAYS, Said, Step, button, follow, words
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.workshop.catalogue import COMPLAINTS
from dampinglab.workshop.corners import AXLES, pair
from dampinglab.workshop.own_card import with_taken
from dampinglab.workshop.own_dampers import by_trade

__all__ = ["FeltStep"]


class FeltStep(Step):
    """Lesson 09's way from a complaint to one change, for this vehicle; the change goes on."""

    heading = "What is felt"

    def __init__(self, bench: Bench, go_on: Callable[[], None]) -> None:
        self.go_on, self.panel = go_on, None
        super().__init__(bench)

    def lacks(self) -> str:
        """Return which change was taken over last."""
        taken = self.bench.get("felt change")
        return f"Taken over: {taken}." if taken else "Checks first, then the complaint."

    def build(self) -> list[widgets.Widget]:
        """Return the place for the panel, and the button that takes its change over."""
        self.place, self.answer, self.of = widgets.VBox(), Said(), None
        take = button("Take this change into the trials", self._take, self.answer)
        return [self.place, row(take), self.answer]

    def look(self) -> None:
        """Show the panel for vehicle and dampers of now; a new one only where they changed."""
        try:
            vehicle, dampers = self.bench.vehicle(), self.bench.dampers()
        except LearnerError as trouble:
            self.place.children = (words(str(trouble), kind="dl-note"),)
            return
        now = repr((vehicle, self.bench.counted(), self.bench.get("dampers table"), len(dampers)))
        if now != self.of:
            self.of = now
            self._embed(vehicle, dampers)
        follow(self.bench, self.panel)

    def _embed(self, vehicle, dampers: dict) -> None:
        totals, settings = (
            {axle: clicks[pair(axle)[0]] for axle in AXLES if pair(axle)[0] in clicks}
            for clicks in self.bench.counted()
        )
        marks = {k: m.value for k, m in self.panel.marks.items()} if self.panel else {}
        try:
            self.panel = complaint_panel(vehicle, dampers, settings, totals)
            for key, value in marks.items():  # what was checked stays checked until the next day
                self.panel.marks[key].value = value
            self.place.children = (self.panel,)
        except LearnerError as trouble:
            self.panel, self.place.children = None, (words(str(trouble), kind="dl-note"),)

    def _take(self) -> str:
        """Put the change into the trials' boxes, and what is felt onto a card without it."""
        key, axle, adjuster, by, how = self._advised()
        way = WAYS[0] if by > 0 else WAYS[1]
        taken = f"{axle} {adjuster} {abs(by)} click{'s' * (abs(by) > 1)} {way}"
        boxes = {"change axle": axle, "change adjuster": adjuster, "change clicks": str(abs(by))}
        boxes |= {"change way": way, "felt change": taken}
        boxes |= with_taken(self.bench.written, key, axle, adjuster)
        self.bench.put(boxes | {"card felt": self.bench.get("card felt", COMPLAINTS[key].words)})
        self.go_on()
        return f"Taken over{how}: {taken}."

    def _advised(self) -> tuple[str, str, str, int, str]:
        """Return complaint, axle, adjuster, clicks, and what it rests on."""
        advice, day = getattr(self.panel, "advice", None), self.bench.day()
        if advice is None:
            raise LearnerError("Nothing is advised yet: go through the checks and choose first.")
        key, axle = advice.complaint.key, advice.axle
        if self.panel.chosen:
            return (*self.panel.chosen, "")
        measured = isinstance(self.bench.dampers().get(axle), MeasuredDamper)
        if measured or not advice.complaint.remedies or day is None:
            raise LearnerError(
                advice.reason if day else "Record the clicks as found first: step 2."
            )
        _, adjuster, by = by_trade(key, axle, day.totals, day.setting)
        return key, axle, adjuster, by, " by the trade's rule, nothing computed"
