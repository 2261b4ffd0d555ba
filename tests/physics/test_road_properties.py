"""Roads and the tyre that rolls over them; runs on any road stay finite."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import cumulative_trapezoid

from dampinglab.errors import OutOfRange
from dampinglab.physics import corner, measures, road

FAST = settings(max_examples=30, deadline=None)
PROFILE = st.lists(st.floats(-0.2, 0.2), min_size=50, max_size=200)


@FAST
@given(PROFILE, st.floats(0.1, 0.6))
def test_a_tyre_never_sinks_into_the_road(profile, radius):
    """The disc rides on the highest points under it, and never below the road straight below."""
    rolled = road.roll_over(profile, 0.02, radius)
    assert np.all(rolled >= np.array(profile) - 1e-12)
    assert rolled.max() == pytest.approx(max(profile))


@FAST
@given(PROFILE, st.floats(-5, 5), st.floats(0.1, 0.3))
def test_a_higher_road_lifts_the_tyre_as_much_and_a_larger_tyre_follows_less(profile, up, radius):
    rolled = road.roll_over(profile, 0.02, radius)
    assert road.roll_over(np.array(profile) + up, 0.02, radius) == pytest.approx(rolled + up)
    assert np.all(road.roll_over(profile, 0.02, 2 * radius) >= rolled - 1e-12)


@pytest.mark.parametrize(("height", "radius"), [(0.06, 0.4), (0.03, 0.33), (0.1, 0.4)])
def test_an_edge_is_met_from_as_far_as_geometry_says(height, radius):
    """A kerb is touched sqrt(2 r h - h^2) ahead: 0.21 m for 60 mm and 0.4 m."""
    x = 1e-3 * np.arange(2000)
    rolled = road.roll_over(np.where(x >= 1.0, height, 0.0), 1e-3, radius)
    first = x[np.argmax(rolled > 1e-6)]
    assert 1.0 - first == pytest.approx(math.sqrt(2 * radius * height - height**2), abs=3e-3)


@FAST
@given(st.floats(2.0, 40.0), st.floats(0.02, 0.2), st.floats(1.0, 10.0))
def test_a_hump_is_met_after_a_second_and_is_as_high_at_any_speed(speed, height, length):
    made = road.hump(height, length, speed, 1.5 + length / speed)
    assert made.height.max() == pytest.approx(height, abs=0.02 * height + 1e-4)
    # Before the tyre's reach there is nothing, and the road ends where it began.
    assert np.abs(made.height[made.time < 1.0 - 0.5 / speed]).max() < 1e-9
    assert made.height[-1] == pytest.approx(0.0, abs=2e-3)


@FAST
@given(st.sampled_from("ABCDE"), st.floats(1.0, 50.0), st.integers(0, 10_000))
def test_velocity_is_the_slope_of_height_and_a_seed_is_a_road(road_class, speed, seed):
    one = road.iso8608(road_class, speed, 3.0, seed=seed)
    assert one.height[0] == 0.0
    assert np.isfinite(one.height).all()
    climbed = cumulative_trapezoid(one.velocity, dx=one.dt, initial=0)
    assert np.abs(climbed - one.height).max() < 0.05 * np.ptp(one.height) + 2e-4
    assert np.array_equal(one.height, road.iso8608(road_class, speed, 3.0, seed=seed).height)
    other = road.iso8608(road_class, speed, 3.0, seed=seed + 1)
    assert not np.array_equal(one.height, other.height)


def test_twice_the_speed_is_the_same_road_in_half_the_time():
    slow = road.drive("r", 0.01 * np.arange(4000), _waves(), 10.0, 3.0)
    fast = road.drive("r", 0.01 * np.arange(4000), _waves(), 20.0, 1.5)
    assert slow.height[::2][: len(fast.height)] == pytest.approx(fast.height, abs=1e-12)


def _waves():
    x = 0.01 * np.arange(4000)
    return 0.02 * np.sin(2 * np.pi * x / 3.0)


REFUSALS = [
    (lambda: road.iso8608("G", 20.0), "'G'"),
    (lambda: road.iso8608("A", 200.0), "200 m/s"),
    (lambda: road.hump(100.0, 3.7, 10.0), "100 m"),
    (lambda: road.hump(0.1, 0.1, 10.0), "0.1 m"),
    (lambda: road.step(0.06, -3.0), "-3 m/s"),
    (lambda: road.step(math.nan, 5.0), "nan"),
    (lambda: road.drive("r", [0, 1, 3], [0, 0, 0], 5.0, 1.0), "even"),
    (lambda: road.roll_over(np.zeros(9), 0.01, 4.0), "4 m"),
]


@pytest.mark.parametrize(("act", "words"), REFUSALS)
def test_a_refusal_carries_the_value(act, words):
    with pytest.raises(OutOfRange, match=words):
        act()


@settings(max_examples=15, deadline=None)
@given(st.sampled_from("AE"), st.floats(3.0, 40.0), st.floats(0.05, 3.0), st.integers(0, 99))
def test_any_valid_run_is_finite(cases, road_class, speed, scale, seed):
    """Whatever the road, the speed and the damper: no NaN, no score below zero, no pulling tyre."""
    track = road.iso8608(road_class, speed, 2.0, seed=seed)
    run = corner.simulate(cases.rear, cases.digressive(scale), (5,), track)
    for name, value in vars(measures.scores(run)).items():
        assert np.isfinite(value), name
        assert value >= 0, name
    assert run.tyre_force.min() >= 0
    assert np.abs(run.travel).max() < 0.5


def test_a_setting_or_step_that_does_not_exist_is_refused(cases):
    track = road.hump(0.05, 3.0, 10.0, 1.5, dt=4e-3)
    with pytest.raises(OutOfRange, match=r"0\.004 s"):
        corner.simulate(cases.rear, cases.digressive(), (0,), track)
    fine = road.hump(0.05, 3.0, 10.0, 1.5)
    with pytest.raises(OutOfRange, match="11 clicks"):
        corner.simulate(cases.rear, cases.digressive(), (11,), fine)
    with pytest.raises(OutOfRange, match="at least one"):
        corner.simulate_many(cases.rear, cases.digressive(), [], fine)
