"""Notebooks marked: nbval's findings joined with the bank's list, exercise by exercise."""

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from textwrap import fill

from dampinglab.course import bank, nbval_run, own_notebooks
from dampinglab.course.lessons import LESSONS, Lesson
from dampinglab.course.nbval_run import Job, Ran
from dampinglab.course.nbval_watch import DEAD, RAN, STOPS, TOO_LONG
from dampinglab.course.own_notebooks import Cell, Notebook
from dampinglab.course.practice import verdict_words
from dampinglab.errors import LearnerError

__all__ = ["DONE", "LOOK", "TODO", "LessonMarks", "Mark", "Marks", "join", "mark", "text"]

DONE, TODO, LOOK = "done", "to do", "look at"  # the last: something there is no right answer yet
CELL, WHOLE = 60.0, 1200.0  # s that one cell may run, and all of it
_MOST_TROUBLES = 4  # of one notebook
_WIDTH = 96
_WHAT = {
    TOO_LONG: "came to no end and was stopped",
    DEAD: "ended the notebook's Python",
}


@dataclass(frozen=True)
class Mark:
    """One exercise: done, to do, or what to look at."""

    exercise: str
    title: str
    state: str
    says: str = ""


@dataclass(frozen=True)
class LessonMarks:
    """The exercises of one lesson, and a word about its notebook where there is one."""

    lesson: Lesson
    marks: tuple[Mark, ...]
    note: str = ""

    def of(self, state: str) -> list[Mark]:
        """Return the marks of one state."""
        return [mark for mark in self.marks if mark.state == state]


@dataclass(frozen=True)
class Marks:
    """All of a workbook, and a sentence for whatever else was in the way."""

    lessons: tuple[LessonMarks, ...]
    troubles: tuple[str, ...]

    @property
    def counted(self) -> str:
        """How many exercises are in each state."""
        done, look, to_do = (
            sum(len(lesson.of(state)) for lesson in self.lessons) for state in (DONE, LOOK, TODO)
        )
        return f"Exercises: {done} done, {look} to look at, {to_do} to do."


def mark(folder: Path, tell: Callable[[str], None]) -> Marks:
    """Mark a workbook; its notebooks are run in a copy, and only where something was answered."""
    places = own_notebooks.find_notebooks(folder)
    if not places:
        raise LearnerError(f"There is no notebook in {folder}; name your workbook's folder.")
    _refuse_many(folder, places)
    notebooks = [own_notebooks.read_notebook(folder, place) for place in places]
    answered = [notebook for notebook in notebooks if notebook.answered]
    with TemporaryDirectory(prefix="dampinglab-marked-") as scratch:
        job = Job(Path(scratch, "workbook"), CELL, time.monotonic() + WHOLE)
        nbval_run.copy_workbook(folder, job.workbook)
        heads = [f"Marking {n.place} ({i} of {len(answered)})" for i, n in enumerate(answered, 1)]
        pairs = zip(answered, heads, strict=True)
        ran = {notebook.place: _run(notebook, job, head, tell) for notebook, head in pairs}
    return join(notebooks, ran)


def _refuse_many(folder: Path, places: list[Path]) -> None:
    """Refuse the folder of a class: one learner's right answer would count for all."""
    homes = {lesson.file: [p.parent for p in places if p.name == lesson.file] for lesson in LESSONS}
    many = next((found for found in homes.values() if len(found) > 1), [])
    if many and not any(Path() in found for found in homes.values()):
        raise LearnerError(
            f"There are several workbooks in {folder}: name one of them, such as "
            f"{folder / many[0]}, or see all of them together with dampinglab class."
        )


def _run(notebook: Notebook, job: Job, head: str, tell: Callable[[str], None]) -> Ran:
    where = job.workbook / notebook.place.parent
    where.mkdir(parents=True, exist_ok=True)
    cells = len(notebook.cells)
    sources = [cell.source for cell in notebook.cells]
    tell(head)
    return nbval_run.run(sources, where, job, lambda n: tell(f"{head}, cell {n} of {cells}"))


def join(notebooks: Iterable[Notebook], ran: Mapping[Path, Ran]) -> Marks:
    """Join what was found in the notebooks with the bank's list."""
    notebooks = list(notebooks)
    lessons = [_lesson(lesson, notebooks, ran) for lesson in LESSONS]
    troubles = [
        sentence for notebook in notebooks for sentence in _troubles(notebook, ran)[:_MOST_TROUBLES]
    ]
    return Marks(tuple(one for one in lessons if one.marks), tuple(troubles))


def _lesson(lesson: Lesson, notebooks: list[Notebook], ran: Mapping[Path, Ran]) -> LessonMarks:
    number = str(int(lesson.number))
    names = [name for name in bank.exercises() if name.partition(".")[0] == number]
    marks = tuple(_mark(name, notebooks, ran) for name in names)
    homes = [n.place.as_posix() for n in notebooks if n.exercises & set(names)]
    if not homes:
        bare = tuple(Mark(one.exercise, one.title, TODO) for one in marks)
        return LessonMarks(lesson, bare, "no notebook of this lesson can be read here")
    others = [home for home in homes if home != lesson.file]
    return LessonMarks(lesson, marks, f"found in {', '.join(others)}" if others else "")


def _mark(name: str, notebooks: list[Notebook], ran: Mapping[Path, Ran]) -> Mark:
    title = bank.exercises()[name].title
    given = [a for r in ran.values() for a in r.answers if a.exercise == name and a.seed is None]
    if any(answer.right for answer in given):
        return Mark(name, title, DONE)
    if given:
        said = " ".join(verdict_words(given[-1].verdict).text.replace("**", "").split())
        return Mark(name, title, LOOK, f"The answer was {given[-1].raw!r}. {said}")
    cells = _cells(name, notebooks, ran)
    if not cells:
        return Mark(name, title, TODO, "Its cell is in none of the notebooks.")
    says = next((said for cell, step in cells if (said := _in_the_way(name, cell, step))), "")
    return Mark(name, title, LOOK if says else TODO, says)


def _cells(name: str, notebooks: list[Notebook], ran: Mapping[Path, Ran]) -> list[tuple]:
    """Return each cell of an exercise and how it ended, None where it did not run."""
    return [
        (cell, ran[notebook.place].steps.get(number) if notebook.place in ran else None)
        for notebook in notebooks
        for number, cell in enumerate(notebook.cells)
        if name in cell.exercises
    ]


def _in_the_way(name: str, cell: Cell, step: tuple[str, str] | None) -> str:
    """Say why no answer in a cell could be judged; empty where none was given."""
    state, said = step or ("", "")
    if cell.blank or (state == STOPS and "Not attempted" in said):
        return ""
    if state in _WHAT:
        return f"Its cell {_WHAT[state]}."
    line = f'the line must look like check("{name}", 12.5)'
    return {
        "": "Its cell was not reached before the time ran out.",
        RAN: f"Its cell ran and no answer was judged: {line}.",
        STOPS: said,
    }[state]


def _troubles(notebook: Notebook, ran: Mapping[Path, Ran]) -> list[str]:
    """Return a sentence for each thing in a notebook that is no matter of one exercise."""
    if notebook.trouble:
        return [f"{notebook.place}: {notebook.trouble}; it is left out."]
    if notebook.place not in ran:
        return []
    steps = ran[notebook.place].steps
    if ran[notebook.place].late:
        return [f"{notebook.place}: the time for all notebooks ran out before its end."]
    if not steps:
        return [f"{notebook.place}: it could not be run; try `dampinglab selfcheck`."]
    ends = [(steps.get(n, (RAN, "")), cell) for n, cell in enumerate(notebook.cells)]
    return [
        f"{notebook.place}: the cell that begins {cell.begins!r} "
        f"{_WHAT.get(state) or f'stops: {said}'.rstrip('.')}."
        for (state, said), cell in ends
        if state != RAN and not cell.exercises
    ]


def text(marks: Marks) -> str:
    """Return the marks as plain lines."""
    lines = [marks.counted, ""]
    for lesson in marks.lessons:
        lines += _lesson_lines(lesson)
    if marks.troubles:
        lines += ["Also in the way:", *(_hanging(f"  - {one}", 4) for one in marks.troubles)]
    return "\n".join(lines).rstrip()


def _lesson_lines(lesson: LessonMarks) -> list[str]:
    named = f"{lesson.lesson.number} {lesson.lesson.title}"
    done = f"{len(lesson.of(DONE))} of {len(lesson.marks)} done"
    lines = [f"{named}: {done}{f' ({lesson.note})' if lesson.note else ''}"]
    for state in (DONE, TODO):
        if plain := [mark.exercise for mark in lesson.of(state) if not mark.says]:
            lines.append(_hanging(f"  {state:8} {', '.join(plain)}"))
    lost = [mark for mark in lesson.of(TODO) if mark.says]
    if lost:
        names = ", ".join(mark.exercise for mark in lost)
        lines.append(_hanging(f"  {TODO:8} {names}: {lost[0].says}"))
    for one in lesson.of(LOOK):
        lines.append(_hanging(f"  {LOOK:8} {one.exercise} {one.title}: {one.says}"))
    return [*lines, ""]


def _hanging(line: str, indent: int = 11) -> str:
    return fill(line, _WIDTH, subsequent_indent=" " * indent, break_on_hyphens=False)
