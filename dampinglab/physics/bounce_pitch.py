"""The textbook vehicle of two freedoms: a body on two springs that bounces and pitches."""

from dataclasses import dataclass

import numpy as np

from dampinglab.errors import check_range

__all__ = ["BouncePitch", "bounce_and_pitch"]


@dataclass(frozen=True)
class BouncePitch:
    """Coefficients, frequencies and oscillation centres; the slower motion comes first.

    Parameters
    ----------
    d1, d2, d3 : float
        Bounce, coupling and pitch coefficients: 1/s2, m/s2, 1/s2.
    frequencies : tuple of float
        Hz, undamped.
    centres : tuple of float
        Where along the body it stands still in each motion, m ahead of the centre of gravity;
        negative is behind. Without coupling bounce has none (infinite), and pitch has 0.
    """

    d1: float
    d2: float
    d3: float
    frequencies: tuple[float, float]
    centres: tuple[float, float]


def bounce_and_pitch(
    mass: float,
    radius_of_gyration: float,
    a: float,
    b: float,
    k_front: float,
    k_rear: float,
) -> BouncePitch:
    """Return how a body on two springs bounces and pitches.

    With z up and pitch p nose down, the body is at z - a p over the front axle and at z + b p over
    the rear one. Forces and moments give z'' + D1 z + D2 p = 0 and p'' + D3 p + D2/r^2 z = 0, with
    D1 = (kf + kr)/m, D2 = (kr b - kf a)/m, D3 = (kf a^2 + kr b^2)/(m r^2). A motion at w stands
    still at z/p = D2/(w^2 - D1) ahead of the centre of gravity.

    Parameters
    ----------
    mass : float
        Sprung mass, kg.
    radius_of_gyration : float
        In pitch, m.
    a, b : float
        From the centre of gravity to the front and to the rear axle, m.
    k_front, k_rear : float
        Spring rate of the whole front and of the whole rear axle, N/m.

    Returns
    -------
    BouncePitch
        Coefficients, frequencies and centres.

    Raises
    ------
    OutOfRange
        If a value is not positive.

    References
    ----------
    Wong, J. Y., Theory of Ground Vehicles, section on bounce and pitch (from memory).

    Examples
    --------
    A dumbbell with its masses over the axles bounces at each end by itself:

    >>> two = bounce_and_pitch(200, 1.0, 1.0, 1.0, 4e3, 9e3)
    >>> [round(float(2 * np.pi * f) ** 2, 6) for f in two.frequencies], two.centres
    ([40.0, 90.0], (-1.0, 1.0))
    """
    given = {"Mass": mass, "Radius of gyration": radius_of_gyration, "Front distance": a}
    given |= {"Rear distance": b, "Front rate": k_front, "Rear rate": k_rear}
    for name, value in given.items():
        check_range(name, value, 1e-6, 1e9)
    d1 = (k_front + k_rear) / mass
    d2 = (k_rear * b - k_front * a) / mass
    d3 = (k_front * a**2 + k_rear * b**2) / (mass * radius_of_gyration**2)
    half = np.hypot((d1 - d3) / 2, d2 / radius_of_gyration)
    squares = (d1 + d3) / 2 - half, (d1 + d3) / 2 + half
    frequencies = tuple(float(np.sqrt(s) / (2 * np.pi)) for s in squares)
    return BouncePitch(d1, d2, d3, frequencies, tuple(_centre(d1, d2, s) for s in squares))


def _centre(d1: float, d2: float, square: float) -> float:
    """Return where a motion stands still; without coupling, in bounce, nowhere."""
    if not d2:
        return float("inf") if square == d1 else 0.0
    return float(d2 / (square - d1))
