"""Sinking, in a real browser: rebound by keyboard, depth typed, axle, projector."""

import pytest


@pytest.fixture
def shown(show_panel):
    return show_panel("sinking_panel")


def test_it_follows_rebound_road_axle_and_projector(shown):
    shown.wait_for("No change. On corrugation of 20 mm")
    old = shown.picture()
    shown.slide("Rebound", "ArrowLeft")
    shown.wait_for("Rebound from 18 to 17 clicks out")
    shown.wait_for_another(old)
    assert shown.picture()[1] != old[1]
    shown.type("Depth", "35")
    shown.wait_for("corrugation of 35 mm (before: 20 mm) every 0.90 m")
    shown.choose("Axle", "rear")
    shown.wait_for("rear axle as weighed in place of front axle")
    shown.widen()
    assert shown.cut() == []
