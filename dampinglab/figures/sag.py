"""How deep a corner sags and how fast it bounces: one curve on which every corner has a place."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BODY, INK, QUIET, Scene, Size
from dampinglab.figures.words import change, felt, percent, plain, same
from dampinglab.units import show

__all__ = ["Ride", "alternative", "scene", "sentence", "update"]

_TITLE = "The deeper it sags, the slower it bounces"
_STOP = "bump stop"
_ROOM = 0.82  # of the axes' width: right of it no name has room
_WIDTHS, _HEIGHTS = (0.3, 0.5, 0.8), (3.0, 5.0, 8.0)  # m and Hz that the axes can show


@dataclass(frozen=True, eq=False)
class Ride:
    """One corner under its load."""

    mass: float  # kg, the body's share
    wheel_rate: float  # N/m
    ride_rate: float  # N/m, spring and tyre in series
    sag: float  # m, of the spring, at the wheel
    together: float  # m, of spring and tyre
    frequency: float  # Hz, of the body on both
    travel_left: float  # m until the bump stop is touched, negative when it carries already
    foam: float  # m of bump stop, from its touch until it is solid
    stop_at: float  # m of sag, spring and tyre together, at which it is touched
    curve_sag: np.ndarray  # m
    curve_frequency: np.ndarray  # Hz, of any mass that sags so far


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(
        size, _TITLE, "sag of spring and tyre [mm]", "ride frequency [Hz]", inches=(5.8, 3.9)
    )
    axes, line = made.axes, size.line
    made.add("curve", axes.plot([], [], color=QUIET, linewidth=0.75 * line)[0])
    look.limit(made, _STOP)
    made.add("drop", axes.plot([], [], color=INK, linewidth=line / 3)[0])
    dot = {"marker": "o", "linestyle": "none", "markersize": 4.6 * line}
    ring = {"markerfacecolor": look.PAPER, "markeredgewidth": line / 2}
    made.add("before", axes.plot([], [], color=look.pale(BODY), **dot, **ring)[0])
    made.add("now", axes.plot([], [], color=BODY, **dot)[0])
    look.table(made, "words")
    return made


def update(made: Scene, now: Ride, before: Ride) -> None:
    """Put results into the picture."""
    made.moving["curve"].set_data(1e3 * now.curve_sag, now.curve_frequency)
    for name, ride in (("before", before), ("now", now)):
        made.moving[name].set_data([1e3 * ride.together], [ride.frequency])
    x, y = 1e3 * now.together, now.frequency
    made.moving["drop"].set_data([0, x, x], [y, y, 0])
    made.moving["words"].set_text(
        f"spring {1e3 * now.sag:.0f} + tyre {plain(now.together - now.sag, 'mm')}\n"
        f"wheel rate {show(now.wheel_rate, 'N/mm')}\n"
        f"ride frequency {now.frequency:.2f} Hz"
    )
    wide = 1e3 * look.ladder(max(now.together, before.together), _WIDTHS)
    made.axes.set(xlim=(0, wide), ylim=(0, look.ladder(max(y, before.frequency), _HEIGHTS)))
    stop = 1e3 * now.stop_at
    # The name stands where the dot is not, and where it has room.
    look.place_limit(made, _STOP, stop, before=x > stop or stop > _ROOM * wide)


def sentence(now: Ride, before: Ride) -> str:
    """Return how sag and frequency changed, if it is felt, and the price."""
    if same(now.sag, before.sag) and same(now.frequency, before.frequency):
        return (
            f"No change: the spring sags {plain(now.sag, 'mm')} and the body bounces at "
            f"{now.frequency:.2f} Hz."
        )
    share = change(now.frequency, before.frequency)
    told = f"{_sag(now, before)} and {_bounce(now, share)}."
    return f"{told} {felt(share)} {_price(now, before)}"


def _sag(now: Ride, before: Ride) -> str:
    if same(now.sag, before.sag):
        return f"The spring sags {plain(now.sag, 'mm')} as before"
    more = "more" if now.sag > before.sag else "less"
    return f"The spring sags {plain(now.sag, 'mm')}, {plain(now.sag - before.sag, 'mm')} {more},"


def _bounce(now: Ride, share: float) -> str:
    if abs(share) < 0.003:
        return f"the body bounces at {now.frequency:.2f} Hz as before"
    faster = "faster" if share > 0 else "slower"
    return f"the body bounces at {now.frequency:.2f} Hz, {percent(share)} {faster}"


def _price(now: Ride, before: Ride) -> str:
    """Return what the change costs: travel first, then comfort."""
    lost = before.travel_left - now.travel_left
    if now.travel_left < -now.foam:
        return "The price: it lies solid on its bump stop, so the spring has nothing left to do."
    if now.travel_left < 0:
        deep = plain(now.travel_left, "mm")
        stands = "touches" if deep == "0 mm" else f"stands {deep} into"
        return (
            f"The price: it {stands} its bump stop, which is work for a spring, not for a damper."
        )
    if lost > 5e-4:
        left = plain(now.travel_left, "mm")
        return f"The price: {plain(lost, 'mm')} less travel, and {left} left before the bump stop."
    if now.frequency > before.frequency:
        return "The price: the body follows the road more closely, so the ride is firmer."
    return "No price shows in this picture."


def alternative(now: Ride, before: Ride) -> str:
    """Return the picture in words."""
    ghost = ""
    if not (same(now.together, before.together) and same(now.frequency, before.frequency)):
        ghost = (
            f" A pale ring marks before: {plain(before.together, 'mm')} and "
            f"{before.frequency:.2f} Hz."
        )
    return (
        f"Ride frequency falls along a curve as sag grows. This corner sags "
        f"{plain(now.together, 'mm')}, spring and tyre together, and bounces at "
        f"{now.frequency:.2f} Hz. A line at {plain(now.stop_at, 'mm')} is the bump stop.{ghost}"
    )
