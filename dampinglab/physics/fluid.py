"""Damper oil: how its viscosity falls with temperature, and what a sharp orifice costs.

The dampers of this course have bleeds that are nearly pure orifices, on which viscosity has
little effect. Real fade also comes from leakage, foaming and lost gas, which are not modelled,
so no fade figure is computed anywhere.
"""

import numpy as np

from dampinglab.errors import OutOfRange, check_range

__all__ = ["DENSITY", "SHARP_EDGE", "orifice_pressure", "viscosity", "viscosity_index"]

DENSITY = 860.0
"""Of damper oil, kg/m3: invented but usual."""

SHARP_EDGE = np.pi / (np.pi + 2)
"""Contraction of a jet from a sharp slot, 0.611 (Merritt, Hydraulic Control Systems, 1967, from
memory; the number follows from the formula)."""

_ABSOLUTE = 273.15  # K at 0 degC


def viscosity(temperature, first: tuple[float, float], second: tuple[float, float]):
    """Return an oil's kinematic viscosity from two that are known, by ASTM D341.

    log10 log10 (nu + 0.7) = A - B log10 T, nu in mm2/s and T in kelvin; A and B follow from the
    two known points.

    Parameters
    ----------
    temperature : float or array_like
        degC, -60 to 200.
    first, second : tuple of float
        Temperature, degC, and kinematic viscosity there, m2/s, at least 2e-6.

    Returns
    -------
    float or ndarray
        Kinematic viscosity, m2/s.

    Raises
    ------
    OutOfRange
        If a value lies outside its range, or the two points are at one temperature.

    References
    ----------
    ASTM D341, viscosity-temperature equations (read in a public worked example).
    """
    check_range("Temperature", temperature, -60, 200, "°C")
    check_range("Viscosity", (first[1], second[1]), 2e-6, 2e-2, "m²/s", "1 mm²/s is 1e-6 m²/s")
    if first[0] == second[0]:
        raise OutOfRange(f"Two viscosities at one temperature, {first[0]:g} °C, fix no line.")
    level = [np.log10(np.log10(1e6 * nu + 0.7)) for _, nu in (first, second)]
    place = [np.log10(t + _ABSOLUTE) for t, _ in (first, second)]
    slope = (level[1] - level[0]) / (place[1] - place[0])
    line = level[0] + slope * (np.log10(np.asarray(temperature, float) + _ABSOLUTE) - place[0])
    return 1e-6 * (10 ** (10**line) - 0.7)


def viscosity_index(at_40, at_100, low, high):
    """Return how little an oil thins as it warms, by ASTM D2270.

    Up to 100: VI = 100 (L - U) / (L - H). Above: VI = (10^N - 1) / 0.00715 + 100 with
    N = (log H - log U) / log Y.

    Parameters
    ----------
    at_40, at_100 : float
        U and Y, kinematic viscosity at 40 and 100 degC, m2/s, Y at least 2e-6.
    low, high : float
        L and H, viscosity at 40 degC of two reference oils that have the oil's own viscosity at
        100 degC, m2/s, out of the standard's table; L above H.

    Returns
    -------
    float
        The index; 0 and 100 are those of the reference oils.

    Raises
    ------
    OutOfRange
        If a viscosity lies outside its range, or L is not above H.

    References
    ----------
    ASTM D2270, viscosity index (read in a public worked example; L and H are tabled there).

    Examples
    --------
    >>> viscosity_index(6e-5, 8e-6, 1e-4, 6e-5)
    100.0
    """
    check_range("Viscosity", (at_40, at_100, low, high), 2e-6, 2e-2, "m²/s", "1 mm²/s is 1e-6 m²/s")
    if low <= high:
        raise OutOfRange(f"L must lie above H, but {low:g} is not above {high:g} m²/s.")
    if at_40 >= high:
        return float(100 * (low - at_40) / (low - high))
    steps = np.log(high / at_40) / np.log(1e6 * at_100)
    return float((10**steps - 1) / 0.00715 + 100)


def orifice_pressure(flow, area, density=DENSITY, discharge=SHARP_EDGE):
    """Return the pressure that a sharp orifice costs, rho / 2 (Q / (Cd A))^2.

    Parameters
    ----------
    flow : float or array_like
        Flow, m3/s; its sign is that of the pressure.
    area : float or array_like
        Area of the hole, m2, above zero.
    density : float, optional
        Of the oil, kg/m3.
    discharge : float, optional
        Discharge coefficient, 0.3 to 1.

    Returns
    -------
    float or ndarray
        Pressure difference, Pa.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> float(orifice_pressure(2e-4, 1e-5) / orifice_pressure(1e-4, 1e-5))
    4.0
    """
    check_range("Orifice area", area, 1e-10, 1e-2, "m²", "1 mm² is 1e-6 m²")
    check_range("Discharge coefficient", discharge, 0.3, 1)
    check_range("Density", density, 500, 1500, "kg/m³")
    q = np.asarray(flow, float)
    return density / 2 * q * np.abs(q) / (discharge * np.asarray(area)) ** 2
