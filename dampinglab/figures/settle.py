"""A body let go from a height, and what two markers on its swings say about the damping."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BODY, QUIET, Scene, Size
from dampinglab.figures.words import change, felt, percent, plain, same
from dampinglab.units import minus

__all__ = [
    "Decay",
    "Reading",
    "alternative",
    "compare",
    "read",
    "scene",
    "sentence",
    "update",
]

_TITLE = "Each swing is a fixed share of the last"
_WINDOWS = (1.5, 2.0, 3.0, 4.0, 6.0)  # s that the axes can show
_SWING = (0.02, 0.03, 0.05, 0.08, 0.1, 0.15)  # m


@dataclass(frozen=True)
class Reading:
    """What two markers read, and what follows from it, or why nothing does."""

    times: tuple[float, float]  # s, first and later marker
    heights: tuple[float, float]  # m
    swings: int  # whole swings between them, as the learner counts
    decrement: float | None = None  # a swing
    ratio: float | None = None
    trouble: str = ""


@dataclass(frozen=True, eq=False)
class Decay:
    """A body let go, and a reading of its swings."""

    time: np.ndarray  # s
    height: np.ndarray  # m above rest
    ratio: float  # damping ratio of the model
    settled: float  # s until it stays within 5 % of the height it was let go from
    push: float  # N that the damper passes at 0.1 m/s of wheel speed
    peak_times: np.ndarray  # s, upper turning points; none when it creeps back
    peak_heights: np.ndarray  # m
    reading: Reading
    shown: bool = False  # whether the learner asked for the model's own answer


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, "time since letting go [s]", "height [mm]", (6.0, 4.1))
    made.axes.axhline(0, color=QUIET, linewidth=size.line / 3, zorder=2.6)
    for time, style in (("before", look.before), ("now", look.now)):
        made.add(time, made.axes.plot([], [], **style(BODY, size))[0])
    _markers(made)
    return made


def _markers(made: Scene) -> None:
    """Add the rings around true peaks, and the two markers with their stems and numbers."""
    axes, line = made.axes, made.size.line
    dot = {"marker": "o", "linestyle": "none", "color": look.WHEEL}
    ring = {"markersize": 6 * line, "markerfacecolor": "none", "markeredgewidth": line / 1.6}
    made.add("peaks", axes.plot([], [], **dot, **ring)[0])
    for name in ("first", "later"):
        made.add(f"{name} stem", axes.plot([], [], color=look.WHEEL, linewidth=line / 1.8)[0])
        made.add(f"{name} dot", axes.plot([], [], **dot, markersize=3.6 * line)[0])
        look.label(made, f"{name} name", fontweight="bold", ha="center", va="top")
    look.table(made, "heights")


def update(made: Scene, now: Decay, before: Decay) -> None:
    """Put results into the picture."""
    long = look.ladder(max(now.time[-1], *now.reading.times), _WINDOWS)
    tall = 1e3 * look.ladder(max(now.height[0], before.height[0]), _SWING)
    made.axes.set(xlim=(-0.03 * long, long), ylim=(-1.3 * tall, 1.5 * tall))
    for name, decay in (("before", before), ("now", now)):
        made.moving[name].set_data(decay.time, 1e3 * decay.height)
    peaks = slice(None) if now.shown else slice(0)
    made.moving["peaks"].set_data(now.peak_times[peaks], 1e3 * now.peak_heights[peaks])
    _mark(made, now.reading, tall)


def _mark(made: Scene, reading: Reading, tall: float) -> None:
    """Put the markers where they read, and both heights above the swings."""
    for name, time, height in zip(("first", "later"), reading.times, reading.heights, strict=True):
        made.moving[f"{name} stem"].set_data([time, time], [-1.05 * tall, 1e3 * height])
        made.moving[f"{name} dot"].set_data([time], [1e3 * height])
    look.number(made, ("first name", "later name"), reading.times, -1.07 * tall)
    first, later = (minus(f"{1e3 * height:.1f}") for height in reading.heights)
    made.moving["heights"].set_text(f"1: {first} mm, 2: {later} mm")


def sentence(now: Decay, before: Decay) -> str:
    """Return how the settling changed, if it is felt, and the price."""
    if same(now.settled, before.settled) and same(now.push, before.push):
        return f"{_height(now, before)} the body has settled within 5 % after {now.settled:.2f} s."
    share = change(now.settled, before.settled)
    late = "later" if share > 0 else "sooner"
    return (
        f"The body now settles after {now.settled:.2f} s, "
        f"{abs(now.settled - before.settled):.2f} s {late} ({percent(share)}). "
        f"{felt(share)} {_price(now, before)}"
    )


def _height(now: Decay, before: Decay) -> str:
    """Return that nothing was changed, or that only the height was, which changes nothing."""
    new, old = plain(now.height[0], "mm"), plain(before.height[0], "mm")
    return "No change:" if new == old else f"Let go from {new} (before: {old}), no change:"


def _price(now: Decay, before: Decay) -> str:
    """Return what the change costs: force into the body, or time to settle."""
    more, later = now.push - before.push, now.settled > before.settled
    size = plain(more, "N")
    if same(now.push, before.push):
        return (
            "The price is that waiting." if later else "The damper is as it was, so no price shows."
        )
    if more > 0:
        return f"The price: a bump of 0.1 m/s at the wheel passes {size} more into the body."
    gain = f"a bump of 0.1 m/s at the wheel passes {size} less into the body"
    return f"The price is that waiting; in return {gain}." if later else f"No price shows: {gain}."


def read(reading: Reading) -> str:
    """Return what the markers read and what follows from it, or what hinders it."""
    first, later = (
        minus(f"{1e3 * height:.1f} mm at {time:.2f} s")
        for height, time in zip(reading.heights, reading.times, strict=True)
    )
    told = f"Marker 1 reads {first}, marker 2 {later}"
    if reading.ratio is None:
        return f"{told}. {reading.trouble}"
    follows = f"decrement {reading.decrement:.2f}, damping ratio {reading.ratio:.3f}"
    return f"{told}: {follows}."


def compare(now: Decay) -> str:
    """Return how the learner's reading stands beside the model, or what hinders it."""
    reading, truth = now.reading, f"the model's damping ratio is {now.ratio:.3f}"
    if now.ratio >= 1:
        return f"It creeps back without a swing, so there is nothing to read: {truth}."
    if reading.ratio is None:
        return f"For comparison, {truth}; the rings are its peaks."
    share = change(reading.ratio, now.ratio)
    if abs(share) < 0.02:
        return f"Well read: your {reading.ratio:.3f}, and {truth}."
    side = "above" if share > 0 else "below"
    return (
        f"Your {reading.ratio:.3f} lies {100 * abs(share):.0f} % {side}: {truth}. "
        f"Put both markers inside the rings and count the swings between them."
    )


def alternative(now: Decay, before: Decay) -> str:
    """Return the picture in words."""
    first, later = now.reading.heights
    ghost = "" if same(now.settled, before.settled) else " Pale and dotted: the swings before."
    return (
        f"Height of a body let go from {1e3 * now.height[0]:.0f} mm, against time. It has settled "
        f"after {now.settled:.2f} s. Marker 1 reads {1e3 * first:.1f} mm, marker 2 "
        f"{1e3 * later:.1f} mm.{ghost}"
    )
