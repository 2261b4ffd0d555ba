"""The map of the course."""

import re
from graphlib import TopologicalSorter

import pytest

from dampinglab import data
from dampinglab.course import bank, lessons
from dampinglab.course.lessons import LESSONS, find
from dampinglab.errors import LearnerError


def test_no_lesson_needs_itself_or_one_that_is_not_there():
    needs = {lesson.number: lesson.needs for lesson in LESSONS}
    order = list(TopologicalSorter(needs).static_order())  # raises on a circle
    assert sorted(order) == sorted(needs)


def test_a_lesson_needs_only_earlier_ones():
    for lesson in LESSONS:
        assert all(need < lesson.number for need in lesson.needs)


def test_the_map_and_the_folder_agree():
    there = {path.name for path in data.folder("lessons").glob("*.ipynb")}
    assert there == {lesson.file for lesson in LESSONS}
    assert all(lesson.file.startswith(f"{lesson.number}-") for lesson in LESSONS)


def test_minutes_are_those_of_an_evening():
    for lesson in LESSONS:
        most = 60 if lesson.number in {"11", "12"} else 40  # tools take as long as the job does
        assert 20 <= lesson.read + lesson.practise <= most


def test_find_names_the_three_nearest_exercises(examples):
    assert find("7.1").title == "A mass on a spring"
    examples["8.1"] = examples["7.1"]
    examples["9.4"] = examples["7.1"]
    three = "'7.9': the nearest are '7.1', '7.2', '8.1', with the quotes."
    with pytest.raises(LearnerError, match=re.escape(three)):
        find("7.9")
    with pytest.raises(LearnerError, match=re.escape("'7.1', '8.1', '9.4'")):
        find("99")


def test_every_exercise_of_the_bank_belongs_to_a_lesson_of_the_map():
    numbers = {str(int(lesson.number)) for lesson in lessons.LESSONS}
    assert {name.partition(".")[0] for name in bank.exercises()} <= numbers
