"""Each panel in a real browser: keyboard, typed twin, words, alternative text, projector."""

import re

import pytest

from tests.browser.conftest import CUT

UNCHANGED = r"^No change|No click was turned\.$"
PANELS = {
    "stand": "from dampinglab.panels import stand_panel\nstand_panel()",
    "sag": "from dampinglab.panels import sag_panel\nsag_panel()",
    "settle": "from dampinglab.panels import settle_panel\nsettle_panel()",
}
CHANGED = "([image, old]) => image.src !== old && image.complete && image.naturalWidth > 0"
PLACES = """panel => Array.from(panel.querySelectorAll('.dl-moving g[class]'),
                               part => part.getBoundingClientRect().top)"""


class Shown:
    """A panel on the page, and what can be read from it."""

    def __init__(self, page):
        self.page = page
        self.panel = page.locator(".dl-panel").first
        self.image = self.panel.locator("img.dl-picture")
        self.image.wait_for()

    @property
    def words(self):
        return self.panel.locator(".dl-words").inner_text()

    @property
    def alternative(self):
        return self.image.get_attribute("alt")

    @property
    def source(self):
        return self.image.get_attribute("src")

    def handle(self, number):
        return self.panel.locator(".noUi-handle").nth(number)

    def control(self, label):
        return self.panel.locator(".dl-control").filter(has_text=label)

    def box(self, label):
        return self.panel.get_by_role("textbox", name=label)

    def wait_for_picture(self, old):
        self.page.wait_for_function(
            f"old => (({CHANGED}))([document.querySelector('img.dl-picture'), old])", arg=old
        )

    def wait_for_words(self, condition):
        words = "document.querySelector('.dl-words').innerText"
        self.page.wait_for_function(f"() => (text => {condition})({words})")

    def button(self, name):
        return self.panel.get_by_role("button", name=name)

    def type(self, label, text):
        self.box(label).fill(text)
        self.box(label).press("Enter")


@pytest.fixture
def show(open_notebook):
    def open_panel(name, **window):
        notebook = open_notebook([PANELS[name]], **window)
        assert notebook.run_all()
        return Shown(notebook.page)

    return open_panel


@pytest.mark.parametrize("name", PANELS)
def test_keyboard_words_motion_and_projector(show, name):
    shown = show(name)
    assert re.search(UNCHANGED, shown.words)
    an_arrow_key_moves_slider_picture_and_words(shown)
    keeping_makes_it_no_change_again(shown)
    masses_move_and_stand_still_for_who_asked(shown)
    nothing_is_cut_off(shown)
    shown.page.set_viewport_size({"width": 1920, "height": 1080})
    nothing_is_cut_off(shown)
    the_projector_switch_enlarges(shown)
    nothing_is_cut_off(shown)


def an_arrow_key_moves_slider_picture_and_words(shown):
    handle, old, told = shown.handle(0), shown.source, shown.alternative
    seen = handle.get_attribute("aria-valuenow")
    handle.focus()
    for _ in range(2):  # the smallest step may be too small for the words
        shown.page.keyboard.press("ArrowRight")
    shown.wait_for_picture(old)
    shown.wait_for_words(f"!/{UNCHANGED}/.test(text)")
    assert handle.get_attribute("aria-valuenow") != seen
    assert shown.alternative != told


def keeping_makes_it_no_change_again(shown):
    shown.button("Keep this as before").click()
    shown.wait_for_words(f"/{UNCHANGED}/.test(text)")


def masses_move_and_stand_still_for_who_asked(shown):
    def watch(times):
        places = set()
        for _ in range(times):
            places.add(tuple(shown.panel.evaluate(PLACES)))
            shown.page.wait_for_timeout(130)
        return len(places)

    assert watch(8) > 3
    shown.page.emulate_media(reduced_motion="reduce")
    shown.page.wait_for_timeout(100)
    assert watch(3) == 1


def nothing_is_cut_off(shown):
    assert shown.panel.evaluate(CUT) == []


def the_projector_switch_enlarges(shown):
    size = "() => parseFloat(getComputedStyle(document.querySelector('.dl-words')).fontSize)"
    old, small, wide = shown.source, shown.page.evaluate(size), shown.image.bounding_box()["width"]
    shown.button("Projector size").click()
    shown.wait_for_picture(old)
    assert shown.page.evaluate(size) > 1.3 * small
    assert shown.image.bounding_box()["width"] > 1.2 * wide


def test_the_typed_twin_keeps_what_was_typed_or_says_what_is_wrong(show):
    shown = show("sag")
    old = shown.source
    shown.type("Spring rate", "105,5")
    shown.wait_for_picture(old)
    shown.page.wait_for_timeout(500)  # time for a rounded echo of the slider, were it heeded
    assert shown.box("Spring rate").input_value() == "105.5"
    told = shown.words
    for text, part in (("9000", "is outside"), ("1,250", "two ways"), ("soft", "number")):
        shown.type("Spring rate", text)
        complaint = shown.control("Spring rate").get_by_role("alert").filter(has_text=part)
        complaint.wait_for()
        assert complaint.inner_text().endswith(".")
        assert shown.box("Spring rate").input_value() == text
    assert shown.words == told
    assert "Traceback" not in shown.page.locator("body").inner_text()


def test_a_learner_reads_the_damping_ratio_off_two_peaks(show):
    shown = show("settle")
    shown.type("Marker 1", "0")
    shown.button("Compare with the model").click()
    shown.panel.get_by_text("above the line of rest").wait_for()
    shown.type("Marker 2", "0,76")
    shown.panel.get_by_text("Well read").wait_for()


def test_another_adjuster_is_offered_at_its_own_clicks(show):
    shown = show("stand")
    shown.panel.get_by_role("button", name="rebound", exact=True).click()
    shown.control("Rebound, out from closed").wait_for()
    old = shown.source
    shown.handle(0).focus()
    shown.page.keyboard.press("ArrowRight")
    shown.wait_for_picture(old)
    shown.wait_for_words("text.startsWith('Rebound from')")
