"""The settling body: its words at six positions, the reading beside the model, the points."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import settle
from dampinglab.figures.look import drawn

TIME = np.linspace(0, 2.4, 5)
READ = settle.Reading((0.0, 0.8), (0.08, 0.022), 1, 1.29, 0.201)
START = settle.Decay(
    time=TIME,
    height=np.array([0.08, -0.03, 0.01, -0.003, 0.001]),
    ratio=0.2,
    settled=1.60,
    push=190.0,
    peak_times=np.array([0.0, 0.8, 1.6]),
    peak_heights=np.array([0.08, 0.022, 0.006]),
    reading=READ,
)


def test_no_change_does_not_give_the_ratio_away():
    words = settle.sentence(START, START)
    assert words == "No change: the body has settled within 5 % after 1.60 s."


def test_another_height_settles_no_later():
    words = settle.sentence(replace(START, height=START.height * 1.5), START)
    assert words == (
        "Let go from 120 mm (before: 80 mm), no change: the body has settled within 5 % after "
        "1.60 s."
    )


def test_the_numbers_of_the_markers_stand_below_any_swing():
    made = settle.scene()
    deep = replace(START, reading=replace(READ, heights=(-0.08, -0.079)))
    settle.update(made, deep, START)
    made.figure.draw_without_rendering()
    for name in ("first", "later"):
        dot = made.moving[f"{name} dot"].get_window_extent()
        number = made.moving[f"{name} name"].get_window_extent()
        assert number.y1 < dot.y0
        assert number.y0 > made.axes.bbox.y0


def test_more_damping_settles_sooner_and_passes_more_to_the_body():
    assert settle.sentence(replace(START, settled=1.20, push=250.0), START) == (
        "The body now settles after 1.20 s, 0.40 s sooner (25 %). Felt. The price: a bump "
        "of 0.1 m/s at the wheel passes 60 N more into the body."
    )


def test_worse_settles_later():
    words = settle.sentence(replace(START, settled=2.0), START)
    assert "0.40 s later (25 %)" in words
    assert words.endswith("The price is that waiting.")


def test_what_is_hardly_felt_shows_less_than_what_is_felt():
    assert "(9.6 %). Hardly felt." in settle.sentence(replace(START, settled=1.754), START)


def test_less_damping_pays_in_waiting_and_gains_comfort():
    words = settle.sentence(replace(START, settled=1.7, push=180.0), START)
    assert words.endswith(
        "The price is that waiting; in return a bump of 0.1 m/s at the wheel passes 10 N less "
        "into the body."
    )


@pytest.mark.parametrize(("push", "end"), [(190.0, "no price shows."), (150.0, "into the body.")])
def test_sooner_without_more_damping_has_no_price(push, end):
    words = settle.sentence(replace(START, settled=1.2, push=push), START)
    assert words.endswith(end)
    assert "The price" not in words


def test_a_good_reading_is_well_read():
    assert settle.compare(START) == "Well read: your 0.201, and the model's damping ratio is 0.200."


def test_a_poor_reading_is_told_how_far_and_which_way():
    words = settle.compare(replace(START, reading=replace(READ, ratio=0.25)))
    assert words.startswith("Your 0.250 lies 25 % above: the model's damping ratio is 0.200.")
    assert " 25 % below" in settle.compare(replace(START, reading=replace(READ, ratio=0.15)))


def test_no_reading_says_what_hinders_it():
    reading = settle.Reading((1.0, 0.5), (0.01, 0.02), 1, trouble="Put marker 2 later.")
    assert settle.read(reading) == (
        "Marker 1 reads 10.0 mm at 1.00 s, marker 2 20.0 mm at 0.50 s. Put marker 2 later."
    )
    assert settle.compare(replace(START, reading=reading)).startswith("For comparison")


def test_a_reading_tells_heights_decrement_and_ratio():
    assert settle.read(READ) == (
        "Marker 1 reads 80.0 mm at 0.00 s, marker 2 22.0 mm at 0.80 s: "
        "decrement 1.29, damping ratio 0.201."
    )


def test_a_creeping_body_has_nothing_to_read():
    assert "nothing to read" in settle.compare(replace(START, ratio=1.1))


def test_curves_markers_and_rings_are_where_the_results_are():
    scene = settle.scene()
    before = replace(START, height=0.5 * START.height)
    settle.update(scene, START, before)
    assert np.array_equal(scene.moving["now"].get_data(), [TIME, 1e3 * START.height])
    assert np.array_equal(scene.moving["before"].get_data(), [TIME, 1e3 * before.height])
    assert scene.moving["first dot"].get_data() == ([0.0], [80.0])
    assert scene.moving["later dot"].get_data() == ([0.8], [22.0])
    assert scene.moving["heights"].get_text().endswith(", 2: 22.0 mm")
    assert scene.moving["peaks"].get_xdata().size == 0, "the answer shows before it was asked for"
    settle.update(scene, replace(START, shown=True), before)
    assert np.array_equal(scene.moving["peaks"].get_ydata(), 1e3 * START.peak_heights)


def test_the_axes_reach_as_far_as_the_markers():
    scene = settle.scene()
    settle.update(scene, replace(START, reading=replace(READ, times=(0.0, 3.9))), START)
    assert scene.axes.get_xlim()[1] >= 3.9


def test_the_picture_in_words_reads_the_markers_and_hides_the_ratio():
    words = settle.alternative(START, replace(START, settled=2.0))
    assert "Marker 1 reads 80.0 mm, marker 2 22.0 mm" in words
    assert "the swings before" in words
    assert "0.2 " not in words.replace("22.0", "")


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(settle, START).savefig(tmp_path / "settle.png")
    assert (tmp_path / "settle.png").stat().st_size > 5000
