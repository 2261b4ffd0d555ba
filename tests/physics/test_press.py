"""The press-and-return stand against closed forms, a full solution with inertia, and itself."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dampinglab.errors import OutOfRange
from dampinglab.physics import press
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.workshop import demo

MIDDLE = (9, 5, 12)


def line(coefficient=5000.0, gas=300.0, friction=0.0, top=2.0):
    """Return a viscous damper with a constant gas force, as a table."""
    speed = np.array([-top, 0.0, top])
    curves = {(n,): Curve(speed, coefficient * (2 - n / 5) * speed) for n in (0, 5)}
    return MeasuredDamper("line", (Adjuster("all", 5),), curves, gas, friction)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("speed", [0.02, 0.05, 0.1, 0.5, 2.0])
def test_push_and_lever_are_inverse(axle, speed):
    damper = demo.hydraulic(axle)
    force = press.lever_force(damper, MIDDLE, speed, 0.03)
    assert press.push_speed(damper, MIDDLE, force, 0.03) == pytest.approx(speed, rel=1e-9)


def test_the_lever_gives_valves_friction_and_gas():
    damper = demo.hydraulic()
    parts = damper.valve_force(0.1, MIDDLE) + damper.friction(0.1) + damper.gas_force(0.02)
    assert press.lever_force(damper, MIDDLE, 0.1, 0.02) == pytest.approx(float(parts))


def test_a_viscous_damper_returns_in_stroke_times_coefficient_over_gas():
    stroke = press.let_return(line(), (5,))
    assert stroke.seconds == pytest.approx(0.12 * 5000 / 300, rel=1e-9)
    assert stroke.speed == pytest.approx(300 / 5000, rel=1e-9)
    assert (stroke.travel[0], stroke.travel[-1]) == (0.12, 0.0)


def test_a_viscous_damper_under_a_spring_returns_by_a_logarithm():
    damper, rate = line(gas=0.0), 6000.0
    seconds = 5000 / rate * np.log((0.12 + press.SPRING_PRELOAD) / press.SPRING_PRELOAD)
    found = press.let_return(damper, (5,), spring=rate).seconds
    assert found == pytest.approx(seconds, rel=3e-4)


def test_twice_the_coefficient_takes_twice_as_long():
    hard, soft = (press.let_return(line(), (n,)).seconds for n in (0, 5))
    assert hard == pytest.approx(2 * soft, rel=1e-9)


@pytest.mark.parametrize("setting", [(9, 5, 0), MIDDLE, (9, 5, 24)])
@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("spring", [0.0, 6000.0])
def test_inertia_may_be_left_out(axle, setting, spring):
    """Ten kilograms, far more than rod and oil, change the time by less than 1 %."""
    damper, mass, half = demo.hydraulic(axle), 10.0, press.STROKE / 2

    def slope(_, state):
        travel, speed = state
        resist = damper.valve_force(speed, setting) + damper.friction(speed)
        push = damper.gas_force(travel - half) + spring * (travel + press.SPRING_PRELOAD)
        return [speed, -(float(resist) + float(push)) / mass]

    def out(_, state):
        return state[0]

    out.terminal = True
    whole = solve_ivp(slope, (0, 20), [press.STROKE, 0.0], "Radau", events=out, rtol=1e-6)
    assert whole.t_events[0].size == 1
    quasi = press.let_return(damper, setting, spring=spring).seconds
    assert quasi == pytest.approx(whole.t_events[0][0], rel=0.01, abs=2e-3)


def test_the_grid_of_places_is_fine_enough(monkeypatch):
    damper = demo.hydraulic()
    usual = press.let_return(damper, MIDDLE, spring=6000.0).seconds
    monkeypatch.setattr(press, "_PLACES", 4001)
    fine = press.let_return(damper, MIDDLE, spring=6000.0).seconds
    assert usual == pytest.approx(fine, rel=2e-4)


def test_the_table_of_speeds_is_as_good_as_root_finding():
    """At every twentieth place, at a setting whose knee lies on the way."""
    damper = demo.hydraulic()
    way = press.press_by_hand(damper, (2, 10, 12), 2500.0)
    found = np.gradient(way.travel, way.time)[20:-20:20]
    places = way.travel[20:-20:20] - press.STROKE / 2
    roots = [press.push_speed(damper, (2, 10, 12), 2500.0, x) for x in places]
    assert found == pytest.approx(roots, rel=1e-3)


def test_bump_adjusters_leave_the_return_and_rebound_leaves_the_press():
    damper = demo.hydraulic()
    returns = {press.let_return(damper, (n, m, 12)).seconds for n in (0, 18) for m in (0, 10)}
    presses = {press.press_by_hand(damper, (9, 5, n), 900.0).seconds for n in (0, 12, 24)}
    assert len(returns) == 1
    assert len(presses) == 1


def test_without_the_check_valve_rebound_alters_the_press():
    damper = replace(demo.hydraulic(), checked=False)
    hard, soft = (press.press_by_hand(damper, (9, 5, n), 900.0).seconds for n in (0, 24))
    assert soft < hard


def test_gas_alone_returns_the_shaft_if_it_beats_the_seals():
    damper = demo.hydraulic()
    assert press.returns_by_gas(damper)
    flat = replace(damper, gas_pressure=0.1e6)  # as much as the air outside
    assert not press.returns_by_gas(flat)
    held = press.let_return(flat, MIDDLE)
    assert held.seconds == np.inf
    assert held.speed == 0
    assert press.let_return(flat, MIDDLE, spring=6000.0).arrives


def test_a_push_that_gas_outgrows_is_held_part_way():
    damper = demo.hydraulic()
    push = float(damper.gas_force(0.0)) + 45.0
    stroke = press.press_by_hand(damper, MIDDLE, push)
    assert not stroke.arrives
    assert 0.04 < stroke.travel[-1] < 0.08
    assert press.push_speed(damper, MIDDLE, push, 0.01) == 0


def test_a_push_weaker_than_the_gas_moves_nothing():
    stroke = press.press_by_hand(demo.hydraulic(), MIDDLE, 100.0)
    assert stroke.time.tolist() == [0.0]
    assert stroke.travel.tolist() == [0.0]
    assert stroke.speed == 0


def test_a_measured_damper_returns_as_the_valves_it_was_measured_on():
    """Under a spring, for the table holds no gas force; 5 % for the table's noise and spacing."""
    gasless = replace(demo.hydraulic(), gas_pressure=0.1e6, gas_volume=1.0)
    table = demo.damper()
    for setting in table.settings:
        one = press.let_return(table, setting, spring=8000.0).seconds
        other = press.let_return(gasless, setting, spring=8000.0).seconds
        assert one == pytest.approx(other, rel=0.05)


def test_what_lies_beyond_the_table_is_flagged():
    assert not press.let_return(line(), (5,)).beyond
    assert press.let_return(line(top=0.05), (5,)).beyond
    assert not press.let_return(demo.hydraulic(), (9, 5, 24), spring=1e5).beyond


@pytest.mark.parametrize(
    ("ask", "part"),
    [
        (lambda d: press.push_speed(d, MIDDLE, -1.0), "Push"),
        (lambda d: press.push_speed(d, MIDDLE, 2e5), "Push"),
        (lambda d: press.press_by_hand(d, MIDDLE, np.nan), "Push"),
        (lambda d: press.press_by_hand(line(10.0), (5,), 2e3), "more than 8 m/s"),
        (lambda d: press.let_return(d, MIDDLE, stroke=120.0), "1000 mm is 1 m"),
        (lambda d: press.let_return(d, MIDDLE, spring=-1.0), "Rate of the spring"),
        (lambda d: press.let_return(d, (9, 5, 99)), "rebound"),
        (lambda d: press.let_return(d, (9, 5)), "3 adjusters"),
        (lambda d: press.lever_force(d, MIDDLE, 0.0), "Shaft speed"),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_sentence(ask, part):
    with pytest.raises(OutOfRange, match=part):
        ask(demo.hydraulic())
