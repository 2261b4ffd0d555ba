"""Turns of phrase that several pictures share."""

import pytest

from dampinglab.figures import words


@pytest.mark.parametrize(("share", "would"), [(0.1, "would feel"), (-0.2, "would feel")])
def test_a_tenth_is_felt_either_way(share, would):
    assert would in words.felt(share)


def test_less_than_a_tenth_is_hardly_felt_and_says_what_is_assumed():
    told = words.felt(-0.099, "A hand")
    assert told == "A hand would hardly feel that, if 10 % is the least that is felt."


def test_forces_come_with_the_weight_beside_them():
    assert words.both_forces(-9.80665) == "10 N (1.00 kgf)"


def test_nothing_and_nothing_are_the_same():
    assert words.same(0.0, 0.0)
    assert words.same(1.002, 1.0)
    assert not words.same(1.01, 1.0)
