"""The buttons, driven as the browser drives them."""

from dataclasses import replace

import pytest

from dampinglab import journal
from dampinglab.course import check, practice, practise, progress
from dampinglab.panels import practice as panel


@pytest.fixture(autouse=True)
def shown(monkeypatch, examples, workbook):
    said = []
    monkeypatch.setattr(panel, "display", said.append)
    monkeypatch.setattr(practice, "_views", [panel.WidgetView()])
    return said


@pytest.fixture
def box(examples):
    return panel.PracticeBox(examples["7.1"], 5)


def press(widget, label):
    """Press the button with this label, wherever it stands."""
    if getattr(widget, "description", None) == label:
        widget.click()
        return True
    return any(press(child, label) for child in getattr(widget, "children", ()))


def enter(box, typed):
    """Type into the box and press the Enter key, as the browser tells it."""
    box.answer.value = typed


def test_the_panels_give_check_its_buttons(shown):
    check("7.1", 10)
    (feedback,) = shown
    assert isinstance(feedback, panel.Feedback)
    assert "divide by 2π" in feedback.reply.value
    assert 'role="status"' in feedback.reply.value


def test_in_marking_mode_there_are_words_only(shown, monkeypatch):
    monkeypatch.setenv("DAMPINGLAB_MARKING", "1")
    said = []
    monkeypatch.setattr(practice, "display", said.append)
    check("7.1", 1.5915)
    practise("7.1")
    assert shown == []
    assert len(said) == 2


def test_hints_and_worked_answer_under_a_reply(shown):
    check("7.1", 10)
    (feedback,) = shown
    counts = []
    for _ in range(4):
        assert press(feedback, "Hint")
        counts.append(feedback.place.value.count("<b>Hint"))
    assert counts == [1, 2, 3, 3]
    press(feedback, "Worked answer")
    assert "1.592 Hz" in feedback.place.value
    assert "<details>" not in feedback.place.value


def test_the_worked_answer_of_a_blank_is_folded(shown):
    check("7.1")
    press(shown[0], "Worked answer")
    assert "<details>" in shown[0].place.value


def test_practise_more_opens_a_box_below(shown):
    check("7.1", 10)
    press(shown[0], "Practise more")
    (box,) = shown[0].box.children
    assert "variant" in box.statement.value


def test_enter_checks_and_is_kept_with_its_seed(box, examples):
    task = examples["7.1"].task(5)
    enter(box, "nonsense")
    assert "cannot be read" in box.reply.value
    enter(box, f"{task.slips[0].answer} Hz")
    assert "divide by 2π" in box.reply.value
    enter(box, f"{task.answer} Hz")
    assert "Right." in box.reply.value
    assert {record["seed"] for record in journal.read(progress.path())[0]} == {5}


def test_one_answer_is_kept_once_however_it_was_entered(box):
    enter(box, "3")  # on the way to the button the box is left, which enters the answer
    press(box, "Check")
    press(box, "Check")
    assert len(journal.read(progress.path())[0]) == 1
    enter(box, "4")
    assert len(journal.read(progress.path())[0]) == 2


def test_the_box_emptied_for_a_new_variant_is_no_answer(box):
    enter(box, "3")
    press(box, "Another")
    assert len(journal.read(progress.path())[0]) == 1
    enter(box, "3")
    assert len(journal.read(progress.path())[0]) == 2


def test_an_empty_box_is_not_attempted(box):
    press(box, "Check")
    assert "Not attempted yet." in box.reply.value
    assert "dots" not in box.reply.value
    press(box, "Worked answer")
    assert "<details>" in box.place.value


def test_another_brings_new_numbers_and_clears_the_rest(box):
    enter(box, "3")
    press(box, "Hint")
    press(box, "Worked answer")
    before = box.statement.value
    press(box, "Another")
    assert box.statement.value != before
    assert (box.answer.value, box.reply.value, box.place.value) == ("", "", "")
    press(box, "Worked answer")
    assert "<details>" in box.place.value
    press(box, "Hint")
    assert box.place.value.count("<b>Hint") == 1


def test_an_exercise_of_one_form_offers_no_other(examples):
    fixed = replace(examples["7.2"], draw=lambda rng: {"heavier": True})
    box = panel.PracticeBox(fixed, 5)
    assert not press(box, "Another")
    assert press(box, "Hint")
    assert press(panel.PracticeBox(examples["7.2"], 5), "Another")
