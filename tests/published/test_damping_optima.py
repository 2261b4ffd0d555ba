"""Three questions about damping, three answers; and the points that no damper changes.

Identities against a search over Lyapunov's equation and a numeric slope. The third answer is named
after Bourcier de Carbon, its form from memory (Genta's textbook).
"""

import numpy as np
import pytest
from scipy.linalg import solve_continuous_lyapunov
from scipy.optimize import brentq, minimize_scalar

from dampinglab.course.lessons import find
from dampinglab.physics import linear, vehicle

SETS = [
    # ms, mu, wheel rate, tyre rate
    (317.5, 45.4, 22e3, 192e3),
    (560.0, 75.0, 40e3, 260e3),
    (420.0, 115.0, 36e3, 260e3),
]
SPRING_AND_DAMPER = [(12e3, 300.0), (40e3, 1500.0), (90e3, 8000.0)]
QUESTIONS = [("acceleration", linear.least_acceleration), ("tyre", linear.least_tyre_load)]


def _corner(ms, mu, rate, tyre):
    return vehicle.Corner(ms, mu, rate, 1.0, tyre, 0.0, 0.1, 0.05, 0.1)


def _spread(ms, mu, rate, tyre, damping):
    """Return mean squares by Lyapunov's equation, the road's velocity being white."""
    a = np.array(
        [
            [0.0, -1.0, 0.0, 1.0],
            [rate / ms, -damping / ms, 0.0, damping / ms],
            [0.0, 0.0, 0.0, -1.0],
            [-rate / mu, damping / mu, tyre / mu, -damping / mu],
        ]
    )
    b = np.array([[0.0], [0.0], [1.0], [0.0]])
    spread = solve_continuous_lyapunov(a, -b @ b.T)
    return {"acceleration": a[1] @ spread @ a[1], "tyre": spread[2, 2]}


@pytest.mark.parametrize("case", SETS)
@pytest.mark.parametrize(("measure", "optimum"), QUESTIONS, ids=["body", "tyre"])
def test_each_question_has_its_own_damping(case, measure, optimum):
    """Identity: the closed-form optimum is where a search over Lyapunov's equation ends."""
    options = {"xatol": 1e-3}
    best = minimize_scalar(
        lambda c: _spread(*case, c)[measure], bounds=(50.0, 40e3), method="bounded", options=options
    )
    assert optimum(_corner(*case)) == pytest.approx(best.x, rel=1e-4)


@pytest.mark.parametrize("tyre", [150e3, 260e3, 1e6])
def test_the_acceleration_curve_runs_level_where_all_dampers_cross(tyre):
    """From memory: Bourcier de Carbon's damping; the level tangent is found numerically."""
    ms, rate = 500.0, 40e3
    best = linear.level_acceleration(_corner(ms, 50.0, rate, tyre))

    def gain(w, c):
        leg = rate + 1j * w * c
        series = leg * tyre / (leg + tyre)
        return abs(w**2 * series / (series - ms * w**2))

    # No damper, and one that locks the spring, pass through the point where all dampers cross.
    own = np.sqrt(rate * tyre / (rate + tyre) / ms)
    ends = 1.001 * own, 0.999 * np.sqrt(tyre / ms)
    place = brentq(lambda w: gain(w, 1e-3) - gain(w, 1e9), *ends)
    assert gain(place, best) == pytest.approx(gain(place, 0.3 * best), rel=1e-4)
    soft, level, hard = (
        gain(place + 1e-3, c) - gain(place - 1e-3, c) for c in (0.8 * best, best, 1.2 * best)
    )
    assert soft > 0 > hard or soft < 0 < hard
    assert abs(level) < 1e-2 * abs(hard)


def test_with_a_hard_tyre_the_level_ratio_is_a_known_number():
    """Identity: 1 / (2 sqrt 2) of critical damping."""
    corner = _corner(500.0, 50.0, 40e3, 5e6)
    ratio = linear.level_acceleration(corner) / corner.critical_damping
    assert ratio == pytest.approx(1 / np.sqrt(8), rel=0.01)


def test_one_mass_alone_has_a_fourth_answer():
    """Identity: white velocity under spring and damper alone: the body's speed is least at 0.5.

    Its acceleration has no least value there: a damper passes the fastest shaking without end.
    """

    def speed(ratio):
        # States: speed of the body, stretch of the spring; own frequency 1 rad/s.
        a = np.array([[-2 * ratio, -1.0], [1.0, 0.0]])
        b = np.array([[2 * ratio], [-1.0]])
        return solve_continuous_lyapunov(a, -b @ b.T)[0, 0]

    best = minimize_scalar(speed, bounds=(0.05, 2.0), method="bounded")
    assert best.x == pytest.approx(0.5, rel=1e-3)


@pytest.mark.parametrize(("rate", "damping"), SPRING_AND_DAMPER)
@pytest.mark.parametrize("name", ["acceleration", "travel"])
def test_the_package_names_both_points(name, rate, damping):
    """Identity: the response there is what the package says, for any spring and damper."""
    corner = _corner(420.0, 110.0, rate, 260e3)
    place, size = linear.fixed_points(corner)[name]
    found = linear.responses(corner, damping, place)
    assert abs(found[name][0]) == pytest.approx(size, rel=1e-10)


def test_the_tyre_has_no_such_point():
    """Identity: three springs and dampers never give the tyre one and the same deflection."""
    f = np.geomspace(0.8, 15, 2000)  # far above wheel hop no tyre feels its damper
    first, second, third = (
        abs(linear.responses(_corner(420.0, 110.0, rate, 260e3), c, f)["tyre"])
        for rate, c in SPRING_AND_DAMPER
    )
    assert np.min(abs(first / second - 1) + abs(third / second - 1)) > 0.05


@pytest.mark.parametrize("times", [0.4, 1.3, 2.0, 4.0])
@pytest.mark.parametrize("each", SETS)
def test_exercise_on_damping_beyond_the_best(each, times):
    """Identity: shaking at a multiple of its best damping, by Lyapunov's equation."""
    best = linear.least_acceleration(_corner(*each))
    mean_square = [_spread(*each, damping)["acceleration"] for damping in (best, times * best)]
    grown = np.sqrt(mean_square[1] / mean_square[0]) - 1
    assert find("10.3").make(times).answer == pytest.approx(grown, rel=1e-6)
