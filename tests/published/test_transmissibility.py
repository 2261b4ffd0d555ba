"""What any vibration text says of the transmissibility of one mass on spring and damper.

That every curve passes through 1 at the square root of 2 is stated in Open Vibrations, chapter 3.
"""

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from dampinglab.course.lessons import find
from dampinglab.physics import oscillator

RATIOS = [0.05, 0.2, 0.4, 0.7, 1.0, 2.0]


@pytest.mark.parametrize("ratio", RATIOS)
def test_all_curves_cross_at_root_two(ratio):
    """Identity: at sqrt(2) the gain is 1 whatever the damping."""
    assert oscillator.transmissibility(np.sqrt(2), ratio) == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize("ratio", RATIOS)
def test_peak_place(ratio):
    """Identity: the peak lies at sqrt(sqrt(1 + 8 z^2) - 1) / (2 z)."""
    place = np.sqrt(np.sqrt(1 + 8 * ratio**2) - 1) / (2 * ratio)
    found = minimize_scalar(
        lambda r: -oscillator.transmissibility(r, ratio),
        bounds=(1e-3, 1.5),
        method="bounded",
        options={"xatol": 1e-10},
    )
    assert found.x == pytest.approx(place, rel=1e-5)


def test_past_the_crossing_more_damping_passes_more():
    """Identity: above sqrt(2) the gain rises with damping, below it falls."""
    above = [oscillator.transmissibility(3.0, z) for z in RATIOS]
    below = [oscillator.transmissibility(1.0, z) for z in RATIOS]
    assert np.all(np.diff(above) > 0)
    assert np.all(np.diff(below) < 0)


def test_exercise_on_the_crossing(printed):
    """From memory: the car of OpenStax, 1.36 Hz, is the slip; the root of 2 times it the answer."""
    task = find("6.1").task()
    assert task.slips[0].answer == printed("1.36")
    ratio = task.answer / task.slips[0].answer
    assert oscillator.transmissibility(ratio, 0.3) == pytest.approx(1.0, rel=1e-9)
