"""Shigley, Mechanical Engineering Design, example 10-1: a helical spring of music wire."""

from dampinglab.course.lessons import find
from dampinglab.units import from_si


def test_exercise_on_a_valve_spring(printed):
    """From memory: 4.13 lbf/in; the computation reproduces it."""
    assert from_si(find("4.10").task().answer, "lbf/in") == printed("4.13")
