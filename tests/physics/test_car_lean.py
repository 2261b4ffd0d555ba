"""Lean and dive: what clicks change and what they do not, on the demo wagon."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics.car import WHEELS, car_of
from dampinglab.physics.car_run import drive_car
from dampinglab.physics.drive import brake, over, steer
from dampinglab.physics.lean import car_scores, lean, shared_work, steady_pose
from dampinglab.physics.road import hump, long_waves
from dampinglab.units import G
from dampinglab.workshop import demo

DAMPERS = {axle: demo.hydraulic(axle) for axle in ("front", "rear")}
LOADS = [None, "touring"]
AXLES = ("front", "rear")


def middle():
    return {axle: tuple(a.clicks // 2 for a in one.adjusters) for axle, one in DAMPERS.items()}


def turned(name, axles=AXLES, ends=(1.0, 0.5, 0.0)):
    """Return settings with one adjuster open, in the middle and closed, on one axle or both."""
    batch = []
    for end in ends:
        setting = middle()
        for axle in axles:
            setting[axle] = tuple(
                round(end * a.clicks) if a.name == name else n
                for a, n in zip(DAMPERS[axle].adjusters, setting[axle], strict=True)
            )
        batch.append(setting)
    return batch


NAMES = [adjuster.name for adjuster in DAMPERS["front"].adjusters]


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("event", [steer(duration=8), brake(duration=8)], ids=["steer", "brake"])
def test_the_steady_lean_does_not_depend_on_any_click(event, load):
    """Every adjuster of both axles at both ends, all together too: one resting place."""
    car = car_of(demo.vehicle(), load)
    batch = [s for name, axle in itertools.product(NAMES, AXLES) for s in turned(name, (axle,))]
    ends = [[(0, a.clicks) for a in DAMPERS[axle].adjusters] for axle in AXLES]
    batch += [
        {axle: tuple(pair[i] for pair in pairs) for axle, pairs in zip(AXLES, ends, strict=True)}
        for i in (0, 1)
    ]
    run = drive_car(car, DAMPERS, batch, event)
    pose = steady_pose(car, event.lateral[-1], event.braking[-1])
    place = 2 if event.lateral[-1] else 1
    assert np.ptp(run.states[len(event.time) // 10], axis=1)[place] > 1e-3
    assert run.states[-1, place] == pytest.approx(np.full(len(batch), pose[place]), rel=1e-3)
    assert lean(run).steady == pose[place]


def test_the_steady_lean_does_depend_on_springs_and_bars():
    car = car_of(demo.vehicle())
    lean_of = [steady_pose(c, 0.4 * G)[2] for c in (car, replace(car, front_bar=0.0))]
    soft = replace(car, rear=replace(car.rear, wheel_rate=30e3))
    assert lean_of[0] < lean_of[1]
    assert lean_of[0] < steady_pose(soft, 0.4 * G)[2]


def test_a_stop_that_is_reached_holds_the_lean():
    car = car_of(demo.vehicle())
    short = replace(car, front=replace(car.front, bump_gap=0.01))
    poses = [steady_pose(c, 0.6 * G) for c in (car, short)]
    assert poses[1][2] < poses[0][2] - 1e-3
    run = drive_car(short, DAMPERS, middle(), steer(0.6, duration=8))
    assert run.roll[-1] == pytest.approx(poses[1][2], rel=1e-3)


def test_a_wheel_that_lifts_off_at_rest():
    """A tyre never pulls: with a high load the inner front wheel hangs in the air."""
    car = replace(car_of(demo.vehicle()), gravity_height=1.0, front_bar=2e5)
    pose = steady_pose(car, 0.67 * G)
    run = drive_car(car, DAMPERS, middle(), steer(0.67, duration=8))
    inner = WHEELS.index("front left")
    assert run.tyre_force[-1, inner] == 0
    assert run.roll[-1] == pytest.approx(pose[2], rel=2e-3)


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("name", ["low-speed bump", "rebound"])
@pytest.mark.parametrize("event", [steer(), steer(rise=0.5), brake()], ids=["0.2", "0.5", "brake"])
def test_low_speed_bump_and_rebound_share_the_work_of_steadying(event, name, load):
    """Common practice, no source: more low-speed bump for a vehicle that rolls and dives quickly.

    In the model rebound does as much: one side of the vehicle goes down while the other comes up.
    """
    found = lean(drive_car(car_of(demo.vehicle(), load), DAMPERS, turned(name), event))
    assert np.all(np.diff(found.overshoot) < 0)
    assert np.all(np.diff(found.rate) < 0)
    assert found.settling[2] <= found.settling[0]


@pytest.mark.parametrize("event", [steer(), brake()], ids=["steer", "brake"])
def test_high_speed_bump_does_nothing_to_a_lean(event):
    found = lean(drive_car(car_of(demo.vehicle()), DAMPERS, turned("high-speed bump"), event))
    low = lean(drive_car(car_of(demo.vehicle()), DAMPERS, turned("low-speed bump"), event))
    assert np.ptp(found.overshoot) < 0.1 * np.ptp(low.overshoot)


def test_front_and_rear_both_count():
    """Either axle alone steadies less than both together."""
    runs = [
        lean(drive_car(car_of(demo.vehicle()), DAMPERS, turned("rebound", axles), steer()))
        for axles in (("front",), ("rear",), AXLES)
    ]
    front, rear, both = (np.ptp(run.overshoot) for run in runs)
    assert min(front, rear) > 0
    assert max(front, rear) < both


def test_a_slower_hand_overshoots_less():
    runs = [drive_car(car_of(demo.vehicle()), DAMPERS, middle(), steer(rise=s)) for s in (0.2, 0.5)]
    quick, slow = map(lean, runs)
    assert slow.steady == quick.steady
    assert slow.overshoot < quick.overshoot
    assert slow.rate < quick.rate


def test_rebound_holds_the_body_down_after_a_hump_and_after_waves():
    """Common practice, no source: more rebound for a vehicle that is thrown up or goes on moving.

    The hump throws the rear; both ends rise less with rebound closed, and pitch less quickly.
    """
    car = car_of(demo.vehicle())
    for road, speed in ((hump(0.1, 3.7, 40 / 3.6), 40 / 3.6), (long_waves(0.06, 25, 25.0), 25.0)):
        found = car_scores(drive_car(car, DAMPERS, turned("rebound"), over(road, car, speed)))
        for score in (found.rise, found.body_motion, found.up_speed):
            assert np.all(np.diff(score, axis=1) < 0)
        assert np.all(np.diff(found.pitch_rate) < 0)


def test_low_speed_bump_steadies_waves_and_high_speed_bump_does_not():
    car = car_of(demo.vehicle())
    made = over(long_waves(0.06, 25, 25.0), car, 25.0)
    low, high = (
        car_scores(drive_car(car, DAMPERS, turned(f"{way}-speed bump"), made)).body_motion
        for way in ("low", "high")
    )
    assert np.all(np.diff(low, axis=1) < 0)
    assert np.all(np.ptp(high, axis=1) < 0.1 * np.ptp(low, axis=1))


def test_the_scores_read_what_they_say():
    """Overshoot, settling and rate of a made-up motion that is known in closed form."""
    car = car_of(demo.vehicle())
    event = steer(duration=6, start=0.3)
    run = drive_car(car, DAMPERS, middle(), event)
    steady, w, decay = steady_pose(car, event.lateral[-1])[2], 8.0, 1.0
    t = np.maximum(event.time - event.start, 0)
    states = np.zeros_like(run.states)
    states[:, 2] = steady * (1 - np.exp(-decay * t) * np.cos(w * t))
    found = lean(replace(run, states=states))
    assert found.overshoot == pytest.approx(np.exp(-decay * np.pi / w), rel=1e-2)
    outside = t[np.abs(np.exp(-decay * t) * np.cos(w * t)) > 0.05][-1]
    assert found.settling == pytest.approx(outside, abs=2e-3)
    states[:, 9] = -0.3
    assert lean(replace(run, states=states)).rate == pytest.approx(0.3)


def test_a_vehicle_that_would_tip_over_is_refused():
    """Above half a track over the height of its centre of gravity none stays on its wheels."""
    tall = replace(car_of(demo.vehicle()), gravity_height=1.3)
    with pytest.raises(OutOfRange, match="stay on its wheels"):
        steady_pose(tall, 0.7 * G)


def test_rest_after_waves_is_read_from_the_end_that_moves_more():
    """On a made-up motion: the rear alone swings on, 20 mm at first, after waves of 60 mm."""
    car = car_of(demo.vehicle())
    event = over(long_waves(0.06, 25, 25.0), car, 25.0)
    run = drive_car(car, DAMPERS, middle(), event)
    level = 3.0 + car.wheelbase / 25.0
    t = event.time - level
    states = np.zeros_like(run.states)
    rear = np.where(t > 0, 0.02 * np.exp(-t) * np.cos(8 * t), 0)
    # The front end stays at the road's height: pitch turns about it.
    front = event.height[:, 0]
    states[:, 1] = (rear + event.height[:, 2] - front) / car.wheelbase
    states[:, 0] = front + car.to_front * states[:, 1]
    states[5, 8] = -0.2
    found = lean(replace(run, states=states))
    assert (found.way, found.steady, found.rate) == ("heave", 0.0, 0.2)
    assert found.peak == pytest.approx(0.02, rel=1e-2)
    assert found.overshoot == pytest.approx(0.02 / 0.06, rel=1e-2)
    outside = t[np.abs(rear) > 0.003][-1]
    assert found.settling == pytest.approx(outside, abs=3e-3)


def test_rebound_brings_a_vehicle_to_rest_after_waves():
    car = car_of(demo.vehicle())
    event = over(long_waves(0.06, 25, 25.0), car, 25.0)
    found = lean(drive_car(car, DAMPERS, turned("rebound"), event))
    assert np.all(np.diff(found.overshoot) < 0)


def test_the_shared_work_is_all_that_the_dampers_took():
    """Front and rear, bump and rebound add up, and clicks move the work to their own side."""
    car = car_of(demo.vehicle())
    run = drive_car(car, DAMPERS, [middle(), turned("rebound")[2]], steer())
    work = shared_work(run)
    assert work.shape == (2, 2, 2)
    assert np.all(work > 0)
    total = (run.damper_force * run.travel_rate).sum(axis=(0, 1)) * run.inputs.dt
    assert work.sum(axis=(0, 1)) == pytest.approx(total)
    bump, rebound = work[0, :, 1] / work[0, :, 0]
    assert rebound > bump  # rebound turned in: more of the work is its own


def test_motion_is_told_against_the_road_and_air_needs_both_wheels():
    """A body that keeps its height above the road scores nothing; one wheel in the air neither."""
    car = car_of(demo.vehicle())
    road = hump(0.1, 3.7, 40 / 3.6)
    event = over(road, car, 40 / 3.6)
    run = drive_car(car, DAMPERS, middle(), event)
    states, lift = np.zeros_like(run.states), np.zeros_like(run.lift)
    front, rear = event.height[:, 0], event.height[:, 2]
    states[:, 1] = (rear - front) / car.wheelbase
    states[:, 0] = front + car.to_front * states[:, 1]
    states[:, 3:5], states[:, 5] = front[:, None], rear
    lift[100:300, 0], lift[200:500, 1] = 1.0, 1.0
    found = car_scores(replace(run, states=states, lift=lift))
    assert found.body_motion == pytest.approx(np.zeros(2), abs=1e-12)
    assert found.rise == pytest.approx(np.zeros(2), abs=1e-12)
    assert found.in_air == pytest.approx([0.1, 0.0])
    assert found.up_speed[0] == pytest.approx(np.gradient(front, 1e-3).max())


def test_a_second_stage_holds_the_lean_and_is_no_damping():
    """A helper that is met 10 mm up stiffens the rear; what is damped stays the damper's own."""
    car = car_of(demo.vehicle())
    helped = replace(car, rear=replace(car.rear, second_gap=0.01, second_rate=40e3))
    pose = steady_pose(helped, 0.4 * G)
    assert pose[2] < steady_pose(car, 0.4 * G)[2] - 1e-3
    run = drive_car(helped, DAMPERS, middle(), steer(duration=8))
    assert run.roll[-1] == pytest.approx(pose[2], rel=1e-3)
    for wheel, corner in enumerate(helped.corners):
        axle, lever = AXLES[wheel // 2], corner.damper_motion_ratio
        shaft = lever * run.travel_rate[:, wheel]
        one, setting = DAMPERS[axle], middle()[axle]
        force = lever * (one.valve_force(shaft, setting) + one.friction(shaft))
        force += corner.friction * np.tanh(shaft / lever / 0.01)
        assert run.damper_force[:, wheel] == pytest.approx(force, abs=0.02 * np.abs(force).max())
