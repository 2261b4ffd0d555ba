"""Marking mode: switched on by the environment, so that a wrong answer stops its cell."""

import os

from dampinglab.errors import LearnerError

__all__ = ["MarkingFailure", "active"]


class MarkingFailure(LearnerError):
    """An exercise is not right; a notebook and its marker show it as one line."""


def active() -> bool:
    """Whether DAMPINGLAB_MARKING=1 is set; it is never guessed from anything else."""
    return os.environ.get("DAMPINGLAB_MARKING") == "1"
