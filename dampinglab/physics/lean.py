"""What a whole vehicle's run scored: lean, dive, rest after a road, and who did the work."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import fsolve

from dampinglab.errors import OutOfRange
from dampinglab.physics.car import Car, full_car
from dampinglab.physics.car_run import CarRun
from dampinglab.physics.corner import stops_of
from dampinglab.physics.march import stage_forces, stop_forces

__all__ = ["CarScores", "Lean", "car_scores", "lean", "shared_work", "steady_pose"]

_BAND = 0.05  # of the steady lean, within which it counts as settled


@dataclass(frozen=True)
class Lean:
    """How a vehicle came to rest; floats, or arrays of shape (settings,).

    Parameters
    ----------
    way : str
        "roll" when steered, "pitch" when braked, "heave" on level road after an event.
    steady : float
        Where it comes to rest, rad: from springs, bars, stops and tyres alone. In heave 0, m.
    peak : float or ndarray
        Greatest angle, rad; in heave how far the end that rises more does so, m.
    overshoot : float or ndarray
        How far past the steady lean, as a share of it; in heave as a share of the road's height.
    settling : float or ndarray
        Time from the start of the event, or in heave from its end, until it stays within 5 % of
        the same, s; the rest of the record if it never does.
    rate : float or ndarray
        Greatest rate either way, rad/s; in heave that of pitch.
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
        stop = stop_forces(damper @ q, 0.0, stops) + stage_forces(damper @ q, stops)
        lift = np.maximum(0.0, kt * (tyre @ q) - car.static_loads)
        return (a[:, :7] @ q + b[:, 8:] @ [lateral, braking, *stop, *lift])[7:]

    pose, _, found, _ = fsolve(push, np.zeros(7), full_output=True, xtol=1e-12)
    if found != 1 and np.abs(push(pose)).max() > 1e-6:
        raise OutOfRange("This vehicle would not stay on its wheels: ask for less.")
    return pose


def lean(run: CarRun) -> Lean:
    """Return how a run took up its lean or dive, or came to rest after a road event.

    Parameters
    ----------
    run : CarRun
        Of `drive.steer`, `drive.brake`, or `drive.over` a road that ends on the level.

    Returns
    -------
    Lean
        Roll for steering, pitch for braking, else heave.

    Raises
    ------
    OutOfRange
        If the run neither steers nor brakes and its road does not end on the level.
    """
    inputs = run.inputs
    held = inputs.lateral[-1], inputs.braking[-1]
    if not any(held):
        return _after(run)
    way, place = ("roll", 2) if held[0] else ("pitch", 1)
    steady = float(steady_pose(run.car, *held)[place])
    angle, rate = run.states[:, place], run.states[:, 7 + place]
    peak = angle.max(axis=0)
    settling = _last(np.abs(angle / steady - 1) > _BAND) * inputs.dt - inputs.start
    return Lean(way, steady, peak, peak / steady - 1, settling, np.abs(rate).max(axis=0))


def _after(run: CarRun) -> Lean:
    """Return how the end that moves more came to rest once all wheels were on the level."""
    inputs = run.inputs
    size = np.abs(inputs.height).max()
    begin = int(_last(np.abs(np.diff(inputs.height, axis=0)).max(axis=1) > 1e-9 * size))
    if begin * inputs.dt > inputs.time[-1] - 0.2:
        raise OutOfRange("This road does not end on the level, so there is no rest to come to.")
    above = _above_road(run)[begin:]
    settling = _last((np.abs(above) > _BAND * size).any(axis=1)) * inputs.dt
    peak, rate = np.maximum(above.max(axis=(0, 1)), 0.0), np.abs(run.pitch_rate).max(axis=0)
    return Lean("heave", 0.0, peak, peak / size, settling, rate)


def _last(true: np.ndarray):
    """Return how many steps there are up to the last that is true."""
    return np.where(true.any(axis=0), len(true) - np.argmax(true[::-1], axis=0), 0)


def _above_road(run: CarRun) -> np.ndarray:
    """Return the body's height over each axle above the middle of the road below it, m."""
    ends = np.stack([run.body_over(axle) for axle in ("front", "rear")], axis=1)
    ground = run.inputs.height.reshape(-1, 2, 2).mean(axis=2)
    return ends - (ground if ends.ndim == 2 else ground[..., None])


def shared_work(run: CarRun) -> np.ndarray:
    """Return what the dampers, with their friction, turned into heat.

    Parameters
    ----------
    run : CarRun
        Any run.

    Returns
    -------
    ndarray, shape (2, 2) or (2, 2, settings)
        J, both dampers of an axle together: front and rear axle, bump and rebound.
    """
    power, rate = run.damper_force * run.travel_rate, run.travel_rate
    sides = [np.where(way * rate > 0, power, 0).sum(axis=0) * run.inputs.dt for way in (1, -1)]
    return np.stack([[side[i] + side[i + 1] for side in sides] for i in (0, 2)])


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
    tyre, above = run.tyre_force, _above_road(run)
    ends = np.stack([run.body_over(axle) for axle in ("front", "rear")], axis=1)
    off = np.stack([(tyre[:, i : i + 2] <= 0).all(axis=1) for i in (0, 2)], axis=1)
    return CarScores(
        body_motion=np.sqrt(np.mean(above**2, axis=0)),
        rise=above.max(axis=0),
        up_speed=np.gradient(ends, run.inputs.dt, axis=0).max(axis=0),
        in_air=off.sum(axis=0) * run.inputs.dt,
        pitch_rate=np.abs(run.pitch_rate).max(axis=0),
        roll_rate=np.abs(run.roll_rate).max(axis=0),
    )
