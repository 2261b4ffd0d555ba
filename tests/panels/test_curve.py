"""The curve panel: what it shows is what physics says, at the shaft and at the wheel."""

import re
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.panels.curve import curve_panel, explore, start_of
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper, damping_ratio
from dampinglab.physics.equivalent import cycle_energy
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop import demo

CORNER = Corner(500.0, 40.0, 30e3, 0.5, 200e3, 100.0, 0.08, 0.04, 0.1)
FRONT = demo.hydraulic("front")
V = np.array([-0.3, -0.1, 0.0, 0.1, 0.3])


def straight(*settings, adjusters=("rebound",)):
    """A measured damper with straight lines, softer by 200 N s/m for each click."""
    curves = {s: Curve(V, (3000 - 200 * sum(s)) * V) for s in settings}
    made = tuple(Adjuster(name, 8) for name in adjusters)
    return MeasuredDamper("own", made, MappingProxyType(curves), assumptions=("A.",))


def words(panel):
    return re.sub("<[^>]+>", "", panel.sentence.value).replace("&nbsp;", " ")


def test_a_straight_damper_is_its_own_equal_and_friction_and_lever_are_minded():
    seen = explore(straight((0,)), CORNER, (0,), 0.1, (0.01, 2.0))
    assert seen.coefficient == pytest.approx((3000, 3000))
    assert seen.equivalent == pytest.approx(3000)
    assert seen.ratio[0] == pytest.approx(3000 * 0.25 / (2 * np.sqrt(30e3 * 500)))
    assert sum(seen.energy) == pytest.approx(np.pi * 3000 * 4 * np.pi * 0.01**2)
    assert seen.energy[0] == pytest.approx(seen.energy[1])
    assert seen.heat == pytest.approx(2 * sum(seen.energy))
    assert seen.beyond == 0


def test_at_the_wheel_coefficients_take_the_lever_squared_and_energy_and_ratio_stay():
    shaft, wheel = (
        explore(FRONT, CORNER, (9, 5, 12), 0.1, (0.02, 2.0), place) for place in ("shaft", "wheel")
    )
    assert np.array(wheel.coefficient) == pytest.approx(0.25 * np.array(shaft.coefficient))
    assert wheel.equivalent == pytest.approx(0.25 * shaft.equivalent)
    assert np.array(wheel.force) == pytest.approx(0.5 * np.array(shaft.force))
    assert wheel.speed == pytest.approx(0.2)
    assert wheel.peak == pytest.approx(2 * shaft.peak)
    assert wheel.limits["bump knee"] == pytest.approx(2 * FRONT.knee_speed((9, 5, 12)))
    assert wheel.energy == pytest.approx(shaft.energy)
    assert wheel.ratio == shaft.ratio
    assert np.allclose(wheel.curve_force, 0.5 * shaft.curve_force)
    assert np.allclose(wheel.curve_speed, 2 * shaft.curve_speed)


def test_energy_beyond_the_table_is_a_share_of_the_whole():
    seen = explore(straight((0,)), CORNER, (0,), 0.1, (0.05, 2.0))
    edge = 0.3 / seen.peak  # viscous: the share above an edge is a known integral
    phase = np.arccos(edge)
    share = (2 * phase + np.sin(2 * phase)) / np.pi
    assert seen.beyond == pytest.approx(share, abs=1e-3)
    assert seen.limits == {"table ends": 0.3}


def test_the_panel_draws_the_hydraulic_damper_with_its_friction():
    panel = curve_panel()
    panel.clicks["rebound"].slider.value = 4
    panel.controls["speed"].typed.value = "0.25"
    setting = (9, 5, 4)
    force = FRONT.valve_force(0.25, setting) + FRONT.friction(0.25)
    point = np.array(panel.picture.scene.moving["bump point"].get_data()).squeeze()
    assert point == pytest.approx([0.25, force])
    corner = demo.vehicle().corner("front")
    assert panel.now.ratio[1] == pytest.approx(damping_ratio(FRONT, -0.25, setting, corner))
    whole = cycle_energy(lambda v: FRONT.valve_force(v, setting) + FRONT.friction(v), 0.02, 2.0)
    assert sum(panel.now.energy) == pytest.approx(whole)
    assert panel.now.limits["bump knee"] == FRONT.knee_speed(setting)
    before = panel.picture.scene.moving["rebound before"].get_data()
    assert np.allclose(
        before[1], FRONT.valve_force(before[0], (9, 5, 12)) + FRONT.friction(before[0])
    )


def test_columns_are_as_tall_as_the_energies():
    panel = curve_panel()
    panel.clicks["rebound"].slider.value = 0
    tall = [float(y) for y in re.findall(r'height="([\d.]+)" class="now"', panel.beside.value)]
    bump, rebound = panel.now.energy
    assert tall[1] == pytest.approx(168, abs=0.01)
    assert tall[0] / tall[1] == pytest.approx(bump / rebound, rel=1e-3)
    old = [float(y) for y in re.findall(r'height="([\d.]+)" class="before"', panel.beside.value)]
    assert old[1] < tall[1]
    assert old[0] == tall[0]


def test_shaft_and_wheel_have_axes_of_their_own():
    panel = curve_panel()
    panel.place.value = "wheel"
    assert panel.picture.scene.axes.get_xlabel() == "wheel speed [m/s]"
    assert words(panel).startswith("No change")
    assert panel.now.place == "wheel"


def test_a_measured_damper_stays_at_what_was_measured():
    star = straight((4, 4), (0, 4), (8, 4), (4, 0), (4, 8), adjusters=("bump", "rebound"))
    panel = curve_panel(star, CORNER)
    panel.clicks["bump"].slider.value = 8
    assert panel.values()["setting"] == (8, 4)
    panel.clicks["rebound"].slider.value = 0
    assert panel.values()["setting"] == (4, 0)
    assert panel.now.coefficient[0] == pytest.approx(3000 - 800)
    assert "between" not in words(panel)
    assert panel.controls["speed"].high == 0.3


def test_it_takes_any_damper_and_says_what_is_assumed_or_invented():
    panel = curve_panel(straight((), adjusters=()), CORNER)
    assert words(panel).startswith("No change")
    assert "own. A." in panel.children[0].value
    assert "invented" not in panel.children[0].value
    assert "invented" in curve_panel().children[0].value
    for name in ("wagon_three_adjuster", "utility_two_adjuster", "wagon_rebound_only"):
        damper = demo.damper("front", name)
        assert start_of(damper) in damper.settings
        assert words(curve_panel(damper)).startswith("No change")


def test_the_projector_keeps_the_words():
    panel = curve_panel()
    told = words(panel)
    panel.room.value = True
    assert words(panel) == told
    assert "dl-room" in panel._dom_classes
