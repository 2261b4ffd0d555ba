"""Lesson 00 in a real browser, as a learner meets it: from blank to right."""

import json
import re
import subprocess
import sys
from pathlib import Path

from dampinglab.course import words
from dampinglab.course.lessons import find

ROOT = Path(__file__).resolve().parents[2]
LESSON = "00-start-here.ipynb"
WITHOUT_NETWORK = "test_opens_on_the_lesson_without_any_pop_up"


def replies_to(task):
    """Return what a learner may type: a wrong answer, each slip's, the right one."""
    slips = [(repr(words.written(task, slip.answer)), slip.says) for slip in task.slips]
    right = repr(words.written(task, task.answer))
    if task.choices:
        return "'none of these'", slips, right
    largest = max(abs(value) for value in (task.answer, *(slip.answer for slip in task.slips)))
    return repr(words.written(task, largest * 13.7 + 1)), slips, right


def flat(text):
    return " ".join(text.replace("**", "").split())


def exercises(lesson):
    """Return the names of the exercises on the page, in its order."""
    found = [re.match(r'check\("([\d.]+)"', source) for source in lesson.sources()]
    return [hit[1] for hit in found if hit]


def test_opens_on_the_lesson_without_any_pop_up(open_notebook):
    lesson = open_notebook(LESSON)
    assert "Start here" in lesson.cell(0).inner_text()
    assert lesson.run_all(), "a blank lesson runs to its end"
    lesson.page.wait_for_timeout(2000)  # news and update notes come after the page
    assert lesson.page.locator(".Toastify__toast, .jp-Dialog").count() == 0


def test_opens_and_runs_where_there_is_no_network(sealed_room, browser):
    """The test above once more, its course and its browser in a room with loopback only."""
    inside = [sys.executable, "-m", "pytest", f"{__file__}::{WITHOUT_NETWORK}"]
    told = subprocess.run([*sealed_room, *inside], capture_output=True, text=True, cwd=ROOT)
    assert "1 passed" in told.stdout, told.stdout + told.stderr


def test_a_whole_lesson_from_blank_to_right(open_notebook, course):
    lesson = open_notebook(LESSON)
    assert lesson.run_all(), "a blank lesson runs to its end"
    names = exercises(lesson)
    assert len(names) >= 6
    for name in names:
        wrong, slips, right = replies_to(find(name).task())
        blank = flat(lesson.text(lesson.exercise(name)))
        assert "Not attempted yet" in blank
        missed = flat(lesson.answer(name, wrong))
        assert "Not yet" in missed or "none of the choices" in missed, name
        for typed, says in slips:
            reply = flat(lesson.answer(name, typed))
            assert flat(says)[:60] in reply, (name, typed)
            assert "Right." not in reply
        assert "Right." in flat(lesson.answer(name, right)), name
    lines = (course.folder / "progress.jsonl").read_text(encoding="utf-8").splitlines()
    kept = {(told["exercise"], told["outcome"]) for told in map(json.loads, lines)}
    assert {name for name, outcome in kept if outcome == "right"} >= set(names)
