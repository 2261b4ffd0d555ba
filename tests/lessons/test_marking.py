"""nbval on copies of each lesson: as shipped, and with every answer blank, slipped and right.

Each copy asks every exercise in all its ways, for the start of a kernel takes longer than all the
answers of a lesson.
"""

import copy
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from nbformat.v4 import new_code_cell

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


def right(name):
    task = bank.exercises()[name].task()
    return repr(words.written(task, task.answer))


def slip_of(name):
    """Return one of the slips, not the same one for every exercise."""
    slips = bank.exercises()[name].task().slips
    return slips[int(name.partition(".")[2]) % len(slips)]


def slipped(name):
    return repr(words.written(bank.exercises()[name].task(), slip_of(name).answer))


def asked(cell, answer):
    """Return an exercise's cell with an answer in place of the dots."""
    name = re.search(r'"([\d.]+)"', cell.source)[1]
    return new_code_cell(cell.source.replace("...", answer(name)))


def broken(cell):
    """Return a published cell with another first digit in what it printed."""
    assert cell.outputs, "run .ci/stamp"
    spoilt = nbformat.from_dict({**copy.deepcopy(cell), "id": new_code_cell().id})
    text = spoilt.outputs[0].text
    spoilt.outputs[0].text = re.sub(r"\d", lambda m: str(9 - int(m[0])), text, count=1)
    return spoilt


ANSWERS = {"blank": lambda name: "...", "slipped": slipped, "right": right}


def write_marked(path, target):
    """Write each exercise in all its ways; say by the number of its cell what each one is.

    Panels and further published figures are left out: the lesson as shipped is run whole
    elsewhere. The first published figure is broken, and has to be noticed.
    """
    notebook, cells = nbformat.read(path, as_version=4), {}
    for cell in code_cells(path):
        tags = cell.metadata.get("tags", [])
        if "exercise" in tags:
            name = re.search(r'"([\d.]+)"', cell.source)[1]
            for kind, answer in ANSWERS.items():
                cells[len(cells)] = (kind, name, asked(cell, answer))
        elif "setup" in tags:
            cells[len(cells)] = ("as shipped", "", cell)
        elif PUBLISHED in tags and ("broken", "") not in [each[:2] for each in cells.values()]:
            cells[len(cells)] = ("broken", "", broken(cell))
    notebook.cells = [cell for _, _, cell in cells.values()]
    nbformat.write(notebook, target)
    return {number: (kind, name) for number, (kind, name, _) in cells.items()}


@every
def test_a_learner_runs_it_to_the_end_blank_and_all_wrong(path, tmp_path, nbval):
    notebook = nbformat.read(path, as_version=4)
    exercises = [c for c in notebook.cells if "exercise" in c.metadata.get("tags", [])]
    notebook.cells += [asked(cell, slipped) for cell in exercises]
    nbformat.write(notebook, tmp_path / "lesson.ipynb")
    assert nbval(tmp_path, marking=False) == {"lesson.ipynb": {}}
    progress = tmp_path / "progress.jsonl"
    kept = progress.read_text("utf-8").splitlines() if progress.exists() else []
    assert len(kept) == len(exercises)  # nothing is kept of a blank


@asking
def test_marked_answers(path, tmp_path, nbval):
    cells = write_marked(path, tmp_path / "marked.ipynb")
    failed = nbval(tmp_path, marking=True)["marked.ipynb"]
    assert {kind for kind, _ in cells.values()} >= set(ANSWERS)
    assert set(failed) == {
        n for n, (kind, _) in cells.items() if kind not in ("right", "as shipped")
    }
    for number, said in failed.items():
        kind, name = cells[number]
        if kind == "blank":
            assert "Not attempted yet" in said
        if kind == "slipped":
            says = " ".join(slip_of(name).says.replace("**", "").split())
            assert says in " ".join(said.split())
    assert list(tmp_path.glob("progress*")) == []


# One lesson with published outputs is enough: the stamp treats all of them alike.
@pytest.mark.parametrize("path", PATHS[:1], ids=lambda path: path.stem)
def test_the_stamp_brings_a_spoilt_copy_back_to_the_shipped_one(path, tmp_path):
    spoilt = tmp_path / path.name
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
    nbformat.write(notebook, spoilt)
    ran = subprocess.run([sys.executable, STAMP, spoilt], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert spoilt.read_text("utf-8") == path.read_text("utf-8")
