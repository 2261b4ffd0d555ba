"""A damper on a stand: pressed in by hand or by a lever, then let go to come out by itself.

At each place the push, less gas force and friction, is what the valves carry; that fixes the
shaft speed, and the time follows from the way. Inertia is left out: what moves is a rod and a
little oil. Even if they counted as 10 kg, at 0.1 m/s they need the 2 milliseconds of a 500 N push
to be under way, of a return that takes a second or more (see the tests for the full solution).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.integrate import cumulative_trapezoid
from scipy.optimize import brentq

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.damper import MeasuredDamper, Setting
from dampinglab.physics.hydraulic import ValveDamper

__all__ = [
    "SPRING_PRELOAD",
    "STROKE",
    "Stroke",
    "let_return",
    "lever_force",
    "press_by_hand",
    "push_speed",
    "returns_by_gas",
]

Damper = ValveDamper | MeasuredDamper

STROKE = 0.12
"""Way of the shaft on the stand, m; ride height is taken as its middle."""

SPRING_PRELOAD = 0.02
"""How far a return spring is still pressed when the shaft is fully out, m."""

_FASTEST = 8.0  # m/s, faster than any stand or road
_SPEEDS = np.concatenate([[0.0], np.geomspace(1e-5, _FASTEST, 4000)])  # 0.3 % apart
_PLACES = 241  # along the stroke
_WHOLE = 1.0  # m/s, at which all of the friction is there


@dataclass(frozen=True, eq=False)
class Stroke:
    """The shaft's way in or out against time.

    Parameters
    ----------
    time : ndarray
        s, from 0.
    travel : ndarray
        How far the shaft is pressed in, m, 0 is fully out.
    arrives : bool
        Whether it gets to the end; if not, friction or gas holds it at the last place.
    beyond : bool
        Whether it is somewhere faster than the damper's table reaches.
    """

    time: np.ndarray
    travel: np.ndarray
    arrives: bool
    beyond: bool

    @property
    def seconds(self) -> float:
        """Time for the whole way, s; infinite if the shaft does not get there."""
        return float(self.time[-1]) if self.arrives else np.inf

    @property
    def speed(self) -> float:
        """Mean shaft speed, m/s; 0 if the shaft does not get to the end."""
        return float(abs(self.travel[-1] - self.travel[0]) / self.seconds)


def lever_force(damper: Damper, setting: Setting, speed, travel=0.0):
    """Return the force at the shaft that drives a damper in at a steady speed.

    F = valves(v) + friction(v) + gas(x).

    Parameters
    ----------
    damper : ValveDamper or MeasuredDamper
        The damper.
    setting : tuple of int
        Clicks out from closed.
    speed : float or array_like
        Shaft speed, m/s, above zero.
    travel : float or array_like, optional
        Shaft travel from ride height, m, positive in bump.

    Returns
    -------
    float or ndarray
        Force, N. A lever of n to 1 divides what the hand gives by n and multiplies its way.

    Raises
    ------
    OutOfRange
        If the speed is not above zero, or the damper has no such setting.
    """
    check_range("Shaft speed", speed, 1e-6, _FASTEST, "m/s", "1000 mm/s is 1 m/s")
    valves = damper.valve_force(speed, setting) + damper.friction(speed)
    return valves + damper.gas_force(travel)


def push_speed(damper: Damper, setting: Setting, push: float, travel: float = 0.0) -> float:
    """Return the shaft speed that a steady push gives, by root finding.

    Parameters
    ----------
    damper : ValveDamper or MeasuredDamper
        The damper.
    setting : tuple of int
        Clicks out from closed.
    push : float
        Force on the shaft, N, 0 to 20,000.
    travel : float, optional
        Shaft travel from ride height, m, positive in bump.

    Returns
    -------
    float
        Shaft speed, m/s; 0 if gas and friction hold the shaft.

    Raises
    ------
    OutOfRange
        If the push lies outside its range or drives the shaft at more than 8 m/s, or the damper
        has no such setting.
    """
    check_range("Push", push, 0, 2e4, "N")
    drive = push - float(damper.gas_force(travel))
    if drive <= damper.friction(_WHOLE):
        return 0.0
    force = _bump(damper, setting)
    _check_drive(drive, float(force(_FASTEST)))
    return float(brentq(lambda v: float(force(v)) - drive, 0.0, _FASTEST, xtol=1e-12))


def press_by_hand(
    damper: Damper, setting: Setting, push: float, *, stroke: float = STROKE
) -> Stroke:
    """Return the shaft's way in under a steady push.

    Parameters
    ----------
    damper : ValveDamper or MeasuredDamper
        The damper.
    setting : tuple of int
        Clicks out from closed.
    push : float
        Force on the shaft, N, 0 to 20,000; gas takes more and more of it on the way.
    stroke : float, optional
        From fully out to fully in, m, 0.01 to 0.3.

    Returns
    -------
    Stroke
        Travel rising from 0.

    Raises
    ------
    OutOfRange
        As `push_speed`, or if the stroke lies outside its range.
    """
    check_range("Push", push, 0, 2e4, "N")
    travel = _places(stroke)
    drive = push - damper.gas_force(travel - stroke / 2)
    return _way(damper, setting, travel, drive, 1.0)


def let_return(
    damper: Damper, setting: Setting, *, stroke: float = STROKE, spring: float = 0.0
) -> Stroke:
    """Return the shaft's way out, pushed by its gas and a spring, held back by rebound.

    Parameters
    ----------
    damper : ValveDamper or MeasuredDamper
        The damper.
    setting : tuple of int
        Clicks out from closed.
    stroke : float, optional
        From fully in to fully out, m, 0.01 to 0.3.
    spring : float, optional
        Rate of a return spring, N/m, 0 to 200,000; fully out it is still pressed by 20 mm.

    Returns
    -------
    Stroke
        Travel falling to 0, or to where friction holds the shaft.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range, or the damper has no such setting.
    """
    check_range("Rate of the spring", spring, 0, 2e5, "N/m", "1 N/mm is 1000 N/m")
    travel = _places(stroke)[::-1]
    drive = damper.gas_force(travel - stroke / 2) + spring * (travel + SPRING_PRELOAD)
    return _way(damper, setting, travel, drive, -1.0)


def returns_by_gas(damper: Damper, *, stroke: float = STROKE) -> bool:
    """Tell whether gas alone brings the shaft all the way out.

    Parameters
    ----------
    damper : ValveDamper or MeasuredDamper
        The damper.
    stroke : float, optional
        From fully in to fully out, m.

    Returns
    -------
    bool
        True if the gas is stronger than seal friction even where it is weakest, fully out.
    """
    return bool(damper.gas_force(-stroke / 2) > damper.friction(_WHOLE))


def _places(stroke: float) -> np.ndarray:
    check_range("Stroke", stroke, 0.01, 0.3, "m", "1000 mm is 1 m")
    return np.linspace(0, stroke, _PLACES)


def _bump(damper: Damper, setting: Setting) -> Callable:
    return lambda v: damper.valve_force(v, setting) + damper.friction(v)


def _way(damper, setting, travel, drive, sign) -> Stroke:
    """Return the way along places in one direction (sign 1 in, -1 out), dt = dx / v."""
    held = drive <= damper.friction(_WHOLE)
    free = int(np.argmax(held)) if held.any() else travel.size
    if not free:
        return Stroke(np.zeros(1), travel[:1], False, False)
    both = _bump(damper, setting)
    speed = _speeds(lambda v: sign * both(sign * v), drive[:free])
    places = travel[:free]
    time = cumulative_trapezoid(1 / speed, np.abs(places - places[0]), initial=0)
    beyond = bool(np.any(damper.beyond(sign * speed, setting)))
    return Stroke(time, places, free == travel.size, beyond)


def _speeds(force: Callable, drive: np.ndarray) -> np.ndarray:
    """Return the speeds at which a force that rises with speed carries each drive (N)."""
    carried = force(_SPEEDS)
    _check_drive(float(drive.max()), float(carried[-1]))
    return np.interp(drive, carried, _SPEEDS)


def _check_drive(drive: float, most: float) -> None:
    if drive > most:
        raise OutOfRange(f"So much force would drive the shaft at more than {_FASTEST:g} m/s.")
