"""The map of the course: which lesson needs which, its minutes, and where an exercise lives."""

import re
from dataclasses import dataclass
from itertools import zip_longest

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
    Lesson("02", "Damping ratio", "02-damping-ratio.ipynb", ("00", "01"), 18, 22),
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
    Lesson("06", "Ride, grip and travel", "06-ride-grip-and-travel.ipynb", ("03", "05"), 20, 20),
    Lesson("07", "Roll and pitch", "07-roll-and-pitch.ipynb", ("04", "05", "06"), 20, 20),
    Lesson("08", "Load and terrain", "08-load-and-terrain.ipynb", ("01", "02", "06"), 20, 20),
    Lesson(
        "09",
        "From complaint to change",
        "09-from-complaint-to-change.ipynb",
        ("04", "06", "08"),
        18,
        22,
    ),
    Lesson("10", "The compromise", "10-the-compromise.ipynb", ("06", "08", "09"), 18, 22),
    Lesson("11", "Your own vehicle", "11-your-own-vehicle.ipynb", ("01", "02", "03", "09"), 10, 50),
    Lesson("12", "The handover job", "12-the-handover-job.ipynb", ("09", "10"), 10, 45),
)


def find(exercise_id: str) -> Exercise:
    """Return an exercise by its id, such as "1.2"."""
    known = bank.exercises()
    if exercise_id in known:
        return known[exercise_id]
    near = sorted(known, key=lambda key: _apart(str(exercise_id), key))[:3]
    there = [key for key in known if key in near]
    raise LearnerError(
        f"There is no exercise {exercise_id!r}: the nearest are {', '.join(map(repr, there))}, "
        "with the quotes."
    )


def _apart(one: str, other: str) -> list[int]:
    """Return how far apart two ids are, first in lessons, then in exercises."""
    pairs = zip_longest(*(re.findall(r"\d+", text) for text in (one, other)), fillvalue="0")
    return [abs(int(a) - int(b)) for a, b in pairs]
