"""Agreements on units: standard gravity (General Conference on Weights and Measures, 1901), pound
and inch (international yard and pound agreement, 1959), and factors of NIST SP 811.
"""

import pytest

from dampinglab import units
from dampinglab.course.lessons import find


def test_exact_by_definition():
    """From memory, and exact by definition: 9.80665 m/s2, 0.45359237 kg, 25.4 mm."""
    assert units.to_si(1, "g") == 9.80665
    assert units.to_si(1, "lb") == 0.45359237
    assert units.to_si(1, "in") == 0.0254


def test_pounds_an_inch(printed):
    """From memory: NIST SP 811 prints 1.751268 E+02 N/m for one pound-force an inch."""
    assert units.to_si(1, "lbf/in") / 100 == printed("1.751268")


def test_exercises_on_these_agreements(printed):
    """From memory: 25 kgf, 10 in/s and 200 lbf/in, from the same definitions."""
    assert find("0.1").task().answer == pytest.approx(25 * 9.80665, rel=1e-12)
    assert find("0.2").task().answer == pytest.approx(0.254, rel=1e-12)
    assert find("0.3").task().answer / 200 / 100 == printed("1.751268")


def test_pounds_a_square_inch(printed):
    """From memory: NIST SP 811 prints 6.894757 E+03 Pa for one pound-force a square inch."""
    assert units.to_si(1, "psi") / 1e3 == printed("6.894757")
