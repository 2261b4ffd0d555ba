"""The bounce test in a real browser: markers by keyboard and typed, the fit, another record."""

import pytest


@pytest.fixture
def shown(show_panel):
    return show_panel("bounce_panel")


def test_an_arrow_key_moves_a_marker_and_the_words(shown):
    old, words = shown.picture(), shown.panel.locator(".dl-words").inner_text()
    assert words.startswith("No change")
    shown.panel.locator(".noUi-handle").first.focus()
    shown.page.keyboard.press("ArrowLeft")
    shown.wait_for_another(old)
    shown.wait_for("the markers read before")
    assert shown.picture()[1] != old[1]


def test_a_learner_reads_two_peaks_and_asks_the_fit(shown):
    shown.type("Marker 1", "2,37")
    shown.type("Marker 2", "3.13")
    shown.wait_for("decrement is 1.5")
    assert "Well read" not in shown.panel.inner_text()
    shown.panel.get_by_role("button", name="Compare with the fit").click()
    shown.wait_for("Well read")
    shown.wait_for("common practice (no source)")


def test_each_record_opens_with_its_own_markers_in_order(shown):
    for name in ("clicks nearly closed", "a worn damper", "a trailer pushed too hard"):
        old = shown.picture()
        shown.panel.locator("select").select_option(name)
        shown.wait_for_another(old)
        shown.page.wait_for_timeout(900)  # time for an echo of the old places
        assert shown.panel.locator(".dl-words").inner_text().startswith("No change: from")


def test_another_record_and_a_file_that_is_not_there(shown):
    old = shown.picture()
    shown.panel.locator("select").select_option("a trailer pushed too hard")
    shown.wait_for_another(old)
    shown.wait_for("hard_push.csv, recorded on the drawbar box")
    box = shown.panel.get_by_placeholder("my_bounce.csv")
    box.fill("nowhere.csv")
    box.press("Enter")
    shown.wait_for("nowhere.csv: there is no such file")
    assert "Traceback" not in shown.page.locator("body").inner_text()
    assert "hard_push.csv" in shown.panel.inner_text(), "the record before was lost"


def test_the_projector_switch_makes_the_picture_wider(shown):
    shown.widen()
