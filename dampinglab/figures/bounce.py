"""A bounce test with two markers on its peaks, and beside them what the fit says."""

from dataclasses import dataclass

import numpy as np
from matplotlib.patches import Rectangle

from dampinglab.figures import look
from dampinglab.figures.look import BODY, FAINT, QUIET, WHEEL, Scene, Size
from dampinglab.units import minus
from dampinglab.workshop.bounce import BounceReading, judge
from dampinglab.workshop.marks import Marks
from dampinglab.workshop.window import Sight

__all__ = ["BounceView", "alternative", "compare", "scene", "sentence", "update"]

_TITLE = "After the last push the body is left to itself"
_HEIGHTS = (0.6, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0)  # m/s2 that the axes can show
_LEAD, _TRAIL = 0.5, 2.5  # s shown before the first push and after the last usable swing


@dataclass(frozen=True, eq=False)
class BounceView:
    """A bounce test as looked at: the record, the learner's markers, and the fit."""

    seen: Sight
    marks: Marks
    fit: BounceReading | None
    trouble: str = ""  # why there is no fit
    shown: bool = False  # whether the learner asked for the fit


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, "time [s]", "acceleration [m/s²]")
    for name in ("pushed", "small"):
        shade = Rectangle((0, 0), 0, 0, color=FAINT, linewidth=0)
        made.add(name, made.axes.add_patch(shade))
    _curves(made)
    _markers(made)
    for name in ("pushed", "small"):
        look.label(made, f"{name} name", QUIET, ha="center", va="top")
    look.table(made, "words")
    made.moving["words"].set_bbox({"facecolor": look.PAPER, "edgecolor": "none", "pad": 3})
    return made


def _curves(made: Scene) -> None:
    """Add the line of rest, the readings, their smooth copy and the fit."""
    axes, line = made.axes, made.size.line
    made.add("rest", axes.axhline(0, color=QUIET, linewidth=line / 3))
    points = {"marker": ".", "markersize": line, "color": look.pale(BODY)}
    made.add("readings", axes.plot([], [], linestyle="none", **points)[0])
    made.add("smooth", axes.plot([], [], color=BODY, linewidth=line / 1.6)[0])
    dashed = {"linestyle": (0, (4.5, 1.6)), "linewidth": 1.3 * line}
    made.add("fit", axes.plot([], [], color=WHEEL, **dashed)[0])


def _markers(made: Scene) -> None:
    """Add both markers, and where they stood before."""
    axes, size = made.axes, made.size
    for name in ("first", "later"):
        made.add(f"{name} before", axes.plot([], [], **look.before(WHEEL, size))[0])
    for name in ("first", "later"):
        made.add(f"{name} stem", axes.plot([], [], color=WHEEL, linewidth=size.line / 1.8)[0])
        dot = {"marker": "o", "markersize": 3.6 * size.line, "color": WHEEL}
        made.add(f"{name} dot", axes.plot([], [], linestyle="none", **dot)[0])
        look.label(made, f"{name} name", fontweight="bold", ha="center", va="top")


def update(made: Scene, now: BounceView, before: BounceView) -> None:
    """Put results into the picture."""
    seen, moving = now.seen, made.moving
    tall = look.ladder(1.1 * np.abs(seen.smooth).max(), _HEIGHTS)
    made.axes.set(xlim=_reach(now), ylim=(-1.15 * tall, 1.3 * tall))
    moving["readings"].set_data(seen.time, seen.acceleration - seen.rest)
    moving["smooth"].set_data(seen.grid, seen.smooth)
    _shade(made, now)
    _fitted(made, now)
    look.number(made, ("first name", "later name"), now.marks.times, -1.01 * tall)
    for i, name in enumerate(("first", "later")):
        time, height = now.marks.times[i], now.marks.heights[i]
        moving[f"{name} before"].set_data([before.marks.times[i]] * 2, [-tall, 0])
        moving[f"{name} stem"].set_data([time, time], [-tall, height])
        moving[f"{name} dot"].set_data([time], [height])
    moving["words"].set_text(_read(now))


def _reach(now: BounceView) -> tuple[float, float]:
    """Return the times to show: the push, the decay, and a little rest."""
    push = _part(now, "pushed by hand")
    start = max(0.0, push[0] - _LEAD) if push else 0.0
    end = min(now.seen.grid[-1], now.seen.end + _TRAIL)
    return min(start, *now.marks.times), max(end, *now.marks.times)


def _part(now: BounceView, why: str) -> tuple[float, float] | None:
    """Return where a stretch that was left out lies."""
    parts = now.fit.left_out if now.fit else ()
    return next(((part.start, part.end) for part in parts if part.why.startswith(why)), None)


def _shade(made: Scene, now: BounceView) -> None:
    """Grey and name what the fit leaves out."""
    low, high = made.axes.get_ylim()
    # Where neither the markers' stems nor the readings stand.
    heights = {"pushed": high - 0.02 * (high - low), "small": -0.06 * (high - low)}
    for name, why in (("pushed", "pushed by hand"), ("small", "too small")):
        start, end = _part(now, why) or (0.0, 0.0)
        end = min(end, made.axes.get_xlim()[1])
        made.moving[name].set_bounds(start, low, end - start, high - low)
        words = why.replace(" by", "\nby") if end > start else ""
        made.moving[f"{name} name"].set(text=words, position=((start + end) / 2, heights[name]))


def _fitted(made: Scene, now: BounceView) -> None:
    """Draw the fitted decay if it was asked for."""
    if not (now.shown and now.fit):
        made.moving["fit"].set_data([], [])
        return
    t = np.linspace(*now.fit.window, 200)
    made.moving["fit"].set_data(t, now.fit.decay.at(t) - now.seen.rest)


def _read(now: BounceView) -> str:
    """Return the reading as a small table, and what is drawn over the swings."""
    marks = now.marks
    lines = [
        minus(f"marker {i}: {height:.2f} m/s² at {time:.2f} s")
        for i, (time, height) in enumerate(zip(marks.times, marks.heights, strict=True), start=1)
    ]
    if marks.ratio is not None:
        lines += [f"{_swings(marks)}, decrement {marks.decrement:.2f}"]
    if now.shown and now.fit:
        lines += ["thick dashes: the fit"]
    return "\n".join(lines)


def _swings(marks: Marks) -> str:
    return f"{marks.swings:g} swing{'' if marks.swings in (0.5, 1) else 's'}"


def sentence(now: BounceView, before: BounceView) -> str:
    """Return what the markers read, and how that differs from where they stood before."""
    marks, old = now.marks, before.marks
    if marks.ratio is None:
        return marks.trouble
    top, bottom = (abs(height) for height in marks.heights)
    told = (
        f"From {top:.2f} to {bottom:.2f} m/s² in {_swings(marks)} the decrement is "
        f"{marks.decrement:.2f} a swing, the damping ratio {marks.ratio:.3f}, the frequency "
        f"{marks.frequency:.2f} Hz"
    )
    if marks.times == old.times:
        return f"No change: {told[0].lower()}{told[1:]}."
    if old.ratio is None:
        return f"{told}."
    more = marks.ratio - old.ratio
    side = "above" if more > 0 else "below"
    return f"{told}: {abs(more):.3f} {side} what the markers read before."


def compare(now: BounceView) -> str:
    """Return how the learner's reading stands beside the fit, and what the fit suggests."""
    if now.fit is None:
        return now.trouble
    return " ".join([_beside(now), _verdict(now.fit), *now.fit.remarks])


def _beside(now: BounceView) -> str:
    """Return the reading beside the fit."""
    fit, mine = now.fit, now.marks.ratio
    if mine is None or not fit.readable:
        return fit.words
    off, open_ = mine - fit.ratio.value, 2 * fit.ratio.sigma
    if abs(off) <= max(open_, 0.05 * fit.ratio.value):
        return f"Well read, your {mine:.3f}: {fit.words[0].lower()}{fit.words[1:]}"
    where = "above" if off > 0 else "below"
    early = min(now.marks.times) < fit.window[0] - 0.05
    hint = (
        "A marker stands in the push, where the hands still add to the swing."
        if early
        else "Put both markers on the very tops, high enough to stand out of the noise."
    )
    return f"Your {mine:.3f} lies {abs(off):.3f} {where} the fit. {fit.words} {hint}"


def _verdict(fit: BounceReading) -> str:
    """Return what the bands make of it."""
    bands = judge(fit)
    if len(bands) > 1:
        names = " or ".join(band.name for band in bands)
        return f"By common practice (no source) that may be {names}."
    return f"By common practice (no source) that is {bands[0].name}: {bands[0].says}."


def alternative(now: BounceView, before: BounceView) -> str:
    """Return the picture in words."""
    push = _part(now, "pushed by hand")
    driven = f" Grey, pushed by hand: {push[0]:.1f} to {push[1]:.1f} s." if push else ""
    first, later = (
        minus(f"{h:.2f} m/s² at {t:.2f} s")
        for t, h in zip(now.marks.times, now.marks.heights, strict=True)
    )
    ghost = "" if now.marks.times == before.marks.times else " Pale: where they stood before."
    fit = " The fitted decay lies over the swings, dashed." if now.shown and now.fit else ""
    return (
        f"Acceleration of the body above rest, against time.{driven} Marker 1 reads {first}, "
        f"marker 2 {later}.{ghost}{fit}"
    )
