"""One number for a damper that is not viscous: the viscous one that loses as much energy."""

from collections.abc import Callable

import numpy as np
from scipy.special import gamma

from dampinglab.errors import check_range

__all__ = ["cycle_energy", "equivalent_coefficient", "power_law_coefficient"]

_POINTS = 4096  # over one cycle; smooth curves are then exact to rounding, kinks to 1e-6


def cycle_energy(
    force: Callable[[np.ndarray], np.ndarray], amplitude: float, frequency: float
) -> float:
    """Return the energy that a damper turns into heat in one cycle, the loop's area.

    E = integral of F(v) v dt over one period, with v = w X cos(w t).

    Parameters
    ----------
    force : callable
        Force, N, at shaft speeds, m/s; positive resists bump.
    amplitude : float
        Half stroke X, m, above zero.
    frequency : float
        Hz, above zero.

    Returns
    -------
    float
        Energy, J, positive for a force that resists.

    Raises
    ------
    OutOfRange
        If amplitude or frequency is not above zero.

    Examples
    --------
    A viscous damper loses pi c w X^2 a cycle:

    >>> loss = cycle_energy(lambda v: 1000.0 * v, 0.05, 2.0)
    >>> bool(np.isclose(loss, np.pi * 1000 * (2 * np.pi * 2.0) * 0.05**2))
    True
    """
    check_range("Amplitude", amplitude, 1e-9, 2, "m", "1000 mm is 1 m")
    check_range("Frequency", frequency, 1e-6, 1e3, "Hz")
    # Points lie between, never on, the turning points: a friction force that jumps there is then
    # summed without bias.
    phase = 2 * np.pi * (np.arange(_POINTS) + 0.5) / _POINTS
    speed = 2 * np.pi * frequency * amplitude * np.cos(phase)
    return float(np.mean(np.asarray(force(speed)) * speed) / frequency)


def equivalent_coefficient(
    force: Callable[[np.ndarray], np.ndarray], amplitude: float, frequency: float
) -> float:
    """Return the viscous coefficient that loses the same energy a cycle, E / (pi w X^2).

    Parameters
    ----------
    force : callable
        As `cycle_energy`.
    amplitude : float
        Half stroke, m.
    frequency : float
        Hz.

    Returns
    -------
    float
        Coefficient, N s/m.

    Raises
    ------
    OutOfRange
        As `cycle_energy`.
    """
    omega = 2 * np.pi * frequency
    return cycle_energy(force, amplitude, frequency) / (np.pi * omega * amplitude**2)


def power_law_coefficient(coefficient, exponent, amplitude, frequency):
    """Return the equivalent coefficient of F = C |v|^a in closed form.

    c = 2 / sqrt(pi) Gamma(a/2 + 1) / Gamma(a/2 + 3/2) C (w X)^(a - 1). The exponent 0 is dry
    friction, 4 F / (pi w X); 1 is viscous; 2 is an orifice, 8 / (3 pi) C w X.

    Parameters
    ----------
    coefficient : float
        C, N (s/m)^a, zero or more.
    exponent : float
        a, 0 to 3.
    amplitude : float
        Half stroke X, m, above zero.
    frequency : float
        Hz, above zero.

    Returns
    -------
    float
        Equivalent coefficient, N s/m.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> round(float(power_law_coefficient(1500.0, 1.0, 0.02, 3.0)), 9)
    1500.0
    """
    check_range("Exponent", exponent, 0, 3)
    check_range("Coefficient", coefficient, 0, 1e9)
    check_range("Amplitude", amplitude, 1e-9, 2, "m")
    check_range("Frequency", frequency, 1e-6, 1e3, "Hz")
    shape = 2 / np.sqrt(np.pi) * gamma(exponent / 2 + 1) / gamma(exponent / 2 + 1.5)
    return shape * coefficient * (2 * np.pi * frequency * amplitude) ** (exponent - 1)
