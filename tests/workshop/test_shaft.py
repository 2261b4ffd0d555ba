"""Road events at the shaft: what the quarter car does, and where time and energy lie."""

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.physics import road
from dampinglab.physics.corner import simulate
from dampinglab.physics.zones import shares
from dampinglab.workshop import demo
from dampinglab.workshop.shaft import EVENTS, drive_events, from_log, roads
from dampinglab.workshop.travel_log import read_travel_log

SETTING = (9, 5, 12)
FINE = {
    1: lambda: road.iso8608("B", 100 / 3.6, 6.0, seed=1),
    2: lambda: road.iso8608("D", 60 / 3.6, 6.0, seed=2),
    3: lambda: road.corrugation(0.040, 0.7, 60 / 3.6, 3.0),
    5: lambda: road.hump(0.100, 3.7, 40 / 3.6, 3.0),
    6: lambda: road.pothole(0.060, 0.8, 40 / 3.6, 3.0),
}


@pytest.fixture(scope="module", params=["front", "rear"])
def driven(request):
    corner, damper = demo.vehicle().corner(request.param), demo.hydraulic(request.param)
    return corner, damper, drive_events(corner, damper, SETTING)


@pytest.mark.parametrize("event", FINE)
def test_a_coarser_step_moves_no_share_by_more_than_two_points(driven, event):
    corner, damper, records = driven
    run = simulate(corner, damper, SETTING, FINE[event]())
    speed = corner.damper_motion_ratio * run.travel_rate
    fine = shares(speed, damper.valve_force(speed, SETTING), 1e-3, 0.15)
    coarse = shares(records[event].speed, records[event].force, records[event].dt, 0.15)
    assert coarse.time_slow == pytest.approx(fine.time_slow, abs=0.02)
    assert coarse.energy_slow == pytest.approx(fine.energy_slow, abs=0.02)
    assert coarse.energy_bump == pytest.approx(fine.energy_bump, abs=0.02)


def test_a_band_holds_four_fifths(driven):
    for record in driven[2]:
        size, heat = np.abs(record.speed), np.maximum(record.speed * record.force, 0)
        moving = size > 0.005
        for weight, band in (
            (moving * 1.0, record.time),
            (heat * (record.speed > 0), record.bump),
            (heat * (record.speed < 0), record.rebound),
        ):
            inside = weight[(size >= band.low) & (size <= band.high)].sum() / weight.sum()
            assert inside == pytest.approx(0.8, abs=0.05), record.name
            assert band.low < band.middle < band.high


def test_energy_lies_at_faster_speeds_than_time_on_every_event(driven):
    """As the title of the picture says."""
    for record in driven[2]:
        divided = shares(record.speed, record.force, record.dt, 0.1)
        assert divided.energy_slow < divided.time_slow or divided.time_slow == 1.0, record.name
        assert min(record.bump.middle, record.rebound.middle) > record.time.middle, record.name


def test_it_is_the_event_and_not_the_road_speed(driven):
    """The fast highway is slow at the shaft, and the slow track is fast."""
    of = dict(zip([name for name, _ in EVENTS], driven[2], strict=True))
    assert of["good highway"].bump.middle < 0.5 * of["rutted track"].bump.middle
    assert of["long waves"].time.high < of["pothole"].bump.low


def test_roads_are_named_as_they_were_built():
    for (_, pace), each in zip(EVENTS, roads(), strict=True):
        assert each.name.endswith(pace)


def test_a_log_is_read_through_the_same_damper():
    log = read_travel_log(dataset("travel/gravel.csv"))
    record = from_log(log, demo.hydraulic("rear"), SETTING)
    assert len(record.speed) == np.count_nonzero(log.used)
    assert record.ride is None
    assert record.force == pytest.approx(demo.hydraulic("rear").valve_force(record.speed, SETTING))
