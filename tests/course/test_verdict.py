"""Every answer gets the outcome and the words that fit it."""

import math
from dataclasses import replace

import numpy as np
import pytest

from dampinglab.course.exercise import Slip
from dampinglab.course.verdict import BLANK, RIGHT, SLIP, UNREAD, WRONG, judge

RIGHT_HZ = 10 / (2 * math.pi)  # 400 kg on 40 N/mm


@pytest.fixture
def task(examples):
    return examples["7.1"].task()


@pytest.mark.parametrize(
    ("answer", "outcome", "words"),
    [
        (..., BLANK, "Answer in Hz"),
        (None, BLANK, "Answer in Hz"),
        ("", BLANK, "Answer in Hz"),
        (" ... ", BLANK, "Answer in Hz"),
        (RIGHT_HZ, RIGHT, "1.592 Hz"),
        (np.float64(RIGHT_HZ), RIGHT, "1.592 Hz"),
        (np.array([RIGHT_HZ]), RIGHT, "1.592 Hz"),
        ("1,59", RIGHT, "1.592 Hz"),
        ("1.59 hz", RIGHT, "1.592 Hz"),
        ("10 rad/s", RIGHT, "1.592 Hz"),
        ("8/5", RIGHT, "1.592 Hz"),
        (10, SLIP, "divide by 2π"),
        ("62,8 rad/s", SLIP, "divide by 2π"),
        (15.915, SLIP, "square root"),
        (-1.59, WRONG, "the sign is not"),
        (1.6, RIGHT, ""),
        (1.62, WRONG, "rounded on the way"),
        (1.55, WRONG, "rounded on the way"),
        (2, WRONG, "The way is right, but the number is rounded too far: give three"),
        ("“1,59 Hz”", RIGHT, "1.592 Hz"),
        (0.0159, WRONG, "the decimal point"),
        (159.15, WRONG, "the decimal point"),
        (0.7958, WRONG, "factor of two"),
        (3.183, WRONG, "factor of two"),
        (0.7, WRONG, ""),
        ("1 600 kg", UNREAD, "mass"),
        ("1,250", UNREAD, "two ways"),
        ("about one", UNREAD, "number"),
        (math.nan, UNREAD, "number"),
        (math.inf, UNREAD, "number"),
        (True, UNREAD, "number"),
        ([1, 2], UNREAD, "number"),
        (np.array([1.0, 2.0]), UNREAD, "number"),
        (1 + 2j, UNREAD, "number"),
        (print, UNREAD, "number"),
    ],
)  # fmt: skip
def test_a_number(task, answer, outcome, words):
    verdict = judge(task, answer)
    assert verdict.outcome == outcome, verdict
    assert words in verdict.says


def test_only_a_right_answer_is_told_the_answer(task):
    for answer in (..., 10, -1.59, 1.62, 0.0159, 0.7, 3.183, "x", "10 kg", "1,250"):
        said = judge(task, answer).says
        assert "1.59" not in said
        assert "1.6" not in said


def test_a_bare_number_in_another_unit_is_told_which(task):
    clean = replace(task, slips=())
    assert "right in rad/s, and it was read in Hz" in judge(clean, 10).says
    stiffness = replace(task, slips=(), answer=40e3, quantity="stiffness", unit="N/m")
    assert "right in N/mm" in judge(stiffness, 40).says
    assert judge(stiffness, "40 N/mm").outcome == RIGHT
    ratio = replace(task, slips=(), answer=0.35, quantity="ratio", unit="")
    assert "right in %, and it was read as a plain number" in judge(ratio, 35).says
    assert judge(ratio, "35 %").outcome == RIGHT


def test_an_answer_rounded_to_one_or_two_figures_is_told_so(task):
    coarse = replace(task, slips=(), answer=1.35, tolerance=0.01)
    said = "The way is right, but the number is rounded too far: give three figures."
    assert [judge(coarse, typed).says == said for typed in (1, 1.4, "1,4 Hz", 1.3, 1.45)] == [
        True, True, True, False, False,
    ]  # fmt: skip


def test_a_slip_rounded_to_two_figures_keeps_its_reply(task):
    known = {"square": 0.1925, "half": 7.42, "like it": 7.38, "by the mark": 1.44}
    slips = tuple(Slip(name, answer, f"{name} it is") for name, answer in known.items())
    slipped = replace(task, slips=slips, answer=1.375, tolerance=0.002)
    said = {typed: judge(slipped, typed).says for typed in (0.19, 0.2, 7.4, 1.4, "0,19 Hz")}
    assert said[0.19] == said["0,19 Hz"] == "square it is"
    assert said[0.2] != "square it is", "one figure fits too much"
    assert " it is" not in said[7.4], "two slips become the same"
    assert "rounded" in said[1.4], "the answer itself, rounded, comes first"


@pytest.mark.parametrize("tolerance", [0.0, 0.001])
@pytest.mark.parametrize("measured", [("clicks", "clicks"), ("ratio", "")])
def test_a_count_has_words_of_its_own(task, tolerance, measured):
    quantity, unit = measured
    count = replace(task, slips=(), answer=12.0, quantity=quantity, unit=unit, tolerance=tolerance)
    said = {typed: judge(count, typed).says for typed in (13, 24, 6, 120, 1200, -12, 11.5, 10)}
    assert said[13].startswith("Close, but a count is exact")
    assert "counted twice" in said[24]
    assert said[24] == said[6]
    assert "a nought too many" in said[120]
    assert said[-12] == said[11.5] == "A count is a whole number, never below zero."
    assert said[10] == said[1200] == "", "rounded, or in %: of no use for a count"
    assert not [words for words in said.values() if "decimal point" in words or "pair" in words]


def test_a_part_of_a_click_is_no_count(task):
    part = replace(task, slips=(), answer=3.21, quantity="clicks", unit="clicks", tolerance=0.02)
    assert "give three figures" in judge(part, 3).says


def test_a_near_miss_of_a_reading_has_its_own_words(task):
    reading = replace(task, slips=(), tolerance=0.1, close="Close: read again.")
    assert judge(reading, RIGHT_HZ * 1.2).says == "Close: read again."
    assert judge(reading, RIGHT_HZ * 1.5).says != "Close: read again."


def test_where_the_conversion_is_the_exercise_only_its_unit_is_taken(task):
    force = replace(task, slips=(), answer=245.17, quantity="force", unit="N", only_unit=True)
    for typed in ("25 kgf", "0.245 kN", "245.17 kgf"):
        verdict = judge(force, typed)
        assert verdict.outcome == WRONG
        assert verdict.says == "Turning it into N is the exercise. Answer in N."
    assert judge(force, "245.2 N").outcome == judge(force, 245.2).outcome == RIGHT
    assert "name its unit" not in judge(force, 25).says
    assert judge(replace(force, only_unit=False), "25 kgf").outcome == RIGHT


def test_clicks_are_counted_without_tolerance(task):
    clicks = replace(task, slips=(), answer=12, quantity="clicks", unit="clicks", tolerance=0.0)
    assert judge(clicks, "12 clicks").says == "12 clicks."
    assert judge(clicks, 13).outcome == WRONG
    assert judge(clicks, 12.0).outcome == RIGHT


@pytest.mark.parametrize(
    ("answer", "outcome", "words"),
    [
        ("a", RIGHT, "a, falls"),
        (" A) ", RIGHT, "a, falls"),
        ("falls", RIGHT, "a, falls"),
        ("b", SLIP, "moves slower"),
        ("Rises.", SLIP, "moves slower"),
        ("c", UNREAD, "Answer with a or b."),
        (1.5, UNREAD, "Answer with a or b."),
        (..., BLANK, "Answer with a or b."),
    ],
)
def test_a_choice(examples, answer, outcome, words):
    verdict = judge(examples["7.2"].task(), answer)
    assert verdict.outcome == outcome
    assert words in verdict.says
