"""The picture of a force-travel record: what is drawn is what was read."""

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.figures.look import BUMP, DESK, REBOUND, ROOM
from dampinglab.figures.loop import alternative, picture
from dampinglab.panels import loop_picture
from dampinglab.panels.controls import whole
from dampinglab.workshop import demo
from dampinglab.workshop.loop import read_loop


@pytest.fixture(scope="module")
def loop():
    return read_loop(dataset("stand/front_sine.csv"))


def test_the_demo_record_gives_the_valves_it_was_made_from(loop):
    damper, v = demo.hydraulic("front"), loop.curve.speed
    true = damper.valve_force(v, (9, 5, 12)) + damper.friction(v)
    assert np.abs(loop.curve.force - true).max() < 25.0
    assert loop.gas == pytest.approx(damper.gas_force(0.0), rel=0.05)


@pytest.mark.parametrize("size", [DESK, ROOM])
def test_the_branches_hold_the_readings(loop, size):
    left, right = picture(loop, size).axes
    for line, colour, way in zip(left.lines, (BUMP, REBOUND), (1, -1), strict=True):
        assert line.get_color() == colour
        drawn = np.isfinite(line.get_ydata())
        assert np.array_equal(drawn, way * loop.speed > 0)
        assert np.array_equal(line.get_ydata()[drawn], loop.force[drawn])
    assert right.get_xlabel() == "shaft speed [m/s]"


def test_the_words_tell_the_ends_of_the_curve(loop):
    told = alternative(loop)
    assert f"{loop.curve.force[-1]:.0f} N in bump" in told
    picture, said = loop_picture().children
    assert f'alt="{told}"' in picture.value
    assert whole(loop.assumptions[-1]) in said.value
