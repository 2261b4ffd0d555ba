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


# What has the focus, in words; a cell is called by its number.
FOCUSED = """() => {
  const it = document.activeElement, cell = it.closest('.jp-Notebook-cell');
  if (it === cell) return `cell ${cell.dataset.windowedListIndex}`;
  const shown = it.matches('a, button, summary') && it.innerText;
  return [it.ariaLabel, it.labels?.[0]?.innerText, shown].filter(Boolean).join(' ');
}"""

# The boxes of a panel that cut off the ring (3 px, 2 px away) around what has the focus.
RING_CUT = """() => {
  const it = document.activeElement, ring = it.getBoundingClientRect(), cut = [];
  for (let box = it.parentElement; !box.matches('.dl-panel'); box = box.parentElement) {
    const edge = box.getBoundingClientRect();
    const tight = edge.top > ring.top - 5 || edge.bottom < ring.bottom + 5;
    if (tight && getComputedStyle(box).overflow !== 'visible') cut.push(box.className);
  }
  return cut;
}"""


class Walk:
    """A lesson used with the keys alone, as lesson 00 teaches it."""

    def __init__(self, notebook):
        self.notebook, self.page, self.press = notebook, notebook.page, notebook.page.keyboard.press

    def is_in(self, at):
        self.page.wait_for_function(f"at => ({FOCUSED})() === at", arg=f"cell {at}")

    def go_to(self, name, key="Tab"):
        passed = []
        while not passed or name not in passed[-1]:
            assert len(passed) < 15, f"{key} does not lead to {name}: {passed}"
            self.press(key)
            passed.append(self.page.evaluate(FOCUSED))

    def answer(self, at, typed):
        """Type over the dots, or over the answer before, and run; the focus goes on."""
        self.press("Enter")
        self.press("End")
        before = self.notebook.sources()[at].split(", ", 1)[1]
        for key in ("ArrowLeft", *["Backspace"] * (len(before) - 1)):
            self.press(key)
        self.page.keyboard.type(typed)
        self.press("Shift+Enter")
        self.is_in(at + 1)


def test_lesson_00_from_its_first_cell_to_its_last_by_keyboard_alone(open_notebook):
    notebook = open_notebook("00-start-here.ipynb", height=800)
    walk, asked = Walk(notebook), []
    *cells, last = enumerate(notebook.sources())
    for at, source in cells:
        walk.is_in(at)
        if source.startswith("check("):
            asked.append(source.split('"')[1])
            _err_ask_and_mend(walk, at, asked[-1])
        else:
            walk.press("Shift+Enter")
        if source == "stand_panel()":
            _use_the_stand(walk, at)
    walk.is_in(last[0])
    assert len(asked) == 7
    walk.go_to("Spring and mass")  # the link to the next lesson


def _err_ask_and_mend(walk, at, name):
    """Make a known mistake, ask for a hint, go back to the cell and answer rightly."""
    task = find(name).task()
    walk.answer(at, words.written(task, task.slips[0].answer))
    walk.notebook.wait_for(at, task.slips[0].says.replace("**", "")[:20])
    walk.go_to("Hint", "Shift+Tab")
    walk.press("Enter")
    walk.notebook.wait_for(at, "Hint 1 of 3")
    walk.go_to(f"cell {at}", "Shift+Tab")
    walk.answer(at, words.written(task, task.answer))
    walk.notebook.wait_for(at, "Right.")


def _use_the_stand(walk, at):
    """Choose an adjuster, turn it, type a speed, and come back to the cell below the panel."""
    walk.is_in(at + 1)
    walk.notebook.wait_for(at, "No click was turned.")
    walk.press("ArrowUp")
    walk.go_to("rebound")
    assert walk.page.evaluate(RING_CUT) == []
    walk.press("Space")
    walk.notebook.wait_for(at, "Rebound, out from closed")
    walk.go_to("Rebound, out from closed")
    walk.press("ArrowRight")
    walk.notebook.wait_for(at, "Rebound from 12 to 18 clicks out")
    walk.go_to("Shaft speed")
    walk.go_to("Shaft speed")  # past the slider, in its box
    walk.press("Control+a")
    walk.page.keyboard.type("0,5")
    walk.press("Enter")
    walk.page.get_by_text("at 0.50 m/s").wait_for()
    walk.go_to(f"cell {at}", "Shift+Tab")
    walk.press("ArrowDown")
