"""What no spring and no damper can change in a quarter car: its invariant points.

That two of the three responses have such points is said in the abstract of
doi 10.1243/PIME_PROC_1990_204_128_02, without numbers; the values here are identities.
"""

import numpy as np
import pytest

from dampinglab.course.lessons import find
from dampinglab.physics import linear, vehicle

SPRING_AND_DAMPER = [(12e3, 300.0), (40e3, 1500.0), (90e3, 8000.0)]
MS, MU, KT = 420.0, 110.0, 260e3


def _corner(rate):
    return vehicle.Corner(MS, MU, rate, 1.0, KT, 0.0, 0.1, 0.05, 0.1)


@pytest.mark.parametrize(("rate", "damping"), SPRING_AND_DAMPER)
def test_acceleration_at_wheel_hop(rate, damping):
    """Identity: at sqrt(kt / mu) the acceleration is kt / ms a metre and the body moves mu / ms."""
    place = np.sqrt(KT / MU) / (2 * np.pi)
    found = linear.responses(_corner(rate), damping, place)
    assert abs(found["acceleration"][0]) == pytest.approx(KT / MS, rel=1e-10)
    assert found["body"][0] == pytest.approx(-MU / MS, rel=1e-10)


@pytest.mark.parametrize(("rate", "damping"), SPRING_AND_DAMPER)
def test_travel_where_both_masses_bounce_on_the_tyre(rate, damping):
    """Identity: at sqrt(kt / (ms + mu)) the travel is (ms + mu) / ms of the road's height."""
    place = np.sqrt(KT / (MS + MU)) / (2 * np.pi)
    found = linear.responses(_corner(rate), damping, place)
    assert abs(found["travel"][0]) == pytest.approx((MS + MU) / MS, rel=1e-10)


@pytest.mark.parametrize("place", [1.0, 6.0, 20.0])
def test_elsewhere_the_damper_does_matter(place):
    """Identity: away from those points two dampers differ, so the tests above can fail."""
    soft, hard = (linear.responses(_corner(40e3), c, place) for c in (300.0, 8000.0))
    for name in ("acceleration", "travel"):
        assert abs(soft[name][0]) != pytest.approx(abs(hard[name][0]), rel=0.05)


@pytest.mark.parametrize(("rate", "damping"), SPRING_AND_DAMPER)
def test_newton_ties_the_responses_together(rate, damping):
    """Identity: forces on both masses add up to the tyre's, ms a_s + mu a_u = kt (zr - zu)."""
    f = np.geomspace(0.1, 50, 40)
    found = linear.responses(_corner(rate), damping, f)
    wheel = found["body"] + found["travel"]
    inertia = MS * found["acceleration"] - MU * (2 * np.pi * f) ** 2 * wheel
    assert inertia == pytest.approx(KT * found["tyre"], rel=1e-9)


@pytest.mark.parametrize(("key", "name"), [("6.2", "acceleration"), ("6.3", "travel")])
def test_exercise_on_an_invariant_point(key, name):
    """Identity: at the place that the course expects, no damper changes the response."""
    place = find("6.2").task().answer if key == "6.2" else find("6.3").task().answer
    corner = vehicle.Corner(317.5, 45.4, 22e3, 1.0, 192e3, 0.0, 0.1, 0.05, 0.1)
    soft, hard = (linear.responses(corner, c, place)[name][0] for c in (300.0, 8000.0))
    assert abs(soft) == pytest.approx(abs(hard), rel=1e-9)
