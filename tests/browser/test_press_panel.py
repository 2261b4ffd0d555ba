"""The press-and-return panel in a real browser: keyboard, typed twin, choices, motion, words."""

import re

import pytest

from tests.browser.conftest import CUT

CELL = "from dampinglab.panels import press_panel\npress_panel()"
TOPS = """panel => Array.from(panel.querySelectorAll('.dl-moving g[class]'),
                              part => Math.round(part.getBoundingClientRect().top))"""


@pytest.fixture
def panel(open_notebook):
    notebook = open_notebook([CELL])
    assert notebook.run_all()
    shown = notebook.page.locator(".dl-panel").first
    shown.locator("img.dl-picture").wait_for()
    return shown


def words(panel):
    return panel.locator(".dl-words").inner_text().replace("\N{NO-BREAK SPACE}", " ")


def wait_for(panel, pattern):
    """Wait until the words match; a number and its unit are held together by another space."""
    panel.locator(".dl-words").filter(has_text=re.compile(pattern.replace(" ", r"\s"))).wait_for()


def source(panel):
    return panel.locator("img.dl-picture").get_attribute("src")


def test_keyboard_choices_and_typed_twin_change_picture_and_words(panel):
    assert words(panel).startswith("No change")
    old = source(panel)
    an_arrow_key_turns_a(panel)
    assert source(panel) != old
    panel.get_by_role("button", name="Set B like A").click()
    wait_for(panel, "^No change")
    the_lever_tells_newtons(panel)
    rebound_tells_the_return(panel)
    a_typed_number_is_taken_or_answered(panel)
    assert "Traceback" not in panel.page.locator("body").inner_text()


def an_arrow_key_turns_a(panel):
    panel.locator(".noUi-handle").first.focus()
    for _ in range(6):
        panel.page.keyboard.press("ArrowLeft")
    wait_for(panel, r"^A has low-speed bump \d clicks out, B 9")


def the_lever_tells_newtons(panel):
    panel.get_by_role("button", name="Drive by lever").click()
    wait_for(panel, "the lever takes")
    panel.get_by_role("textbox", name="Shaft speed").wait_for()
    assert not panel.get_by_role("textbox", name="Push").is_visible()


def rebound_tells_the_return(panel):
    panel.get_by_role("button", name="rebound", exact=True).click()
    wait_for(panel, "^No change")
    panel.locator(".noUi-handle").first.focus()
    for _ in range(6):
        panel.page.keyboard.press("ArrowLeft")
    wait_for(panel, r"^A has rebound \d+ clicks out, B 12: the return takes")


def a_typed_number_is_taken_or_answered(panel):
    box = panel.get_by_role("textbox", name="Shaft speed")
    box.fill("0,5")
    box.press("Enter")
    panel.page.wait_for_timeout(500)
    assert box.input_value() == "0.5"
    box.fill("500")
    box.press("Enter")
    panel.get_by_role("alert").filter(has_text="outside").wait_for()


def test_it_moves_stands_still_for_who_asked_and_nothing_is_cut_off(panel):
    seen = set()
    for _ in range(12):
        seen.add(tuple(panel.evaluate(TOPS)))
        panel.page.wait_for_timeout(250)
    assert len(seen) > 4
    panel.page.emulate_media(reduced_motion="reduce")
    panel.page.wait_for_timeout(100)
    assert len({tuple(panel.evaluate(TOPS)) for _ in range(3)}) == 1
    assert panel.evaluate(CUT) == []
    panel.page.set_viewport_size({"width": 1920, "height": 1080})
    panel.get_by_role("button", name="Projector size").click()
    panel.page.wait_for_timeout(500)
    assert panel.evaluate(CUT) == []
