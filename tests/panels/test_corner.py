"""The corner panel: what it shows is what the run did, and only clicks are compared."""

import html
import re

import numpy as np
import pytest

from dampinglab.figures import look
from dampinglab.panels import corner as module
from dampinglab.panels import corner_panel, moving
from dampinglab.physics.corner import simulate
from dampinglab.physics.measures import scores
from dampinglab.workshop import demo
from tests.panels.conftest import full


@pytest.fixture
def panel():
    return corner_panel()


def words(widget):
    return html.unescape(re.sub("<[^>]+>", "", widget.value)).replace("\u00a0", " ")


def test_it_starts_in_the_middle_with_no_change(panel):
    assert words(panel.sentence).startswith("No change. On gravel (ISO D) at 60 km/h")
    clicks = [adjuster.clicks // 2 for adjuster in demo.hydraulic("front").adjusters]
    assert [n for _, n in panel.now.setting] == clicks


@pytest.mark.parametrize("track", module.ROADS)
def test_scores_are_those_of_the_run(panel, track):
    panel.track.value = track
    panel.controls["rebound"].take(2)
    pace = module.ROADS[track].pace
    assert panel.controls["speed"].number == pace
    road = module.ROADS[track].make(pace / 3.6)
    setting = tuple(n for _, n in panel.now.setting)
    run = simulate(demo.vehicle().corner("front"), demo.hydraulic("front"), setting, road)
    assert panel.now.scores == scores(run)
    assert np.array_equal(panel.now.body, run.body)
    assert f"{scores(run).weighted:.2f}" in words(panel.table)
    assert panel.picture.period == pytest.approx(road.time[-1])


def test_the_clicks_before_are_driven_over_todays_road(panel):
    panel.controls["rebound"].take(3)
    panel.track.value = "pothole"
    assert words(panel.sentence).startswith("Rebound from 12 to 3 clicks out. On the pothole")
    panel.controls["speed"].take(70)
    assert "at 70 km/h" in words(panel.sentence)
    panel.keep.click()
    assert words(panel.sentence).startswith("No change. On the pothole at 70 km/h")


def test_turning_clicks_drives_one_run_and_prepares_nothing(panel, monkeypatch):
    driven = []
    real = module.run_table
    monkeypatch.setattr(module, "run_table", lambda *a: driven.append(a) or real(*a))
    monkeypatch.setattr(module, "prepare", None)
    panel.controls["low-speed bump"].take(2)
    assert len(driven) == 1
    panel.controls["low-speed bump"].take(4)
    panel.controls["low-speed bump"].take(2)
    assert len(driven) == 2  # what was driven is kept
    for clicks in range(12):
        panel.controls["rebound"].take(clicks)
    assert len(panel.driven) <= 6


def test_an_adjuster_without_anything_to_do_says_so(panel):
    panel.track.value = "long waves"
    panel.controls["high-speed bump"].take(0)
    assert "next to nothing to do" in words(panel.sentence)


def test_a_line_runs_through_the_traces_as_the_drawing_drives(panel, monkeypatch):
    later = moving.time.monotonic() + 1.25
    monkeypatch.setattr(moving.time, "monotonic", lambda: later)  # however long drawing takes
    panel.controls["rebound"].take(2)
    box = panel.picture.scene.axes.get_position()
    assert f"to{{left:{100 * box.x1:.2f}%}}" in panel.picture.widget.value
    periods = [
        re.search(r"([\d.]+)s linear", w.value)[1] for w in (panel.picture.widget, panel.beside)
    ]
    assert periods[0] == periods[1]
    starts = [
        float(re.search(r"linear (-[\d.]+)s", w.value)[1])
        for w in (panel.picture.widget, panel.beside)
    ]
    assert starts[0] == starts[1] < -1


def test_a_dyno_table_says_what_it_does_not_tell():
    panel = corner_panel(demo.vehicle().corner("rear"), demo.damper("rear"))
    step = panel.controls["low-speed bump"]
    assert set(step.slider.options) == {s[0] for s in demo.damper("rear").settings}
    for control in list(panel.controls.values())[1:]:
        control.take(control.slider.options[0])
    told, damper = words(panel.told), demo.damper("rear")
    assert damper.assumption(tuple(n for _, n in panel.now.setting)) in told
    panel.track.value = "pothole"
    assert ("faster than the damper's table" in words(panel.told)) == (panel.now.scores.beyond > 0)


def test_blitted_equals_a_full_draw_and_after_other_limits(panel):
    panel.controls["rebound"].take(1)
    for track in ("pothole", "long waves"):
        panel.track.value = track
        assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM
