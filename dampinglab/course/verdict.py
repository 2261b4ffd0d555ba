"""What an answer is worth, and the words that help: pure, from a task and what was typed."""

import math
from dataclasses import dataclass

from dampinglab.course import words
from dampinglab.course.exercise import CLEARANCE, Slip, Task
from dampinglab.errors import LearnerError
from dampinglab.units import from_si, parse_quantity, to_si, unit_written, units_of

__all__ = ["BLANK", "RIGHT", "SLIP", "UNREAD", "WRONG", "Verdict", "judge"]

RIGHT, SLIP, WRONG = "right", "slip", "wrong"
BLANK, UNREAD = "not attempted", "cannot read it"
QUOTES = "\"'“”„‘’‚"


@dataclass(frozen=True)
class Verdict:
    """An outcome, the words for it, and the name of the slip when there was one."""

    outcome: str
    says: str
    slip: str = ""


def judge(task: Task, answer: object) -> Verdict:
    """Judge one answer; what the learner has not earned is never in the words."""
    if answer is None or answer is Ellipsis or str(answer).strip() in ("", "...", "…"):
        return Verdict(BLANK, words.asks(task))
    answer = _bare(answer)
    try:
        value = _choice(task, answer) if task.choices else _number(task, answer)
    except LearnerError as problem:
        return Verdict(UNREAD, str(problem))
    if task.only_unit and isinstance(answer, str) and unit_written(answer) not in ("", task.unit):
        return Verdict(WRONG, f"Turning it into {task.unit} is the exercise. {words.asks(task)}")
    if _same(task, value, task.answer):
        return Verdict(RIGHT, f"{words.answer(task)}.")
    slip = _slip(task, value)
    if slip:
        return Verdict(SLIP, slip.says, slip.name)
    return Verdict(WRONG, "" if task.choices else _help(task, value))


def _slip(task: Task, value: float | str) -> Slip | None:
    """Return the slip that gives this answer, or the only one that does when it is rounded."""
    exact = [slip for slip in task.slips if _same(task, value, slip.answer)]
    if exact or task.choices:
        return exact[0] if exact else None
    if task.near(value, task.answer, CLEARANCE) or _rounded(task, value, task.answer, (0, 1)):
        return None
    rounded = [slip for slip in task.slips if _rounded(task, value, slip.answer, (1,))]
    return rounded[0] if len(rounded) == 1 else None


def _bare(typed: object) -> object:
    """Return what was typed without quotes round it; a lone one behind a number means inches."""
    quoted = isinstance(typed, str) and typed.strip()[:1] in QUOTES
    return typed.strip().strip(QUOTES) if quoted else typed


def _same(task: Task, value: float | str, target: float | str) -> bool:
    return value == target if task.choices else task.near(value, target)


def _number(task: Task, answer: object) -> float:
    if not isinstance(answer, str):
        answer = getattr(answer, "item", lambda: answer)() if _single(answer) else answer
    return parse_quantity(answer, task.quantity, task.unit)


def _single(answer: object) -> bool:
    """Whether this is one number of the array library, which carries its value in `item`."""
    return getattr(answer, "size", 0) == 1


def _choice(task: Task, answer: object) -> str:
    typed = str(answer).strip().strip(".)(").lower()
    for key, text in task.choices.items():
        if typed in (key.lower(), text.strip().rstrip(".").lower()):
            return key
    raise LearnerError(f"{answer!r} is none of the choices. {words.asks(task)}")


_EXACT = 0.001  # a tolerance that forgives no more than the rounding of floats
_CLOSE = "Close, but rounded on the way: round only the last number, to three figures."


def _help(task: Task, value: float) -> str:
    """Say what kind of miss a number is, without saying the number that it missed."""
    target = float(task.answer)
    if _counted(task, target):
        return _miscounted(value, target)
    if not task.close and _rounded(task, value, target, (0, 1)):  # a reading has its own words
        return "The way is right, but the number is rounded too far: give three figures."
    if task.near(value, target, CLEARANCE):
        return task.close or _CLOSE
    if task.near(-value, target):
        return "The size is right and the sign is not: ask which way it acts."
    typed = from_si(value, task.unit) if task.unit else value
    for unit in () if task.only_unit else units_of(task.quantity):
        if task.near(to_si(typed, unit), target):
            read = f"in {task.unit}" if task.unit else "as a plain number"
            return f"Your number is right in {unit}, and it was read {read}: name its unit."
    return _scale(task, value, target)


def _counted(task: Task, target: float) -> bool:
    """Whether the answer is a count, which is whole and exact."""
    plain = task.quantity == "clicks" or not task.unit
    return plain and target.is_integer() and task.tolerance <= _EXACT


def _miscounted(value: float, target: float) -> str:
    """Say what kind of miss a count is: it has no units, and nothing in it is rounded."""
    if value < 0 or not value.is_integer():
        return "A count is a whole number, never below zero."
    if abs(value - target) <= 1:
        return "Close, but a count is exact: look where it begins and where it ends."
    if value in (target / 2, target * 2):
        return "You are out by a factor of two: something is counted twice, or only half of it."
    if value in (target / 10, target * 10):
        return "The digits are right: there is a nought too many or too few."
    return ""


def _rounded(task: Task, value: float, target: float, cuts: tuple[int, ...]) -> bool:
    """Whether a value is the target, rounded to so many digits behind its first."""
    typed, wanted = (from_si(x, task.unit) if task.unit else x for x in (value, target))
    return any(math.isclose(typed, float(f"{wanted:.{n}e}"), rel_tol=1e-9) for n in cuts)


def _scale(task: Task, value: float, target: float) -> str:
    for power in (*range(-9, 0), *range(1, 10)):
        if task.near(value * 10.0**power, target):
            return "The digits are right and the decimal point is not: go over the units."
    for factor in (0.5, 2.0):
        if task.near(value * factor, target):
            return "You are out by a factor of two: look for a half too many, or a pair."
    return ""
