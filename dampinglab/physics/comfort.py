"""How strongly a person feels a vibration: the frequency weightings of ISO 2631-1.

References
----------
ISO 2631-1:1997, Annex A and Table 3; parameters as in ISO 8041. Neither standard's own text was
read; the values are those of public manuals of vibration meters and public code that agree.
"""

from functools import lru_cache

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq

from dampinglab.errors import OutOfRange, check_range

__all__ = ["vibration_dose", "weighted_rms", "weighting"]

# kind: (transition f3 = f4, Q4, step f5, Q5, f6, Q6), Hz; band limits are common to all.
_KINDS = {
    "Wk": (12.5, 0.63, 2.37, 0.91, 3.35, 0.91),
    "Wd": (2.0, 0.63, None, None, None, None),
}
_BAND = (0.4, 100.0)  # Hz, second-order Butterworth high pass and low pass


def weighting(frequency, kind="Wk"):
    """Return the weighting at frequencies, as a complex factor.

    Parameters
    ----------
    frequency : array_like
        Hz, zero or more.
    kind : {"Wk", "Wd"}, optional
        Wk for vertical, Wd for sideways and fore-aft movement of a seated or standing person.

    Returns
    -------
    ndarray
        Complex weighting; its size is the factor of the standard's table.

    Raises
    ------
    OutOfRange
        If there is no such kind or a frequency is negative.

    Examples
    --------
    >>> round(float(abs(weighting(8.0))), 2)
    1.04
    """
    if kind not in _KINDS:
        raise OutOfRange(f"There is no weighting {kind!r}; give 'Wk' (up and down) or 'Wd'.")
    f = np.asarray(check_range("Frequency", frequency, 0, 1e6, "Hz"), float)
    s = 1j * f
    low, high = _BAND
    root = np.sqrt(2)
    limits = s**2 / (s**2 + root * low * s + low**2) / (1 + root * s / high + (s / high) ** 2)
    f4, q4, f5, q5, f6, q6 = _KINDS[kind]
    transition = (1 + s / f4) / (1 + s / (q4 * f4) + (s / f4) ** 2)
    if f5 is None:
        return limits * transition
    upward = (s**2 + s * f5 / q5 + f5**2) / (s**2 + s * f6 / q6 + f6**2)
    return limits * transition * upward


def weighted_rms(acceleration, dt, kind="Wk"):
    """Return the weighted root mean square of an acceleration record.

    The weighting is applied to the record's spectrum, with room behind the record so that its
    end does not wrap round to its start. What the filter still rings in that room counts towards
    the record's energy, as if the ride went on over nothing: a record that ends on a blow is
    given the whole of it.

    Parameters
    ----------
    acceleration : ndarray, shape (n,) or (n, m)
        m/s2, evenly sampled along the first axis; best without its mean.
    dt : float
        Time between samples, s.
    kind : {"Wk", "Wd"}, optional
        As `weighting`.

    Returns
    -------
    float or ndarray, shape (m,)
        Weighted r.m.s., m/s2.

    Raises
    ------
    OutOfRange
        If the record is shorter than a second or the sampling is slower than 200 a second, too
        slow for the weighting's 80 Hz.

    References
    ----------
    ISO 2631-1:1997, clause 6.1 (basic evaluation).
    """
    waves, size = _waves(acceleration, dt)
    spectrum = waves.real**2 + waves.imag**2
    # Parseval: the two-sided sum is twice the one-sided, but for the ends, which weigh nothing.
    energy = 2 * np.tensordot(_power(size, dt, kind), spectrum, axes=(0, 0)) / size
    return np.sqrt(energy / len(acceleration))


def vibration_dose(acceleration, dt, kind="Wk"):
    """Return the vibration dose value (VDV) of an acceleration record: blows count for more.

    The fourth power of the weighted acceleration, added up over time. It grows as long as the
    ride goes on, so compare records of one length only.

    Parameters
    ----------
    acceleration : ndarray, shape (n,) or (n, m)
        As `weighted_rms`; the weighting rings on behind the record, and that counts too.
    dt : float
        Time between samples, s.
    kind : {"Wk", "Wd"}, optional
        As `weighting`.

    Returns
    -------
    float or ndarray, shape (m,)
        m/s^1.75.

    Raises
    ------
    OutOfRange
        As `weighted_rms`.

    References
    ----------
    ISO 2631-1:1997, clause 6.3 (additional evaluation); the formula from memory.
    """
    waves, size = _waves(acceleration, dt)
    factor = weighting(rfftfreq(size, dt), kind)
    felt = irfft((waves.T * factor).T, size, axis=0)
    return (dt * np.sum(felt**4, axis=0)) ** 0.25


def _waves(acceleration, dt):
    """Return a record's spectrum, with room for 5 s of ringing behind it, and how long both are."""
    record = np.asarray(acceleration, float)
    count = record.shape[0]
    check_range("Time between samples", dt, 1e-6, 5e-3, "s", "sample 200 times a second or more")
    check_range("Record length", count * dt, 1.0, 1e6, "s")
    size = next_fast_len(count + int(5 / dt), real=True)
    return rfft(record, size, axis=0), size


@lru_cache(maxsize=16)
def _power(size: int, dt: float, kind: str) -> np.ndarray:
    """Return the square of the weighting at the frequencies of a spectrum."""
    return np.abs(weighting(rfftfreq(size, dt), kind)) ** 2
