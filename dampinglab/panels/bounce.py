"""Lesson 02: read the damping ratio off a bounce test, and compare it with the fit."""

import html
from pathlib import Path

import ipywidgets as widgets

from dampinglab.data import dataset
from dampinglab.errors import LearnerError
from dampinglab.figures import bounce as figure
from dampinglab.panels.controls import Number, Panel, row
from dampinglab.workshop.bounce import read_bounce
from dampinglab.workshop.marks import read_marks
from dampinglab.workshop.record import Record, read_record
from dampinglab.workshop.window import sight

__all__ = ["BouncePanel", "bounce_panel"]

DEMOS = (
    ("a corner in good order", "good_corner.csv"),
    ("a worn damper", "worn_damper.csv"),
    ("clicks nearly closed", "overdamped.csv"),
    ("worn damper, seized bushes", "friction_heavy.csv"),
    ("another phone, screen down", "decimal_comma.csv"),
    ("a trailer pushed too hard", "hard_push.csv"),
)
_OWN = "my own file"
_TYPE = "Type the file's name and press Enter."
_ASK = "Show what a least-squares fit reads"


class BouncePanel(Panel):
    """Put two markers on the peaks of a bounce test, and ask the fit."""

    judges = False

    def __init__(self, record: Record) -> None:
        self._take(record)
        end = round(float(self.seen.grid[-1]), 2)
        marks = zip(("first", "later"), self._places(), strict=True)
        controls = {
            name: Number(f"Marker {i}", "s", place, 0, end, 0.01)
            for i, (name, place) in enumerate(marks, start=1)
        }
        demo = record.name if record.name in dict(DEMOS).values() else ""
        options = [*DEMOS, (_OWN, "")]
        self.choice = widgets.Dropdown(options=options, value=demo, description="Record")
        self.choice.layout.width = "auto"  # its longest name is shown whole
        self.path = widgets.Text(placeholder="my_bounce.csv", description="File")
        self.path.continuous_update = False
        self.trouble, self.answer, self.place = (widgets.HTML() for _ in range(3))
        self.ask = widgets.ToggleButton(description="Compare with the fit", tooltip=_ASK)
        super().__init__("Read a bounce test", controls, figure)

    def lay_out(self) -> None:
        """Put the choice of record above, the fit's answer below; nothing moves beside."""
        super().lay_out()
        top, grid, view, words, _ = self.children
        view.children = (self.picture.widget,)
        self.picture.widget.layout.flex = "1 1 100%"
        above = (row(self.choice, self.path), self.trouble, self.place)
        below = (self.answer, row(self.ask, self.keep, self.room))
        self.children = (top, *above, grid, view, words, *below)

    def _connect(self) -> None:
        super()._connect()
        self.choice.observe(self._choose, "value")
        self.path.observe(self._open, "value")
        self.ask.observe(lambda _change: self.refresh(), "value")

    def measure(self, values: dict) -> figure.BounceView:
        """Return the record with the markers read."""
        marks = read_marks(self.seen, values["first"], values["later"])
        return figure.BounceView(self.seen, marks, self.fit, self.no_fit, self.ask.value)

    def move(self, now: figure.BounceView, before: figure.BounceView) -> str:
        """Show the fit's answer to those who asked; there is no moving picture."""
        words = figure.compare(now) if self.ask.value else ""
        self.answer.value = f'<p class="dl-fixed" role="status">{html.escape(words)}</p>'
        where = html.escape(f"{self.record.name}, recorded on the {self.record.place}")
        self.place.value = f'<p class="dl-fixed">{where}</p>'
        return ""

    def show(self, record: Record) -> None:
        """Show another record, with the markers beside its peaks again."""
        self._take(record)
        end = round(float(self.seen.grid[-1]), 2)
        for control, place in zip(self.controls.values(), self._places(), strict=True):
            with control.slider.hold_sync():  # one message, or the old place is sent back
                control.high = control.slider.max = end
                control.number = place
                control.take(place)
        self.ask.value = False
        self.before = self.values()
        self.refresh()

    def _take(self, record: Record) -> None:
        """Look a record over and fit it; without a fit it can still be looked at."""
        self.seen = sight(record)
        self.record, self.fit, self.no_fit = record, None, ""
        try:
            self.fit = read_bounce(record)
        except LearnerError as trouble:
            self.no_fit = str(trouble)

    def _places(self) -> tuple[float, float]:
        """Return where the markers start: about a swing apart, in order, beside the peaks."""
        start = self.fit.window[0] if self.fit else float(self.seen.grid[self.seen.turns[-1]])
        last, apart = float(self.seen.grid[-1]), 0.95 * self.seen.swing
        first = max(min(start + 0.2 * self.seen.swing, last - apart), 0.0)
        return round(first, 2), round(min(first + apart, last), 2)

    def _choose(self, change: dict) -> None:
        if change["new"]:
            self._load(dataset(f"bounce/{change['new']}"))
        else:
            self._load_own()

    def _open(self, change: dict) -> None:
        if change["new"].strip() and self.choice.value:
            self.choice.value = ""  # which opens the file
        elif not self.choice.value:
            self._load_own()

    def _load_own(self) -> None:
        """Show the learner's own file, or say how to name it."""
        if self.path.value.strip():
            self._load(self.path.value)
        else:
            self._tell(_TYPE)

    def _load(self, path: str | Path) -> None:
        """Show a file, or one sentence on what is wrong with it while the last one stays."""
        words = ""
        try:
            self.show(read_record(Path(str(path).strip(" \"'"))))
        except LearnerError as trouble:
            words = str(trouble)
        self._tell(words)

    def _tell(self, words: str) -> None:
        """Show one sentence under the choice of record, or none."""
        self.trouble.value = f'<p class="dl-note" role="alert">{html.escape(words)}</p>'


def bounce_panel(record: Record | str | Path | None = None) -> BouncePanel:
    """Return the panel with the learner's record or file, or with the demo workshop's."""
    if record is None:
        record = dataset(f"bounce/{DEMOS[0][1]}")
    return BouncePanel(record if isinstance(record, Record) else read_record(record))
