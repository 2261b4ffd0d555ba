"""The bounce test's picture: its words at several positions, its points where the results are."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.figures import bounce
from dampinglab.figures.look import drawn
from dampinglab.workshop.bounce import read_bounce
from dampinglab.workshop.decay import Estimate
from dampinglab.workshop.marks import Marks
from dampinglab.workshop.record import read_record

FIT = replace(
    read_bounce(read_record(dataset("bounce/good_corner.csv"))),
    ratio=Estimate(0.24, 0.01),
    frequency=Estimate(1.29, 0.02),
)
MARKS = Marks((2.40, 3.13), (0.88, 0.19), 1.0, 1.53, 0.237, 1.37)
START = bounce.BounceView(FIT.seen, MARKS, FIT)


def marked(**changes):
    return replace(START, marks=replace(MARKS, **changes))


def test_no_change_reads_the_markers():
    assert bounce.sentence(START, START) == (
        "No change: from 0.88 to 0.19 m/s² in 1 swing the decrement is 1.53 a swing, the damping "
        "ratio 0.237, the frequency 1.37 Hz."
    )


def test_moved_markers_say_how_far_the_reading_moved():
    higher = marked(times=(2.4, 3.2), ratio=0.3)
    assert bounce.sentence(higher, START).endswith(": 0.063 above what the markers read before.")
    assert bounce.sentence(START, higher).endswith(": 0.063 below what the markers read before.")


def test_markers_that_read_nothing_say_why_and_are_not_compared():
    lost = marked(times=(3.0, 2.0), decrement=None, ratio=None, trouble="Put marker 2 later.")
    assert bounce.sentence(lost, START) == "Put marker 2 later."
    assert bounce.sentence(START, lost).endswith("the frequency 1.37 Hz.")


def test_half_a_swing_and_two_are_spelled_as_said():
    assert "in 0.5 swing the" in bounce.sentence(marked(swings=0.5), START)
    assert "in 2 swings the" in bounce.sentence(marked(swings=2.0), START)


def test_a_good_reading_is_well_read():
    told = "the damping ratio is 0.240 ± 0.020 and the frequency 1.29 ± 0.04 Hz."
    assert bounce.compare(START).startswith(f"Well read, your 0.237: {told}")


@pytest.mark.parametrize(("ratio", "words"), [(0.30, "0.060 above"), (0.15, "0.090 below")])
def test_a_poor_reading_is_told_how_far_and_which_way(ratio, words):
    told = bounce.compare(marked(ratio=ratio))
    assert told.startswith(f"Your {ratio:.3f} lies {words} the fit.")
    assert "very tops" in told


def test_a_marker_in_the_push_is_named():
    assert "where the hands still add" in bounce.compare(marked(times=(1.6, 3.13), ratio=0.1))


def test_what_the_fit_cannot_read_is_not_called_the_learners_mistake():
    high = replace(START, fit=replace(FIT, ratio=Estimate(0.7, 0.06)))
    told = bounce.compare(high)
    assert told.startswith("The damping is too high to read")
    assert "that is overdamped" in told
    assert "Your" not in told


def test_without_a_fit_the_reason_stands_in_its_place():
    lost = replace(START, fit=None, trouble="x.csv: no free decay.")
    assert bounce.compare(lost) == "x.csv: no free decay."


def test_the_verdict_says_that_it_has_no_source():
    assert "By common practice (no source) that is in range" in bounce.compare(START)


def test_readings_markers_and_shades_are_where_the_results_are():
    scene = bounce.scene()
    before = marked(times=(2.6, 3.4))
    bounce.update(scene, START, before)
    moving, seen = scene.moving, FIT.seen
    assert np.array_equal(moving["readings"].get_xdata(), seen.time)
    assert np.allclose(moving["readings"].get_ydata(), seen.acceleration - seen.rest)
    assert np.array_equal(moving["smooth"].get_data(), [seen.grid, seen.smooth])
    assert moving["first dot"].get_data() == ([2.40], [0.88])
    assert moving["later dot"].get_data() == ([3.13], [0.19])
    assert list(moving["first before"].get_xdata()) == [2.6, 2.6]
    pushed, small = moving["pushed"], moving["small"]
    assert pushed.get_x() + pushed.get_width() == pytest.approx(FIT.window[0])
    assert small.get_x() == pytest.approx(FIT.window[1])
    assert moving["pushed name"].get_text() == "pushed\nby hand"


def test_the_fit_shows_only_when_asked_for():
    scene = bounce.scene()
    bounce.update(scene, START, START)
    assert len(scene.moving["fit"].get_xdata()) == 0
    bounce.update(scene, replace(START, shown=True), START)
    time, height = scene.moving["fit"].get_data()
    assert (time[0], time[-1]) == pytest.approx(FIT.window)
    assert np.allclose(height, FIT.decay.at(time) - FIT.seen.rest)


def test_without_a_fit_nothing_is_grey():
    scene = bounce.scene()
    bounce.update(scene, replace(START, fit=None), START)
    assert scene.moving["pushed"].get_width() == 0
    assert scene.moving["pushed name"].get_text() == ""


def test_the_axes_hold_the_markers_and_the_highest_swing():
    scene = bounce.scene()
    bounce.update(scene, marked(times=(0.1, 7.5)), START)
    assert scene.axes.get_xlim()[0] <= 0.1
    assert scene.axes.get_xlim()[1] >= 7.5
    assert scene.axes.get_ylim()[1] > np.abs(FIT.seen.smooth).max()


def test_the_picture_in_words_hides_the_ratio():
    words = bounce.alternative(START, marked(times=(2.6, 3.4)))
    assert "pushed by hand: 1." in words
    assert "Marker 1 reads 0.88 m/s² at 2.40 s, marker 2 0.19 m/s² at 3.13 s." in words
    assert "where they stood before" in words
    assert "0.24" not in words
    assert "dashed" in bounce.alternative(replace(START, shown=True), START)


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(bounce, START).savefig(tmp_path / "bounce.png")
    assert (tmp_path / "bounce.png").stat().st_size > 5000
