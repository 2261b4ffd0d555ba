"""What damping can and cannot change: a response against frequency, and three questions."""

from dataclasses import dataclass

import numpy as np
from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

from dampinglab.figures import look
from dampinglab.figures.look import BODY, INK, QUIET, ROAD, WHEEL, Scene, Size
from dampinglab.figures.words import change, felt, percent, plain, same

__all__ = [
    "ENDS",
    "QUESTIONS",
    "RESPONSES",
    "Response",
    "alternative",
    "scene",
    "sentence",
    "update",
]

RESPONSES = {
    "acceleration": ("body acceleration", "m/s² for 1 mm of road", BODY),
    "travel": ("wheel travel", "mm for 1 mm of road", WHEEL),
    "tyre": ("tyre load", "N for 1 mm of road", ROAD),
}
"""Each response's name, what it is counted in, and its colour."""

QUESTIONS = (
    "Least shaking of the body?",
    "Evenest load on the tyre?",
    "Neither hump nor climb\nin the body's curve?",
)
"""What a damping ratio can be asked for; every question has its own answer."""

ENDS = (0.1, 1.0)
"""Damping ratios of a soft and of a hard damper, drawn thin."""

_TITLE = "What a damper can change, and what it cannot"
_KEY = f"Full line: now; dotted: before; thin: ratio {ENDS[0]:g} (dashes) and {ENDS[1]:g}"
_ACROSS = "how often the road goes up and down [Hz]"
_ASKED = "Three questions, three answers; right: now above the least"
_BELOW = "damping ratio: a diamond answers the question beside it"
_INCHES = (8.8, 6.8)
_TICKS = (0.5, 1, 2, 5, 10, 20)
_WHOLE = (1.3, 7.7)  # Hz between which the middle of the point's words is, lest they be cut
_MOST = 1.2  # damping ratio at the right end of the lower axis
_RUNGS = tuple(m * 10.0**p for p in range(-3, 5) for m in (1, 1.5, 2, 3, 4, 6, 8))
_COST = 5.8  # letters' heights that the column of costs takes


@dataclass(frozen=True, eq=False)
class Response:
    """One corner with one damping ratio; curves for 1 mm of road."""

    shown: str  # key of RESPONSES
    ratio: float
    mass: float  # kg of body
    tyre_rate: float  # N/m
    frequency: np.ndarray  # Hz
    curve: np.ndarray  # m/s2, mm or N, for 1 mm of road
    ends: tuple[np.ndarray, np.ndarray]  # curves of a soft and of a hard damper, see ENDS
    point: tuple[float, float] | None  # Hz and size where no damper changes it
    shaking: float  # m/s2 r.m.s. on a rough road
    travel: float  # m r.m.s.
    unevenness: float  # r.m.s. of the tyre's load as a share of what it carries at rest
    answers: tuple[float, ...]  # damping ratios, in the order of QUESTIONS
    costs: tuple[float | None, ...]  # how far above its least each measure now is, a share


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, _ACROSS, " ", inches=_INCHES)
    across, up = (size.font / 72 / side for side in _INCHES)
    made.axes.set_position((5.6 * across, 0.39 + 3.4 * up, 1 - 6.8 * across, 0.61 - 9.0 * up))
    made.axes.set(xscale="log", xlim=(0.4, 25.0))
    made.axes.xaxis.set_major_locator(FixedLocator(_TICKS))
    made.axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _place: f"{value:g}"))
    made.axes.xaxis.set_minor_locator(NullLocator())
    key = {"va": "top", "fontsize": size.font, "color": INK}
    made.figure.text(0.7 * across, 1 - 2.5 * up, _KEY, **key)
    _curves(made)
    _strip(made, across, up)
    return made


def _curves(made: Scene) -> None:
    """Add the curves, the point that stays, and a key under the title."""
    axes, size = made.axes, made.size
    thin = {"color": QUIET, "linewidth": size.line / 2.4}
    for end, dash in (("soft", "--"), ("hard", "-.")):
        made.add(end, axes.plot([], [], linestyle=dash, label=end, **thin)[0])
    made.add("before", axes.plot([], [], label="before", **look.before(INK, size))[0])
    made.add("now", axes.plot([], [], label="now", **look.now(INK, size))[0])
    ring = {"marker": "o", "markersize": 5 * size.line, "markeredgewidth": size.line / 1.5}
    dot = axes.plot([], [], linestyle="none", color=INK, markerfacecolor="none", **ring)[0]
    made.add("point", dot)
    made.add("point line", axes.plot([], [], color=INK, linewidth=size.line / 3)[0])
    look.keep_clear(look.label(made, "point words", va="top", fontweight="bold"))


def _strip(made: Scene, across: float, up: float) -> None:
    """Add the lower axes: three questions, their answers, and where the damper now stands."""
    size = made.size
    left, right = 14.9 * across, (_COST + 1.2) * across
    strip = made.figure.add_axes((left, 3.5 * up, 1 - left - right, 0.37 - 4.6 * up))
    strip.set(
        xlim=(0, _MOST),
        ylim=(-2.6, 0.6),
        yticks=[],
        xticks=np.arange(0, 1.3, 0.2),
        facecolor=look.PAPER,
    )
    _bare(strip, size)
    strip.set_xlabel(_BELOW, fontsize=size.font, color=INK)
    _ask(made, strip)
    _marks(made, strip)


def _ask(made: Scene, strip) -> None:
    """Write the questions beside the lower axes, and what stands where above them."""
    size = made.size
    words = {"fontsize": size.font, "color": INK}
    made.figure.text(0.7 * size.font / 72 / _INCHES[0], 0.35, _ASKED, **words)
    beside = {"transform": strip.get_yaxis_transform(), "ha": "right", "va": "center", **words}
    for i, question in enumerate(QUESTIONS):
        strip.axhline(-i, color=look.FAINT, linewidth=size.line / 2)
        strip.text(-0.02, -i, question, linespacing=0.95, **beside)


def _bare(strip, size: Size) -> None:
    """Leave the lower axes their lower edge only."""
    strip.spines[["top", "right", "left"]].set_visible(False)
    strip.spines["bottom"].set(color=QUIET, linewidth=size.line / 2)
    strip.tick_params(labelsize=size.font, colors=INK, color=QUIET, width=size.line / 2)


def _marks(made: Scene, strip) -> None:
    """Add what moves in the lower axes."""
    size, up = made.size, strip.get_xaxis_transform()
    was = look.before(INK, size)
    made.add("ratio before", strip.plot([], [], transform=up, **was)[0])
    made.add("ratio", strip.plot([], [], transform=up, **look.now(INK, size))[0])
    diamond = {"marker": "D", "linestyle": "none", "markersize": 3.6 * size.line}
    made.add("answers", strip.plot([], [], color=WHEEL, **diamond)[0])
    words = {"fontsize": size.font, "color": INK, "va": "center"}
    for i in range(len(QUESTIONS)):
        made.add(f"answer {i}", strip.text(0, -i, "", fontweight="bold", **words))
        beside = strip.get_yaxis_transform()
        made.add(f"cost {i}", strip.text(1.02, -i, "", transform=beside, **words))
        look.keep_clear(made.moving[f"answer {i}"])


def update(made: Scene, now: Response, before: Response) -> None:
    """Put results into the picture."""
    _draw_curves(made, now, before)
    _place_point(made, now)
    _fill_strip(made, now, before)


def _draw_curves(made: Scene, now: Response, before: Response) -> None:
    """Draw the curves at a scale that holds them, and say which is which."""
    name, unit, colour = RESPONSES[now.shown]
    top = max(1.2 * now.curve.max(), 1.2 * before.curve.max(), 1.7 * (now.point or (0, 0))[1])
    made.axes.set_ylim(0, look.ladder(top, _RUNGS))  # words stand above the curves
    # This stays while sliders move: who shows another response has the whole picture drawn anew.
    made.axes.set_title(f"{name} [{unit}]", loc="left", fontsize=made.size.font, color=INK)
    for end, curve in zip(("soft", "hard"), now.ends, strict=True):
        made.moving[end].set_data(now.frequency, curve)
    for line, result, ink in (("now", now, colour), ("before", before, look.pale(colour))):
        made.moving[line].set_data(result.frequency, result.curve)
        made.moving[line].set_color(ink)


def _place_point(made: Scene, now: Response) -> None:
    """Ring the point that stays, and say so; or say that there is none."""
    high = made.axes.get_ylim()[1]
    across, up = now.point or ([], [])
    ring, line = (([across], [up]), ([across] * 2, [up, high])) if now.point else ([[], []],) * 2
    made.moving["point"].set_data(*ring)
    made.moving["point line"].set_data(*line)
    words = "No point here stays with every damper and spring"
    if now.point:
        words = f"No damper changes this: {across:.1f} Hz"
    place = (np.clip(across, *_WHOLE) if now.point else 0.45, 0.98 * high)
    align = "center" if now.point else "left"
    made.moving["point words"].set(text=words, position=place, ha=align)


def _fill_strip(made: Scene, now: Response, before: Response) -> None:
    """Put answers and costs beside the questions, and lines where the damper stands."""
    made.moving["ratio"].set_data([now.ratio] * 2, [0, 1])
    made.moving["ratio before"].set_data([before.ratio] * 2, [0, 1])
    made.moving["answers"].set_data(now.answers, -np.arange(len(now.answers)))
    for i, (answer, cost) in enumerate(zip(now.answers, now.costs, strict=True)):
        _answer(made, i, answer, (now.ratio, before.ratio))
        told = "" if cost is None else f"+{100 * cost:.0f} %"
        made.moving[f"cost {i}"].set_text(told)


def _answer(made: Scene, i: int, answer: float, lines: tuple[float, float]) -> None:
    """Write an answer on the side of its diamond where no line stands, if there is one."""
    gap = 0.013 * made.size.line
    wide = gap + 0.011 * made.size.font

    def crossed(side: int) -> int:
        return sum(0 < side * (line - answer) < wide for line in lines)

    side = -1 if crossed(-1) < crossed(1) and answer > 0.9 * wide else 1
    place = {"position": (answer + side * gap, -i), "ha": "left" if side > 0 else "right"}
    made.moving[f"answer {i}"].set(text=f"{answer:.2f}", **place)


def sentence(now: Response, before: Response) -> str:
    """Return what was moved, what it changes on a rough road, its price, and what it cannot."""
    moved = _moved(now, before)
    if not moved:
        return f"No change. {_stays(now)} {_asked(now)}"
    told = "; ".join(moved)
    return f"{told[0].upper()}{told[1:]}. {_effect(now, before)} {_stays(now, before)}"


def _moved(now: Response, before: Response) -> list[str]:
    told = []
    if not same(now.ratio, before.ratio):
        told.append(f"damping ratio from {before.ratio:.2f} to {now.ratio:.2f}")
    if not same(now.mass, before.mass):
        told.append(f"body mass from {plain(before.mass, 'kg')} to {plain(now.mass, 'kg')}")
    if not same(now.tyre_rate, before.tyre_rate):
        rates = plain(before.tyre_rate, "N/mm"), plain(now.tyre_rate, "N/mm")
        told.append(f"tyre rate from {rates[0]} to {rates[1]}")
    return told


def _effect(now: Response, before: Response) -> str:
    """Return what the driver, the tyre and the travel get on a rough road, worse last."""
    pairs = [
        (now.unevenness, before.unevenness, "uneven load on the tyre"),
        (now.travel, before.travel, "wheel travel"),
    ]
    rest = [(name, change(a, b)) for a, b, name in pairs]
    shaking = change(now.shaking, before.shaking)
    more = "more" if shaking > 0 else "less"
    worse = [_counted(name, share) for name, share in rest if share > 0.005]
    gains = [_counted(name, share) for name, share in rest if share < -0.005]
    shakes = ["that shaking"] if shaking > 0.005 else []
    return (
        f"On a rough road the body shakes {_size(shaking)} {more} ("
        f"{now.shaking:.2f} m/s²). {felt(shaking)} {_balance(shakes + worse, gains)}"
    )


def _size(share: float) -> str:
    return percent(share) if abs(share) >= 0.005 else "under 1 %"


def _counted(name: str, share: float) -> str:
    return f"{percent(share)} {'more' if share > 0 else 'less'} {name}"


def _balance(worse: list[str], gains: list[str]) -> str:
    """Return the price and the gain, of which either may be nothing."""
    price = f"The price: {' and '.join(worse)}" if worse else "No price shows here"
    return f"{price}; the gain: {' and '.join(gains)}." if gains else f"{price}."


def _stays(now: Response, before: Response | None = None) -> str:
    """Return what the damper cannot change."""
    name, unit, _ = RESPONSES[now.shown]
    if now.point is None:
        return f"The {name} has no point that stays with every damper and spring."
    place, size = now.point
    moved = before and before.point and not same(place, before.point[0])
    old = f" (before: {before.point[0]:.1f} Hz; masses and tyre moved it)" if moved else ""
    return (
        f"At {place:.1f} Hz{old} every damper and every spring give the same {name}: "
        f"{size:.2f} {unit}."
    )


def _asked(now: Response) -> str:
    """Return the three answers."""
    least, even, level = now.answers
    return (
        f"Least shaking asks for a ratio of {least:.2f}, the evenest tyre for {even:.2f}, a curve "
        f"without hump or climb for {level:.2f}: no ratio is best for all."
    )


def alternative(now: Response, before: Response) -> str:
    """Return the picture in words."""
    name, unit, _ = RESPONSES[now.shown]
    peak = now.frequency[now.curve.argmax()]
    ghost = "" if not _moved(now, before) else f" Pale and dotted: ratio {before.ratio:.2f}."
    return (
        f"{name.capitalize()}, {unit}, against the road's frequency, for damping ratio "
        f"{now.ratio:.2f}; greatest at {peak:.1f} Hz. {_stays(now)}{ghost} Below, on a line of "
        f"damping ratios: {_asked(now)}"
    )
