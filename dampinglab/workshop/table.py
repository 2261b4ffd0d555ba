"""Read the tables that machines and spreadsheets write.

A table is plain text: lines that begin with "#" hold facts ("# axle: front"), then one line of
column headings with their units, then numbers. Order of columns, delimiter and decimal mark are
the writer's choice, as long as they can be told for certain.
"""

import csv
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.units import UNITS, to_si, units_of
from dampinglab.workshop.cells import comma_is_decimal, is_number, read_number
from dampinglab.workshop.text import plain, quoted, read_text, split_unit

__all__ = ["Column", "Table", "read_table"]


@dataclass(frozen=True)
class Column:
    """One column of numbers.

    Parameters
    ----------
    values : ndarray
        The numbers as written, in the unit of the heading.
    unit : str
        Symbol of the unit, empty when the heading has none.
    heading : str
        The heading as written.
    """

    values: np.ndarray
    unit: str
    heading: str


@dataclass(frozen=True)
class Table:
    """A table as read; names of facts and columns are spelled as `plain` spells them.

    Parameters
    ----------
    path : Path
        The file.
    facts : dict of str to str
        What the "#" lines say.
    columns : dict of str to Column
        Columns of numbers.
    words : dict of str to tuple of str
        Columns without a unit that hold something else than numbers.
    rows : ndarray of int
        The file's line for each row of the table, counted from 1.
    header_row : int
        The file's line that holds the headings.
    fact_rows : dict of str to int
        The file's line of each fact.
    """

    path: Path
    facts: dict[str, str]
    columns: dict[str, Column]
    words: dict[str, tuple[str, ...]]
    rows: np.ndarray
    header_row: int
    fact_rows: dict[str, int]

    def find(self, *names: str) -> str | None:
        """Return the first of these names that is a column here, or None.

        Parameters
        ----------
        *names : str
            Names for the same thing, the usual one first.

        Returns
        -------
        str or None
            The column's name as this table spells it.
        """
        present = [plain(name) for name in names]
        return next((name for name in present if name in self.columns or name in self.words), None)

    def si(self, quantity: str, *names: str) -> np.ndarray:
        """Return one column in SI.

        Parameters
        ----------
        quantity : str
            What it must measure, as `units` names it.
        *names : str
            Names for this column, the usual one first.

        Returns
        -------
        ndarray
            The values in the SI unit of the quantity.

        Raises
        ------
        FileProblem
            If the column or its unit is missing, or the unit measures something else.
        """
        name, units = self.find(*names), units_of(quantity)
        if name is None:
            raise self._missing(names, units[0])
        column = self.columns.get(name)
        if column is None or not column.unit:
            mend = f'write it behind, as in "{name} [{units[0]}]"; known are {", ".join(units)}'
            raise FileProblem(self.path, f"{name!r} has no unit", mend, self.header_row)
        if UNITS[column.unit].quantity != quantity:
            what = f"{column.heading!r} is in a unit of {UNITS[column.unit].quantity}"
            mend = f"it must be a {quantity}: {', '.join(units)}"
            raise FileProblem(self.path, what, mend, self.header_row)
        return to_si(column.values, column.unit)

    def _missing(self, names: tuple[str, ...], unit: str) -> FileProblem:
        present = [*self.columns, *self.words]
        what = f"there is no column {names[0]!r} among {', '.join(map(repr, present))}"
        mend = f'add it, or rename the one that holds it to "{names[0]} [{unit}]"'
        return FileProblem(self.path, what, mend, self.header_row)


def read_table(path: str | Path) -> Table:
    """Read a table with its facts, whatever its delimiter, decimal mark and order of columns.

    Parameters
    ----------
    path : str or Path
        A text file; see the top of this module.

    Returns
    -------
    Table
        Every cell under a heading with a unit is a finite number.

    Raises
    ------
    FileProblem
        One sentence with the row and the mend, if anything cannot be read for certain.
    """
    path = Path(path)
    facts, fact_rows, lines = _facts_and_lines(path, read_text(path).split("\n"))
    (header_row, header), *body = lines
    delimiter = next((each for each in "\t;" if each in header), ",")
    headings = _headings(path, header_row, _cells(header, delimiter))
    split = [(row, _cells(line, delimiter)) for row, line in body]
    records = [(row, _fitted(path, row, cells, len(headings))) for row, cells in split if cells]
    if not records:
        raise FileProblem(path, "there is no row below the headings", "add the numbers", header_row)
    numbers, cells = zip(*records, strict=True)
    rows = np.array(numbers)
    columns, words = _columns(path, headings, rows, list(zip(*cells, strict=True)))
    return Table(path, facts, columns, words, rows, header_row, fact_rows)


class _Heading(NamedTuple):
    """One heading, split into name and unit."""

    name: str
    unit: str
    text: str


def _headings(path: Path, row: int, texts: list[str]) -> list[_Heading]:
    """Split each heading; refuse a first line that is not one of distinct names."""
    headings = [_Heading(*split_unit(text), text) for text in texts]
    for heading in headings:
        if heading.unit is None:
            what = f"the unit in {quoted(heading.text)} is not known"
            raise FileProblem(path, what, f"use one of {', '.join(UNITS)}", row)
    _check_names(path, row, [heading.name for heading in headings])
    return headings


def _facts_and_lines(path: Path, lines: list[str]):
    """Part the "#" lines from the table's own; both keep the numbers of their rows."""
    facts: dict[str, str] = {}
    fact_rows, kept = {}, []
    for row, line in enumerate(lines, start=1):
        bare = line.strip().strip('";,\t ')  # a spreadsheet may have quoted or padded the line
        if not bare.startswith("#"):
            kept += [(row, line)] if bare else []
            continue
        key, colon, value = bare.lstrip("# ").partition(":")
        if colon and facts.setdefault(plain(key), value.strip()) != value.strip():
            what = f"the fact {plain(key)!r} stands twice with different words"
            raise FileProblem(path, what, "keep the one that is true", row)
        fact_rows.setdefault(plain(key), row)
    if not kept:
        raise FileProblem(path, "it holds no table", "add a line of headings and the numbers")
    return facts, fact_rows, kept


def _cells(line: str, delimiter: str) -> list[str]:
    """Split one line; empty cells at its end are dropped, as spreadsheets pad with them."""
    try:
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter))]
    except csv.Error:  # a cell longer than any number or name
        cells = [line]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _fitted(path: Path, row: int, cells: list[str], width: int) -> list[str]:
    """Return a row of the table's width, or say that it has too many cells."""
    if len(cells) > width:
        what = f"there are {len(cells)} cells under {width} headings"
        mend = "with a comma for the decimals, part the columns by semicolons or tabs"
        raise FileProblem(path, what, mend, row)
    return cells + [""] * (width - len(cells))


def _check_names(path: Path, row: int, names: list[str]) -> None:
    """Refuse numbers in place of names, a single column, and a name missing or used twice."""
    if all(map(is_number, names)):
        raise FileProblem(path, "there is no line of headings", "name each column and unit", row)
    if len(names) < 2:
        mend = "part the columns by commas, semicolons or tabs, and give each a heading"
        raise FileProblem(path, f"only one column was found, {quoted(names[0])}", mend, row)
    for name in names:
        if not name:
            raise FileProblem(path, "a column has no heading", "give each column a name", row)
        if names.count(name) > 1:
            what = f"{names.count(name)} columns have the heading {name!r}"
            raise FileProblem(path, what, "give each column a name of its own", row)


def _columns(path: Path, headings: list[_Heading], rows: np.ndarray, cells: list[tuple]):
    """Return the columns of numbers, and those of words."""
    columns, words = {}, {}
    with_unit = [column for heading, column in zip(headings, cells, strict=True) if heading.unit]
    comma = comma_is_decimal(path, rows, with_unit)
    for heading, column in zip(headings, cells, strict=True):
        if heading.unit or all(map(is_number, column)):
            values = [
                read_number(path, row, cell, heading.text, comma)
                for row, cell in zip(rows.tolist(), column, strict=True)
            ]
            columns[heading.name] = Column(np.array(values), heading.unit, heading.text)
        else:
            words[heading.name] = column
    return columns, words
