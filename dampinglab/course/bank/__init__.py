"""The bank of exercises: one module a lesson, each with its `EXERCISES`."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from dampinglab.course.exercise import Exercise

__all__ = ["exercises"]


@cache
def exercises() -> dict[str, Exercise]:
    """Return every exercise by its id, in the order of the lessons."""
    names = sorted(found.name for found in iter_modules(__path__) if found.name[:6] == "lesson")
    modules = [import_module(f"{__name__}.{name}") for name in names]
    return {exercise.id: exercise for module in modules for exercise in module.EXERCISES}
