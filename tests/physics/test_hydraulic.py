"""The hydraulic damper's own laws: knees, energy, gas, cavitation, needles, and every kind.

The settings of these tests are clicks out from closed, in the order of the adjusters.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from dampinglab.errors import OutOfRange
from dampinglab.physics.equivalent import cycle_energy, equivalent_coefficient
from dampinglab.physics.hydraulic import THREE_KNOBS, Knob
from dampinglab.physics.valves import Block, Needle, block_pressure, opening_flow
from dampinglab.workshop import demo

AXLES = ("front", "rear")
MIDDLE = (9, 5, 12)
ANY = st.tuples(*(st.integers(0, knob.clicks) for knob in THREE_KNOBS))

areas = st.floats(0.2e-6, 30e-6)
preloads = st.floats(0.05e6, 8e6)
slopes = st.floats(1e8, 1e10)
laminars = st.floats(0.0, 6e9)


def on_the_piston(gas_pressure):
    """Return a damper whose bump damping sits on the piston, where oil can break away."""
    return replace(
        demo.hydraulic(),
        base=Block((1e3, 1e3), (1e6, 1e6), 0.0),
        piston=Block((2e6, 2e6), (4e8, 4e8), 1e9),
        piston_bleed=2e-6,
        gas_pressure=gas_pressure,
    )


# --- one block ------------------------------------------------------------------------------


@given(areas, preloads, slopes, laminars)
def test_a_block_is_continuous_at_its_knee(area, preload, slope, laminar):
    knee = float(opening_flow(area, preload, laminar))
    below, at, above = block_pressure(
        knee * np.array([1 - 1e-9, 1, 1 + 1e-9]), area, preload, slope, laminar
    )
    assert at == pytest.approx(preload, rel=1e-6)
    assert below == pytest.approx(above, rel=1e-6)


@given(areas, preloads, slopes, laminars, st.floats(0.0, 1e12))
def test_a_block_rises_with_flow_and_never_faster_than_its_bleed(area, preload, slope, lam, port):
    flow = np.linspace(0, 2e-3, 800)
    pressure = block_pressure(flow, area, preload, slope, lam, port)
    shut = block_pressure(flow, area, 1e30, slope, lam, port)
    assert pressure[0] == 0
    assert np.all(np.diff(pressure) > 0)
    assert np.all(pressure <= shut * (1 + 1e-9))


@given(areas, preloads, slopes, laminars, st.floats(1.01, 50))
def test_the_closed_form_shares_the_flow(area, preload, slope, laminar, times):
    """Both ways cost one pressure, and their flows add up: solved anew from the pressure."""
    flow = times * float(opening_flow(area, preload, laminar))
    pressure = float(block_pressure(flow, area, preload, slope, laminar))
    b = 860 / (2 * (0.7 * area) ** 2)
    bleed = (-laminar + np.sqrt(laminar**2 + 4 * b * pressure)) / (2 * b)
    main = (pressure - preload) / slope
    assert bleed + main == pytest.approx(flow, rel=1e-6)


@given(preloads, slopes, laminars, st.floats(1e-5, 2e-3))
def test_a_smaller_bleed_and_a_stiffer_valve_cost_more(preload, slope, laminar, flow):
    def cost(area=4e-6, more=1.0):
        return float(block_pressure(flow, area, more * preload, more * slope, laminar))

    assert cost(area=3e-6) > cost()
    assert cost(more=1.5) >= cost()


# --- the whole curve ------------------------------------------------------------------------


@pytest.mark.parametrize("axle", AXLES)
@given(setting=ANY)
@settings(max_examples=60)
def test_force_rises_with_speed_at_every_setting(axle, setting):
    damper = demo.hydraulic(axle)
    force = damper.valve_force(np.linspace(-3, 3, 1201), setting)
    assert np.all(np.diff(force) > 0)
    assert damper.valve_force(0.0, setting) == 0


@pytest.mark.parametrize("axle", AXLES)
@given(setting=ANY)
@settings(max_examples=60)
def test_closing_any_adjuster_never_softens(axle, setting):
    damper, v = demo.hydraulic(axle), np.linspace(-2, 2, 81)
    force = damper.valve_force(v, setting)
    for i in range(3):
        if setting[i]:
            harder = tuple(n - (i == j) for j, n in enumerate(setting))
            more = np.abs(damper.valve_force(v, harder)) - np.abs(force)
            assert np.all(more >= -1e-9)


@pytest.mark.parametrize("axle", AXLES)
@given(setting=ANY)
@settings(max_examples=60)
def test_the_curve_is_continuous_at_both_knees(axle, setting):
    damper = demo.hydraulic(axle)
    for knee in (damper.knee_speed(setting), -damper.rebound_knee_speed(setting)):
        below, above = damper.valve_force(knee * np.array([1 - 1e-9, 1 + 1e-9]), setting)
        assert below == pytest.approx(above, rel=1e-6)


def _slopes(damper, setting, knee):
    """Return the slopes just below and just above a speed, by difference."""
    v = knee * np.array([1 - 2e-5, 1 - 1e-5, 1 + 1e-5, 1 + 2e-5])
    return np.diff(damper.valve_force(v, setting))[[0, 2]] / np.diff(v)[[0, 2]]


@pytest.mark.parametrize("axle", AXLES)
@pytest.mark.parametrize("setting", [MIDDLE, (4, 5, 12), (9, 2, 12), (14, 8, 12)])
def test_the_knee_is_where_the_slope_falls(axle, setting):
    damper = demo.hydraulic(axle)
    knee = damper.knee_speed(setting)
    steep, flat = _slopes(damper, setting, knee)
    assert flat < 0.8 * steep
    one, other = _slopes(damper, setting, 0.8 * knee)
    assert one == pytest.approx(other, rel=1e-2)


@pytest.mark.parametrize("axle", AXLES)
def test_the_rebound_knee_is_where_the_slope_falls(axle):
    damper = demo.hydraulic(axle)
    steep, flat = _slopes(damper, MIDDLE, -damper.rebound_knee_speed(MIDDLE))
    assert flat < 0.8 * steep


@pytest.mark.parametrize("axle", AXLES)
def test_both_bump_adjusters_move_the_knee_and_rebound_does_not(axle):
    knee = demo.hydraulic(axle).knee_speed
    over_low = [knee((n, 5, 12)) for n in range(19)]
    over_high = [knee((9, n, 12)) for n in range(11)]
    assert np.all(np.diff(over_low) > 0), "a wider needle reaches the preload later"
    assert np.all(np.diff(over_high) < 0), "a lower preload is reached sooner"
    assert knee((9, 5, 0)) == knee((9, 5, 24))


@pytest.mark.parametrize("axle", AXLES)
def test_bump_adjusters_do_nothing_in_rebound_and_rebound_nothing_in_bump(axle):
    damper, v = demo.hydraulic(axle), np.linspace(0.01, 2, 50)
    assert (
        np.ptp([damper.valve_force(-v, (n, m, 12)) for n in (0, 18) for m in (0, 10)], 0).max() == 0
    )
    assert np.ptp([damper.valve_force(v, (9, 5, n)) for n in (0, 12, 24)], 0).max() == 0


def test_below_the_knee_the_high_speed_adjuster_does_nothing_at_all():
    damper = demo.hydraulic()
    slow = 0.99 * min(damper.knee_speed((9, n, 12)) for n in range(11))
    assert np.ptp([damper.valve_force(slow, (9, n, 12)) for n in range(11)]) == 0


def test_many_settings_at_once_are_the_single_ones():
    damper, v = demo.hydraulic(), np.linspace(-2, 2, 41)
    many = [(n, m, k) for n in (0, 7, 18) for m in (0, 10) for k in (0, 24)]
    whole = damper.valve_forces(v, many)
    assert whole.shape == (12, 41)
    for setting, forces in zip(many, whole, strict=True):
        assert np.array_equal(damper.valve_force(v, setting), forces)


# --- energy ---------------------------------------------------------------------------------


@pytest.mark.parametrize("axle", AXLES)
@pytest.mark.parametrize(("amplitude", "frequency"), [(0.02, 1.5), (0.05, 1.0), (0.01, 10.0)])
def test_energy_a_cycle_is_the_area_of_the_loop(axle, amplitude, frequency):
    """Force over travel, in and out, by another rule of integration than the package's."""
    damper = demo.hydraulic(axle)

    def force(v):
        return damper.valve_force(v, MIDDLE) + damper.friction(v)

    travel = amplitude * np.sin(np.linspace(-np.pi / 2, np.pi / 2, 200_001))
    speed = 2 * np.pi * frequency * np.sqrt(np.maximum(amplitude**2 - travel**2, 0))
    area = trapezoid(force(speed) - force(-speed), travel)
    assert cycle_energy(force, amplitude, frequency) == pytest.approx(area, rel=1e-5)
    c = equivalent_coefficient(force, amplitude, frequency)
    peak = 2 * np.pi * frequency * amplitude
    ends = force(np.array([peak, -peak])) / np.array([peak, -peak])
    assert 0.5 * ends.min() < c < 6 * ends.max()


def test_gas_takes_no_energy_in_a_cycle():
    damper = demo.hydraulic()
    travel = 0.05 * np.sin(np.linspace(0, 2 * np.pi, 4001))
    assert trapezoid(damper.gas_force(travel), travel) == pytest.approx(0, abs=1e-6)


# --- gas ------------------------------------------------------------------------------------


@pytest.mark.parametrize("axle", AXLES)
@given(travel=st.floats(-0.1, 0.12))
@settings(max_examples=50)
def test_gas_stiffness_is_the_slope_of_the_gas_force(axle, travel):
    damper, step = demo.hydraulic(axle), 1e-5
    slope = np.diff(damper.gas_force(travel + step * np.array([-1, 1])))[0] / (2 * step)
    assert damper.gas_stiffness(travel) == pytest.approx(slope, rel=1e-6)


def test_gas_pushes_out_with_rod_area_times_pressure_over_the_air():
    damper = demo.hydraulic()
    assert damper.gas_force(0.0) == pytest.approx(np.pi / 4 * 0.022**2 * (1.4e6 - 1e5))


# --- cavitation -----------------------------------------------------------------------------


def test_force_is_capped_where_oil_breaks_away_and_the_cap_grows_with_gas_pressure():
    ring = on_the_piston(1e6).areas[1]
    caps = []
    for pressure in (0.1e6, 0.7e6, 1.4e6):
        damper = on_the_piston(pressure)
        assert damper.cavitates(1.0, MIDDLE)
        assert not damper.cavitates(0.002, MIDDLE)
        caps.append(float(damper.valve_force(1.0, MIDDLE)))
    assert np.all(np.diff(caps) > 0)
    assert np.diff(caps) == pytest.approx(ring * np.diff([0.1e6, 0.7e6, 1.4e6]), rel=1e-9)
    uncapped = on_the_piston(1e9)
    assert not uncapped.cavitates(1.0, MIDDLE)
    assert uncapped.valve_force(1.0, MIDDLE) > caps[-1]


def test_a_capped_force_hardly_grows_with_speed():
    damper = on_the_piston(0.7e6)
    one, two = damper.valve_force(np.array([1.0, 2.0]), MIDDLE)
    assert two < 1.02 * one


@pytest.mark.parametrize("axle", AXLES)
@given(setting=ANY)
@settings(max_examples=40)
def test_where_the_base_carries_the_bump_nothing_breaks_away(axle, setting):
    flat = replace(demo.hydraulic(axle), gas_pressure=0.4e6)
    assert not flat.cavitates(3.0, setting)


def test_cavitation_is_a_matter_of_bump_only():
    v = -np.linspace(0.01, 2, 20)
    low, high = (on_the_piston(p).valve_force(v, MIDDLE) for p in (0.1e6, 1.4e6))
    assert np.array_equal(low, high)


# --- without the check valve ----------------------------------------------------------------


@pytest.mark.parametrize("axle", AXLES)
def test_without_the_check_valve_rebound_is_a_weak_second_low_speed_adjuster(axle):
    """Its share falls with speed, its sign is that of closing, and rebound itself stays."""
    damper = replace(demo.hydraulic(axle), checked=False)
    v = np.array([0.05, 0.2, 1.0])
    hard, soft = (damper.valve_force(v, (9, 5, n)) for n in (0, 24))
    share = hard / soft - 1
    assert np.all(share > 0)
    assert share[0] > 2 * share[2]
    checked = demo.hydraulic(axle)
    assert np.all(hard < checked.valve_force(v, MIDDLE))
    assert np.array_equal(damper.valve_force(-v, MIDDLE), checked.valve_force(-v, MIDDLE))


# --- needles --------------------------------------------------------------------------------


def test_each_click_of_a_geometric_needle_changes_the_area_by_the_same_share():
    geometric = Needle(3e-6, 0.6e-6, None)
    area = geometric.area(np.arange(19) / 18)
    assert np.ptp(area[1:] / area[:-1]) < 1e-12
    usual = Needle(3e-6, 0.6e-6).area(np.arange(19) / 18)
    assert area[[0, -1]] == pytest.approx(usual[[0, -1]])
    shares = usual[1:] / usual[:-1]
    assert shares.max() - 1 > 2 * (shares[-1] - 1)


def test_the_needle_law_moves_the_middle_and_leaves_the_ends():
    damper = demo.hydraulic()
    feel = replace(damper.base_needle, power=None)
    other = replace(damper, base_needle=feel)
    for clicks in (0, 18):
        ends = [d.valve_force(0.08, (clicks, 5, 12)) for d in (damper, other)]
        assert ends[0] == pytest.approx(ends[1], rel=1e-9)
    assert other.valve_force(0.08, MIDDLE) > 1.05 * damper.valve_force(0.08, MIDDLE)


# --- kinds ----------------------------------------------------------------------------------

KINDS = {
    "not adjustable": (),
    "rebound only": (Knob("rebound", 20, ("rebound",)),),
    "bump and rebound together": (Knob("damping", 8, ("low", "rebound")),),
    "bump, rebound": (Knob("bump", 12, ("low",)), Knob("rebound", 20, ("rebound",))),
    "three": THREE_KNOBS,
    "a dial": (Knob("dial", 3, ("low", "high", "rebound")),),
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_knob_moves_its_own_valves_and_no_others(kind):
    damper = replace(demo.hydraulic(), knobs=KINDS[kind])
    middle = tuple(knob.clicks // 2 for knob in damper.knobs)
    v = np.array([0.08, 0.8, -0.08])
    for i, knob in enumerate(damper.knobs):
        turned = [(*middle[:i], n, *middle[i + 1 :]) for n in (0, knob.clicks)]
        ends = [damper.valve_force(v, setting) for setting in turned]
        slow, fast, back = np.abs(ends[0]) > np.abs(ends[1]) * (1 + 1e-9)
        assert back == ("rebound" in knob.turns)
        assert fast == bool({"low", "high"} & set(knob.turns))
        assert slow == ("low" in knob.turns)


def test_a_damper_without_knobs_stands_in_the_middle_of_its_valves():
    fixed = replace(demo.hydraulic(), knobs=())
    v = np.linspace(-1, 1, 21)
    assert fixed.adjusters == ()
    assert np.allclose(fixed.valve_force(v, ()), demo.hydraulic().valve_force(v, MIDDLE))


@pytest.mark.parametrize(
    ("setting", "part"),
    [
        ((9, 5), "3 adjusters"),
        ((9, 5, 12, 0), "3 adjusters"),
        ((19, 5, 12), "low-speed bump"),
        ((9, -1, 12), "high-speed bump"),
        ((9, 5, 25), "rebound"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_in_one_sentence(setting, part):
    with pytest.raises(OutOfRange, match=part):
        demo.hydraulic().valve_force(0.1, setting)


def test_a_damper_without_knobs_takes_no_clicks():
    with pytest.raises(OutOfRange, match="0 adjusters"):
        replace(demo.hydraulic(), knobs=()).valve_force(0.1, (3,))
