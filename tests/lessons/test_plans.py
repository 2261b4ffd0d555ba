"""The instructor's plans take their minutes from the map of lessons."""

import re
from pathlib import Path

import pytest

from dampinglab.course.lessons import LESSONS

INSTRUCTOR = Path(__file__).parents[2] / "lessons" / "instructor"
PLANS = (INSTRUCTOR / "evening.md").read_text(encoding="utf-8")
MINUTES = {lesson.number: lesson.read + lesson.practise for lesson in LESSONS}
WEEKS = ("first", "second", "third", "fourth")
FREE = {"11", "12"}  # as long as the vehicle takes


def rows():
    """Yield the minutes, the lessons and the words of each row of a plan."""
    led = re.findall(r"^\| (\d+) \| (\d\d) \| (.*) \|$", PLANS, re.MULTILINE)
    yield from ((int(minutes), [lesson], words) for minutes, lesson, words in led)
    alone = re.findall(r"^\| (\w+) \| (\d\d(?:, \d\d)+) \| (\d+) \|$", PLANS, re.MULTILINE)
    yield from ((int(minutes), lessons.split(", "), week) for week, lessons, minutes in alone)


@pytest.mark.parametrize(("minutes", "lessons", "words"), list(rows()))
def test_the_minutes_are_the_map_s(minutes, lessons, words):
    if missing := [n for n in lessons if n not in MINUTES or n in FREE]:
        pytest.skip(f"not in the map, or as long as the vehicle takes: {missing}")
    whole = sum(MINUTES[number] for number in lessons)
    assert minutes < whole if words.startswith("short") else minutes == whole


def test_every_lesson_has_its_place_when_learning_alone():
    planned = [n for _, lessons, words in rows() for n in lessons if words in WEEKS]
    assert planned == sorted(set(planned))
    assert set(MINUTES) - FREE <= set(planned)


def test_the_plans_own_up_that_their_minutes_are_estimates():
    assert "They are estimates: nobody has measured them" in PLANS


@pytest.mark.parametrize("page", sorted(INSTRUCTOR.rglob("*.md")), ids=lambda page: page.name)
def test_links_between_the_pages_lead_somewhere(page):
    links = re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8"))
    assert [link for link in links if not (page.parent / link).exists()] == []
