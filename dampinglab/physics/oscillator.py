"""One mass on one spring with one viscous damper: the vocabulary of all that follows.

Notes
-----
All formulas are those of any first book on vibration; `tests/published` compares them with the
printed worked examples of several.
"""

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.units import G

__all__ = [
    "critical_damping",
    "damped_frequency",
    "damping_ratio",
    "decrement_from_ratio",
    "free_decay",
    "frequency_from_deflection",
    "log_decrement",
    "natural_frequency",
    "next_swing",
    "overshoot",
    "ratio_from_decrement",
    "settling_time",
    "static_deflection",
    "transmissibility",
]


def natural_frequency(stiffness, mass):
    """Return the undamped natural frequency, f = sqrt(k/m) / (2 pi).

    Parameters
    ----------
    stiffness : float or array_like
        Spring rate, N/m, above zero.
    mass : float or array_like
        Mass that the spring carries, kg, above zero.

    Returns
    -------
    float or ndarray
        Frequency, Hz.

    Raises
    ------
    OutOfRange
        If either is not a positive number.

    Examples
    --------
    >>> round(float(natural_frequency(4 * np.pi**2, 1.0)), 12)
    1.0
    """
    return np.sqrt(_positive("Stiffness", stiffness, "N/m") / _positive("Mass", mass, "kg")) / (
        2 * np.pi
    )


def critical_damping(stiffness, mass):
    """Return the damping at which the mass just no longer swings past, c = 2 sqrt(k m).

    Parameters
    ----------
    stiffness : float or array_like
        Spring rate, N/m, above zero.
    mass : float or array_like
        Mass, kg, above zero.

    Returns
    -------
    float or ndarray
        Critical damping coefficient, N s/m.

    Raises
    ------
    OutOfRange
        If either is not a positive number.

    Examples
    --------
    >>> float(critical_damping(100.0, 1.0))
    20.0
    """
    return 2 * np.sqrt(_positive("Stiffness", stiffness, "N/m") * _positive("Mass", mass, "kg"))


def damping_ratio(damping, stiffness, mass):
    """Return the damping as a share of critical, zeta = c / (2 sqrt(k m)).

    Parameters
    ----------
    damping : float or array_like
        Damping coefficient, N s/m, zero or more.
    stiffness : float or array_like
        Spring rate, N/m, above zero.
    mass : float or array_like
        Mass, kg, above zero.

    Returns
    -------
    float or ndarray
        Damping ratio, no unit: 1 is critical.

    Raises
    ------
    OutOfRange
        If the damping is negative, or another argument is not positive.

    Examples
    --------
    >>> float(damping_ratio(critical_damping(3e4, 400.0), 3e4, 400.0))
    1.0
    """
    coefficient = check_range("Damping", damping, 0, 1e9, "N·s/m")
    return coefficient / critical_damping(stiffness, mass)


def damped_frequency(frequency, ratio):
    """Return how often a damped mass swings, f_d = f sqrt(1 - zeta^2).

    Parameters
    ----------
    frequency : float or array_like
        Undamped natural frequency, Hz, above zero.
    ratio : float or array_like
        Damping ratio, 0 to 1.

    Returns
    -------
    float or ndarray
        Damped frequency, Hz; zero at critical damping.

    Raises
    ------
    OutOfRange
        If the ratio lies outside 0 to 1, where there is no swing to count.

    Examples
    --------
    >>> float(damped_frequency(1.0, 0.6))
    0.8
    """
    zeta = check_range("Damping ratio", ratio, 0, 1, hint="above 1 nothing swings")
    return _positive("Frequency", frequency, "Hz") * np.sqrt(1 - np.square(zeta))


def log_decrement(first, later, cycles=1.0):
    """Return the logarithmic decrement a whole cycle, delta = ln(x1 / x2) / n.

    Parameters
    ----------
    first : float
        Height of a peak above rest, any unit, above zero.
    later : float
        Height of a later peak, same unit, above zero and not above the first.
    cycles : float, optional
        Whole cycles between them; 0.5 for a peak and the trough that follows.

    Returns
    -------
    float
        Logarithmic decrement a cycle, no unit.

    Raises
    ------
    OutOfRange
        If a height is not positive, or the later one is the higher.

    Examples
    --------
    >>> float(log_decrement(1.0, 1.0))
    0.0
    """
    before, after = _positive("First peak", first), _positive("Later peak", later)
    if np.any(np.asarray(after) > np.asarray(before)):
        raise OutOfRange(
            f"The later peak, {after:g}, is higher than the first, {before:g}: "
            f"give the first swing first."
        )
    return np.log(np.divide(before, after)) / _positive("Number of cycles", cycles)


def ratio_from_decrement(decrement):
    """Return the damping ratio that belongs to a decrement, zeta = delta / sqrt(4 pi^2 + delta^2).

    Parameters
    ----------
    decrement : float or array_like
        Logarithmic decrement a whole cycle, zero or more.

    Returns
    -------
    float or ndarray
        Damping ratio, below 1.

    Raises
    ------
    OutOfRange
        If the decrement is negative.

    Examples
    --------
    >>> round(float(ratio_from_decrement(decrement_from_ratio(0.3))), 12)
    0.3
    """
    delta = check_range("Logarithmic decrement", decrement, 0, 1e6)
    return np.divide(delta, np.hypot(2 * np.pi, delta))


def decrement_from_ratio(ratio):
    """Return the logarithmic decrement a cycle, delta = 2 pi zeta / sqrt(1 - zeta^2).

    Parameters
    ----------
    ratio : float or array_like
        Damping ratio, from 0 to below 1.

    Returns
    -------
    float or ndarray
        Logarithmic decrement, no unit.

    Raises
    ------
    OutOfRange
        If the ratio is negative, or 1 or more, where there is no second swing.
    """
    zeta = check_range("Damping ratio", ratio, 0, 1 - 1e-9, hint="from 1 on there is no swing")
    return 2 * np.pi * np.asarray(zeta) / np.sqrt(1 - np.square(zeta))


def next_swing(ratio):
    """Return one swing as a share of the one before on the same side, exp(-delta).

    Parameters
    ----------
    ratio : float or array_like
        Damping ratio, from 0 to below 1.

    Returns
    -------
    float or ndarray
        Share, 1 at no damping, falling towards 0.

    Raises
    ------
    OutOfRange
        If the ratio is negative, or 1 or more.

    Examples
    --------
    >>> float(next_swing(0.0))
    1.0
    """
    return np.exp(-decrement_from_ratio(ratio))


def static_deflection(load, stiffness):
    """Return how far a spring gives under a force, x = F / k.

    Parameters
    ----------
    load : float or array_like
        Force on the spring, N.
    stiffness : float or array_like
        Spring rate, N/m, above zero.

    Returns
    -------
    float or ndarray
        Deflection, m, positive in the direction of the load.

    Raises
    ------
    OutOfRange
        If the stiffness is not positive.
    """
    return np.asarray(load) / _positive("Stiffness", stiffness, "N/m")


def frequency_from_deflection(deflection):
    """Return the natural frequency of a mass whose weight deflects its spring so far.

    f = sqrt(g / x) / (2 pi): mass and stiffness drop out, only the deflection stays.

    Parameters
    ----------
    deflection : float or array_like
        Static deflection under the whole weight, m, above zero.

    Returns
    -------
    float or ndarray
        Natural frequency, Hz.

    Raises
    ------
    OutOfRange
        If the deflection is not positive.
    """
    return np.sqrt(G / _positive("Static deflection", deflection, "m")) / (2 * np.pi)


def free_decay(t, mass, stiffness, damping, displacement, velocity=0.0):
    """Return where a mass is after it is let go: swinging, critical or creeping back.

    The exact solution of m x'' + c x' + k x = 0, one formula for all three cases:
    x = exp(-z w t) [x0 C(t) + (v0 + z w x0) S(t)], where C and S are cosine and sine over the
    damped frequency, or their hyperbolic twins above critical.

    Parameters
    ----------
    t : float or array_like
        Time since letting go, s, zero or more.
    mass, stiffness : float
        kg and N/m, above zero.
    damping : float
        N s/m, zero or more.
    displacement : float
        Displacement from rest at the start, m.
    velocity : float, optional
        Velocity at the start, m/s.

    Returns
    -------
    float or ndarray
        Displacement, m, shape of `t`.

    Raises
    ------
    OutOfRange
        If mass or stiffness is not positive or the damping is negative.

    Examples
    --------
    >>> float(free_decay(0.0, 1.0, 100.0, 2.0, 0.05))
    0.05
    """
    zeta = damping_ratio(damping, stiffness, mass)
    omega = 2 * np.pi * natural_frequency(stiffness, mass)
    # A complex root turns cosh and sinh into cos and sin below critical. sinh(s t)/s needs care
    # only at s = 0 itself, where its limit is t.
    root = omega * np.sqrt(complex(zeta**2 - 1))
    time = np.asarray(t, dtype=float)
    if abs(root) < 1e-9 * omega:
        even, odd = np.exp(-zeta * omega * time), time * np.exp(-zeta * omega * time)
    else:
        # Exponents are joined before exp, so a heavily damped mass does not overflow.
        fall, rise = np.exp((root - zeta * omega) * time), np.exp((-root - zeta * omega) * time)
        even, odd = ((fall + rise) / 2).real, ((fall - rise) / (2 * root)).real
    return displacement * even + (velocity + zeta * omega * displacement) * odd


def transmissibility(frequency_ratio, ratio):
    """Return how much of a shaking floor reaches the mass, |X / Y|.

    T = sqrt((1 + (2 z r)^2) / ((1 - r^2)^2 + (2 z r)^2)).

    Parameters
    ----------
    frequency_ratio : float or array_like
        Shaking frequency over natural frequency, r, zero or more.
    ratio : float or array_like
        Damping ratio, zero or more.

    Returns
    -------
    float or ndarray
        Amplitude of the mass over amplitude of the floor. At r = sqrt(2) it is 1 whatever the
        damping.

    Raises
    ------
    OutOfRange
        If either is negative.

    Examples
    --------
    >>> round(float(transmissibility(np.sqrt(2), 0.7)), 12)
    1.0
    """
    r = np.asarray(check_range("Frequency ratio", frequency_ratio, 0, 1e6))
    cross = np.square(2 * np.asarray(check_range("Damping ratio", ratio, 0, 1e6)) * r)
    return np.sqrt((1 + cross) / (np.square(1 - r * r) + cross))


def settling_time(frequency, ratio, band=0.05):
    """Return when a mass that was let go stays within a band around rest.

    Read off the exact decay, not off its envelope, so that the answer is also right above
    critical damping, where more damping makes the return slower.

    Parameters
    ----------
    frequency : float
        Undamped natural frequency, Hz, above zero.
    ratio : float
        Damping ratio, 0.01 to 20.
    band : float, optional
        Half width of the band as a share of the height let go from, above 0 and below 1.

    Returns
    -------
    float
        Time, s, to about a thousandth of a cycle.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    zeta = check_range("Damping ratio", ratio, 0.01, 20)
    share = check_range("Band", band, 1e-4, 0.99)
    # The slowest part of the decay, with room to spare, bounds how long one has to look; twice
    # the logarithm, because near critical damping (1 + w t) exp(-w t) lags behind exp(-w t).
    slowest = zeta if zeta <= 1 else zeta - np.sqrt(zeta**2 - 1)
    cycles = 2 * (np.log(1 / share) + 1) / (2 * np.pi * slowest)
    t = np.linspace(0, cycles, int(1000 * cycles) + 1000)
    swing = free_decay(t, 1.0, 4 * np.pi**2, 4 * np.pi * zeta, 1.0)
    return float(t[np.nonzero(np.abs(swing) > share)[0][-1]] / _positive("Frequency", frequency))


def overshoot(ratio):
    """Return how far a mass passes its new rest after a step of force, exp(-pi z / sqrt(1 - z^2)).

    Parameters
    ----------
    ratio : float or array_like
        Damping ratio, 0 to below 1; from 1 on nothing is passed.

    Returns
    -------
    float or ndarray
        Share of the way.

    Raises
    ------
    OutOfRange
        If the ratio lies outside its range.

    Examples
    --------
    >>> float(overshoot(0.0))
    1.0
    """
    zeta = np.asarray(check_range("Damping ratio", ratio, 0, 0.9999), float)
    return np.exp(-np.pi * zeta / np.sqrt(1 - zeta**2))


def _positive(name, value, unit=""):
    """Return a value that must be above zero."""
    return check_range(name, value, 1e-12, 1e15, unit)
