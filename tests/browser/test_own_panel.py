"""The working tool in a real browser: one sitting to a printed card, and on again a week later."""

import shutil

import pytest

from dampinglab.workshop.card import read_card
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.day import history
from tests.browser.conftest import IDLE

CELLS = ["from dampinglab.panels import own_panel", 'own_panel("next job")']
RESTART = "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()"
OPENED = "key => key.closest('.dl-step').children[1].offsetHeight > 0"
INSIDE = "document.querySelector('.dl-own').innerText.replaceAll('\\u00a0', ' ')"
IN_SIGHT = """key => { const at = key.getBoundingClientRect();
                       return key.contains(document.elementFromPoint(at.x + 9, at.y + 9)); }"""


class Sitting:
    """The panel on the page, and a hand on it."""

    def __init__(self, notebook):
        assert notebook.run_all()
        self.notebook, self.page = notebook, notebook.page
        self.panel = self.page.locator(".dl-own").first
        self.panel.wait_for()

    def open(self, step):
        key = self.panel.get_by_role("button", name=step, exact=True)
        if "mod-active" not in key.get_attribute("class"):
            key.click()
        for state in (OPENED, IN_SIGHT):
            self.page.wait_for_function(state, arg=key.element_handle())

    def type(self, label, text):
        box = self.panel.get_by_label(label, exact=True)
        box.fill(text)
        box.press("Tab")

    def pick(self, label, option):
        self.panel.get_by_label(label, exact=True).select_option(option)

    def press(self, label):
        self.panel.get_by_role("button", name=label, exact=True).click()

    def wait_for(self, words):
        self.page.wait_for_function(f"words => {INSIDE}.includes(words)", arg=words)

    def weigh_and_rate(self):
        self.open("1 Vehicle")
        self.type("Vehicle", "Zoë's wagon")
        for corner, mass in zip(CORNERS, (638, 632, 533, 537), strict=True):
            self.type(f"Mass on the wheel, {corner}, in kg", str(mass))
        self.wait_for("Enough to go on")
        self.open("2 Dampers")
        self.pick("What is known of them", "a rating: two numbers")
        for axle, bump, rebound in (("front", "700", "1100"), ("rear", "400", "700")):
            self.type(f"Bump force, {axle}, in N", bump)
            self.type(f"Rebound force, {axle}, in N", rebound)
            self.type(f"at a shaft speed of, {axle}, in mm/s", "0.13 m/s")

    def count(self):
        for axle in ("front", "rear"):
            self.pick(f"Adjusters, {axle}", "bump, rebound")
        for corner in CORNERS:
            self.type(f"bump, {corner}: clicks out of all", "6 of 12")
            self.type(f"rebound, {corner}: clicks out of all", "12 of 24")
        self.press("Record these as found")
        self.wait_for("Recorded in trials.jsonl")

    def turn(self, axle, clicks):
        self.open("7 Trials")
        self.pick("Axle", axle)
        self.pick("Adjuster", "rebound")
        self.pick("Way", "in, firmer")
        self.type("Clicks to turn", clicks)
        self.press("Turn both dampers and record it")
        self.wait_for(f"{axle.capitalize()} rebound {clicks} clicks in")

    def print_card(self, felt, name):
        self.open("8 Card")
        self.type("What you felt", felt)
        self.press("Save the card")
        self.wait_for("Saved as card.json")
        self.press("Save the page as PDF")
        self.wait_for(name)


@pytest.fixture
def job(course):
    made = course.folder / "next job"
    made.mkdir()
    shutil.copy(course.folder / "demo/bounce/good_corner.csv", made)
    return made


def test_from_an_empty_sheet_to_a_card_and_on_again_a_week_later(open_notebook, job):
    notebook = open_notebook(CELLS)
    today = Sitting(notebook)
    today.weigh_and_rate()
    today.count()
    today.open("3 Bounce test")
    today.type("Record, front left", "good_corner.csv")
    today.wait_for("sheet and damper foretell")
    today.open("5 First setting")
    today.wait_for("START AT bump 6, rebound 12")
    today.print_card("It floats.", "The page is setting-card-")
    first = sorted(job.glob("*.pdf"))
    assert read_card(job / "card.json").felt == "It floats."

    today.page.wait_for_function(IDLE)
    today.page.evaluate(RESTART)
    later = Sitting(notebook)
    later.wait_for("Recorded: front left")
    later.turn("rear", "4")
    later.open("8 Card")
    felt = later.panel.get_by_label("What you felt", exact=True)
    assert felt.input_value() == "It floats."
    later.print_card("It floats less.", "-2.pdf")
    assert len(first) == 1
    assert len(sorted(job.glob("*.pdf"))) == 2
    card, day = read_card(job / "card.json"), history(job / "trials.jsonl")
    assert (card.vehicle, card.changed) == ("Zoë's wagon", "Rear rebound 4 clicks in, firmer.")
    assert card.final.clicks == day.setting
    assert day.setting["rear right"]["rebound"] == 8
    assert "Traceback" not in later.page.locator("body").inner_text()
