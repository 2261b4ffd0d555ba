"""Lesson 11: the working tool, from an empty sheet to a printed card, taken up again tomorrow."""

import html
from collections.abc import Callable
from pathlib import Path

import ipywidgets as widgets

from dampinglab.course import progress
from dampinglab.errors import LearnerError
from dampinglab.figures.look import DESK, ROOM
from dampinglab.panels.controls import row
from dampinglab.panels.own_bench import Bench
from dampinglab.panels.own_boxes import STYLE, Said, Step
from dampinglab.panels.own_card import CardStep
from dampinglab.panels.own_felt import FeltStep
from dampinglab.panels.own_measured import BounceStep, FirstStep, LogStep
from dampinglab.panels.own_sheet import DamperStep, VehicleStep
from dampinglab.panels.own_trials import TrialsStep
from dampinglab.panels.style import STYLE as FRAME
from dampinglab.panels.working import WORKING

__all__ = ["OwnPanel", "own_panel"]

_TITLE = "Your own vehicle"
_NOTE = (
    "Open the steps in any order; each says what is still missing. Everything is kept in {} as you "
    "type, and is here again tomorrow. For another vehicle name another folder: "
    'own_panel("another"). '
    "The numbers are a model's: compare settings with them."
)


class OwnPanel(widgets.VBox):
    """Eight steps, one open at a time, over one folder."""

    def __init__(self, folder: Path) -> None:
        self.bench = Bench(folder)
        self.steps = {step.heading: step for step in self._made()}
        self.tops = {
            heading: widgets.ToggleButton(description=f"{n}  {heading}", tooltip=f"Step {n}")
            for n, heading in enumerate(self.steps, 1)
        }
        self.lacks = {heading: Said() for heading in self.steps}
        self.saved = Said()
        self.room = widgets.ToggleButton(description="Projector size", tooltip="Larger words")
        super().__init__([self._head(), self.saved, *map(self._row, self.steps), row(self.room)])
        for name in ("dl-panel", "dl-own"):
            self.add_class(name)
        self._connect()
        self.refresh()

    def _made(self) -> list[Step]:
        bench, go_on = self.bench, lambda: self.show("Trials")
        first = [step(bench) for step in (VehicleStep, DamperStep, BounceStep, LogStep, FirstStep)]
        return [*first, FeltStep(bench, go_on), TrialsStep(bench), CardStep(bench)]

    def show(self, heading: str) -> None:
        """Open one step, and close the one that was open."""
        self.tops[heading].value = True

    def refresh(self) -> None:
        """Say what each step lacks now, and let the open one look again."""
        self.saved.say(self.bench.told, kind="dl-note")
        for heading in self.steps:
            self._try(heading, lambda at=heading: self._look(at))

    def _look(self, heading: str) -> None:
        step, said = self.steps[heading], self.lacks[heading]
        if self.tops[heading].value and step.made:
            if step.slow:
                said.say(WORKING)
            step.look()
        said.say(step.lacks())

    def _unfold(self, heading: str) -> None:
        self.lacks[heading].say(WORKING)
        self.steps[heading].unfold()
        self.lacks[heading].say(self.steps[heading].lacks())

    def _try(self, heading: str, act: Callable[[], None]) -> None:
        """Do it, or say what stops it: a file may have gone bad since it was named."""
        try:
            act()
        except LearnerError as trouble:
            self.lacks[heading].say(str(trouble), kind="dl-note")

    def _head(self) -> widgets.HTML:
        note = html.escape(_NOTE.format(self.bench.path.name))
        top = f'<h3>{_TITLE}</h3><p class="dl-fixed">{note}</p>'
        return widgets.HTML(FRAME + STYLE + top)

    def _row(self, heading: str) -> widgets.VBox:
        top = widgets.HBox([self.tops[heading], self.lacks[heading]])
        top.add_class("dl-step-top")
        step = self.steps[heading]
        step.layout.display = "none"
        made = widgets.VBox([top, step])
        made.add_class("dl-step")
        return made

    def _connect(self) -> None:
        self.bench.listeners.append(self.refresh)
        self.room.observe(self._resize, "value")
        for heading, top in self.tops.items():
            top.observe(lambda change, name=heading: self._turn(name, change["new"]), "value")

    def _turn(self, heading: str, is_open: bool) -> None:
        self.steps[heading].layout.display = "" if is_open else "none"
        if is_open:
            for other, top in self.tops.items():
                if other != heading:
                    top.value = False
            self._try(heading, lambda: self._unfold(heading))

    def _resize(self, change: dict) -> None:
        (self.add_class if change["new"] else self.remove_class)("dl-room")
        self.bench.size = ROOM if change["new"] else DESK
        self.refresh()


def own_panel(folder: str | Path | None = None) -> OwnPanel:
    """Return the working tool over a folder; without one, over the learner's workbook."""
    return OwnPanel(Path(folder) if folder is not None else progress.path().parent)
