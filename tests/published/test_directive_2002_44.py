"""Directive 2002/44/EC, exposure of workers to vibration: 0.5 and 1.15 m/s2, 9.1 and 21 m/s^1.75.

Read in the manual of a general vibration meter. The link between the two kinds of value, a dose
of 1.4 a T^(1/4) over 8 h, is from memory, and so is A(8) = a sqrt(T / 8 h).
"""

from dampinglab.course.lessons import find


def test_the_doses_belong_to_the_accelerations(printed):
    """Confirmed: both pairs of values, to the digits printed."""
    assert printed("9.1") == 1.4 * 0.5 * 28800**0.25
    assert printed("21") == 1.4 * 1.15 * 28800**0.25


def test_exercise_on_a_working_day(printed):
    """From memory: four hours at 0.8 m/s2 are 0.566 over eight, above the 0.5 of the directive."""
    task = find("6.8").task()
    assert task.answer == printed("0.566")
    assert all(words in task.statement for words in ("0.5 m/s²", "1.15"))
