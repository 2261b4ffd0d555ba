"""Curves click by click: known lines are found again, and what is not told is said."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.physics.fit import fit_adjuster, fit_knee
from dampinglab.workshop import demo

FAST = settings(max_examples=40, deadline=None)
SPEEDS = np.array([0.02, 0.05, 0.08, 0.13, 0.20, 0.30, 0.50, 0.75, 1.00, 1.50])

CLOSE = np.array([0.02, 0.05, 0.08, 0.13, 0.18, 0.19, 0.25])


def lines(low, knee, high, speeds=SPEEDS, noise=0.0, seed=0):
    """Return a curve of two lines, bump half the rebound."""
    force = low * np.minimum(speeds, knee) + high * np.maximum(speeds - knee, 0)
    force = force * (1 + noise * np.random.default_rng(seed).normal(size=force.size))
    both = np.concatenate([-speeds[::-1], speeds])
    return Curve(both, np.concatenate([-2 * force[::-1], force]))


def swept(numbers, **more):
    """Return a damper with one adjuster, five settings, and lines for each."""
    curves = {(5 * i,): lines(*three, **more) for i, three in enumerate(numbers)}
    return MeasuredDamper("swept", (Adjuster("rebound", 20),), curves)


NEEDLE = [(12e3 * 0.8**i, 0.12 / 0.8**i, 2000.0) for i in range(5)]
PRELOAD = [(9e3, 0.25 * 0.8**i, 2000.0) for i in range(5)]
BOTH = [(12e3 * 0.85**i, 0.18 * 0.85**i, 2000.0) for i in range(5)]


@FAST
@given(st.floats(2e3, 3e4), st.floats(0.06, 0.7), st.floats(0.05, 0.6), st.sampled_from([1, -1]))
def test_known_lines_are_found_again(low, knee, share, way):
    found = fit_knee(lines(low, knee, share * low), way)
    scale = 1 if way > 0 else 2
    assert found.low_slope == pytest.approx(scale * low, rel=1e-3)
    assert found.speed == pytest.approx(knee, rel=2e-3)
    assert found.high_slope == pytest.approx(scale * share * low, rel=5e-3)
    assert found.force == pytest.approx(scale * low * knee, rel=5e-3)
    assert found.misfit < 1e-3


def test_the_lines_meet_at_the_knee_and_residuals_are_what_is_left():
    curve = lines(9e3, 0.21, 1800.0, noise=0.03)
    knee = fit_knee(curve, 1)
    either = knee.force_at([knee.speed * (1 - 1e-9), knee.speed * (1 + 1e-9)])
    assert either[0] == pytest.approx(either[1], rel=1e-6)
    assert knee.force_at(0.0) == 0.0
    bump = curve.force[curve.speed > 0]
    assert knee.residuals == pytest.approx(bump - knee.force_at(SPEEDS))
    assert 0.01 < knee.misfit < 0.04


def test_the_stated_sureness_is_that_of_many_tries():
    """Noise of 3 %, as the weights assume: the spread of 60 fits is the stated one."""
    fits = [fit_knee(lines(9e3, 0.21, 1800.0, noise=0.03, seed=i), 1) for i in range(60)]
    numbers = np.log([(k.low_slope, k.speed, k.high_slope) for k in fits])
    stated = np.mean([k.sigma for k in fits], axis=0)
    assert np.std(numbers, axis=0) == pytest.approx(stated, rel=0.4)


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        (NEEDLE, r"changes needle area \(slope before the knee -59%\), not surely preload"),
        (PRELOAD, r"changes preload \(force at the knee -59%\), not surely needle area"),
        (BOTH, r"changes needle area and preload together \(slope -48%, knee force -73%\)"),
        ([(9e3, 0.2, 2e3)] * 5, "changes neither needle area nor preload for sure"),
    ],
)
@pytest.mark.parametrize("way", [1, -1])
def test_what_an_adjuster_changes_is_told_when_every_knee_is_read(numbers, words, way):
    fit = fit_adjuster(swept(numbers), "rebound", way)
    assert fit.clicks == (0, 5, 10, 15, 20)
    assert "cannot" not in " ".join(fit.told)
    assert re.search(words, fit.told[-1])


def test_between_clicks_the_three_numbers_change_evenly_and_at_them_are_the_fits():
    fit = fit_adjuster(swept(PRELOAD), "rebound", 1)
    assert fit.at(10) == pytest.approx(PRELOAD[2], rel=5e-3)
    middle = fit.at(12.5)
    assert middle[1] == pytest.approx(0.25 * 0.8**2.5, rel=5e-3)
    slow, fast = fit.force_at([0.05, 0.6], 10)
    assert slow == pytest.approx(450.0, rel=5e-3)
    assert fast == pytest.approx(9e3 * 0.16 + 2e3 * 0.44, rel=5e-3)
    with pytest.raises(OutOfRange, match="21 clicks"):
        fit.at(21)


@pytest.mark.parametrize(
    ("three", "speeds", "noise", "words"),
    [
        ((9e3, 0.2, 2e3), SPEEDS[:6] / 3, 0.01, "cross no knee (one line fits them), so measure"),
        ((3e3, 0.2, 3e3), SPEEDS, 0.01, "cross no knee (one line fits them), so measure"),
        ((9e3, 0.2, 2e3), SPEEDS[3:], 0.01, "at the end of the speeds measured, so measure slower"),
        ((9e3, 0.2, 2e3), CLOSE, 0.0, "at the end of the speeds measured, so measure faster"),
        ((9e3, 0.2, 2e3), SPEEDS[:6], 0.0, "slope and knee trade against each other"),
        ((3e3, 0.2, 2.5e3), SPEEDS, 0.01, "a knee elsewhere fits the points nearly as well"),
    ],
)
def test_a_knee_that_the_speeds_do_not_show_is_not_told(three, speeds, noise, words):
    fit = fit_adjuster(swept([three] * 3, speeds=speeds, noise=noise), "rebound", 1)
    assert words in fit.told[1]
    assert "At 0, 5, 10 clicks needle area and preload cannot be told apart" in fit.told[1]
    assert "changes" not in " ".join(fit.told)


def test_the_rear_demo_damper_has_more_knees_than_one():
    fit = fit_adjuster(demo.damper("rear"), "high-speed bump", 1)
    assert any(knee.rivals for knee in fit.knees)
    assert "a knee elsewhere" in fit.told[1]


def test_a_knee_that_jumps_between_clicks_belongs_to_another_valve():
    fit = fit_adjuster(swept([(9e3, 0.3, 2e3), (8e3, 0.35, 2e3), (9e3, 0.06, 2e3)]), "rebound", 1)
    assert "Between 5 and 10 clicks the knee jumps from 0.35 to 0.06 m/s" in fit.told[-1]


def test_the_demo_dampers_knees_lie_near_those_of_their_valves_where_they_are_told():
    """The front's high-speed valve: every knee that has no rival lies within a quarter."""
    damper, valves = demo.damper(), demo.hydraulic()
    fit = fit_adjuster(damper, "high-speed bump", 1)
    told = [(n, knee) for n, knee in zip(fit.clicks, fit.knees, strict=True) if not knee.rivals]
    assert len(told) >= 4
    for clicks, knee in told:
        assert knee.speed == pytest.approx(valves.knee_speed((9, clicks, 12)), rel=0.25)
    assert 0.05 < fit.misfit < 0.12
    whole = " ".join(fit_adjuster(damper, "low-speed bump", 1).told)
    assert "two valves share this curve" in whole
    assert "changes" not in whole


def test_an_adjuster_of_the_other_direction_changes_nothing():
    told = fit_adjuster(demo.damper(), "rebound", 1).told
    assert not any("rebound changes needle area" in line or "not surely" in line for line in told)


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: fit_adjuster(swept(NEEDLE), "bump", 1), "no adjuster 'bump', only rebound"),
        (lambda: fit_adjuster(swept(NEEDLE[:2]), "rebound", 1), "at 2 settings of rebound alone"),
        (lambda: fit_knee(lines(1e3, 0.1, 1e3, SPEEDS[:4]), 1), "five speeds"),
        (lambda: fit_knee(Curve(SPEEDS - 0.4, SPEEDS - 0.4), 1), "and 4 are"),
    ],
)
def test_too_little_is_refused(act, words):
    with pytest.raises(OutOfRange, match=words):
        act()
