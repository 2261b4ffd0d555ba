"""An exercise in words: markdown for the notebook and the key, simple HTML for the screen."""

import re
from html import escape

from dampinglab.course.exercise import Exercise, Step, Task
from dampinglab.units import from_si, minus, show, units_of

__all__ = ["answer", "asks", "html", "shown", "solution", "statement", "task_text", "written"]

FIGURES = 4  # enough to follow a calculation step by step


def statement(exercise: Exercise) -> str:
    """Return the text of the statement cell of a notebook."""
    return f"**Exercise {exercise.id}: {exercise.title}.** {task_text(exercise.task())}"


def task_text(task: Task) -> str:
    """Return what a task asks, its choices, and how to answer."""
    choices = "\n".join(f"- **{key}**: {text}" for key, text in task.choices.items())
    return "\n\n".join(part for part in (task.statement, choices, asks(task)) if part)


def asks(task: Task) -> str:
    """Say in what form the answer is wanted."""
    if task.choices:
        *keys, last = task.choices
        return f"Answer with {', '.join(keys)} or {last}."
    if not task.unit:
        return "Answer with a plain number."
    if task.only_unit or len(units_of(task.quantity)) == 1:
        return f"Answer in {task.unit}."
    return f"Answer in {task.unit}, or write another unit behind the number."


def answer(task: Task) -> str:
    """Return the answer as it is shown to somebody who has earned it."""
    if task.choices:
        return f"{task.answer}, {task.choices[task.answer].strip().rstrip('.')}"
    return shown(task.answer, task.unit)


def written(task: Task, value: float | str) -> str:
    """Return an SI value or a key as a learner would type it, rounding nothing that counts."""
    if task.choices:
        return value
    return f"{from_si(value, task.unit) if task.unit else value:.12g} {task.unit}".strip()


def solution(exercise: Exercise, task: Task) -> str:
    """Return the worked answer, line by line, with its source."""
    lines = [f"{number}. {_step(step)}" for number, step in enumerate(task.steps, start=1)]
    source = f"Source: {exercise.source.rstrip('.')}."
    return "\n".join([f"**Worked answer: {answer(task)}.**", "", *lines, "", source])


def _step(step: Step) -> str:
    value = "" if step.value is None else shown(step.value, step.unit)
    parts = " = ".join(part for part in (step.formula, value) if part)
    return f"{step.words.rstrip('.:')}: {parts}" if parts else step.words


def shown(value: float, unit: str) -> str:
    """Return a number with its unit, in as many figures as a calculation needs; counts whole."""
    if not unit and float(value).is_integer():
        return minus(f"{value:.0f}")
    return minus(f"{value:.4g} clicks" if unit == "clicks" else show(value, unit, FIGURES))


def html(text: str) -> str:
    """Return a text as HTML: paragraphs, bold and slanted words, list items, and tables."""
    blocks = [_block(block) for block in re.split(r"\n\s*\n", text.strip())]
    return "".join(blocks)


def _block(block: str) -> str:
    lines = [_marked(line) for line in block.split("\n")]
    if all(line.startswith("|") for line in lines):
        return _table(lines)
    for mark, tag in ((r"- ", "ul"), (r"\d+\. ", "ol")):
        if all(re.match(mark, line) for line in lines):
            items = "".join(f"<li>{re.sub(mark, '', line, count=1)}</li>" for line in lines)
            return f'<{tag} style="margin: 6px 0">{items}</{tag}>'
    return f'<p style="margin: 6px 0">{" ".join(lines)}</p>'


def _marked(line: str) -> str:
    """Return a line with its bold and slanted words; a lone star stays what it is."""
    bold = re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", escape(line))
    return re.sub(r"(?<![\w*])\*(?=\S)([^*]+?)(?<=\S)\*(?![\w*])", r"<i>\1</i>", bold)


def _table(lines: list[str]) -> str:
    """Return the rows of a table; the second line only parts the head from the body."""
    head, _, *body = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    rows = [_row("th", head), *(_row("td", cells) for cells in body)]
    return f'<table style="margin: 6px 0">{"".join(rows)}</table>'


def _row(tag: str, cells: list[str]) -> str:
    told = "".join(f'<{tag} style="padding: 2px 14px 2px 0">{cell}</{tag}>' for cell in cells)
    return f"<tr>{told}</tr>"
