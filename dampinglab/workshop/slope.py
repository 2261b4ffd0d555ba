"""Turn positions into speeds: a slope fitted to a few readings, its cut-off, loss and noise."""

from dataclasses import dataclass

import numpy as np
from scipy.signal import savgol_coeffs

from dampinglab.errors import check_range

__all__ = ["Slope", "noise_of", "slope_for"]

_ORDER = 4
_FEWEST = 5  # readings in a window
_HALVES = 2.0  # no half window that spans this many cycles of its cut-off has it
_HALF_POWER = np.sqrt(0.5)


@dataclass(frozen=True, eq=False)
class Slope:
    """The slope of a polynomial of fourth order fitted round each reading.

    Parameters
    ----------
    weights : ndarray
        Of the readings in the window, 1/s; odd count, first the oldest.
    dt : float
        Time between readings, s.
    cutoff : float
        Frequency at which the speed reads 0.71 of what it is, Hz.

    References
    ----------
    Savitzky, A. and Golay, M. J. E. (1964), Smoothing and differentiation of data by simplified
    least squares procedures, Analytical Chemistry 36, 1627 (from memory).
    """

    weights: np.ndarray
    dt: float
    cutoff: float

    @property
    def noise_gain(self) -> float:
        """Noise of the speed over noise of a reading, 1/s, for noise that is not correlated."""
        return float(np.sqrt(np.sum(self.weights**2)))

    @property
    def reach(self) -> int:
        """Readings that the window spans on either side."""
        return len(self.weights) // 2

    def loss(self, frequency):
        """Return the share by which a movement's speed reads low.

        Parameters
        ----------
        frequency : float or array_like
            Hz, above zero.

        Returns
        -------
        float or ndarray
            0 where it reads right, 1 where nothing is left; negative where it reads high.
        """
        return 1 - _response(self.weights, self.dt, frequency)

    def of(self, position):
        """Return the speed of evenly sampled positions.

        Parameters
        ----------
        position : ndarray
            m; at both ends it is taken to go on as it stands.

        Returns
        -------
        ndarray
            m/s, same shape.
        """
        padded = np.pad(position, self.reach, mode="edge")
        return np.convolve(padded, self.weights[::-1], mode="valid")

    def clear_of(self, used):
        """Return where no bad reading and no end of the record lies in the window.

        Parameters
        ----------
        used : ndarray of bool
            Which readings can be trusted.

        Returns
        -------
        ndarray of bool
            Same shape.
        """
        good = np.pad(np.asarray(used, float), self.reach)
        return np.convolve(good, np.ones(len(self.weights)), mode="valid") > len(self.weights) - 0.5


def slope_for(dt: float, cutoff: float) -> Slope:
    """Return the slope with the longest window whose cut-off is not below the one wanted.

    Parameters
    ----------
    dt : float
        Time between readings, s.
    cutoff : float
        Wanted, Hz, 1 to 500; where the readings are too slow for it the shortest window is
        taken, and its own cut-off says so.

    Returns
    -------
    Slope
        With the cut-off that it has.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> slow = slope_for(0.02, 60.0)
    >>> len(slow.weights), round(slow.cutoff, 1)
    (5, 15.3)
    """
    check_range("Time between readings", dt, 1e-5, 0.1, "s", "1000 ms is 1 s")
    check_range("Cut-off", cutoff, 1, 500, "Hz")
    # Half windows; the cut-off falls as they grow.
    low, high = _FEWEST // 2, int(_HALVES / (cutoff * dt)) + _FEWEST
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _cutoff(middle, dt) >= cutoff else (low, middle)
    return Slope(_weights(low, dt), dt, _cutoff(low, dt))


def _weights(half: int, dt: float) -> np.ndarray:
    return savgol_coeffs(2 * half + 1, _ORDER, deriv=1, delta=dt, use="dot")


def _cutoff(half: int, dt: float) -> float:
    """Return where the response first falls to half power, Hz."""
    frequency = np.linspace(1e-3, 0.5, 600) * min(1.0, 4.0 / half) / dt
    low = _response(_weights(half, dt), dt, frequency) < _HALF_POWER
    return float(frequency[np.argmax(low)])


def _response(weights: np.ndarray, dt: float, frequency):
    """Return the speed read over the true speed of a sine: odd weights keep its phase."""
    turn = 2 * np.pi * np.multiply.outer(np.asarray(frequency, float), dt * _places(weights))
    pace = 2 * np.pi * np.asarray(frequency, float)
    return np.sin(turn) @ weights / pace


def _places(weights: np.ndarray) -> np.ndarray:
    return np.arange(len(weights)) - len(weights) // 2


def noise_of(position) -> float:
    """Return the noise of a reading, told from the quieter quarter of a record.

    Parameters
    ----------
    position : ndarray
        m, evenly sampled.

    Returns
    -------
    float
        One standard deviation, m. Movement that is fast beside the sampling adds to it, so at
        slow rates it is an upper bound.

    Notes
    -----
    Fourth differences leave white noise 70 times its variance and take nearly all of a smooth
    movement away; steps of the readings count as a twelfth of their square.
    """
    fourth = np.diff(np.asarray(position, float), 4)
    size = max(min(250, len(fourth) // 10), 20)
    blocks = fourth[: len(fourth) // size * size].reshape(-1, size)
    quiet = float(np.percentile(np.sqrt(np.mean(blocks**2, axis=1) / 70), 25))
    steps = np.diff(np.unique(np.round(position, 9)))
    grain = float(np.percentile(steps, 5)) if steps.size else 0.0
    return max(quiet, grain / np.sqrt(12))
