"""The load panel: what it shows is what physics says of the axle, and nothing breaks it."""

import html
import re

import numpy as np
import pytest

from dampinglab.errors import LearnerError
from dampinglab.figures import look
from dampinglab.panels import load as module
from dampinglab.panels import load_panel
from dampinglab.physics.load import Change, ball_load, stand
from dampinglab.workshop import demo
from tests.panels.conftest import full


@pytest.fixture
def panel():
    return load_panel()


def words(widget):
    return html.unescape(re.sub("<[^>]+>", "", widget.value)).replace("\u00a0", " ")


def test_it_starts_as_weighed_with_no_change(panel):
    assert words(panel.sentence).startswith("No change. The spring sags")
    assert panel.now.stands.corner == demo.vehicle().corner("rear")
    assert "The rear dampers stay at low-speed bump 9" in words(panel.told)


def test_half_of_an_axle_load_is_on_each_corner(panel):
    panel.controls["mass"].take(100)
    rear, damper = demo.vehicle().corner("rear"), demo.hydraulic("rear")
    assert panel.now.stands == stand(rear, Change(mass=50.0), damper, (9, 5, 12))


def test_a_ball_load_goes_to_both_axles(panel):
    panel.controls["ball"].take(140)
    panel.controls["overhang"].take(1000)
    front, rear = ball_load(140.0, 1.0, 2.85)
    weighed = {axle: demo.vehicle().corner(axle).sprung_mass for axle in ("front", "rear")}
    assert panel.now.stands.corner.sprung_mass == pytest.approx(weighed["rear"] + rear / 2)
    panel.axle.value = "front"
    assert panel.now.stands.corner.sprung_mass == pytest.approx(weighed["front"] + front / 2)
    assert "the body stands" in words(panel.sentence)
    assert "higher" in words(panel.sentence)


def test_preload_on_a_strut_lifts_more_than_its_seat(panel):
    panel.controls["seat"].take(6)
    assert panel.now.level == pytest.approx(-0.006)  # the rear spring stands on the axle
    panel.axle.value = "front"
    assert panel.now.level == pytest.approx(-0.006 / 0.6)
    assert panel.now.stands.corner.wheel_rate == demo.vehicle().corner("front").wheel_rate


def test_stop_and_tyre(panel):
    panel.controls["stop_gap"].take(-15)
    panel.controls["stop_stiffness"].take(150)
    panel.controls["pressure"].take(120)
    corner, rear = panel.now.stands.corner, demo.vehicle().corner("rear")
    assert corner.bump_gap == pytest.approx(rear.bump_gap - 0.015)
    assert corner.foam_stiffness == pytest.approx(1.5)
    assert corner.tyre_rate == pytest.approx(0.65 * rear.tyre_rate)


def test_a_load_that_fits_no_travel_gets_one_sentence_and_leaves_the_picture(panel):
    panel.controls["mass"].take(100)
    shown = panel.now
    panel.controls["mass"].take(800)
    assert "this is work for a spring, not for a damper" in words(panel.sentence)
    assert "Traceback" not in panel.sentence.value
    assert panel.now is shown
    assert "now pale, still shows what was before" in words(panel.sentence)
    assert "dl-stale" in panel._dom_classes
    panel.controls["mass"].take(100)
    assert "pale" not in words(panel.sentence)
    assert "dl-stale" not in panel._dom_classes


def test_no_air_is_refused_where_it_is_typed(panel):
    panel.controls["pressure"].typed.value = "0"
    assert "0 kPa is outside 80 to 900 kPa" in words(panel.controls["pressure"].note)


def test_what_was_worked_out_is_kept(panel, monkeypatch):
    panel.controls["mass"].take(100)
    panel.controls["mass"].take(200)
    monkeypatch.setattr(module, "stand", None)
    panel.controls["mass"].take(100)
    panel.keep.click()
    assert words(panel.sentence).startswith("No change.")


def test_the_side_view_is_to_scale(panel):
    def frame():
        return float(re.search(r'y="([\d.]+)"[^>]*class="frame"', panel.beside.value)[1])

    old = frame()
    panel.controls["mass"].take(200)
    sunk = -panel.now.stands.height
    assert frame() - old == pytest.approx(module._SCALE * sunk, abs=0.11)
    assert f"{1e3 * panel.now.stands.corner.bump_gap:.0f} mm</text>" in panel.beside.value
    assert f"{-1e3 * sunk:+.0f} mm from before" in panel.beside.value


def test_the_utility_with_its_own_measured_dampers():
    dampers = {axle: demo.damper(axle, "utility_two_adjuster") for axle in ("front", "rear")}
    panel = load_panel(demo.vehicle("utility"), dampers)
    panel.controls["mass"].take(300)
    assert "Dry friction of 250 N holds the wheel until a bump would move it by 4 mm" in words(
        panel.told
    )
    assert set(panel.now.verdict.clicks) == {"bump", "rebound"}


def test_no_damper_that_fits_gets_a_sentence():
    with pytest.raises(LearnerError, match="No damper fits"):
        load_panel(demo.vehicle(), {})


def test_blitted_equals_a_full_draw(panel):
    for mass in (0, 250, -100):
        panel.controls["mass"].take(mass)
        assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM


def test_a_load_taken_off_is_told_with_a_true_minus():
    panel = load_panel()
    panel.controls["mass"].take(-50.0)
    assert "from 0 kg to \N{MINUS SIGN}50 kg" in words(panel.sentence)
    assert "-50" not in panel.picture.alternative + panel.sentence.value
