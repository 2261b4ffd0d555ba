"""The instructor's plans take their minutes from the map of lessons."""

import re
import shlex
from pathlib import Path

import pytest

from dampinglab.cli import _parser
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


def length(plan, but=""):
    """Return the minutes of a plan, without the lessons that a pattern names."""
    rows_ = re.findall(r"^\| (\d+) \| (.*?) \|", plan, re.MULTILINE)
    return sum(int(minutes) for minutes, lesson in rows_ if not but or not re.match(but, lesson))


def test_the_front_page_leads_a_trainer_to_the_plans():
    front = (INSTRUCTOR.parents[1] / "README.md").read_text("utf-8")
    assert {"evening.md", "room/room.md"} == set(re.findall(r"\(lessons/instructor/(.*?)\)", front))


def test_every_command_that_a_trainer_is_given_is_one_that_there_is():
    pages = [*INSTRUCTOR.rglob("*.md"), INSTRUCTOR.parents[1] / "README.md"]
    told = [re.findall(r"\.venv/bin/dampinglab ([^`\n]+)", p.read_text("utf-8")) for p in pages]
    commands = [shlex.split(each) for page in told for each in page]
    assert {words[0] for words in commands} >= {"start", "handout", "mark", "class", "selfcheck"}
    for words in commands:
        _parser().parse_args(words)  # ends the test where one cannot be read


def test_the_one_evening_is_as_long_as_it_says():
    plan = PLANS.partition("## One evening\n")[2].partition("\n## ")[0]
    assert length(plan) == 225
    assert "Three and three quarter hours with two breaks." in plan
    assert plan.count("| break |") == 2
    assert "Shorter: without 01, 12 and one break it is two hours and forty minutes." in plan
    assert length(plan, but="01|12") - 10 == 160


def test_three_evenings_are_as_long_as_they_say():
    plan = PLANS.partition("## Three evenings\n")[2].partition("\n## ")[0]
    evenings = re.split(r"^\*\*\w+: ", plan, flags=re.MULTILINE)[1:]
    assert "Two and a half hours each, with a break." in plan
    assert [140 <= length(each) <= 155 and each.count("| break |") == 1 for each in evenings] == [
        True
    ] * 3
    assert "in each of the first two evenings they are about an hour" in plan
    practise = {lesson.number: lesson.practise for lesson in LESSONS}
    for each in evenings[:2]:
        led = re.findall(r"^\| \d+ \| (\d\d) \|", each, re.MULTILINE)
        assert 55 <= sum(practise[number] for number in led) <= 65


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
    assert rule.TOOLS == FREE == {"11", "12"}
    assert "within a quarter, but for 11 and 12, which take as long as the vehicle." in PLANS


def test_homework_and_the_one_evening_are_all_lessons_but_the_learners_own_vehicle():
    plan = PLANS.partition("## One evening\n")[2].partition("\n## ")[0]
    led = set(re.findall(r"^\| \d+ \| (\d\d) \|", plan, re.MULTILINE))
    assert "lessons 02, 03, 05 to 08 and 10 as homework" in plan
    assert led | {"02", "03", "05", "06", "07", "08", "10", "11"} == set(MINUTES)
