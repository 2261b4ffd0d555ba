"""The course: exercises, what a learner calls in a notebook, progress and marking."""

from IPython import get_ipython

from dampinglab.course import mishaps, typed
from dampinglab.course.practice import check, hint, practise, solution

__all__ = ["check", "hint", "practise", "solution"]

_shell = get_ipython()
if _shell is not None:
    typed.install(_shell)
    mishaps.install(_shell)
