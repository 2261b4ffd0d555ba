"""One corner on a road: body, wheel travel and tyre load against time, and what they score."""

from dataclasses import dataclass, field

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from dampinglab.figures import look
from dampinglab.figures.look import BODY, INK, ROAD, WHEEL, Scene, Size, ladder
from dampinglab.figures.words import by_percent, felt, turned
from dampinglab.physics.measures import Scores

__all__ = [
    "SCORES",
    "Drive",
    "Score",
    "Traces",
    "alternative",
    "rows",
    "scene",
    "sentence",
    "thin",
    "update",
]

_TITLE = "Comfort, travel and grip cost each other"
_INCHES = (6.4, 5.6)
_LIMITS = ("bump stop", "droop stop", "off the ground")
_BINS = 260  # a pair of points for every other pixel or so
_HEIGHTS = (0.01, 0.02, 0.04, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3, 0.5)  # m
_LOADS = (4e3, 6e3, 8e3, 10e3, 12e3, 16e3, 20e3, 30e3, 40e3, 60e3)  # N


@dataclass(frozen=True, eq=False)
class Drive:
    """What one corner did on one road at one setting."""

    road: str  # "gravel at 60 km/h"
    main: str  # the score that this road is about
    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    time: np.ndarray  # s
    height: np.ndarray  # m, of the road under the wheel
    body: np.ndarray  # m from rest
    wheel: np.ndarray  # m from rest
    tyre: np.ndarray  # N
    squeeze: float  # m, of the tyre under its load at rest
    bump_gap: float  # m of wheel travel to the foam
    foam: float  # m through the foam
    droop_gap: float  # m
    scores: Scores

    @property
    def travel(self) -> np.ndarray:
        """Wheel travel, m, positive in bump."""
        return self.wheel - self.body


@dataclass(frozen=True)
class Score:
    """How a score is called and written, and below which size (SI) nobody would speak of it."""

    key: str
    head: str  # over its column
    name: str  # in a sentence
    unit: str
    factor: float
    places: int
    little: float

    def number(self, value: float) -> str:
        """Return the bare number, as a table shows it."""
        return f"{self.factor * value:.{self.places}f}"

    def text(self, value: float) -> str:
        """Return the number with its unit."""
        return f"{self.number(value)} {self.unit}"


SCORES = (
    Score("weighted", "shaking, ISO 2631 Wk", "shaking (ISO 2631 Wk)", "m/s²", 1, 2, 0.05),
    Score("peak_upward", "sharpest push up", "the sharpest push up", "m/s²", 1, 1, 0.2),
    Score("body_motion", "body against road", "body movement", "mm", 1e3, 1, 1e-3),
    Score("tyre_variation", "tyre load varies by", "tyre load variation", "%", 100, 0, 0.02),
    Score("off_ground", "time off the ground", "time off the ground", "%", 100, 1, 0.005),
    Score("bump_travel", "bump travel used", "bump travel", "mm", 1e3, 0, 2e-3),
    Score("stop_energy", "into the bump stop", "energy into the bump stop", "J", 1, 0, 2.0),
)
_NAMED = {score.key: score for score in SCORES}


def thin(signal: np.ndarray, time: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return fewer points of a trace: of each stretch the lowest and the highest, in order."""
    size = -(-len(signal) // _BINS)
    if size < 4:
        return time, signal
    whole = np.pad(signal, (0, size * _BINS - len(signal)), mode="edge").reshape(_BINS, size)
    places = np.sort([whole.argmin(axis=1), whole.argmax(axis=1)], axis=0)
    chosen = np.minimum((places + size * np.arange(_BINS)).T.ravel(), len(signal) - 1)
    return time[chosen], signal[chosen]


@dataclass
class Traces(Scene):
    """A scene whose limits stay where they are while clicks are turned."""

    still: dict[str, Artist] = field(default_factory=dict)


def scene(size: Size = look.DESK) -> Traces:
    """Return the empty picture: three traces over one time."""
    made = Traces(**vars(look.paper(size, _TITLE, "time [s]", "", inches=_INCHES)))
    *upper, low = _boxes(made)
    made.axes.set_position(low)
    top, middle = (_another(made, box) for box in upper)
    _traces(made, "body", top, BODY, "body\n[mm]")
    _traces(made, "travel", middle, WHEEL, "travel\n[mm]")
    _traces(made, "tyre", made.axes, WHEEL, "load\n[kN]")
    made.add("road", top.plot([], [], **_slim(look.now(ROAD, size), size, 0.35))[0])
    for name, axes in zip(_LIMITS, (middle, middle, made.axes), strict=True):
        _limit(made, name, axes)
    _names(made, top)
    return made


def _slim(style: dict, size: Size, share: float) -> dict:
    """Return a style with a line thin enough for a busy trace."""
    return {**style, "linewidth": share * size.line}


def _boxes(made: Scene) -> list[tuple[float, ...]]:
    """Return where three axes stand one over the other."""
    left, bottom, wide, tall = made.axes.get_position().bounds
    gap = 0.9 * made.size.font / 72 / _INCHES[1]
    each = (tall - 2.6 * gap) / 3  # what is left over is for the key under the title
    return [(left, bottom + i * (each + gap), wide, each) for i in (2, 1, 0)]


def _another(made: Scene, box: tuple[float, ...]) -> Axes:
    """Add axes that look like the first, without words below."""
    axes = made.figure.add_axes(box)
    look.dress(axes, made.size)
    axes.tick_params(labelbottom=False)
    return axes


def _traces(made: Traces, name: str, axes: Axes, colour: str, words: str) -> None:
    """Add what was and what is, one over the other."""
    axes.set_ylabel(words, fontsize=made.size.font, color=INK, linespacing=1.05)
    wide = 72 * _INCHES[0] * axes.get_position().width
    axes.yaxis.set_label_coords(-3.35 * made.size.font / wide, 0.5)
    axes.locator_params(axis="y", nbins=4)
    share = 0.45 if name == "tyre" else 0.65
    for when, style in (("before", look.before), ("now", look.now)):
        drawn = _slim(style(colour, made.size), made.size, share)
        made.add(f"{name} {when}", axes.plot([], [], **drawn)[0])


def _limit(made: Traces, name: str, axes: Axes) -> None:
    """Add a limit that lies across, with its name where the drive has hardly begun."""
    across = axes.get_yaxis_transform()
    line = axes.plot([0, 1], [0, 0], transform=across, **look.edge(made.size))[0]
    made.still[f"{name} line"] = line
    words = axes.text(0.01, 0, name, fontsize=made.size.font, color=INK, transform=across)
    words.set(ha="left", va="top" if name == "off the ground" else "bottom")
    made.still[name] = words


def _names(made: Traces, axes: Axes) -> None:
    """Name the lines, and say how what was before is drawn."""
    style = {"fontsize": made.size.font, "va": "bottom", "transform": axes.transAxes}
    axes.text(0.0, 1.01, "body", color=BODY, **style)
    axes.text(0.15, 1.01, "road, thin", color=look.QUIET, **style)
    made.add("key", axes.text(1, 1.01, "", color=look.QUIET, ha="right", **style))


def update(made: Traces, now: Drive, before: Drive) -> None:
    """Put results into the picture."""
    ghost = now.setting != before.setting
    _put(made, "body", 1e3, now.body, before.body if ghost else None, now.time)
    _put(made, "travel", 1e3, now.travel, before.travel if ghost else None, now.time)
    _put(made, "tyre", 1e-3, now.tyre, before.tyre if ghost else None, now.time)
    made.moving["road"].set_data(*thin(1e3 * now.height, now.time))
    made.moving["key"].set_text("before: pale, dotted" if ghost else "")
    for name, place in (("bump stop", now.bump_gap), ("droop stop", -now.droop_gap)):
        made.still[f"{name} line"].set_ydata([1e3 * place] * 2)
        made.still[name].set_y(1e3 * place)
    _scale(made, now, before)


def _put(made: Scene, name: str, factor: float, now, before, time) -> None:
    made.moving[f"{name} now"].set_data(*thin(factor * now, time))
    ghost = ([], []) if before is None else thin(factor * before, time)
    made.moving[f"{name} before"].set_data(*ghost)


def _scale(made: Scene, now: Drive, before: Drive) -> None:
    """Set the axes in whole rungs, so that they seldom change."""
    heights = np.concatenate([now.body, before.body, now.height])
    load = ladder(max(now.tyre.max(), before.tyre.max()), _LOADS)
    limits = {
        "body": [-1e3 * ladder(-heights.min(), _HEIGHTS), 1e3 * ladder(heights.max(), _HEIGHTS)],
        "travel": [-1.15e3 * now.droop_gap, 1e3 * (now.bump_gap + now.foam)],
        "tyre": [-0.3e-3 * load, 1e-3 * load],  # below the line stands its name
    }
    for name, span in limits.items():
        made.moving[f"{name} now"].axes.set(xlim=(0, round(now.time[-1], 3)), ylim=span)


def rows(now: Drive, before: Drive) -> list[tuple[str, str, str, str]]:
    """Return each score's head with its unit, its numbers now and before, and its change."""
    told = []
    for score in SCORES:
        new, old = (getattr(seen.scores, score.key) for seen in (now, before))
        change = "same" if score.number(new) == score.number(old) else _percent(score, new, old)
        told.append((f"{score.head} [{score.unit}]", score.number(new), score.number(old), change))
    return told


def _percent(score: Score, new: float, old: float) -> str:
    """Return the change in per cent, or its direction where there was next to nothing before."""
    if old < score.little:
        return "more" if new > old else "less"
    return by_percent(new / old - 1)


def sentence(now: Drive, before: Drive) -> str:
    """Return what was turned, what that changed and by how much, if it is felt, and its price."""
    told = turned(now.setting, before.setting)
    if not told:
        return f"No change. {_state(now)}"
    moved = {score.key: _moved(score, now, before) for score in SCORES}
    if not any(moved.values()):
        return (
            f"{told}. On {now.road} no score moves by as much as can be written: here that "
            "adjuster has next to nothing to do, so it is not felt and costs nothing."
        )
    return f"{told}. On {now.road}, {_headline(now, before)} {_price(now, before, moved)}"


def _state(now: Drive) -> str:
    """Return how the corner stands on this road."""
    main, scored = _NAMED[now.main], now.scores
    used, stop = _NAMED["bump_travel"].text(scored.bump_travel), f"{1e3 * now.bump_gap:.0f} mm"
    hit = f"the bump stop, {stop} away, is not reached"
    if scored.bump_travel > now.bump_gap:
        hit = f"the bump stop, {stop} away, takes {_NAMED['stop_energy'].text(scored.stop_energy)}"
    return (
        f"On {now.road}, {main.name} is {main.text(getattr(scored, now.main))}; the tyre's load "
        f"varies by {_NAMED['tyre_variation'].text(scored.tyre_variation)} of what it stands on; "
        f"{used} of bump travel are used and {hit}."
    )


def _moved(score: Score, now: Drive, before: Drive) -> float:
    """Return the change as a share of what was, or zero where both are written alike."""
    new, old = (getattr(seen.scores, score.key) for seen in (now, before))
    if score.number(new) == score.number(old):
        return 0.0
    return (new - old) / max(old, score.little)


def _headline(now: Drive, before: Drive) -> str:
    """Return what became of the score that this road is about, and whether it is felt."""
    score = _NAMED[now.main]
    share = _moved(score, now, before)
    if not share:
        return f"{score.name} stays at {score.text(getattr(now.scores, now.main))}: not felt."
    way = "rises" if share > 0 else "falls"
    size = f"{100 * abs(share):.0f} %" if abs(share) >= 0.005 else "less than 1 %"
    return f"{score.name} {way} by {size}, {_from_to(score, now, before)}. {felt(share)}"


def _from_to(score: Score, now: Drive, before: Drive) -> str:
    """Return both values: from 1.20 to 1.34 m/s²."""
    new, old = (getattr(seen.scores, score.key) for seen in (now, before))
    return f"from {score.number(old)} to {score.text(new)}"


def _price(now: Drive, before: Drive, moved: dict[str, float]) -> str:
    """Return the score that lost most, or where the headline is the loss, what was gained."""
    others = {key: share for key, share in moved.items() if key != now.main}
    worst, best = max(others, key=others.get), min(others, key=others.get)
    cost, gain = (_NAMED[key].name for key in (worst, best))
    if moved[now.main] > 0:
        if others[best] >= 0:
            return "That is the price, and on this road nothing is gained for it."
        return f"That is the price; the gain is {gain}, {_from_to(_NAMED[best], now, before)}."
    if others[worst] <= 0:
        return "No score here pays for it: look for the price on other roads."
    return f"The price is {cost}, {_from_to(_NAMED[worst], now, before)}."


def _span(signal: np.ndarray, factor: float, places: int = 0) -> str:
    low, high = factor * signal.min(), factor * signal.max()
    return f"{low:.{places}f} to {high:.{places}f}"


def alternative(now: Drive, before: Drive) -> str:
    """Return the picture in words."""
    ghost = " Pale and dotted: what was before." if now.setting != before.setting else ""
    return (
        f"Three traces over {now.time[-1]:.0f} s on {now.road}: body height {_span(now.body, 1e3)} "
        f"mm over a road of {_span(now.height, 1e3)} mm; wheel travel {_span(now.travel, 1e3)} mm "
        f"between a droop stop at {-1e3 * now.droop_gap:.0f} mm and a bump stop at "
        f"{1e3 * now.bump_gap:.0f} mm; tyre load {_span(now.tyre, 1e-3, 1)} kN, off the ground at "
        f"zero.{ghost}"
    )
