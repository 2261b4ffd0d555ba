"""A learner's own notebooks, read without trust: which exercise stands in which cell of which."""

import json
import re
from dataclasses import dataclass
from pathlib import Path
from stat import S_ISREG

from dampinglab.course import bank

__all__ = ["Cell", "Notebook", "code_only", "find_notebooks", "read_notebook"]

MOST, LARGEST = 200, 20_000_000  # notebooks of a workbook, bytes of one

_CHECK = re.compile(r"""^[ \t]*check\(\s*["'“”„‘’‚]?\s*(\d+\.\d+)""", re.MULTILINE)
_BLANK = re.compile(r"""\s*check\(\s*["']\d+\.\d+["']\s*(,\s*(\.\.\.|…|None)\s*)?\)\s*""")


@dataclass(frozen=True)
class Cell:
    """A code cell: its text, the exercises it answers, and whether nothing was answered in it."""

    source: str
    exercises: tuple[str, ...] = ()
    blank: bool = False

    @property
    def begins(self) -> str:
        """The first words of the cell, by which a person finds it."""
        line = next((line for line in self.source.splitlines() if line.strip()), "").strip()
        return line if len(line) <= 40 else f"{line[:39]}…"


@dataclass(frozen=True)
class Notebook:
    """A notebook, by its place in the workbook; `trouble` says why it could not be read."""

    place: Path
    cells: tuple[Cell, ...] = ()
    trouble: str = ""

    @property
    def exercises(self) -> set[str]:
        """The exercises that stand in it."""
        return {name for cell in self.cells for name in cell.exercises}

    @property
    def answered(self) -> bool:
        """Whether something was answered, so that running it can tell more than reading it."""
        return any(cell.exercises and not cell.blank for cell in self.cells)


def find_notebooks(folder: Path) -> list[Path]:
    """Return the places of a workbook's notebooks, hidden folders and links apart."""
    found = sorted(path.relative_to(folder) for path in folder.rglob("*.ipynb"))
    seen = [place for place in found if not any(part.startswith(".") for part in place.parts)]
    return [place for place in seen if not (folder / place).is_symlink()][:MOST]


def read_notebook(folder: Path, place: Path) -> Notebook:
    """Read one notebook, whatever is in the file."""
    path = folder / place
    try:
        if not S_ISREG(path.stat().st_mode):
            return Notebook(place, trouble="it is no ordinary file")
        if path.stat().st_size > LARGEST:
            return Notebook(place, trouble=f"it has more than {LARGEST / 1e6:.0f} MB")
        found = json.loads(path.read_bytes())
        cells = [(cell["cell_type"], _source(cell), _metadata(cell)) for cell in found["cells"]]
    except OSError as problem:
        return Notebook(place, trouble=f"it cannot be opened ({problem.strerror})")
    except (ValueError, KeyError, TypeError, RecursionError):
        return Notebook(place, trouble="it is not a notebook any more, or was cut off")
    return Notebook(place, tuple(_code_cells(cells)))


def _source(cell: dict) -> str:
    """Return a cell's text, which is one text or a list of lines."""
    source = cell["source"]
    return source if isinstance(source, str) else "".join(source)


def _metadata(cell: dict) -> tuple[str, bool]:
    """Return the exercise that a cell states, and whether it is there to answer one."""
    metadata = cell.get("metadata")
    metadata = metadata if isinstance(metadata, dict) else {}
    ours, tags = metadata.get("dampinglab"), metadata.get("tags")
    stated = ours.get("exercise") if isinstance(ours, dict) else None
    known = isinstance(stated, str) and stated in bank.exercises()
    return stated if known else "", isinstance(tags, list) and "exercise" in tags


def _code_cells(cells: list[tuple[str, str, tuple[str, bool]]]) -> list[Cell]:
    """Return the code cells; one without a legible check line belongs to the statement above."""
    made, above = [], ""
    for kind, source, (stated, answers) in cells:
        if kind == "code":
            named = tuple(dict.fromkeys(n for n in _CHECK.findall(source) if n in bank.exercises()))
            named = named or ((above,) if above and answers else ())
            made.append(Cell(source, named, not source.strip() or bool(_BLANK.fullmatch(source))))
        above = stated if kind != "code" else ""
    return made


def code_only(cells: list[str]) -> str:
    """Return a bare notebook of code cells, without outputs, so that nothing is compared."""
    bare = {"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None}
    made = [{**bare, "id": f"cell-{number}", "source": text} for number, text in enumerate(cells)]
    return json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": made})
