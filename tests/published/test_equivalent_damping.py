"""Equal energy a cycle: Rao and Den Hartog (from memory), and Stutts, equivalent viscous damping.

Stutts's notes were read at scribd.com/doc/228624636.
"""

import numpy as np
import pytest

from dampinglab.course.lessons import find
from dampinglab.physics.equivalent import (
    cycle_energy,
    equivalent_coefficient,
    power_law_coefficient,
)


@pytest.mark.parametrize(("amplitude", "frequency"), [(0.004, 12.0), (0.05, 1.3)])
def test_friction_and_viscous_energy(amplitude, frequency):
    """Confirmed: friction takes 4 F X a cycle, a viscous damper pi c w X^2."""
    omega = 2 * np.pi * frequency
    rub = cycle_energy(lambda v: 45 * np.sign(v), amplitude, frequency)
    assert rub == pytest.approx(4 * 45 * amplitude, rel=1e-6)
    viscous = cycle_energy(lambda v: 3000 * v, amplitude, frequency)
    assert viscous == pytest.approx(np.pi * 3000 * omega * amplitude**2, rel=1e-12)
    equal = power_law_coefficient(45, 0, amplitude, frequency)
    assert equal == pytest.approx(4 * 45 / (np.pi * omega * amplitude), rel=1e-12)


@pytest.mark.parametrize("exponent", [0.3, 0.5, 1.0, 1.5, 2.0])
def test_power_law(exponent):
    """Identity: the closed form of F = C |v|^a against quadrature; 8/(3 pi) C w X for a = 2."""
    amplitude, frequency, c = 0.02, 3.0, 900.0
    by_hand = equivalent_coefficient(
        lambda v: c * np.sign(v) * np.abs(v) ** exponent, amplitude, frequency
    )
    assert power_law_coefficient(c, exponent, amplitude, frequency) == pytest.approx(
        by_hand, rel=1e-5
    )
    if exponent == 2.0:
        peak = 2 * np.pi * frequency * amplitude
        assert by_hand == pytest.approx(8 / (3 * np.pi) * c * peak, rel=1e-9)


def test_exercises_on_equal_energy():
    """Identity: the course's answers against the textbook formulas, typed out."""
    peak = 2 * np.pi * 1.5 * 0.025
    assert find("3.4").task().answer == pytest.approx(8 / (3 * np.pi) * 400 / 0.2**2 * peak)
    assert find("3.5").task().answer == pytest.approx(4 * 45 / (np.pi * 2 * np.pi * 1.3 * 0.01))
    energy = np.pi * 5000 * 2 * np.pi * 1.5 * 0.025**2
    assert find("3.6").task().answer == pytest.approx(energy)
