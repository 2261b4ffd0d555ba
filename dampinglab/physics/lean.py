"""What a whole vehicle's run scored: lean and dive, and what a road did to its ends."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import fsolve

from dampinglab.errors import OutOfRange
from dampinglab.physics.car import Car, full_car
from dampinglab.physics.car_run import CarRun
from dampinglab.physics.corner import stops_of
from dampinglab.physics.march import stop_forces

__all__ = ["CarScores", "Lean", "car_scores", "lean", "steady_pose"]

_BAND = 0.05  # of the steady lean, within which it counts as settled


@dataclass(frozen=True)
class Lean:
    """How a vehicle took up a lean or a dive; floats, or arrays of shape (settings,).

    Parameters
    ----------
    way : str
        "roll" or "pitch".
    steady : float
        Where it comes to rest, rad: from springs, bars, stops and tyres alone.
    peak : float or ndarray
        Greatest angle, rad.
    overshoot : float or ndarray
        How far past the steady lean, as a share of it.
    settling : float or ndarray
        Time from the start of the event until it stays within 5 % of the steady lean, s; the
        whole record if it never does.
    rate : float or ndarray
        Greatest rate, rad/s.
    """

    way: str
    steady: float
    peak: float | np.ndarray
    overshoot: float | np.ndarray
    settling: float | np.ndarray
    rate: float | np.ndarray


@dataclass(frozen=True)
class CarScores:
    """What a road did; arrays of shape (2,) or (2, settings) for the front and the rear end.

    Parameters
    ----------
    body_motion : ndarray
        r.m.s. height of the body over the axle against the road below it, m.
    rise : ndarray
        Greatest height of the body over the axle above the road below it, m.
    up_speed : ndarray
        Greatest upward speed of the body over the axle, m/s.
    in_air : ndarray
        Time with both wheels of the axle off the ground at once, s.
    pitch_rate, roll_rate : float or ndarray, shape (settings,)
        Greatest rates either way, rad/s.
    """

    body_motion: np.ndarray
    rise: np.ndarray
    up_speed: np.ndarray
    in_air: np.ndarray
    pitch_rate: float | np.ndarray
    roll_rate: float | np.ndarray


def steady_pose(car: Car, lateral: float = 0.0, braking: float = 0.0) -> np.ndarray:
    """Return where a vehicle comes to rest in a held turn or held braking.

    Dampers and friction carry nothing at rest, so no click is asked for: springs, bars, stops,
    tyres and gravity settle it.

    Parameters
    ----------
    car : Car
        The vehicle.
    lateral, braking : float, optional
        Acceleration to the left, and deceleration, m/s2.

    Returns
    -------
    ndarray, shape (7,)
        The coordinates q of `car`, m and rad.

    Raises
    ------
    OutOfRange
        If it would roll over.
    """
    a, b = full_car(car)
    stops = [np.array(column) for column in zip(*map(stops_of, car.corners), strict=True)]
    damper, tyre = car.rows("damper"), car.rows("tyre")
    kt = car.each("tyre_rate")

    def push(q):
        """Return accelerations at rest; a tyre never pulls."""
        stop = stop_forces(damper @ q, 0.0, stops) + np.zeros(4)
        lift = np.maximum(0.0, kt * (tyre @ q) - car.static_loads)
        return (a[:, :7] @ q + b[:, 8:] @ [lateral, braking, *stop, *lift])[7:]

    pose, _, found, _ = fsolve(push, np.zeros(7), full_output=True, xtol=1e-12)
    if found != 1 and np.abs(push(pose)).max() > 1e-6:
        raise OutOfRange("This vehicle would not stay on its wheels: ask for less.")
    return pose


def lean(run: CarRun) -> Lean:
    """Return how the run of a steering or braking event took up its lean or dive.

    Parameters
    ----------
    run : CarRun
        Of `drive.steer` or `drive.brake`.

    Returns
    -------
    Lean
        Roll for steering, pitch for braking.

    Raises
    ------
    OutOfRange
        If the run neither steers nor brakes.
    """
    inputs = run.inputs
    held = inputs.lateral[-1], inputs.braking[-1]
    if not any(held):
        raise OutOfRange("This run neither steers nor brakes, so it has no lean to settle to.")
    way, place = ("roll", 2) if held[0] else ("pitch", 1)
    steady = float(steady_pose(run.car, *held)[place])
    angle, rate = run.states[:, place], run.states[:, 7 + place]
    peak = angle.max(axis=0)
    apart = np.abs(angle / steady - 1) > _BAND
    last = len(apart) - np.argmax(apart[::-1], axis=0)
    settling = np.minimum(last * inputs.dt, inputs.time[-1]) - inputs.start
    return Lean(way, steady, peak, peak / steady - 1, settling, np.abs(rate).max(axis=0))


def car_scores(run: CarRun) -> CarScores:
    """Return what a road did to the two ends of a vehicle.

    Parameters
    ----------
    run : CarRun
        Best of `drive.over`.

    Returns
    -------
    CarScores
        Front end first.
    """
    ends = np.stack([run.body_over(axle) for axle in ("front", "rear")], axis=1)
    ground = run.inputs.height.reshape(-1, 2, 2).mean(axis=2)
    above = ends - (ground if ends.ndim == 2 else ground[..., None])
    tyre = run.tyre_force
    off = np.stack([(tyre[:, i : i + 2] <= 0).all(axis=1) for i in (0, 2)], axis=1)
    return CarScores(
        body_motion=np.sqrt(np.mean(above**2, axis=0)),
        rise=above.max(axis=0),
        up_speed=np.gradient(ends, run.inputs.dt, axis=0).max(axis=0),
        in_air=off.sum(axis=0) * run.inputs.dt,
        pitch_rate=np.abs(run.pitch_rate).max(axis=0),
        roll_rate=np.abs(run.roll_rate).max(axis=0),
    )
