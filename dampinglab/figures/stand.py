"""One press and one return on the stand, as two points on the damper's curve."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, INK, QUIET, REBOUND, Scene, Size
from dampinglab.figures.words import (
    at_clicks,
    both_forces,
    change,
    felt,
    percent,
    plain,
    price,
    same,
    turned,
)
from dampinglab.units import show

__all__ = ["Press", "alternative", "scene", "sentence", "update"]

_TITLE = "Each press is one point on the damper's curve"
_SCATTER = 0.04  # two runs of one setting on a stand may differ so much (assumed)
_NEAR = f"within {100 * _SCATTER:.0f} % of what"
_CLEAR = 0.11  # of the half height: the names stay clear of a point at the end of a curve
_OTHER = {"press": "return", "return": "press"}


@dataclass(frozen=True, eq=False)
class Press:
    """What the stand read at one setting: in at one shaft speed and out again at the same."""

    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    speed: float  # m/s, above zero
    press: float  # N, resisting bump, above zero
    back: float  # N, resisting rebound, above zero
    curve_speed: np.ndarray  # m/s, from rebound (negative) to bump
    curve_force: np.ndarray  # N, positive when it resists bump
    reach: float  # N, the largest force of any setting at these speeds


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, "shaft speed [m/s]", "force [N]", inches=(6.6, 4.3))
    for draw_zero in (made.axes.axhline, made.axes.axvline):
        draw_zero(0, color=QUIET, linewidth=size.line / 3, zorder=2.6)
    _lines(made)
    _readings(made)
    return made


def _readings(made: Scene) -> None:
    """Add the two forces in the empty quarters, and the names of the curves at their ends."""
    big = {"fontweight": "bold", "transform": made.axes.transAxes, "linespacing": 1.35}
    look.label(made, "press words", **big, ha="left", va="top")
    look.label(made, "back words", **big, ha="right", va="bottom")
    look.label(made, "bump name", BUMP, ha="right", va="bottom")
    look.label(made, "rebound name", INK, ha="left", va="top")
    made.moving["press words"].set_position((0.03, 0.97))
    made.moving["back words"].set_position((0.98, 0.04))
    look.keep_clear(made.moving["press words"], made.moving["back words"])


def _lines(made: Scene) -> None:
    """Add the curves and points, what was before underneath what is now."""
    axes, size = made.axes, made.size
    for time, style in (("before", look.before), ("now", look.now)):
        for side, colour in (("bump", BUMP), ("rebound", REBOUND)):
            made.add(f"{side} {time}", axes.plot([], [], **style(colour, size))[0])
    for time in ("before", "now"):
        for side, colour in (("press", BUMP), ("back", REBOUND)):
            ink = look.pale(colour, 0.8) if time == "before" else colour
            dot = {"marker": "o", "markersize": 4.4 * size.line, "linestyle": "none"}
            fill = look.PAPER if time == "before" else ink
            made.add(f"{side} {time}", axes.plot([], [], color=ink, markerfacecolor=fill, **dot)[0])


def update(made: Scene, now: Press, before: Press) -> None:
    """Put results into the picture."""
    for time, press in (("before", before), ("now", now)):
        bump, rebound = press.curve_speed >= 0, press.curve_speed <= 0
        for side, part in (("bump", bump), ("rebound", rebound)):
            made.moving[f"{side} {time}"].set_data(press.curve_speed[part], press.curve_force[part])
        made.moving[f"press {time}"].set_data([press.speed], [press.press])
        made.moving[f"back {time}"].set_data([-press.speed], [-press.back])
    made.moving["press words"].set_text(_tall("Press in", now.press))
    made.moving["back words"].set_text(_tall("Return", now.back))
    edge, top = float(now.curve_speed[-1]), 1.4 * now.reach
    made.axes.set(xlim=(-1.06 * edge, 1.06 * edge), ylim=(-top, top))
    over = max(now.curve_force[-1], before.curve_force[-1]) + _CLEAR * top
    under = min(now.curve_force[0], before.curve_force[0]) - _CLEAR * top
    made.moving["bump name"].set(text="bump", position=(edge, over))
    made.moving["rebound name"].set(text="rebound", position=(-edge, under))


def _tall(name: str, force: float) -> str:
    return f"{name}\n{plain(force, 'N')}\n{show(force, 'kgf')}"


def sentence(now: Press, before: Press) -> str:
    """Return what the change did to the press and the return, if it is felt, and its price."""
    clicks, at = turned(now.setting, before.setting), f"at {now.speed:.2f} m/s"
    if not clicks:
        return (
            f"A{at[1:]} the press takes {both_forces(now.press)} and the return "
            f"{both_forces(now.back)}. No click was turned."
        )
    sides = (("press", now.press, before.press), ("return", now.back, before.back))
    moved = [side for side in sides if not same(side[1], side[2], _SCATTER)]
    if not moved:
        return f"{clicks}: no change shows {at}, where press and return stay {_NEAR} they were."
    most = max((change(force, old) for _, force, old in moved), key=abs)
    return f"{clicks}: {_all_told(moved)}. {felt(most)} {_price(moved)}"


def _all_told(moved: list[tuple[str, float, float]]) -> str:
    """Return how each side moved, or that it did not."""
    told = " and ".join(_told(*side) for side in moved)
    return told if len(moved) == 2 else f"{told}; the {_OTHER[moved[0][0]]} stays {_NEAR} it was"


def _told(side: str, force: float, old: float) -> str:
    more = "more" if force > old else "less"
    share = percent(change(force, old))
    return f"the {side} takes {both_forces(force)}, {plain(force - old, 'N')} {more} ({share})"


def _price(moved: list[tuple[str, float, float]]) -> str:
    """Return what the largest change costs on the road."""
    side, force, old = max(moved, key=lambda m: abs(m[1] - m[2]))
    return price({"press": "bump", "return": "rebound"}[side], force > old)


def alternative(now: Press, before: Press) -> str:
    """Return the picture in words."""
    ghost = "" if now.setting == before.setting else " Pale and dotted: the curve before."
    return (
        f"Force against shaft speed of a damper{at_clicks(now.setting)}, bump to the upper "
        f"right, rebound to the lower left. At {now.speed:.2f} m/s the press reads "
        f"{plain(now.press, 'N')} and the return {plain(now.back, 'N')}.{ghost}"
    )
