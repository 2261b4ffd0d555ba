"""The learner's copy of the course, through every way in which it can differ from the course."""

import json

import pytest

from dampinglab import data, workbook
from dampinglab.errors import LearnerError


def notebook(*sources, outputs=(), count=None):
    cells = [
        {
            "cell_type": "code",
            "source": [source],
            "outputs": list(outputs),
            "execution_count": count,
        }
        for source in sources
    ]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A small course: two lessons, a picture, data, and what no learner should get."""
    files = {
        "lessons/00-start-here.ipynb": notebook("1 + 1", 'check("0.1", ...)'),
        "lessons/01-spring-and-mass.ipynb": notebook("2 + 2"),
        "lessons/glossary.md": "words",
        "lessons/pictures/stand.png": "picture",
        "lessons/instructor/key.md": "answers",
        "lessons/.ipynb_checkpoints/00-start-here.ipynb": "old",
        "datasets/dyno/front.csv": "a,b",
        "datasets/generate.py": "code",
    }
    for name, text in files.items():
        path = tmp_path / "course" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    monkeypatch.setattr(data, "folder", lambda name: tmp_path / "course" / name)
    return tmp_path / "course"


@pytest.fixture
def book(tmp_path, shop):
    folder = tmp_path / "book"
    workbook.refresh(folder)
    return folder


LESSON = "00-start-here.ipynb"


def test_first_start_copies_what_a_learner_needs_and_nothing_else(tmp_path, shop):
    changes = workbook.refresh(tmp_path / "deep" / "book")
    wanted = [
        LESSON,
        "01-spring-and-mass.ipynb",
        "demo/dyno/front.csv",
        "glossary.md",
        "pictures/stand.png",
    ]
    assert sorted(changes.new) == wanted
    found = {path for path in (tmp_path / "deep" / "book").rglob("*") if path.is_file()}
    names = sorted(path.relative_to(tmp_path / "deep" / "book").as_posix() for path in found)
    assert names == [workbook.RECORD, *wanted]


def test_second_start_changes_nothing(book):
    before = {path: path.stat().st_mtime_ns for path in book.rglob("*.ipynb")}
    assert workbook.refresh(book) == workbook.Changes()
    assert {path: path.stat().st_mtime_ns for path in book.rglob("*.ipynb")} == before


def test_an_answer_typed_is_kept(book):
    (book / LESSON).write_text(theirs := notebook("1 + 1", 'check("0.1", 350)'))
    changes = workbook.refresh(book)
    assert changes == workbook.Changes(kept=[LESSON])
    assert (book / LESSON).read_text() == theirs


def test_an_answer_is_kept_when_a_newer_lesson_is_there_and_told_each_time(book, shop):
    (book / LESSON).write_text(theirs := notebook("1 + 1", 'check("0.1", 350)'))
    (shop / "lessons" / LESSON).write_text(notebook("1 + 1", "better"))
    for _ in range(2):
        assert workbook.refresh(book) == workbook.Changes(outdated=[LESSON])
        assert (book / LESSON).read_text() == theirs


def test_the_newer_lesson_comes_once_the_learner_moves_theirs(book, shop):
    (book / LESSON).write_text(notebook("mine"))
    (shop / "lessons" / LESSON).write_text(newer := notebook("better"))
    workbook.refresh(book)
    (book / LESSON).rename(book / "mine.ipynb")
    assert workbook.refresh(book) == workbook.Changes(new=[LESSON])
    assert (book / LESSON).read_text() == newer
    assert workbook.refresh(book) == workbook.Changes()


def test_a_lesson_that_was_only_run_is_replaced_by_a_newer_one(book, shop):
    ran = notebook("1 + 1", 'check("0.1", ...)', "", outputs=[{"output_type": "stream"}], count=3)
    (book / LESSON).write_text(ran)
    assert workbook.refresh(book) == workbook.Changes()
    assert (book / LESSON).read_text() == ran
    (shop / "lessons" / LESSON).write_text(newer := notebook("1 + 1", "better"))
    assert workbook.refresh(book) == workbook.Changes(updated=[LESSON])
    assert (book / LESSON).read_text() == newer


def test_a_data_file_edited_is_kept(book):
    (book / "demo/dyno/front.csv").write_text("a,c")
    assert workbook.refresh(book) == workbook.Changes(kept=["demo/dyno/front.csv"])


def test_a_torn_notebook_is_the_learners(book):
    (book / LESSON).write_text('{"cells": [')
    assert workbook.refresh(book).kept == [LESSON]
    assert (book / LESSON).read_text() == '{"cells": ['


@pytest.mark.parametrize("torn", ["", "{", "[]", '{"format": "dampinglab workbook 1"}'])
def test_a_lost_or_torn_record_loses_nothing(book, torn):
    (book / LESSON).write_text(theirs := notebook("mine"))
    (book / workbook.RECORD).write_text(torn)
    assert workbook.refresh(book) == workbook.Changes(outdated=[LESSON])
    assert (book / LESSON).read_text() == theirs


def test_files_of_the_learners_own_are_never_touched(book):
    (book / "progress.jsonl").write_text("{}\n")
    (book / "my notes.md").write_text("notes")
    workbook.refresh(book)
    assert (book / "progress.jsonl").read_text() == "{}\n"
    assert (book / "my notes.md").read_text() == "notes"


def test_a_newer_workbook_is_refused_before_anything_is_written(book, shop):
    record = book / workbook.RECORD
    record.write_text('{"format": "dampinglab workbook 2", "files": {}}')
    (shop / "lessons" / "02-new.ipynb").write_text(notebook("new"))
    with pytest.raises(LearnerError, match=r"another version.*workbook 2.*--folder"):
        workbook.refresh(book)
    assert not (book / "02-new.ipynb").exists()
    assert "workbook 2" in record.read_text()


def test_a_folder_that_is_a_file_gets_one_sentence(tmp_path, shop):
    (tmp_path / "book").write_text("mine")
    with pytest.raises(LearnerError, match=r"cannot be written \(File exists\).*--folder"):
        workbook.refresh(tmp_path / "book")
    assert (tmp_path / "book").read_text() == "mine"


@pytest.mark.parametrize("failing", ["fsync", "replace"])
def test_a_full_disk_leaves_the_old_lesson_whole(book, shop, monkeypatch, failing):
    before = (book / LESSON).read_text()
    (shop / "lessons" / LESSON).write_text(notebook("better"))

    def fail(*_):
        raise OSError(28, "No space left on device")

    target = workbook.os if failing == "fsync" else workbook.Path
    with monkeypatch.context() as patch:
        patch.setattr(target, failing, fail)
        with pytest.raises(LearnerError, match="No space left"):
            workbook.refresh(book)
    assert (book / LESSON).read_text() == before
    assert not list(book.rglob("*.part"))
    assert workbook.refresh(book).updated == [LESSON]


def test_lessons_are_found_by_number(shop):
    assert workbook.find_lesson("00") == workbook.find_lesson("0") == LESSON
    assert workbook.find_lesson("1") == "01-spring-and-mass.ipynb"
    with pytest.raises(LearnerError, match="no lesson '7'; there are 00, 01"):
        workbook.find_lesson("7")


def test_says_what_it_did():
    told = workbook.describe(
        workbook.Changes(
            new=["00-a.ipynb", "01-b.ipynb", "x.csv", "y.csv"],
            updated=["glossary.md"],
            kept=["02-c.ipynb"],
            outdated=["03-d.ipynb"],
        )
    )
    assert told == [
        "New in your workbook: 00-a.ipynb, 01-b.ipynb and 2 other files.",
        "Replaced by a newer one, since you had not changed it: glossary.md.",
        "Kept as you changed it: 02-c.ipynb.",
        "Kept as you changed it, though a newer one is there: 03-d.ipynb. "
        "To get the newer one, give yours another name and start again.",
    ]
    assert workbook.describe(workbook.Changes()) == []
