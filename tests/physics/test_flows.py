"""Where the oil goes: the flows add up, and their pressures are the force."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dampinglab.physics.valves import Block
from dampinglab.workshop import demo

FRONT = demo.hydraulic("front")
SPEEDS = (-1.5, -0.3, -0.05, 0.0, 0.01, 0.08, 0.2, 0.6, 1.5)
SETTINGS = ((0, 0, 0), (9, 5, 12), (18, 10, 24), (0, 10, 24), (18, 0, 0))
LOOSE = replace(FRONT, checked=False)
# Hard valves in the piston and an easy base: the oil behind the piston cannot follow.
PISTON_VALVED = replace(
    FRONT, piston=Block((3e6, 3e6), (2e9, 2e9), 1.8e7, 1e11), piston_bleed=2e-6, gas_pressure=4e5
)


@pytest.mark.parametrize("damper", [FRONT, LOOSE, PISTON_VALVED, demo.hydraulic("rear")])
@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize("speed", SPEEDS)
def test_flows_add_up_and_pressures_are_the_force(damper, setting, speed):
    flows, (rod, ring) = damper.flows(speed, setting), damper.areas
    base = flows.low_needle + flows.high_valve + flows.check
    piston = (flows.piston_bleed, flows.piston_stack, flows.rebound_needle, flows.rebound_stack)
    assert base == pytest.approx(rod * abs(speed), rel=1e-9)
    assert sum(piston) + flows.void == pytest.approx(ring * abs(speed), rel=1e-9)
    assert min(vars(flows).values()) >= 0
    force = np.copysign(rod * flows.base_pressure + ring * flows.piston_pressure, speed)
    assert force == pytest.approx(float(damper.valve_force(speed, setting)), abs=1e-6)


def test_the_high_speed_valve_is_shut_up_to_the_knee_and_open_beyond():
    for setting in SETTINGS:
        knee = FRONT.knee_speed(setting)
        assert FRONT.flows(0.99 * knee, setting).high_valve == 0
        assert FRONT.flows(1.01 * knee, setting).high_valve > 0
        knee = FRONT.rebound_knee_speed(setting)
        assert FRONT.flows(-0.99 * knee, setting).rebound_stack == 0
        assert FRONT.flows(-1.01 * knee, setting).rebound_stack > 0


def test_each_direction_has_passages_of_its_own():
    bump, rebound = FRONT.flows(0.5, (9, 5, 12)), FRONT.flows(-0.5, (9, 5, 12))
    assert bump.check == bump.rebound_needle == bump.rebound_stack == 0
    assert rebound.low_needle == rebound.high_valve == rebound.piston_stack == 0


def test_without_a_check_valve_bump_oil_passes_the_rebound_needle():
    wide, shut = (LOOSE.flows(0.1, (9, 5, clicks)).rebound_needle for clicks in (24, 0))
    assert wide > shut > 0


def test_where_oil_breaks_away_a_void_opens_and_nowhere_else():
    setting = (18, 10, 12)
    assert PISTON_VALVED.cavitates(1.0, setting)
    flows = PISTON_VALVED.flows(1.0, setting)
    assert flows.void > 0
    passed = flows.piston_bleed + flows.piston_stack
    pressure = PISTON_VALVED.piston.pressure(passed, PISTON_VALVED.piston_bleed, 1.0)
    assert pressure == pytest.approx(flows.piston_pressure, rel=1e-9)
    assert not PISTON_VALVED.cavitates(0.005, setting)
    assert PISTON_VALVED.flows(0.005, setting).void == 0


@given(
    flow=st.floats(0, 5e-3),
    area=st.floats(1e-7, 3e-5),
    openness=st.floats(0, 1),
    preload=st.floats(1e4, 8e6),
    slope=st.floats(1e8, 1e10),
    laminar=st.floats(0, 1e10),
)
def test_both_branches_of_a_block_feel_the_same_pressure(
    flow, area, openness, preload, slope, laminar
):
    block = Block((preload / 2, preload), (slope, slope), laminar)
    bleed, main = block.split(flow, area, openness)
    pressure = float(block.pressure(flow, area, openness))
    assert bleed + main == pytest.approx(flow)
    if main > 1e-9 * flow:  # below that the difference of the two is rounding
        opened, _ = block.at(openness)
        assert opened + slope * main == pytest.approx(pressure, rel=1e-6)
    else:
        assert pressure <= block.at(openness)[0] * (1 + 1e-6)
