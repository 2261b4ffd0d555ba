"""Lean, dive and rest: how far past, how long, how quickly, and who did the work."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BODY, INK, Scene, Size
from dampinglab.figures.words import change, felt, same, turned

__all__ = ["Leaning", "alternative", "scene", "sentence", "update"]

_TITLE = "Clicks change how it comes to rest, never where"
_INCHES = (6.6, 4.8)  # it stands beside the drawing, so that its letters are not too small there
_ROOM_INCHES = (7.4, 5.2)
_ACROSS = "time from the start of the event [s]"
_DEGREES = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15)
_MILLIMETRES = (20, 30, 40, 60, 80, 120, 200)
_UP = {
    "roll": "lean to the right [°]",
    "pitch": "dive, nose down [°]",
    "heave": "body above the road [mm]",
}
_ENDS = "full: front end, dashes: rear end"
_STEADY = {"roll": "steady lean", "pitch": "steady dive", "heave": "ride height"}


@dataclass(frozen=True)
class Leaning:
    """One event with one setting: lines, scores, the dampers' work, and what a fine road costs."""

    said: str  # "Steered to 0.4 g in 0.2 s"
    way: str  # roll, pitch or heave
    setting: tuple[tuple[str, int], ...]  # "front rebound", clicks out from closed
    time: np.ndarray  # s from where the event begins
    lines: tuple[np.ndarray, ...]  # rad, or m above the road: the front end, the rear end
    steady: float  # rad
    overshoot: float  # share of the steady lean, or of the waves' height
    settling: float  # s
    rate: float  # rad/s
    work: np.ndarray  # J, front and rear, bump and rebound
    ride: tuple[tuple[str, float], ...]  # axle, Wk r.m.s. on a fine road, m/s2
    ends: np.ndarray  # m: body at the two ends that are drawn, left or rear first
    wheels: np.ndarray  # m: wheels there
    road: np.ndarray  # m: road there
    span: float  # m between the ends


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    inches = _INCHES if size == look.DESK else _ROOM_INCHES
    made = look.paper(size, _TITLE, _ACROSS, _UP["roll"], inches=inches)
    axes = made.axes
    across = axes.get_yaxis_transform()
    made.add("steady line", axes.plot([0, 1], [0, 0], transform=across, **look.edge(size))[0])
    for end, dash in (("rear", (0, (5, 2))), ("front", "-")):
        was = {**look.before(BODY, size), "linewidth": size.line * (0.7 if end == "rear" else 1)}
        made.add(f"{end} before", axes.plot([], [], **was)[0])
        now = {**look.now(BODY, size), "linestyle": dash}
        made.add(end, axes.plot([], [], **now)[0])
    dot = {"marker": "o", "markersize": 3.2 * size.line, "linestyle": "none", "color": INK}
    made.add("settled", axes.plot([], [], fillstyle="none", **dot)[0])
    _letters(made)
    return made


def _letters(made: Scene) -> None:
    """Add the name of the steady line, which line is which end, and the readings."""
    across, low = made.axes.get_yaxis_transform(), made.axes.transAxes
    look.label(made, "steady", ha="left", va="bottom", transform=across)
    look.label(made, "ends", ha="left", va="bottom", transform=low).set_position((0.01, 0.01))
    corner = {"transform": made.axes.transAxes, "ha": "right", "linespacing": 1.4}
    look.keep_clear(look.label(made, "readings", **corner))


def update(made: Scene, now: Leaning, before: Leaning) -> None:
    """Put results into the picture."""
    _limits(made, now, before)
    made.axes.set_ylabel(_UP[now.way])
    _place_steady(made, now)
    for i, end in enumerate(("front", "rear")):
        there = i < len(now.lines)
        for seen, key in ((now, end), (before, f"{end} before")):
            line = _shown(seen.lines[i], now.way) if there else []
            made.moving[key].set_data(seen.time if there else [], line)
    made.moving["ends"].set_text(_ENDS if len(now.lines) == 2 else "")
    at = _settled_at(now)
    place = min(int(np.searchsorted(now.time, at)), len(now.time) - 1)
    heights = [_shown(line[place], now.way) for line in now.lines]
    made.moving["settled"].set_data([at] * len(heights), heights)
    made.moving["readings"].set_text("\n".join(_readings(now, before)))


def _place_steady(made: Scene, now: Leaning) -> None:
    """Draw where it comes to rest, with its name before the waves, or below where it is at rest."""
    level, heave = _shown(now.steady, now.way), now.way == "heave"
    made.moving["steady line"].set_ydata([level, level])
    name = _STEADY[now.way] if heave else f"steady {level:.1f}°"
    below = 0 if heave else 0.035 * made.axes.get_ylim()[1]
    made.moving["steady"].set(text=name, position=(0.01 if heave else 0.99, level - below))
    made.moving["steady"].set(ha="left" if heave else "right", va="bottom" if heave else "top")
    made.moving["readings"].set(position=(0.99, 0.97 if heave else 0.03))
    made.moving["readings"].set_va("top" if heave else "bottom")


def _shown(value, way: str):
    """Return an angle in degrees, or a height in mm."""
    return (1e3 if way == "heave" else 180 / np.pi) * value


def _settled_at(now: Leaning) -> float:
    """Return when it was settled, counted as the picture counts time."""
    return now.settling + (0.0 if now.way != "heave" else _level_from(now))


def _level_from(now: Leaning) -> float:
    """Return from when on the road is level under every wheel."""
    moving = np.abs(np.diff(now.road, axis=0)).max(axis=1) > 1e-9
    return float(now.time[len(moving) - np.argmax(moving[::-1])]) if moving.any() else 0.0


def _limits(made: Scene, now: Leaning, before: Leaning) -> None:
    """Give the axes whole rungs that hold now and before."""
    most = max(np.abs(line).max() for seen in (now, before) for line in seen.lines)
    heave = now.way == "heave"  # there the readings stand above the waves, the key below
    rungs = _MILLIMETRES if heave else _DEGREES
    top = look.ladder((2.2 if heave else 1.08) * _shown(most, now.way), rungs)
    low = (-0.65 if heave else -0.05) * top
    made.axes.set(xlim=(max(now.time[0], -0.5), now.time[-1]), ylim=(low, top))


def _readings(now: Leaning, before: Leaning) -> list[str]:
    """Return overshoot, settling and rate, each with what it was."""
    rows = (
        ("past it", "{:.0f} %", 100 * now.overshoot, 100 * before.overshoot),
        ("settled after", "{:.2f} s", now.settling, before.settling),
        ("fastest", "{:.0f} °/s", np.degrees(now.rate), np.degrees(before.rate)),
    )
    return [
        f"{name} {form.format(a)}"
        + (f", before {form.format(b)}" if form.format(a) != form.format(b) else "")
        for name, form, a, b in rows
    ]


def sentence(now: Leaning, before: Leaning) -> str:
    """Return what changed in the movement, if it is felt, what stayed, and the price."""
    moved = turned(now.setting, before.setting)
    if not moved:
        return f"No change. {_state(now)} {_shares(now)}"
    return (
        f"{moved}. {_state(now, before)} {_felt(now, before)} {_stays(now)} {_price(now, before)}"
    )


_WORDS = {
    "roll": ("the body leans", "its steady lean", "rolls"),
    "pitch": ("the nose dives", "its steady dive", "pitches"),
    "heave": ("the body swings", "level", "pitches"),
}


def _state(now: Leaning, before: Leaning | None = None) -> str:
    """Return overshoot, settling and rate in one sentence."""

    def told(form: str, name: str, factor: float = 1.0) -> str:
        new = form.format(factor * getattr(now, name))
        old = form.format(factor * getattr(before or now, name))
        return new if new == old else f"{new} (before: {old})"

    does, rest, turns = _WORDS[now.way]
    past = told("{:.0f} %", "overshoot", 100)
    if now.way == "heave":
        past, rest = f"{past} of their height", "level after the last"
    else:
        rest = f"{rest} of {np.degrees(now.steady):.1f}°"
    return (
        f"{now.said}, {does} {past} past {rest}, is settled after {told('{:.2f} s', 'settling')}, "
        f"and {turns} at up to {told('{:.0f} °/s', 'rate', 180 / np.pi)}."
    )


def _shares(now: Leaning) -> str:
    """Return how axles and directions share the work."""
    whole = now.work.sum()
    front, bump = now.work[0].sum() / whole, now.work[:, 0].sum() / whole
    return (
        f"The front dampers take {100 * front:.0f} % of the work and the rear ones "
        f"{100 * (1 - front):.0f} %; {100 * bump:.0f} % is taken in bump and "
        f"{100 * (1 - bump):.0f} % in rebound."
    )


def _felt(now: Leaning, before: Leaning) -> str:
    """Return whether the change of overshoot or of rate would be felt."""
    past, rate = now.overshoot - before.overshoot, change(now.rate, before.rate)
    return felt(max(past, rate, key=abs))


def _stays(now: Leaning) -> str:
    """Return what no click changes."""
    if now.way == "heave":
        return "It comes to rest at the same height: no click changes that."
    kind = _STEADY[now.way]
    return f"The {kind} stays {np.degrees(now.steady):.1f}°: no click changes it."


def _price(now: Leaning, before: Leaning) -> str:
    """Return what a fine road says to it."""
    old = dict(before.ride)
    moved = {axle: change(ride, old[axle]) for axle, ride in now.ride}
    moved = {axle: c for axle, c in moved.items() if not same(1 + c, 1, 0.005)}
    if not moved:
        return "On a fine road it shakes as before: no price there."
    told = " and ".join(
        f"the {axle} {100 * abs(c):.0f} % {'more' if c > 0 else 'less'}"
        for axle, c in moved.items()
    )
    steadier = now.overshoot < before.overshoot
    if max(moved.values()) > 0:
        return f"The price: a fine road shakes {told} (ISO 2631)."
    lead = "It also pays twice" if steadier else "The price is that movement; the gain"
    return f"{lead}: a fine road shakes {told} (ISO 2631)."


def alternative(now: Leaning, before: Leaning) -> str:
    """Return the picture in words."""
    kind, ends = _STEADY[now.way], " of the front and of the rear end" * (len(now.lines) == 2)
    rest = f" of {np.degrees(now.steady):.1f}°" if now.way != "heave" else ""
    ghost = "" if now.setting == before.setting else " Pale and dotted: what was before."
    quantity, readings = _UP[now.way].split(" [")[0].capitalize(), _readings(now, before)
    return (
        f"{quantity} against time{ends}, with the {kind}{rest} as a line. {now.said}: "
        f"{'; '.join(readings)}.{ghost}"
    )
