"""Slider and typed twin: one number, kept exact, and one plain sentence for what is refused."""

import re

import pytest

from dampinglab.panels.controls import Number, Step, around


@pytest.fixture
def spring():
    return Number("Spring rate", "N/mm", 61.54, 30, 120, 1)


@pytest.fixture
def clicks():
    return Step("Rebound, out from closed", "clicks", (0, 6, 12), 6)


def heard(control):
    calls = []
    control.on_change(lambda: calls.append(control.value))
    return calls


def complaint(control):
    shown = control.note.layout.display != "none"
    return re.sub("<[^>]+>", "", control.note.value) if shown else ""


def test_the_start_is_kept_exactly_though_the_slider_has_steps(spring):
    assert spring.value == pytest.approx(61540)
    assert spring.slider.value == 62
    assert spring.typed.value == "61.54"


def test_an_echo_of_the_rounded_slider_changes_nothing(spring):
    calls = heard(spring)
    spring.typed.value = "72.3"
    spring.slider.value = 72.0  # what a browser sends back
    spring.slider.value = 72.00000000000001
    assert spring.value == pytest.approx(72300)
    assert calls == [pytest.approx(72300)]


def test_sliding_writes_the_typed_twin_and_tells(spring):
    calls = heard(spring)
    spring.slider.value = 80.0
    assert spring.typed.value == "80"
    assert calls == [pytest.approx(80000)]


@pytest.mark.parametrize("text", ["72.5", "72,5", " 72.5 N/mm", "72500 N/m", "145/2"])
def test_typed_numbers_are_read_as_people_write_them(spring, text):
    spring.typed.value = text
    assert spring.value == pytest.approx(72500)
    assert spring.typed.value == "72.5"
    assert complaint(spring) == ""


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("300", "300 N/mm is outside 30 to 120 N/mm: type a number between them."),
        ("1,250", "two ways"),
        ("stiff", "number"),
        ("", "Nothing was typed."),
        (" ", "Nothing was typed."),
        ("70 kg", "mass"),
        ("nan", "number"),
    ],
)
def test_what_cannot_be_taken_gets_one_sentence_and_changes_nothing(spring, text, part):
    calls = heard(spring)
    spring.typed.value = text
    assert part in complaint(spring)
    assert complaint(spring).endswith(".")
    assert spring.value == pytest.approx(61540)
    assert spring.typed.value == text, "what was typed is left there to be mended"
    assert calls == []


def test_the_complaint_goes_when_the_number_is_mended_or_the_slider_moved(spring):
    spring.typed.value = "300"
    spring.typed.value = "61.54"
    assert complaint(spring) == ""
    spring.typed.value = "300"
    spring.slider.value = 90.0
    assert complaint(spring) == ""
    assert spring.typed.value == "90"


def test_a_number_without_unit_reads_plain_numbers_only():
    ratio = Number("Motion ratio", "", 0.6, 0.3, 1.1, 0.01)
    ratio.typed.value = "0,75"
    assert ratio.value == 0.75
    ratio.typed.value = "0.8 m"
    assert complaint(ratio)
    assert ratio.value == 0.75


@pytest.mark.parametrize("value", [0.34, 9.9, 55.77, 111.5, 476.0, 1000.0])
def test_a_range_around_a_value_holds_its_half_and_its_double(value):
    start, low, high = around(value)
    assert start == pytest.approx(value, rel=1e-3)
    assert 0.8 * value / 2 < low <= value / 2
    assert 2 * value <= high < 1.2 * 2 * value


def test_only_measured_clicks_are_taken(clicks):
    calls = heard(clicks)
    clicks.typed.value = "7"
    assert complaint(clicks) == (
        "Rebound, out from closed can be 0, 6, 12 here; 7 is not among them."
    )
    clicks.typed.value = "12 clicks"
    assert clicks.slider.value == clicks.value == 12
    assert calls == [12]


def test_another_offer_renames_and_stays_silent(clicks):
    calls = heard(clicks)
    clicks.offer("Bump, out from closed", (0, 3, 9), 3)
    assert (clicks.value, clicks.typed.value, clicks.slider.value) == (3, "3", 3)
    assert clicks.name.value == clicks.slider.tooltip == "Bump, out from closed"
    assert calls == []
    clicks.slider.value = 9
    assert calls == [9]


def test_slider_and_box_have_spoken_names(spring):
    assert spring.slider.tooltip == "Spring rate"
    assert spring.typed.description == "Spring rate, in N/mm"
