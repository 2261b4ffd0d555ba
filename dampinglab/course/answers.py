"""Recorded answers, read back and judged anew: what somebody typed counts, not what was said."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from dampinglab.course import bank
from dampinglab.course.exercise import Task
from dampinglab.course.verdict import RIGHT, SLIP, Verdict, judge

__all__ = ["LONGEST", "Answer", "read_answers"]

LONGEST = 200
"""Letters of a raw answer that are recorded."""

# A number of the array library is recorded as it writes itself: np.float64(1.35).
_WRAPPED = re.compile(r"(?:np|numpy)\.\w+\(([^()]*)\)")


@dataclass(frozen=True)
class Answer:
    """One recorded answer; `told` is the outcome at the time, the verdict is today's."""

    exercise: str
    raw: str
    seed: int | None
    when: str
    told: str
    verdict: Verdict

    @property
    def right(self) -> bool:
        """Whether it is right."""
        return self.verdict.outcome == RIGHT

    @property
    def slipped(self) -> bool:
        """Whether it is one of the exercise's known slips."""
        return self.verdict.outcome == SLIP


def read_answers(records: Iterable[Mapping[str, object]]) -> tuple[list[Answer], int]:
    """Return the answers among some records, and how many records are none."""
    read = [_answer(record) for record in records]
    return [answer for answer in read if answer], read.count(None)


def _answer(record: Mapping[str, object]) -> Answer | None:
    name, raw, seed = (record.get(key) for key in ("exercise", "raw", "seed"))
    known = isinstance(name, str) and name in bank.exercises()
    if not known or not isinstance(raw, str) or len(raw) > LONGEST or not _is_seed(seed):
        return None
    wrapped = _WRAPPED.fullmatch(raw)
    verdict = judge(_task(name, seed), wrapped[1] if wrapped else raw)
    told = record.get("outcome")
    return Answer(name, raw, seed, _when(record.get("when")), str(told)[:20], verdict)


def _is_seed(seed: object) -> bool:
    return seed is None or (type(seed) is int and 0 <= seed < 2**32)


def _when(when: object) -> str:
    """Return the time of a record, empty where it does not say one."""
    try:
        return datetime.fromisoformat(str(when)[:25]).isoformat(" ")
    except ValueError:
        return ""


@lru_cache(maxsize=5_000)
def _task(name: str, seed: int | None) -> Task:
    return bank.exercises()[name].task(seed)
