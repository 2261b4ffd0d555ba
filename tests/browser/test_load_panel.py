"""Load it, in a real browser: load by keyboard, pressure typed, axle, refusal, projector."""

import pytest

CELLS = ["from dampinglab.panels import load_panel", "load_panel()"]


@pytest.fixture
def shown(show_panel):
    return show_panel("load_panel")


def test_it_follows_load_pressure_axle_and_projector(shown):
    shown.wait_for("No change.")
    old = shown.picture()
    shown.slide("Load on the axle", "ArrowRight")
    shown.wait_for("Load on the axle from 0 kg to 10 kg")
    shown.wait_for_another(old)
    assert shown.picture()[1] != old[1]
    shown.type("Tyre pressure", "0")
    shown.panel.locator(".dl-note").filter(has_text="0 kPa is outside").wait_for()
    shown.type("Tyre pressure", "1.8 bar")
    shown.wait_for("and tyre pressure from 240 kPa to 180 kPa")
    assert "kg on this corner" in shown.panel.locator("svg.dl-moving").inner_html()
    shown.choose("Axle", "front")
    shown.wait_for("The front dampers stay at")
    shown.widen()
    assert shown.cut() == []


def test_keys_belong_to_what_has_the_focus(open_notebook):
    """Arrow keys choose in a list, and go from cell to cell where the cell has the focus."""
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    page = notebook.page
    axle = page.locator(".dl-panel").first.get_by_label("Axle", exact=True)
    axle.focus()
    page.keyboard.press("ArrowUp")
    assert axle.input_value() == "front"
    notebook.cell(0).locator(".jp-InputPrompt").click()
    page.keyboard.press("Escape")
    page.keyboard.press("ArrowDown")
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.content.activeCellIndex === 1"
    )
