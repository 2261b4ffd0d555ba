"""Mean height against clicks: words at several positions, artists where the results are."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import sinking as figure
from dampinglab.figures.look import drawn
from dampinglab.figures.words import felt, price

START = figure.Sinking(
    axle="front",
    load="as weighed",
    road=("20 mm", "0.90 m", "60 km/h"),
    setting=(("low-speed bump", 9), ("rebound", 12)),
    clicks=np.array([0, 6, 12, 18, 24]),
    height=1e-3 * np.array([-10.0, -5.0, -2.0, 0.5, 2.0]),
    weighted=np.array([1.30, 1.15, 1.00, 0.97, 0.80]),
    off_ground=np.array([0.03, 0.0, 0.0, 0.0, 0.0]),
    level=16.8,
)
ROAD = "On corrugation of 20 mm every 0.90 m at 60 km/h, "


def at(rebound, **more):
    return replace(START, setting=(("low-speed bump", 9), ("rebound", rebound)), **more)


def test_nothing_moved():
    assert figure.sentence(START, START) == (
        "No change. On corrugation of 20 mm every 0.90 m at 60 km/h, front axle as weighed, the "
        "body rides 2.0 mm below its height at rest. It would ride level with rebound about "
        "17 clicks out."
    )


def test_closing_is_felt_and_priced_here():
    assert figure.sentence(at(0), START) == (
        f"Rebound from 12 to 0 clicks out. {ROAD}the body rides 10.0 mm below its height at rest, "
        "its tyre off the ground 3 % of the time, 8.0 mm lower than before. Felt. The price: "
        f"shaking (ISO 2631 Wk) goes from 1.00 to 1.30 m/s². {felt(0.3)} It would ride level "
        "with rebound about 17 clicks out."
    )


def test_opening_is_not_felt_and_priced_elsewhere():
    assert figure.sentence(at(18), START) == (
        f"Rebound from 12 to 18 clicks out. {ROAD}the body rides 0.5 mm above its height at rest, "
        "2.5 mm higher than before. Not felt. Shaking (ISO 2631 Wk) goes from 1.00 to 0.97 m/s². "
        f"{price('rebound', False)} It would ride level with rebound about 17 clicks out."
    )


def test_three_millimetres_are_felt():
    risen = replace(START, height=START.height + 3.1e-3)
    moved = replace(risen, setting=(("low-speed bump", 4), ("rebound", 12)))
    assert "3.1 mm higher than before. Felt." in figure.sentence(moved, START)
    almost = replace(moved, height=START.height + 2.9e-3)
    words = figure.sentence(almost, START)
    assert "2.9 mm higher than before. Not felt." in words
    assert "Shaking (ISO 2631 Wk) stays at 1.00 m/s²." in words
    assert "What these clicks cost shows on other roads." in words


def test_another_road_turns_no_click():
    other = replace(START, road=("40 mm", "0.90 m", "60 km/h"), level=None)
    words = figure.sentence(other, START)
    assert words.startswith("Corrugation of 40 mm (before: 20 mm) every 0.90 m at 60 km/h: the ")
    assert "No click was turned, and shaking (ISO 2631 Wk) stays at 1.00 m/s²." in words
    assert words.endswith("it rides below it throughout.")


def test_clicks_and_road_at_once_cannot_be_judged():
    words = figure.sentence(at(6, road=("20 mm", "1.20 m", "60 km/h")), START)
    assert words.startswith("Rebound from 12 to 6 clicks out, corrugation of 20 mm every 1.20 m (b")
    assert "so neither can be judged" in words


def test_the_clicks_of_another_axle_were_not_turned():
    words = figure.sentence(replace(at(6), axle="rear"), START)
    assert words.startswith("Rear axle as weighed in place of front axle as weighed: ")
    assert "clicks out," not in words


def test_artists_are_where_the_results_are():
    made = figure.scene()
    figure.update(made, at(0), START)
    assert np.array_equal(made.moving["curve now"].get_xdata(), START.clicks)
    assert np.allclose(made.moving["curve now"].get_ydata(), 1e3 * START.height)
    assert list(made.moving["now"].get_xydata()[0]) == [0, -10]
    assert list(made.moving["before"].get_xydata()[0]) == [12, -2]
    assert made.moving["words"].get_text() == "\u221210.0 mm"
    low, high = made.axes.get_ylim()
    assert low == -high < -10


def test_the_picture_in_words():
    words = figure.alternative(at(0), START)
    for part in ("-10.0 mm at 0 clicks out", "+2.0 mm at 24 clicks out", "dot marks 0", "ring"):
        assert part in words
    assert "ring" not in figure.alternative(START, START)


@pytest.mark.parametrize("size", [figure.look.DESK, figure.look.ROOM])
def test_a_static_picture_can_be_saved(tmp_path, size):
    drawn(figure, at(0), START, size).savefig(tmp_path / "sinking.png")
    assert (tmp_path / "sinking.png").stat().st_size > 5000
