"""Closed forms for a quarter car on a road whose velocity has a flat spectrum.

Several authors are usually named for them; the attribution was not checked, so they stand here as
identities against four routes of computation: a Lyapunov equation, python-control's H2 norm, an
integral over the spectrum, and the time loop on a generated road.
"""

import control
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.linalg import solve_continuous_lyapunov
from scipy.optimize import minimize_scalar

from dampinglab.course.lessons import find
from dampinglab.physics import linear, vehicle

SETS = [
    # ms, mu, wheel rate, tyre rate, damping
    (317.5, 45.4, 22e3, 192e3, 1500.0),
    (560.0, 75.0, 40e3, 260e3, 2800.0),
    (420.0, 115.0, 36e3, 260e3, 900.0),
]
G = 4.0e-4  # (m/s)^2/Hz, one-sided


def _corner(ms, mu, rate, tyre):
    return vehicle.Corner(ms, mu, rate, 1.0, tyre, 0.0, 0.1, 0.05, 0.1)


def _rows(ms, mu, rate, tyre, damping):
    """Return matrices with states travel, vs, tyre deflection, vu, driven by road velocity."""
    a = np.array(
        [
            [0.0, -1.0, 0.0, 1.0],
            [rate / ms, -damping / ms, 0.0, damping / ms],
            [0.0, 0.0, 0.0, -1.0],
            [-rate / mu, damping / mu, tyre / mu, -damping / mu],
        ]
    )
    b = np.array([[0.0], [0.0], [1.0], [0.0]])
    c = np.array([a[1], [1.0, 0, 0, 0], [0, 0, 1.0, 0]])
    return a, b, c


@pytest.mark.parametrize("case", SETS)
def test_lyapunov(case):
    """Identity: E[x x'] of the Lyapunov equation, to 8 digits."""
    a, b, c = _rows(*case)
    spread = c @ solve_continuous_lyapunov(a, -b @ b.T * G / 2) @ c.T
    found = linear.white_road_variances(_corner(*case[:4]), case[4], G)
    expected = dict(zip(("acceleration", "travel", "tyre"), np.diag(spread), strict=True))
    assert found == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("case", SETS)
def test_h2_norm(case):
    """Identity: the squared H2 norm of python-control, to 6 digits."""
    a, b, c = _rows(*case)
    found = linear.white_road_variances(_corner(*case[:4]), case[4], G)
    for row, name in enumerate(("acceleration", "travel", "tyre")):
        norm = control.norm(control.ss(a, b, c[row : row + 1], [[0.0]]), 2)
        assert norm**2 * G / 2 == pytest.approx(found[name], rel=1e-6)


@pytest.mark.parametrize("case", SETS)
def test_integral_over_the_spectrum(case):
    """Identity: the package's own responses, squared and added up over frequency, to 0.1 %."""
    corner = _corner(*case[:4])
    found = linear.white_road_variances(corner, case[4], G)
    for name in ("acceleration", "travel", "tyre"):

        def density(u, name=name):
            # Per metre of road to per metre a second of road, over the logarithm of frequency.
            gain = linear.responses(corner, case[4], np.exp(u))[name][0]
            return abs(gain / (2j * np.pi * np.exp(u))) ** 2 * G * np.exp(u)

        area, _ = quad(density, np.log(1e-4), np.log(9e3), limit=400, epsrel=1e-6)
        assert area == pytest.approx(found[name], rel=1e-3)


def test_damping_of_least_acceleration():
    """Identity: body acceleration is least at c = ks sqrt((ms + mu) / kt)."""
    corner = _corner(*SETS[1][:4])
    best = minimize_scalar(
        lambda c: linear.white_road_variances(corner, c, G)["acceleration"],
        bounds=(10.0, 20e3),
        method="bounded",
        options={"xatol": 1e-6},
    )
    assert best.x == pytest.approx(40e3 * np.sqrt(635.0 / 260e3), rel=1e-4)


def test_exercises_on_such_a_road():
    """Identity: the course's r.m.s. and softest damper, by a Lyapunov equation and a search."""
    sprung, unsprung, rate, tyre, damping = SETS[0]
    intensity = (2 * np.pi * 0.1) ** 2 * 256e-6 * 80 / 3.6

    def rms(c):
        # States: body speed, spring's stretch, tyre's stretch, wheel speed; the road's velocity in.
        a = np.array([[-c, -rate, 0, c], [1, 0, 0, -1], [0, 0, 0, 1], [c, rate, -tyre, -c]])
        a = a / np.array([sprung, 1, 1, unsprung])[:, None]
        drive = np.array([[0.0], [0.0], [-1.0], [0.0]])
        spread = solve_continuous_lyapunov(a, -intensity / 2 * drive @ drive.T)
        return np.sqrt(a[0] @ spread @ a[0])

    assert find("6.5").task().answer == pytest.approx(rms(damping), rel=1e-6)
    best = minimize_scalar(rms, bounds=(100, 5000), method="bounded").x
    assert find("6.6").task().answer == pytest.approx(best, rel=1e-3)
