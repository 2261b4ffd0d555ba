"""What a run scored: comfort, grip, travel and body control, in numbers with units."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.integrate import trapezoid
from scipy.signal import butter, sosfilt

from dampinglab.physics.comfort import weighted_rms
from dampinglab.physics.corner import Run
from dampinglab.units import G

__all__ = ["Scores", "felt_acceleration", "heat", "scores"]

_FELT = 40.0  # Hz: above it a seat and a body pass little on, and stops ring


@dataclass(frozen=True)
class Scores:
    """Scores of one run (floats) or of many settings (arrays of shape (settings,)).

    Parameters
    ----------
    peak_upward : float or ndarray
        Greatest upward acceleration of the body below 40 Hz, m/s2.
    weighted : float or ndarray
        ISO 2631 Wk r.m.s. of the body's acceleration, m/s2.
    tyre_variation : float or ndarray
        r.m.s. of the tyre's force about its static load, as a share of that load.
    off_ground : float or ndarray
        Share of time with the tyre off the ground.
    bump_travel, droop_travel : float or ndarray
        Greatest wheel travel either way from ride height, m, both positive.
    stop_energy : float or ndarray
        Energy put into the bump stop, J.
    body_motion : float or ndarray
        r.m.s. height of the body against the road below, m.
    beyond : float or ndarray
        Share of time that the shaft was faster than the damper's table.
    energy_beyond : float or ndarray
        Share of the energy that damper and friction took while it was so; often far more than
        the share of time.
    """

    peak_upward: float | np.ndarray
    weighted: float | np.ndarray
    tyre_variation: float | np.ndarray
    off_ground: float | np.ndarray
    bump_travel: float | np.ndarray
    droop_travel: float | np.ndarray
    stop_energy: float | np.ndarray
    body_motion: float | np.ndarray
    beyond: float | np.ndarray
    energy_beyond: float | np.ndarray


def scores(run: Run) -> Scores:
    """Return what a run scored.

    Parameters
    ----------
    run : Run
        One setting or many.

    Returns
    -------
    Scores
        Floats for one setting, arrays for many.

    Examples
    --------
    A body that stays at rest scores nothing:

    >>> from dampinglab.physics.corner import Run
    >>> from dampinglab.physics.road import Road
    >>> from dampinglab.physics.vehicle import Corner
    >>> still, road = np.zeros(2001), Road("level", 1e-3 * np.arange(2001), *np.zeros((2, 2001)))
    >>> corner = Corner(400, 60, 3e4, 0.6, 2.5e5, 250, 0.06, 0.045, 0.1)
    >>> rest = Run(corner, road, *[still] * 6, still + 460 * G, still > 0)
    >>> float(scores(rest).weighted), float(scores(rest).tyre_variation)
    (0.0, 0.0)
    """
    dt = run.road.dt
    acceleration, travel, rate = run.body_acceleration, run.travel, run.travel_rate
    return Scores(
        peak_upward=felt_acceleration(run).max(axis=0),
        weighted=weighted_rms(acceleration, dt),
        tyre_variation=_rms(run.tyre_force / _static(run) - 1),
        off_ground=np.mean(run.tyre_force <= 0, axis=0),
        bump_travel=np.maximum(travel.max(axis=0), 0),
        droop_travel=np.maximum(-travel.min(axis=0), 0),
        stop_energy=_into_stop(run, rate),
        body_motion=_rms(run.body - run.ground),
        beyond=np.mean(run.beyond, axis=0),
        energy_beyond=_taken_beyond(run, travel, rate),
    )


def felt_acceleration(run: Run) -> np.ndarray:
    """Return the body's acceleration below 40 Hz, what a seat passes on.

    Parameters
    ----------
    run : Run
        One setting or many.

    Returns
    -------
    ndarray
        m/s2, up, against time.
    """
    return sosfilt(_low_pass(run.road.dt), run.body_acceleration, axis=0)


def _static(run: Run) -> float:
    """Return what the tyre carries at rest, N."""
    return (run.corner.sprung_mass + run.corner.unsprung_mass) * G


@lru_cache(maxsize=8)
def _low_pass(dt: float):
    return butter(2, _FELT, fs=1 / dt, output="sos")


def heat(run: Run):
    """Return the power that damper and friction of one corner turn into heat.

    Parameters
    ----------
    run : Run
        One setting or many.

    Returns
    -------
    float or ndarray, shape (settings,)
        W, the mean over the run.
    """
    return _taken(run, run.travel, run.travel_rate).mean(axis=0)


def _taken(run: Run, travel, rate):
    """Return the power that damper and friction take, W: what springs and stops do not hold."""
    force = run.suspension_force - run.corner.spring_force(travel) - run.stop_force
    return np.maximum(force * rate, 0.0)


def _taken_beyond(run: Run, travel, rate):
    """Return which share of the damper's energy was taken beyond its table; 0 if it took none."""
    if not run.beyond.any():
        return np.zeros(run.beyond.shape[1:])[()]
    power = _taken(run, travel, rate)
    total = power.sum(axis=0)
    return (power * run.beyond).sum(axis=0) / np.where(total > 0, total, 1.0)


def _into_stop(run: Run, rate):
    """Return the energy that the bump stop took, J: only what goes in, not what comes back."""
    power = np.maximum(run.stop_force, 0) * np.maximum(rate, 0)
    return trapezoid(power, dx=run.road.dt, axis=0)


def _rms(signal: np.ndarray):
    """Return the root mean square along the first axis."""
    return np.sqrt(np.einsum("i...,i...->...", signal, signal) / len(signal))
