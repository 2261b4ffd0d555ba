"""The response panel: its curves, its point and its answers are those of physics."""

import re
from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures.response import RESPONSES
from dampinglab.panels import response_panel
from dampinglab.physics import linear
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop import demo
from tests.panels.conftest import full

FRONT = replace(demo.vehicle().corner("front"), tyre_damping=0.0)
OWN = Corner(300.0, 35.0, 20e3, 0.8, 180e3, 100.0, 0.08, 0.04, 0.1)


@pytest.fixture
def panel():
    return response_panel()


def words(panel):
    return re.sub("<[^>]+>", "", panel.sentence.value).replace("&nbsp;", " ")


@pytest.mark.parametrize("ratio", [0.1, 0.45, 1.1])
def test_each_curve_is_the_response_for_a_millimetre_of_road(panel, ratio):
    panel.controls["ratio"].take(ratio)
    scale = {"acceleration": 1e-3, "travel": 1.0, "tyre": 1e-3 * FRONT.tyre_rate}
    for name, factor in scale.items():
        panel.choice.value = name
        f, drawn = panel.picture.scene.moving["now"].get_data()
        found = linear.responses(FRONT, ratio * FRONT.critical_damping, f)[name]
        assert drawn == pytest.approx(factor * abs(found), rel=1e-9)


def test_the_ring_stays_while_the_damper_moves_and_lies_on_both_curves(panel):
    rings = []
    for ratio in (0.1, 0.3, 0.9):
        panel.controls["ratio"].take(ratio)
        (f,), (size,) = panel.picture.scene.moving["point"].get_data()
        for line in ("now", "before", "soft", "hard"):
            assert np.interp(f, *panel.picture.scene.moving[line].get_data()) == pytest.approx(
                size, rel=0.01
            )
        rings.append((f, size))
    assert rings[0] == rings[1] == rings[2]


def test_answers_and_costs_are_those_of_the_closed_forms(panel):
    critical = FRONT.critical_damping
    least, even, _ = panel.now.answers
    assert least == pytest.approx(linear.least_acceleration(FRONT) / critical)
    assert even == pytest.approx(linear.least_tyre_load(FRONT) / critical)
    panel.controls["ratio"].take(least)
    assert panel.now.costs[0] == pytest.approx(0, abs=1e-9)
    assert panel.now.costs[1] > 0


def test_the_other_response_is_compared_with_itself(panel):
    for name in RESPONSES:
        panel.choice.value = name
        assert words(panel).startswith("No change.")


def test_more_mass_makes_the_point_for_travel_slower(panel):
    panel.choice.value = "travel"
    panel.controls["mass"].take(800)
    panel.controls["tyre"].take(200)
    place = np.sqrt(200e3 / (800 + FRONT.unsprung_mass)) / (2 * np.pi)
    assert panel.now.point[0] == pytest.approx(place)
    assert f"At {place:.1f} Hz (before: " in words(panel)


def test_the_learners_corner_stands_in_the_controls():
    panel = response_panel(OWN)
    assert panel.values() == pytest.approx({"ratio": 0.3, "mass": 300.0, "tyre": 180e3})
    assert "demo workshop" not in panel.children[0].value
    assert "demo workshop" in response_panel().children[0].value


def test_what_is_blitted_is_what_a_full_draw_shows(panel):
    panel.controls["ratio"].take(0.7)
    panel.choice.value = "travel"
    quick = panel.picture.pixels().copy()
    assert np.array_equal(quick, full(panel.picture))


def test_the_projector_makes_it_larger(panel):
    old = panel.picture.pixels().shape
    panel.room.value = True
    assert panel.picture.pixels().shape[1] > old[1]
