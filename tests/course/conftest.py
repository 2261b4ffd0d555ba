"""A small bank of its own, so that the machinery is tested whatever the lessons hold."""

import pytest

from dampinglab.course import bank, practice, progress
from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.physics import oscillator


def frequency_task(mass: float, stiffness: float) -> Task:
    right = oscillator.natural_frequency(stiffness, mass)
    return Task(
        statement=f"A mass of {mass:g} kg stands on a spring of {stiffness / 1e3:g} N/mm.",
        answer=right,
        quantity="frequency",
        unit="Hz",
        tolerance=0.01,
        slips=(
            Slip("no 2 pi", right * 6.283185307, "That is in radians a second: divide by 2π."),
            Slip("no root", right**2 * 6.283185307, "Take the square root of k over m."),
        ),
        hints=("Ask how often a second.", "Stiffness over mass, root.", "f = √(k / m) / (2π)"),
        steps=(
            Step("Stiffness in SI", "k", stiffness, "N/m"),
            Step("Natural frequency", "f = √(k / m) / (2π)", right, "Hz"),
        ),
    )


def choice_task(heavier: bool) -> Task:
    what = "heavier" if heavier else "lighter"
    right, wrong = ("a", "b") if heavier else ("b", "a")
    return Task(
        statement=f"The car gets {what}. The frequency:",
        answer=right,
        slips=(Slip("the other way", wrong, "More mass on one spring moves slower."),),
        hints=("Which moves slower?", "Mass stands below the line.", "f = √(k / m) / (2π)"),
        steps=(Step("More mass, slower"),),
        choices={"a": "falls", "b": "rises"},
    )


EXAMPLES = (
    Exercise(
        "7.1",
        "A mass on a spring",
        frequency_task,
        {"mass": 400.0, "stiffness": 40e3},
        lambda rng: {
            "mass": float(rng.integers(200, 900)),
            "stiffness": float(rng.integers(20, 80)) * 1e3,
        },
        "This course's own example",
    ),
    Exercise(
        "7.2",
        "Which way",
        choice_task,
        {"heavier": True},
        lambda rng: {"heavier": bool(rng.integers(2))},
        "Common practice, no source",
    ),
)


@pytest.fixture
def examples(monkeypatch):
    known = {exercise.id: exercise for exercise in EXAMPLES}
    monkeypatch.setattr(bank, "exercises", lambda: known)
    return known


@pytest.fixture
def workbook(tmp_path, monkeypatch):
    """A learner's empty folder, with nothing left over from another test."""
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(tmp_path))
    monkeypatch.delenv("DAMPINGLAB_MARKING", raising=False)
    monkeypatch.setattr(progress, "_waiting", [])
    monkeypatch.setattr(practice, "_hints_shown", {})
    return tmp_path
