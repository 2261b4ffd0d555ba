"""nbval on copies of each lesson: as shipped, solved, blank and slipped."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from dampinglab import data
from dampinglab.course import bank, words

PATHS = sorted(data.folder("lessons").glob("[0-9]*.ipynb"))
STAMP = Path(__file__).parents[2] / ".ci" / "stamp"
PUBLISHED = "nbval-check-output"

every = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
asking = pytest.mark.parametrize(
    "path", [p for p in PATHS if p.name[:2] not in {"11", "12"}], ids=lambda path: path.stem
)


def code_cells(path):
    return [c for c in nbformat.read(path, as_version=4).cells if c.cell_type == "code"]


def tagged(path, tag):
    """Return the numbers, as nbval counts them, of the code cells with a tag."""
    return {i for i, c in enumerate(code_cells(path)) if tag in c.metadata.get("tags", [])}


def right(name):
    task = bank.exercises()[name].task()
    return repr(words.written(task, task.answer))


def slip_of(name):
    """Return one of the slips, not the same one for every exercise."""
    slips = bank.exercises()[name].task().slips
    return slips[int(name.partition(".")[2]) % len(slips)]


def slipped(name):
    return repr(words.written(bank.exercises()[name].task(), slip_of(name).answer))


def break_outputs(path):
    """Change the first digit that each published cell printed."""
    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if PUBLISHED in cell.metadata.get("tags", []):
            assert cell.outputs, "run .ci/stamp"
            text = cell.outputs[0].text
            cell.outputs[0].text = re.sub(r"\d", lambda m: str(9 - int(m[0])), text, count=1)
    nbformat.write(notebook, path)


@every
def test_a_learner_runs_it_to_the_end_blank_or_all_wrong(path, tmp_path, nbval, write_copy):
    shutil.copy(path, tmp_path / "shipped.ipynb")
    write_copy(path, tmp_path / "wrong.ipynb", slipped)
    assert nbval(tmp_path, marking=False) == {"shipped.ipynb": {}, "wrong.ipynb": {}}
    progress = tmp_path / "progress.jsonl"
    kept = progress.read_text("utf-8").splitlines() if progress.exists() else []
    assert len(kept) == len(tagged(path, "exercise"))  # nothing is kept of a blank


@asking
def test_marked_copies(path, tmp_path, nbval, write_copy):
    write_copy(path, tmp_path / "solved.ipynb", right)
    write_copy(path, tmp_path / "blank.ipynb", lambda name: "...")
    write_copy(path, tmp_path / "slipped.ipynb", slipped)
    break_outputs(tmp_path / "slipped.ipynb")
    failed = nbval(tmp_path, marking=True)
    exercises = tagged(path, "exercise")
    assert exercises
    assert failed["solved.ipynb"] == {}
    assert set(failed["blank.ipynb"]) == exercises
    assert all("Not attempted yet" in said for said in failed["blank.ipynb"].values())
    assert set(failed["slipped.ipynb"]) == exercises | tagged(path, PUBLISHED)
    cells = code_cells(path)
    for index in exercises:
        name = re.search(r'"([\d.]+)"', cells[index].source)[1]
        said = " ".join(failed["slipped.ipynb"][index].split())
        assert " ".join(slip_of(name).says.replace("**", "").split()) in said
    assert list(tmp_path.glob("progress*")) == []


# One lesson with published outputs is enough: the stamp treats all of them alike.
@pytest.mark.parametrize("path", PATHS[:1], ids=lambda path: path.stem)
def test_the_stamp_brings_a_spoilt_copy_back_to_the_shipped_one(path, tmp_path):
    copy = tmp_path / path.name
    for name in ("pictures", "glossary.md"):
        if (path.parent / name).exists():
            (tmp_path / name).symlink_to(path.parent / name)
    notebook = nbformat.read(path, as_version=4)
    for number, cell in enumerate(notebook.cells):
        if "statement" in cell.metadata.get("tags", []):
            cell.source = "an old wording"
        if cell.cell_type == "code":
            cell.execution_count = number + 50
            cell.outputs = [nbformat.v4.new_output("stream", name="stdout", text="left over 9")]
    notebook.metadata["widgets"] = {}
    nbformat.write(notebook, copy)
    ran = subprocess.run([sys.executable, STAMP, copy], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert copy.read_text("utf-8") == path.read_text("utf-8")
