"""The whole vehicle: order of wheels, signs, load transfer, and what it reduces to."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics import corner
from dampinglab.physics.bounce_pitch import bounce_and_pitch
from dampinglab.physics.car import WHEELS, Car, car_of, full_car
from dampinglab.physics.car_run import drive_car
from dampinglab.physics.drive import Inputs, blend, brake, over, steer
from dampinglab.physics.lean import car_scores, lean, steady_pose
from dampinglab.physics.road import Road, iso8608
from dampinglab.physics.vehicle import ride_rate
from dampinglab.units import G
from dampinglab.workshop import demo

EVENTS = ((0.1, 0.12, 0.06), (0.6, 0.11, -0.06), (1.2, 0.10, 0.08))
BOTH = {"front": (10,), "rear": (10,)}


@pytest.fixture
def car(cases):
    return Car(cases.front, cases.rear)


@pytest.fixture
def dampers(cases):
    one = cases.digressive()
    return {"front": one, "rear": one}


def test_without_coupling_each_axle_is_a_quarter_car(cases, car, dampers):
    """A pitch radius of sqrt(a b) uncouples the ends: equal to rounding, stops and lift-off too."""
    apart = replace(car, pitch_radius=float(np.sqrt(car.to_front * car.to_rear)))
    made = over(cases.bumps(EVENTS, 2.0), apart, 9.5)
    run = drive_car(apart, dampers, {"front": (10,), "rear": (0,)}, made)
    assert np.any(run.tyre_force == 0)
    for axle, i, setting in (("front", 0, (10,)), ("rear", 2, (0,))):
        road = Road("one wheel's", made.time, made.height[:, i], made.velocity[:, i])
        one = corner.simulate(getattr(car, axle), dampers[axle], setting, road)
        assert run.body_over(axle) == pytest.approx(one.body, abs=1e-9)
        for wheel in (i, i + 1):
            assert run.wheel[:, wheel] == pytest.approx(one.wheel, abs=1e-9)
            assert run.travel[:, wheel] == pytest.approx(one.travel, abs=1e-9)
            assert run.tyre_force[:, wheel] == pytest.approx(one.tyre_force, abs=1e-3)
            assert run.stop_force[:, wheel] == pytest.approx(one.stop_force, abs=1e-3)
    assert np.abs(run.roll).max() < 1e-12


def test_a_coupled_body_is_no_quarter_car(cases, car, dampers):
    made = over(cases.bumps(EVENTS, 2.0), replace(car, pitch_radius=1.0), 9.5)
    run = drive_car(replace(car, pitch_radius=1.0), dampers, BOTH, made)
    road = Road("front", made.time, made.height[:, 0], made.velocity[:, 0])
    one = corner.simulate(car.front, dampers["front"], (10,), road)
    assert np.abs(run.body_over("front") - one.body).max() > 5e-3


def test_on_stiff_light_wheels_it_bounces_and_pitches_as_the_textbook_says(car):
    """Frequencies of the two slow motions, and where the body stands still in them."""
    hard = {"tyre_rate": 5e6, "unsprung_mass": 5.0}
    soft = replace(car, front=replace(car.front, **hard), rear=replace(car.rear, **hard))
    rates = [2 * ride_rate(c.wheel_rate, c.tyre_rate) for c in (soft.front, soft.rear)]
    ends = soft.to_front, soft.to_rear
    book = bounce_and_pitch(soft.body_mass, soft.pitch_radius, *ends, *rates)
    a, _ = full_car(soft)
    squares, shapes = np.linalg.eig(-a[7:, :7])
    # Motions of heave and pitch alone: nothing leans in them.
    level = [i for i in np.argsort(squares.real) if abs(shapes[2, i]) < 1e-9][:2]
    assert np.sqrt(squares[level].real) / (2 * np.pi) == pytest.approx(book.frequencies, rel=1e-3)
    assert (shapes[0] / shapes[1])[level].real == pytest.approx(book.centres, rel=2e-2)


def test_wheels_stand_in_the_order_that_is_told(cases, car, dampers):
    """A bump under one wheel moves that wheel first and most."""
    time = 1e-3 * np.arange(400)
    z = cases.bumps(((0.05, 0.1, 0.03),), 0.399).height
    for i, name in enumerate(WHEELS):
        height, velocity = np.zeros((400, 4)), np.zeros((400, 4))
        height[:, i], velocity[:, i] = z, np.gradient(z, 1e-3)
        made = Inputs(name, time, height, velocity, np.zeros(400), np.zeros(400), 0.0)
        run = drive_car(car, dampers, BOTH, made)
        assert np.abs(run.wheel).max(axis=0).argmax() == i
        assert run.travel[:200].max(axis=0).argmax() == i
        left, front = "left" in name, "front" in name
        assert (run.roll[120] > 0) == left
        assert (run.pitch[120] < 0) == front


def test_a_left_turn_leans_right_and_loads_the_right_wheels(car, dampers):
    run = drive_car(car, dampers, BOTH, steer())
    assert run.roll[-1] > 0
    assert np.all(run.travel[-1, [1, 3]] > 0)
    assert np.all(run.tyre_force[-1, [1, 3]] > run.tyre_force[-1, [0, 2]])


def test_braking_dives_and_loads_the_front(car, dampers):
    run = drive_car(car, dampers, BOTH, brake())
    assert run.pitch[-1] > 0
    assert run.body_over("front")[-1] < 0 < run.body_over("rear")[-1]
    assert np.all(run.tyre_force[-1, :2] > car.static_loads[:2])


@pytest.mark.parametrize("anti_dive", [0.0, 0.25, 1.0])
def test_the_load_that_moves_is_mass_times_height(car, dampers, anti_dive):
    """However much the links carry, moments about the road balance; a lean adds its own offset."""
    car = replace(car, anti_dive=anti_dive)
    wheels = 2 * (car.front.unsprung_mass + car.rear.unsprung_mass)
    moment = car.body_mass * car.gravity_height + wheels * car.wheel_height
    run = drive_car(car, dampers, BOTH, brake(0.6, duration=12))
    moved = run.tyre_force[-1, :2].sum() - car.static_loads[:2].sum()
    assert moved * car.wheelbase == pytest.approx(moment * 0.6 * G, rel=1e-4)
    if anti_dive == 1:
        assert run.travel[-1] == pytest.approx(np.zeros(4), abs=1e-6)
    run = drive_car(car, dampers, BOTH, steer(0.4, duration=12))
    across = run.tyre_force[-1, 1::2] - run.tyre_force[-1, 0::2]
    offset = car.body_mass * G * car.roll_arm * run.roll[-1]
    tracks = car.front_track, car.rear_track
    assert across @ tracks == pytest.approx(moment * 0.4 * G + offset, rel=1e-4)
    held = car.body_mass * car.roll_arm * (0.4 * G + G * run.roll[-1])
    assert run.roll_moment[-1].sum() == pytest.approx(held, rel=1e-4)


def test_left_and_right_are_mirror_images(cases, car, dampers):
    road = cases.bumps(EVENTS, 2.0)
    one, other = (
        drive_car(car, dampers, BOTH, over(road, car, 9.5, side)) for side in ("left", "right")
    )
    assert np.abs(one.roll).max() > 1e-3
    assert one.roll == pytest.approx(-other.roll, abs=1e-12)
    assert one.heave == pytest.approx(other.heave, abs=1e-12)
    assert one.travel == pytest.approx(other.travel[:, [1, 0, 3, 2]], abs=1e-12)
    turn = steer()
    left, right = (
        drive_car(car, dampers, BOTH, replace(turn, lateral=way * turn.lateral)) for way in (1, -1)
    )
    assert left.roll == pytest.approx(-right.roll, abs=1e-12)
    assert left.pitch == pytest.approx(right.pitch, abs=1e-12)


def test_many_settings_are_each_setting_alone(cases, car, dampers):
    batch = [{"front": (f,), "rear": (r,)} for f in (0, 10) for r in (0, 10)]
    made = over(cases.bumps(EVENTS, 2.0), car, 9.5, "left")
    many = drive_car(car, dampers, batch, made)
    for i, setting in enumerate(batch):
        one = drive_car(car, dampers, setting, made)
        for part in ("roll", "travel", "tyre_force", "damper_force", "roll_moment"):
            assert getattr(many, part)[..., i] == pytest.approx(getattr(one, part), abs=1e-6)
        assert car_scores(many).rise[:, i] == pytest.approx(car_scores(one).rise)
    assert np.ptp(many.roll, axis=1).max() > 1e-4


def test_many_settings_lean_as_each_alone(car, dampers):
    batch = [{"front": (f,), "rear": (r,)} for f in (0, 10) for r in (0, 10)]
    many = lean(drive_car(car, dampers, batch, steer()))
    for i, setting in enumerate(batch):
        one = lean(drive_car(car, dampers, setting, steer()))
        assert many.overshoot[i] == pytest.approx(one.overshoot)
        assert many.settling[i] == pytest.approx(one.settling)


def test_the_rear_meets_the_road_a_wheelbase_later(cases, car):
    car = replace(car, wheelbase=2.85)
    made = over(cases.bumps(EVENTS, 2.0), car, 9.5)
    late = round(car.wheelbase / 9.5 / made.dt)
    assert made.height[late:, 2] == pytest.approx(made.height[:-late, 0], abs=1e-9)
    assert np.all(made.height[: late - 1, 2:] == 0)
    one = over(cases.bumps(EVENTS, 2.0), car, 9.5, "right")
    assert np.all(one.height[:, [0, 2]] == 0)
    assert np.any(one.height[:, 1])


def test_the_other_side_of_a_road_has_its_spectrum_and_its_likeness():
    left, stranger = (iso8608("C", 20.0, 40.0, seed=seed, radius=0) for seed in (1, 2))
    for alike in (0.0, 0.6, 1.0):
        right = blend(left, stranger, alike)
        found = np.corrcoef(left.velocity, right.velocity)[0, 1]
        assert found == pytest.approx(alike, abs=0.05)
        assert right.velocity.std() == pytest.approx(left.velocity.std(), rel=0.05)


def test_a_load_case_and_sizes_that_are_known(dampers):
    plain, laden = car_of(demo.vehicle()), car_of(demo.vehicle(), "touring", wheelbase=3.0)
    unknown = car_of(replace(demo.vehicle(), wheelbase=None))
    assert laden.body_mass == pytest.approx(plain.body_mass + 390)
    assert laden.to_rear < plain.to_rear + 0.15
    assert laden.wheelbase == 3.0
    assert plain.wheelbase == 2.85
    assert f"wheelbase {unknown.wheelbase:g} m" in unknown.assumptions[0]
    assert "wheelbase" not in plain.assumptions[0]
    assert "wheelbase" not in laden.assumptions[0]
    loads = car_of(demo.vehicle()).static_loads
    assert loads.sum() == pytest.approx(G * (638 + 632 + 533 + 537))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda car: replace(car, wheelbase=285), "Wheelbase"),
        (lambda car: replace(car, anti_dive=25), "Anti-dive share"),
        (lambda car: steer(4.0), "share of gravity"),
        (lambda car: brake(rise=0), "Rise time"),
        (lambda car: steer(dt=0.01), "Time step"),
        (lambda car: over(iso8608("A", 20.0, 1.0), car, 20.0, "middle"), "side 'middle'"),
        (lambda car: blend(iso8608("A", 20.0, 1.0), iso8608("A", 20.0, 2.0), 0.5), "same times"),
        (lambda car: drive_car(car, {}, [], steer()), "at least one setting"),
        (lambda car: steady_pose(car, 40.0), "stay on its wheels"),
    ],
)
def test_what_cannot_be_gets_one_sentence(car, wrong, words):
    with pytest.raises(OutOfRange, match=words):
        wrong(car)


def test_a_road_that_goes_on_has_no_rest_to_come_to(car, dampers):
    run = drive_car(car, dampers, BOTH, over(iso8608("A", 20.0, 1.0), car, 20.0))
    with pytest.raises(OutOfRange, match="does not end on the level"):
        lean(run)
