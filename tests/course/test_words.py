"""An exercise in words."""

import re

import pytest

from dampinglab.course import words
from dampinglab.course.bank import exercises
from dampinglab.course.verdict import RIGHT, judge


def test_a_statement_says_how_to_answer(examples):
    said = words.statement(examples["7.1"])
    assert said.startswith("**Exercise 7.1: A mass on a spring.** A mass of 400 kg")
    assert said.endswith("Answer in Hz, or write another unit behind the number.")
    choice = words.statement(examples["7.2"])
    assert "- **a**: falls\n- **b**: rises\n\nAnswer with a or b." in choice


def test_a_solution_has_words_formula_number_unit_and_source(examples):
    exercise = examples["7.1"]
    assert words.solution(exercise, exercise.task()).splitlines() == [
        "**Worked answer: 1.592 Hz.**",
        "",
        "1. Stiffness in SI: k = 40000 N/m",
        "2. Natural frequency: f = √(k / m) / (2π) = 1.592 Hz",
        "",
        "Source: This course's own example.",
    ]


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (4.0, "", "4"),
        (100.0, "", "100"),
        (0.25, "", "0.2500"),
        (3.0, "clicks", "3 clicks"),
        (40.0, "kg", "40.00 kg"),
        (float("inf"), "", "inf"),
    ],
)
def test_counts_are_shown_whole_and_measures_in_four_figures(value, unit, said):
    assert words.shown(value, unit) == said


def test_a_number_below_zero_has_a_true_minus_in_the_key_and_is_still_typed_with_a_hyphen():
    exercise = exercises()["9.10"]
    solved = words.solution(exercise, exercise.task())
    assert "**Worked answer: \N{MINUS SIGN}7.042 %.**" in solved
    assert not re.search(r"(?<![\w.)])-\d", solved), solved
    assert words.shown(-4.0, "clicks") == "\N{MINUS SIGN}4 clicks"
    assert words.shown(-4.0, "") == "\N{MINUS SIGN}4"
    assert words.written(exercise.task(), exercise.task().answer).startswith("-7.04")


def test_no_count_of_the_bank_has_decimals():
    for key, said in (("10.4", "4"), ("10.6", "100"), ("9.4", "10")):
        exercise = exercises()[key]
        solved = words.solution(exercise, exercise.task())
        assert f"= {said}\n" in solved or f": {said}\n" in solved
        assert not re.search(r"\d\.0+(?!\d)", solved), solved


@pytest.mark.parametrize("seed", [None, 1, 2, 3])
def test_the_answer_as_written_is_right(examples, seed):
    for exercise in examples.values():
        task = exercise.task(seed)
        assert judge(task, words.written(task, task.answer)).outcome == RIGHT


def test_html_knows_slanted_words_and_leaves_a_lone_star():
    assert "<p>x <i>so it is</i>, 3 * 4 * 5</p>" in words.html("x *so it is*, 3 * 4 * 5").replace(
        ' style="margin: 6px 0"', ""
    )


def test_a_table_is_shown_as_one(examples):
    said = words.html("Which?\n\n| s | **a** |\n|---|---|\n| P | -180 |")
    assert said.count("<tr>") == 2
    assert "|" not in said
    assert "---" not in said
    assert "<b>a</b></th>" in said
    assert ">-180</td>" in said


def test_html_knows_paragraphs_bold_lists_and_nothing_else():
    said = words.html("One **bold** & <b>\nword\n\n- x\n- **y**\n\n1. one\n2. two")
    assert said.replace(' style="margin: 6px 0"', "") == (
        "<p>One <b>bold</b> &amp; &lt;b&gt; word</p>"
        "<ul><li>x</li><li><b>y</b></li></ul><ol><li>one</li><li>two</li></ol>"
    )
