"""A complaint's evidence: what one and two steps make better and worse, and the words to it."""

import math
from collections.abc import Sequence

from matplotlib.figure import Figure

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, FAINT, INK, PAPER, QUIET, REBOUND, Scene, Size
from dampinglab.workshop.advice import Advice
from dampinglab.workshop.complaint import next_step
from dampinglab.workshop.watched import FELT, MAYBE
from dampinglab.workshop.ways import Reading, Way

__all__ = ["alternative", "draw", "price", "remarks", "sentence"]

_WORSE, _BETTER = 3, 2  # rows at most beside the complaint's own
_WIDEST = 60.0  # % beyond which a bar is cut; its number stands beside it
_MOST = 3  # prices that are spelled out
_ROW, _EDGES = 0.52, 1.95  # inches a row, and for title and axis
_LEFT, _RIGHT = 17.0, 11.5  # letters' widths for names and numbers


def draw(advice: Advice, size: Size = look.DESK) -> Figure:
    """Return the picture of the way that is advised, or of the first that was computed."""
    way = advice.chosen
    rows = [way.own, *way.paid[:_WORSE], *way.gained[:_BETTER]]
    scale = size.font / look.DESK.font
    inches = (8.8 * scale**0.3, (_EDGES + _ROW * len(rows)) * scale)
    made = look.paper(size, _title(advice, way), _ACROSS, "", inches=inches)
    _frame(made, rows, inches)
    for place, reading in enumerate(rows):
        _bars(made, way, reading, -place)
    _names(made, rows)
    return made.figure


_ACROSS = (
    "change [%]: better on the left, worse on the right\n"
    f"grey: not felt; beyond the dash-dot lines, {100 * FELT:.0f} %: likely felt"
)


def _title(advice: Advice, way: Way) -> str:
    turned = "closed" if way.remedy.more else "opened"
    clicks = abs(way.clicks[1] - way.clicks[0])
    return f"{advice.axle.capitalize()} {way.adjuster} {turned} by {_clicks(clicks)}: what it does"


def _clicks(number: int) -> str:
    return f"{number} click{'s' * (number != 1)}"


def _frame(made: Scene, rows: Sequence[Reading], inches: tuple[float, float]) -> None:
    """Leave room for names on the left and numbers on the right; show what is not felt."""
    axes, letter = made.axes, made.size.font / 72
    left, right = (n * 0.62 * letter / inches[0] for n in (_LEFT * 1.35, _RIGHT * 1.25))
    low, top = 5.0 * letter / inches[1], 3.9 * letter / inches[1]
    axes.set_position((left, low, 1 - left - right, 1 - low - top))
    widest = max(100 * abs(share) for each in rows for share in each.shares)
    reach = 1.08 * min(_WIDEST, max(1.5 * 100 * FELT, widest))
    axes.set(xlim=(-reach, reach), ylim=(0.6 - len(rows), 0.6))
    axes.set_yticks([])
    axes.grid(visible=False)
    axes.spines["left"].set_visible(False)
    axes.axvspan(-100 * MAYBE, 100 * MAYBE, color=FAINT, zorder=0)
    for at in (-100 * FELT, 100 * FELT):
        axes.axvline(at, color=INK, linewidth=made.size.line / 2.4, linestyle="-.", zorder=1)
    axes.axvline(0, color=QUIET, linewidth=made.size.line / 2)


def _bars(made: Scene, way: Way, reading: Reading, place: float) -> None:
    """Draw the first step filled and the second as an outline below it."""
    colour = REBOUND if way.adjuster == "rebound" else BUMP
    reach = made.axes.get_xlim()[1]
    for step, share in enumerate(reading.shares):
        long = max(-reach, min(reach, 100 * share))
        style = {"facecolor": colour if not step else PAPER, "edgecolor": colour}
        style |= {"linewidth": made.size.line / 1.6, "height": 0.3, "zorder": 3}
        made.axes.barh(place + (0.17, -0.17)[step], long, **style)


def _names(made: Scene, rows: Sequence[Reading]) -> None:
    """Write what is felt on the left, and what the first step comes to on the right."""
    style = {"fontsize": made.size.font, "color": INK, "va": "center", "clip_on": False}
    across = made.axes.get_yaxis_transform()
    for place, each in enumerate(rows):
        weight = "bold" if not place else "normal"
        at = {"transform": across, "fontweight": weight, **style}
        made.axes.text(-0.02, -place, _wrapped(_felt_as(each)), ha="right", **at)
        made.axes.text(1.02, -place, f"{_percent(each.shares[0])}\n{each.marks[0]}", **at)
    head = {**style, "transform": across, "color": QUIET, "va": "bottom"}
    made.axes.text(1.02, 0.66, "first step", **head)
    made.axes.text(0.5, 0.66, "filled: first step, outline: two", ha="center", **head)


def _wrapped(words: str, most: int = 22) -> str:
    """Return a name in two lines where it is long."""
    if len(words) <= most:
        return words
    places = [i for i, letter in enumerate(words) if letter == " "]
    cut = min(places, key=lambda i: abs(i - len(words) / 2))
    return f"{words[:cut]}\n{words[cut + 1 :]}"


def _felt_as(reading: Reading, step: int = -1) -> str:
    """Return what the vehicle does, by which way the reading goes in the end."""
    worse = reading.shares[step] > 0
    return reading.watched.worse if worse else reading.watched.better


def _percent(share: float) -> str:
    """Return a change in whole percent, finer where rounding would lift it over a mark."""
    size = round(abs(share), 6)
    lifted = any(size < mark <= round(size, 2) for mark in (MAYBE, FELT))
    return f"{math.floor(1000 * size) / 10:.1f} %" if lifted else f"{100 * size:.0f} %"


def sentence(advice: Advice) -> str:
    """Return what to turn and what it does, or why no click."""
    change = advice.change
    if change is None:
        return advice.reason
    way, number = advice.chosen, abs(change.clicks_by)
    turn = "close" if change.clicks_by < 0 else "open"
    to = way.clicks[0] + change.clicks_by
    return (
        f"{change.axle.capitalize()} {change.adjuster}: {turn} by {_clicks(number)} on both "
        f"dampers, from {way.clicks[0]} to {to} out from closed. {way.remedy.why} {advice.reason}"
    )


def price(advice: Advice) -> str:
    """Return what the way costs on this vehicle; empty where none was computed."""
    way = advice.chosen
    if way is None:
        return ""
    here = [each for each in way.paid if each.shares[0] >= MAYBE][:_MOST]
    told = f"The price of the first step: {_listed(here, 0)}." if here else _free(way)
    last = len(way.own.shares) - 1
    if last and way.paid:
        told += f" Of two steps: {_listed(way.paid[:_MOST], last)}."
    if here and way.own.shares[0] < 0 and max(here[0].shares[0], MAYBE) > -way.own.shares[0]:
        told += " The first step alone costs more than the complaint gains."
    return told


def _free(way: Way) -> str:
    steps = "the first step" if way.paid else "either step"
    return f"Nothing else that is watched gets worse by {_percent(MAYBE)} or more in {steps}."


def _listed(readings: Sequence[Reading], step: int) -> str:
    return "; ".join(
        f"{_felt_as(each, step)}, {_percent(each.shares[step])} ({each.marks[step]})"
        for each in readings
    )


def remarks(advice: Advice) -> tuple[str, ...]:
    """Return what comes after: what shows too much, the next steps, and all that has to be said."""
    told, way = list(advice.notes), advice.chosen
    if way and way.gained:
        also = _listed(way.gained[:_MOST], len(way.own.shares) - 1)
        told.insert(0, f"Two steps also make it: {also}.")
    if advice.change:
        step = abs(advice.change.clicks_by)
        told[:0] = [
            f"Drive the same road, warm, before the next change. If it went the right way, go on "
            f"by {_clicks(next_step(step))}, and halve again; if not, put it back.",
            f"Too much of it: {way.remedy.overdone}",
        ]
    return tuple(told)


def alternative(advice: Advice) -> str:
    """Return the picture in words."""
    way = advice.chosen
    own = f"{_felt_as(way.own)}, {_percent(way.own.shares[-1])} in all"
    return f"Bars: change of the complaint and of all it is paid with. {own}. {price(advice)}"
