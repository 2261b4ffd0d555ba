"""What two markers on a bounce test read, as with a ruler on paper."""

from dataclasses import dataclass

import numpy as np

from dampinglab.physics.oscillator import log_decrement, ratio_from_decrement
from dampinglab.workshop.window import Sight

__all__ = ["Marks", "read_marks"]


@dataclass(frozen=True)
class Marks:
    """Two markers and what follows from them, or why nothing does.

    Parameters
    ----------
    times : tuple of float
        First and later marker, s.
    heights : tuple of float
        Smoothed acceleration above rest there, m/s2.
    swings : float
        Swings between them, counted by the crossings of rest: 0.5 from a peak to the trough that
        follows.
    decrement, ratio, frequency : float or None
        Logarithmic decrement a swing, damping ratio, damped frequency in Hz.
    trouble : str
        One sentence when they say nothing.
    """

    times: tuple[float, float]
    heights: tuple[float, float]
    swings: float
    decrement: float | None = None
    ratio: float | None = None
    frequency: float | None = None
    trouble: str = ""


def read_marks(seen: Sight, first: float, later: float) -> Marks:
    """Read decrement and damping ratio off two markers.

    Successive peaks of a free decay's acceleration have the same decrement as those of its
    displacement (see `fit_decay`), so peaks above rest are all that is needed.

    Parameters
    ----------
    seen : Sight
        The record, looked over.
    first, later : float
        Where the markers stand, s.

    Returns
    -------
    Marks
        The reading, or the trouble with it.
    """
    times = (float(first), float(later))
    heights = tuple(float(h) for h in np.interp(times, seen.grid, seen.smooth))
    swings = _swings(seen, *times)
    trouble = _trouble(seen.noise, times, heights, swings)
    if trouble:
        return Marks(times, heights, swings, trouble=trouble)
    decrement = float(log_decrement(*map(abs, heights), swings))
    ratio = float(ratio_from_decrement(decrement))
    return Marks(times, heights, swings, decrement, ratio, swings / (later - first))


def _trouble(noise: float, times, heights, swings: float) -> str:
    """Return why nothing can be read, or nothing."""
    first, later = map(abs, heights)
    if times[1] <= times[0]:
        return "Put marker 2 later than marker 1."
    if not swings:
        return "Both markers stand on one swing: put marker 2 on a later peak."
    if min(first, later) <= noise / 2:
        return "Put each marker on a peak, not where the body passes rest."
    if later > first:
        return "Marker 2 reads more than marker 1, and a free swing never grows."
    return ""


def _swings(seen: Sight, first: float, later: float) -> float:
    """Return the swings between two times; a point in the noise is on neither side of rest."""
    inside = (seen.grid >= first) & (seen.grid <= later) & (np.abs(seen.smooth) > seen.noise)
    return float(np.count_nonzero(np.diff(np.sign(seen.smooth[inside])))) / 2
