"""What a screen reader is told of the panels: names, states, values, and words for each picture."""

import pytest

PANELS = ("stand", "sag", "settle", "bounce", "curve", "cutaway", "press", "zones", "corner",
          "response", "lean", "load", "sinking", "complaint", "compromise", "own",
          "handover")  # fmt: skip
# Of each panel: what has no name, no state, no words, or words that nobody is told of.
NAMELESS = """() => Array.from(document.querySelectorAll('.dl-panel'), panel => {
  const lacks = (selector, has) =>
      Array.from(panel.querySelectorAll(selector)).filter(part => !has(part));
  const found = [
    ...lacks('.noUi-handle', one => one.ariaLabel && one.ariaValueText),
    ...lacks('input, select, textarea', one => one.labels?.[0]?.textContent.trim()),
    ...lacks('button', one => one.textContent.trim()),
    ...lacks('.widget-toggle-button', one => one.ariaPressed || one.ariaExpanded),
    ...lacks('.widget-toggle-buttons', one => one.getAttribute('role') && one.ariaLabel),
    ...lacks('img', one => one.alt.length >= 15),
    ...lacks('svg', one => one.getAttribute('role') === 'img' && one.querySelector('title, desc')),
    ...lacks('th', one => one.textContent.trim()),
    ...lacks('svg desc', one => one.textContent !== panel.querySelector('img')?.alt),
    ...lacks('[role=status]', one => one.parentElement.closest('[aria-live=polite]')),
  ];
  if (!panel.ariaLabel) found.push(panel);
  return [panel.ariaLabel, found.map(part => part.outerHTML.slice(0, 120))];
})"""


@pytest.fixture
def page(open_panels):
    return open_panels(PANELS)


def test_each_panel_is_named_and_told_to_who_cannot_see_it(page):
    assert [told for told in page.evaluate(NAMELESS) if told[1]] == []
    clicks_are_told_not_places_in_a_list(page)
    a_switch_tells_that_it_is_pressed(page)
    a_check_is_named_and_a_step_tells_that_it_is_open(page)
    page.get_by_label("Job number").fill("77")  # one that no other test has played
    page.get_by_role("button", name="Take this job").click()
    page.get_by_role("group", name="Step of the job").wait_for()
    page.get_by_role("columnheader", name="seen or done last").wait_for()
    assert [told for told in page.evaluate(NAMELESS) if told[1]] == []


def clicks_are_told_not_places_in_a_list(page):
    panel = page.get_by_role("group", name="The first press on the stand")
    slider = panel.get_by_role("slider", name="Low-speed bump, out from closed, in clicks")
    box = panel.get_by_role("textbox", name="Low-speed bump, out from closed, in clicks")
    slider.focus()
    before = box.input_value()
    page.keyboard.press("ArrowRight")
    told = "([one, old]) => one.ariaValueText !== old"
    page.wait_for_function(told, arg=[slider.element_handle(), before])
    page.wait_for_function("([one, old]) => one.value !== old", arg=[box.element_handle(), before])
    assert slider.get_attribute("aria-valuetext") == box.input_value()


def a_switch_tells_that_it_is_pressed(page):
    panel = page.get_by_role("group", name="What the load does to a corner")
    panel.get_by_role("button", name="Projector size", pressed=False).press("Space")
    panel.get_by_role("button", name="Projector size", pressed=True).wait_for()


def a_check_is_named_and_a_step_tells_that_it_is_open(page):
    check = page.get_by_role("group", name="Are all four dampers dry?")
    check.get_by_role("button", name="right", pressed=False).press("Space")
    check.get_by_role("button", name="right", pressed=True).wait_for()
    panel = page.get_by_role("group", name="Your own vehicle")
    panel.get_by_role("button", name="2 Dampers", expanded=False).press("Enter")
    panel.get_by_role("button", name="2 Dampers", expanded=True).wait_for()
    panel.get_by_role("button", name="1 Vehicle", expanded=False).wait_for()
