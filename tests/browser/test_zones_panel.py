"""From the road to the shaft, in a real browser: split, axle, logs, projector."""

import pytest

CUT = """panel => Array.from(panel.querySelectorAll(
                    '.lm-Widget.widget-label, .dl-words, button, img, input'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def shown(show_panel):
    return show_panel("zones_panel")


def test_split_event_axle_and_clicks_move_picture_and_words(shown):
    shown.wait_for("No change. On gravel at 60 km/h")
    old = shown.picture()
    shown.control("Split, slow").locator(".noUi-handle").focus()
    shown.page.keyboard.press("ArrowRight")
    shown.wait_for_another(old)
    shown.wait_for("Split from 0.10 to 0.11 m/s")
    assert shown.picture()[1] != old[1]
    shown.choose("Road event", "pothole, 40 km/h")
    shown.wait_for("On a pothole at 40 km/h")
    box = shown.control("Low-speed bump").locator("input")
    box.fill("2")
    box.press("Enter")
    shown.wait_for("Low-speed bump from 14 to 2 clicks out")
    shown.choose("Axle", "rear")
    shown.wait_for("moves 0.90 of the wheel")
    assert shown.panel.evaluate(CUT) == []


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
    shown.page.set_viewport_size({"width": 1920, "height": 1080})
    old, wide = shown.picture(), shown.image.bounding_box()["width"]
    shown.panel.get_by_role("button", name="Projector size").click()
    shown.wait_for_another(old)
    assert shown.image.bounding_box()["width"] > 1.2 * wide
    assert shown.panel.evaluate(CUT) == []
