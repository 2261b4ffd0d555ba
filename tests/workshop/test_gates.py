"""What is checked before a click, and in which order."""

import json
import re
from pathlib import Path

import pytest

from dampinglab.errors import LearnerError
from dampinglab.workshop.gates import GATES, first_failed

PASSED = dict.fromkeys(GATES, True)


def test_safety_comes_first_then_the_cheap_checks_and_clicks_last():
    order = list(GATES)
    assert order[:4] == ["unsafe", "pressure", "mass", "height"]
    assert order[-1] == "sides"
    assert {"mounts", "leaks", "rod", "gas", "spring", "stop"} <= set(order)


@pytest.mark.parametrize("key", GATES)
def test_a_failed_gate_answers_though_all_others_passed(key):
    assert first_failed(PASSED | {key: False}) is GATES[key]
    assert first_failed(PASSED | {key: None}) is GATES[key]


def test_the_first_of_two_failures_answers():
    assert first_failed(PASSED | {"spring": False, "mass": False}).key == "mass"


def test_nothing_checked_begins_at_the_beginning_and_all_passed_lets_the_job_go_on():
    assert first_failed({}).key == "unsafe"
    assert first_failed(PASSED) is None


@pytest.mark.parametrize("gate", GATES.values(), ids=list(GATES))
def test_each_gate_asks_says_how_and_what_then(gate):
    assert gate.asks.endswith("?")
    assert gate.how.endswith(".")
    assert gate.stops == gate.fails.startswith("Stop, do not drive")
    assert gate.key == "sides" or "no click cures this" in gate.fails


def test_a_check_that_does_not_exist_gets_one_sentence():
    with pytest.raises(LearnerError, match=r"no check 'presure'; perhaps you meant 'pressure'"):
        first_failed({"presure": True})


def test_lesson_09_marks_the_gates_that_stop_a_drive():
    lesson = Path(__file__).parents[2] / "lessons" / "09-from-complaint-to-change.ipynb"
    cells = ["".join(cell["source"]) for cell in json.loads(lesson.read_text())["cells"]]
    (gates,) = (cell for cell in cells if cell.startswith("## The gates"))
    marked = ["*stop*" in line for line in re.findall(r"^\d+\. .*", gates, re.M)]
    assert marked == [gate.stops for gate in GATES.values()]
