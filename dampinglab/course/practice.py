"""What a learner calls in a notebook: check, hint, solution and practise.

The words are made here; a view shows them. The panels put a view with buttons in place; without
one the same words appear as plain text.
"""

import random
from typing import Protocol

from IPython.display import display

from dampinglab.course import marking, progress, words
from dampinglab.course.exercise import Exercise, Task
from dampinglab.course.lessons import find
from dampinglab.course.verdict import BLANK, RIGHT, SLIP, UNREAD, WRONG, Verdict, judge
from dampinglab.errors import LearnerError

__all__ = [
    "PlainView",
    "View",
    "Words",
    "attempt",
    "check",
    "hint",
    "hint_text",
    "new_seed",
    "practise",
    "show_with",
    "solution",
    "solution_words",
    "verdict_words",
]

HEADINGS = {
    RIGHT: "Right.",
    SLIP: "Not yet, and here is what probably happened.",
    WRONG: "Not yet.",
    BLANK: "Not attempted yet.",
    UNREAD: "This cannot be read as an answer.",
}
# The edge says the outcome a second time by its line, for eyes and for a grey print.
EDGES = {RIGHT: "solid", SLIP: "dashed", WRONG: "dashed", BLANK: "dotted", UNREAD: "dotted"}
DOTS = "Your answer goes where the dots are; then press Shift and Enter together."
LOOK = (
    "font-family: sans-serif; font-size: 16px; line-height: 1.4; color: #1A1A1A; "
    "background: #FBFAF6; padding: 4px 14px; margin: 4px 0; max-width: 46em; white-space: normal;"
)


class Words:
    """A block of words that shows as text, and as HTML where there is HTML."""

    def __init__(self, text: str, edge: str = "", role: str = "note", folded: str = "") -> None:
        self.text, self.edge, self.role, self.folded = text, edge, role, folded

    @property
    def html(self) -> str:
        """The block as HTML; a folded part opens on a click or the Enter key."""
        style = f"{LOOK} border-left: 6px {self.edge or 'solid'} #1A1A1A;"
        fold = "<details><summary>Show the worked answer all the same</summary>{}</details>"
        more = fold.format(words.html(self.folded)) if self.folded else ""
        body = words.html(self.text) + more
        return f'<div class="dampinglab-words" role="{self.role}" style="{style}">{body}</div>'

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        text = "\n\n".join(part for part in (self.text, self.folded) if part)
        return {"text/plain": text.replace("**", ""), "text/html": self.html}


class View(Protocol):
    """What shows the words; both methods display something in the notebook."""

    def feedback(self, exercise: Exercise, said: Words, seed: int | None, verdict: Verdict) -> None:
        """Show the reply to an answer."""

    def practice(self, exercise: Exercise, seed: int) -> None:
        """Show practice without end."""


class PlainView:
    """Words only, for marking and for a kernel without widgets."""

    def feedback(self, exercise: Exercise, said: Words, seed: int | None, verdict: Verdict) -> None:
        """Show the reply and nothing else."""
        display(said)

    def practice(self, exercise: Exercise, seed: int) -> None:
        """Show the variant, to be answered by a check with its seed."""
        line = f'Answer by check("{exercise.id}", ..., seed={seed}) in a cell of its own.'
        display(Words(f"{words.task_text(exercise.task(seed))}\n\n{line}"))


_PLAIN = PlainView()
_views: list[View] = [_PLAIN]
_hints_shown: dict[tuple[str, int | None], int] = {}


def show_with(view: View) -> None:
    """Let a view with buttons show the words from now on."""
    _views[0] = view


def _view() -> View:
    return _PLAIN if marking.active() else _views[0]


def new_seed() -> int:
    """Return a seed nobody chose, short enough to be read out in a class."""
    return random.SystemRandom().randrange(1, 100_000)


def attempt(
    exercise: Exercise, task: Task, answer: object, seed: int | None
) -> tuple[Verdict, str]:
    """Judge an answer and record it; return the verdict, and a sentence if recording failed."""
    verdict = judge(task, answer)
    if verdict.outcome == BLANK:
        return verdict, ""
    return verdict, progress.record(exercise.id, verdict.outcome, verdict.slip, answer, seed)


def verdict_words(verdict: Verdict, note: str = "") -> Words:
    """Put a verdict into the block that a learner reads."""
    says = verdict.says
    if verdict.outcome == WRONG and not says:
        says = "The first hint says where to begin."
    lines = [f"**{HEADINGS[verdict.outcome]}** {says}", note]
    text = "\n\n".join(line for line in lines if line)
    return Words(text, edge=EDGES[verdict.outcome], role="status")


def hint_text(task: Task, step: int) -> str:
    """Return the hints up to a step, counted from 1."""
    step = min(max(step, 1), len(task.hints))
    lines = [f"**Hint {i} of {len(task.hints)}.** {task.hints[i - 1]}" for i in range(1, step + 1)]
    return "\n\n".join(lines)


def solution_words(exercise: Exercise, task: Task, earned: bool) -> Words:
    """Return the worked answer; folded, with a kind word, when nothing was tried."""
    worked = words.solution(exercise, task)
    if earned:
        return Words(worked)
    return Words(
        "You have not answered this one yet. A wrong try, with its reply, teaches more.",
        folded=worked,
    )


def check(exercise_id: str, answer: object = ..., *more: object, seed: int | None = None) -> None:
    """Check an answer and say right, or what the mistake probably was."""
    if more:  # check("1.2", 1,35) where the kernel did not put 1,35 in quotes
        answer = ",".join(str(part) for part in (answer, *more))
    exercise = _find(exercise_id)
    if exercise is None:
        return
    verdict, note = attempt(exercise, exercise.task(seed), answer, seed)
    said = verdict_words(verdict, DOTS if verdict.outcome == BLANK else note)
    if marking.active() and verdict.outcome != RIGHT:
        line = " ".join(said.text.replace("**", "").split())
        raise marking.MarkingFailure(f"Exercise {exercise.id}. {line}")
    _view().feedback(exercise, said, seed, verdict)


def hint(exercise_id: str, step: int | None = None, seed: int | None = None) -> None:
    """Show the next hint, or the hints up to a step: what is asked, the method, the first line."""
    exercise = _find(exercise_id)
    if exercise is None:
        return
    key = (exercise_id, seed)
    _hints_shown[key] = step or _hints_shown.get(key, 0) + 1
    display(Words(hint_text(exercise.task(seed), _hints_shown[key])))


def solution(exercise_id: str, seed: int | None = None) -> None:
    """Show the worked answer with its source."""
    exercise = _find(exercise_id)
    if exercise is not None:
        earned = progress.tried(exercise_id)
        display(solution_words(exercise, exercise.task(seed), earned))


def practise(exercise_id: str, seed: int | None = None) -> None:
    """Show new variants of an exercise, without end."""
    exercise = _find(exercise_id)
    if exercise is not None:
        _view().practice(exercise, new_seed() if seed is None else seed)


def _find(exercise_id: str) -> Exercise | None:
    """Return an exercise; a slip in its id gets a sentence and stops nothing, marking apart."""
    try:
        return find(exercise_id)
    except LearnerError as problem:
        if marking.active():
            raise
        display(Words(str(problem), edge="dotted", role="status"))
        return None
