"""From the road to the shaft, in a real browser: split, axle, logs, projector."""

import pytest


@pytest.fixture
def shown(show_panel):
    return show_panel("zones_panel")


def test_split_event_axle_and_clicks_move_picture_and_words(shown):
    shown.wait_for("No change. On gravel at 60 km/h")
    old = shown.picture()
    shown.slide("Split, slow", "ArrowRight")
    shown.wait_for_another(old)
    shown.wait_for("Split from 0.10 to 0.11 m/s")
    assert shown.picture()[1] != old[1]
    shown.choose("Road event", "pothole, 40 km/h")
    shown.wait_for("On a pothole at 40 km/h")
    shown.type("Low-speed bump", "2")
    shown.wait_for("Low-speed bump from 14 to 2 clicks out")
    shown.choose("Axle", "rear")
    shown.wait_for("moves 0.90 of the wheel")
    assert shown.cut() == []


def test_a_demo_log_and_a_file_that_is_not_there(shown):
    shown.choose("Travel log", "gravel, rear")
    shown.wait_for("On the log gravel.csv")
    shown.wait_for("spike of")
    box = shown.panel.get_by_placeholder("my_log.csv")
    box.fill("nowhere.csv")
    box.press("Enter")
    shown.wait_for("nowhere.csv: there is no such file")
    assert "Traceback" not in shown.page.locator("body").inner_text()
    shown.wait_for("On the log gravel.csv")


def test_the_projector_switch_makes_the_picture_wider(shown):
    shown.widen()
    assert shown.cut() == []
