"""Handbook table of the binomial distribution, even chances: typed from memory."""

import pytest
from scipy.stats import binom

from dampinglab.course.lessons import find


def test_exercise_on_luck(printed):
    """From memory: ten tosses, nine or more, 0.0107."""
    assert find("9.11").task().answer == printed("0.0107")


@pytest.mark.parametrize("seed", range(1, 20))
def test_practice_against_another_route(seed):
    """Identity: the tail of the distribution by a library of statistics."""
    task = find("9.11").task(seed)
    right, drives = (
        int(n) for n in task.statement.split("**")[1].replace(" times out of", "").split()
    )
    assert task.answer == pytest.approx(binom.sf(right - 1, drives, 0.5), rel=1e-12)
