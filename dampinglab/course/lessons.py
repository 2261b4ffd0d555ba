"""The map of the course: which lesson needs which, its minutes, and where an exercise lives."""

from dataclasses import dataclass

from dampinglab.course import bank
from dampinglab.course.exercise import Exercise
from dampinglab.errors import LearnerError

__all__ = ["LESSONS", "Lesson", "find"]


@dataclass(frozen=True)
class Lesson:
    """One lesson: its number, title and file, the lessons it needs, and its minutes."""

    number: str
    title: str
    file: str
    needs: tuple[str, ...]
    read: int
    practise: int


LESSONS = (
    Lesson("00", "Start here", "00-start-here.ipynb", (), 15, 15),
    Lesson("01", "Spring and mass", "01-spring-and-mass.ipynb", ("00",), 15, 20),
    Lesson("02", "Damping ratio", "02-damping-ratio.ipynb", ("00", "01"), 15, 20),
    Lesson("03", "Force and speed", "03-force-and-speed.ipynb", ("00", "01", "02"), 20, 20),
    Lesson(
        "04", "What each adjuster does", "04-what-each-adjuster-does.ipynb", ("00", "03"), 20, 20
    ),
    Lesson(
        "05",
        "Bump and droop speed zones",
        "05-bump-and-droop-speed-zones.ipynb",
        ("03", "04"),
        15,
        20,
    ),
)


def find(exercise_id: str) -> Exercise:
    """Return an exercise by its id, such as "1.2"."""
    known = bank.exercises()
    if exercise_id in known:
        return known[exercise_id]
    lesson = str(exercise_id).partition(".")[0]
    there = [key for key in known if key.partition(".")[0] == lesson] or list(known)
    raise LearnerError(
        f"There is no exercise {exercise_id!r}: there are {', '.join(map(repr, there))}, "
        "with the quotes."
    )
