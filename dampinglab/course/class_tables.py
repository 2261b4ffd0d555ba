"""A class in rows: words for the screen, and a table that a spreadsheet reads and cannot run."""

import csv
import io
from collections.abc import Iterable
from statistics import median
from textwrap import fill, shorten

from dampinglab.course import bank
from dampinglab.course.classroom import PAUSE, Class, Item, Learner, items
from dampinglab.course.lessons import LESSONS

__all__ = ["STATES", "as_csv", "by_lesson", "text"]

STATES = ("not tried", "tried, not right yet", "right later", "right at the first try")
_WIDTH = 96  # letters of a line
_INDENT = {"initial_indent": 9 * " ", "subsequent_indent": 11 * " "}
HARDEST = 15  # exercises in the words; the table holds all
_TIMED = (
    "Minutes from answer to answer, pauses over {} left out, of those who tried every exercise:\n"
    "the middle learner, the quickest and the slowest"
)
_HEAD = (
    "learner",
    "lesson",
    "exercise",
    "title",
    "state",
    "tries",
    "slips",
    "practice tried",
    "practice right",
    "last answer",
)
# A spreadsheet runs a cell that begins like this; some read the wide letters as well.
_RUNS = tuple("=+-@\t\r\n＝＋－＠")


def by_lesson() -> dict[str, list[str]]:
    """Return the exercises of each lesson that has some, by the lesson's number."""
    found = {lesson.number: [] for lesson in LESSONS}
    for name in bank.exercises():
        found.setdefault(name.partition(".")[0].zfill(2), []).append(name)
    return {number: names for number, names in found.items() if names}


def text(group: Class) -> str:
    """Return the class as plain lines."""
    parts = []
    if group.learners:
        parts += [["Who did what: exercises right, of those in the lesson", *_who(group.learners)]]
    if timed := list(_timed(group.learners)):
        parts += [[_TIMED.format(PAUSE), *timed]]
    if hard := [item for item in items(group) if item.at_once < item.tried][:HARDEST]:
        parts += [["Hardest first: right at once, of those who tried", *map(_hard, hard)]]
    answers = [answer for learner in group.learners for answer in learner.answers]
    if changed := sum(answer.told != answer.verdict.outcome for answer in answers):
        were = "answer is" if changed == 1 else "answers are"
        parts += [[f"{changed} {were} judged otherwise now than when recorded; now counts."]]
    if group.complaints:
        parts += [["Left out:", *(f"  - {one}" for one in group.complaints)]]
    return "\n\n".join("\n".join(lines) for lines in parts)


def _who(learners: tuple[Learner, ...]) -> list[str]:
    begun = {name.partition(".")[0].zfill(2) for one in learners for name in _tried(one)}
    lessons = {number: names for number, names in by_lesson().items() if number in begun}
    wide = max((len(learner.name) for learner in learners), default=0)
    head = f"  {'':{wide}}" + "".join(f"{number:>7}" for number in lessons)
    rows = [f"{head}   tries  practice  last answer"]
    for one in learners:
        right = ({name for name in names if one.state(name) > 1} for names in lessons.values())
        cells = zip(right, lessons.values(), strict=True)
        done = "".join(f"{f'{len(had)}/{len(names)}':>7}" for had, names in cells)
        practice = sum(answer.seed is not None for answer in one.answers)
        tries = len(one.answers) - practice
        rows.append(f"  {one.name:{wide}}{done}{tries:8}{practice:10}  {_last(one.answers)}")
    return rows


def _timed(learners: tuple[Learner, ...]) -> Iterable[str]:
    """Yield a line for each lesson that somebody has been through."""
    exercises = by_lesson()
    for lesson in (one for one in LESSONS if one.number in exercises):
        took = [learner.minutes(exercises[lesson.number]) for learner in learners]
        if took := sorted(minutes for minutes in took if minutes is not None):
            count = f"{len(took)} learner{'s' * (len(took) > 1)}"
            span = f"{took[0]:.0f} to {took[-1]:.0f}" if len(took) > 1 else ""
            says = f"the lesson says {lesson.read + lesson.practise}"
            yield f"  {lesson.number}  {median(took):4.0f}  {span:10}  {count:13} {says}"


def _tried(learner: Learner) -> set[str]:
    return {answer.exercise for answer in learner.answers}


def _last(answers) -> str:
    return max((answer.when for answer in answers), default="")[:10]


def _hard(item: Item) -> str:
    later, never = item.done - item.at_once, item.tried - item.done
    told = [f"{later} right later"] * bool(later) + [f"{never} not yet"] * bool(never)
    title = shorten(bank.exercises()[item.exercise].title, 42, placeholder=" …")
    line = f"  {item.exercise:>5}  {title:42} {item.at_once:3} of {item.tried:<3} {', '.join(told)}"
    were = "was" if item.slips == 1 else "were"
    slip = f"{item.slips} {were} told: {item.slip.replace('**', '')}"
    return line.rstrip() + (f"\n{fill(slip, _WIDTH, **_INDENT)}" if item.slip else "")


def as_csv(group: Class) -> str:
    """Return a row for each learner and exercise tried; no cell can be run as a formula."""
    file = io.StringIO()
    sheet = csv.writer(file)
    sheet.writerow(_HEAD)
    for learner in group.learners:
        for name in bank.exercises():
            if name in _tried(learner):
                sheet.writerow([_harmless(cell) for cell in _row(learner, name)])
    return file.getvalue()


def _row(learner: Learner, name: str) -> list[object]:
    tries = learner.tries(name)
    mine = [answer for answer in learner.answers if answer.exercise == name]
    practice = [answer.right for answer in mine if answer.seed is not None]
    slips = dict.fromkeys(answer.verdict.slip for answer in tries if answer.verdict.slip)
    counts = (len(practice), sum(practice))
    # The words keep a spreadsheet from reading 2.10 as the number 2.1.
    numbers = (f"lesson {name.partition('.')[0].zfill(2)}", f"exercise {name}")
    head = (learner.name, *numbers, bank.exercises()[name].title)
    return [*head, STATES[learner.state(name)], len(tries), "; ".join(slips), *counts, _last(mine)]


def _harmless(cell: object) -> object:
    """Put an apostrophe before words that a spreadsheet would run."""
    return f"'{cell}" if str(cell).lstrip(" ").startswith(_RUNS) else cell
