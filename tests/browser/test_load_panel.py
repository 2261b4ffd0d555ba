"""Load it, in a real browser: load by keyboard, pressure typed, axle, refusal, projector."""

import pytest

CELLS = ["from dampinglab.panels import load_panel", "load_panel()"]
WORDS = "document.querySelector('.dl-words').innerText.replaceAll('\\u00a0', ' ')"
WAIT = f"words => {WORDS}.includes(words)"
CUT = """panel => Array.from(panel.querySelectorAll('.lm-Widget.widget-label, .dl-words, button'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def page(open_notebook):
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    notebook.page.wait_for_function(WAIT, arg="No change.")
    return notebook.page


def test_it_follows_load_pressure_axle_and_projector(page):
    panel = page.locator(".dl-panel").first
    image = panel.locator("img.dl-picture")
    old = image.get_attribute("src"), image.get_attribute("alt")
    panel.locator(".dl-control").filter(has_text="Load on the axle").locator(".noUi-handle").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function(WAIT, arg="Load on the axle from 0 kg to 10 kg")
    new = image.get_attribute("src"), image.get_attribute("alt")
    assert new[0] != old[0]
    assert new[1] != old[1]
    box = panel.locator(".dl-control").filter(has_text="Tyre pressure").locator("input")
    box.fill("0")
    box.press("Enter")
    panel.locator(".dl-note").filter(has_text="0 kPa is outside").wait_for()
    box.fill("1.8 bar")
    box.press("Enter")
    page.wait_for_function(WAIT, arg="and tyre pressure from 240 kPa to 180 kPa")
    assert "kg on this corner" in panel.locator("svg.dl-moving").inner_html()
    panel.get_by_label("Axle", exact=True).select_option("front")
    panel.get_by_text("The front dampers stay at").wait_for()
    page.set_viewport_size({"width": 1920, "height": 1080})
    wide = image.bounding_box()["width"]
    panel.get_by_role("button", name="Projector size").click()
    page.wait_for_function(
        "wide => document.querySelector('img.dl-picture').getBoundingClientRect().width > wide",
        arg=1.2 * wide,
    )
    assert panel.evaluate(CUT) == []


def test_keys_belong_to_what_has_the_focus(open_notebook):
    """Arrow keys choose in a list, and no letter typed there cuts a cell of the lesson."""
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    page = notebook.page
    axle = page.locator(".dl-panel").first.get_by_label("Axle", exact=True)
    axle.focus()
    page.keyboard.press("ArrowUp")
    assert axle.input_value() == "front"
    for key in ("x", "d", "d"):
        page.keyboard.press(key)
    assert len(notebook.sources()) == len(CELLS)
    notebook.cell(0).locator(".jp-InputPrompt").click()
    page.keyboard.press("Escape")
    page.keyboard.press("ArrowDown")
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.content.activeCellIndex === 1"
    )
