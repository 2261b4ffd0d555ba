"""The handover job in a real browser, by keyboard where a hand would be at the keys."""

import os

import pytest

CELLS = ["from dampinglab.panels import handover_panel", *["handover_panel(2)"] * 2]
# In how many frames the panel said that it makes the vehicle.
WATCH = """() => { window.made = 0; (function look() {
  if (document.querySelector('.dl-panel')?.innerText.includes('Making the vehicle')) made += 1;
  requestAnimationFrame(look); })(); }"""
# Words that do not fit in their box, and whatever reaches beyond the panel; tables may scroll.
CUT = """panel => Array.from(panel.querySelectorAll(
                    '.lm-Widget.widget-label, .dl-words, .dl-fixed, button, img, select, th, td'))
                .concat(panel)
                .filter(part => part.scrollWidth > part.clientWidth + 1
                    || (!part.closest('.dl-scores') && part.getBoundingClientRect().right
                                               > panel.getBoundingClientRect().right + 1))
                .map(part => part.innerText)"""
WHOLE = f"() => !({CUT})(Array.from(document.querySelectorAll('.dl-panel')).at(-1)).length"
CHECKS = ("unsafe", "pressure", "mass", "height", "mounts", "leaks", "rod", "gas")


@pytest.fixture
def notebook(open_notebook):
    opened = open_notebook(CELLS, width=int(os.environ.get("WIDE", "1280")))
    opened.run(0)
    opened.page.evaluate(WATCH)
    opened.run(1)
    opened.page.get_by_role("button", name="Look", exact=True).wait_for()
    return opened


def picture(panel, name):
    """Keep a picture of the panel where SHOTS says, to be looked at."""
    if shots := os.environ.get("SHOTS"):
        size = panel.page.viewport_size
        panel.page.set_viewport_size({"width": size["width"], "height": 2600})
        panel.page.wait_for_timeout(500)
        panel.screenshot(path=f"{shots}-{name}.png")
        panel.page.set_viewport_size(size)


def test_a_job_from_the_words_to_hand_over_and_taken_up_by_another_panel(notebook, wait_for):
    page, panel = notebook.page, notebook.page.locator(".dl-panel").last

    def press(name):
        panel.get_by_role("button", name=name, exact=True).focus()
        page.keyboard.press("Enter")

    def step(name):
        panel.get_by_role("button", name=name).click()

    def choose(label, value):
        panel.get_by_label(label, exact=True).select_option(value)

    wait_for(page, "keeps moving up and down after a rise")
    for index in range(len(CHECKS)):
        panel.get_by_label("Check", exact=True).select_option(index=index)
        press("Look")
        wait_for(page, f"Looked: {CHECKS[index]}")
    assert page.evaluate("made") > 0, "no frame said that the vehicle is made"
    assert page.evaluate("document.activeElement.innerText") == "Look"  # a press keeps the focus
    wait_for(page, "✗ NOT in order")
    press("Mend")
    wait_for(page, "Gas refilled")
    panel.get_by_label("Check", exact=True).select_option(index=10)
    press("Look")
    wait_for(page, "Looked: sides")
    step("2 Drive and turn")
    image = panel.locator("img.dl-picture")
    old = image.get_attribute("src")
    press("Drive, three passes")
    wait_for(page, "Drive 1\\. Worst first")
    assert image.get_attribute("src") != old
    choose("Adjuster", "rebound")
    panel.get_by_label("Clicks", exact=True).fill("5")
    page.keyboard.press("Tab")
    press("In, firmer")
    wait_for(page, "5 clicks in, firmer, both sides")
    press("In, firmer")
    wait_for(page, "One change at a time")
    notebook.run(2)  # what the workbook holds is all that it knows
    page.locator(".dl-panel").nth(1).wait_for()
    wait_for(page, "5 clicks in, firmer, both sides. 208 minutes")
    step("2 Drive and turn")
    press("Drive, three passes")
    wait_for(page, "Drive 2\\.")
    picture(panel, "drive")
    step("What was done")
    picture(panel, "history")
    step("1 Look")
    picture(panel, "look")
    step("3 Hand over")
    press("Hand back")
    wait_for(page, "Choose all four things")
    choose("What was felt", "moves on after a rise")
    choose("What was changed", "clicks, and part, tyre or load")
    choose("What is given up for it", "nothing")
    choose("What was not fixed", "nothing")
    press("Hand back")
    wait_for(page, "What was wrong: a damper that lost its gas")
    assert "limit" in image.get_attribute("alt")
    panel.get_by_role("button", name="Projector size").click()
    wait_for(page, "inside all limits")
    page.wait_for_function(WHOLE)  # a loaded machine draws the new size late
    picture(panel, "room")
    panel.get_by_role("button", name="Projector size").click()
    page.set_viewport_size({"width": 640, "height": 900})  # a page at 200 %
    for name, part in (("1 Look", "Mend"), ("2 Drive and turn", "Undo"), ("3 Hand over", "Refuse")):
        step(name)
        panel.get_by_role("button", name=part, exact=True).wait_for()
        page.wait_for_function(WHOLE)
