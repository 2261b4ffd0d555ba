"""Properties of measured and rated dampers for every valid input, and their refusals."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from dampinglab.errors import OutOfRange
from dampinglab.physics import damper, vehicle

FAST = settings(max_examples=60, deadline=None)
CORNER = vehicle.Corner(420.0, 110.0, 36e3, 0.9, 260e3, 250.0, 0.1, 0.05, 0.1)
SPEEDS = np.array([-1.0, -0.5, -0.2, -0.1, -0.05, 0.0, 0.05, 0.1, 0.2, 0.5, 1.0])


def _curve(bump, rebound):
    """Return a curve with a knee whose bump and rebound levels are given, N at 0.1 m/s."""
    size = np.abs(SPEEDS)
    shape = np.where(size < 0.15, size / 0.1, 1.5 + 2.0 * (size - 0.15))
    return damper.Curve(SPEEDS, np.where(SPEEDS > 0, bump, -rebound) * shape * (SPEEDS != 0))


@pytest.fixture
def rear():
    """A damper with two adjusters, measured at a cross of settings."""
    curves = {
        (0, 10): _curve(900.0, 1000.0),
        (5, 10): _curve(700.0, 1000.0),
        (10, 10): _curve(600.0, 1000.0),
        (5, 0): _curve(700.0, 1800.0),
        (5, 20): _curve(700.0, 500.0),
    }
    adjusters = (damper.Adjuster("low-speed bump", 10), damper.Adjuster("rebound", 20))
    return damper.MeasuredDamper("rear", adjusters, curves, gas=300.0, friction_force=40.0)


FORCES = st.lists(st.floats(1.0, 800.0), min_size=5, max_size=5)


@FAST
@given(FORCES, FORCES, st.lists(st.floats(-3.0, 3.0), min_size=2, max_size=40))
def test_a_rising_table_gives_a_rising_curve(bump, rebound, probes):
    """No hump that was not measured, and no value that is not a number, inside or beyond."""
    force = np.concatenate([-np.cumsum(rebound)[::-1], [0.0], np.cumsum(bump)])
    curve = damper.Curve(SPEEDS, force)
    found = curve.force_at(np.sort(probes))
    assert np.isfinite(found).all()
    assert np.all(np.diff(found) >= -1e-9)
    assert_allclose(curve.force_at(SPEEDS), force, rtol=1e-12)


@FAST
@given(st.floats(1.0, 20.0))
def test_beyond_the_table_the_last_slope_goes_on(speed):
    curve = _curve(600.0, 1000.0)
    slope = (curve.force[-1] - curve.force[-2]) / 0.5
    assert curve.force_at(speed) == pytest.approx(curve.force[-1] + slope * (speed - 1.0))
    slope = (curve.force[1] - curve.force[0]) / 0.5
    assert curve.force_at(-speed) == pytest.approx(curve.force[0] - slope * (speed - 1.0))
    assert list(curve.beyond([0.99, speed + 1e-9, -speed - 1e-9])) == [False, True, True]


def test_mirror_image():
    """Turning a table round turns its force round: no side is treated in another way."""
    curve = _curve(600.0, 1000.0)
    mirror = damper.Curve(-curve.speed[::-1], -curve.force[::-1])
    v = np.linspace(-2, 2, 401)
    assert_allclose(mirror.force_at(v), -curve.force_at(-v), atol=1e-9)


@FAST
@given(st.floats(0.01, 2.0), st.integers(0, 10))
def test_between_two_settings_force_lies_between(speed, clicks):
    hard, soft = _curve(900.0, 1000.0), _curve(600.0, 1000.0)
    one = damper.MeasuredDamper("d", (damper.Adjuster("bump", 10),), {(0,): hard, (10,): soft})
    expected = np.interp(clicks, [0, 10], [hard.force_at(speed), soft.force_at(speed)])
    assert one.valve_force(speed, (clicks,)) == pytest.approx(expected)


def test_sum_of_parts_counts_nothing_twice(rear):
    assert rear.valve_force(0.0, (5, 10)) == 0.0
    # Two of the five clicks from 900 to 700 N: the valves alone, also between measured settings.
    assert rear.valve_force(0.1, (2, 10)) == pytest.approx(820.0)
    assert rear.gas_force(0.03) == 300.0
    assert rear.friction(0.5) == pytest.approx(40.0)
    assert rear.friction(-0.5) == pytest.approx(-40.0)
    # At 0.1 m/s the table says 700 N; friction is added once, gas force not at all.
    assert damper.secant(rear, 0.1, (5, 10)) == pytest.approx(7400.0)
    assert damper.secant(rear, -0.1, (5, 10)) == pytest.approx(10400.0)


def test_damping_ratio_is_the_one_definition(rear):
    """Secant at the SHAFT speed, times the motion ratio squared, over twice root k m."""
    expected = 7400.0 * 0.9**2 / (2 * math.sqrt(36e3 * 420.0))
    assert damper.damping_ratio(rear, 0.1, (5, 10), CORNER) == pytest.approx(expected)


def test_more_closed_is_more_damped_and_more_load_less(rear):
    for speed in (0.05, 0.5):
        closed, middle, opened = (
            damper.damping_ratio(rear, -speed, (5, clicks), CORNER) for clicks in (0, 10, 20)
        )
        assert closed > middle > opened > 0
        loaded = damper.damping_ratio(rear, -speed, (5, 10), CORNER.loaded(150.0))
        assert loaded == pytest.approx(middle * math.sqrt(420 / 570))


def test_middle_of_force_is_not_the_middle_click():
    """Forces 2000, 600, 500 at 0, 10, 20 clicks: halfway between 500 and 2000 is nearest to 5."""
    levels = {(0,): 2000.0, (5,): 1200.0, (10,): 600.0, (20,): 500.0}
    curves = {key: _curve(force, force) for key, force in levels.items()}
    one = damper.MeasuredDamper("d", (damper.Adjuster("all", 20),), curves)
    assert damper.middle_of_force(one) == (5,)


@FAST
@given(st.floats(0.01, 3.0), st.floats(0.02, 1.0))
def test_a_rating_is_a_band_that_closes_at_its_speed(speed, rated_at):
    rating = damper.RatedDamper(800.0, 1200.0, rated_at)
    for sign, force in ((1, 800.0), (-1, 1200.0)):
        low, high = rating.band(sign * speed)
        assert 0 < low <= high
        assert rating.band(sign * rated_at) == pytest.approx((force, force))
        powers = sorted(force * (speed / rated_at) ** a for a in (0.4, 1.2))
        assert (low, high) == pytest.approx(tuple(powers))


REFUSALS = [
    (lambda d: d.valve_force(0.1, (5, 25)), "25 clicks"),
    (lambda d: d.valve_force(0.1, (3,)), r"\(3,\)"),
    (lambda d: damper.secant(d, 0.0, (5, 10)), "0 m/s"),
    (lambda d: damper.secant(d, math.nan, (5, 10)), "nan"),
    (lambda d: damper.middle_of_force(d, -0.1), "-0.1"),
    (lambda _: damper.RatedDamper(800.0, -1200.0, 0.1), "-1200"),
    (lambda _: damper.RatedDamper(800.0, 1200.0, 130.0), "130 m/s"),
    (lambda _: damper.Curve([0.1, 0.2], [1.0, 2.0]), "rebound"),
    (lambda _: damper.Curve([-0.1, 0.2, 0.2], [-1.0, 1.0, 2.0]), "ascending"),
    (lambda _: damper.Curve([-0.1, 0.2], [-1.0, math.nan]), "nan"),
]


@pytest.mark.parametrize(("act", "words"), REFUSALS)
def test_a_refusal_carries_the_value(rear, act, words):
    with pytest.raises(OutOfRange, match=words):
        act(rear)
