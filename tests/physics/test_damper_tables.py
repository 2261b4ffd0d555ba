"""Measured tables at any setting inside the measured clicks, against the valves they came from."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from dampinglab.errors import OutOfRange
from dampinglab.physics import between, corner, measures
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.physics.road import Road
from dampinglab.workshop import demo

FAST = settings(max_examples=60, deadline=None)
SPEEDS = np.array([0.02, 0.05, 0.08, 0.13, 0.20, 0.30, 0.50, 0.75, 1.00, 1.50])
BOTH = np.concatenate([-SPEEDS[::-1], SPEEDS])
ANY = st.tuples(st.integers(0, 18), st.integers(0, 10), st.integers(0, 24))
HUB = (9, 5, 12)
TABLES = ("wagon_three_adjuster", "utility_two_adjuster", "wagon_rebound_only")


def star(axle="front", noise=0.0, **more):
    """Return a damper measured as the demo tables are, and the valves behind it."""
    valves = replace(demo.hydraulic(axle), **more)
    rng = np.random.default_rng(3)

    def measured(setting):
        force = valves.valve_force(BOTH, setting) + valves.friction(BOTH)
        force = force + noise * rng.normal(size=BOTH.size) * (0.008 * abs(force) + 3.0)
        return Curve(BOTH, np.sign(BOTH) * np.maximum(np.sign(BOTH) * force, 0.0))

    swept = {HUB}
    for i, adjuster in enumerate(valves.adjusters):
        clicks = (round(q / 4 * adjuster.clicks) for q in range(5))
        swept |= {(*HUB[:i], n, *HUB[i + 1 :]) for n in clicks}
    return MeasuredDamper("star", valves.adjusters, {s: measured(s) for s in swept}), valves


CLEAN = star()[0]


def errors(damper, valves, way, count=200):
    """Return relative errors at random settings, at shaft speeds from 0.05 m/s."""
    rng = np.random.default_rng(5)
    speed = way * SPEEDS[SPEEDS >= 0.05]
    asked = [tuple(int(rng.integers(a.clicks + 1)) for a in damper.adjusters) for _ in range(count)]
    found = np.array([damper.valve_force(speed, s) for s in asked])
    true = np.array([valves.valve_force(speed, s) + valves.friction(speed) for s in asked])
    return np.abs(found / true - 1)


# One bump force in twenty is out by so much, the worst by so much: as `valve_force` states.
STATED = [
    ("front", True, 0.13, 0.29),
    ("rear", True, 0.16, 0.35),
    ("front", False, 0.29, 0.95),
    ("rear", False, 0.26, 0.65),
]


@pytest.mark.parametrize(("axle", "checked", "seldom", "worst"), STATED)
def test_any_setting_is_near_the_valves_that_the_table_came_from(axle, checked, seldom, worst):
    damper, valves = star(axle, noise=1.0, checked=checked)
    bump, rebound = errors(damper, valves, 1), errors(damper, valves, -1)
    assert np.median(bump) < 0.035
    assert np.quantile(bump, 0.95) < seldom
    assert bump.max() < worst
    assert np.quantile(rebound, 0.95) < 0.10
    assert rebound.max() < 0.20


def test_valves_side_by_side_beat_effects_multiplied():
    damper, valves = star()
    speed, worst = SPEEDS[SPEEDS >= 0.05], []
    for low, high in product((0, 4, 14, 18), (0, 2, 8, 10)):
        true = valves.valve_force(speed, (low, high, 12)) + valves.friction(speed)
        alone = [damper.valve_force(speed, s) for s in ((low, 5, 12), (9, high, 12), HUB)]
        errs = (damper.valve_force(speed, (low, high, 12)), alone[0] * alone[1] / alone[2])
        worst.append([np.abs(each / true - 1).max() for each in errs])
    mine, multiplied = np.array(worst).max(axis=0)
    assert mine < 0.3 < 0.5 < multiplied


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_a_measured_setting_is_exact_and_assumes_nothing(axle, table):
    damper = demo.damper(axle, table)
    for setting, curve in damper.curves.items():
        assert_allclose(damper.valve_force(curve.speed, setting), curve.force, rtol=1e-12)
        assert damper.assumption(setting) == ""


@pytest.mark.parametrize("table", TABLES)
def test_every_setting_of_the_demo_dampers_has_a_rising_curve_and_a_sentence(table):
    damper = demo.damper("front", table)
    v = np.linspace(-2, 2, 401)
    steps = [range(0, a.clicks + 1, 3) for a in damper.adjusters]
    for setting in product(*steps):
        force = damper.valve_force(v, setting)
        assert np.all(np.diff(force) >= -1e-6), setting
        assert force[200] == 0.0
        said = damper.assumption(setting)
        assert bool(said) == (setting not in damper.curves)


@FAST
@given(st.integers(0, 18))
def test_along_one_adjuster_force_changes_evenly_and_never_turns(clicks):
    damper = demo.damper()
    low = [0, 4, 9, 14, 18]
    forces = [damper.valve_force(SPEEDS, (n, 5, 12)) for n in low]
    expected = [np.interp(clicks, low, each) for each in np.transpose(forces)]
    assert_allclose(damper.valve_force(SPEEDS, (clicks, 5, 12)), expected, rtol=1e-9)


@FAST
@given(ANY, st.integers(0, 2))
def test_more_open_is_never_harder_where_the_table_is_so(setting, place):
    """The valves without noise fall with every click, so must what is put together from them."""
    damper = CLEAN
    total = damper.adjusters[place].clicks
    closed = (*setting[:place], max(setting[place] - 2, 0), *setting[place + 1 :])
    opened = (*setting[:place], min(setting[place] + 2, total), *setting[place + 1 :])
    hard, soft = (np.abs(damper.valve_force(BOTH, s)) for s in (closed, opened))
    assert np.all(soft <= hard * (1 + 1e-6) + 1e-3)


def test_rebound_does_not_hear_of_bump_adjusters_nor_bump_of_rebound():
    damper = demo.damper()
    back = damper.valve_force(-SPEEDS, (9, 5, 3))
    assert_allclose(damper.valve_force(-SPEEDS, (2, 8, 3)), back, rtol=0.02)
    press = damper.valve_force(SPEEDS, (2, 8, 12))
    assert_allclose(damper.valve_force(SPEEDS, (2, 8, 3)), press, rtol=1e-9)


def test_what_is_assumed_is_said():
    damper = demo.damper()
    assert damper.assumption((2, 5, 12)) == (
        "2 / 5 / 12 clicks were not measured: force is taken to change evenly between "
        "0 / 5 / 12 and 4 / 5 / 12."
    )
    assert damper.assumption((2, 8, 3)) == (
        "2 / 8 / 3 clicks were not measured together: bump joins low-speed bump and high-speed "
        "bump, each turned alone from 9 / 5 / 12, as valves side by side, whose speeds add at one "
        "force, and rebound is read between 9 / 5 / 0 and 9 / 5 / 6; what changes a direction by "
        "less than a tenth is left out there."
    )
    assert "rebound is read at 9 / 5 / 6;" in damper.assumption((9, 8, 6))


def straight(c):
    return Curve(np.array([-1.0, 0.0, 1.0]), np.array([-c, 0.0, c]))


def test_a_box_of_measured_settings_is_blended_and_needs_no_rule():
    table = {(n, m): straight(1000.0 + 10 * n + 20 * m) for n in (0, 10) for m in (0, 10)}
    damper = MeasuredDamper("grid", (Adjuster("a", 10), Adjuster("b", 10)), table)
    assert damper.valve_force(0.5, (3, 6)) == pytest.approx(0.5 * (1000 + 30 + 120))
    assert "evenly between 0 / 0 and 0 / 10 and 10 / 0 and 10 / 10" in damper.assumption((3, 6))


def test_side_by_side_is_exact_for_straight_valves_side_by_side():
    """Needle 2 and valve 3 mm/s per N in parallel: turned alone and then together."""
    table = {(0, 0): 1 / 5, (1, 0): 1 / 7, (0, 1): 1 / 9}
    curves = {s: straight(1000 * c) for s, c in table.items()}
    damper = MeasuredDamper("pair", (Adjuster("a", 1), Adjuster("b", 1)), curves)
    assert damper.valve_force(0.4, (1, 1)) == pytest.approx(400 / 11, rel=1e-6)


def test_beyond_holds_for_a_setting_put_together():
    damper = demo.damper()
    assert list(damper.beyond([1.4, 1.6, -1.6], (2, 8, 3))) == [False, True, True]
    slope = np.diff(damper.valve_force([1.6, 1.7, 1.8], (2, 8, 3)))
    assert slope[0] == pytest.approx(slope[1])


def test_a_setting_put_together_reaches_no_further_than_its_parts():
    damper = demo.damper()
    slow = damper.curves[4, 5, 12]
    kept = np.abs(slow.speed) <= 0.5
    curves = {**damper.curves, (4, 5, 12): Curve(slow.speed[kept], slow.force[kept])}
    assert list(replace(damper, curves=curves).beyond([0.4, 0.6], (2, 8, 3))) == [False, True]


def without(*taken):
    """Return the demo damper without some of its measured settings."""
    damper = demo.damper()
    return replace(damper, curves={s: c for s, c in damper.curves.items() if s not in taken})


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: demo.damper().valve_force(0.1, (2, 8, 25)), "25 clicks"),
        (lambda: demo.damper().valve_force(0.1, (2, 8)), r"3 adjusters, not \(2, 8\)"),
        (lambda: without((0, 5, 12)).valve_force(0.1, (2, 8, 3)), r"\(2, 8, 3\).*\(9, 5, 0\)"),
        (lambda: without((0, 5, 12)).assumption((2, 8, 3)), "cannot be told"),
        (lambda: without((9, 0, 12), (9, 2, 12)).beyond(0.1, (9, 1, 3)), "swept that far"),
    ],
)
def test_outside_the_measured_clicks_it_is_refused(act, words):
    with pytest.raises(OutOfRange, match=words) as told:
        act()
    assert str(told.value).count(". ") == 0


def test_an_adjuster_never_turned_alone_may_matter():
    forces = {(0, 0): np.ones(3), (1, 1): np.ones(3)}
    assert between.matters(forces, 0)
    assert not between.matters({**forces, (1, 0): np.ones(3)}, 0)
    small = {(0,): np.array([100.0, 1000.0]), (1,): np.array([114.0, 1090.0])}
    assert not between.matters(small, 0)
    assert between.matters({**small, (2,): np.array([100.0, 1130.0])}, 0)


def hole():
    """Return a smooth hole of 60 mm, 0.1 s long."""
    time = 1e-3 * np.arange(1501)
    phase = np.clip((time - 0.1) / 0.1, 0, 1) * 2 * np.pi
    return Road("hole", time, -0.03 * (1 - np.cos(phase)), -0.6 * np.pi * np.sin(phase))


ROUGH = hole()


def test_the_share_of_energy_beyond_a_table_is_told_and_is_the_larger():
    """A table of half the speed: what lies beyond it takes little time and much of the energy."""
    whole = demo.damper()
    short = {
        s: Curve(c.speed[np.abs(c.speed) <= 0.3], c.force[np.abs(c.speed) <= 0.3])
        for s, c in whole.curves.items()
    }
    half, axle = replace(whole, curves=short), demo.vehicle().corner("front")
    run = corner.simulate(axle, half, (2, 8, 3), ROUGH)
    scored = measures.scores(run)
    shaft = axle.damper_motion_ratio * run.travel_rate
    heat = (half.valve_force(shaft, (2, 8, 3)) + half.friction(shaft)) * shaft
    rub = axle.friction * np.tanh(run.travel_rate / 0.01) * run.travel_rate
    fast = np.abs(shaft) > 0.3
    assert scored.beyond == pytest.approx(np.mean(fast))
    expected = (heat + rub)[fast].sum() / (heat + rub).sum()
    assert scored.energy_beyond == pytest.approx(expected, rel=1e-3)
    assert scored.energy_beyond > 3 * scored.beyond > 0
    shallow = replace(ROUGH, height=ROUGH.height / 10, velocity=ROUGH.velocity / 10)
    assert measures.scores(corner.simulate(axle, whole, HUB, shallow)).energy_beyond == 0


def test_many_settings_have_each_their_share_beyond():
    axle, damper = demo.vehicle().corner("front"), demo.damper()
    run = corner.simulate_many(axle, damper, [(2, 8, 3), HUB], ROUGH)
    both = measures.scores(replace(run, beyond=np.abs(run.travel_rate) > 0.5)).energy_beyond
    one = corner.simulate(axle, damper, HUB, ROUGH)
    alone = measures.scores(replace(one, beyond=np.abs(one.travel_rate) > 0.5)).energy_beyond
    assert both.shape == (2,)
    assert both[1] == pytest.approx(alone, rel=1e-9)
    assert 0 < alone < 1
