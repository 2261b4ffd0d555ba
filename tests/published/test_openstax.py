"""OpenStax, College Physics (CC BY), chapter 16, examples 16.1, 16.4, 16.6 and 16.7.

Inputs and method were read in a public transcription (FOSSEE Scilab textbook companion 3845,
chapter 16); the printed answers are recomputed. The book uses 9.80 m/s2.
"""

import math

import numpy as np
import pytest

from dampinglab.course.lessons import find
from dampinglab.physics import oscillator


def test_weighing_a_car(printed):
    """From memory: 80 kg lower a car by 12 mm, so 6.53e4 N/m."""
    stiffness = 80.0 * 9.80 / 0.012
    assert stiffness / 1e4 == printed("6.53")
    assert oscillator.static_deflection(80.0 * 9.80, 6.53e4) * 1e3 == pytest.approx(12.0, rel=1e-3)


def test_bad_shock_absorbers(printed):
    """From memory: 900 kg on 6.53e4 N/m bounces at 1.36 Hz, 0.738 s; 0.852 m/s from 0.1 m."""
    frequency = oscillator.natural_frequency(6.53e4, 900.0)
    assert frequency == printed("1.36")
    assert 1 / frequency == printed("0.738")
    assert 2 * math.pi * frequency * 0.1 == printed("0.852")
    t = np.linspace(0.0, 1.0, 100_001)
    path = oscillator.free_decay(t, 900.0, 6.53e4, 0.0, 0.1, 0.0)
    assert np.abs(np.gradient(path, t)).max() == printed("0.852")


def test_friction_eats_the_swing(printed):
    """From memory: coefficient 0.08 under 0.2 kg is 0.157 N, and 0.1 m of 50 N/m lasts 1.59 m."""
    friction = 0.08 * 0.200 * 9.80
    assert friction == printed("0.157")
    assert 0.5 * 50.0 * 0.1**2 / friction == printed("1.59")


def test_exercises_on_this_book(printed):
    """From memory: what the course expects, 6.53e4 N/m and 1.36 Hz.

    The course works with standard gravity, 9.80665 m/s2, and so one unit higher in the first.
    """
    assert find("1.1").task().answer / 1e4 == printed("6.53", units=1)
    assert find("1.2").task().answer == printed("1.36")


def test_exercise_on_a_warm_tyre(printed):
    """From memory: 7.00e5 Pa at 18 °C becomes 7.41e5 Pa at 35 °C (the gas law's worked example)."""
    assert find("9.2").task().answer / 1e5 == printed("7.41")
