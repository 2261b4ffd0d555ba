"""The complaint panel: checks hold it up, answers narrow it, words come before evidence."""

import html
import re
from dataclasses import replace
from types import MappingProxyType

import pytest

from dampinglab.panels import complaint as module
from dampinglab.panels.complaint import complaint_panel
from dampinglab.physics.damper import RatedDamper
from dampinglab.workshop import demo
from dampinglab.workshop.advice import advise
from dampinglab.workshop.complaint import COMPLAINTS, find
from dampinglab.workshop.gates import GATES


def words(widget):
    return html.unescape(re.sub("<[^>]+>", " ", widget.value)).replace("\xa0", " ").strip()


def shown(widget):
    return widget.layout.display != "none"


@pytest.fixture
def panel():
    return complaint_panel()


@pytest.fixture
def passed(panel):
    panel.all.click()
    return panel


def test_nothing_is_asked_before_every_check_is_right(panel):
    assert words(panel.next).startswith("Next: Is it safe to drive")
    assert not shown(panel.questions)
    for key, mark in panel.marks.items():
        assert not shown(panel.questions), key
        mark.value = "right"
    assert shown(panel.questions)
    assert words(panel.next) == f"All {len(GATES)} checks are right."
    assert not shown(panel.gates)
    panel.again.click()
    assert shown(panel.gates)


def test_a_failed_check_answers_and_stops_even_after_a_change_was_advised(passed):
    passed.axle.value, passed.load.value = "rear", "touring"
    passed.complaint.value = "floats"
    assert passed.chosen == ("floats", "rear", "rebound", -5)
    passed.marks["height"].value = "failed"
    assert words(passed.next) == GATES["height"].fails
    passed.marks["spring"].value = "failed"  # this one stops driving, so it answers first
    assert words(passed.next) == GATES["spring"].fails
    assert "dl-stop" in passed.next.value
    assert passed.chosen is None
    assert not shown(passed.questions)
    assert not shown(passed.result)


def test_answers_narrow_the_list_and_the_place_names_the_axle(passed):
    passed.asks["where"].value, passed.asks["when"].value = "rear", "after"
    offered = [key for _, key in passed.complaint.options[1:]]
    assert offered == list(find(when="after", where="rear"))
    assert words(passed.count).startswith(f"{len(offered)} of {len(COMPLAINTS)} complaints fit")
    assert passed.axle.value == "rear"
    passed.asks["where"].value = "one side"
    passed.asks["pace"].value = "slow"
    passed.asks["load"].value = "trailer"
    assert [key for _, key in passed.complaint.options[1:]] == ["bad hot", "one side"]


def test_a_chosen_complaint_stays_while_it_fits(passed):
    passed.complaint.value = "knock"
    passed.asks["pace"].value = "fast"
    assert passed.complaint.value == "knock"
    passed.asks["pace"].value = "slow"
    assert passed.complaint.value is None
    assert words(passed.answer) == ""


def test_no_click_cures_it_is_the_answer_and_stays_on_the_screen(passed):
    passed.complaint.value = "sway"
    assert words(passed.answer) == COMPLAINTS["sway"].instead
    assert "dl-stop" in passed.answer.value
    assert passed.picture.children == ()
    assert passed.chosen is None


def test_evidence_is_picture_sentence_price_and_warning(passed):
    passed.asks["where"].value, passed.load.value = "rear", "touring"
    passed.complaint.value = "floats"
    told = words(passed.answer)
    assert told.startswith(COMPLAINTS["floats"].instead)
    assert "Rear rebound: close by 5 clicks on both dampers, from 12 to 7 out" in told
    assert "rear may step out" in words(passed.price)
    assert "The price of the first step: " in words(passed.price)
    assert "Too much of it: " in words(passed.after)
    assert 'alt="Bars: change of the complaint' in passed.picture.children[0].value
    desk = len(passed.picture.children[0].value)
    passed.room.value = True
    assert len(passed.picture.children[0].value) > desk


def test_words_come_before_the_evidence(passed, monkeypatch):
    seen = []

    def advised(*given, **known):
        seen.append(words(passed.answer))
        return advise(*given, **known)

    monkeypatch.setattr(module, "advise", advised)
    passed.complaint.value = "sway"
    assert seen.pop() == COMPLAINTS["sway"].instead, "there is nothing to drive"
    passed.complaint.value = "floats"
    assert seen[0].startswith(COMPLAINTS["floats"].instead)
    assert "Working out" in seen[0]
    assert "Working out" not in words(passed.answer)


def test_a_complaint_of_one_axle_turns_to_that_axle(passed):
    assert passed.axle.value == "front"
    passed.complaint.value = "rear thrown up"
    assert passed.axle.value == "rear"
    assert passed.chosen[1] == "rear"


def test_own_vehicle_dampers_and_settings_are_used():
    utility, damper = demo.vehicle("utility"), demo.damper("rear", "utility_two_adjuster")
    settings = {"rear": {"bump": 4, "rebound": 10}}
    panel = complaint_panel(utility, {"rear": damper}, settings)
    panel.all.click()
    panel.axle.value = "rear"
    assert "bump 4 (8), rebound 10 (10)" in words(panel.stands)
    panel.complaint.value = "sharp, small"
    assert panel.chosen == ("sharp, small", "rear", "bump", 2)
    panel.axle.value = "front"
    assert "no curve by click is known" in words(panel.stands)
    assert "nothing is computed" in words(panel.answer)


def test_all_right_leaves_what_failed_and_the_list_says_choose_one():
    panel = complaint_panel()
    assert panel.complaint.label == "choose one"
    panel.marks["leaks"].value = "failed"
    panel.all.click()
    assert panel.answers()["leaks"] is False
    assert panel.answers()["unsafe"] is True
    assert "leaks" in words(panel.next)
    panel.marks["leaks"].value = "right"
    panel.complaint.value = "floats"
    panel.asks["when"].value = "during"
    assert (panel.complaint.value, panel.complaint.label) == (None, "choose one")


def test_a_rating_gives_the_trades_direction():
    rated = dict.fromkeys(("front", "rear"), RatedDamper(800.0, 1200.0, 0.13))
    panel = complaint_panel(uncounted(), rated)
    panel.all.click()
    panel.complaint.value = "floats"
    assert "The trade turns rebound, more" in words(panel.after)
    assert "or else low-speed bump, more" in words(panel.after)
    assert "These dampers may lack one of them" in words(panel.after)
    assert (panel.chosen, panel.picture.children) == (None, ())


def uncounted():
    """The demo wagon with no clicks on its sheet."""
    axles = {n: replace(axle, as_found=None) for n, axle in demo.vehicle().axles.items()}
    return replace(demo.vehicle(), axles=MappingProxyType(axles))


@pytest.mark.parametrize("there", [{"rebound": 5}, {}])
def test_of_a_rating_with_counted_clicks_only_what_is_there_is_advised(there):
    rated = dict.fromkeys(("front", "rear"), RatedDamper(800.0, 1200.0, 0.13))
    panel = complaint_panel(uncounted(), rated, dict.fromkeys(("front", "rear"), there))
    panel.all.click()
    panel.complaint.value = "sharp, small"
    assert "The trade turns" not in words(panel.after)
    assert "no adjuster for it: no click cures this here" in words(panel.after)
    panel.complaint.value = "floats"
    assert ("The trade turns rebound, more" in words(panel.after)) == bool(there)
    assert "else low-speed bump" not in words(panel.after)
    assert "This damper has no low-speed bump adjuster" in words(panel.after)


def test_a_setting_that_the_damper_cannot_have_gets_one_sentence():
    panel = complaint_panel(demo.vehicle(), *demo_dampers({"front": {"rebound": 99}}))
    panel.all.click()
    panel.complaint.value = "floats"
    assert "needs" in words(panel.answer) or "past the last" in words(panel.answer)
    assert panel.chosen is None


def demo_dampers(settings):
    return {axle: demo.hydraulic(axle) for axle in ("front", "rear")}, settings


def test_a_vehicle_of_one_axle_with_stand_in_dampers_starts_in_the_middle():
    wagon = demo.vehicle()
    front = MappingProxyType({"front": wagon.axles["front"]})
    panel = complaint_panel(type(wagon)("Own front", front))
    assert "rebound 12 (12)" in words(panel.stands)
    assert list(panel.axle.options) == ["front"]
