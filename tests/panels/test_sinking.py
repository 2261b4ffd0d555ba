"""The sinking panel: its curve is that of the runs, and only what moved is driven anew."""

import html
import re

import numpy as np
import pytest

from dampinglab.errors import LearnerError
from dampinglab.figures import look
from dampinglab.panels import sinking as module
from dampinglab.panels import sinking_panel
from dampinglab.physics.road import corrugation
from dampinglab.physics.sinking import sink
from dampinglab.workshop import demo
from tests.panels.conftest import full


@pytest.fixture
def panel():
    return sinking_panel()


def words(widget):
    return html.unescape(re.sub("<[^>]+>", "", widget.value)).replace("\u00a0", " ")


def test_it_starts_as_found_with_no_change(panel):
    assert words(panel.sentence).startswith("No change. On corrugation of 20 mm every 0.90 m")
    assert dict(panel.now.setting)["rebound"] == 18
    assert "less than 3 mm is not felt" in words(panel.told)


def test_the_curve_is_that_of_the_runs(panel):
    panel.axle.value, panel.load.value = "rear", "touring"
    panel.controls["depth"].take(30)
    panel.controls["wavelength"].take(0.7)
    panel.controls["speed"].take(50)
    panel.controls["rear", "rebound"].take(4)
    corner, damper = demo.vehicle().corner("rear", "touring"), demo.hydraulic("rear")
    settings = [(9, 5, n) for n in range(damper.adjusters[2].clicks + 1)]
    made = sink(
        corner, damper, settings, corrugation(0.03, 0.7, 50 / 3.6, 2 + 20 * 0.7 * 3.6 / 50, dt=2e-3)
    )
    assert np.array_equal(panel.now.height, made.height)
    assert panel.now.at("height") == made.height[4]
    assert f"{1e3 * abs(made.height[4]):.1f} mm" in words(panel.sentence)


def test_turning_rebound_drives_nothing_anew(panel, monkeypatch):
    monkeypatch.setattr(module, "sink", None)
    panel.controls["front", "rebound"].take(3)
    assert words(panel.sentence).startswith("Rebound from 18 to 3 clicks out.")
    assert "lower than before. Felt." in words(panel.sentence)
    panel.keep.click()
    assert words(panel.sentence).startswith("No change.")


def test_turning_bump_moves_the_curve(panel):
    old = panel.now.height
    panel.controls["front", "low-speed bump"].take(2)
    assert np.all(panel.now.height > old)
    assert words(panel.sentence).startswith("Low-speed bump from 14 to 2 clicks out.")


def test_each_axle_shows_its_own_clicks(panel):
    panel.axle.value = "rear"
    assert words(panel.sentence).startswith("Rear axle as weighed in place of front axle as")
    shown = [child for child in panel.grid.children if child in panel.steps["rear"].values()]
    assert len(shown) == 3
    assert not set(panel.grid.children) & set(panel.steps["front"].values())


def test_measured_dampers_offer_what_was_measured():
    dampers = {axle: demo.damper(axle, "utility_two_adjuster") for axle in ("front", "rear")}
    panel = sinking_panel(demo.vehicle("utility"), dampers)
    measured = sorted({setting[1] for setting in dampers["front"].settings})
    assert list(panel.now.clicks) == measured
    assert np.all(np.diff(panel.now.height) > 0)


def test_a_damper_without_rebound_clicks_gets_a_sentence():
    with pytest.raises(LearnerError, match="No damper with a rebound adjuster"):
        sinking_panel(demo.vehicle(), {})


def test_blitted_equals_a_full_draw(panel):
    for clicks in (0, 24, 10):
        panel.controls["front", "rebound"].take(clicks)
        assert np.array_equal(panel.picture.pixels().copy(), full(panel.picture))
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM
