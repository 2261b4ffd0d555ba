"""The class command as it is typed."""

import json

import pytest

from dampinglab.cli import main
from dampinglab.course import bank, progress, words


@pytest.fixture
def folder(tmp_path):
    """Two learners: one right at lesson 00, one who slipped."""
    for name, right in (("anna", True), ("王小明 $x$", False)):
        (tmp_path / "class" / name).mkdir(parents=True)
        with (tmp_path / "class" / name / "progress.jsonl").open("w", encoding="utf-8") as file:
            for exercise in ("0.1", "0.2", "1.1"):
                task = bank.exercises()[exercise].task()
                raw = words.written(task, task.answer if right else task.slips[0].answer)
                made = {"format": progress.FORMAT, "exercise": exercise, "raw": raw, "seed": None}
                file.write(json.dumps(made) + "\n")
    return tmp_path / "class"


def test_words_table_and_picture(folder, tmp_path, capsys):
    table, picture = tmp_path / "table.csv", tmp_path / "class.png"
    before = sorted(tmp_path.rglob("*"))
    assert main(["class", str(folder), "--csv", str(table), "--picture", str(picture)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "2 learners" in out
    assert "2/7    1/8" in out
    assert sorted(tmp_path.rglob("*")) == sorted([*before, table, picture])
    assert table.read_bytes().startswith(b"\xef\xbb\xbflearner,")
    assert table.read_text("utf-8-sig").count("\n") == 7
    data = picture.read_bytes()
    assert data.startswith(b"\x89PNG")
    assert b"2 learners by 15 exercises of lessons 00, 01, a square for each" in data


@pytest.mark.parametrize("option", ["--csv", "--picture"])
def test_nothing_that_is_there_is_written_over(folder, tmp_path, capsys, option):
    there = tmp_path / "there.png"
    there.write_bytes(b"mine")
    assert main(["class", str(folder), option, str(there)]) == 2
    assert "there.png: this file is there already and stays" in capsys.readouterr().err
    assert there.read_bytes() == b"mine"


@pytest.mark.parametrize(
    "words_",
    [
        [],
        ["nowhere"],
        ["EMPTY"],
        ["CLASS", "--picture", "x.txt"],
        ["CLASS", "--csv", "nowhere/x.csv"],
        ["BAD", "--picture", "x.png"],
    ],
)
def test_what_cannot_be_used_gets_one_sentence(folder, tmp_path, capsys, words_, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "EMPTY").mkdir()
    (tmp_path / "BAD").mkdir()
    (tmp_path / "BAD" / "x.jsonl").write_text("nothing")
    try:
        code = main(["class", *(str(folder) if word == "CLASS" else word for word in words_)])
    except SystemExit as ending:
        code = ending.code
    out, err = capsys.readouterr()
    assert (code, out, err.count("\n")) == (2, "", 1)
