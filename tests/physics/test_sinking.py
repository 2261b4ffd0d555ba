"""Mean height on corrugation: both signs, and nothing where both directions push alike."""

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics import road, sinking
from dampinglab.physics.corner import simulate, simulate_many
from dampinglab.physics.damper import Curve, MeasuredDamper
from dampinglab.workshop import demo

WAVES = road.corrugation(0.02, 0.9, 60 / 3.6, 4.0, dt=2e-3)


def sided(bump, rebound):
    """Return a damper with one coefficient each way."""
    speed = np.array([-5.0, 0.0, 5.0])
    curve = Curve(speed, np.array([rebound, 0.0, bump]) * speed)
    return MeasuredDamper("sided", (), {(): curve})


def height(bump, rebound, corner):
    return float(sinking.mean_height(simulate(corner, sided(bump, rebound), (), WAVES)))


def test_rebound_pulls_down_and_bump_jacks_up(cases):
    corner = cases.free(cases.front)
    down, level, up = (height(*pair, corner) for pair in ((2e3, 6e3), (4e3, 4e3), (6e3, 2e3)))
    assert down < -1e-3 < level < 1e-3 < up
    assert down == pytest.approx(-up, rel=0.05)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_every_click_of_rebound_in_pulls_further_down(axle):
    damper, corner = demo.hydraulic(axle), demo.vehicle().corner(axle)
    settings = [(9, 5, n) for n in range(0, damper.adjusters[2].clicks + 1, 4)]
    sunk = sinking.sink(corner, damper, settings, WAVES)
    assert np.all(np.diff(sunk.height) > 0)
    assert np.all(np.diff(sunk.weighted) < 0)
    assert sunk.off_ground.shape == sunk.height.shape


def test_two_milliseconds_are_enough():
    damper, corner = demo.hydraulic("front"), demo.vehicle().corner("front")
    settings = [(9, 5, n) for n in (0, 8, 16, 24)]
    fine = road.corrugation(0.02, 0.9, 60 / 3.6, 8.0)
    apart = [sinking.sink(corner, damper, settings, r).height for r in (WAVES, fine)]
    assert np.abs(apart[0] - apart[1]).max() < 3e-4


def test_one_setting_is_the_same_alone():
    damper, corner = demo.hydraulic("rear"), demo.vehicle().corner("rear")
    alone = sinking.mean_height(simulate(corner, damper, (9, 5, 3), WAVES))
    many = sinking.mean_height(simulate_many(corner, damper, [(9, 5, 8), (9, 5, 3)], WAVES))
    assert alone == pytest.approx(many[1], abs=1e-9)


def test_a_run_that_cannot_have_settled_is_refused(cases):
    short = road.corrugation(0.02, 0.9, 60 / 3.6, 1.5)
    with pytest.raises(OutOfRange, match="too short to have settled"):
        sinking.mean_height(simulate(cases.front, cases.digressive(), (0,), short))


def test_where_the_sign_turns():
    assert sinking.level_at([0, 6, 12], np.array([-4.0, -1.0, 2.0])) == pytest.approx(8.0)
    assert sinking.level_at([0, 6, 12], np.array([-4.0, -2.0, -1.0])) is None
    assert sinking.level_at([0, 6], np.array([0.0, 2.0])) == 0.0
