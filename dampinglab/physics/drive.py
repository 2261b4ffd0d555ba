"""What is done to a whole vehicle: steering, braking, and roads under its four wheels."""

from dataclasses import dataclass

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.car import Car
from dampinglab.physics.road import Road
from dampinglab.units import G

__all__ = ["Inputs", "blend", "brake", "over", "steer"]


@dataclass(frozen=True)
class Inputs:
    """Steering, braking and roads against time.

    Parameters
    ----------
    name : str
        As a driver would say it.
    time : ndarray, shape (steps,)
        Even steps from 0, s.
    height, velocity : ndarray, shape (steps, 4)
        Road under each wheel, m and m/s, in the order of `car.WHEELS`.
    lateral, braking : ndarray, shape (steps,)
        Acceleration to the left, and deceleration, m/s2.
    start : float
        When it begins, s.
    """

    name: str
    time: np.ndarray
    height: np.ndarray
    velocity: np.ndarray
    lateral: np.ndarray
    braking: np.ndarray
    start: float

    @property
    def dt(self) -> float:
        """Time between two points, s."""
        return float(self.time[1] - self.time[0])


def steer(peak=0.4, rise=0.2, duration=4.0, *, dt=1e-3, start=0.2) -> Inputs:
    """Return a turn to the left that is entered in a given time and then held, on a level road.

    Parameters
    ----------
    peak : float, optional
        Lateral acceleration as a share of gravity, 0.01 to 1.2.
    rise : float, optional
        Time from straight to the whole of it, s: 0.2 is evasive, 0.5 is normal.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    start : float, optional
        Straight running before, s.

    Returns
    -------
    Inputs
        The acceleration follows (1 - cos) / 2 while it rises.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Lateral acceleration", peak, 0.01, 1.2, "g", "give it as a share of gravity")
    time, ramp = _held(peak, rise, duration, dt, start)
    level, none = np.zeros((len(time), 4)), np.zeros(len(time))
    return Inputs(f"steering to {peak:g} g in {rise:g} s", time, level, level, ramp, none, start)


def brake(peak=0.6, rise=0.2, duration=4.0, *, dt=1e-3, start=0.2) -> Inputs:
    """Return braking that builds up in a given time and is then held, on a level road.

    Parameters
    ----------
    peak : float, optional
        Deceleration as a share of gravity, 0.01 to 1.2.
    rise : float, optional
        Time to build it up, s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    start : float, optional
        Steady running before, s.

    Returns
    -------
    Inputs
        The deceleration follows (1 - cos) / 2 while it rises.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Deceleration", peak, 0.01, 1.2, "g", "give it as a share of gravity")
    time, ramp = _held(peak, rise, duration, dt, start)
    level, none = np.zeros((len(time), 4)), np.zeros(len(time))
    return Inputs(f"braking at {peak:g} g", time, level, level, none, ramp, start)


def _held(peak, rise, duration, dt, start):
    """Return times, and an acceleration (m/s2) that rises smoothly and stays."""
    check_range("Rise time", rise, 0.02, 5, "s")
    check_range("Duration", duration, 0.1, 600, "s")
    check_range("Time step", dt, 1e-5, 2.0001e-3, "s", "1 ms is right")
    time = dt * np.arange(round(duration / dt) + 1)
    part = np.clip((time - start) / rise, 0, 1)
    return time, peak * G * (1 - np.cos(np.pi * part)) / 2


def over(road: Road, car: Car, speed: float, side: str = "both", *, other=None) -> Inputs:
    """Return a road as four wheels meet it: the rear ones a wheelbase later.

    Parameters
    ----------
    road : Road
        Under the front wheel or wheels, already driven at the speed.
    car : Car
        Its wheelbase counts.
    speed : float
        Road speed at which `road` was made, m/s; it sets the delay only.
    side : {"both", "left", "right"}, optional
        Which wheels meet it; the others stay on `other`.
    other : Road, optional
        Under the other wheels, as long as `road`; level if not given.

    Returns
    -------
    Inputs
        No steering, no braking.

    Raises
    ------
    OutOfRange
        If there is no such side, the speed is none of a vehicle, or the roads differ in time.
    """
    check_range("Road speed", speed, 0.1, 70, "m/s", "3.6 km/h is 1 m/s")
    if side not in ("both", "left", "right"):
        raise OutOfRange(f"There is no side {side!r}; give both, left or right.")
    level = np.zeros(len(road.time))
    other = other or Road("level", road.time, level, level)
    if not np.array_equal(other.time, road.time):
        raise OutOfRange("The roads under left and right wheels need the same times.")
    late = road.time - car.wheelbase / speed
    here = [side in ("both", wheel) for wheel in ("left", "right")]
    pair = [road if each else other for each in here]
    rear = [Road("", road.time, *(_at(late, r, s) for s in (r.height, r.velocity))) for r in pair]
    height = np.stack([r.height for r in pair + rear], axis=1)
    velocity = np.stack([r.velocity for r in pair + rear], axis=1)
    name = road.name if side == "both" else f"{road.name}, {side} wheels"
    return Inputs(name, road.time, height, velocity, level, level, 0.0)


def _at(late, road: Road, signal):
    """Return a signal of a road at other times, 0 before it begins."""
    return np.interp(late, road.time, signal, left=0.0)


def blend(road: Road, another: Road, alike: float) -> Road:
    """Return a road that is partly like another: the other side of a random road.

    Parameters
    ----------
    road, another : Road
        Two random roads of one class and the same times, of different seeds.
    alike : float
        How much of `road` is in it, 0 to 1; the coherence with it is the square of this at every
        wavelength, a simplification: real tracks agree more in long waves than in short ones.

    Returns
    -------
    Road
        With the spectrum that both share.

    Raises
    ------
    OutOfRange
        If the share lies outside 0 to 1 or the roads differ in time.
    """
    check_range("Share", alike, 0, 1)
    if not np.array_equal(another.time, road.time):
        raise OutOfRange("The two roads need the same times.")
    rest = np.sqrt(1 - alike**2)
    mixed = (alike * getattr(road, s) + rest * getattr(another, s) for s in ("height", "velocity"))
    return Road(f"{road.name}, {alike:g} alike", road.time, *mixed)
