"""Gillespie, Fundamentals of Vehicle Dynamics, ride chapter: damping hardly moves the frequency."""

import pytest

from dampinglab.physics import oscillator


@pytest.mark.parametrize(("ratio", "published"), [(0.2, "0.98"), (0.4, "0.92")])
def test_damped_over_natural_frequency(printed, ratio, published):
    """From memory: 0.98 at a ratio of 0.2 and 0.92 at 0.4; one line of arithmetic, weak."""
    assert oscillator.damped_frequency(1.0, ratio) == printed(published)
