"""Lesson 02: let the body go, watch it settle, and read its damping ratio off two swings."""

from dataclasses import replace

import ipywidgets as widgets
import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.figures import settle as figure
from dampinglab.panels.controls import Number, Panel, Step, around, row
from dampinglab.panels.moving import Bounce, corner_svg
from dampinglab.physics import oscillator as one
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop import demo

__all__ = ["SettlePanel", "decay_of", "read_swings", "settle_panel"]

_START = 0.2  # damping ratio shown first: two swings can be read, the third hardly
_WATCH = 4.0  # s, the longest that the markers can reach
_NO_PEAK = "There is no second peak, so nothing can be read."
_PUSH = 0.1  # m/s at the wheel


def decay_of(
    mass: float, spring: float, damping: float, height: float, marks: tuple, shown: bool = False
) -> figure.Decay:
    """Return a body let go from a height (m) on a spring and damper (SI, at the wheel)."""
    ratio = float(one.damping_ratio(damping, spring, mass))
    frequency = float(one.natural_frequency(spring, mass))
    span = _span(frequency, ratio, marks)
    t = np.linspace(0, span, 401)
    peaks = _peaks(frequency, ratio, span)
    return figure.Decay(
        time=t,
        height=one.free_decay(t, mass, spring, damping, height),
        ratio=ratio,
        settled=one.settling_time(frequency, ratio),
        push=_PUSH * damping,
        peak_times=peaks,
        peak_heights=one.free_decay(peaks, mass, spring, damping, height),
        reading=_read(lambda s: one.free_decay(s, mass, spring, damping, height), ratio, marks),
        shown=shown,
    )


def _span(frequency: float, ratio: float, marks: tuple) -> float:
    """Return the seconds to show: until it has settled, and as far as a marker stands."""
    return min(_WATCH, max(3.2 / frequency, one.settling_time(frequency, ratio), *marks[:2]))


def _peaks(frequency: float, ratio: float, span: float) -> np.ndarray:
    """Return the times of the upper turning points, the release among them."""
    if ratio >= 1:
        return np.zeros(0)
    step = 1 / float(one.damped_frequency(frequency, ratio))
    return np.arange(0, span, step) if step < span else np.zeros(1)


def _read(height_at, ratio: float, marks: tuple) -> figure.Reading:
    """Return what the markers read; a body that creeps back has no swing to read."""
    reading = read_swings(height_at, *marks)
    if ratio < 1:
        return reading
    return replace(reading, decrement=None, ratio=None, trouble=_NO_PEAK)


def read_swings(height_at, first: float, later: float, swings: int) -> figure.Reading:
    """Return what two markers at times (s) read off the swings, or why it cannot be."""
    times = (first, later)
    heights = tuple(float(h) for h in height_at(np.array(times)))
    if later <= first:
        return figure.Reading(times, heights, swings, trouble="Put marker 2 later than marker 1.")
    if min(heights) <= 0:
        trouble = "Put both markers on upper peaks, above the line of rest."
        return figure.Reading(times, heights, swings, trouble=trouble)
    try:
        decrement = float(one.log_decrement(*heights, swings))
    except LearnerError:
        trouble = "Marker 2 reads higher than marker 1, and a swing never grows."
        return figure.Reading(times, heights, swings, trouble=trouble)
    ratio = float(one.ratio_from_decrement(decrement))
    return figure.Reading(times, heights, swings, decrement, ratio)


class SettlePanel(Panel):
    """Let a body go, put two markers on its peaks, and read the damping ratio."""

    def __init__(self, corner: Corner, note: str = "") -> None:
        controls = _corner_controls(corner) | {
            "first": Number("Marker 1", "s", 0.3, 0, _WATCH, 0.01),
            "later": Number("Marker 2", "s", 1.0, 0, _WATCH, 0.01),
            "swings": Step("Whole swings from 1 to 2", "", (1, 2, 3), 1),
        }
        self.ask = widgets.ToggleButton(
            description="Compare with the model", tooltip="Show the model's own damping ratio"
        )
        self.answer = widgets.HTML()
        super().__init__("Let it go and watch it settle", controls, figure, note)
        self.ask.observe(lambda _change: self.refresh(), "value")

    def lay_out(self) -> None:
        """Put the markers straight above the picture, the model's answer below the words."""
        super().lay_out()
        top, grid, view, words, _ = self.children
        grid.children, marks = grid.children[:-3], row(*grid.children[-3:])
        for name in ("dl-grid", "dl-thirds"):
            marks.add_class(name)
        turned = widgets.VBox([grid, marks])
        turned.add_class("dl-turned")
        below = (self.answer, row(self.ask, self.keep, self.room))
        self.children = (top, turned, view, words, *below)

    def measure(self, values: dict) -> figure.Decay:
        """Return the settling body and the reading."""
        marks = tuple(values[name] for name in ("first", "later", "swings"))
        rest = (values[name] for name in ("mass", "spring", "damping", "height"))
        return decay_of(*rest, marks, self.ask.value)

    def move(self, now: figure.Decay, before: figure.Decay) -> str:
        """Return the body settling in real time, beside what it was."""
        self._answer(now)
        sides = [
            self._bounce("before", before, self.recall()["mass"], faded=True),
            self._bounce("now", now, self.values()["mass"]),
        ]
        words = f"Settled after {before.settled:.2f} s before, {now.settled:.2f} s now."
        title = "Two bodies let go and settling in real time, before and now"
        return corner_svg(sides, title, words, "rest", 128, 0.5)

    def _answer(self, now: figure.Decay) -> None:
        """Show the reading, and to those who asked the model's own answer."""
        asked = f" {figure.compare(now)}" if self.ask.value else ""
        words = figure.read(now.reading) + asked
        self.answer.value = f'<p class="dl-fixed" role="status">{words}</p>'

    def _bounce(self, name: str, decay: figure.Decay, mass: float, faded: bool = False) -> Bounce:
        heights = 1e3 * decay.height[::5]
        return Bounce(
            name,
            f"settles {decay.settled:.2f} s",
            f"{mass:.0f} kg",
            0.0,
            heights,
            decay.time[-1],
            pale=faded,
        )


def _corner_controls(corner: Corner) -> dict[str, Number]:
    """Return what can be changed on the corner, as it stands."""
    mass, spring = corner.sprung_mass, corner.wheel_rate / 1e3
    damping = round(_START * corner.critical_damping, -1)
    most = round(8 * damping, -2)
    return {
        "mass": Number("Body mass on the corner", "kg", *around(mass), 5),
        "spring": Number("Spring rate at the wheel", "N/mm", *around(spring), 1),
        "damping": Number("Damping at the wheel", "N·s/m", damping, 100, most, 10),
        "height": Number("Let go from", "mm", 80, 20, 150, 5),
    }


def settle_panel(corner: Corner | None = None) -> SettlePanel:
    """Return the panel with the learner's corner, or with the demo workshop's."""
    return (
        SettlePanel(corner) if corner else SettlePanel(demo.vehicle().corner("front"), demo.CORNER)
    )
