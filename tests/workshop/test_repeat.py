"""The repeat rule on drives whose truth is known: seeded passes that scatter, drift and differ."""

import numpy as np
import pytest

from dampinglab.workshop.repeat import judge


def shares(effect, drift, cases=1000):
    """Return how often the rule says void, and how often a difference; the scatter is 1."""
    chance = np.random.default_rng(7)
    found = [
        judge("x", *(chance.normal(mean, 1.0, 3).tolist() for mean in (0.0, effect, drift)))
        for _ in range(cases)
    ]
    return np.mean([[item.repeats is False, item.differs] for item in found], axis=0)


def test_nothing_changed_is_seldom_called_a_change():
    void, difference = shares(0, 0)
    assert void < 0.05
    assert difference < 0.05


def test_a_large_effect_is_found_and_a_large_drift_voids():
    assert shares(6, 0)[1] > 0.95
    void, difference = shares(4, 4)  # the drift alone made B look different
    assert void > 0.8
    assert difference < 0.05


@pytest.mark.parametrize("effect", [-3.0, 2.0])
def test_the_order_of_the_two_drives_at_a_does_not_matter(effect):
    one = judge("x", [0, 1, 0], [effect] * 3, [1, 1, 1])
    two = judge("x", [1, 1, 1], [effect] * 3, [0, 1, 0])
    assert (one.effect, one.repeats, one.differs) == (two.effect, two.repeats, two.differs)
    assert one.effect == pytest.approx(effect - 2 / 3)


def test_a_single_drive_at_a_says_so():
    item = judge("x", [0, 0, 1], [5, 5, 5])
    assert item.repeats is None
    assert "A not driven again" in item.words
