"""ASTM E1926 / World Bank Technical Paper 46: the quarter car of the roughness index.

Per kilogram of body: tyre 653, spring 63.3, wheel 0.15, damping 6.0; 80 km/h, points 0.25 m
apart. State order body, body rate, wheel, wheel rate. The matrices were read in four public
programs that quote the paper (a fifth has .4347664 in the last place, a misprint).
"""

import numpy as np

from dampinglab.physics import linear, vehicle

STATE = np.array(
    [
        [0.9966071, 0.01091514, -0.002083274, 0.0003190145],
        [-0.5563044, 0.9438768, -0.8324718, 0.05064701],
        [0.02153176, 0.002126763, 0.7508714, 0.008221888],
        [3.335013, 0.3376467, -39.12762, 0.4347564],
    ]
)
INPUT = np.array([0.005476107, 1.388776, 0.2275968, 35.79262])
MASS = 300.0  # kg: any, the equations are per kilogram
CORNER = vehicle.Corner(MASS, 0.15 * MASS, 63.3 * MASS, 1.0, 653.0 * MASS, 0.0, 0.1, 0.05, 0.1)
STEP = 0.25 / (80 / 3.6)


def test_state_matrix():
    """Confirmed: every entry of ST to 4e-7."""
    phi, _, _ = linear.discretise(*linear.quarter_car(CORNER, 6.0 * MASS), STEP)
    assert np.abs(phi - STATE).max() < 4e-7 * np.abs(STATE).max()
    assert np.allclose(phi, STATE, rtol=1e-6, atol=4e-7)


def test_input_matrix():
    """Confirmed: every entry of PR to 2e-5, for an input held over the step."""
    _, held, _ = linear.discretise(*linear.quarter_car(CORNER, 6.0 * MASS), STEP)
    assert np.allclose(held[:, 0], INPUT, rtol=2e-5, atol=0)
