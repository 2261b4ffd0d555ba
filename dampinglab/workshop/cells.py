"""Read the numbers in a table's cells, when it is certain what they mean."""

import re
from pathlib import Path

import numpy as np

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.units import parse_number
from dampinglab.workshop.text import quoted

__all__ = ["comma_is_decimal", "is_number", "read_number"]

_POWER = r"([eE][+-]?\d+)?"
_DECIMAL_COMMA = re.compile(r"[+-]?(\d*,(\d{1,2}|\d{4,})|(0|\d{4,})?,\d{3})" + _POWER)
_DECIMAL_POINT = re.compile(r"[+-]?[\d,]*\.\d+" + _POWER)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def is_number(text: str) -> bool:
    """Tell whether a cell is one clear number.

    Parameters
    ----------
    text : str
        The cell.

    Returns
    -------
    bool
        False also for "1,250", which may mean two numbers.
    """
    try:
        parse_number(text)
    except LearnerError:
        return False
    return True


def comma_is_decimal(path: Path, rows: np.ndarray, columns: list[tuple]) -> bool:
    """Tell whether this file's commas are decimal marks: one sure case proves it for all.

    "12,5" can only be a decimal comma, and then "1,250" beside it is 1.25; without such a case
    it might be 1250. Points and commas as decimals in one file are refused.

    Parameters
    ----------
    path : Path
        The file.
    rows : ndarray of int
        The file's line of each cell in a column.
    columns : list of tuple of str
        The cells of every column of numbers.

    Returns
    -------
    bool
        True when the comma is the decimal mark.

    Raises
    ------
    FileProblem
        If the file uses both marks.
    """
    cells = [pair for column in columns for pair in zip(rows.tolist(), column, strict=True)]
    comma = next(((row, cell) for row, cell in cells if _DECIMAL_COMMA.fullmatch(cell)), None)
    point = next(((row, cell) for row, cell in cells if _DECIMAL_POINT.fullmatch(cell)), None)
    if comma and point:
        row, other = max(comma, point), min(comma, point)
        what = f"{row[1]!r} and, in row {other[0]}, {other[1]!r} have different decimal marks"
        raise FileProblem(path, what, "use the same mark in the whole file", row[0])
    return comma is not None


def read_number(path: Path, row: int, cell: str, heading: str, comma: bool) -> float:
    """Return the number in one cell.

    Parameters
    ----------
    path : Path
        The file.
    row : int
        The cell's line in it.
    cell, heading : str
        The cell, and the heading that it stands under.
    comma : bool
        Whether this file's commas are known to be decimal marks.

    Returns
    -------
    float
        Always finite.

    Raises
    ------
    FileProblem
        If the cell is empty, no number, or may mean two numbers.
    """
    text = cell.replace(",", ".") if comma and cell.count(",") == 1 else cell
    try:
        return parse_number(text)
    except LearnerError:
        pass
    if not cell:
        what, mend = f"the cell under {heading!r} is empty", "fill it, or take the row out"
    elif _THOUSANDS.fullmatch(cell):
        what = f"{cell!r} under {heading!r} may mean {cell.replace(',', '')} or "
        what += cell.replace(",", ".", 1)
        mend = "write it without the comma, or with a point for the decimals"
    else:
        what = f"{quoted(cell)} under {heading!r} is not a number"
        mend = "correct it, or take the row out"
    raise FileProblem(path, what, mend, row)
