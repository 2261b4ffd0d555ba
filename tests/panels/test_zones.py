"""The zones panel: what it shows is what the runs did, and no file or damper breaks it."""

import re
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.errors import LearnerError
from dampinglab.figures import look
from dampinglab.panels import zones, zones_panel
from dampinglab.panels.stand import hub
from dampinglab.panels.zones import steps_of
from dampinglab.physics.damper import RatedDamper
from dampinglab.physics.zones import shares
from dampinglab.workshop import demo
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.shaft import drive_events
from tests.panels.conftest import full


@pytest.fixture
def panel():
    return zones_panel()


def words(widget):
    return re.sub("<[^>]+>", "", widget.value).replace("&nbsp;", " ")


def test_it_starts_as_found_with_no_change(panel):
    assert words(panel.sentence).startswith("No change. On gravel at 60 km/h")
    assert panel.now.setting == (("low-speed bump", 14), ("high-speed bump", 5), ("rebound", 18))
    assert panel.now.knee == pytest.approx(demo.hydraulic("front").knee_speed((14, 5, 18)))


@pytest.mark.parametrize("split", [0.05, 0.15, 0.6])
def test_the_shares_are_those_of_the_runs(panel, split):
    panel.controls["split"].take(split)
    panel.controls["front", "rebound"].take(6)
    corner, damper = demo.vehicle().corner("front"), demo.hydraulic("front")
    for record, row in zip(drive_events(corner, damper, (14, 5, 6)), panel.now.rows, strict=True):
        assert row.shares == shares(record.speed, record.force, record.dt, split)
    gravel = panel.now.rows[2].shares
    told = f"{100 * gravel.time_slow:.0f} % of the moving time and {100 * gravel.energy_slow:.0f} %"
    assert told in words(panel.sentence)
    assert f"{split / 0.6:.2f} m/s at the wheel" in words(panel.sentence)


def test_moving_the_split_drives_nothing_anew(panel, monkeypatch):
    def never(*_):
        raise AssertionError("the runs were driven again")

    monkeypatch.setattr(zones, "drive_events", never)
    panel.controls["split"].take(0.3)
    assert panel.now.split == 0.3
    panel.event.value = 6
    assert "On a pothole at 40 km/h" in words(panel.sentence)


def test_the_event_that_is_looked_at_is_compared_with_itself(panel):
    panel.event.value = 4
    assert words(panel.sentence).startswith("No change. On a rutted track")
    old = panel.now.row.shares
    panel.controls["front", "low-speed bump"].take(0)
    told = f"(before: {100 * old.time_slow:.0f} % and {100 * old.energy_slow:.0f} %)"
    assert told in words(panel.sentence)


def test_each_axle_has_its_own_clicks_and_motion_ratio(panel):
    panel.axle.value = "rear"
    assert "The shaft moves 0.90 of the wheel" in words(panel.sentence)
    assert words(panel.sentence).startswith("Rear axle in place of the front")
    shown = [child for child in panel.grid.children if child in panel.steps["rear"].values()]
    assert len(shown) == 3
    assert not set(panel.grid.children) & set(panel.steps["front"].values())


def test_a_load_that_does_not_fit_is_said(panel):
    panel.load.value = "touring"
    assert words(panel.sentence).startswith("Load touring in place of as weighed")


def test_a_demo_log_becomes_a_row_and_is_put_away_again(panel):
    panel.choice.value = "gravel, rear"
    assert panel.axle.value == "rear"
    assert len(panel.now.rows) == 8
    assert panel.event.value == 7
    assert "On the log gravel.csv" in words(panel.sentence)
    assert "spike of" in words(panel.told)
    panel.choice.value = "none"
    assert len(panel.now.rows) == 7
    assert words(panel.told) == ""


def test_a_file_of_the_learners_own_in_other_units(panel, tmp_path):
    t = np.arange(0, 5, 0.002)
    own = tmp_path / "own.csv"
    x = 0.5 * np.sin(9 * t)
    rows = "\n".join(f"{1e3 * a:.0f}\t{b:.4f}" for a, b in zip(t, x, strict=True))
    own.write_text(f"# positive: bump\ntime [ms]\tdamper travel [in]\n{rows}\n")
    panel.path.value = f'"{own}"'
    assert panel.choice.value == "my own file"
    assert words(panel.trouble) == ""
    fastest = panel.now.rows[7].shares.fastest_bump
    assert fastest == pytest.approx(0.5 * 0.0254 * 9, rel=0.02)


def test_a_bad_file_gets_one_sentence_and_takes_nothing_away(panel, tmp_path):
    panel.choice.value = "highway, front"
    bad = tmp_path / "bad.csv"
    bad.write_text("time [s],damper travel [mm]\n0,1\n0,2\n")
    told = words(panel.sentence)
    for path, part in ((bad, "must rise"), (tmp_path / "nowhere.csv", "no such file")):
        panel.path.value = str(path)
        assert part in words(panel.trouble)
        assert "Traceback" not in panel.trouble.value
        assert words(panel.sentence) == told
        assert panel.logged.name == "highway.csv"


def test_measured_dampers_offer_the_clicks_that_were_measured():
    panel = zones_panel(demo.vehicle(), {"front": demo.damper("front")})
    assert panel.now.knee is None
    step = panel.controls["front", "low-speed bump"]
    assert set(step.slider.options) == {s[0] for s in demo.damper("front").settings}
    assert panel.axle.options == ("front",)


def test_a_rating_has_no_curve_to_run_and_an_axle_no_damper():
    with pytest.raises(LearnerError, match="give its dyno table"):
        zones_panel(demo.vehicle(), {"front": RatedDamper(900.0, 1500.0, 0.13)})
    with pytest.raises(LearnerError, match="No damper fits"):
        zones_panel(demo.vehicle(), {})


def test_blitted_equals_a_full_draw(panel):
    panel.choice.value = "street, rear"
    for control, end in ((panel.controls["split"], 0.02), (panel.controls["split"], 1.0)):
        control.take(end)
        assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM
    assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))


def test_every_demo_log_on_offer_is_there():
    for axle, name in zones.LOGS.values():
        assert f"sensor place: {axle}" in dataset(f"travel/{name}").read_text(encoding="utf-8")


def test_a_table_starts_as_found_wherever_it_tells_of_it_and_else_in_its_middle():
    table = read_dyno(dataset("dyno/wagon_three_adjuster.csv"))["front"]
    clicks = {"low-speed bump": 14, "high-speed bump": 5, "rebound": 9}
    axle = replace(demo.vehicle().axles["front"], as_found=clicks)
    steps = steps_of(table, axle)
    assert {name: step.value for name, step in steps.items()} == clicks
    assert list(steps["rebound"].slider.options) == [0, 6, 9, 12, 18, 24]
    few = {setting: curve for setting, curve in table.curves.items() if setting[0] < 14}
    closer = replace(table, curves=MappingProxyType(few))
    assert tuple(step.value for step in steps_of(closer, axle).values()) == hub(closer)
