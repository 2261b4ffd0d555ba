"""Every exercise of the bank: blank, right, each slip, nonsense, the tolerance, 50 variants."""

from itertools import combinations

import pytest

from dampinglab.course import bank, words
from dampinglab.course.verdict import BLANK, RIGHT, SLIP, UNREAD, WRONG, judge
from dampinglab.units import minus

SEEDS = [None, *range(1, 51)]
EXERCISES = list(bank.exercises().values())
every = pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.id)
NUMBERS = [one for one in EXERCISES if not one.task().choices]
numbers = pytest.mark.parametrize("exercise", NUMBERS, ids=lambda exercise: exercise.id)


def reply(task, value):
    """Judge a value as a learner would have typed it."""
    return judge(task, words.written(task, value))


def test_ids_are_unique_and_belong_to_their_module():
    import importlib
    import pkgutil

    found = []
    for module in pkgutil.iter_modules(bank.__path__):
        content = importlib.import_module(f"{bank.__name__}.{module.name}")
        if module.name.startswith("lesson"):
            number = str(int(module.name.removeprefix("lesson")))
            found += [exercise.id for exercise in content.EXERCISES]
            assert all(e.id.partition(".")[0] == number for e in content.EXERCISES)
    assert len(found) == len(set(found)) == len(EXERCISES)


@every
def test_it_is_complete(exercise):
    task = exercise.task()
    assert exercise.title
    assert exercise.source
    assert len(task.hints) == 3
    assert len(set(task.hints)) == 3
    assert task.steps
    assert len({slip.name for slip in task.slips}) == len(task.slips)
    assert all(slip.says.endswith((".", "?")) for slip in task.slips)
    if task.choices:
        assert {slip.answer for slip in task.slips} == set(task.choices) - {task.answer}
    else:
        assert 2 <= len(task.slips) <= 5
        assert any(step.value is not None and task.near(step.value, task.answer)
                   for step in task.steps)  # fmt: skip


@every
def test_the_published_task_stands_apart_from_its_slips(exercise):
    assert exercise.task().clear()


@every
def test_blank_right_nonsense_and_each_slip_get_their_own_words_in_each_variant(exercise):
    for task in map(exercise.task, SEEDS):
        assert judge(task, ...).outcome == BLANK
        assert judge(task, "no idea").outcome == UNREAD
        assert reply(task, task.answer).outcome == RIGHT
        for slip in task.slips:
            verdict = reply(task, slip.answer)
            assert (verdict.outcome, verdict.slip, verdict.says) == (SLIP, slip.name, slip.says)


@pytest.mark.parametrize("name", ["0.1", "0.2", "0.3"])
def test_a_conversion_is_not_passed_by_copying_the_question(name):
    task = bank.exercises()[name].task()
    number, unit = {"0.1": (25, "kgf"), "0.2": (10, "in/s"), "0.3": (200, "lbf/in")}[name]
    assert judge(task, f"{number} {unit}").outcome == WRONG
    assert judge(task, number).outcome == SLIP
    assert words.asks(task) == f"Answer in {task.unit}."


@every
def test_the_replies_of_two_slips_differ(exercise):
    says = [slip.says for slip in exercise.task().slips]
    assert all(one != other for one, other in combinations(says, 2))


@numbers
def test_both_sides_of_the_tolerance(exercise):
    for task in map(exercise.task, SEEDS):
        for side in (-1, 1):
            inside = task.answer * (1 + side * task.tolerance * 0.98)
            assert reply(task, inside).outcome == RIGHT
            outside = task.answer * (1 + side * (task.tolerance * 1.02 + 1e-6))
            assert reply(task, outside).outcome == WRONG


@numbers
def test_the_hints_do_not_give_the_answer_away(exercise):
    task = exercise.task()
    given = words.answer(task).split()[0]
    for text in (*task.hints, *(slip.says for slip in task.slips)):
        assert given not in text.split()


@numbers
def test_practice_brings_many_variants(exercise):
    shipped_records = all(isinstance(value, str) for value in exercise.published.values())
    least = 3 if exercise.published and shipped_records else 20
    assert len({exercise.task(seed).statement for seed in SEEDS}) >= least


@every
def test_the_statement_is_short_enough_for_its_cell(exercise):
    assert len(words.statement(exercise).split()) <= 130


@every
def test_a_seed_is_the_same_variant_every_time(exercise):
    assert exercise.task(7) == exercise.task(7)


@every
def test_a_number_below_zero_has_a_true_minus(exercise):
    for seed in SEEDS[:6]:
        task = exercise.task(seed)
        told = " ".join([task.statement, *task.hints, *(slip.says for slip in task.slips)])
        assert minus(told) == told


def test_three_figures_are_enough_in_every_unit_of_a_pressure():
    task = bank.exercises()["9.2"].task()
    assert {judge(task, typed).outcome for typed in ("741", "7.41 bar", "107 psi")} == {RIGHT}
