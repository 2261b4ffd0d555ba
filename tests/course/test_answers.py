"""Recorded answers are judged by what was typed, whatever the record says of them."""

import json

import numpy as np
import pytest

from dampinglab.course import bank, progress, words
from dampinglab.course.answers import read_answers
from dampinglab.course.verdict import judge


def record(exercise, raw, seed=None, **more):
    made = {"exercise": exercise, "raw": raw, "seed": seed, "outcome": "right", "when": "2030"}
    return {"format": progress.FORMAT, **made, **more}


@pytest.mark.parametrize("name", bank.exercises())
def test_an_answer_is_judged_as_it_was_when_it_was_recorded(workbook, name):
    """Through the file and back; the practice variant comes from its seed."""
    for seed in (None, 12):
        task = bank.exercises()[name].task(seed)
        for value in (task.answer, task.slips[0].answer):
            typed = words.written(task, value)
            outcome = judge(task, typed).outcome
            progress.record(name, "whatever was said", "", typed, seed)
            line = (workbook / "progress.jsonl").read_text("utf-8").splitlines()[-1]
            ((answer,), lost) = read_answers([json.loads(line)])
            assert (answer.verdict.outcome, answer.told, lost) == (outcome, "whatever was said", 0)


@pytest.mark.parametrize("kind", [np.float64, np.float32, int, float, str])
def test_a_number_of_the_array_library_is_read_back(workbook, kind):
    task = bank.exercises()["0.1"].task()
    value = kind(round(task.answer))
    progress.record("0.1", "", "", value, None)
    line = (workbook / "progress.jsonl").read_text("utf-8").splitlines()[-1]
    ((answer,), _) = read_answers([json.loads(line)])
    assert answer.verdict == judge(task, value)


@pytest.mark.parametrize(
    "bad",
    [
        {},
        record("0.99", "1"),
        record(["0.1"], "1"),
        record("0.1", 245),
        record("0.1", "1" * 201),
        record("0.1", "1", -1),
        record("0.1", "1", 2**32),
        record("0.1", "1", True),
        record("0.1", "1", 1.0),
        record("0.1", "1", "7"),
    ],
)
def test_what_is_no_answer_is_counted_and_left_out(bad):
    assert read_answers([bad, record("0.1", "245 N")])[1] == 1
    assert len(read_answers([bad, record("0.1", "245 N")])[0]) == 1
