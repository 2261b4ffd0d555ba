"""One exercise as data: its statement, answer, slips, hints and worked steps from one function."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import combinations
from math import isfinite

import numpy as np

__all__ = ["Exercise", "Slip", "Step", "Task", "choice"]

# A known slip has to stand clear of the answer, or a right answer could be called a slip.
CLEARANCE = 3.0
DRAWS = 100


@dataclass(frozen=True)
class Slip:
    """A known mistake: the answer that it leads to (SI, or the key of a choice) and the reply."""

    name: str
    answer: float | str
    says: str


@dataclass(frozen=True)
class Step:
    """One line of the worked answer: words, formula in plain text, and its value in SI."""

    words: str
    formula: str = ""
    value: float | None = None
    unit: str = ""


@dataclass(frozen=True)
class Task:
    """One variant of an exercise; a choice has texts by key, a number has a quantity and unit.

    The quantity is one of the units table ("ratio" with no unit for a plain number); the tolerance
    is relative to the answer.
    """

    statement: str
    answer: float | str
    quantity: str = ""
    unit: str = ""
    tolerance: float = 0.01
    slips: tuple[Slip, ...] = ()
    hints: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    choices: Mapping[str, str] = field(default_factory=dict)
    close: str = ""  # the words for a near miss that is not a matter of rounding
    only_unit: bool = False  # the conversion is the exercise, so no other unit is taken

    def near(self, value: float, target: float, tolerances: float = 1.0) -> bool:
        """Whether a value lies within so many tolerances of a target, rounding of floats aside."""
        return abs(value - target) <= (tolerances * self.tolerance + 1e-9) * abs(target)

    def clear(self) -> bool:
        """Whether the answer and all the slips can be told from one another."""
        values = [self.answer, *(slip.answer for slip in self.slips)]
        if self.choices:
            return len(set(values)) == len(values)
        if not all(isfinite(value) and value for value in values):
            return False
        pairs = combinations(values, 2)
        return not any(self.near(a, b, CLEARANCE) or self.near(b, a, CLEARANCE) for a, b in pairs)


def choice(statement: str, options: Mapping[str, tuple[str, str]], hints, steps) -> Task:
    """Return a question of texts to choose from, each with its reply; the right one has none."""
    (right,) = (key for key, (_, reply) in options.items() if not reply)
    return Task(
        statement=statement,
        answer=right,
        choices={key: text for key, (text, _) in options.items()},
        slips=tuple(Slip(key, key, reply) for key, (_, reply) in options.items() if reply),
        hints=hints,
        steps=tuple(Step(words) for words in steps),
    )


@dataclass(frozen=True)
class Exercise:
    """A numbered exercise: `make` turns inputs into a task, `draw` draws inputs for practice."""

    id: str
    title: str
    make: Callable[..., Task]
    published: Mapping[str, object]
    draw: Callable[[np.random.Generator], Mapping[str, object]]
    source: str

    def task(self, seed: int | None = None) -> Task:
        """Return the published task, or the practice variant that belongs to a seed."""
        if seed is None:
            return self.make(**self.published)
        rng = np.random.default_rng(seed)
        for _ in range(DRAWS):
            task = self.make(**self.draw(rng))
            if task.clear():
                return task
        raise RuntimeError(f"Exercise {self.id} drew no variant whose slips stand apart.")

    def varies(self) -> bool:
        """Whether practice brings other questions; one in words alone may have only one form."""
        return len({self.task(seed).statement for seed in range(1, 9)}) > 1
