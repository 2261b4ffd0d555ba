"""The lean panel: what it shows is what the vehicle did, and no damper or vehicle breaks it."""

import re
from dataclasses import replace

import numpy as np
import pytest

from dampinglab.errors import LearnerError
from dampinglab.figures import look
from dampinglab.panels import lean_panel, leaning
from dampinglab.panels.lean import AXLES, EVENTS
from dampinglab.physics.car import car_of
from dampinglab.physics.car_run import drive_car
from dampinglab.physics.comfort import weighted_rms
from dampinglab.physics.corner import simulate
from dampinglab.physics.damper import RatedDamper
from dampinglab.physics.drive import brake, steer
from dampinglab.physics.lean import lean, shared_work
from dampinglab.physics.road import iso8608
from dampinglab.workshop import demo

FOUND = {"front": (14, 5, 18), "rear": (9, 5, 12)}
DAMPERS = {axle: demo.hydraulic(axle) for axle in AXLES}


@pytest.fixture(scope="module")
def shared():
    return lean_panel()


@pytest.fixture
def panel(shared):
    """One panel for all: put back as it began."""
    for axle, setting in FOUND.items():
        for (where, _), step in shared.controls.items():
            if where == axle:
                place = list(shared.steps[axle].values()).index(step)
                step.take(setting[place])
    shared.load.value = "as weighed"
    shared.event.value = "Steer in 0.2 s"
    shared.before = shared.values()
    shared.refresh()
    return shared


def words(widget):
    return re.sub("<[^>]+>", "", widget.value).replace("&nbsp;", " ")


def test_it_starts_as_found_with_no_change(panel):
    assert words(panel.sentence).startswith("No change. Steered to 0.4 g in 0.2 s, the body leans")
    assert panel.now.setting == (
        ("front low-speed bump", 14),
        ("front high-speed bump", 5),
        ("front rebound", 18),
        ("rear low-speed bump", 9),
        ("rear high-speed bump", 5),
        ("rear rebound", 12),
    )


@pytest.mark.parametrize("load", [None, "touring"])
@pytest.mark.parametrize(
    ("event", "made"), [("Steer in 0.5 s", steer(0.4, 0.5, 6.0)), ("Brake", brake(0.6, 0.2, 6.0))]
)
def test_the_scores_are_those_of_the_run_at_half_the_step(panel, event, made, load):
    panel.load.value = load or "as weighed"
    panel.event.value = event
    panel.controls["front", "rebound"].take(6)
    settings = {**FOUND, "front": (14, 5, 6)}
    run = drive_car(car_of(demo.vehicle(), load), DAMPERS, settings, made)
    found = lean(run)
    assert panel.now.overshoot == pytest.approx(found.overshoot, abs=2e-3)
    assert panel.now.rate == pytest.approx(found.rate, rel=5e-3)
    assert panel.now.settling == pytest.approx(found.settling, abs=0.01)
    assert panel.now.steady == found.steady
    assert panel.now.work.sum() == pytest.approx(shared_work(run).sum(), rel=0.05)
    assert f" {100 * panel.now.overshoot:.0f} % " in words(panel.sentence)


def test_the_price_is_that_of_the_corners_on_a_fine_road(panel):
    panel.controls["rear", "low-speed bump"].take(0)
    road = iso8608("A", 100 / 3.6, 4.0, seed=1, dt=2e-3)
    for axle, setting in (("front", FOUND["front"]), ("rear", (0, 5, 12))):
        run = simulate(demo.vehicle().corner(axle), DAMPERS[axle], setting, road)
        ride = weighted_rms(run.body_acceleration, road.dt)
        assert dict(panel.now.ride)[axle] == pytest.approx(ride)
    assert "a fine road shakes the rear" in words(panel.sentence)


def test_no_control_moves_the_steady_lean(panel):
    steady = panel.now.steady
    for control in panel.controls.values():
        for end in (control.slider.options[0], control.slider.options[-1]):
            control.take(end)
            assert panel.now.steady == steady
    assert f"The steady lean stays {np.degrees(steady):.1f}°" in words(panel.sentence)


def test_the_event_and_load_that_are_looked_at_are_compared_with_themselves(panel):
    panel.controls["front", "rebound"].take(4)
    for event, (said, _) in EVENTS.items():
        panel.event.value = event
        told = words(panel.sentence)
        assert told.startswith(f"Front rebound from 18 to 4 clicks out. {said}")
        assert panel.picture.scene.axes.get_ylabel() in {
            "lean to the right [°]",
            "dive, nose down [°]",
            "body above the road [mm]",
        }
    panel.load.value = "touring"
    assert words(panel.sentence).startswith("Front rebound from 18 to 4 clicks out.")
    panel.event.value = "Brake"
    assert panel.measure(panel.recall()).steady == panel.now.steady
    panel._keep(None)
    assert words(panel.sentence).startswith("No change.")


def test_what_was_driven_once_is_kept(panel, monkeypatch):
    panel.controls["front", "rebound"].take(7)
    panel.controls["front", "rebound"].take(18)

    def never(*_args, **_more):
        raise AssertionError("it was driven again")

    monkeypatch.setattr("dampinglab.panels.lean.drive_car", never)
    panel.controls["front", "rebound"].take(7)
    assert dict(panel.now.setting)["front rebound"] == 7


def test_front_and_rear_stand_side_by_side(panel):
    axles = [axle for axle, _ in panel.controls]
    assert axles == ["front", "rear"] * 3
    names = [control.label for control in panel.controls.values()]
    assert names[0] == "Front low-speed bump, out from closed"
    assert names[1] == "Rear low-speed bump, out from closed"


def test_a_drawn_picture_is_the_whole_one(panel):
    """What is blitted is what a full draw would show, with another unit on the axis too."""
    for event in ("Waves", "Brake"):
        panel.event.value = event
        blitted = np.array(panel.picture.pixels())
        panel.picture.swap(panel.picture.scene)
        assert np.array_equal(blitted, panel.picture.pixels())


def transforms(svg, part):
    """Return the keyframes of one moving part: shares and numbers of each step."""
    frames = re.search(rf"@keyframes \w+{part}\{{(.*?\}})\}}", svg).group(1)
    return [
        (float(share), [float(n) for n in re.findall(r"-?[\d.]+", move)])
        for share, move in re.findall(r"([\d.]+)%\{transform:(.*?)\}", frames)
    ]


@pytest.mark.parametrize("event", list(EVENTS))
def test_the_drawing_moves_as_it_was_computed(panel, event):
    """Angles and heights of the drawing, larger by what it says, in the event's own time."""
    panel.event.value = event
    now, svg = panel.now, panel.beside.value
    length = now.time[-1] - now.time[0]
    assert f" {length:.4f}s linear" in svg
    scale = 100.0 if now.way == "roll" else 66.0
    steps = transforms(svg, "nb")
    assert len(steps) == pytest.approx(25 * length + 1, abs=1)
    for share, (y, angle) in steps[::7]:
        at = now.time[0] + share / 100 * length
        low, high = (np.interp(at, now.time, now.ends[:, i]) for i in (0, 1))
        # The screen's y runs down and its angles run clockwise.
        assert y == pytest.approx(-leaning.LARGER * scale * (low + high) / 2, abs=0.05)
        true = np.degrees((low - high) / now.span)
        assert angle == pytest.approx(leaning.LARGER * true, abs=0.05)
    if now.way == "roll":
        assert max(angle for _, (_, angle) in steps) > 0
    if now.way != "heave":
        tilt = (now.ends[:, 0] - now.ends[:, 1]) / now.span
        assert tilt == pytest.approx(now.lines[0], abs=1e-9)
    assert ("nr0" in svg) == (event == "Waves")


def test_before_is_an_outline_only_when_it_differs(panel):
    assert not re.search(r"class=\"\w+gb\"", panel.beside.value)
    panel.controls["rear", "rebound"].take(2)
    assert re.search(r"class=\"\w+gb\"", panel.beside.value)


def test_the_columns_are_the_work_of_now(panel):
    before = panel.now.work
    panel.event.value = "Brake"
    panel.controls["rear", "rebound"].take(0)
    shown = re.findall(r">(\d+) J<", panel.beside.value)
    assert shown == [f"{energy:.0f}" for energy in panel.now.work.ravel()]
    assert shown != [f"{energy:.0f}" for energy in before.ravel()]
    outline = re.findall(r'height="([\d.]+)" fill="none"', panel.beside.value)
    old = panel.measure(panel.recall()).work.ravel()
    share = [float(tall) for tall in outline] / old
    assert share == pytest.approx(np.full(4, share[0]), rel=0.05)


def test_the_projector_takes_the_large_scene(panel):
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM
    panel.room.value = False


def test_an_own_vehicle_and_a_damper_of_two_adjusters():
    own = {axle: demo.damper(axle, "utility_two_adjuster") for axle in AXLES}
    made = lean_panel(demo.vehicle("utility"), own)
    assert words(made.sentence).startswith("No change.")
    assert len(made.controls) == 4
    assert "Invented, for the sheet does not hold them: height" in made.children[-2].value


@pytest.mark.parametrize(
    ("vehicle", "dampers", "told"),
    [
        (demo.vehicle(), {"front": DAMPERS["front"]}, "the rear one is missing"),
        (
            replace(demo.vehicle(), axles={"front": demo.vehicle().axles["front"]}),
            DAMPERS,
            "the rear one is missing",
        ),
        (
            demo.vehicle(),
            {**DAMPERS, "rear": RatedDamper(800.0, 1200.0, 0.13)},
            "known by a rating only",
        ),
    ],
)
def test_what_is_missing_gets_one_sentence(vehicle, dampers, told):
    with pytest.raises(LearnerError, match=told):
        lean_panel(vehicle, dampers)
