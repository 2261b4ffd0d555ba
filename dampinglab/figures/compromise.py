"""The compromise in one picture: what every setting does to comfort and to what it is paid with."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from matplotlib.transforms import Bbox

from dampinglab.figures import look
from dampinglab.figures.corner import SCORES
from dampinglab.figures.look import INK, QUIET, ROAD, WHEEL, Scene, Size
from dampinglab.workshop.compromise import GOALS, Choice, Goal
from dampinglab.workshop.watched import FELT

__all__ = [
    "Compromise",
    "alternative",
    "prices",
    "scene",
    "sentence",
    "spelled",
    "update",
    "weights",
]

_TITLE = "No setting is best in everything"
_ACROSS = "weighted"
_NAMED = {score.key: score for score in SCORES}
_CHOSEN, _BEFORE, _FIRST = "chosen", "before", "as found"
# Name, shape, colour, size, filled, and on which side its label stands.
_MARKS = (
    (_BEFORE, "o", look.pale(WHEEL), 2.0, False, (-1, -1)),
    ("middle of force", "D", INK, 1.0, False, (1, 1)),
    ("maker's", "^", INK, 1.3, True, (-1, -1)),
    (_FIRST, "s", INK, 1.1, True, (1, 1)),
    (_CHOSEN, "o", WHEEL, 1.5, True, (-1, -1)),
)
_SAID = {"maker's": "the maker's setting", "middle of force": "the middle of force"}
_FRONT = "line: the front, where every gain is paid for"
_ALIKE = "crosses: equal to the chosen one, for all that chance lets us tell"
_GAP = 0.018  # of the axes, between a mark and its label
_STRIP = 0.26  # of what was tried: room for these words above the points


@dataclass(frozen=True, eq=False)
class Compromise:
    """What was tried for one axle, load, mix of roads and priority, and what was chosen."""

    asked: tuple[tuple[str, str], ...]  # "axle", "rear"; "load", "touring"; and so on
    up: str  # the score that comfort is shown against
    across: np.ndarray  # of every setting tried: shaking, m/s2, mean over the mix
    upright: np.ndarray  # the other score, SI, mean over the mix
    front: np.ndarray  # places of the settings on the front, by shaking
    named: Mapping[str, int]  # chosen, starts and before: places of their settings
    equals: tuple[int, ...]  # places of the settings that are equal to the chosen one
    adjusters: tuple[tuple[str, int], ...]  # name, clicks in all
    start: str  # the start that the choice is compared with
    changes: Mapping[str, tuple[float, float]]  # score: of that start, of the choice
    weights: Mapping[str, float]
    choice: Choice
    whole: int  # settings that there are


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture: a point for each setting, a line for the front, marks by name."""
    comfort = _NAMED[_ACROSS]
    made = look.paper(size, _TITLE, f"{comfort.name} [{comfort.unit}]", "", inches=(8.8, 5.2))
    _add_points(made)
    for name, shape, colour, scale, filled, _ in _MARKS:
        _add_mark(made, name, shape, colour, scale, filled)
    words = look.label(made, "key", QUIET, ha="left", va="top", transform=made.axes.transAxes)
    words.set(position=(0.015, 0.99), linespacing=1.3)
    return made


def _add_points(made: Scene) -> None:
    """Add every setting as a dot, the front as a line, and what is equal as crosses."""
    size, plot = made.size.line, made.axes.plot
    dots = {"linestyle": "none", "marker": ".", "markersize": 1.5 * size}
    made.add("every", plot([], [], color=look.pale(ROAD, 0.7), **dots)[0])
    made.add("front", plot([], [], color=INK, linewidth=0.7 * size)[0])
    cross = {"linestyle": "none", "marker": "x", "markersize": 2.6 * size, "color": WHEEL}
    made.add("equals", plot([], [], markeredgewidth=0.6 * size, **cross)[0])


def _add_mark(made: Scene, name, shape, colour, scale, filled) -> None:
    """Add a mark and its label; the shape tells as much as the label."""
    line = made.size.line
    style = {"marker": shape, "markersize": 3.6 * scale * line, "color": colour}
    style |= {"markerfacecolor": colour if filled else look.PAPER, "markeredgewidth": 0.8 * line}
    made.add(name, made.axes.plot([], [], linestyle="none", **style)[0])
    look.keep_clear(look.label(made, f"{name} label", INK))


def update(made: Scene, now: Compromise, before: Compromise) -> None:
    """Put what was tried into the picture."""
    x, y = now.across, _NAMED[now.up].factor * now.upright
    _scale(made, now, x, y)
    made.moving["every"].set_data(x, y)
    made.moving["front"].set_data(x[now.front], y[now.front])
    equal = list(now.equals)
    made.moving["equals"].set_data(x[equal], y[equal])
    made.moving["key"].set_text(f"{_FRONT}\n{_ALIKE}" if equal else _FRONT)
    _put_marks(made, now, x, y)


def _put_marks(made: Scene, now: Compromise, x: np.ndarray, y: np.ndarray) -> None:
    labels, taken = _labels(now), []
    for name, *_, side in _MARKS:
        at = [(x[i], y[i]) for i in (now.named.get(name),) if name in labels]
        made.moving[name].set_data(*zip(*at, strict=True) if at else ([], []))
        _put_label(made, name, labels.get(name, ""), side, at[0] if at else (0, 0), taken)


def _labels(now: Compromise) -> dict[str, str]:
    """Return the label of each mark; marks that fall on one setting share the last one's."""
    shared: dict[int, list[str]] = {}
    for name, *_ in _MARKS:
        if name in now.named and (name != _BEFORE or now.named[name] != now.named[_CHOSEN]):
            shared.setdefault(now.named[name], []).append(name)
    return {names[-1]: " = ".join(reversed(names)) for names in shared.values()}


def _put_label(made: Scene, name: str, words: str, side: tuple[int, int], place, taken) -> None:
    """Write a label beside its mark, on its own side, inwards at an edge, clear of the others."""
    text, axes = made.moving[f"{name} label"], made.axes
    spans = (axes.get_xlim(), axes.get_ylim())
    parts = [(at - low) / (high - low) for at, (low, high) in zip(place, spans, strict=True)]
    size = (len(words) * made.size.font / 850, made.size.font / 280)  # of the axes, as the words
    each = zip(parts, side, (0.03 + size[0], 0.14), strict=True)
    inward = [(1 if part < edge else -1 if part > 1 - edge else s) for part, s, edge in each]
    if words and any(map(_box(parts, inward, size).overlaps, taken)):
        inward[1] = -inward[1]
    taken += [_box(parts, inward, size)] * bool(words)
    gap = [_GAP * s * (high - low) for s, (low, high) in zip(inward, spans, strict=True)]
    text.set_text(words)
    text.set_position([at + by for at, by in zip(place, gap, strict=True)])
    text.set(ha="left" if inward[0] > 0 else "right", va="bottom" if inward[1] > 0 else "top")


def _box(parts, inward, size) -> Bbox:
    """Return where the words of a label stand, in shares of the axes."""
    ends = [
        sorted((part + _GAP * s, part + (_GAP + wide) * s))
        for part, s, wide in zip(parts, inward, size, strict=True)
    ]
    return Bbox(np.transpose(ends))


def _scale(made: Scene, now: Compromise, x: np.ndarray, y: np.ndarray) -> None:
    """Fit the axes to what was tried, with room below for the key."""
    up = _NAMED[now.up]
    for put, values, above in ((made.axes.set_xlim, x, 0.06), (made.axes.set_ylim, y, _STRIP)):
        low, high = float(values.min()), float(values.max())
        wide = max(high - low, 0.02 * abs(high), 1e-6)
        put(low - 0.08 * wide, high + above * wide)
    made.axes.set_ylabel(f"{up.name} [{up.unit}]", fontsize=made.size.font, color=INK)


def spelled(now: Compromise, setting) -> str:
    """Return a setting in words: low-speed bump 12 (6), rebound 14 (10)."""
    pairs = zip(now.adjusters, setting, strict=True)
    return ", ".join(f"{name} {clicks} ({most - clicks})" for (name, most), clicks in pairs)


def sentence(now: Compromise, before: Compromise) -> str:
    """Return the chosen setting, what it gains and costs against the start, and its equals."""
    clicks = spelled(now, now.choice.setting)
    told = f"{_asked_anew(now, before)}: {clicks}, in clicks out from closed (from soft)."
    return f"{told} {_gain_and_price(now)} {_equals(now)}"


def _asked_anew(now: Compromise, before: Compromise) -> str:
    """Return what is asked for now that was not before, or the priority."""
    old = dict(before.asked)
    turned = [f"{what} from {old[what]} to {said}" for what, said in now.asked if old[what] != said]
    if not turned:
        priority = dict(now.asked)["priority"]
        return f"No change in what is asked. {priority[0].upper()}{priority[1:]}"
    words = " and ".join(turned)
    same = now.choice.setting == before.choice.setting
    return f"{words[0].upper()}{words[1:]}, and the choice {'stays' if same else 'moves'}"


def _gain_and_price(now: Compromise) -> str:
    """Return the two best gains and the worst loss against the start, and if they are felt."""
    moved = {goal.key: _share(goal, *now.changes[goal.key]) for goal in GOALS}
    count = {key: share * now.weights.get(key, 0.0) for key, share in moved.items()}
    gains = sorted((key for key in count if count[key] < 0), key=count.get)[:2]
    loss = max(moved, key=lambda key: (count[key], moved[key]))
    if not any(moved.values()):
        return f"Against {_said(now.start)} no score moves by as much as can be written."
    told = " and ".join(_moved(now, key, moved[key]) for key in gains) or "nothing is gained"
    if moved[loss] <= 0:
        return f"Against {_said(now.start)}, {told}. No score of this mix pays for it."
    return f"Against {_said(now.start)}, {told}. The price: {_moved(now, loss, moved[loss])}."


def _share(goal: Goal, old: float, new: float) -> float:
    """Return the change as the costs take it; zero where both are written alike."""
    score = _NAMED[goal.key]
    alike = score.number(old) == score.number(new)
    return 0.0 if alike else (new - old) / max(old, goal.floor)


def _moved(now: Compromise, key: str, share: float) -> str:
    score, (old, new) = _NAMED[key], now.changes[key]
    way = "rises" if share > 0 else "falls"
    feel = "felt" if abs(share) >= FELT else "hardly felt"
    return f"{score.name} {way} from {score.number(old)} to {score.text(new)} ({feel})"


def _equals(now: Compromise) -> str:
    """Return which settings cannot be told from the chosen one."""
    found = now.choice.equals
    if not found:
        return "No other setting has been shown to be its equal."
    many = f"{len(found)} other settings" if len(found) > 1 else "One other setting"
    nearest = f"nearest to {_said(now.start)}: {spelled(now, found[0])}"
    return f"{many} cannot be told from it, {nearest}."


def prices(now: Compromise) -> tuple[str, ...]:
    """Return what each start costs, and each step from there; regret; noise; how much was tried."""
    told = [_start(now, name, loss) for name, loss in now.choice.losses.items()]
    told.append(
        f"Worst regret: {now.choice.worst}, where the best setting for that road alone would "
        f"be {_percent(now.choice.regret)} better."
    )
    if now.choice.noise:
        told.append(
            "Equal means that two settings differ by 0.3 % at most, or that another stretch of the "
            "same roads could turn their order round (four were driven; from one to the next a "
            f"difference moves by {100 * now.choice.noise:.2g} %)."
        )
    told.append(f"Tried: {len(now.across):,} of {now.whole:,} settings.")
    return tuple(told)


def _start(now: Compromise, name: str, loss: float) -> str:
    """Return what a start costs and what is left after each adjuster has been turned."""
    way = now.choice.ways[name]
    steps = [
        f"{move.adjuster} from {move.old} to {move.new} leaves {_percent(move.cost)}"
        for move in way[:-1]
    ]
    steps += [f"{move.adjuster} from {move.old} to {move.new} leaves nothing" for move in way[-1:]]
    path = f": {', then '.join(steps)}" if steps else ""
    return f"Starting {_at(name)} costs {_percent(loss)}{path}."


def _said(start: str) -> str:
    return _SAID.get(start, start)


def _at(start: str) -> str:
    return f"at {_SAID[start]}" if start in _SAID else start


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def weights(now: Compromise) -> str:
    """Return the weights behind a priority, largest first."""
    told = [
        f"{goal.word}, by {_NAMED[goal.key].name}, {100 * share:.0f} %"
        for goal in GOALS
        if (share := now.weights.get(goal.key, 0.0)) > 0
    ]
    return (
        f"What counts: {'; '.join(told)}. Each score is taken as a share of what it is at the "
        "middle of force; other weights choose otherwise."
    )


def alternative(now: Compromise, before: Compromise) -> str:
    """Return the picture in words."""
    up, comfort = _NAMED[now.up], _NAMED[_ACROSS]
    marks = [
        f"{name} at {comfort.number(now.across[i])} {comfort.unit} and {up.text(now.upright[i])}"
        for name, i in now.named.items()
    ]
    return (
        f"A point for each of {len(now.across):,} settings: {comfort.name} from "
        f"{comfort.number(now.across.min())} to {comfort.text(now.across.max())} across, {up.name} "
        f"from {up.number(now.upright.min())} to {up.text(now.upright.max())} upwards. A line, the "
        f"front, joins the {len(now.front)} settings that none beats in both. "
        f"Marked: {'; '.join(marks)}."
    )
