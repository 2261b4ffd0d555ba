"""The static deflection rule of the vibration-mount trade.

Read at vibrationmounts.com (VM10035_1) and reuven.tools (vibration isolation).
"""

import pytest

from dampinglab.course.lessons import find
from dampinglab.physics import oscillator


@pytest.mark.parametrize(
    ("deflection", "published"),
    [(0.001, "15.76"), (0.0254, "3.13"), (0.01, "5")],
    ids=["mm", "inch", "cm"],
)
def test_constant_of_the_rule(printed, deflection, published):
    """Confirmed: 15.76 for mm, 3.13 for inches, 5 for cm, over the root of the deflection."""
    assert oscillator.frequency_from_deflection(deflection) == printed(published)


def test_twenty_five_millimetres(printed):
    """Confirmed: 25 mm of deflection go with 3.15 Hz."""
    assert oscillator.frequency_from_deflection(0.025) == printed("3.15")


@pytest.mark.parametrize("times", [0.25, 4.0, 9.0])
def test_frequency_goes_with_the_root(times):
    """Confirmed: the rule's shape, four times the deflection is half the frequency."""
    one = oscillator.frequency_from_deflection(0.02)
    many = oscillator.frequency_from_deflection(0.02 * times)
    assert many == pytest.approx(one / times**0.5, rel=1e-12)


def test_exercise_on_this_rule(printed):
    """Confirmed: the course expects the published 3.15 Hz for 25 mm."""
    assert find("1.4").task().answer == printed("3.15")


def test_exercise_on_a_loaded_corner():
    """Confirmed: the rule's 3.15 Hz at 25 mm, scaled by the root to 162 mm."""
    assert find("8.1").task().answer == pytest.approx(3.15 * (25 / 162) ** 0.5, rel=2e-3)
