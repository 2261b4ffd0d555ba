"""For the instructor: answers with their slips from the bank, and what the lessons ask to predict.

An instructor's page holds lines that a command writes: "**Ask (1).** ..." with "**Computed.** ..."
below it, and slips such as "- **2.6, whole cycle.** ...". `stamped` brings them up to date.
"""

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape
from itertools import zip_longest
from pathlib import Path

from dampinglab import data
from dampinglab.course import bank, words
from dampinglab.course.exercise import Exercise, Slip, Task
from dampinglab.course.handout import FOLDED, inline, markdown, page
from dampinglab.course.lessons import LESSONS, find
from dampinglab.errors import LearnerError

__all__ = ["answer_key", "instructor_pages", "predict_page", "questions", "stamped", "texts"]

ONLY = "For the instructor: it holds the answers."
_SLIP = re.compile(r"^- \*\*(\d+\.\d+), (.+?)\.\*\*.*$", re.MULTILINE)
_VOTE = re.compile(r"^\*\*Ask \((\d)\)\.\*\*.*\n\n\*\*Computed\.\*\*.*$", re.MULTILINE)


def answer_key(numbers: Iterable[str]) -> str:
    """Return every exercise of some lessons: statement, answer, steps, source, and each slip."""
    known = bank.exercises().values()
    parts = []
    for number in numbers:
        mine = [each for each in known if each.id.partition(".")[0] == str(int(number))]
        told = "".join(map(_exercise, mine)) + _own_check(number)
        if told:
            head = f"<h2>Lesson {number}{_title(number)}</h2>"
            parts.append(f'{head}<div class="pair">{told}</div>')
    return page("Answer key", "<h1>Answer key and slips</h1>" + "".join(parts), about=ONLY)


def _title(number: str) -> str:
    return next((f": {each.title}" for each in LESSONS if each.number == number), "")


def _exercise(exercise: Exercise) -> str:
    task = exercise.task()
    stated = markdown(words.statement(exercise).removesuffix(words.asks(task)))
    solved = markdown(words.solution(exercise, task))
    rows = "".join(_row(task, slip) for slip in task.slips)
    heads = "<tr><th>answer</th><th>they are told</th></tr>"
    slips = f"<table><thead>{heads}</thead>{rows}</table>"
    return f'<section class="key" data-exercise="{exercise.id}">{stated}{solved}{slips}</section>'


def _row(task: Task, slip: Slip) -> str:
    wrong = slip.answer if task.choices else words.shown(slip.answer, task.unit)
    return f"<tr><td>{escape(str(wrong))}</td><td>{inline(slip.says)}</td></tr>"


def _own_check(number: str) -> str:
    """Return what learners ask themselves at the end of a lesson, with the folded answers."""
    rows = "".join(
        f"<tr><td>{inline(asked)}</td><td>{inline(answer)}</td></tr>"
        for text in texts(number)
        for answers in FOLDED.findall(text)
        for asked, answer in zip(_points(FOLDED.sub("", text)), _points(answers), strict=True)
    )
    heads = f"<tr><th>lesson {number}: check yourself</th><th>answer</th></tr>"
    table = f"<table><thead>{heads}</thead>{rows}</table>" if rows else ""
    return table and f'<section class="key own">{table}</section>'


def _points(text: str) -> list[str]:
    return re.findall(r"^- (.+)$", text, re.MULTILINE)


def texts(number: str) -> list[str]:
    """Return a lesson's words, cell by cell."""
    (path,) = data.folder("lessons").glob(f"{number}-*.ipynb")
    cells = json.loads(path.read_text("utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]


def questions(number: str) -> list[str]:
    """Return what a lesson asks to predict, each as it stands there, in its order."""
    asking = ([p for p in text.split("\n\n") if "**Predict" in p] for text in texts(number))
    return ["\n\n".join(found) for found in asking if found]


def predict_page(computed: Mapping[str, Sequence[str]]) -> str:
    """Return what lessons ask to predict, each with what the model says, for a show of hands."""
    lead = "<h1>Predict first</h1><p>Ask, let all hands go up, then show it in the panel.</p>"
    asking = {n: said for n, said in computed.items() if said or questions(n)}
    parts = [f"<h2>Lesson {n}{_title(n)}</h2>{_votes(n, said)}" for n, said in asking.items()]
    return page("Predict first", lead + "".join(parts), about=ONLY)


def _votes(number: str, computed: Sequence[str]) -> str:
    made = []
    for question, said in zip_longest(questions(number), computed, fillvalue=""):
        answer = escape(said) or "Run the cell below the question."
        told = f'<p class="said"><b>Computed:</b> {answer}</p>'
        made.append(f'<div class="together">{markdown(question)}{told}</div>')
    return "".join(made)


def instructor_pages(numbers: Iterable[str]) -> str:
    """Return the plans, the pages of some lessons, and last the bay sheet, each on new paper."""
    folder = data.folder("lessons") / "instructor"
    wanted = [folder / f"{name}.md" for name in ("evening", *sorted(set(numbers)), "bay-sheet")]
    return page("Instructor's pages", "".join(map(_own_page, wanted)), about=ONLY)


def _own_page(path: Path) -> str:
    """Return a page that lies on the desk in larger letters, or a plan or a form."""
    kind = "desk" if path.stem.isdecimal() else "form"
    return f'<div class="next {kind}">{markdown(path.read_text("utf-8"))}</div>'


def stamped(number: str, text: str, answer: Callable[[int], str]) -> str:
    """Return an instructor's page with question, answer and slips as lesson, model and bank say.

    The answer to a question to predict is asked for by its place, counted from 0.
    """
    asked = questions(number)

    def vote(found: re.Match) -> str:
        place = int(found[1]) - 1
        question = " ".join(asked[place].replace("**Predict.** ", "").replace("**", "").split())
        return f"**Ask ({found[1]}).** {question}\n\n**Computed.** {answer(place)}"

    def slip(found: re.Match) -> str:
        says = {each.name: each.says for each in find(found[1]).task().slips}
        if found[2] not in says:
            known = ", ".join(map(repr, says))
            raise LearnerError(f"{found[1]} has no slip {found[2]!r}; there are {known}.")
        return f"- **{found[1]}, {found[2]}.** {says[found[2]]}"

    return _VOTE.sub(vote, _SLIP.sub(slip, text))
