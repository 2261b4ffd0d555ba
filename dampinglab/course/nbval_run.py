"""Runs nbval over one notebook in its own process, within limits, and leaves nothing behind."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from dampinglab import journal
from dampinglab.course import nbval_watch, own_notebooks, progress
from dampinglab.course.answers import Answer, read_answers
from dampinglab.course.nbval_watch import BEGUN, DEAD, STEPS, TOO_LONG

__all__ = ["Job", "Ran", "copy_workbook", "run"]

LARGEST = 200_000_000  # bytes that are copied for the cells to read
POLITE = 30.0  # s for a notebook to end when asked
GLANCE = 0.2  # s between two looks at how far it is
TRIES = 3  # runs of one notebook, each without the cell that ended the one before
# The course's kernel does this before the first cell, so that a mistyped line gets a sentence.
FIRST = "import dampinglab.course"
_STEPS = "steps.jsonl"


@dataclass(frozen=True)
class Job:
    """What all runs share: the copied workbook, seconds a cell, and the end on the clock."""

    workbook: Path
    cell: float
    end: float  # s, of time.monotonic

    @property
    def over(self) -> bool:
        """Whether the time for all of it has run out."""
        return time.monotonic() > self.end


@dataclass
class Ran:
    """How each cell of a notebook ended, with nbval's last line, and the answers that it judged."""

    steps: dict[int, tuple[str, str]] = field(default_factory=dict)
    answers: list[Answer] = field(default_factory=list)
    late: bool = False  # the time for all of it ran out before the end


def copy_workbook(folder: Path, target: Path) -> None:
    """Copy what the cells may read, so that nothing that they write touches the learner's files."""
    room = [LARGEST]

    def left_out(place: str, names: list[str]) -> list[str]:
        return [name for name in sorted(names) if not _fits(Path(place, name), room)]

    with suppress(shutil.Error):  # what cannot be read, its cell will miss
        shutil.copytree(folder, target, symlinks=True, ignore=left_out)


def _fits(path: Path, room: list[int]) -> bool:
    """Whether a file is to be copied, and room for it is left; that room is then taken."""
    if path.name.startswith(".") or path.suffix == ".ipynb":
        return False
    if path.is_symlink() or path.is_dir():
        return True
    size = path.stat().st_size
    if not path.is_file() or size > room[0]:
        return False
    room[0] -= size
    return True


def run(sources: list[str], folder: Path, job: Job, tell: Callable[[int], None]) -> Ran:
    """Run code cells in a folder of the copied workbook; tell how many have begun.

    A cell that takes the notebook's Python down with it is left out in another run, so that the
    cells behind it are looked at as well.
    """
    whole = Ran()
    for _ in range(TRIES):
        out = {n for n, (state, _) in whole.steps.items() if state in (TOO_LONG, DEAD)}
        kept = ["" if n in out else source for n, source in enumerate(sources)]
        ran = _run_once(kept, folder, job, tell)
        last = max((n for n, (state, _) in ran.steps.items() if state != DEAD), default=-1)
        ended = {n: step for n, step in ran.steps.items() if step[0] not in (BEGUN, DEAD)}
        whole.steps, whole.answers = ended | whole.steps, whole.answers + ran.answers
        whole.late = job.over
        if whole.late or last < 0 or (last == len(sources) - 1 and last in ended):
            break
        looped = ended.get(last, (TOO_LONG,))[0] == TOO_LONG
        whole.steps[last] = (TOO_LONG if looped else DEAD, "")
    return whole


def _run_once(sources: list[str], folder: Path, job: Job, tell: Callable[[int], None]) -> Ran:
    with TemporaryDirectory(prefix="dampinglab-marking-") as place:
        scratch, notebook = Path(place), folder / ".marking.ipynb"
        notebook.write_text(own_notebooks.code_only([FIRST, *sources]), "utf-8")
        process = _start(notebook, scratch, job)
        try:
            _wait(process, job, lambda: tell(len(_read_steps(scratch))))
        finally:
            _end(process)
        records, _ = journal.read(scratch / "progress.jsonl")
        return Ran(_read_steps(scratch), read_answers(records)[0])


def _start(notebook: Path, scratch: Path, job: Job) -> subprocess.Popen:
    settings = scratch / "pytest.ini"  # none of ours nor of the learner's
    settings.write_text("[pytest]\n")
    return subprocess.Popen(
        _command(notebook, settings, job.cell),
        env=_environment(job.workbook, scratch),
        cwd=notebook.parent,
        start_new_session=True,  # so that Ctrl-C is ours to pass on
        **dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.DEVNULL),
    )


def _wait(process: subprocess.Popen, job: Job, look: Callable[[], None]) -> None:
    while process.poll() is None and not job.over:
        look()
        with suppress(subprocess.TimeoutExpired):
            process.wait(GLANCE)


def _command(notebook: Path, settings: Path, cell: float) -> list[str]:
    options = ["-p", "nbval.plugin", "-p", nbval_watch.__name__, "-p", "no:cacheprovider"]
    options += ["--nbval-lax", "--nbval-current-env", "--nbval-cell-timeout", f"{cell:g}"]
    options += ["--noconftest", "-c", str(settings), "--rootdir", str(notebook.parent)]
    return [sys.executable, "-m", "pytest", *options, str(notebook)]


def _environment(workbook: Path, scratch: Path) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    return kept | {
        "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1",
        # The marker's home may take no file, and may hold a start-up script that no learner has.
        "IPYTHONDIR": str(scratch),
        "JUPYTER_RUNTIME_DIR": str(scratch),
        "DAMPINGLAB_MARKING": "1",
        "DAMPINGLAB_WORKBOOK": str(workbook),
        progress.MARKER: str(scratch),
        STEPS: str(scratch / _STEPS),
    }


def _end(process: subprocess.Popen) -> None:
    """End nbval if it still runs: it ends the notebook's kernel, which is no child of ours."""
    if process.poll() is None:
        process.terminate()
        try:
            process.wait(POLITE)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _read_steps(scratch: Path) -> dict[int, tuple[str, str]]:
    """Return how each cell ended as far as it is known; the cell put before the first is no one's.

    The last line may be half written.
    """
    steps, _ = journal.read(scratch / _STEPS)
    cells = {step["cell"] - 1: (step["state"], step["says"]) for step in steps}
    return {cell: step for cell, step in cells.items() if cell >= 0}
