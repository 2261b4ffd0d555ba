"""The damper as a curve: force against speed, read at one speed and over one stroke."""

from dataclasses import dataclass, field

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, INK, PAPER, QUIET, REBOUND, Scene, Size
from dampinglab.figures.words import at_clicks, change, felt, plain, price, same, turned
from dampinglab.units import show

__all__ = ["LIMITS", "SIDES", "Explored", "alternative", "scene", "sentence", "update"]

_TITLE = "Twice the speed, not twice the force"
LIMITS = ("bump knee", "rebound knee", "table ends")
SIDES = (("bump", BUMP), ("rebound", REBOUND))
_STEPS = (600, 1000, 1500, 2000, 3000, 4000, 5000, 6500, 8000, 10000, 13000)  # N
_SLIGHT = 0.01  # share of change that is not worth a word


@dataclass(frozen=True, eq=False)
class Explored:
    """One setting, read at one speed and over one sine stroke; pairs are bump and rebound."""

    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    shaft_speed: float  # m/s, above zero
    stroke: tuple[float, float]  # m either way and Hz, of the shaft
    place: str  # "shaft" or "wheel": what follows is read there
    speed: float  # m/s
    force: tuple[float, float]  # N, resisting, both above zero
    coefficient: tuple[float, float]  # N s/m, force over speed
    ratio: tuple[float, float]  # damping ratio of the corner
    peak: float  # m/s, fastest of the stroke
    equivalent: float  # N s/m, loses as much energy over the stroke
    energy: tuple[float, float]  # J a stroke
    heat: float  # W
    reach: float  # m/s, how far the axis goes either way
    curve_speed: np.ndarray  # m/s, from rebound (negative) to bump
    curve_force: np.ndarray  # N
    beyond: float = 0.0  # share of the stroke's energy beyond the table
    limits: dict[str, float] = field(default_factory=dict)  # m/s, by name


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, "shaft speed [m/s]", "force [N]", inches=(6.8, 5.0))
    for draw_zero in (made.axes.axhline, made.axes.axvline):
        draw_zero(0, color=QUIET, linewidth=size.line / 3, zorder=2.6)
    for name in LIMITS:
        look.limit(made, name)
    _lines(made)
    big = {"transform": made.axes.transAxes, "linespacing": 1.3}
    look.label(made, "bump words", BUMP, **big, ha="left", va="top").set_position((0.02, 0.99))
    look.label(made, "rebound words", INK, **big, ha="right", va="bottom").set_position(
        (0.99, 0.02)
    )
    look.label(made, "equal words", INK, **big, ha="right", va="top").set_position((0.99, 0.99))
    look.keep_clear(*(made.moving[f"{side} words"] for side in ("bump", "rebound", "equal")))
    return made


def _lines(made: Scene) -> None:
    """Add curves, points with their secants, and the stroke's viscous equal."""
    plot, size = made.axes.plot, made.size
    for time, style in (("before", look.before), ("now", look.now)):
        for side, colour in SIDES:
            made.add(f"{side} {time}", plot([], [], **style(colour, size))[0])
    thin = {"color": INK, "linewidth": size.line / 2.4}
    made.add("equivalent", plot([], [], **thin, marker="|", markersize=5 * size.line)[0])
    for side, colour in SIDES:
        made.add(f"{side} secant", plot([], [], color=colour, linewidth=size.line / 2.4)[0])
        dot = {"marker": "o", "markersize": 4.2 * size.line, "markeredgecolor": PAPER}
        made.add(f"{side} point", plot([], [], color=colour, **dot, linestyle="none")[0])


def update(made: Scene, now: Explored, before: Explored) -> None:
    """Put results into the picture."""
    _fit(made, now, before)
    for time, seen in (("before", before), ("now", now)):
        for side, part in (("bump", seen.curve_speed >= 0), ("rebound", seen.curve_speed <= 0)):
            made.moving[f"{side} {time}"].set_data(seen.curve_speed[part], seen.curve_force[part])
    for i, sign in enumerate((1, -1)):
        side, x, y = SIDES[i][0], sign * now.speed, sign * now.force[i]
        made.moving[f"{side} secant"].set_data([0, x], [0, y])
        made.moving[f"{side} point"].set_data([x], [y])
        made.moving[f"{side} words"].set_text(_reading(now, i))
    ends = np.array([-now.peak, now.peak])
    made.moving["equivalent"].set_data(ends, now.equivalent * ends)
    made.moving["equal words"].set_text(f"same energy:\n{_round(now.equivalent)}")
    _place(made, now)


def _fit(made: Scene, now: Explored, before: Explored) -> None:
    """Choose the axes: steps that change seldom."""
    edge = 1.02 * now.reach
    most = max(
        np.abs(seen.curve_force[np.abs(seen.curve_speed) < edge]).max() for seen in (now, before)
    )
    top = look.ladder(1.4 * most, _STEPS)
    made.axes.set(xlim=(-edge, edge), ylim=(-top, top), xlabel=f"{now.place} speed [m/s]")


def _place(made: Scene, now: Explored) -> None:
    """Put the limits that there are where they stand, their names beside the level of no force."""
    edge = made.axes.get_xlim()[1]
    for name in LIMITS:
        at = now.limits.get(name, np.inf)
        for part in (name, f"{name} line"):
            made.moving[part].set_visible(abs(at) < edge)
        if abs(at) < edge:
            look.place_limit(made, name, at)
            made.moving[name].set(**_beside(at, edge))


def _beside(at: float, edge: float) -> dict:
    """Return where a limit's name stands: away from rest, unless the picture ends there."""
    outward = 1 if at > 0 else -1
    side = outward if abs(at) < 0.6 * edge else -outward
    above = {"va": "top"} if at > 0 else {"va": "bottom"}
    place = (at + 0.012 * edge * side, 0.5 - 0.01 * outward)
    return above | {"position": place, "ha": "left" if side > 0 else "right"}


def _reading(seen: Explored, i: int) -> str:
    return f"{SIDES[i][0]} {plain(seen.force[i], 'N')}\n{_round(seen.coefficient[i])}"


def _round(coefficient: float) -> str:
    return show(coefficient, "N·s/m")


def sentence(now: Explored, before: Explored) -> str:
    """Return what the change did at this speed and over this stroke, if it is felt, its price."""
    clicks = turned(now.setting, before.setting)
    drive = " and ".join(_drive(now, before))
    what = " and ".join(filter(None, (clicks, drive)))
    if not what:
        return f"No change: {_state(now)}{_beyond(now)}"
    what = what[0].upper() + what[1:]
    told = [words for words in _told(now, before) if words]
    if not told:
        return f"{what}: nothing changes at {_at(now)} nor over the stroke.{_beyond(now)}"
    end = _both(drive) if clicks and drive else _verdict(now, before) if clicks else _FREE
    return f"{what}: {', '.join(told)}. {end}{_beyond(now)}"


_FREE = "No click was turned, so there is no price."


def _both(drive: str) -> str:
    moved = drive.split(" from")[0]
    return f"Clicks and {moved} both moved, so neither can be judged: move one at a time."


def _state(seen: Explored) -> str:
    """Return what the damper does as it stands."""
    sides = " and ".join(
        f"{_round(seen.coefficient[i])} in {SIDES[i][0]} (damping ratio {seen.ratio[i]:.2f})"
        for i in (0, 1)
    )
    whole = sum(seen.energy)
    return (
        f"at {_at(seen)} the damper, read at the {seen.place}, has {sides}; one stroke makes "
        f"{show(whole, 'J')}, {100 * seen.energy[0] / whole:.0f} % of it in bump: "
        f"{seen.heat:.0f} W of heat."
    )


def _at(seen: Explored) -> str:
    wheel = f" ({seen.speed:.2f} m/s of the wheel)" if seen.place == "wheel" else ""
    return f"{seen.shaft_speed:.2f} m/s of the shaft{wheel}"


def _drive(now: Explored, before: Explored) -> list[str]:
    """Return how the shaft is driven otherwise than before."""
    moves = []
    if now.shaft_speed != before.shaft_speed:
        moves.append(f"shaft speed from {before.shaft_speed:.2f} to {now.shaft_speed:.2f} m/s")
    if now.stroke != before.stroke:
        old, new = (f"{1e3 * s.stroke[0]:.0f} mm at {s.stroke[1]:g} Hz" for s in (before, now))
        moves.append(f"stroke from {old} to {new}")
    return moves


def _coefficients(now: Explored, before: Explored) -> list[tuple[str, float, float]]:
    """Return what is compared: name, now and before."""
    names = ("the bump coefficient", "the rebound coefficient", "the stroke's equivalent")
    new, old = ((*seen.coefficient, seen.equivalent) for seen in (now, before))
    return list(zip(names, new, old, strict=True))


def _told(now: Explored, before: Explored) -> list[str]:
    """Return how each coefficient moved; empty words for one that did not."""
    told = [_moved(*pair) for pair in _coefficients(now, before)]
    if not same(now.heat, before.heat, _SLIGHT):
        told.append(f"heat goes from {before.heat:.0f} to {now.heat:.0f} W")
    return told


def _moved(name: str, new: float, old: float) -> str:
    if same(new, old, _SLIGHT):
        return ""
    way = "rises" if new > old else "falls"
    return f"{name} {way} by {100 * abs(change(new, old)):.0f} % to {_round(new)}"


def _verdict(now: Explored, before: Explored) -> str:
    """Return whether the largest change would be felt, and what it costs."""
    pairs = [
        (side, new, old)
        for kind in ("coefficient", "energy")
        for (side, _), new, old in zip(
            SIDES, getattr(now, kind), getattr(before, kind), strict=True
        )
    ]
    side, new, old = max(pairs, key=lambda pair: abs(change(*pair[1:])))
    most = max((change(*pair[1:]) for pair in _coefficients(now, before)), key=abs)
    return f"{felt(most)} {price(side, new > old)}"


def _beyond(seen: Explored) -> str:
    if seen.beyond < 0.001:
        return ""
    return (
        f" Of the stroke's energy {100 * seen.beyond:.0f} % lies beyond the measured table, where "
        "the last slope is taken to go on."
    )


def alternative(now: Explored, before: Explored) -> str:
    """Return the picture in words."""
    limits = "".join(f" {name}: {abs(v):.2f} m/s." for name, v in now.limits.items())
    ghost = "" if now.setting == before.setting else " Pale and dotted: the curve before."
    return (
        f"Force against {now.place} speed of a damper{at_clicks(now.setting)}, bump solid to "
        "the upper right, rebound dashed to the lower left. "
        f"At {now.speed:.2f} m/s bump reads {plain(now.force[0], 'N')} and rebound "
        f"{plain(now.force[1], 'N')}. A straight line up to {now.peak:.2f} m/s either way loses as "
        f"much energy over the stroke: {_round(now.equivalent)}.{limits}{ghost}"
    )
