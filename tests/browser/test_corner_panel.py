"""The corner on the road, in a real browser: it drives, and clicks move picture and words."""

import pytest

MOVED = """async () => {
  const body = document.querySelector('.dl-moving g[class$=b]'), seen = new Set();
  for (let i = 0; i < 30; i++) {
    await new Promise(done => requestAnimationFrame(done));
    seen.add(new DOMMatrix(getComputedStyle(body).transform).f);
  }
  return seen.size;
}"""


@pytest.fixture
def shown(show_panel):
    return show_panel("corner_panel")


def test_it_drives_and_follows_clicks_road_and_projector(shown):
    shown.wait_for("No change. On gravel")
    shown.page.wait_for_timeout(2500)  # past the ramp of the road
    assert shown.page.evaluate(MOVED) > 5
    old = shown.picture()
    shown.slide("Rebound", "ArrowLeft")
    shown.wait_for("Rebound from 12 to 11 clicks out")
    shown.wait_for_another(old)
    assert shown.picture()[1] != old[1]
    assert "dotted: the body before" in shown.panel.locator("svg.dl-moving").inner_html()
    shown.choose("Road", "pothole")
    shown.wait_for("On the pothole at 40 km/h")
    shown.widen()
    assert shown.cut() == []
