"""Curve and cutaway in a real browser: keyboard, typed twin, words, alternative text, projector."""

import pytest

from tests.browser.conftest import CUT

SOURCE = {
    "curve": "from dampinglab.panels import curve_panel\ncurve_panel()",
    "cutaway": "from dampinglab.panels import cutaway_panel\ncutaway_panel()",
}
PICTURE = {"curve": "img.dl-picture", "cutaway": "svg.dl-moving"}
# Words of a drawing that leave it, or run into each other.
CLASH = """panel => { const texts = Array.from(panel.querySelectorAll('svg.dl-moving text'));
  const boxes = texts.map(text => [text.getBoundingClientRect(), text.textContent]);
  const frame = texts.length && texts[0].ownerSVGElement.getBoundingClientRect();
  const out = boxes.filter(([box]) => box.left < frame.left - 1 || box.right > frame.right + 1
                                    || box.bottom > frame.bottom + 1).map(([, words]) => words);
  boxes.forEach(([one, words], i) => boxes.slice(i + 1).forEach(([other, more]) => {
    if (one.left < other.right && other.left < one.right && one.top < other.bottom - 3
        && other.top < one.bottom - 3) out.push(words + ' / ' + more); }));
  return out; }"""
MOVED = """panel => Array.from(panel.querySelectorAll('svg.dl-moving path[class]'),
  part => { const style = getComputedStyle(part);
            return style.transform + style.strokeDashoffset; }).join()"""


class Shown:
    """A panel on the page, and what can be read from it."""

    def __init__(self, page, name):
        self.page, self.name = page, name
        self.panel = page.locator(".dl-panel").first
        self.panel.locator(PICTURE[name]).wait_for()

    @property
    def words(self):
        return self.panel.locator(".dl-words").inner_text()

    @property
    def alternative(self):
        if self.name == "curve":
            return self.panel.locator("img.dl-picture").get_attribute("alt")
        return self.panel.locator("svg.dl-moving desc").text_content()

    def wait_for_words(self, part):
        self.panel.locator(".dl-words").filter(has_text=part).wait_for()

    def press_arrow(self, number, key="ArrowLeft"):
        self.panel.locator(".noUi-handle").nth(number).focus()
        self.page.keyboard.press(key)

    def type(self, label, text):
        box = self.panel.get_by_role("textbox", name=label)
        box.fill(text)
        box.press("Enter")

    def click(self, name):
        self.panel.get_by_role("button", name=name).click()

    def is_whole(self):
        assert self.panel.evaluate(CUT) == []
        assert self.panel.evaluate(CLASH) == []


@pytest.fixture
def show(open_notebook):
    def open_panel(name, **window):
        notebook = open_notebook([SOURCE[name]], **window)
        assert notebook.run_all()
        return Shown(notebook.page, name)

    return open_panel


@pytest.mark.parametrize(("name", "slider"), [("curve", 0), ("cutaway", 1)])
def test_keyboard_words_alternative_text_and_projector(show, name, slider):
    shown = show(name)
    assert shown.words.startswith("No change")
    told = shown.alternative
    shown.press_arrow(slider)
    shown.wait_for_words("Low-speed bump from 9 to 8 clicks out")
    assert shown.alternative != told
    shown.click("Keep this as before")
    shown.wait_for_words("No change")
    shown.is_whole()
    shown.click("Projector size")
    shown.page.set_viewport_size({"width": 1920, "height": 1080})
    shown.page.wait_for_timeout(300)
    shown.is_whole()


def test_a_stroke_is_typed_and_read_at_the_wheel(show):
    shown = show("curve")
    shown.type("Stroke, either way", "40")
    shown.wait_for_words("Stroke from 20 mm at 2 Hz to 40 mm at 2 Hz")
    shown.click("At the wheel")
    shown.panel.locator("img[alt^='Force against wheel speed']").wait_for()


def test_the_other_direction_has_another_way_and_oil_moves_until_asked_not_to(show):
    shown = show("cutaway")
    image = shown.page.get_by_role("img", name="A damper cut open")
    assert "low-speed needle" in image.aria_snapshot()

    def places(times):
        found = set()
        for _ in range(times):
            found.add(shown.panel.evaluate(MOVED))
            shown.page.wait_for_timeout(90)
        return len(found)

    assert places(6) > 2
    shown.click("Rebound: shaft out")
    shown.wait_for_words("low-speed bump and high-speed bump do nothing in rebound")
    assert "check valve" in shown.alternative
    assert places(6) > 2
    shown.page.emulate_media(reduced_motion="reduce")
    shown.page.wait_for_timeout(100)
    assert places(3) == 1
