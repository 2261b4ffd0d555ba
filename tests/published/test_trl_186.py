"""Road humps of 75 mm with ramps of 1:10 to 1:15, from TRL report 186.

Read at trl.co.uk/reports/TRL186.
"""

from dampinglab.course.lessons import find


def test_exercise_on_a_ramp(printed):
    """Confirmed: height and slope; 30 km/h up 1 in 15 through 0.6 is 0.333 m/s by arithmetic."""
    inputs = find("8.5").published
    assert (inputs["height_mm"], inputs["slope"]) == (75, 15)
    assert find("8.5").task().answer == printed("0.333")
