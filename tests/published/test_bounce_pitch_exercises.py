"""Wong, Theory of Ground Vehicles, bounce and pitch: what the exercises of lesson 07 expect.

From memory: D1 34.43, 0.89 and 1.04 Hz, 0.84 m; the computation reproduces each.
"""

import numpy as np

from dampinglab.course.lessons import find


def test_exercise_on_bounce_alone(printed):
    """From memory: D1 is 34.43 1/s2, the square of the frequency in radians a second."""
    assert (2 * np.pi * find("7.1").task().answer) ** 2 == printed("34.43")


def test_exercise_on_the_slower_movement(printed):
    """From memory: 0.89 Hz, and the faster one, which is its slip, 1.04 Hz."""
    task = find("7.2").task()
    assert task.answer == printed("0.89")
    assert task.slips[0].answer == printed("1.04")


def test_exercise_on_the_point_that_stands_still(printed):
    """From memory: 0.84 m."""
    assert find("7.3").task().answer == printed("0.84")
