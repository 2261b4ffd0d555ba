"""Zones by road event: the words at their positions, and bands where the results are."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from dampinglab.figures import look, zones
from dampinglab.figures.look import drawn
from dampinglab.physics.zones import Shares
from dampinglab.workshop.shaft import EVENTS, Band

BANDS = (Band(0.02, 0.1, 0.3), Band(0.1, 0.3, 0.6), Band(0.12, 0.35, 0.7))


def row(name, time=0.35, energy=0.02, ride=1.20, travel=0.050):
    return zones.Row(name, *BANDS, Shares(0.1, time, energy, 0.45, 900.0, 1.0, 0.8), ride, travel)


ROWS = tuple(row(f"{name} at {pace}") for name, pace in EVENTS)
START = zones.Zones(
    rows=ROWS,
    chosen=2,
    split=0.1,
    knee=0.28,
    ratio=0.6,
    axle="front",
    load="as weighed",
    setting=(("low-speed bump", 14), ("rebound", 18)),
)


def with_row(base, **changes):
    rows = list(base.rows)
    rows[base.chosen] = row(rows[base.chosen].name, **changes)
    return replace(base, rows=tuple(rows))


def test_nothing_moved_is_no_change():
    assert zones.sentence(START, START) == (
        "No change. On gravel at 60 km/h, 35 % of the moving time and 2 % of the energy lie below "
        "0.10 m/s at the shaft. The shaft moves 0.60 of the wheel, so that is 0.17 m/s at the "
        "wheel. The split lies below the knee, 0.28 m/s, where the high-speed bump valve opens: "
        "the price is that it calls fast what the low-speed needle still sets."
    )


def test_a_split_only_sorts():
    now = with_row(replace(START, split=0.4), time=0.84, energy=0.40)
    assert zones.sentence(now, START) == (
        "Split from 0.10 to 0.40 m/s. On gravel at 60 km/h, 84 % of the moving time and 40 % of "
        "the energy (before: 35 % and 2 %) lie below 0.40 m/s at the shaft. The shaft moves 0.60 "
        "of the wheel, so that is 0.67 m/s at the wheel. Nobody would feel that: only the sorting "
        "has changed. The split lies above the knee, 0.28 m/s, where the high-speed bump valve "
        "opens: the price is that it calls slow what that valve already lets by."
    )


def test_clicks_turned_are_felt_and_cost():
    turned = replace(START, setting=(("low-speed bump", 4), ("rebound", 18)))
    now = with_row(turned, time=0.40, energy=0.04, ride=1.44, travel=0.045)
    assert zones.sentence(now, START) == (
        "Low-speed bump from 14 to 4 clicks out. On gravel at 60 km/h, 40 % of the moving time and "
        "4 % of the energy (before: 35 % and 2 %) lie below 0.10 m/s at the shaft. The shaft moves "
        "0.60 of the wheel, so that is 0.17 m/s at the wheel. The body shakes 20 % more (1.44 "
        "m/s², weighted by ISO 2631). Felt. "
        "The price is that shaking; the gain is 45 mm of bump travel in place of 50 mm."
    )


@pytest.mark.parametrize(
    ("ride", "travel", "words"),
    [
        (1.4, 0.06, "It costs twice"),
        (1.1, 0.06, "The price is 60 mm of bump travel"),
        (1.1, 0.04, "No price here: it takes only 40 mm of bump travel in place of 50 mm."),
        (1.2, 0.05, "costs nothing"),
        (1.4, 0.0503, "The price is that shaking; bump travel stays 50 mm."),
        (1.1, 0.0503, "No price here: bump travel stays 50 mm."),
        (1.203, 0.06, "The body shakes as before (1.20 m/s², weighted by ISO 2631). Hardly felt. "),
    ],
)
def test_every_outcome_has_its_price(ride, travel, words):
    now = with_row(replace(START, load="touring"), ride=ride, travel=travel)
    told = zones.sentence(now, START)
    assert told.startswith("Load touring in place of as weighed.")
    assert words in told


def test_a_log_tells_no_feel_and_a_knee_that_is_not_known_is_not_told():
    log = replace(START, rows=(*ROWS, row("the log own.csv", ride=None, travel=None)), chosen=7)
    turned = replace(log, setting=(("low-speed bump", 14), ("rebound", 2)), knee=None)
    assert "does not tell what would be felt" in zones.sentence(turned, log)
    assert "knee" not in zones.sentence(replace(START, knee=None), replace(START, knee=None))
    assert "stands at the knee" in zones.sentence(replace(START, split=0.28), START)


def test_another_axle_and_split_are_both_told_and_neither_is_felt():
    now = replace(START, axle="rear", split=0.2, setting=(("dial", 3),))
    told = zones.sentence(with_row(now, ride=2.4), START)
    assert told.startswith("Rear axle in place of the front; split from 0.10 to 0.20 m/s. On")
    assert told.endswith("there is nothing to feel, and no price.")
    assert "Felt" not in told


@pytest.mark.parametrize(
    ("split", "knee", "side"),
    [(0.1, None, "left"), (0.1, 0.28, "right"), (0.1, 0.5, "left"), (0.02, 0.05, "left")],
)
def test_the_words_of_the_split_stand_clear_of_the_knee(split, knee, side):
    made = zones.scene(look.ROOM)
    zones.update(made, replace(START, split=split, knee=knee), START)
    assert made.moving["split words"].get_ha() == side


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_bands_split_knee_and_shares_are_where_the_results_are(size):
    made = zones.scene(size)
    now = with_row(replace(START, split=0.2), time=0.61, energy=0.17)
    zones.update(made, now, START)
    across, up = made.moving["bump now"].get_data()
    assert np.array(across)[:2] == pytest.approx([0.1, 0.6])
    assert np.round(up[6]) == -2
    assert made.moving["split"].get_data()[0] == [0.2, 0.2]
    assert made.moving["split before"].get_data()[0] == [0.1, 0.1]
    assert made.moving["knee line"].get_data()[0] == [0.28, 0.28]
    assert [made.moving[f"share 2 {i}"].get_text() for i in range(3)] == ["61 %", "17 %", "45 %"]
    assert made.moving["share 2 0"].get_fontweight() == "bold"
    assert made.moving["share 7 0"].get_text() == ""
    assert made.moving["ground"].get_y() == -2.5


def test_what_was_before_is_a_ghost_only_where_it_differs():
    made = zones.scene()
    zones.update(made, START, START)
    assert not made.moving["time before"].get_xdata()
    moved = replace(ROWS[0], time=Band(0.03, 0.2, 0.4))
    zones.update(made, START, replace(START, rows=(moved, *ROWS[1:])))
    assert made.moving["time before"].get_xdata()[:2] == [0.03, 0.4]
    assert not made.moving["bump before"].get_xdata()


def test_without_a_knee_none_is_drawn():
    made = zones.scene()
    zones.update(made, replace(START, knee=None), START)
    assert not made.moving["knee"].get_visible()
    assert np.isnan(made.moving["knee line"].get_data()[0]).all()


def test_words_stay_on_the_paper_and_apart():
    """The longest name and the widest shares, at the back of a room."""
    full = replace(START, rows=(*ROWS, row("the log corrugation.csv", 1.0, 1.0)), chosen=7)
    made = zones.scene(look.ROOM)
    zones.update(made, full, full)
    made.figure.draw_without_rendering()
    paper = made.figure.bbox
    texts = [t for t in made.axes.texts if t.get_text()]
    for text in texts:
        box = text.get_window_extent()
        assert box.x0 >= paper.x0, text.get_text()
        assert box.x1 <= paper.x1, text.get_text()
    columns = [made.moving[f"share 7 {i}"].get_window_extent() for i in range(3)]
    assert columns[0].x0 > made.axes.bbox.x1
    assert all(a.x1 < b.x0 for a, b in pairwise(columns))


def test_the_picture_in_words_names_every_event():
    words = zones.alternative(START, START)
    assert all(name in words for name, _ in EVENTS)
    assert "knee stands at 0.28" in words
    assert "before" not in words


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(zones, START).savefig(tmp_path / "zones.png")
    assert (tmp_path / "zones.png").stat().st_size > 5000
