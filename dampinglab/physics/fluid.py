"""Damper oil: how its viscosity falls with temperature, and what a sharp orifice costs.

The dampers of this course have bleeds that are nearly pure orifices, on which viscosity has
little effect. Real fade also comes from leakage, foaming and lost gas, which are not modelled,
so no fade figure is computed anywhere.
"""

import numpy as np

from dampinglab.errors import OutOfRange, check_range

__all__ = ["DENSITY", "SHARP_EDGE", "orifice_pressure", "viscosity"]

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


def orifice_pressure(flow, area):
    """Return the pressure that a sharp orifice costs damper oil, rho / 2 (Q / (Cd A))^2.

    With rho = 860 kg/m3, invented but usual, and Cd = `SHARP_EDGE`.

    Parameters
    ----------
    flow : float or array_like
        Flow, m3/s; its sign is that of the pressure.
    area : float or array_like
        Area of the hole, m2, above zero.

    Returns
    -------
    float or ndarray
        Pressure difference, Pa.

    Raises
    ------
    OutOfRange
        If the area lies outside its range.

    Examples
    --------
    >>> float(orifice_pressure(2e-4, 1e-5) / orifice_pressure(1e-4, 1e-5))
    4.0
    """
    check_range("Orifice area", area, 1e-10, 1e-2, "m²", "1 mm² is 1e-6 m²")
    q = np.asarray(flow, float)
    return DENSITY / 2 * q * np.abs(q) / (SHARP_EDGE * np.asarray(area)) ** 2
