"""Properties of corners, axles and loads for every valid input, and their refusals."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dampinglab.errors import OutOfRange
from dampinglab.physics import vehicle
from dampinglab.physics.oscillator import frequency_from_deflection, natural_frequency
from dampinglab.units import G

FAST = settings(max_examples=60, deadline=None)
RATE = st.floats(5e3, 5e5)
RATIO = st.floats(0.2, 1.2)
CORNER = vehicle.Corner(560.0, 75.0, 40e3, 0.6, 260e3, 250.0, 0.06, 0.045, 0.1, 60.0)


@FAST
@given(RATE, RATIO)
def test_the_lever_acts_twice(rate, ratio):
    """By virtual work: the energy in the spring is the energy seen at the wheel."""
    travel = 0.04
    at_spring = 0.5 * rate * (ratio * travel) ** 2
    assert 0.5 * vehicle.wheel_rate(rate, ratio) * travel**2 == pytest.approx(at_spring, rel=1e-12)


@FAST
@given(st.floats(0, 5e4), RATIO)
def test_damping_at_the_wheel_dissipates_what_the_shaft_does(damping, ratio):
    speed = 0.3
    at_shaft = damping * (ratio * speed) ** 2
    assert vehicle.wheel_damping(damping, ratio) * speed**2 == pytest.approx(at_shaft, rel=1e-12)


@FAST
@given(RATE, st.floats(2e4, 1e6))
def test_tyre_in_series_is_softer_than_either(wheel, tyre):
    both = vehicle.ride_rate(wheel, tyre)
    assert 0 < both < min(wheel, tyre)
    # The deflections of the two under one force add up.
    assert 1e3 / both == pytest.approx(1e3 / wheel + 1e3 / tyre, rel=1e-12)


@FAST
@given(st.floats(31.0, 2900.0), RATE)
def test_sag_and_frequency_tell_the_same_story(mass, rate):
    by_sag = frequency_from_deflection(vehicle.sag(mass, rate))
    assert by_sag == pytest.approx(natural_frequency(rate, mass), rel=1e-12)


@FAST
@given(st.floats(-300.0, 200.0))
def test_load_moves_the_gaps_and_keeps_the_travel(added):
    loaded = CORNER.loaded(added)
    extra = vehicle.sag(abs(added), CORNER.wheel_rate) * math.copysign(1, added)
    assert CORNER.bump_gap - loaded.bump_gap == pytest.approx(extra, abs=1e-12)
    total = CORNER.bump_gap + CORNER.droop_gap
    assert loaded.bump_gap + loaded.droop_gap == pytest.approx(total, abs=1e-12)
    assert math.copysign(1, added) * (CORNER.body_frequency - loaded.body_frequency) >= 0
    assert loaded.hop_frequency == CORNER.hop_frequency


def test_corner_frequencies_by_hand():
    assert CORNER.body_frequency == pytest.approx(math.sqrt(40e3 / 560) / (2 * math.pi))
    assert CORNER.hop_frequency == pytest.approx(math.sqrt(300e3 / 75) / (2 * math.pi))
    series = 40e3 * 260e3 / 300e3
    assert CORNER.ride_frequency == pytest.approx(math.sqrt(series / 560) / (2 * math.pi))
    assert CORNER.critical_damping == pytest.approx(2 * math.sqrt(40e3 * 560))
    assert CORNER.static_sag == pytest.approx(560 * 9.80665 / 40e3)


def test_a_load_case_counts_half_the_axle_at_each_corner():
    axle = vehicle.Axle("rear", CORNER, 300.0, 310.0)
    case = vehicle.LoadCase("boxes", 0.0, 120.0)
    car = vehicle.Vehicle("Wagon", {"rear": axle}, (case,))
    assert car.corner("rear", "boxes") == CORNER.loaded(60.0)
    assert car.corner("rear") == CORNER
    assert axle.side_difference == pytest.approx(10 / 305)


@pytest.mark.parametrize(
    ("change", "value"),
    [
        ({"sprung_mass": 3.0}, "3 kg"),
        ({"sprung_mass": math.nan}, "nan"),
        ({"wheel_rate": 40.0}, "40 N/m"),
        ({"damper_motion_ratio": 60.0}, "60"),
        ({"tyre_rate": 260.0}, "260 N/m"),
        ({"bump_gap": 60.0}, "60 m"),
        ({"friction": -5.0}, "-5 N"),
    ],
)
def test_an_impossible_corner_is_refused_with_its_value(change, value):
    with pytest.raises(OutOfRange, match=value):
        replace(CORNER, **change)


def test_more_load_than_travel_is_refused_with_its_value():
    with pytest.raises(OutOfRange, match="900 kg"):
        CORNER.loaded(900.0)
    with pytest.raises(OutOfRange, match="'caravan'"):
        vehicle.Vehicle("W", {"rear": vehicle.Axle("rear", CORNER, 1.0, 1.0)}).corner(
            "rear", "caravan"
        )


STAGED = replace(CORNER, second_gap=0.02, second_rate=25e3)
GAP = st.floats(-0.05, 0.05)


@FAST
@given(GAP, st.floats(0.0, 60e3), st.floats(-4e3, 4e3))
def test_travel_under_a_force_is_where_the_spring_pushes_so_much(gap, rate, force):
    corner = replace(CORNER, second_gap=gap, second_rate=rate)
    travel = corner.travel_under(force)
    assert corner.spring_force(travel) == pytest.approx(force, abs=1e-8)
    assert corner.spring_force(0.0) == 0.0
    assert corner.spring_force(travel + 0.001) > force


@FAST
@given(st.floats(0.0, 100.0), st.floats(0.0, 60.0))
def test_two_loads_one_after_the_other_are_one_load(first, second):
    at_once, in_turn = STAGED.loaded(first + second), STAGED.loaded(first).loaded(second)
    for name in ("bump_gap", "droop_gap", "second_gap"):
        assert getattr(at_once, name) == pytest.approx(getattr(in_turn, name), abs=1e-12)
    back = at_once.loaded(-first - second)
    assert back.bump_gap == pytest.approx(STAGED.bump_gap, abs=1e-12)


def test_a_second_stage_by_hand():
    light, heavy = STAGED.loaded(50.0), STAGED.loaded(140.0)
    assert light.standing_rate == 40e3
    extra = 0.02 + (140.0 * G - 0.02 * 40e3) / 65e3  # both from the gap on
    assert STAGED.bump_gap - heavy.bump_gap == pytest.approx(extra)
    assert heavy.second_gap == pytest.approx(0.02 - extra)
    assert heavy.standing_rate == 65e3
    assert heavy.body_frequency == pytest.approx(math.sqrt(65e3 / 700) / (2 * math.pi))
    assert heavy.hop_frequency == pytest.approx(math.sqrt(325e3 / 75) / (2 * math.pi))
    assert heavy.critical_damping == pytest.approx(2 * math.sqrt(65e3 * 700))
    assert heavy.static_sag == pytest.approx(STAGED.static_sag + extra)
    assert heavy.one_stage == replace(heavy, wheel_rate=65e3, second_rate=0.0)
    assert heavy.spring_force(-0.05) == pytest.approx(-0.05 * 40e3 + 25e3 * heavy.second_gap)
