"""One corner on a road: words at their positions, and traces where the run was."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import corner as figure
from dampinglab.figures import look
from dampinglab.figures.look import drawn
from dampinglab.physics.measures import Scores

T = np.linspace(0, 10, 5001)
SCORED = Scores(6.0, 1.20, 0.21, 0.004, 0.050, 0.080, 0.0, 0.012, 0.0, 0.0)
START = figure.Drive(
    road="gravel at 60 km/h",
    main="weighted",
    setting=(("low-speed bump", 9), ("rebound", 12)),
    time=T,
    height=0.03 * np.sin(3 * T),
    body=0.02 * np.sin(3 * T),
    wheel=0.05 * np.sin(3 * T) + 0.01 * np.sin(70 * T),
    tyre=5000 + 4000 * np.sin(70 * T),
    squeeze=0.02,
    bump_gap=0.06,
    foam=0.045,
    droop_gap=0.1,
    scores=SCORED,
)


def turned(main=None, **changes):
    setting = (("low-speed bump", 9), ("rebound", 4))
    scored = replace(SCORED, **changes)
    return replace(START, setting=setting, scores=scored, main=main or START.main)


def test_nothing_turned_is_no_change():
    assert figure.sentence(START, START) == (
        "No change. On gravel at 60 km/h, shaking (ISO 2631 Wk) is 1.20 m/s²; the tyre's load "
        "varies by 21 % of what it stands on; 50 mm of bump travel are used and the bump stop, "
        "60 mm away, is not reached."
    )
    hit = replace(START, scores=replace(SCORED, bump_travel=0.07, stop_energy=12.0))
    assert figure.sentence(hit, hit).endswith("the bump stop, 60 mm away, takes 12 J.")


def test_a_gain_has_its_price():
    now = turned(weighted=1.00, bump_travel=0.062, tyre_variation=0.22)
    assert figure.sentence(now, START) == (
        "Rebound from 12 to 4 clicks out. On gravel at 60 km/h, shaking (ISO 2631 Wk) falls by "
        "17 %, from 1.20 to 1.00 m/s². Felt. The price is bump travel, from 50 to 62 mm."
    )


def test_a_loss_is_the_price_of_a_gain():
    now = turned(weighted=1.26, tyre_variation=0.18)
    assert figure.sentence(now, START) == (
        "Rebound from 12 to 4 clicks out. On gravel at 60 km/h, shaking (ISO 2631 Wk) rises by "
        "5 %, from 1.20 to 1.26 m/s². Hardly felt. That is the price; the gain is tyre load "
        "variation, from 21 to 18 %."
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({}, "no score moves"),
        ({"weighted": 1.2001}, "no score moves"),
        ({"weighted": 1.40}, "nothing is gained for it"),
        ({"weighted": 1.00}, "No score here pays for it"),
        ({"weighted": 1.2055}, "rises by less than 1 %, from 1.20 to 1.21 m/s²"),
        ({"stop_energy": 9.0}, "stays at 1.20 m/s²: not felt. The price is energy into the bump"),
    ],
)
def test_every_outcome_has_its_words(changes, words):
    assert words in figure.sentence(turned(**changes), START)


def test_a_road_is_told_by_the_score_that_it_is_about():
    now, before = turned("peak_upward", peak_upward=7.5), turned("peak_upward")
    now = replace(now, setting=START.setting)
    assert "the sharpest push up rises by 25 %, from 6.0 to 7.5 m/s²" in figure.sentence(
        now, before
    )


def test_the_rows_hold_every_score_now_before_and_by_how_much():
    now = turned(weighted=0.90, stop_energy=8.0)
    rows = figure.rows(now, START)
    assert len(rows) == len(figure.SCORES)
    assert rows[0] == ("shaking, ISO 2631 Wk [m/s²]", "0.90", "1.20", "−25 %")
    assert rows[3] == ("tyre load varies by [%]", "21", "21", "same")
    assert rows[6][1:] == ("8", "0", "more")


@pytest.mark.parametrize("count", [5, 777, 5001, 10001])
def test_thinning_keeps_every_peak_and_both_ends(count):
    time = np.arange(count) / 1000
    rng = np.random.default_rng(count)
    signal = rng.normal(size=count)
    x, y = figure.thin(signal, time)
    assert (y.min(), y.max()) == (signal.min(), signal.max())
    assert np.all(np.diff(x) >= 0)
    assert x[-1] >= time[-1] - 0.05
    assert len(y) <= max(count, 530)
    assert set(y) <= set(signal)


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_traces_and_stops_are_where_the_run_was(size):
    made = figure.scene(size)
    now = turned()
    figure.update(made, now, START)
    assert made.moving["body now"].get_ydata().max() == pytest.approx(20, abs=0.1)
    assert made.moving["road"].get_ydata().max() == pytest.approx(30, abs=0.1)
    assert made.moving["tyre before"].get_ydata().max() == pytest.approx(9, abs=0.01)
    travel = made.moving["travel now"]
    assert travel.get_ydata().max() == pytest.approx(1e3 * now.travel.max())
    assert list(made.still["bump stop line"].get_ydata()) == [60, 60]
    assert list(made.still["droop stop line"].get_ydata()) == [-100, -100]
    low, high = travel.axes.get_ylim()
    assert low < -100
    assert high > 60
    assert made.moving["tyre now"].axes.get_ylim()[0] < 0
    assert {axes.get_xlim() for axes in made.figure.axes} == {(0, 10)}


def test_what_was_before_is_a_ghost_only_when_clicks_differ():
    made = figure.scene()
    figure.update(made, START, START)
    assert not len(made.moving["body before"].get_xdata())
    assert made.moving["key"].get_text() == ""
    figure.update(made, turned(), START)
    assert len(made.moving["body before"].get_xdata())
    assert made.moving["key"].get_text() == "before: pale, dotted"


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_words_stay_on_the_paper(size):
    made = figure.scene(size)
    figure.update(made, turned(), START)
    made.figure.draw_without_rendering()
    for axes in made.figure.axes:
        for words in (*axes.texts, axes.yaxis.label, *axes.get_yticklabels()):
            box = words.get_window_extent()
            assert box.x0 >= 0, words.get_text()
            assert box.x1 <= made.figure.bbox.x1, words.get_text()


def test_the_picture_in_words_tells_each_trace():
    words = figure.alternative(turned(), START)
    for part in ("gravel at 60 km/h", "bump stop at 60 mm", "droop stop at -100 mm", "1.0 to 9.0"):
        assert part in words
    assert "before" in words
    assert "before" not in figure.alternative(START, START)


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(figure, START).savefig(tmp_path / "corner.png")
    assert (tmp_path / "corner.png").stat().st_size > 5000
