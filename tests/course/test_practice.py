"""What a learner sees and keeps: check, hint, solution, practise, without a browser."""

import json
import os

import pytest

from dampinglab import journal
from dampinglab.course import check, hint, practice, practise, progress, solution
from dampinglab.course.marking import MarkingFailure

RIGHT = 1.5915


@pytest.fixture(autouse=True)
def shown(monkeypatch, examples, workbook):
    """The words that the plain view shows."""
    said = []
    monkeypatch.setattr(practice, "display", said.append)
    monkeypatch.setattr(practice, "_views", [practice.PlainView()])
    return said


def kept():
    return journal.read(progress.path())[0]


@pytest.mark.parametrize(
    ("answer", "heading", "edge"),
    [
        (RIGHT, "Right.", "solid"),
        (10, "probably happened", "dashed"),
        (0.7, "Not yet.** The first hint says", "dashed"),
        (..., "Not attempted yet", "dotted"),
        ("nonsense", "cannot be read", "dotted"),
    ],
)
def test_check_answers_in_words_first(shown, answer, heading, edge):
    assert check("7.1", answer) is None
    (said,) = shown
    assert heading in said.text
    assert 'role="status"' in said.html
    assert f"6px {edge}" in said.html
    assert "**" not in said._repr_mimebundle_()["text/plain"]


def test_a_blank_says_where_the_answer_goes(shown):
    check("7.1")
    assert "where the dots are" in shown[0].text


def test_a_decimal_comma_that_python_split_is_joined_again(shown):
    check("7.1", 1, 59)
    assert "Right." in shown[0].text


def test_an_unknown_exercise_gets_a_sentence(shown):
    for act in (check, hint, solution, practise):
        act("7.3")
    check(7.1)
    assert len(shown) == 5
    for said in shown:
        assert "'7.1', '7.2'" in said.text


def test_what_is_kept_is_the_raw_answer(shown):
    check("7.1", "10 Hz")
    check("7.1", 1.5)
    check("7.1", ...)  # nothing was answered, so nothing is kept
    check("7.1", 2.0, seed=5)
    lines = [json.loads(line) for line in progress.path().read_text("utf-8").splitlines()]
    names = ["format", "when", "exercise", "outcome", "slip", "raw", "seed", "course"]
    assert [list(line) for line in lines] == [names] * 3
    assert [line["raw"] for line in lines] == ["10 Hz", "1.5", "2.0"]
    assert [line["slip"] for line in lines] == ["no 2 pi", "", ""]
    assert [line["seed"] for line in lines] == [None, None, 5]


def test_a_seed_is_checked_against_its_own_variant(shown, examples):
    for seed in range(5, 9):
        check("7.1", examples["7.1"].task(seed).answer, seed=seed)
    assert all("Right." in said.text for said in shown)


def test_a_full_disk_stops_nobody_and_the_line_follows_later(shown, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(journal.os, "write", full)
        check("7.1", RIGHT)
        check("7.1", 10)
    assert "Right." in shown[0].text
    loses = "Do not restart or shut down this notebook: {} checked but not recorded yet, and {} in "
    loses += "it for the next answer. progress.jsonl: it could not be written (No space left"
    assert loses.format("your answer was", "waits") in shown[0].text
    assert loses.format("your last 2 answers were", "wait") in shown[1].text
    check("7.1", RIGHT)
    assert "notebook" not in shown[2].text


def test_waiting_lines_are_written_first_at_the_next_answer(shown, monkeypatch):
    real = os.write
    monkeypatch.setattr(journal.os, "write", lambda *_: (_ for _ in ()).throw(OSError(28, "full")))
    check("7.1", 1.1)
    check("7.1", 1.2)
    assert progress.tried("7.1")
    monkeypatch.setattr(journal.os, "write", real)
    check("7.1", 1.3)
    assert [line["raw"] for line in kept()] == ["1.1", "1.2", "1.3"]


def test_a_newer_progress_file_is_left_alone_and_the_check_still_answers(shown):
    progress.path().write_text('{"format": "dampinglab progress 2"}\n')
    before = progress.path().read_bytes()
    check("7.1", RIGHT)
    assert "Right." in shown[0].text
    assert "newer version" in shown[0].text
    assert progress.path().read_bytes() == before


def test_a_workbook_that_is_gone_stops_nobody(shown, monkeypatch, workbook):
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(workbook / "gone"))
    check("7.1", RIGHT)
    solution("7.1")
    assert "Right." in shown[0].text


def test_hints_come_one_by_one_and_stay(shown):
    for _ in range(4):
        hint("7.1")
    hint("7.1", 1)
    counts = [said.text.count("**Hint") for said in shown]
    assert counts == [1, 2, 3, 3, 1]
    assert "Ask how often" in shown[0].text
    assert "f = √(k / m)" in shown[2].text


def test_a_solution_is_folded_until_something_was_tried(shown):
    solution("7.1")
    check("7.1", 0.7)
    solution("7.1")
    first, _, second = shown
    assert "have not answered" in first.text
    assert "1.592 Hz" not in first.text
    assert "<details>" in first.html
    assert "1.592 Hz" in first.html
    assert "1.592 Hz" in second.text
    assert "<details>" not in second.html


def test_practice_without_buttons_names_its_seed(shown):
    practise("7.1", seed=5)
    assert 'check("7.1", ..., seed=5)' in shown[0].text


@pytest.fixture
def marked(monkeypatch):
    monkeypatch.setenv("DAMPINGLAB_MARKING", "1")


@pytest.mark.parametrize(
    ("answer", "words"),
    [(..., "Not attempted yet"), (10, "divide by 2π"), (0.7, "Not yet"), ("kg", "cannot be read")],
)
def test_marking_stops_in_one_line(marked, workbook, answer, words):
    with pytest.raises(MarkingFailure, match=words) as caught:
        check("7.1", answer)
    (line,) = caught.value._render_traceback_()
    assert line.startswith("Exercise 7.1. ")
    assert "\n" not in line
    assert list(workbook.iterdir()) == []


def test_marking_lets_a_right_answer_pass_and_keeps_it_elsewhere(marked, workbook, shown):
    check("7.1", RIGHT)
    assert "Right." in shown[0].text
    assert list(workbook.iterdir()) == []
    assert progress.path().exists()


def test_marking_does_not_hide_an_unknown_exercise(marked):
    with pytest.raises(ValueError, match="no exercise"):
        check("7.3", 1)


def test_marking_is_never_guessed(monkeypatch, shown):
    monkeypatch.setenv("DAMPINGLAB_MARKING", "0")
    check("7.1", 0.7)
    assert "Not yet" in shown[0].text
