"""The selfcheck as it is typed, and what it says of an installation that is not whole."""

import shutil
from dataclasses import replace

import pytest

from dampinglab import data, selfcheck
from dampinglab.cli import main
from dampinglab.course import bank
from dampinglab.physics import vehicle
from dampinglab.workshop import baseline


def leave_out(monkeypatch, *names):
    kept = {name: check for name, check in selfcheck.CHECKS.items() if name not in names}
    assert len(kept) == len(selfcheck.CHECKS) - len(names)
    monkeypatch.setattr(selfcheck, "CHECKS", kept)


KERNEL = "JupyterLab's kernel"  # tests/test_packaging.py has it in DAMPINGLAB_LONG


@pytest.fixture
def quick(monkeypatch):
    """Leave out what takes longest."""
    leave_out(monkeypatch, KERNEL, "pictures")


def check(capsys):
    """Run it; return its exit code and the names of the checks that failed."""
    code = main(["selfcheck"])
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    lines = out.splitlines()
    return code, [line[8:].partition(":")[0] for line in lines if line.startswith("FAILED")], lines


def test_a_whole_installation(monkeypatch, capsys):
    leave_out(monkeypatch, KERNEL)
    code, failed, lines = check(capsys)
    assert (code, failed) == (0, [])
    assert lines[-1] == "This installation is whole."
    assert len(lines) == len(selfcheck.CHECKS) + 1


def other_folder(monkeypatch, tmp_path, name):
    """Use a copy of a shipped folder; return it."""
    copy = tmp_path / name
    shutil.copytree(data.folder(name), copy)
    real = data.folder
    monkeypatch.setattr(data, "folder", lambda asked: copy if asked == name else real(asked))
    return copy


def test_a_changed_data_file(quick, capsys, monkeypatch, tmp_path):
    copy = other_folder(monkeypatch, tmp_path, "datasets")
    with (copy / "bounce" / "good_corner.csv").open("a") as file:
        file.write("\n")
    assert check(capsys)[:2] == (2, ["data"])


def test_a_lesson_without_one_of_its_exercises(quick, capsys, monkeypatch, tmp_path):
    lesson = other_folder(monkeypatch, tmp_path, "lessons") / "02-damping-ratio.ipynb"
    lesson.write_text(
        lesson.read_text("utf-8").replace('check(\\"2.3\\"', 'check(\\"2.4\\"'), "utf-8"
    )
    code, failed, lines = check(capsys)
    assert (code, failed) == (2, ["lessons"])
    assert any("02-damping-ratio.ipynb lacks exercise 2.3" in line for line in lines)


@pytest.mark.parametrize(
    ("place", "name", "broken"),
    [
        (vehicle, "critical_damping", lambda k, m: (k * m) ** 0.5),
        (vehicle, "ride_rate", lambda k, tyre: k),
        (baseline, "damping_ratio", lambda *_, **__: 0.3),
    ],
)
def test_physics_that_is_wrong_does_not_agree_by_hand(
    quick, capsys, monkeypatch, place, name, broken
):
    assert hasattr(place, name)
    monkeypatch.setattr(place, name, broken)
    assert "main job" in check(capsys)[1]


def test_a_bank_that_calls_a_right_answer_wrong(quick, capsys, monkeypatch):
    exercise = bank.exercises()["0.1"]
    worse = replace(exercise, make=lambda **given: replace(exercise.make(**given), tolerance=-1))
    monkeypatch.setattr(bank, "exercises", lambda: {"0.1": worse})
    monkeypatch.setattr(selfcheck, "LESSONS", ())
    assert check(capsys)[:2] == (2, ["exercises"])
