"""How far a mass on a spring and damper passes its new rest: exp(-pi z / sqrt(1 - z^2)).

An identity, against the step response that scipy.signal computes; no printed digits.
"""

import numpy as np
import pytest
from scipy.signal import TransferFunction, step

from dampinglab.course.lessons import find
from dampinglab.physics.oscillator import overshoot


def _peak(zeta):
    _, height = step(TransferFunction([1], [1, 2 * zeta, 1]), T=np.linspace(0, 40, 40_001))
    return height.max() - 1


@pytest.mark.parametrize("zeta", [0.1, 0.3, 0.6])
def test_exercise_on_the_overshoot(zeta):
    """Identity: the course expects what the step response shows."""
    assert find("7.6").make(zeta).answer == pytest.approx(_peak(zeta), rel=1e-4)
    assert overshoot(zeta) == pytest.approx(_peak(zeta), rel=1e-4)
