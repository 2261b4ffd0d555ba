"""The load index table of tyre standards (ISO 4000-1 and its kin): typed from memory.

The table follows a geometric series of 80 steps a decade from 45 kg, rounded to round numbers.
"""

import pytest

from dampinglab.course.bank.lesson09 import _INDEX
from dampinglab.course.lessons import find


def test_exercise_on_a_tyre_over_its_rating():
    """From memory: index 100 stands for 800 kg; 755 + 85 - 800 follows."""
    assert find("9.3").task().answer == 40
    assert dict(_INDEX)[100] == 800


@pytest.mark.parametrize(("index", "mass"), _INDEX)
def test_table_follows_its_series(index, mass):
    """From memory: each row lies within 2 % of 45 kg times 10 to the power of index over 80."""
    assert mass == pytest.approx(45 * 10 ** (index / 80), rel=0.02)
