"""Trade figures that stand in a lesson's prose are those that the package works with."""

import math

import pytest

from dampinglab.course import key
from dampinglab.course.handout import FOLDED
from dampinglab.data import folder
from dampinglab.panels import zones_panel
from dampinglab.physics import load, oscillator
from dampinglab.workshop.bounce import BANDS

WITH_ANSWERS = [f"{number:02}" for number in range(9)]


def answers(number):
    (text,) = (FOLDED.findall(text)[0] for text in key.texts(number) if FOLDED.search(text))
    return text


def test_the_bands_of_a_bounce_test_are_the_packages():
    prose = (folder("lessons") / "02-damping-ratio.ipynb").read_text(encoding="utf-8")
    worn, fine, over = BANDS
    assert f"| below {worn.high:g} | worn" in prose
    assert f"| {fine.low:g} to {fine.high:g} | nothing speaks against the damper |" in prose
    assert f"| above {over.low:g}, or no second swing | overdamped" in prose


@pytest.mark.parametrize("number", WITH_ANSWERS)
def test_each_question_at_the_end_of_a_lesson_has_its_answer(number):
    (text,) = (text for text in key.texts(number) if FOLDED.search(text))
    asked, told = FOLDED.sub("", text).count("\n- "), answers(number).count("\n- ")
    assert asked == told == 3


def test_numbers_in_those_answers_are_the_models():
    falls = 1 - math.sqrt(1 / 1.2)
    half = oscillator.ratio_from_decrement(oscillator.log_decrement(1, 0.5))
    assert f"{oscillator.frequency_from_deflection(0.1):.2f} times" in answers("01")
    assert f"about {100 * falls:.0f} %: the root of 1 ÷ 1.2 is {1 - falls:.2f}" in answers("01")
    assert f"gives {half:.2f}. That is below {BANDS[0].high:g}" in answers("02")
    assert f"About {0.30 / math.sqrt(1.5):.2f}" in answers("02")
    assert f"({load.SPRING_SHARE * 105:.0f} mm)" in answers("08")  # of the 105 mm asked about
    assert f"0.3 ÷ 0.6 = {0.3 / 0.6:g} m/s" in answers("05")


def test_the_pothole_is_where_time_and_energy_differ_most():
    gaps = {
        row.name: row.shares.time_slow - row.shares.energy_slow for row in zones_panel().now.rows
    }
    assert max(gaps, key=gaps.get).startswith("pothole")
    assert answers("05").startswith("\n\n- The pothole")
