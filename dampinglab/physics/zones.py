"""How a shaft's movement divides: by direction, and below and above a split of speed.

Shares of time and shares of energy are different things, and both are given.
"""

from dataclasses import dataclass

import numpy as np

from dampinglab.errors import OutOfRange, check_range

__all__ = ["Shares", "shares", "time_below"]

_STILL = 0.005  # m/s: a shaft slower than this is not moving, for the shares of time


@dataclass(frozen=True)
class Shares:
    """How a record of shaft speed divides; each is a share of the whole, 0 to 1.

    Parameters
    ----------
    split : float
        Shaft speed between slow and fast, m/s.
    time_slow : float
        Of the moving time, below the split.
    energy_slow : float
        Of the energy turned into heat, below the split.
    energy_bump : float
        Of the energy, in bump (the rest is rebound).
    energy : float
        The whole energy, J.
    fastest_bump, fastest_rebound : float
        Greatest shaft speeds, m/s, both positive.
    """

    split: float
    time_slow: float
    energy_slow: float
    energy_bump: float
    energy: float
    fastest_bump: float
    fastest_rebound: float


def shares(speed, force, dt: float, split: float) -> Shares:
    """Return how a record divides at a split.

    Parameters
    ----------
    speed : array_like
        Shaft speed, m/s, evenly sampled, positive in bump.
    force : array_like
        Damper force, N, same shape, positive when it resists bump.
    dt : float
        Time between samples, s.
    split : float
        Shaft speed between slow and fast, m/s, 0.01 to 2.

    Returns
    -------
    Shares
        The shares.

    Raises
    ------
    OutOfRange
        If the shapes differ, nothing moves, or the split lies outside its range.

    Examples
    --------
    >>> v = np.array([0.05, -0.05, 0.5, -0.5])
    >>> half = shares(v, 1000 * v, 1.0, 0.1)
    >>> half.time_slow, round(half.energy_slow, 4), half.energy_bump
    (0.5, 0.0099, 0.5)
    """
    check_range("Split", split, 0.01, 2, "m/s", "1000 mm/s is 1 m/s")
    check_range("Time between samples", dt, 1e-6, 1e3, "s")
    v = np.asarray(speed, float)
    heat = _heat(v, np.asarray(force, float))
    total = heat.sum()
    slow = np.abs(v) < split
    return Shares(
        split=split,
        time_slow=float(time_below(v, split)),
        energy_slow=float(heat[slow].sum() / total),
        energy_bump=float(heat[v > 0].sum() / total),
        energy=float(total * dt),
        fastest_bump=float(max(v.max(), 0)),
        fastest_rebound=float(max(-v.min(), 0)),
    )


def _heat(speed: np.ndarray, force: np.ndarray) -> np.ndarray:
    """Return the power turned into heat at each moment, W, or say why there is none."""
    if speed.shape != force.shape:
        raise OutOfRange("Shaft speed and force need one value for each moment.")
    heat = np.maximum(speed * force, 0)
    if not heat.any():
        raise OutOfRange("The shaft does not move in this record, so it has no shares.")
    return heat


def time_below(speed, split):
    """Return the share of moving time that a shaft spends below a speed.

    Parameters
    ----------
    speed : array_like
        Shaft speed, m/s, evenly sampled.
    split : float or array_like
        Speeds, m/s.

    Returns
    -------
    float or ndarray
        Shares, 0 to 1, shape of `split`; 0 if nothing moves.
    """
    size = np.sort(np.abs(np.asarray(speed, float)))
    moving = size[size > _STILL]
    return np.searchsorted(moving, split) / max(moving.size, 1)
