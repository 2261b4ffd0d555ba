"""The press on the stand: its words at four positions, and its points where the results are."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from dampinglab.figures import look, stand
from dampinglab.figures.look import drawn
from dampinglab.panels.stand import hub, press_once, span_of
from dampinglab.workshop import demo

SPEED = np.linspace(-0.5, 0.5, 5)
START = stand.Press(
    setting=(("low-speed bump", 10), ("rebound", 12)),
    speed=0.1,
    press=886.0,
    back=1208.0,
    curve_speed=SPEED,
    curve_force=np.array([-2400.0, -1700.0, 0.0, 1500.0, 2339.0]),
    reach=2600.0,
)
HARDER = replace(START, setting=(("low-speed bump", 4), ("rebound", 12)), press=1210.0)


def test_no_click_turned_is_no_change():
    assert stand.sentence(START, START) == (
        "At 0.10 m/s the press takes 886 N (90.3 kgf) and the return 1208 N (123 kgf). "
        "No click was turned."
    )


def test_harder_is_felt_and_costs_the_body():
    assert stand.sentence(HARDER, START) == (
        "Low-speed bump from 10 to 4 clicks out: the press takes 1210 N (123 kgf), 324 N more "
        "(37 %); the return stays within 4 % of what it was. Felt. The price: more of every "
        "bump at such speeds goes into the body."
    )


def test_softer_costs_travel():
    words = stand.sentence(START, HARDER)
    assert "324 N less (27 %)" in words
    assert words.endswith(
        "The price: there is less force to slow the wheel on its way up, so more travel is used."
    )


@pytest.mark.parametrize(
    ("back", "price"), [(1300.0, "held up longer"), (1000.0, "less force to hold the body back")]
)
def test_rebound_has_prices_of_its_own(back, price):
    turned = replace(START, setting=(("low-speed bump", 10), ("rebound", 6)), back=back)
    words = stand.sentence(turned, START)
    assert words.startswith("Rebound from 12 to 6 clicks out: the return takes")
    assert price in words


def test_less_than_a_tenth_would_hardly_be_felt():
    assert "Hardly felt." in stand.sentence(replace(HARDER, press=940.0), START)


def test_scatter_of_the_stand_is_not_called_a_change():
    words = stand.sentence(replace(HARDER, press=889.0), START)
    assert "no change shows at 0.10 m/s" in words
    assert "price" not in words


def test_both_sides_moved_are_both_told():
    words = stand.sentence(replace(HARDER, back=1500.0), START)
    assert "the press takes 1210 N" in words
    assert "and the return takes 1500 N" in words
    assert "stays" not in words


def test_points_and_curves_are_where_the_results_are():
    scene = stand.scene()
    stand.update(scene, HARDER, START)
    data = {
        name: line.get_data() for name, line in scene.moving.items() if hasattr(line, "get_data")
    }
    assert data["press now"] == ([0.1], [1210.0])
    assert data["press before"] == ([0.1], [886.0])
    assert data["back now"] == ([-0.1], [-1208.0])
    assert np.array_equal(data["bump now"], [SPEED[2:], HARDER.curve_force[2:]])
    assert np.array_equal(data["rebound before"], [SPEED[:3], START.curve_force[:3]])


@pytest.mark.parametrize("size", [look.DESK, look.ROOM], ids=lambda size: size.name)
def test_no_word_covers_a_dot_at_any_speed_and_any_clicks(size):
    damper = demo.damper("front")
    span, scene = span_of(damper), stand.scene(size)
    canvas, start = FigureCanvasAgg(scene.figure), hub(damper)
    for setting, speed in itertools.product(damper.settings, (0.02, 0.26, 0.42, 0.46, 0.5)):
        both = (press_once(damper, each, speed, span) for each in (setting, start))
        stand.update(scene, *both)
        scene.figure.draw_without_rendering()
        assert covered(scene, canvas.get_renderer()) == [], (setting, speed)


def covered(scene, renderer):
    """Return which words come as near to the middle of a dot as its rim, or leave the paper."""
    words = ("bump name", "rebound name", "press words", "back words")
    dots = ("press now", "back now", "press before", "back before")
    paper, found = scene.axes.get_window_extent(renderer), []
    for word, dot in itertools.product(words, dots):
        box = scene.moving[word].get_window_extent(renderer)
        line = scene.moving[dot]
        rim = (line.get_markersize() + line.get_markeredgewidth()) / 2 * scene.figure.dpi / 72
        at = scene.axes.transData.transform(np.ravel(line.get_data()))
        off = at - np.clip(at, box.min, box.max)
        if np.hypot(*off) <= rim or not (paper.y0 <= box.y0 and box.y1 <= paper.y1):
            found.append((word, dot))
    return found


def test_the_picture_in_words_names_clicks_and_both_forces():
    words = stand.alternative(HARDER, START)
    for part in ("low-speed bump 4", "rebound 12", "1210 N", "1208 N", "the curve before"):
        assert part in words
    assert "before" not in stand.alternative(START, START)


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(stand, HARDER, START).savefig(tmp_path / "press.png")
    assert (tmp_path / "press.png").stat().st_size > 5000
