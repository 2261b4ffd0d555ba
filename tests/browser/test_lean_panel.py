"""Lean and dive, in a real browser: event, clicks, the moving vehicle, projector."""

import pytest

PLACE = """() => { const body = document.querySelector('.dl-moving g[class$=nb]');
                   return getComputedStyle(body).transform; }"""


@pytest.fixture
def shown(show_panel):
    return show_panel("lean_panel")


def test_event_and_clicks_move_picture_and_words(shown):
    shown.wait_for("No change. Steered to 0.4 g in 0.2 s")
    old = shown.picture()
    shown.slide("Rear rebound", "ArrowLeft")
    shown.wait_for_another(old)
    shown.wait_for("Rear rebound from 12 to 11 clicks out")
    assert shown.picture()[1] != old[1]
    shown.type("Front low-speed bump", "2")
    shown.wait_for("Front low-speed bump from 14 to 2 and rear rebound from 12 to 11 clicks out")
    for button, words in (("Brake", "the nose dives"), ("Waves", "the body swings")):
        shown.panel.get_by_role("button", name=button).click()
        shown.wait_for(words)
    assert shown.cut() == []


def test_the_vehicle_moves_by_itself(shown):
    places = set()
    for _ in range(8):
        places.add(shown.page.evaluate(PLACE))
        shown.page.wait_for_timeout(100)
    assert len(places) > 4


def test_the_projector_switch_makes_the_picture_wider(shown):
    shown.widen()
    assert shown.cut() == []
