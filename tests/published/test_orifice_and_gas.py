"""Merritt, Hydraulic Control Systems: a sharp slot's jet; and the stiffness of a gas spring."""

import numpy as np
import pytest

from dampinglab.course.lessons import find
from dampinglab.physics.fluid import SHARP_EDGE


def test_contraction_of_a_sharp_edge(printed):
    """From memory: pi/(pi + 2) = 0.611."""
    assert printed("0.611") == SHARP_EDGE


def test_exercises_on_holes_and_gas():
    """Identity: rho/2 (Q/(0.611 A))^2, and the slope of p V^1.2 = constant, by difference."""
    pressure = 860 / 2 * (38e-6 / (np.pi / (np.pi + 2) * 1.6e-6)) ** 2
    assert find("4.4").task().answer == pytest.approx(pressure)
    area, volume, step = np.pi / 4 * 0.022**2, 250e-6, 1e-6
    force = [14e5 * (volume / (volume - area * x)) ** 1.2 * area for x in (-step, step)]
    assert find("4.5").task().answer == pytest.approx((force[1] - force[0]) / (2 * step), rel=1e-6)
