"""Find in a bounce test where the hands let go, and where the swings become too small to use."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.signal import butter, sosfiltfilt

from dampinglab.errors import LearnerError
from dampinglab.units import G
from dampinglab.workshop.decay import FreeDecay, fit_decay
from dampinglab.workshop.record import Record

__all__ = [
    "LeftOut",
    "Peak",
    "Sight",
    "fit_between",
    "last_clipped",
    "left_out",
    "release",
    "sight",
    "turning_points",
]

_GRID = 0.01  # s, of the smoothed copy
_SMOOTH = 6.0  # Hz: above any body, below the wheel's hop
_READABLE = 3.0  # times the smoothed noise
_FLOOR = 0.1  # share of the largest swing; below it friction has the last word
_LATE = 1.0  # s at either end that may show the rest level
_TRY = 0.04  # s between the starts that are tried
_LOOK = 1.25  # swings over which a start is tried
_LIFT = 0.8 * G  # m/s2 downward; in free fall it would be all of gravity
_FAR = 0.06  # m of body travel, enough to touch a stop on many vehicles
_FEWEST = 12  # readings for five parameters


class LeftOut(NamedTuple):
    """A stretch that the fit does not use, and why.

    Parameters
    ----------
    start, end : float
        s.
    why : str
        A few words.
    """

    start: float
    end: float
    why: str


class Peak(NamedTuple):
    """A turning point of the free decay.

    Parameters
    ----------
    time : float
        s.
    height : float
        Above rest, m/s2, negative below it.
    """

    time: float
    height: float


@dataclass(frozen=True, eq=False)
class Sight:
    """What can be seen in a record before anything is fitted.

    Parameters
    ----------
    time, acceleration : ndarray
        The readings, s and m/s2.
    noise : float
        Standard deviation of one reading, m/s2.
    rest, rest_error : float
        Level at rest and how well it is known, m/s2.
    grid, smooth : ndarray
        Even times and the smoothed acceleration above rest there.
    turns : ndarray of int
        Turning points on the grid, alternately up and down, that stand out of the noise.
    swing : float
        Time of one swing after the largest, s, as far as the turning points show it.
    end : float
        From here on the swings are too small to use, s.
    """

    time: np.ndarray
    acceleration: np.ndarray
    noise: float
    rest: float
    rest_error: float
    grid: np.ndarray
    smooth: np.ndarray
    turns: np.ndarray
    swing: float
    end: float


def sight(record: Record) -> Sight:
    """Look a record over: noise, rest level, turning points, last usable swing.

    Parameters
    ----------
    record : Record
        A bounce test.

    Returns
    -------
    Sight
        What was found.

    Raises
    ------
    LearnerError
        If nothing swings.
    """
    t, a = record.time, record.acceleration
    noise = _noise(t, a)
    rest, rest_error = _rest(t, a, noise)
    grid = np.arange(t[0], t[-1], _GRID)
    low_pass = butter(2, _SMOOTH * 2 * _GRID, output="sos")
    smooth = sosfiltfilt(low_pass, np.interp(grid, t, a) - rest)
    least = _READABLE * noise * np.sqrt(2 * _SMOOTH * (t[-1] - t[0]) / len(t))
    top = float(np.abs(smooth).max())
    if top < 3 * least:
        raise LearnerError(
            f"{record.name}: nothing in it stands out of the noise of {noise:.2g} m/s²; push "
            f"harder, in the rhythm of the body, and let go."
        )
    turns = _turns(smooth, max(least, _FLOOR * top))
    return Sight(t, a, noise, rest, rest_error, grid, smooth, turns, *_span(grid, smooth, turns))


def _noise(t, a) -> float:
    """Return the noise of one reading: how far it lies off the line between its neighbours."""
    share = (t[1:-1] - t[:-2]) / (t[2:] - t[:-2])
    off = a[1:-1] - (a[:-2] * (1 - share) + a[2:] * share)
    step = np.diff(np.unique(a)).min(initial=1.0)  # a coarse phone hides its noise in its steps
    variance = 1 + np.mean(share**2 + (1 - share) ** 2)
    return float(max(1.4826 * np.median(np.abs(off)) / np.sqrt(variance), 0.3 * step, 1e-4))


def _rest(t, a, noise: float) -> tuple[float, float]:
    """Return the level of the quieter end of the record, and how well it is known."""
    ends = [a[t > t[-1] - _LATE], a[t < t[0] + _LATE]]
    quiet = min(ends, key=np.std)
    unrest = float(np.std(quiet))
    still = unrest < 1.5 * noise
    return float(np.mean(quiet)), max(unrest, noise) / (np.sqrt(len(quiet)) if still else 1.0)


def _turns(smooth, least: float) -> np.ndarray:
    """Return the highest or lowest point between each two crossings of rest, if tall enough."""
    crossings = np.flatnonzero(np.diff(np.sign(smooth))) + 1
    spans = np.split(np.arange(len(smooth)), crossings)
    tops = np.array([span[np.argmax(np.abs(smooth[span]))] for span in spans])
    return tops[np.abs(smooth[tops]) > least]


def _span(grid, smooth, turns) -> tuple[float, float]:
    """Return the time of one swing, and the end of the last swing that can be used."""
    times, heights = grid[turns], np.abs(smooth[turns])
    halves = np.diff(times[np.argmax(heights) :])
    swing = 2 * float(np.median(halves)) if len(halves) else 0.8
    last_large = times[heights > 0.4 * heights.max()][-1]
    return swing, float(min(max(times[-1] + swing / 4, last_large + 0.75 * swing), grid[-1]))


def fit_between(seen: Sight, start: float, end: float) -> FreeDecay | None:
    """Fit the free decay to the readings between two times.

    Parameters
    ----------
    seen : Sight
        The record, looked over.
    start, end : float
        s.

    Returns
    -------
    FreeDecay or None
        None when there are too few readings between, or less than half a swing.
    """
    inside = (seen.time >= start) & (seen.time <= end)
    if inside.sum() < _FEWEST or end - start < 0.45 * seen.swing:
        return None
    pace = 2 * np.pi / seen.swing
    rest = (seen.rest, seen.rest_error)
    readings = (seen.time[inside], seen.acceleration[inside])
    return fit_decay(*readings, seen.noise, rest, (0.25 * pace, pace))


def release(seen: Sight, misfit: float, earliest: float = -np.inf) -> float | None:
    """Find the earliest time from which the record is one free decay.

    Each start is tried by fitting a decay to the swing that follows: with a hand still on, a stop
    touched or the tyre off the ground, it leaves more over than noise does.

    Parameters
    ----------
    seen : Sight
        The record, looked over.
    misfit : float
        Share of the swing that a free decay of a real corner may leave over, beside noise.
    earliest : float, optional
        s; nothing before it is tried.

    Returns
    -------
    float or None
        s; None when no stretch is a free decay.
    """
    heights = np.abs(seen.smooth[seen.turns])
    first_large = seen.grid[seen.turns][heights > 0.4 * heights.max()][0]
    first = max(first_large - 0.3 * seen.swing, earliest)
    free = 0
    for start in np.arange(first, seen.end - 0.45 * seen.swing, _TRY):
        free = free + 1 if _is_free(seen, start, misfit) else 0
        if free == 3:  # once may be luck
            return float(start - 2 * _TRY)
    return None


def _is_free(seen: Sight, start: float, misfit: float) -> bool:
    """Return whether the swing from here is a decay, larger than all that comes later."""
    height, split = np.abs(seen.smooth), start + seen.swing
    tallest = height[(seen.grid >= start) & (seen.grid <= split)].max()
    if height[seen.grid > split].max(initial=0.0) > 0.95 * tallest:
        return False
    decay = fit_between(seen, start, min(seen.end, start + _LOOK * seen.swing))
    if decay is None or decay.parameters[0] <= 0:
        return False
    return decay.residual**2 < 1.3 * seen.noise**2 + (misfit * tallest) ** 2


def last_clipped(record: Record, noise: float) -> float:
    """Return when the sensor last stood at its end.

    Parameters
    ----------
    record : Record
        A bounce test.
    noise : float
        Standard deviation of one reading, m/s2.

    Returns
    -------
    float
        s; minus infinity when it never did, or when the readings are too coarse to tell.
    """
    a, last = record.acceleration, -np.inf
    step = np.diff(np.unique(a)).min(initial=0.0)
    if noise < 1.5 * step:  # so coarse that equal readings prove nothing
        return last
    for end in (a.max(), a.min()):
        flat = np.convolve(a == end, np.ones(4), "valid") == 4
        if flat.any():
            last = max(last, record.time[np.flatnonzero(flat)[-1] + 3])
    return last


def turning_points(seen: Sight, window) -> tuple[Peak, ...]:
    """Return the turning points that a fit used.

    Parameters
    ----------
    seen : Sight
        The record, looked over.
    window : tuple of float
        Start and end, s.

    Returns
    -------
    tuple of Peak
        In the order of the record.
    """
    times = seen.grid[seen.turns]
    inside = (times >= window[0]) & (times <= window[1])
    pairs = zip(times[inside], seen.smooth[seen.turns][inside], strict=True)
    return tuple(Peak(float(time), float(height)) for time, height in pairs)


def left_out(seen: Sight, window, decay: FreeDecay) -> tuple[LeftOut, ...]:
    """Return what a fit did not use, and why.

    Parameters
    ----------
    seen : Sight
        The record, looked over.
    window : tuple of float
        Start and end, s.
    decay : FreeDecay
        The fit; its frequency tells how far a swing went.

    Returns
    -------
    tuple of LeftOut
        Stretches of the record; the violent swings lie inside the push.
    """
    moving = np.abs(seen.smooth) > np.abs(seen.smooth[seen.turns]).min()
    onset = float(seen.grid[np.argmax(moving)])
    parts = [
        LeftOut(float(seen.time[0]), onset, "at rest"),
        LeftOut(onset, window[0], "pushed by hand"),
        *_violent(seen, window[0], 2 * np.pi * decay.frequency.value),
        LeftOut(window[1], float(seen.time[-1]), "too small: friction and noise"),
    ]
    return tuple(part for part in parts if part.end > part.start)


def _violent(seen: Sight, until: float, pace: float) -> list[LeftOut]:
    """Return the swings of the push that may have touched a stop or lifted the tyre."""
    crossings = seen.grid[np.flatnonzero(np.diff(np.sign(seen.smooth)))]
    found = []
    for i in seen.turns[seen.grid[seen.turns] < until]:
        height, around = seen.smooth[i], np.searchsorted(crossings, seen.grid[i])
        start, end = crossings[max(0, around - 1)], crossings[min(around, len(crossings) - 1)]
        if height < -_LIFT:
            found.append(LeftOut(float(start), float(end), "the tyre may have left the ground"))
        elif abs(height) / pace**2 > _FAR:
            found.append(LeftOut(float(start), float(end), "a stop may have been touched"))
    return found
