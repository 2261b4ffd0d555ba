"""Searching by halves and by the golden section, and a pay-off table: typed from memory.

Knuth, The Art of Computer Programming, volume 3 (binary search); Press and others, Numerical
Recipes (golden section); Render and Stair, Quantitative Analysis for Management (regret).
"""

import pytest

from dampinglab.course.lessons import find


def test_exercise_on_halving():
    """From memory: fifteen places take at most four comparisons."""
    assert find("10.4").task().answer == 4


@pytest.mark.parametrize("places", range(9, 36))
def test_halving_by_doing_it(places):
    """Identity: the deepest leaf of the search, by walking it."""

    def deepest(left):
        lower = (left - 1) // 2
        return 1 + max(deepest(lower), deepest(left - 1 - lower)) if left > 0 else 0

    assert find("10.4").make(places).answer == deepest(places)


def test_exercise_on_comparing(printed):
    """From memory: 0.61803 of the bracket is left at each step."""
    assert (find("10.5").task().answer / 22) ** (1 / 4) == printed("0.61803")


def test_exercise_on_regret():
    """From memory: 200 and -180, 100 and -20, 0 and 0: the least worst regret is 100."""
    assert find("10.6").task().answer == 100
