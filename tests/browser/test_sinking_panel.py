"""Sinking, in a real browser: rebound by keyboard, depth typed, axle, projector."""

import pytest

CELLS = ["from dampinglab.panels import sinking_panel", "sinking_panel()"]
WORDS = "document.querySelector('.dl-words').innerText.replaceAll('\\u00a0', ' ')"
WAIT = f"words => {WORDS}.includes(words)"
CUT = """panel => Array.from(panel.querySelectorAll('.lm-Widget.widget-label, .dl-words, button'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def page(open_notebook):
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    notebook.page.wait_for_function(WAIT, arg="No change. On corrugation of 20 mm")
    return notebook.page


def test_it_follows_rebound_road_axle_and_projector(page):
    panel = page.locator(".dl-panel").first
    image = panel.locator("img.dl-picture")
    old = image.get_attribute("src"), image.get_attribute("alt")
    rebound = panel.locator(".dl-control").filter(has_text="Rebound")
    rebound.locator(".noUi-handle").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function(WAIT, arg="Rebound from 18 to 17 clicks out")
    new = image.get_attribute("src"), image.get_attribute("alt")
    assert new[0] != old[0]
    assert new[1] != old[1]
    box = panel.locator(".dl-control").filter(has_text="Depth").locator("input")
    box.fill("35")
    box.press("Enter")
    page.wait_for_function(WAIT, arg="corrugation of 35 mm every 0.90 m")
    panel.get_by_label("Axle", exact=True).select_option("rear")
    page.wait_for_function(WAIT, arg="rear axle as weighed in place of front axle")
    page.set_viewport_size({"width": 1920, "height": 1080})
    wide = image.bounding_box()["width"]
    panel.get_by_role("button", name="Projector size").click()
    page.wait_for_function(
        "wide => document.querySelector('img.dl-picture').getBoundingClientRect().width > wide",
        arg=1.2 * wide,
    )
    assert panel.evaluate(CUT) == []
