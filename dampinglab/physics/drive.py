"""What is done to a whole vehicle: steering, braking, and roads under its four wheels."""

from dataclasses import dataclass

import numpy as np

from dampinglab.errors import check_range
from dampinglab.physics.car import Car
from dampinglab.physics.road import Road
from dampinglab.units import G

__all__ = ["Inputs", "brake", "over", "steer"]

_START = 0.2  # s of straight running before a driver steers or brakes


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


def steer(peak=0.4, rise=0.2, duration=4.0, *, dt=1e-3) -> Inputs:
    """Return a turn to the left that is entered in a given time and then held, on a level road.

    It begins after 0.2 s of straight running.

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
    time, ramp, none, level = _held(peak, rise, duration, dt)
    return Inputs(f"steering to {peak:g} g in {rise:g} s", time, level, level, ramp, none, _START)


def brake(peak=0.6, rise=0.2, duration=4.0, *, dt=1e-3) -> Inputs:
    """Return braking that builds up in a given time and is then held, on a level road.

    It begins after 0.2 s of steady running.

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
    time, ramp, none, level = _held(peak, rise, duration, dt)
    return Inputs(f"braking at {peak:g} g", time, level, level, none, ramp, _START)


def _held(peak, rise, duration, dt):
    """Return times, an acceleration that rises smoothly and stays, one of 0, and a level road."""
    check_range("Rise time", rise, 0.02, 5, "s")
    check_range("Duration", duration, 0.1, 600, "s")
    check_range("Time step", dt, 1e-5, 2.0001e-3, "s", "1 ms is right")
    time = dt * np.arange(round(duration / dt) + 1)
    part = np.clip((time - _START) / rise, 0, 1)
    ramp = peak * G * (1 - np.cos(np.pi * part)) / 2
    return time, ramp, np.zeros(len(time)), np.zeros((len(time), 4))


def over(road: Road, car: Car, speed: float) -> Inputs:
    """Return a road as four wheels meet it: the rear ones a wheelbase later.

    Parameters
    ----------
    road : Road
        Under the front wheels, already driven at the speed.
    car : Car
        Its wheelbase counts.
    speed : float
        Road speed at which `road` was made, m/s; it sets the delay only.

    Returns
    -------
    Inputs
        No steering, no braking.

    Raises
    ------
    OutOfRange
        If the speed is none of a vehicle.
    """
    check_range("Road speed", speed, 0.1, 70, "m/s", "3.6 km/h is 1 m/s")
    none, late = np.zeros(len(road.time)), road.time - car.wheelbase / speed
    height, velocity = (
        np.stack([front, front, *[np.interp(late, road.time, front, left=0.0)] * 2], axis=1)
        for front in (road.height, road.velocity)
    )
    return Inputs(road.name, road.time, height, velocity, none, none, 0.0)
