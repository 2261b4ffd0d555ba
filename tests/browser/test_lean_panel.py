"""Lean and dive, in a real browser: event, clicks, the moving vehicle, projector."""

import pytest

CUT = """panel => Array.from(panel.querySelectorAll(
                    '.lm-Widget.widget-label, .dl-words, button, img, input'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""
PLACE = """() => { const body = document.querySelector('.dl-moving g[class$=nb]');
                   return getComputedStyle(body).transform; }"""


@pytest.fixture
def shown(show_panel):
    return show_panel("lean_panel")


def test_event_and_clicks_move_picture_and_words(shown):
    shown.wait_for("No change. Steered to 0.4 g in 0.2 s")
    old = shown.picture()
    rebound = shown.panel.locator(".dl-control").filter(has_text="Rear rebound")
    rebound.locator(".noUi-handle").focus()
    shown.page.keyboard.press("ArrowLeft")
    shown.wait_for_another(old)
    shown.wait_for("Rear rebound from 12 to 11 clicks out")
    assert shown.picture()[1] != old[1]
    box = shown.panel.locator(".dl-control").filter(has_text="Front low-speed bump")
    box.locator("input").fill("2")
    box.locator("input").press("Enter")
    shown.wait_for("Front low-speed bump from 14 to 2 and rear rebound from 12 to 11 clicks out")
    for button, words in (("Brake", "the nose dives"), ("Waves", "the body swings")):
        shown.panel.get_by_role("button", name=button).click()
        shown.wait_for(words)
    assert shown.panel.evaluate(CUT) == []


def test_the_vehicle_moves_by_itself(shown):
    places = set()
    for _ in range(8):
        places.add(shown.page.evaluate(PLACE))
        shown.page.wait_for_timeout(100)
    assert len(places) > 4


def test_the_projector_switch_makes_the_picture_wider(shown):
    shown.page.set_viewport_size({"width": 1920, "height": 1080})
    old, wide = shown.picture(), shown.image.bounding_box()["width"]
    shown.panel.get_by_role("button", name="Projector size").click()
    shown.wait_for_another(old)
    assert shown.image.bounding_box()["width"] > 1.2 * wide
    assert shown.panel.evaluate(CUT) == []
