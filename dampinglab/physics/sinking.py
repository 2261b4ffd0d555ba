"""Mean height on a road that repeats: what more force one way than the other does to the body."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.comfort import weighted_rms
from dampinglab.physics.corner import Run, simulate_many
from dampinglab.physics.damper import Setting
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner

__all__ = ["LEAST_FELT", "SETTLE", "Sunk", "level_at", "mean_height", "sink"]

LEAST_FELT = 3e-3
"""Smallest change of mean height that is felt, m: judgement of the trade, no source."""

SETTLE = 2.0
"""Time that is left out, s: the ramp of the road, and the way to the new height."""


def mean_height(run: Run) -> np.ndarray:
    """Return how high the body rides on average, from static rest, once it has settled.

    Where rebound pushes harder than bump the body is pulled down a little at every wave; where
    bump pushes harder it is jacked up.

    Parameters
    ----------
    run : Run
        One setting or many, on a road of more than 2 s that repeats.

    Returns
    -------
    float or ndarray
        m, positive up: sinking is negative.

    Raises
    ------
    OutOfRange
        If the run is too short.
    """
    after = run.road.time >= SETTLE
    if not after.any():
        raise OutOfRange(f"This run is shorter than {SETTLE:g} s, too short to have settled.")
    return (run.body - run.ground)[after].mean(axis=0)


@dataclass(frozen=True)
class Sunk:
    """What many settings do on one road; arrays of shape (settings,).

    Parameters
    ----------
    height : ndarray
        Mean height of the body from static rest, m, positive up.
    weighted : ndarray
        ISO 2631 Wk r.m.s. of the body's acceleration once it has settled, m/s2.
    off_ground : ndarray
        Share of that time with the tyre off the ground.
    """

    height: np.ndarray
    weighted: np.ndarray
    off_ground: np.ndarray


def sink(corner: Corner, damper, settings: Sequence[Setting], road: Road) -> Sunk:
    """Return mean height and comfort of many settings at once on a road that repeats.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    settings : sequence of tuple of int
        Clicks out from closed.
    road : Road
        3 s or more, such as `road.corrugation`; steps of 2 ms do.

    Returns
    -------
    Sunk
        In the order of the settings.

    Raises
    ------
    OutOfRange
        As `simulate_many`, or if the road is too short.
    """
    run = simulate_many(corner, damper, settings, road)
    after = road.time >= SETTLE
    return Sunk(
        height=mean_height(run),
        weighted=weighted_rms(run.body_acceleration[after], road.dt),
        off_ground=np.mean(run.tyre_force[after] <= 0, axis=0),
    )


def level_at(clicks: Sequence[float], height: np.ndarray) -> float | None:
    """Return the clicks at which the body rides at its static height, or None.

    Parameters
    ----------
    clicks : sequence of float
        Rising.
    height : ndarray
        Mean height at each, m.

    Returns
    -------
    float or None
        Between two clicks in a straight line; the first place where the sign turns.
    """
    for i in range(len(height) - 1):
        low, high = height[i : i + 2]
        if low * high <= 0 and low != high:
            return float(clicks[i] + (clicks[i + 1] - clicks[i]) * low / (low - high))
    return None
