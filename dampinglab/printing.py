"""The handouts: lessons run without a browser, pages for paper, written over nobody's file."""

import base64
import io
import os
import re
import subprocess
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import nbformat
import numpy as np
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError
from PIL import Image

from dampinglab import data, journal, workbook
from dampinglab.course import formulas, handout, key, sheets
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.figures.card import ALWAYS
from dampinglab.figures.look import PAPER
from dampinglab.panels.predict import answers
from dampinglab.sealed import is_ours, sealed
from dampinglab.serve import environment

__all__ = ["print_handouts", "run_lesson"]

_SILENT = " cannot be printed: its kernel ended or gave no answer; try again with less running."
# A panel that works long goes on beside the cells: what it comes to in the end is what is printed.
_IN_THE_END = f"""import asyncio, ipywidgets
from IPython.display import display
for task in asyncio.all_tasks():
    if task.get_coro().__qualname__ in ("Work._drive", "HandoverPanel._open_soon"):
        await task
display({{"{handout.STATE}": ipywidgets.Widget.get_manager_state()}}, raw=True)"""

Page = tuple[str, Callable[[], str]]


def print_handouts(
    folder: Path, lessons: Sequence[str], say: Callable[[str], None], *, instructor: bool = False
) -> None:
    """Write the learner's pages, or the instructor's key; each is whole or not there."""
    files = [workbook.find_lesson(number) for number in lessons] or _all_lessons()
    files = list(dict.fromkeys(files))
    pages = _key([file[:2] for file in files]) if instructor else [*map(_lesson, files), *_sheets()]
    folder = _folder(folder)
    _refuse_strangers(folder / f"{name}.html" for name, _ in pages)
    for number, (name, make) in enumerate(pages, start=1):
        say(f"{number} of {len(pages)}: {name}.html")
        _write(folder / f"{name}.html", make())
    say(f"{len(pages)} pages are in {folder}: open them in a browser and print them on A4.")


def _all_lessons() -> list[str]:
    return [name for name in workbook.shipped_files() if re.match(r"\d\d-[^/]*\.ipynb$", name)]


def _lesson(file: str) -> Page:
    name = file.removesuffix(".ipynb")
    return name, lambda: handout.lesson_page(run_lesson(data.folder("lessons") / file), name)


def _sheets() -> list[Page]:
    return [
        ("complaints", sheets.complaint_page),
        ("setting-card", lambda: sheets.blank_card(ALWAYS)),
        ("formulas", formulas.formula_page),
        ("glossary", sheets.glossary_page),
    ]


def _key(numbers: Sequence[str]) -> list[Page]:
    return [
        ("instructor-key", lambda: key.answer_key(numbers)),
        ("instructor-predict", lambda: key.predict_page({n: answers(n) for n in numbers})),
        ("instructor-pages", lambda: key.instructor_pages(numbers)),
    ]


def run_lesson(path: Path):
    """Return a lesson as it stands after its cells have run, with all that its panels show."""
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(notebook, resources={"metadata": {"path": str(path.parent)}})
    try:
        with _workbook_of_its_own(), client.setup_kernel(stderr=subprocess.DEVNULL):
            notebook.cells.append(nbformat.v4.new_code_cell(_IN_THE_END))
            for index, cell in enumerate(notebook.cells):
                if _is_run(cell):
                    client.execute_cell(cell, index)
        notebook.metadata["widgets"] = notebook.cells.pop().outputs[-1].data
    except CellExecutionError as problem:
        raise LearnerError(f"{path.name} cannot be printed: {problem.evalue}") from None
    except RuntimeError:  # it ended, or did not answer for a minute
        raise LearnerError(f"{path.name}{_SILENT}") from None
    return notebook


def _is_run(cell) -> bool:
    """Tell whether a cell shows something on paper: exercises show their statement alone."""
    asks = "exercise" in cell.metadata.get("tags", []) or cell.source.startswith("practise(")
    return cell.cell_type == "code" and not asks


@contextmanager
def _workbook_of_its_own() -> Iterator[None]:
    """Let a lesson run as in the course, on an empty workbook: no learner's file is touched."""
    before = dict(os.environ)
    os.environ.pop("DAMPINGLAB_MARKING", None)
    try:
        with tempfile.TemporaryDirectory() as folder:
            os.environ.update(environment(Path(folder)))
            yield
    finally:
        os.environ.clear()
        os.environ.update(before)


def _on_white(page: str) -> str:
    """Return a page whose pictures stand on white: the course's paper tone is for screens."""
    return re.sub(r'(?<=src="data:image/png;base64,)[^"]+', _whitened, page)


def _whitened(found: re.Match) -> str:
    image = Image.open(io.BytesIO(base64.b64decode(found[0]))).convert("RGB")
    pixels = np.array(image)
    paper = [int(PAPER[at : at + 2], 16) for at in (1, 3, 5)]
    pixels[(pixels == paper).all(axis=-1)] = 255
    stream = io.BytesIO()
    Image.fromarray(pixels).quantize(128, dither=Image.Dither.NONE).save(stream, "PNG")
    return base64.b64encode(stream.getvalue()).decode("ascii")


def _folder(folder: Path) -> Path:
    """Return the folder, made if it was not there."""
    folder = folder.expanduser().resolve()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise LearnerError(
            f"The folder {folder} cannot be made ({problem.strerror}); "
            "name another one with --folder."
        ) from None
    return folder


def _refuse_strangers(paths: Iterator[Path]) -> None:
    """Refuse to begin where a page would take the place of somebody's own file."""
    for path in paths:
        if path.exists() and not is_ours(path):
            raise FileProblem(
                path,
                "this command did not write it, or it was changed since, so it stays as it is",
                "name another folder with --folder, or give the file another name",
            )


def _write(path: Path, page: str) -> None:
    """Write a page, sealed."""
    whole = sealed(_on_white(page))
    _refuse_strangers(iter([path]))
    journal.replace(path, whole)
