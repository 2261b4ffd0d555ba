"""Seeds, and slips that have to stand apart from the answer."""

from dataclasses import replace

import pytest

from dampinglab.course.exercise import Exercise, Slip, Task


def task(answer, *slips, **options):
    options = {"quantity": "ratio", "tolerance": 0.01} | options
    return Task("?", answer, slips=tuple(Slip(str(s), s, "so") for s in slips), **options)


def test_without_a_seed_the_task_is_the_published_one(examples):
    exercise = examples["7.1"]
    assert exercise.task() == exercise.make(**exercise.published)


def test_a_seed_belongs_to_one_variant_for_ever(examples):
    exercise = examples["7.1"]
    assert exercise.task(12) == exercise.task(12)
    assert len({exercise.task(seed).statement for seed in range(40)}) > 30
    # Written down, since a seed in somebody's progress file must mean the same task next year.
    assert exercise.task(1).statement == "A mass of 531 kg stands on a spring of 50 N/mm."


@pytest.mark.parametrize(
    ("slips", "clear"),
    [
        ((2.0, 0.5), True),
        ((1.029,), False),
        ((1.032,), True),
        ((0.971,), False),
        ((2.0, 2.05), False),
        ((0.0,), False),
        ((float("nan"),), False),
    ],
)
def test_slips_stand_three_tolerances_apart(slips, clear):
    assert task(1.0, *slips).clear() is clear


def test_two_choices_may_not_be_one():
    assert not task("a", "b", "b", choices={"a": "x", "b": "y"}).clear()
    assert task("a", "b", choices={"a": "x", "b": "y"}).clear()


def test_a_seed_whose_slip_hits_the_answer_is_drawn_again():
    def make(factor):
        return task(1.0, factor)

    def draw(rng):
        return {"factor": rng.choice([1.0, 1.02, 3.0])}

    exercise = Exercise("7.9", "t", make, {"factor": 2.0}, draw, "s")
    assert {exercise.task(seed).slips[0].answer for seed in range(50)} == {3.0}


def test_an_exercise_that_never_stands_apart_says_so():
    exercise = Exercise("7.9", "t", lambda: task(1.0, 1.0), {}, lambda rng: {}, "s")
    with pytest.raises(RuntimeError, match=r"7\.9"):
        exercise.task(1)


def test_tasks_cannot_be_changed(examples):
    with pytest.raises(AttributeError):
        examples["7.1"].task().answer = 3
    assert replace(examples["7.1"].task(), answer=3).answer == 3
