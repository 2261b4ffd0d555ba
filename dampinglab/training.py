"""A trainer's two commands from files to words: mark one workbook, look over a whole class."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np

from dampinglab.course import class_tables, marked, marks_page
from dampinglab.course.classroom import Class, items, read_class
from dampinglab.errors import FileProblem
from dampinglab.figures import classroom
from dampinglab.job import save_picture

__all__ = ["run_class", "run_mark"]


def run_mark(folder: Path, tell: Callable[[str], None]) -> str:
    """Mark a workbook, write its page, and return the marks in words."""
    marks = marked.mark(folder, tell)
    html = marks_page.page(marks, folder.name, datetime.now())
    place = marks_page.keep_page(folder, html)
    return f"MARKED   {folder}\n{marked.text(marks)}\n\nThe same as a page to print: {place}"


def run_class(folder: Path, table: Path | None, picture: Path | None) -> str:
    """Return a class in words; write the table and the picture where they are asked for."""
    group = read_class(folder)
    if table is not None:
        _save_table(class_tables.as_csv(group), table)
    if picture is not None:
        save_picture(*_picture(group, picture))
    learners = f"{len(group.learners)} learner{'s' if len(group.learners) != 1 else ''}"
    return f"CLASS   {folder}, {learners}\n{class_tables.text(group)}"


def _save_table(text: str, path: Path) -> None:
    """Write a table under a new name; the mark before it tells a spreadsheet its letters."""
    try:
        with path.open("x", encoding="utf-8-sig", newline="") as file:
            file.write(text)
    except FileExistsError:
        what = "this file is there already and stays"
        raise FileProblem(path, what, "choose another name") from None
    except OSError:
        mend = "choose a folder that exists and that you may write to"
        raise FileProblem(path, "the table cannot be written there", mend) from None


def _picture(group: Class, path: Path) -> tuple:
    """Return the picture of a class, its place, and what it shows in words."""
    tried = {answer.exercise for learner in group.learners for answer in learner.answers}
    if not tried:
        raise FileProblem(path, "no answer could be read, so there is nothing to draw", "see above")
    lessons = {n: ids for n, ids in class_tables.by_lesson().items() if tried & set(ids)}
    columns = [name for ids in lessons.values() for name in ids]
    states = np.array([[one.state(name) for name in columns] for one in group.learners])
    names = [learner.name for learner in group.learners]
    title = "Practice only, so far"
    if hardest := items(group)[:1]:
        (item,) = hardest
        title = f"Hardest so far: {item.exercise}, right at once for {item.at_once} of {item.tried}"
    figure = classroom.draw(names, lessons, states, title)
    return figure, path, classroom.alt_text(names, lessons, states)
