"""Read a bounce test: how the body settles after a push by hand, as far as that can tell."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from dampinglab.errors import LearnerError, check_range
from dampinglab.workshop.decay import Estimate, FreeDecay
from dampinglab.workshop.record import Record
from dampinglab.workshop.window import (
    LeftOut,
    Peak,
    Sight,
    fit_between,
    last_clipped,
    left_out,
    release,
    sight,
    turning_points,
)

__all__ = [
    "BANDS",
    "CANNOT_TELL",
    "Band",
    "BounceReading",
    "damper_ratio",
    "friction_share",
    "judge",
    "read_bounce",
]

_GUARD = 1 / 16  # of a swing after the release is left out too: fingers take time to leave
_MOST = 0.45  # with it the second swing is 4 % of the first, lost in noise and friction
_LOOSEST = 0.05  # one standard deviation of a ratio that is still called read
_BESIDE = 0.15  # of a swing: the peak at the release counts as seen, though it is not fitted
_CLEAN, _ROUGH = 0.025, 0.08  # share of the swing that the fit may leave over, beside noise
_EARLIER = 0.6  # of a swing that a rough fit must gain to be worth it
_UNSETTLED = 0.6  # share of the largest swing that no record may still show at its end
_SETTLE = 0.75  # of a swing that a record must go on after the release
_SHIFTS = (0.0, 1 / 6, 1 / 3)  # of the window, cut off at either end

CANNOT_TELL = (
    "A bounce test moves the shaft slowly, so it tells of low-speed damping only.",
    "It reads bump and rebound together, and friction adds to what it reads: a stiff joint can "
    "hide a worn damper.",
    "The tyre gives too, so the swing is damped less than the damper would by itself.",
    "A corner shares its body with the others, so compare left with right rather than with a book.",
)


class Band(NamedTuple):
    """What a damping ratio read by a bounce test suggests: common practice, no source.

    Parameters
    ----------
    name : str
        What the corner is called.
    low, high : float
        Damping ratios between which it is called so.
    says : str
        What to do about it.
    """

    name: str
    low: float
    high: float
    says: str


BANDS = (
    Band("worn", 0.0, 0.15, "it swings on: look for oil, gas loss, worn bushes"),
    Band("in range", 0.15, 0.45, "nothing in the bounce test speaks against the damper"),
    Band("overdamped", 0.45, np.inf, "it hardly swings: look at clicks, friction, a bent rod"),
)


@dataclass(frozen=True, eq=False)
class BounceReading:
    """What a bounce test tells, and what it rests on.

    Parameters
    ----------
    record : Record
        The record.
    seen : Sight
        Its smoothed copy, rest level and noise.
    decay : FreeDecay
        The fitted decay.
    window : tuple of float
        What the fit used, s.
    ratio, frequency : Estimate
        Damping ratio and undamped natural frequency, Hz, of the body on spring and tyre.
    peaks : tuple of Peak
        Turning points in the window, up positive.
    left_out : tuple of LeftOut
        All the rest of the record, and why.
    remarks : tuple of str
        Whole sentences that a reader should know.
    """

    record: Record
    seen: Sight
    decay: FreeDecay
    window: tuple[float, float]
    ratio: Estimate
    frequency: Estimate
    peaks: tuple[Peak, ...]
    left_out: tuple[LeftOut, ...]
    remarks: tuple[str, ...]

    @property
    def readable(self) -> bool:
        """Whether a second swing stands out, and the ratio is neither too high nor too loose."""
        turns = self.seen.grid[self.seen.turns]
        early = self.window[0] - _BESIDE * self.seen.swing
        seen = np.count_nonzero((turns >= early) & (turns <= self.window[1]))
        return seen >= 3 and self.ratio.value <= _MOST and self.ratio.sigma <= _LOOSEST

    @property
    def bound(self) -> float:
        """What the ratio is at least.

        Two standard deviations below what was read; or three of the fit alone when it could not
        be read, and never above the highest ratio that can be.
        """
        spare = 2 * self.ratio.sigma if self.readable else 3 * self.ratio.fit
        return float(np.clip(self.ratio.value - spare, 0.0, _MOST))

    @property
    def words(self) -> str:
        """The reading in one sentence."""
        value, sigma = self.ratio.value, self.ratio.sigma
        if self.readable:
            return (
                f"The damping ratio is {value:.3f} ± {max(2 * sigma, 0.001):.3f} and the frequency "
                f"{self.frequency.value:.2f} ± {max(2 * self.frequency.sigma, 0.01):.2f} Hz."
            )
        if value > _MOST:
            return (
                f"The damping is too high to read, for no second swing stands out: the ratio is "
                f"at least about {self.bound:.2f}."
            )
        return (
            f"The swings are too small or too few to read more than a ratio of at least about "
            f"{self.bound:.2f}: push harder, or the damping is high."
        )


def read_bounce(record: Record) -> BounceReading:
    """Find the free decay in a bounce test and read its damping ratio and frequency.

    Parameters
    ----------
    record : Record
        What a phone on the body felt.

    Returns
    -------
    BounceReading
        With uncertainty, window, peaks, and what was left out.

    Raises
    ------
    LearnerError
        If nothing swings, the record ends too soon, or no stretch of it is a free decay.

    Notes
    -----
    Acceleration serves as well as displacement: for a free decay both have the same frequency and
    the same decrement from peak to peak (see `fit_decay`). The uncertainty joins the covariance
    of the fit with how far the result moves when up to a third of the window is cut off at either
    end, beyond what noise explains. Dry friction makes swings die faster as they get smaller,
    which this spread shows in part; it adds to the ratio and cannot be told from it.
    """
    seen = sight(record)
    clip = last_clipped(record, seen.noise)
    window, decay = _fit(record, seen, clip)
    ratio = _spread(seen, window, decay, lambda d: d.ratio)
    return BounceReading(
        record,
        seen,
        decay,
        window,
        ratio,
        frequency=_spread(seen, window, decay, lambda d: d.frequency),
        peaks=turning_points(seen, window),
        left_out=left_out(seen, window, decay),
        remarks=(*record.remarks, *_remarks(seen, decay, clip)),
    )


def damper_ratio(ratio: float, wheel_rate: float, tyre_rate: float) -> float:
    """Return the damping ratio of the body on its spring alone, from one read with the tyre in.

    zeta = reading (1 + k / kt)^(3/2), from spring and damper in series with the tyre at low
    damping; within 2 % up to 0.4 on corners of road vehicles.

    Parameters
    ----------
    ratio : float
        As read by a bounce test, 0 to 1.
    wheel_rate, tyre_rate : float
        N/m, above zero.

    Returns
    -------
    float
        Damping ratio as the rest of the course defines it.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> round(damper_ratio(0.25, 34e3, 250e3), 3)
    0.303
    """
    check_range("Damping ratio", ratio, 0, 1)
    check_range("Wheel rate", wheel_rate, 2e3, 1e6, "N/m", "1 N/mm is 1000 N/m")
    check_range("Tyre rate", tyre_rate, 2e4, 5e6, "N/m", "1 N/mm is 1000 N/m")
    return ratio * (1 + wheel_rate / tyre_rate) ** 1.5


def friction_share(friction: float, wheel_rate: float, swing: float) -> float:
    """Return how much dry friction adds to the damping ratio that a swing shows, 2 F / (pi k X).

    Parameters
    ----------
    friction : float
        Dry friction at the wheel, N, zero or more.
    wheel_rate : float
        Spring rate at the wheel, N/m, above zero.
    swing : float
        Height of the swing above rest, m, above zero.

    Returns
    -------
    float
        To be added to the damper's own ratio; the smaller the swing, the more.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    Equal energy a cycle, 4 F X against pi c w X^2: equivalent damping of dry friction, as in any
    book on vibration.

    Examples
    --------
    >>> round(friction_share(60, 40e3, 0.012), 3)
    0.08
    """
    check_range("Friction", friction, 0, 3000, "N")
    check_range("Wheel rate", wheel_rate, 2e3, 1e6, "N/m", "1 N/mm is 1000 N/m")
    check_range("Swing", swing, 1e-4, 0.5, "m", "1000 mm is 1 m")
    return 2 * friction / (np.pi * wheel_rate * swing)


def judge(reading: BounceReading) -> tuple[Band, ...]:
    """Return the bands that the reading leaves open, within 2 standard deviations.

    Parameters
    ----------
    reading : BounceReading
        A bounce test as read.

    Returns
    -------
    tuple of Band
        One or more, the lowest first.
    """
    spare = 2 * reading.ratio.sigma
    low, high = reading.bound, reading.ratio.value + spare if reading.readable else np.inf
    return tuple(band for band in BANDS if band.low < high and band.high > low)


def _fit(record: Record, seen: Sight, clip: float):
    """Return the window and the decay fitted in it."""
    start = release(seen, _CLEAN, clip)
    if start is None or seen.end - start < seen.swing:
        # Friction bends each swing: better a rough fit of them all than a neat one of the last.
        rough = release(seen, _ROUGH, clip)
        start = rough if start is None or start - rough > _EARLIER * seen.swing else start
    trouble = _no_decay(seen, start, clip)
    if trouble:
        raise LearnerError(f"{record.name}: {trouble}.")
    guarded = start + _GUARD * seen.swing
    decay = fit_between(seen, guarded, seen.end)
    if decay is None:  # so short that nothing can be spared
        guarded, decay = start, fit_between(seen, start, seen.end)
    return (guarded, seen.end), decay


def _spread(seen: Sight, window, decay: FreeDecay, get: Callable) -> Estimate:
    """Return an estimate with how far it moves with the window, beyond what noise explains."""
    start, length, here = window[0], window[1] - window[0], get(decay)
    cuts = [(a * length, b * length) for a in _SHIFTS for b in _SHIFTS if a + b]
    fits = [fit_between(seen, start + a, window[1] - b) for a, b in cuts]
    moved = [get(fit) for fit in fits if fit is not None]
    excess = [(m.value - here.value) ** 2 - max(0.0, m.fit**2 - here.fit**2) for m in moved]
    square = float(np.mean(np.maximum(excess, 0.0))) if moved else 0.0
    return Estimate(here.value, here.fit, float(np.sqrt(square)))


def _no_decay(seen: Sight, start: float | None, clip: float) -> str:
    """Return why nothing can be fitted, or nothing."""
    height, end = np.abs(seen.smooth), seen.grid[-1]
    largest = seen.grid[np.argmax(height)]
    if height[seen.grid > end - seen.swing / 2].max() > _UNSETTLED * height.max():
        return "it still shakes at its end; stop the engine, and let it run 3 s after letting go"
    if end - (start or largest) < _SETTLE * seen.swing:
        return "it ends before the body has settled; let it run for 3 s after letting go"
    if start is None and clip > largest:
        return "the sensor was at its end during the swing; push less, or give it a wider range"
    if start is None:
        return "no free decay follows the last push: hands still on, or damped too highly to swing"
    return ""


def _remarks(seen: Sight, decay: FreeDecay, clip: float) -> tuple[str, ...]:
    """Return what a reader should know about this record."""
    remarks = []
    if np.isfinite(clip):
        remarks.append(f"The sensor was at its end until {clip:.2f} s; that part is not used.")
    if decay.residual > np.hypot(1.3 * seen.noise, _CLEAN * decay.height):
        remarks.append(
            "The swings do not die evenly, as a free decay would: friction is likely, and the "
            "ratio read holds it."
        )
    if seen.rest_error > seen.noise:
        remarks.append("The record never shows the body at rest, which costs accuracy.")
    return tuple(remarks)
