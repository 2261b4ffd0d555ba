"""What a load does: levers, heights, ratios and stops, on corners of one and of two stages."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dampinglab.errors import OutOfRange
from dampinglab.physics import linear, load, road
from dampinglab.physics.corner import simulate
from dampinglab.physics.damper import damping_ratio
from dampinglab.physics.measures import scores
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G
from dampinglab.workshop import demo

FAST = settings(max_examples=60, deadline=None)
COIL = Corner(450.0, 110.0, 36e3, 0.9, 260e3, 250.0, 0.105, 0.05, 0.105, 80.0)
LEAF = replace(COIL, friction=250.0, second_gap=0.03, second_rate=30e3)
LADEN = LEAF.loaded(180.0)
MIDDLE = (9, 5, 12)


@FAST
@given(st.floats(0, 500), st.floats(0, 3), st.floats(1, 6))
def test_a_ball_load_is_a_lever_about_the_rear_axle(mass, overhang, wheelbase):
    front, rear = load.ball_load(mass, overhang, wheelbase)
    assert front + rear == pytest.approx(mass)
    assert front * wheelbase == pytest.approx(-mass * overhang, abs=1e-9)
    assert rear >= mass
    assert front <= 0


def test_the_ball_of_the_demo_wagon():
    case = demo.vehicle().loads[1]
    assert load.ball_load(140.0, 1.15, 2.85) == pytest.approx(
        (case.front_mass, case.rear_mass), abs=0.5
    )


@FAST
@given(st.floats(80e3, 600e3), st.floats(80e3, 600e3))
def test_tyre_rate_is_a_line_in_pressure(known, pressure):
    rates = [load.tyre_rate(260e3, known, p) for p in (known, pressure)]
    assert rates[0] == pytest.approx(260e3)
    assert (rates[1] - rates[0]) / 260e3 == pytest.approx(0.7 * (pressure / known - 1))


@pytest.mark.parametrize("pressure", [0.0, -2e5, 2.4, 1e6])
def test_no_pressure_is_no_tyre(pressure):
    with pytest.raises(OutOfRange, match=r"Tyre pressure of .* is outside .* flat tyre"):
        load.tyre_rate(260e3, 240e3, pressure)


@pytest.mark.parametrize("corner", [COIL, LEAF, LADEN])
def test_mass_alone_is_what_the_corner_itself_says(corner):
    assert load.changed(corner, load.Change(mass=60.0)) == corner.loaded(60.0)
    assert load.changed(corner, load.Change()) == corner


@pytest.mark.parametrize("lift", [0.03, -0.02])
def test_lift_moves_height_and_nothing_else(lift):
    """Rate, frequency and what a load sags more are as they were; it tops out sooner."""
    made = load.changed(COIL, load.Change(lift=lift))
    assert made.bump_gap - COIL.bump_gap == pytest.approx(lift)
    assert COIL.droop_gap - made.droop_gap == pytest.approx(lift)
    assert (made.standing_rate, made.body_frequency) == (COIL.standing_rate, COIL.body_frequency)
    sags = [c.bump_gap - c.loaded(80.0).bump_gap for c in (made, COIL)]
    assert sags[0] == pytest.approx(sags[1])


def test_a_seat_moves_less_than_the_wheel():
    assert load.seat_lift(0.012, 0.6) == pytest.approx(0.020)


def test_lifting_a_laden_leaf_frees_its_second_stage():
    """The first stage alone is lifted: forces balance, and the body rises by less than the lift."""
    made = load.changed(LADEN, load.Change(lift=0.02))
    risen = made.bump_gap - LADEN.bump_gap
    assert 0 < risen < 0.02
    assert LADEN.spring_force(-risen) + LADEN.wheel_rate * 0.02 == pytest.approx(0, abs=1e-9)
    assert made.second_gap - LADEN.second_gap == pytest.approx(risen)


def test_stop_and_tyre():
    made = load.changed(COIL, load.Change(stop_gap=-0.02, stop_stiffness=1.5, tyre=0.8))
    assert made.bump_gap == pytest.approx(0.085)
    assert (made.droop_gap, made.foam_length) == (COIL.droop_gap, COIL.foam_length)
    assert made.foam_stiffness == 1.5
    assert made.tyre_rate == pytest.approx(208e3)


def test_beyond_a_stop_gets_a_sentence():
    with pytest.raises(
        OutOfRange, match=r"136 mm lower, and the bump stop is 105 mm away: .*spring"
    ):
        load.changed(COIL, load.Change(mass=500.0))
    with pytest.raises(
        OutOfRange, match=r"120 mm higher, and the droop stop is 105 mm .*topped out"
    ):
        load.changed(COIL, load.Change(lift=0.12))
    with pytest.raises(OutOfRange, match=r"Bump gap of -0\.0"):
        load.changed(COIL, load.Change(stop_gap=-0.2, lift=0.1))


def stands(corner, damper, *changes, setting=MIDDLE):
    return [load.stand(corner, change, damper, setting) for change in changes]


def test_standing_wagon():
    """Heights add up by hand; damped less; the stop takes more, and a softer one takes less."""
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    changes = load.Change(), load.Change(mass=98.0), load.Change(mass=98.0, stop_gap=0.02)
    was, now, trimmed = stands(rear, damper, *changes)
    assert (was.height, was.taken) == (0.0, 0.0)
    sag, tyre = 98.0 * G / rear.wheel_rate, 98.0 * G / rear.tyre_rate
    assert now.height == pytest.approx(-sag - tyre)
    assert now.tyre_part == pytest.approx(-tyre)
    assert now.taken == pytest.approx(sag / rear.bump_gap)
    less = np.sqrt(rear.sprung_mass / (rear.sprung_mass + 98.0))
    assert now.ratios == pytest.approx(tuple(less * r for r in was.ratios))
    assert was.stop_energy < now.stop_energy
    assert trimmed.stop_energy < now.stop_energy
    assert trimmed.corner.droop_gap == now.corner.droop_gap


def test_softer_tyre_lowers_the_body_and_takes_no_travel():
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    (now,) = stands(rear, damper, load.Change(tyre=0.7))
    assert now.height == now.tyre_part < 0
    assert now.taken == 0
    assert now.corner.ride_frequency < rear.ride_frequency


def test_friction_of_a_leaf_pack_holds_small_bumps():
    rear, front = (demo.vehicle("utility").corner(a) for a in ("rear", "front"))
    assert load.breakaway(rear) == pytest.approx(rear.friction / rear.wheel_rate)
    assert load.breakaway(rear) > 2 * load.breakaway(front)


def judged(corner, damper, change, setting=MIDDLE):
    was, now = stands(corner, damper, load.Change(), change, setting=setting)
    return load.verdict(was, now, damper, setting), was, now


def test_a_modest_load_is_answered_by_clicks():
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    told, was, now = judged(rear, damper, load.Change(mass=60.0))
    assert not told.spring
    assert set(told.clicks) == {"low-speed bump", "rebound"}
    for name, place, speed, goal in (
        ("low-speed bump", 0, 0.1, was.ratios[0]),
        ("rebound", 2, -0.1, was.ratios[1]),
    ):
        reached = [
            damping_ratio(damper, speed, tuple(n - k * (i == place) for i, n in enumerate(MIDDLE)),
                          now.corner)
            for k in (told.clicks[name] - 1, told.clicks[name])
        ]  # fmt: skip
        assert reached[0] < 0.995 * goal <= reached[1]


def test_nothing_done_needs_nothing():
    told, *_ = judged(demo.vehicle().corner("rear"), demo.hydraulic("rear"), load.Change())
    assert not told.spring
    assert set(told.clicks.values()) == {0}


def test_sag_beyond_its_share_is_work_for_the_spring():
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    told, was, now = judged(rear, damper, load.Change(mass=175.0))
    assert now.taken > load.SPRING_SHARE
    assert told.too_deep
    assert told.spring
    sprung = replace(now.corner, wheel_rate=told.wheel_rate, second_rate=0.0)
    assert sprung.static_sag == pytest.approx(was.corner.static_sag)


def test_a_spring_is_the_answer_when_the_last_click_is_not_enough():
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    told, *_ = judged(rear, damper, load.Change(mass=60.0), setting=(0, 5, 0))
    assert not told.too_deep
    assert told.clicks == {"low-speed bump": None, "rebound": None}
    assert told.spring


def test_measured_dampers_and_the_utility_are_judged_too():
    rear, damper = (
        demo.vehicle("utility").corner("rear"),
        demo.damper("rear", "utility_two_adjuster"),
    )
    told, _, now = judged(rear, damper, load.Change(mass=100.0), setting=(6, 10))
    assert set(told.clicks) == {"bump", "rebound"}
    assert now.stop_energy >= 0
    only = demo.damper("rear", "wagon_rebound_only")
    told, *_ = judged(rear, only, load.Change(mass=20.0), setting=only.settings[-1])
    assert set(told.clicks) == {"rebound"}


def test_the_stated_dip():
    made = road.dip()
    assert made.height.min() == pytest.approx(-0.12, abs=1e-4)
    assert made.height.max() == pytest.approx(0, abs=1e-4)
    below = made.time[made.height < -1e-4]
    assert below[-1] - below[0] == pytest.approx(6.0 / (50 / 3.6), rel=0.03)


def test_small_movements_feel_both_stages_where_both_carry():
    one = LADEN.one_stage
    assert linear.modes(LADEN) == pytest.approx(linear.modes(one))
    single = linear.responses(one, 2e3, 1.5)
    for name, laden in linear.responses(LADEN, 2e3, 1.5).items():
        assert laden == pytest.approx(single[name]), name
    assert linear.level_acceleration(LADEN) == linear.level_acceleration(one)
    assert linear.level_acceleration(LADEN) > linear.level_acceleration(
        replace(LADEN, second_rate=0.0)
    )


def test_the_second_stage_takes_no_energy(cases):
    """What was taken beyond the table is the damper's and the friction's, the spring's never."""
    events = ((0.1, 0.12, 0.1), (0.6, 0.11, -0.1), (1.2, 0.10, 0.14))
    body, one = cases.laden, cases.digressive()
    run = simulate(body, one, (10,), cases.bumps(events, 2.0))
    shaft = body.damper_motion_ratio * run.travel_rate
    force = body.damper_motion_ratio * (one.valve_force(shaft, (10,)) + one.friction(shaft))
    force = force + body.friction * np.tanh(run.travel_rate / 0.01)
    power = force * run.travel_rate
    assert run.beyond.any()
    share = power[run.beyond].sum() / power.sum()
    assert scores(run).energy_beyond == pytest.approx(share, rel=0.01)
