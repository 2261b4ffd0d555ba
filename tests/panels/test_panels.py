"""Each panel: what it draws is what physics says, now and before, and what it cannot it says."""

import html
import re
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.figures import look
from dampinglab.figures.words import FELT_MEANS
from dampinglab.panels import (
    lean_panel,
    load_panel,
    sag_panel,
    settle_panel,
    sinking_panel,
    stand_panel,
    zones_panel,
)
from dampinglab.panels.stand import hub
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.physics.oscillator import free_decay
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop import demo
from tests.panels.conftest import full

UNCHANGED = re.compile(r"^No change|No click was turned\.$")
PANELS = [stand_panel, sag_panel, settle_panel]
OWN = Corner(300.0, 35.0, 20e3, 0.8, 180e3, 100.0, 0.08, 0.04, 0.1)


def words(panel):
    return re.sub("<[^>]+>", "", panel.sentence.value).replace("&nbsp;", " ")


def data(panel, name):
    return np.array(panel.picture.scene.moving[name].get_data(), dtype=float).squeeze()


def small_damper(adjusters=("rebound",)):
    v = np.array([-0.3, -0.1, 0.0, 0.1, 0.3])
    settings = [(n,) for n in (0, 5)] if adjusters else [()]
    curves = {s: Curve(v, (2000 - 200 * sum(s)) * v) for s in settings}
    return MeasuredDamper(
        "own",
        tuple(Adjuster(n, 8) for n in adjusters),
        MappingProxyType(curves),
        assumptions=("A.",),
    )


@pytest.mark.parametrize("make", PANELS)
def test_it_starts_with_no_change(make):
    assert UNCHANGED.search(words(make()))


@pytest.mark.parametrize("make", PANELS)
def test_what_felt_means_stands_once_below(make):
    assert FELT_MEANS in make().children[-1].value


@pytest.mark.parametrize("make", PANELS)
def test_keeping_makes_now_the_before(make):
    panel = make()
    control = next(iter(panel.controls.values()))
    control.slider.value = (
        control.slider.options[0] if hasattr(control.slider, "options") else control.slider.max
    )
    assert not UNCHANGED.search(words(panel))
    panel.keep.click()
    assert UNCHANGED.search(words(panel))


@pytest.mark.parametrize("make", PANELS)
def test_its_alternative_text_follows(make):
    panel = make()
    old = panel.picture.alternative
    control = panel.controls.get("speed") or panel.controls["mass"]
    control.slider.value = control.slider.max
    assert panel.picture.alternative != old
    assert f'alt="{panel.picture.alternative}"' in panel.picture.widget.value


@pytest.mark.parametrize("make", PANELS)
def test_blitted_equals_a_full_draw_at_both_ends_of_every_slider(make):
    panel = make()
    for control in panel.controls.values():
        ends = getattr(control.slider, "options", None) or (control.slider.min, control.slider.max)
        for end in (ends[0], ends[-1]):
            control.slider.value = end
            blitted = panel.picture.pixels().copy()
            assert np.array_equal(blitted, full(panel.picture)), (control.label, end)


@pytest.mark.parametrize("make", PANELS)
def test_the_projector_switch_enlarges_and_takes_nothing_away(make):
    panel = make()
    small, told = panel.picture.pixels().shape, words(panel)
    panel.room.value = True
    assert "dl-room" in panel._dom_classes
    assert panel.picture.scene.size is look.ROOM
    assert panel.picture.pixels().shape[1] > 1.4 * small[1]
    assert words(panel) == told
    assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))
    panel.room.value = False
    assert panel.picture.scene.size is look.DESK
    assert "dl-room" not in panel._dom_classes


def test_what_physics_refuses_becomes_words(monkeypatch):
    panel = sag_panel()

    def refuse(values):
        raise OutOfRange("That cannot be.")

    monkeypatch.setattr(panel, "measure", refuse)
    panel.controls["mass"].take(600.0)
    assert words(panel).startswith("That cannot be. The picture")


def test_sag_draws_the_corner_as_physics_has_it():
    panel, corner = sag_panel(OWN), OWN
    assert panel.now.frequency == pytest.approx(corner.ride_frequency, rel=1e-3)
    panel.controls["mass"].typed.value = "350"
    now = corner.loaded(50.0)
    assert data(panel, "now") == pytest.approx(
        [1e3 * 350 * 9.80665 / now.ride_rate, now.ride_frequency], rel=1e-3
    )
    assert panel.now.travel_left == pytest.approx(now.bump_gap, abs=1e-5)
    heaviest = corner.loaded(corner.bump_gap * corner.wheel_rate / 9.80665)  # stands on its stop
    at_stop = heaviest.sprung_mass * 9.80665 / heaviest.ride_rate
    assert panel.now.stop_at == pytest.approx(at_stop, rel=1e-3)
    assert data(panel, "before")[1] == pytest.approx(corner.ride_frequency, rel=1e-3)
    curve = data(panel, "curve")
    assert np.allclose(curve[1], np.sqrt(9.80665 / (curve[0] / 1e3)) / (2 * np.pi))


def test_sag_squares_the_motion_ratio():
    panel = sag_panel(OWN)
    panel.controls["ratio"].take(0.6)
    assert panel.now.wheel_rate == pytest.approx(OWN.wheel_rate * (0.6 / 0.8) ** 2, rel=1e-3)


@pytest.mark.parametrize("name", ["mass", "spring", "tyre"])
def test_sag_lets_halve_and_double(name):
    control = sag_panel().controls[name]
    start = control.number
    for share in (0.5, 2.0):
        control.typed.value = f"{share * start:.6g}"
        assert control.note.layout.display == "none"
        assert control.number == pytest.approx(share * start, rel=1e-3)


def test_sag_bounces_in_real_time():
    panel = sag_panel(OWN)
    panel.controls["mass"].take(400.0)
    periods = [float(s) for s in re.findall(r"\d-\db ([\d.]+)s linear", panel.beside.value)]
    frequencies = [OWN.ride_frequency, panel.now.frequency]
    assert periods == pytest.approx([1 / f for f in frequencies], rel=1e-3)


def test_settle_draws_the_exact_free_decay():
    panel = settle_panel(OWN)
    panel.controls["damping"].take(600.0)
    t, height = data(panel, "now")
    assert np.allclose(height, 1e3 * free_decay(t, 300.0, 20e3, 600.0, 0.08))
    for name, control in (("first dot", "first"), ("later dot", "later")):
        at = panel.controls[control].value
        assert data(panel, name) == pytest.approx(
            [at, 1e3 * free_decay(at, 300.0, 20e3, 600.0, 0.08)]
        )


def test_the_swings_are_drawn_until_they_have_settled_and_as_far_as_a_marker_stands():
    panel = settle_panel(OWN)
    panel.controls["damping"].take(500.0)
    assert data(panel, "now")[0][-1] == pytest.approx(panel.now.settled)
    panel.controls["later"].take(3.9)
    assert data(panel, "now")[0][-1] == pytest.approx(3.9)


def test_markers_on_two_peaks_read_the_true_ratio():
    panel = settle_panel(OWN)
    first, later = panel.now.peak_times[:2]
    panel.controls["first"].take(float(first))
    panel.controls["later"].take(float(later))
    assert panel.now.reading.ratio == pytest.approx(panel.now.ratio, rel=1e-9)


def test_markers_stand_straight_above_the_picture():
    panel = settle_panel(OWN)
    rows = list(panel.children)
    marks = [panel.controls[name] for name in ("first", "later", "swings")]
    view = next(
        i for i, each in enumerate(rows) if panel.picture.widget in getattr(each, "children", ())
    )
    assert list(rows[view - 1].children[-1].children) == marks


def test_the_model_answers_only_when_asked():
    panel = settle_panel(OWN)
    panel.controls["first"].take(0.0)
    panel.controls["later"].take(float(panel.now.peak_times[1]))
    assert "model" not in panel.answer.value
    assert data(panel, "peaks").size == 0
    panel.ask.value = True
    assert "Well read" in panel.answer.value
    assert data(panel, "peaks").shape[1] >= 2


@pytest.mark.parametrize(
    ("first", "later", "part"),
    [(1.0, 0.5, "later than"), (0.3, 0.7, "upper peaks"), (0.65, 0.75, "never grows")],
)
def test_markers_that_read_nothing_say_why(first, later, part):
    panel = settle_panel(OWN)
    panel.controls["first"].take(first)
    panel.controls["later"].take(later)
    assert panel.now.reading.ratio is None
    assert part in panel.answer.value


def test_an_overdamped_body_has_no_swing_to_read():
    panel = settle_panel(OWN)
    panel.controls["damping"].take(panel.controls["damping"].high)
    panel.controls["first"].take(0.1)
    assert "There is no second peak, so nothing can be read." in panel.answer.value
    assert "ratio" not in panel.answer.value
    assert panel.now.reading.decrement is None
    panel.ask.value = True
    assert panel.now.ratio > 1
    assert "nothing to read" in panel.answer.value


def test_the_stand_draws_the_measured_damper():
    damper, panel = demo.damper(), stand_panel()
    panel.controls["clicks"].slider.value = 0
    panel.controls["speed"].take(0.2)
    setting = panel.setting()
    assert setting in damper.curves
    assert data(panel, "press now") == pytest.approx([0.2, damper.valve_force(0.2, setting)])
    assert data(panel, "back now") == pytest.approx([-0.2, damper.valve_force(-0.2, setting)])
    speed, force = data(panel, "bump now")
    assert np.allclose(force, damper.valve_force(speed, setting))
    was = hub(damper)
    assert data(panel, "press before") == pytest.approx([0.2, damper.valve_force(0.2, was)])


def test_another_adjuster_sends_the_others_back_to_the_start():
    damper, panel = demo.damper(), stand_panel()
    panel.controls["clicks"].slider.value = 0
    panel.adjuster.value = 2
    assert panel.setting() == hub(damper)
    assert panel.controls["clicks"].label == "Rebound, out from closed"
    for clicks in panel.controls["clicks"].slider.options:
        panel.controls["clicks"].slider.value = clicks
        assert panel.setting() in damper.curves


def test_the_stand_takes_any_damper():
    panel = stand_panel(small_damper())
    assert panel.controls["speed"].high == 0.3
    assert "own. A." in panel.children[0].value, "assumptions must be told"
    fixed = stand_panel(small_damper(adjusters=()))
    assert set(fixed.controls) == {"speed"}
    assert words(fixed).endswith("No click was turned.")


def test_panels_without_own_data_say_that_theirs_are_invented():
    for make in PANELS:
        assert "invented" in make().children[0].value.lower()
    assert "invented" not in sag_panel(demo.vehicle().corner("front")).children[0].value.lower()


@pytest.mark.parametrize("made", [lean_panel, load_panel, sinking_panel, zones_panel])
def test_a_sheet_with_other_adjusters_starts_the_stand_in_dampers_in_the_middle(made):
    panel = made(demo.vehicle("utility"))
    steps = vars(panel).get("steps", {}).values()
    stand = {tuple(step.value for step in each.values()) for each in steps}
    assert stand or set(panel.settings.values()) == {(9, 5, 12)}
    assert stand <= {(9, 5, 12)}
    assert any("belong to other dampers" in html.unescape(said) for said in _told(panel))


def _told(widget):
    """Return all words of a widget and of what is in it."""
    yield from [widget.value] if isinstance(getattr(widget, "value", None), str) else []
    for child in getattr(widget, "children", ()):
        yield from _told(child)
