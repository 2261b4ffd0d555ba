"""The corner on the road, in a real browser: it drives, and clicks move picture and words."""

import pytest

CELLS = ["from dampinglab.panels import corner_panel", "corner_panel()"]
WORDS = "document.querySelector('.dl-words').innerText.replaceAll('\\u00a0', ' ')"
WAIT = f"words => {WORDS}.includes(words)"
MOVED = """async () => {
  const body = document.querySelector('.dl-moving g[class$=b]'), seen = new Set();
  for (let i = 0; i < 30; i++) {
    await new Promise(done => requestAnimationFrame(done));
    seen.add(new DOMMatrix(getComputedStyle(body).transform).f);
  }
  return seen.size;
}"""
CUT = """panel => Array.from(panel.querySelectorAll('.lm-Widget.widget-label, .dl-words, button'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""


@pytest.fixture
def page(open_notebook):
    notebook = open_notebook(CELLS)
    assert notebook.run_all()
    notebook.page.wait_for_function(WAIT, arg="No change. On gravel")
    return notebook.page


def test_it_drives_and_follows_clicks_road_and_projector(page):
    panel = page.locator(".dl-panel").first
    page.wait_for_timeout(2500)  # past the ramp of the road
    assert page.evaluate(MOVED) > 5
    image = panel.locator("img.dl-picture")
    old = image.get_attribute("src"), image.get_attribute("alt")
    rebound = panel.locator(".dl-control").filter(has_text="Rebound")
    rebound.locator(".noUi-handle").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function(WAIT, arg="Rebound from 12 to 11 clicks out")
    new = image.get_attribute("src"), image.get_attribute("alt")
    assert new[0] != old[0]
    assert new[1] != old[1]
    assert "dotted: the body before" in panel.locator("svg.dl-moving").inner_html()
    panel.get_by_label("Road", exact=True).select_option("pothole")
    page.wait_for_function(WAIT, arg="On the pothole at 40 km/h")
    page.set_viewport_size({"width": 1920, "height": 1080})
    wide = image.bounding_box()["width"]
    panel.get_by_role("button", name="Projector size").click()
    page.wait_for_function(
        "wide => document.querySelector('img.dl-picture').getBoundingClientRect().width > wide",
        arg=1.2 * wide,
    )
    assert panel.evaluate(CUT) == []
