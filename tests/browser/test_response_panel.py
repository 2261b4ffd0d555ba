"""What damping can and cannot change, in a real browser: keyboard, typed mass, projector."""

import pytest

CELLS = ["from dampinglab.panels import response_panel", "response_panel()"]
INSIDE = "document.querySelector('.dl-panel').innerText.replaceAll('\\u00a0', ' ')"
CUT = """panel => Array.from(panel.querySelectorAll(
                    '.lm-Widget.widget-label, .dl-words, button, img, input'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def page(open_notebook):
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    notebook.page.locator(".dl-panel img.dl-picture").first.wait_for()
    return notebook.page


def wait_for(page, words):
    page.wait_for_function(f"words => {INSIDE}.includes(words)", arg=words)


def test_ratio_response_mass_and_projector_move_picture_and_words(page):
    panel = page.locator(".dl-panel").first
    image = panel.locator("img.dl-picture")
    wait_for(page, "No change. At 9.4 Hz every damper")
    old = image.get_attribute("src"), image.get_attribute("alt")
    panel.locator(".dl-control").filter(has_text="Damping ratio").locator(".noUi-handle").focus()
    page.keyboard.press("ArrowRight")
    wait_for(page, "Damping ratio from 0.30 to 0.31")
    assert (image.get_attribute("src"), image.get_attribute("alt")) != old
    panel.get_by_label("Show", exact=True).select_option("wheel travel")
    wait_for(page, "give the same wheel travel")
    box = panel.locator(".dl-control").filter(has_text="Body mass").locator("input")
    box.fill("700")
    box.press("Enter")
    wait_for(page, "body mass from 560 kg to 700 kg")
    assert panel.evaluate(CUT) == []
    page.set_viewport_size({"width": 1920, "height": 1080})
    wide = image.bounding_box()["width"]
    panel.get_by_role("button", name="Projector size").click()
    page.wait_for_function(
        "wide => document.querySelector('img.dl-picture').clientWidth > 1.2 * wide", arg=wide
    )
    assert panel.evaluate(CUT) == []
