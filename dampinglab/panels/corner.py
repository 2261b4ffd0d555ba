"""Lesson 06: one corner of the vehicle on a road, driving, with what it scores."""

import html
from collections.abc import Callable
from dataclasses import dataclass

import ipywidgets as widgets

from dampinglab.figures import corner as figure
from dampinglab.figures.look import INK
from dampinglab.panels.controls import Number, Panel, compared
from dampinglab.panels.curve import Damper, click_controls
from dampinglab.panels.live import LivePicture
from dampinglab.panels.moving import Pulse, animation, new_name
from dampinglab.panels.rolling import rolling_svg
from dampinglab.physics import road
from dampinglab.physics.corner import Run, prepare, run_table
from dampinglab.physics.measures import scores
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G, from_si
from dampinglab.workshop import demo

__all__ = ["ROADS", "CornerPanel", "RoadPicture", "Track", "corner_panel"]


@dataclass(frozen=True)
class Track:
    """A road to choose: how fast it is usually driven, what it is about, how it is made."""

    said: str  # in a sentence
    pace: float  # km/h
    main: str  # the score that tells most there
    make: Callable[[float], road.Road]  # from road speed, m/s


ROADS = {
    "good highway (ISO B)": Track(
        "a good highway (ISO B)", 100, "weighted", lambda v: road.iso8608("B", v, seed=1)
    ),
    "rough highway (ISO C)": Track(
        "a rough highway (ISO C)", 100, "weighted", lambda v: road.iso8608("C", v, seed=2)
    ),
    "gravel (ISO D)": Track(
        "gravel (ISO D)", 60, "weighted", lambda v: road.iso8608("D", v, seed=3)
    ),
    "corrugation": Track("corrugation", 60, "weighted", lambda v: road.corrugation(0.020, 0.7, v)),
    "pothole": Track("the pothole", 40, "peak_upward", lambda v: road.pothole(0.060, 0.8, v)),
    "ridge": Track("the ridge", 60, "peak_upward", lambda v: road.ridge(0.050, 0.5, v)),
    "speed hump": Track("the speed hump", 30, "peak_upward", lambda v: road.hump(0.100, 3.7, v)),
    "long waves": Track("long waves", 90, "body_motion", lambda v: road.long_waves(0.060, 25.0, v)),
}
_FIRST = "gravel (ISO D)"
_KEPT = 6  # drives kept, some 1 MB each
_COMPARE = (
    "A model's numbers: compare settings with them, on the same road. Before means the clicks kept "
    "as before, on the road and at the speed shown now."
)


class RoadPicture(LivePicture):
    """Traces with a line that runs through them as the drawing drives."""

    elapsed: Callable[[], float] = staticmethod(lambda: 0.0)
    period = 1.0

    def markup(self) -> str:
        """Return the picture, and over it a line where in time the drawing is."""
        name, box = new_name(), self.scene.axes.get_position()
        ends = "".join(f"{k}{{left:{100 * x:.2f}%}}" for k, x in (("from", box.x0), ("to", box.x1)))
        top = max(axes.get_position().y1 for axes in self.scene.figure.axes)
        run = animation(name, self.period, self.elapsed())
        style = (
            f"@keyframes {name}{{{ends}}}.{name}{{position:absolute;top:{100 * (1 - top):.2f}%;"
            f"bottom:{100 * box.y0:.2f}%;border-left:2px solid {INK};opacity:.55;{run}}}"
            f"@media (prefers-reduced-motion: reduce){{.{name}{{display:none}}}}"
        )
        return (
            f'<div style="position:relative"><style>{style}</style>{super().markup()}'
            f'<div class="{name}" aria-hidden="true"></div></div>'
        )


class CornerPanel(Panel):
    """Choose a road and a speed, turn clicks, watch the corner drive and read what it scores."""

    canvas = RoadPicture

    def __init__(self, corner: Corner, damper: Damper, note: str) -> None:
        self.corner, self.damper, self.pulse = corner, damper, Pulse()
        self.made: dict[tuple, tuple] = {}
        self.driven: dict[tuple, figure.Drive] = {}
        self.clicks = click_controls(damper)
        self.track = widgets.Dropdown(options=list(ROADS), value=_FIRST, description="Road")
        self.table, self.told = widgets.HTML(), widgets.HTML()
        pace = Number("Road speed", "km/h", ROADS[_FIRST].pace, 20, 130, 5)
        super().__init__("One corner on the road", {"speed": pace, **self.clicks}, figure, note)
        self.track.observe(self._turn_to, "value")

    def lay_out(self) -> None:
        """Put the choice of road above, and the scores under the picture."""
        super().lay_out()
        top, grid, view, words, buttons = self.children
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 37%", "1 1 62%"
        self.picture.elapsed = lambda: self.pulse.elapsed(self.picture.period)
        self.children = (top, self.track, grid, view, self.table, words, self.told, buttons)

    def values(self) -> dict:
        """Return road, speed and setting."""
        setting = tuple(control.value for control in self.clicks.values())
        return {
            "track": self.track.value,
            "speed": self.controls["speed"].value,
            "setting": setting,
        }

    def recall(self) -> dict:
        """Return the clicks before, on the road and at the speed of now: only clicks differ."""
        return {**self.values(), "setting": self.before["setting"]}

    def measure(self, values: dict) -> figure.Drive:
        """Return the drive; what was driven is kept."""
        key = tuple(values.values())
        if key not in self.driven:
            _forget(self.driven)
            self.driven[key] = self._drive(**values)
        return self.driven[key]

    def _drive(self, track: str, speed: float, setting) -> figure.Drive:
        under, made = self._prepared(track, speed)
        run = run_table(made, self.corner, under, self.damper, setting)
        names = (adjuster.name for adjuster in self.damper.adjusters)
        pairs = tuple(zip(names, setting, strict=True))
        words = f"{ROADS[track].said} at {from_si(speed, 'km/h'):.0f} km/h"
        return _shown(run, words, ROADS[track].main, pairs)

    def _prepared(self, track: str, speed: float) -> tuple:
        """Return the road and what a run over it needs whatever the clicks."""
        key = (track, speed)
        if key not in self.made:
            _forget(self.made)
            under = ROADS[track].make(speed)
            self.made[key] = under, prepare(self.corner, under)
        return self.made[key]

    def move(self, now: figure.Drive, before: figure.Drive) -> str:
        """Return the corner driving; write its scores on the way."""
        self.table.value = compared(figure.rows(now, before))
        self.told.value = f'<p class="dl-fixed">{html.escape(self._assumed(now))}</p>'
        return rolling_svg(now, before, self.pulse.elapsed(self.picture.period))

    def refresh(self) -> None:
        """Drive again; the line in the traces runs as long as the drive."""
        self.picture.period = float(self._prepared(*list(self.values().values())[:2])[0].time[-1])
        super().refresh()

    def _assumed(self, now: figure.Drive) -> str:
        """Return what a dyno table does not tell of this drive."""
        told = [_COMPARE, self.damper.assumption(tuple(n for _, n in now.setting))]
        if now.scores.beyond > 0:
            told.append(
                f"The shaft was faster than the damper's table {100 * now.scores.beyond:.1f} % of "
                f"the time, with {100 * now.scores.energy_beyond:.0f} % of the energy: there the "
                "last slope goes on."
            )
        return " ".join(words for words in told if words)

    def _turn_to(self, _change: dict) -> None:
        """Turn to another road, at the speed it is usually driven at."""
        pace = ROADS[self.track.value].pace
        if self.controls["speed"].number == pace:
            self.refresh()
        else:
            self.controls["speed"].take(pace)


def _forget(kept: dict) -> None:
    """Make room for one more; the oldest goes."""
    if len(kept) >= _KEPT:
        kept.pop(next(iter(kept)))


def _shown(run: Run, words: str, main: str, setting: tuple) -> figure.Drive:
    """Return a run as the picture takes it."""
    corner = run.corner
    return figure.Drive(
        road=words,
        main=main,
        setting=setting,
        time=run.road.time,
        height=run.road.height,
        body=run.body,
        wheel=run.wheel,
        tyre=run.tyre_force,
        squeeze=(corner.sprung_mass + corner.unsprung_mass) * G / corner.tyre_rate,
        bump_gap=corner.bump_gap,
        foam=corner.foam_length,
        droop_gap=corner.droop_gap,
        scores=scores(run),
    )


def corner_panel(corner: Corner | None = None, damper: Damper | None = None) -> CornerPanel:
    """Return the panel with the learner's corner and damper, or with the demo workshop's."""
    own = damper or demo.hydraulic("front")
    told = own.assumptions
    note = " ".join((f"{own.name}.", *told, *(() if corner else (demo.CORNER,))))
    return CornerPanel(corner or demo.vehicle().corner("front"), own, note)
