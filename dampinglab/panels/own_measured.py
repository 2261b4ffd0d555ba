"""Steps 3 to 5 of the working tool: bounce test, road log, first setting."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import ipywidgets as widgets
import numpy as np

from dampinglab import journal
from dampinglab.errors import LearnerError
from dampinglab.figures import bounce as bounce_figure
from dampinglab.figures.baseline import alt_text, draw_baseline
from dampinglab.figures.look import ROOM, Size, drawn
from dampinglab.panels.controls import listed, row
from dampinglab.panels.own_bench import Bench
from dampinglab.panels.own_boxes import Choice, FileBox, Said, Step, button, follow, grid, words
from dampinglab.panels.still import still
from dampinglab.panels.working import WORKING
from dampinglab.panels.zones import ZonesPanel, zones_panel
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.zones import time_below
from dampinglab.workshop.baseline import baseline
from dampinglab.workshop.bounce import CANNOT_TELL, BounceReading, judge, read_bounce
from dampinglab.workshop.corners import AXLES, CORNERS, pair
from dampinglab.workshop.foretold import beside, foretell, sides
from dampinglab.workshop.marks import read_marks
from dampinglab.workshop.own_dampers import nothing_known
from dampinglab.workshop.record import read_record
from dampinglab.workshop.report import report
from dampinglab.workshop.travel_log import TravelLog, read_travel_log

__all__ = ["BounceStep", "FirstStep", "LogStep"]

_HOW = (
    "Lay a phone flat on the wing or tray straight above the wheel, start its recording of "
    "acceleration, push three times in the body's own time, let go, and keep still for 3 s. Clear "
    "of moving parts, handbrake on, wheels chocked. Put the CSV into this folder."
)
_SPLIT = 0.1  # m/s: slow from fast at the shaft (common practice, no source)
_WEIGHED = "as weighed"


def _record_name(corner: str) -> str:
    return f"{corner} record"


class BounceStep(Step):
    """A record for each wheel: band, remarks, and what the sheet foretells beside it."""

    heading = "Bounce test"
    slow = True

    def __init__(self, bench: Bench) -> None:
        self.read: dict[tuple, BounceReading] = {}
        super().__init__(bench)

    def lacks(self) -> str:
        """Return how many wheels have a record."""
        named = [corner for corner in CORNERS if self.bench.get(_record_name(corner))]
        if not named:
            return "Still missing: a phone's record of a push. It can wait."
        there = [corner for corner in named if self.bench.lies(_record_name(corner))]
        gone = [corner for corner in named if corner not in there]
        told = {"Recorded": there, "Named, but not in the folder": gone}
        return " ".join(f"{which}: {', '.join(each)}." for which, each in told.items() if each)

    def build(self) -> list[widgets.Widget]:
        """Return a box for each wheel's record, the words and a picture."""
        boxes = [
            FileBox(self.bench, _record_name(corner), f"Record, {corner}", place=corner)
            for corner in CORNERS
        ]
        self.told, self.picture, self.drawn = Said(), widgets.VBox(), None
        self.which = Choice(self.bench, "record shown", "Picture of", CORNERS)
        records = grid("repeat(2, minmax(240px, 1fr))", *boxes)
        limits = words(*CANNOT_TELL)
        return [words(_HOW), records, self.told, row(self.which), self.picture, limits]

    def look(self) -> None:
        """Read what is named, and say what it tells."""
        readings, told = {}, []
        for corner in CORNERS:
            try:
                reading = self._reading(corner)
                readings |= {corner: reading} if reading else {}
            except LearnerError as trouble:
                told.append(f"{corner.capitalize()}: {trouble}")
        told += [f"{c.capitalize()}: {' '.join(self._about(c, r))}" for c, r in readings.items()]
        for axle in AXLES:
            if all(side in readings for side in pair(axle)):
                told.append(sides(*(readings[side] for side in pair(axle)), axle))
        self.told.say(*told, kind="dl-words")
        self._draw(readings)

    def _reading(self, corner: str) -> BounceReading | None:
        """Return a wheel's bounce test, read once for each state of its file."""
        path = self.bench.named(_record_name(corner))
        if path is None:
            return None
        key = (path, path.stat().st_mtime_ns if path.exists() else None)
        if key not in self.read:
            self.read[key] = read_bounce(read_record(path))
        return self.read[key]

    def _about(self, corner: str, reading: BounceReading) -> tuple[str, ...]:
        """Return what one record says, and what the sheet says beside it."""
        bands = judge(reading)
        verdict = "By common practice (no source) that is " + " or ".join(b.name for b in bands)
        said = (reading.words, f"{verdict}: {bands[0].says}." if len(bands) == 1 else f"{verdict}.")
        try:
            axle = corner.partition(" ")[0]
            at = self.bench.vehicle().corner(axle)
            damper, clicks = self.bench.dampers().get(axle), self.bench.clicks() or {}
            foretold = foretell(at, damper, clicks.get(corner), reading)
        except LearnerError as trouble:
            return (*said, f"Nothing can be set beside it yet. {trouble}", *reading.remarks)
        return (*said, *beside(at, reading, foretold), *reading.remarks)

    def _draw(self, readings: dict[str, BounceReading]) -> None:
        """Draw the chosen wheel's record, or the first that there is."""
        corner = self.which.value if self.which.value in readings else next(iter(readings), None)
        reading = readings.get(corner)
        if (reading, self.bench.size) == self.drawn:
            return
        self.drawn = reading, self.bench.size
        self.picture.children = (_bounce_picture(*self.drawn),) if reading else ()


def _bounce_picture(reading: BounceReading, size: Size) -> widgets.HTML:
    """Return a record with its fit, two markers on its first peaks of one side."""
    peaks = [peak.time for peak in reading.peaks]
    first, later = (peaks[0], peaks[2]) if len(peaks) > 2 else reading.window
    marks = read_marks(reading.seen, first, later)
    view = bounce_figure.BounceView(reading.seen, marks, reading, shown=True)
    return still(drawn(bounce_figure, view, size=size), bounce_figure.alternative(view, view))


class LogStep(Step):
    """A travel log of the road, if there is one: how good it is, and how fast the shaft moved."""

    heading = "Road log"
    slow = True

    def lacks(self) -> str:
        """Return which log there is."""
        if not self.bench.get("log"):
            return "None; it can wait."
        gone = "" if self.bench.lies("log") else " is named, but not in the folder"
        return f"Log: {self.bench.get('log')}{gone}."

    def build(self) -> list[widgets.Widget]:
        """Return the file, its words, and the shares of time and energy where they are known."""
        how = (
            "A sensor beside the damper, 200 readings a second or more, and 10 s of one road. Its "
            "wire clear of wheel and exhaust. Columns: time and damper travel, with units."
        )
        self.told, self.view, self.seen = Said(), widgets.VBox(), ""
        log = FileBox(self.bench, "log", "Travel log", place="the log in this folder")
        return [words(how), log, self.told, self.view]

    def look(self) -> None:
        """Read the log, and show it as one more road event where the damper was measured."""
        path = self.bench.named("log")
        if path is None:
            self.told.say()
            self.view.children = ()
            return
        try:
            log = read_travel_log(path)
        except LearnerError as trouble:
            self.told.say(str(trouble), kind="dl-note")
            return
        try:
            self._versus(path, log)
        except LearnerError as trouble:
            self.seen, self.view.children = "", (words(str(trouble), kind="dl-note"),)
        shown = [each for each in self.view.children if isinstance(each, ZonesPanel)]
        about = () if shown else (log.words, *log.remarks)  # the panel says that of its log itself
        self.told.say(_speeds(log), *about, kind="dl-words")
        for panel in shown:
            follow(self.bench, panel)

    def _versus(self, path: Path, log: TravelLog) -> None:
        """Show the log beside the road events, at the clicks of now; anew where those changed."""
        vehicle, dampers = self.bench.vehicle(), self.bench.dampers()
        table = self.bench.get("dampers table")
        now = repr((path, path.stat().st_mtime_ns, vehicle, table, len(dampers)))
        if now == self.seen:
            return
        measured = {a: each for a, each in dampers.items() if isinstance(each, MeasuredDamper)}
        panel = zones_panel(vehicle, measured) if measured else None
        if panel:
            for other in (panel.choice, panel.path):  # the log is named above, in a box of its own
                other.layout.display = "none"
            panel.show(log)
        self.seen, self.view.children = now, (panel,) if panel else ()


def _speeds(log: TravelLog) -> str:
    speed = 1e3 * log.speed[log.used]
    slow = 100 * float(time_below(log.speed[log.used], _SPLIT))
    return (
        f"The shaft moved at up to {np.max(speed):.0f} mm/s in bump and {-np.min(speed):.0f} mm/s "
        f"in rebound, and {slow:.0f} % of its moving time below {1e3 * _SPLIT:.0f} mm/s."
    )


class FirstStep(Step):
    """The setting to begin with, its picture and the bench sheet."""

    heading = "First setting"
    slow = True

    def lacks(self) -> str:
        """Return where it starts, or what stops it."""
        try:
            self.bench.vehicle(), self.bench.dampers()
        except LearnerError as trouble:
            return f"Waits: {str(trouble)[:1].lower()}{str(trouble)[1:]}"
        return "Ready." if self.bench.clicks() else "Ready; better with the clicks counted."

    def build(self) -> list[widgets.Widget]:
        """Return the choice of load, the picture and the sheet."""
        self.load = listed("Load", [_WEIGHED])
        self.load.observe(lambda _change: self._show(), "value")
        self.told, self.answer, self.view, self.sheet = (
            Said(),
            Said(),
            widgets.VBox(),
            widgets.HTML(),
        )
        keep = button("Keep this bench sheet as text", self._keep, self.answer)
        return [row(self.load, keep), self.answer, self.told, self.view, self.sheet]

    def look(self) -> None:
        """Offer the loads that there are, and work out the first setting."""
        try:
            self.vehicle, self.dampers = self.bench.vehicle(), self.bench.dampers()
            self.found = baseline(self.vehicle, self.dampers)
        except LearnerError as trouble:
            self.told.say(str(trouble), kind="dl-note")
            self.view.children, self.sheet.value = (), ""
            return
        options = [_WEIGHED, *(case.name for case in self.vehicle.loads)]
        if tuple(options) != self.load.options:
            self.load.options = options
        self._show()

    def _show(self) -> None:
        load = None if self.load.value in (None, _WEIGHED) else self.load.value
        self.told.say(WORKING)
        day = self.bench.day()
        unknown = () if self.dampers else nothing_known(self.vehicle)
        self.told.say(*(day.faults if day else ()), *unknown, kind="dl-words")
        self.view.children = tuple(self._pictures(load))
        self.text = report(self.found, load)
        self.sheet.value = f"<pre>{_escaped(self.text)}</pre>"

    def _pictures(self, load: str | None) -> Iterator[widgets.HTML]:
        """Draw an axle at a time, so that its words can be read; on a large screen both at once."""
        axles, size = self.found.axles, self.bench.size
        for some in [axles] if size == ROOM else zip(axles):
            shown = replace(self.found, axles=some)
            with suppress(LearnerError):  # of an unknown damper there is none; the words say so
                yield still(draw_baseline(shown, load, size), alt_text(shown, load))

    def _keep(self) -> str:
        path = journal.keep(self.bench.folder / "bench-sheet.txt", self.text.encode() + b"\n")
        return f"Kept as {path.name}."


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")
