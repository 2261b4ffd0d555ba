"""From complaint to change in a real browser: checks by keyboard, questions, evidence."""

import pytest

from tests.browser.test_compromise_panel import CUT as NARROW

CELLS = ["from dampinglab.panels import complaint_panel", "panel = complaint_panel()\npanel"]
CUT = """panel => Array.from(panel.querySelectorAll(
                    '.widget-label, .dl-words, .dl-fixed, button, img, select'))
                .filter(part => part.offsetParent && part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def notebook(open_notebook):
    opened = open_notebook([*CELLS, "panel.chosen"])
    opened.run(0)
    opened.run(1)
    opened.page.locator(".dl-gates").first.wait_for()
    return opened


FOCUS = """words => [document.activeElement.labels?.[0], document.activeElement]
                    .some(part => part?.textContent === words)"""
# How many pictures the panel had in each frame in which it said that it works.
WATCH = """panel => { window.worked = []; (function look() {
  if (panel.textContent.includes('Working out')) worked.push(panel.querySelectorAll('img').length);
  requestAnimationFrame(look); })(); }"""


def test_checks_then_questions_then_one_change(notebook, wait_for):
    page, panel = notebook.page, notebook.page.locator(".dl-panel").first
    wait_for(page, "Next: Is it safe to drive")
    assert not panel.get_by_label("Complaint", exact=True).is_visible()
    panel.get_by_role("button", name="failed").nth(8).focus()
    page.keyboard.press("Enter")
    wait_for(page, "Stop, do not drive on a cracked spring")
    panel.get_by_role("button", name="I have checked all of these").focus()
    page.keyboard.press("Space")
    wait_for(page, "Stop, do not drive on a cracked spring")  # a failed one stays failed
    spring = panel.get_by_role("group", name="Are the springs whole")
    spring.get_by_role("button", name="right").press("Enter")
    wait_for(page, "All 11 checks are right")
    the_focus_goes_on_from_what_a_press_took_away(page)
    panel.get_by_label("When is it felt", exact=True).select_option("after it")
    panel.get_by_label("Where", exact=True).select_option("rear")
    wait_for(page, "[1-9] of 23 complaints fit")
    panel.get_by_label("Computed for", exact=True).select_option("touring")
    floats = "It keeps moving up and down after a rise"
    panel.evaluate(WATCH)
    panel.get_by_label("Complaint", exact=True).select_option(floats)
    wait_for(page, "Rear rebound: close by 5 clicks on both dampers, from 12 to 7")
    wait_for(page, "rear may step out")
    image = panel.locator("img").first
    image.wait_for()
    assert panel.evaluate(NARROW) == []
    assert page.evaluate("worked[1]") == 0, "no frame said that it works"
    assert "all it is paid with" in image.get_attribute("alt")
    old = image.get_attribute("src")
    panel.get_by_role("button", name="Projector size").click()
    page.wait_for_function("old => document.querySelector('.dl-panel img')?.src != old", arg=old)
    image.wait_for()
    assert panel.evaluate(CUT) == panel.evaluate(NARROW) == []
    notebook.run(2)
    notebook.wait_for(2, "('floats', 'rear', 'rebound', -5)")


def the_focus_goes_on_from_what_a_press_took_away(page):
    page.wait_for_function(FOCUS, arg="When is it felt")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    page.wait_for_function(FOCUS, arg="not yet")  # the first of the list that opened
    page.get_by_role("button", name="I have checked all of these").press("Enter")
    page.wait_for_function(FOCUS, arg="When is it felt")
