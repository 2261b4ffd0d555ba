"""Answers, hints and practice in a real browser, mostly by keyboard."""

import re

import pytest

from dampinglab.course import words
from dampinglab.course.lessons import find

SETUP = "from dampinglab.course import check, hint, practise, solution\nimport dampinglab.panels"
NAME = "1.1"
SEED = 3


@pytest.fixture
def notebook(open_notebook):
    notebook = open_notebook([SETUP, f'check("{NAME}", ...)', f'practise("{NAME}", seed={SEED})'])
    assert notebook.run_all()
    return notebook


def test_every_kind_of_answer_changes_the_words(notebook):
    task = find(NAME).task()
    slip = task.slips[0]
    number = words.written(task, task.answer).split()[0]
    at = notebook.exercise(NAME)
    assert "Not attempted yet." in notebook.text(at)
    assert "cannot be read" in notebook.answer(NAME, '"heavy"')
    assert slip.says[:30] in notebook.answer(NAME, repr(words.written(task, slip.answer)))
    assert "Right." in notebook.answer(NAME, f"{number} {task.unit}")  # without quotes
    assert "Not yet." in notebook.answer(NAME, f"{float(number) * 1.37:.6g}")
    area = notebook.output(at)
    area.get_by_role("button", name="Hint").click()
    notebook.wait_for(at, "Hint 1 of 3")
    area.get_by_role("button", name="Worked answer").click()
    notebook.wait_for(at, "Source:")
    area.get_by_role("button", name="Practise more").click()
    notebook.wait_for(at, "Practice 1.1, variant")


def test_practice_by_keyboard_alone(notebook):
    exercise, page, area = find(NAME), notebook.page, notebook.output(2)
    task = exercise.task(SEED)
    notebook.wait_for(2, f"Practice {NAME}, variant {SEED}")
    area.get_by_label("Your answer").focus()
    page.keyboard.type(words.written(task, task.slips[0].answer))
    page.keyboard.press("Enter")
    notebook.wait_for(2, task.slips[0].says[:30])
    page.keyboard.press("Tab")  # Check
    page.keyboard.press("Tab")  # Hint
    page.keyboard.press("Enter")
    notebook.wait_for(2, "Hint 1 of 3")
    page.keyboard.press("Tab")  # Worked answer
    page.keyboard.press("Space")
    notebook.wait_for(2, "Source:")
    page.keyboard.press("Tab")  # Another
    page.keyboard.press("Enter")
    page.wait_for_function("document.activeElement.tagName === 'INPUT'")  # back in the box
    seed = int(re.search(r"variant (\d+)", notebook.text(2))[1])
    new = exercise.task(seed)
    assert seed != SEED
    page.keyboard.type(words.written(new, new.answer))
    page.keyboard.press("Enter")
    notebook.wait_for(2, "Right.")


def test_the_reply_is_announced_and_large_enough(notebook):
    block = notebook.output(1).get_by_role("status").first
    style = "node => { const s = getComputedStyle(node); return [s.fontSize, s.fontFamily]; }"
    size, family = block.evaluate(style)
    assert float(size.removesuffix("px")) >= 16
    assert "sans-serif" in family


def test_a_lesson_without_its_first_grey_cell_says_so_in_one_line(open_notebook):
    notebook = open_notebook([f'check("{NAME}", 245)', f'check("{NAME}" 245)', "height + 1"])
    notebook.run(0)
    notebook.wait_for(0, "is not known yet")
    said = "`check` is not known yet: run the first grey cell, then this one again."
    assert notebook.text(0).strip() == said
    notebook.run(1)
    notebook.wait_for(1, "This line cannot be read")
    assert "\n" not in notebook.text(1).strip()
    notebook.run(2)
    notebook.wait_for(2, "Traceback")
