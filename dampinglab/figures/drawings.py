"""Drawings and charts of the lessons that need no model: clicks, directions, levers, look-ups."""

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyArrowPatch, Rectangle

from dampinglab.figures.look import BODY, BUMP, DESK, INK, PAPER, QUIET, REBOUND, ROAD, WHEEL, paper

__all__ = ["clicks", "directions", "freedoms", "lever", "look_up", "stack"]

_FONT = 15
_CLICKS, _OUT = 18, 14  # of the adjuster on the ruler
_AMBER = "#8A4B00"  # the rebound colour, dark enough for letters


def _plain(inches: tuple[float, float], across: float, up: float) -> tuple[Figure, Axes]:
    """Return a figure with empty axes from 0 to the two limits, the same scale both ways."""
    figure = Figure(figsize=inches, dpi=100, facecolor=PAPER)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, across), ylim=(0, up), aspect="equal")
    axes.axis("off")
    return figure, axes


def _words(axes: Axes, x: float, y: float, text: str, **style) -> None:
    """Write words in the size of the drawings, centred unless told otherwise."""
    axes.text(x, y, text, **{"fontsize": _FONT, "color": INK, "ha": "center", **style})


def _arrow(axes: Axes, start, end, colour: str, both: bool = False) -> None:
    """Draw an arrow, with a head at both ends for a distance."""
    style = "<|-|>" if both else "-|>"
    arrow = FancyArrowPatch(start, end, arrowstyle=style, mutation_scale=18, color=colour, lw=2.2)
    axes.add_patch(arrow)


def _spring(axes: Axes, x: float, low: float, high: float, width: float = 0.3) -> None:
    """Draw a spring as a zigzag that fills the height it is given."""
    turns = 9
    ups = [low + (high - low) * i / turns for i in range(turns + 1)]
    sides = [x + width * (0 if i in (0, turns) else (-1) ** i) for i in range(turns + 1)]
    axes.plot(sides, ups, color=INK, lw=2)


def clicks() -> Figure:
    """Return the range of one adjuster as a ruler, counted from closed, and from soft."""
    figure, axes = _plain((9, 2.9), 18, 5.8)
    left, right, rule = 1.6, 16.4, 2.4
    place = left + (right - left) * _OUT / _CLICKS
    axes.plot([left, right], [rule, rule], color=INK, lw=2)
    for click in range(_CLICKS + 1):
        x = left + (right - left) * click / _CLICKS
        axes.plot([x, x], [rule - 0.18, rule + 0.18], color=INK, lw=1.6)
    _words(axes, left, rule - 0.85, "closed\n(hard) 0", va="top", linespacing=1.2)
    _words(axes, right, rule - 0.85, f"open\n(soft) {_CLICKS}", va="top", linespacing=1.2)
    axes.plot([place], [rule], marker="v", markersize=17, color=WHEEL)
    _arrow(axes, (left, rule + 0.95), (place, rule + 0.95), WHEEL, both=True)
    _words(axes, (left + place) / 2, rule + 1.3, f"{_OUT} clicks out from closed", weight="bold")
    _arrow(axes, (place, rule + 0.95), (right, rule + 0.95), QUIET, both=True)
    _words(axes, (place + right) / 2, rule + 1.3, f"[{_CLICKS - _OUT} from soft]", color=QUIET)
    return figure


def directions() -> Figure:
    """Return one corner three times: moving in bump, at ride height, and in droop."""
    figure, axes = _plain((9, 4.9), 18, 9.8)
    for x, lift, title in ((3, 1.1, "bump"), (9, 0.0, "ride height"), (15, -1.0, "in droop")):
        _corner(axes, x, 3.6 + lift, title)
    axes.plot([1.6, 17.4], [3.6, 3.6], color=INK, lw=1, ls="-.")
    low = {"va": "bottom", "linespacing": 1.1}
    _arrow(axes, (1.0, 3.6), (1.0, 5.4), BUMP)
    _words(axes, 3, 0.4, "bump is the way up:\nthe damper shortens", color=BUMP, **low)
    _arrow(axes, (13.0, 4.4), (13.0, 2.4), REBOUND)
    _words(axes, 15, 0.4, "rebound is the way down:\nthe damper lengthens", color=_AMBER, **low)
    return figure


def _corner(axes: Axes, x: float, wheel: float, title: str) -> None:
    """Draw a piece of body, a damper, and a wheel at a height."""
    _words(axes, x, 9.0, title, weight="bold")
    axes.add_patch(Rectangle((x - 1.5, 7.3), 3, 1.1, color=BODY))
    axes.plot([x, x], [wheel, 6.2], color=QUIET, lw=5, solid_capstyle="butt")
    axes.add_patch(Rectangle((x - 0.28, 5.6), 0.56, 1.7, color=QUIET))
    axes.add_patch(Circle((x, wheel), 0.95, fill=False, ec=WHEEL, lw=6))
    axes.add_patch(Circle((x, wheel), 0.22, color=WHEEL))


def lever() -> Figure:
    """Return an arm with a spring part of the way along it: the motion ratio."""
    ratio = 0.6
    figure, axes = _plain((9, 4.2), 18, 8.4)
    pivot, wheel, level = 2.0, 14.5, 2.6
    spring = pivot + ratio * (wheel - pivot)
    axes.plot([pivot, wheel], [level, level], color=INK, lw=6, solid_capstyle="round")
    axes.plot([pivot, wheel], [level, level + 1.8], color=QUIET, lw=3, ls=":")
    axes.add_patch(Circle((pivot, level), 0.28, color=INK))
    axes.add_patch(Circle((wheel + 0.9, level), 1.35, fill=False, ec=WHEEL, lw=6))
    _spring(axes, spring, level + 0.1, 6.6, 0.45)
    axes.add_patch(Rectangle((spring - 1.8, 6.6), 3.6, 0.7, color=BODY))
    for x, rise, colour in ((spring - 0.9, 1.8 * ratio, INK), (wheel - 0.75, 1.8, WHEEL)):
        _arrow(axes, (x, level), (x, level + rise), colour, both=True)
    _lever_words(axes, pivot, spring, wheel, ratio)
    return figure


def _lever_words(axes: Axes, pivot: float, spring: float, wheel: float, ratio: float) -> None:
    """Name the parts of the lever."""
    _words(axes, pivot, 1.65, "pivot on the body")
    _words(axes, spring, 7.55, "body")
    _words(axes, spring - 0.9, 1.65, f"spring moves {ratio:g} mm")
    _words(axes, wheel - 0.4, 4.7, "wheel moves 1 mm", color=WHEEL)


def stack() -> Figure:
    """Return body, spring, wheel, tyre and ground, one on top of the other."""
    figure, axes = _plain((6, 5), 12, 10)
    axes.add_patch(Rectangle((2.6, 7.6), 4, 1.4, color=BODY))
    _words(axes, 4.6, 8.15, "body", color=PAPER)
    _spring(axes, 4.6, 5.2, 7.6, 0.5)
    _words(axes, 7.2, 6.2, "suspension spring\n(wheel rate k)", ha="left", linespacing=1.2)
    axes.add_patch(Rectangle((3.4, 4.3), 2.4, 0.9, color=WHEEL))
    _words(axes, 4.6, 4.6, "wheel", color=PAPER)
    _spring(axes, 4.6, 1.7, 4.3, 0.35)
    _words(axes, 7.2, 2.8, "tyre\n(tyre rate kt)", ha="left", linespacing=1.2)
    axes.plot([1.4, 7.8], [1.7, 1.7], color=ROAD, lw=5)
    _words(axes, 4.6, 0.8, "road", color=QUIET)
    return figure


def freedoms() -> Figure:
    """Return the ways in which a whole vehicle moves, from the side and from behind."""
    figure, axes = _plain((11, 5), 22, 10)
    for left, wide, title in ((1.2, 10.4, "from the side"), (14.7, 5.6, "from behind")):
        axes.add_patch(Rectangle((left, 5.3), wide, 1.7, fill=False, ec=BODY, lw=2.5))
        axes.plot([left - 1, left + wide + 1], [1.6, 1.6], color=ROAD, lw=4)
        _words(axes, left + wide / 2, 9.3, title, weight="bold")
    for x in (2.6, 10.2):
        _spring(axes, x, 3.8, 5.3, 0.35)
        axes.add_patch(Circle((x, 2.7), 1.0, fill=False, ec=WHEEL, lw=6))
    axes.plot([14.3, 20.7], [2.7, 2.7], color=WHEEL, lw=5)
    for side in (-1, 1):
        axes.plot([17.5 + 3.2 * side] * 2, [1.7, 3.7], color=WHEEL, lw=14, solid_capstyle="butt")
        _spring(axes, 17.5 + 1.4 * side, 2.8, 5.3, 0.25)
        axes.plot([17.5 + 2.3 * side] * 2, [2.8, 5.3], color=QUIET, lw=6)
    _name_ways(axes)
    return figure


# From, to, name, how far beside the arrow, how bent.
_WAYS = (
    ((6.9, 6.2), (6.9, 8.2), "z", 0.5, 0.0),
    ((12.1, 7.6), (12.1, 5.4), "p", 0.9, -0.35),
    ((11.7, 2.0), (11.7, 4.2), "wl, wr", -0.2, 0.0),
    ((17.5, 6.2), (17.5, 8.2), "z", 0.5, 0.0),
    ((14.2, 5.2), (14.2, 7.4), "r", -0.6, -0.35),
    ((17.5, 2.7), (17.5, 4.5), "w", 0.5, 0.0),
    ((13.6, 1.9), (13.6, 3.7), "s", -0.6, -0.35),
)


def _name_ways(axes: Axes) -> None:
    """Name the coordinates of a whole vehicle, and its distances."""
    for start, end, name, aside, bend in _WAYS:
        curve = f"arc3,rad={bend}"
        line = {"arrowstyle": "-|>", "mutation_scale": 18, "color": INK, "lw": 2.2}
        axes.add_patch(FancyArrowPatch(start, end, connectionstyle=curve, **line))
        up = end[1] + 0.25 if "," in name else (start[1] + 2 * end[1]) / 3 - 0.2
        _words(axes, end[0] + aside, up, name, weight="bold")
    axes.plot([6.9, 17.5], [6.2, 6.2], ls="none", marker="o", color=INK)
    for left, right, name in ((2.6, 6.9, "b"), (6.9, 10.2, "a"), (17.5, 20.7, "t")):
        _arrow(axes, (left, 1.0), (right, 1.0), QUIET, both=True)
        _words(axes, (left + right) / 2, 0.25, name, color=QUIET)


def look_up(
    across: Sequence[float],
    up: Sequence[float],
    title: str,
    labels: tuple[str, str],
    examples: Sequence[tuple[float, float, str]],
) -> Figure:
    """Return a curve to read answers from, with a few examples led to both axes."""
    made = paper(DESK, title, *labels, inches=(8.2, 4.4))
    axes = made.axes
    axes.plot(across, up, color=WHEEL, lw=3)
    axes.set(xlim=(0, max(across)), ylim=(0, 1.08 * max(up)))
    axes.minorticks_on()
    axes.grid(which="minor", color="#EFEBE3", lw=0.6)
    for x, y, words in examples:
        axes.plot([x, x, 0], [0, y, y], color=INK, lw=1.2, ls="-.")
        axes.plot([x], [y], marker="o", color=WHEEL, ms=8)
        axes.annotate(words, (x, y), (10, 10), textcoords="offset points", fontsize=_FONT - 2)
    return made.figure
