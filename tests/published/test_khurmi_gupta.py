"""Khurmi and Gupta, Theory of Machines: 8 kg, 5.4 N/mm, 40 N at 1 m/s.

Read at sarthaks.com/492092; the decrement at curioustab.com, discussion 47694.
"""

from dampinglab.course.lessons import find
from dampinglab.physics import oscillator


def test_dashpot_of_forty_newtons(printed):
    """Confirmed: critical damping 416 N s/m, ratio 0.096, decrement 0.6."""
    assert oscillator.critical_damping(5400.0, 8.0) == printed("416")
    ratio = oscillator.damping_ratio(40.0, 5400.0, 8.0)
    assert ratio == printed("0.096")
    assert oscillator.decrement_from_ratio(ratio) == printed("0.6")


def test_exercises_on_this_book(printed):
    """Confirmed: the course expects 416 N s/m and 0.096."""
    assert find("2.1").task().answer == printed("416")
    assert find("2.2").task().answer == printed("0.096")
