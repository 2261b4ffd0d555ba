"""What is watched: each number by hand on a made-up run, and the trade's sign on the demo wagon."""

from functools import cache

import numpy as np
import pytest

from dampinglab.physics.car import car_of
from dampinglab.physics.corner import Run
from dampinglab.physics.road import Road
from dampinglab.workshop import demo
from dampinglab.workshop.catalogue import COMPLAINTS
from dampinglab.workshop.evidence import turned_settings
from dampinglab.workshop.proving import EVENTS, METRICS, event_road
from dampinglab.workshop.watched import WATCHED, car_readings, corner_readings

TIME = 1e-3 * np.arange(4001)
STILL = np.zeros_like(TIME)
CORNER = demo.vehicle().corner("rear")


def run(**signals):
    """Return a run in which all is still but for what is given."""
    names = ("body", "wheel", "body_velocity", "wheel_velocity", "suspension_force", "stop_force")
    held = {name: signals.get(name, STILL) for name in names}
    road = Road("level", TIME, STILL, STILL)
    tyre = signals.get("tyre_force", STILL + 5000.0)
    return Run(CORNER, road, **held, tyre_force=tyre, beyond=STILL > 0)


def test_the_droop_stop_takes_force_times_speed_on_the_way_in_only():
    going = np.where((TIME > 1) & (TIME <= 1.5), -0.2, np.where(TIME > 2, 0.2, 0.0))
    moved = run(wheel_velocity=going, stop_force=STILL - 400.0)
    assert METRICS["droop energy"].of(moved, EVENTS["hump"]) == pytest.approx(400 * 0.2 * 0.5)
    bump = run(wheel_velocity=-going, stop_force=STILL + 400.0)
    assert METRICS["droop energy"].of(bump, EVENTS["hump"]) == 0


def test_the_far_edge_is_read_from_just_before_it_on():
    event = EVENTS["hole"]
    weight = CORNER.sprung_mass

    def knocked(at):
        return run(suspension_force=weight * 5.0 * (np.abs(TIME - at) < 0.02))

    early, late = (knocked(at) for at in (0.95, event.passed))
    assert METRICS["edge"].of(late, event) > 4
    assert METRICS["edge"].of(early, event) < 0.5
    assert METRICS["peak"].of(early, event) > 4


def test_hop_is_the_swing_of_the_tyres_load_once_it_is_in_full_swing():
    load = 5000.0 + 1000.0 * np.sin(2 * np.pi * 10 * TIME) + 3000.0 * (TIME < 1)
    load[0] = 5000.0
    swing = METRICS["tyre change"].of(run(tyre_force=load), EVENTS["short corrugation"])
    assert swing == pytest.approx(100 * 0.2 / np.sqrt(2), rel=1e-3)


def test_the_long_dip_is_as_deep_and_as_long_as_it_says():
    road, event = event_road("long dip"), EVENTS["long dip"]
    assert road.height.min() == pytest.approx(-0.25, abs=0.003)
    low = road.time[road.height < -1e-3]
    assert (low[-1] - low[0]) * event.speed == pytest.approx(24, abs=1.5)
    assert low[-1] < event.passed + 0.1


@cache
def ends(axle, load, adjuster, key):
    """Return a watched number with one adjuster open and closed, the others at the middle."""
    corner, damper = demo.vehicle().corner(axle, load), demo.hydraulic(axle)
    settings = turned_settings(damper, adjuster, (0, 1))[1]
    return tuple(corner_readings(corner, damper, each, (key,))[key] for each in settings)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize(
    ("key", "load", "adjuster", "falls"),
    [
        ("long dip", "touring", "low-speed bump", True),
        ("edge", None, "high-speed bump", False),
        ("hop", None, "rebound", True),
        ("droop", None, "rebound", True),
    ],
)
def test_the_trades_way_on_the_demo_wagon(axle, key, load, adjuster, falls):
    opened, closed = ends(axle, load, adjuster, key)
    assert (closed < opened) == falls
    assert abs(WATCHED[key].share(opened, closed)) > 0.1


def test_leaning_and_diving_are_slowed_and_the_whole_is_read_at_once():
    dampers = {axle: demo.hydraulic(axle) for axle in ("front", "rear")}
    car_settings = [dict.fromkeys(dampers, each) for each in ((18, 5, 12), (0, 5, 12))]
    opened, closed = car_readings(car_of(demo.vehicle()), dampers, car_settings)
    assert opened.keys() == {key for key, each in WATCHED.items() if each.whole}
    assert all(closed[key] < opened[key] for key in opened)


def test_every_complaint_that_has_a_remedy_is_shown_by_something_watched():
    assert {each.shown for each in COMPLAINTS.values() if each.remedies} <= set(WATCHED)
    for each in WATCHED.values():
        assert each.worse != each.better
        assert all((each.where, each.what, each.unit))


def test_a_small_change_of_nearly_nothing_is_a_small_share():
    assert WATCHED["waves"].share(0.5, 2.0) == pytest.approx(0.05)
    assert WATCHED["ridge"].share(5.0, 6.0) == pytest.approx(0.2)
