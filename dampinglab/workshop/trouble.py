"""Find what a travel sensor does wrong: missing readings, spikes, its end, drift."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import median_filter

__all__ = ["Hole", "clipped", "drift_of", "missing", "spikes"]

_MISSED = 1.75  # steps without a reading that are a hole
_BRIDGE = 0.025  # s: a quarter of a wheel's hop is bridged well, more is a guess
# What a shaft can do between two readings; beyond it a reading that stands alone is a spike.
_FASTEST, _HARDEST = 4.0, 1000.0  # m/s and m/s2
_FLAT = (5, 0.008)  # readings and seconds that a sensor at its end shows the same number
_CUT = 3e-4  # m that a flat top must have cut off to matter
_BLOCK = 2.0  # s over which a rest position is read
_FEWEST = 6  # blocks that tell drift from the road


@dataclass(frozen=True)
class Hole:
    """A stretch of a log without a reading that can be trusted.

    Parameters
    ----------
    kind : {"missing", "spike", "clipped"}
        What went wrong.
    start, end : float
        The last good reading before and the first one after, s from the start of the log.
    row : int
        The line of the file where it begins.
    why : str
        What is wrong there, in words.
    bridged : bool
        Whether a smooth curve stands in for it; otherwise it is left out.
    """

    kind: str
    start: float
    end: float
    row: int
    why: str
    bridged: bool


def missing(time, dt: float, rows) -> list[Hole]:
    """Return the stretches without a reading.

    Parameters
    ----------
    time : ndarray
        s, rising.
    dt : float
        The logger's step, s.
    rows : ndarray of int
        The file's line of each reading.

    Returns
    -------
    list of Hole
        Bridged when they last 25 ms or less.
    """
    return [
        Hole(
            "missing",
            float(time[i]),
            float(time[i + 1]),
            int(rows[i + 1]),
            "readings are missing just before this row",
            bool(time[i + 1] - time[i] <= _BRIDGE),
        )
        for i in np.flatnonzero(np.diff(time) > _MISSED * dt)
    ]


def spikes(time, travel, dt: float, rows) -> list[Hole]:
    """Return the readings that jump out and back faster than any shaft moves.

    Parameters
    ----------
    time, travel : ndarray
        s and m.
    dt : float
        The logger's step, s.
    rows : ndarray of int
        The file's line of each reading.

    Returns
    -------
    list of Hole
        Spikes of up to three readings (two below 500 a second, one below 200).

    Notes
    -----
    A reading is held against the median of its neighbours; it may differ by what 1000 m/s2 or
    4 m/s allow, or by eight times what most differ. A spike smaller than that passes.
    """
    half = 3 if dt <= 2e-3 else 2 if dt <= 5e-3 else 1
    off = np.abs(travel - median_filter(travel, 2 * half + 1, mode="nearest"))
    reach = half * dt
    usual = 8 * 1.4826 * float(np.median(off))
    bad = off > max(min(_HARDEST * reach**2 / 2, _FASTEST * reach), usual)
    return [
        Hole("spike", *_edges(time, first, last), int(rows[first]), _jump(off[first]), True)
        for first, last in _stretches(bad)
    ]


def _jump(height: float) -> str:
    return f"a spike of {1e3 * height:.1f} mm, faster than a shaft can move"


def clipped(time, travel, dt: float, rows) -> list[Hole]:
    """Return the stretches in which the sensor, or the damper, stood at its end.

    Parameters
    ----------
    time, travel : ndarray
        s and m.
    dt : float
        The logger's step, s.
    rows : ndarray of int
        The file's line of each reading.

    Returns
    -------
    list of Hole
        Never bridged: how far it would have gone is not known.

    Notes
    -----
    The highest or lowest reading, repeated to the last digit for 8 ms or more, with flanks that
    would have met above it. A parabola cut off at its top falls by three times the cut over half
    the flat's width on either side; a smooth top in coarse steps falls much less.
    """
    holes = []
    for end, word in ((travel.max(), "highest"), (travel.min(), "lowest")):
        for first, last in _stretches(travel == end):
            long = last - first + 1 >= _FLAT[0] and time[last] - time[first] >= _FLAT[1]
            if long and _cut(travel, first, last) > max(_CUT, 4 * _resolution(travel)):
                why = f"the reading stays at its {word}, so the sensor or damper is at its end"
                edges = _edges(time, first, last)
                holes.append(Hole("clipped", *edges, int(rows[first]), why, False))
    return holes


def _cut(travel, first: int, last: int) -> float:
    """Return about how much a flat top cut off, from how steep its flanks are."""
    back = max((last - first + 1) // 2, 2)
    flanks = [travel[max(first - back, 0)], travel[min(last + back, len(travel) - 1)]]
    return float(np.abs(np.array(flanks) - travel[first]).max() / 3)


def _resolution(travel) -> float:
    """Return the smallest step between different readings."""
    steps = np.diff(np.unique(travel))
    return float(np.percentile(steps, 5)) if steps.size else 0.0


def _edges(time, first: int, last: int) -> tuple[float, float]:
    """Return the times of the neighbours of a stretch."""
    return float(time[max(first - 1, 0)]), float(time[min(last + 1, len(time) - 1)])


def _stretches(bad) -> list[tuple[int, int]]:
    """Return first and last place of each stretch that is True."""
    turns = np.flatnonzero(np.diff(np.concatenate([[0], bad.astype(int), [0]])))
    return [(int(a), int(b) - 1) for a, b in zip(turns[::2], turns[1::2], strict=True)]


def drift_of(time, travel, used) -> float:
    """Return how far the rest position drifts from start to end, or 0 if that cannot be told.

    Parameters
    ----------
    time, travel : ndarray
        s and m, evenly sampled.
    used : ndarray of bool
        Where the travel can be trusted.

    Returns
    -------
    float
        m, positive towards bump; 0 when it is not clear beside what the road does.

    Notes
    -----
    Weighted means of blocks of 2 s, and the median of the slopes between them (Theil, 1950; Sen,
    1968). Only what is more than 3 mm and four times the scatter of the blocks is called drift.
    """
    size = int(_BLOCK / (time[1] - time[0]))
    blocks = [slice(i, i + size) for i in range(0, len(time) - size + 1, size)]
    blocks = [block for block in blocks if used[block].mean() > 0.5]
    if len(blocks) < _FEWEST:
        return 0.0
    # Weights that fade at both ends leave nothing of a body that swings within the block.
    fade = np.hanning(size + 2)[1:-1]
    rest = np.array([np.average(travel[b], weights=fade * used[b]) for b in blocks])
    middle = np.array([time[block].mean() for block in blocks])
    i, j = np.triu_indices(len(rest), 1)
    slope = float(np.median((rest[j] - rest[i]) / (middle[j] - middle[i])))
    level = rest - slope * middle
    scatter = 1.4826 * float(np.median(np.abs(level - np.median(level))))
    drift = slope * float(time[-1])
    return drift if abs(drift) > max(3e-3, 4 * scatter) else 0.0
