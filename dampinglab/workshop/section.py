"""Read TOML files whose keys carry their units, and name the row of whatever is wrong."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.units import UNITS, parse_number, to_si, units_of
from dampinglab.workshop.text import nearest, plain, quoted, read_text, split_unit

__all__ = ["Key", "Section", "read_sections"]

_HEADER = re.compile(r"\s*\[+\s*(?P<name>[^\]]+?)\s*\]+")
_KEY = re.compile(r"\s*(?P<name>\"[^\"]*\"|'[^']*'|[\w.-]+)\s*=")


@dataclass(frozen=True)
class Key:
    """A key that a section may hold, its unit at the end of its name.

    Parameters
    ----------
    example : str
        As the sheet's example writes it, such as "left_wheel_kg"; any unit of the same quantity
        may stand in its place.
    low, high : float
        The allowed range, both ends included, in the unit of the example.
    hint : str
        How to mend a value out of range.
    """

    example: str
    low: float
    high: float
    hint: str

    @property
    def name(self) -> str:
        """The key without its unit, as `plain` spells it."""
        return split_unit(self.example)[0]

    @property
    def unit(self) -> str:
        """Symbol of the example's unit; empty for a plain number."""
        return split_unit(self.example)[1] or ""


@dataclass(frozen=True)
class Section:
    """One section of a TOML file.

    Parameters
    ----------
    path : Path
        The file.
    text : str
        Its whole text, in which rows are looked up.
    name : str
        Dotted name of the section; empty for the file's top.
    entries : Mapping
        What it holds.
    place : int, optional
        Which of several sections of this name it is, from 0.
    """

    path: Path
    text: str
    name: str
    entries: Mapping
    place: int = 0

    def row(self, key: str = "") -> int | None:
        """Return the line of a key, or of the section's own header.

        Parameters
        ----------
        key : str, optional
            The key as the file spells it.

        Returns
        -------
        int or None
            Counted from 1; None when the file writes it in a way not looked for.
        """
        here, count, found = not self.name, 0, None
        for row, line in enumerate(self.text.split("\n"), start=1):
            header, entry = _HEADER.match(line), _KEY.match(line)
            if header:
                name = _bare(header["name"])
                if key and name == f"{self.name}.{key}".lstrip("."):
                    return row
                same = name == self.name
                here = same and count == self.place
                count += same
                found = row if here else found
            elif here and key and entry and _bare(entry["name"]) == key:
                return row
        return found

    def problem(self, what: str, mend: str, key: str = "") -> FileProblem:
        """Return the sentence about one key, or about the whole section.

        Parameters
        ----------
        what, mend : str
            What is wrong and how to mend it.
        key : str, optional
            The key as the file spells it.

        Returns
        -------
        FileProblem
            To be raised.
        """
        return FileProblem(self.path, what, mend, self.row(key))

    def sub(self, name: str) -> "Section | None":
        """Return a section inside this one, or None.

        Parameters
        ----------
        name : str
            Its last name, such as "as_found".

        Returns
        -------
        Section or None
            None when there is none.

        Raises
        ------
        FileProblem
            If something else than a section has this name.
        """
        entries = self.entries.get(name)
        full = f"{self.name}.{name}".lstrip(".")
        if entries is not None and not isinstance(entries, Mapping):
            raise self.problem(f"{name!r} must be a section", f"write it as [{full}]", name)
        return None if entries is None else Section(self.path, self.text, full, entries)

    def numbers(self, keys: tuple[Key, ...], others: tuple[str, ...] = ()) -> dict[str, float]:
        """Return every number of the section in SI, by the key's name without its unit.

        Parameters
        ----------
        keys : tuple of Key
            The numbers that may stand here.
        others : tuple of str, optional
            Keys that may stand here and are no numbers.

        Returns
        -------
        dict of str to float
            Only what the section holds.

        Raises
        ------
        FileProblem
            For an unknown key, a missing or wrong unit, a value given twice, no number, or a
            number out of range.
        """
        found: dict[str, float] = {}
        for written, value in self.entries.items():
            if written in others:
                continue
            key, unit = self._known(written, keys, others)
            if key.name in found:
                raise self.problem(f"{key.name!r} is given twice", "keep one of them", written)
            found[key.name] = self._number(written, value, key, unit)
        return found

    def _known(self, written: str, keys: tuple[Key, ...], others: tuple[str, ...]):
        """Return the key that was meant, and the unit of what was written."""
        name, unit = split_unit(written)
        key = next((each for each in keys if each.name == name), None)
        if key is None:
            raise self._unknown(written, keys, others)
        if bool(unit) != bool(key.unit):
            what = f"{written!r} " + ("has no unit" if key.unit else "is a plain number")
            raise self.problem(what, f"write {key.example}", written)
        if unit and UNITS[unit].quantity != UNITS[key.unit].quantity:
            wanted = ", ".join(units_of(UNITS[key.unit].quantity))
            what = f"{written!r} ends in a unit of {UNITS[unit].quantity}"
            raise self.problem(what, f"write {key.example}, or another of {wanted}", written)
        return key, unit

    def _unknown(self, written: str, keys: tuple[Key, ...], others: tuple[str, ...]) -> FileProblem:
        for key in keys:
            if key.unit and plain(written).startswith(key.name + " "):
                what = f"the unit at the end of {written!r} is not known"
                return self.problem(what, f"write {key.example}", written)
        mend = nearest(written, [each.example for each in keys] + list(others))
        return self.problem(f"the key {written!r} is not known here", mend, written)

    def _number(self, written: str, value, key: Key, unit: str) -> float:
        try:
            number = parse_number(value)
        except LearnerError:
            what = f"{written} = {quoted(value)} is not one clear number"
            raise self.problem(what, "write digits, with a point for decimals", written) from None
        number, scale = (to_si(number, unit), to_si(1.0, key.unit)) if unit else (number, 1.0)
        if not key.low * scale <= number <= key.high * scale:
            span = f"{key.low:g} to {key.high:g} {key.unit}".rstrip()
            raise self.problem(f"{written} = {quoted(value)} is outside {span}", key.hint, written)
        return number


def _bare(name: str) -> str:
    """Take the quotes off a key, and the spaces off a dotted name."""
    return ".".join(part.strip().strip("\"'") for part in name.split("."))


def read_sections(path: str | Path) -> Section:
    """Read a TOML file.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Section
        The file's top.

    Raises
    ------
    FileProblem
        If it cannot be opened or is not TOML, with the row and the likely slip.
    """
    path, text = Path(path), read_text(path)
    try:
        return Section(path, text, "", tomllib.loads(text))
    except (ValueError, OverflowError, RecursionError) as problem:
        raise _not_toml(path, text, str(problem)) from None


def _not_toml(path: Path, text: str, message: str) -> FileProblem:
    """Turn the reader's message into the row and the slip that is behind most of them."""
    lines = text.split("\n")
    found = re.search(r"at line (\d+)", message)
    row = int(found[1]) if found else max(n for n, line in enumerate(lines, 1) if line.strip())
    line = lines[row - 1].strip()
    what, mend = f"{quoted(line)} cannot be read as TOML", "write it as key = value"
    if "overwrite" in message or "twice" in message or "multiple times" in message:
        what, mend = f"{quoted(line)} is there for the second time", "keep one of them"
    elif re.search(r"=\s*[-+]?\d+,\d", line):
        mend = "write the decimals with a point"
    elif re.match(r"[\w-]+( [\w-]+)+\s*=", line):
        mend = f'put quotes around the name: "{line.split("=")[0].strip()}"'
    elif "=" in line or line.startswith("["):
        mend = "numbers stand bare, words in double quotes, a section's name in [brackets]"
    return FileProblem(path, what, mend, row)
