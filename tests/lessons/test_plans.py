"""The instructor's plans take their minutes from the map of lessons."""

import re
from pathlib import Path

import pytest

from dampinglab.course.lessons import LESSONS
from tests.lessons import test_minutes as rule

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


def test_the_one_evening_is_as_long_as_it_says():
    plan = PLANS.partition("## One evening\n")[2].partition("\n## ")[0]
    minutes = sum(map(int, re.findall(r"^\| (\d+) \|", plan, re.MULTILINE)))
    assert minutes == 225
    assert "Three and three quarter hours with two breaks." in plan
    assert plan.count("| break |") == 2


def test_the_plans_name_the_rule_by_which_minutes_are_reckoned():
    for number, words in (
        (rule.WORDS_A_MINUTE, "words a minute"),
        (rule.PANEL, "minutes a panel"),
        (rule.SHOWN, "for each other picture or table"),
        (rule.NUMBERS, "for an answer in numbers"),
        (rule.LETTER, "for a letter"),
    ):
        assert f"{number} {words}" in PLANS
    assert (rule.PREDICTION, rule.WHOLE) == (0.5, 1.25)  # "half a minute", "within a quarter"


def test_homework_and_the_one_evening_are_all_lessons_but_the_learners_own_vehicle():
    plan = PLANS.partition("## One evening\n")[2].partition("\n## ")[0]
    led = set(re.findall(r"^\| \d+ \| (\d\d) \|", plan, re.MULTILINE))
    assert "lessons 02, 03, 05 to 08 and 10 as homework" in plan
    assert led | {"02", "03", "05", "06", "07", "08", "10", "11"} == set(MINUTES)
