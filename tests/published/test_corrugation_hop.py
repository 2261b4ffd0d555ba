"""Wheel hop of 8.6 Hz, measured on corrugations (Ola, 1978).

Read in the summary at cedb.asce.org, dockey 0007954.
"""

from dampinglab.course.lessons import find


def test_exercise_on_corrugations(printed):
    """Confirmed: 8.6 Hz; 0.7 m apart that is 21.7 km/h by arithmetic."""
    assert find("8.7").published["hop"] == 8.6
    assert 3.6 * find("8.7").task().answer == printed("21.7")
