"""The Watts hump: 3.7 m long, passable at 25 to 30 km/h (Institute of Transportation Engineers).

Read at scribd.com/document/379992213.
"""

from dampinglab.course.lessons import find


def test_exercise_on_a_speed_hump(printed):
    """Confirmed: the length and the speed; the time of 0.444 s follows by one division."""
    assert find("5.6").task().answer == printed("0.444")
