"""Barton and Fieldhouse, Automotive Chassis Engineering, example 3.13, page 209.

317.5 kg on 22 kN/m, 45.4 kg on 192 kN/m. Read at fliphtml5.com/osspz/szqt, page 220. The page's
angular frequencies (7.87 and 68.73 rad/s) are slips of rounding; its hertz are right.
"""

import numpy as np

from dampinglab.course.lessons import find
from dampinglab.physics import linear, vehicle

CORNER = vehicle.Corner(317.5, 45.4, 22e3, 1.0, 192e3, 0.0, 0.1, 0.05, 0.1)


def test_the_two_frequencies(printed):
    """Confirmed: 1.25 Hz and 10.9 Hz."""
    body, hop = linear.modes(CORNER)
    assert body == printed("1.25")
    assert hop == printed("10.9")


def test_amplitude_ratio_of_the_body_mode(printed):
    """Confirmed: in the slow mode the wheel moves 0.104 of the body."""
    a, _ = linear.quarter_car(CORNER, 0.0)
    values, vectors = np.linalg.eig(a)
    slow = np.argmin(np.where(values.imag > 0, values.imag, np.inf))
    assert abs(vectors[2, slow] / vectors[0, slow]) == printed("0.104")


def test_rules_of_thumb_agree(printed):
    """Confirmed: springs in series and springs side by side give the same printed hertz."""
    assert CORNER.ride_frequency == printed("1.25", units=1)
    assert CORNER.hop_frequency == printed("10.9")


def test_exercises_on_this_book(printed):
    """Confirmed: the course expects 1.25 and 10.9 Hz, by the springs in series and side by side.

    Each mass by itself is 0.005 and 0.027 Hz beside the two together: the same printed figures
    within one unit.
    """
    assert find("1.5").task().answer == printed("1.25", units=1)
    assert find("1.6").task().answer == printed("10.9")
