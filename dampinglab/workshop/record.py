"""Read the record of a bounce test: what a phone on the body felt while a corner was pushed."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.units import UNITS, G
from dampinglab.workshop.table import Table, read_table

__all__ = ["Record", "read_record"]

_SHORTEST, _LONGEST = 3.0, 600.0  # s
_SLOWEST = 25.0  # readings a second: twenty to one swing of a stiff corner
_MOST = 1000.0  # m/s2: beyond what any phone can feel
_GAP = 0.25  # s without a reading; a longer one may hide a peak


@dataclass(frozen=True, eq=False)
class Record:
    """A bounce test as recorded.

    Parameters
    ----------
    name : str
        The file's name.
    time : ndarray
        s since the first reading, rising, in uneven steps.
    acceleration : ndarray
        m/s2, positive up, gravity included if the phone included it.
    place : str
        Where on the vehicle the phone lay.
    remarks : tuple of str
        Whole sentences for what was assumed or turned round.
    """

    name: str
    time: np.ndarray
    acceleration: np.ndarray
    place: str
    remarks: tuple[str, ...] = ()


def read_record(path: str | Path) -> Record:
    """Read a bounce test from a table with a time and an acceleration.

    Parameters
    ----------
    path : str or Path
        A table as `read_table` takes it. Its "#" lines should say "sensor place: wing above the
        front left wheel". Of several accelerations the one that feels gravity most is taken.

    Returns
    -------
    Record
        In SI, up positive where gravity tells which way is up.

    Raises
    ------
    FileProblem
        One sentence, if a column or unit is missing or unlikely, time does not rise, a stretch
        is missing, or the record is too short or too slow.
    """
    table = read_table(path)
    time = table.si("time", "time", "t", "elapsed time", "seconds elapsed")
    _check_time(table, time)
    _check_size(table)
    name, chosen = _upright(table)
    acceleration = table.si("acceleration", name)
    _check_unit(table, name, float(np.median(acceleration)))
    place, unplaced = _place(table)
    acceleration, turned = _upward(acceleration)
    return Record(
        table.path.name, time - time[0], acceleration, place, (*unplaced, *chosen, *turned)
    )


def _check_time(table: Table, time: np.ndarray) -> None:
    """Refuse times that cannot be those of a bounce test."""
    steps, path = np.diff(time), table.path
    for i in np.flatnonzero(steps <= 0)[:1]:
        what = f"the time goes from {time[i]:g} s to {time[i + 1]:g} s and must rise"
        raise FileProblem(path, what, "take out doubled or misplaced rows", int(table.rows[i + 1]))
    span = time[-1] - time[0]
    if span > _LONGEST:
        what = f"the record is {span:g} s long, and a bounce test takes about ten"
        raise FileProblem(path, what, "if the times are in ms, write [ms] behind the name")
    if span < _SHORTEST:
        what = f"the record is only {span:.2g} s long"
        mend = "start it before the first push and stop it when the body has stood still for 2 s"
        raise FileProblem(path, what, mend)
    _check_rate(table, time, steps, (len(time) - 1) / span)


def _check_rate(table: Table, time: np.ndarray, steps: np.ndarray, rate: float) -> None:
    """Refuse a record with too few readings, or with a hole in it."""
    if rate < _SLOWEST:
        what = f"there are only {rate:.2g} readings a second, too slow to see a peak"
        raise FileProblem(table.path, what, "let the phone record 50 a second or more")
    i = int(np.argmax(steps))
    if steps[i] > _GAP:
        what = f"there is no reading between {time[i]:.2f} s and {time[i + 1]:.2f} s"
        mend = "record again, or cut the file so that the hole lies outside"
        raise FileProblem(table.path, what, mend, int(table.rows[i + 1]))


def _check_size(table: Table) -> None:
    """Refuse an acceleration that no phone can feel, such as a number run into its neighbour."""
    for name, column in table.columns.items():
        if column.unit and UNITS[column.unit].quantity == "acceleration":
            most = _MOST / UNITS[column.unit].factor
            for i in np.flatnonzero(np.abs(column.values) > most)[:1]:
                what = (
                    f"{name!r} reads {column.values[i]:.3g} {column.unit}, which no phone can feel"
                )
                raise FileProblem(table.path, what, "take this row out", int(table.rows[i]))


def _upright(table: Table) -> tuple[str, tuple[str, ...]]:
    """Return the column that feels gravity most, and a remark if there was a choice."""
    felt = {
        name: abs(float(np.median(table.si("acceleration", name))))
        for name, column in table.columns.items()
        if column.unit and UNITS[column.unit].quantity == "acceleration"
    }
    if not felt:
        return "acceleration", ()
    name = max(felt, key=felt.get)
    if len(felt) == 1:
        return name, ()
    return name, (f"Of {len(felt)} axes {name!r} was taken, the one that feels gravity most.",)


def _check_unit(table: Table, name: str, rest: float) -> None:
    """Refuse a rest level that tells of the wrong unit in the heading."""
    column = table.columns[name]
    shown = f"the body at rest reads {abs(np.median(column.values)):.3g} {column.unit}"
    other = "m/s²" if column.unit == "g" else "g"
    slip = abs(rest) > 2.5 * G or (column.unit == "m/s²" and 0.9 < abs(rest) < 1.1)
    if slip:
        mend = f"the numbers are likely in {other}: write [{other}] behind the name"
        raise FileProblem(table.path, shown, mend, table.header_row)


def _place(table: Table) -> tuple[str, tuple[str, ...]]:
    """Return where the sensor lay, and the assumption made when the file does not say."""
    place = table.facts.get("sensor place") or table.facts.get("place")
    if place:
        return place, ()
    words = "The file names no sensor place: taken as on the body straight above the wheel."
    return "body above the wheel (assumed)", (words,)


def _upward(acceleration: np.ndarray) -> tuple[np.ndarray, tuple[str, ...]]:
    """Return the acceleration positive up, with a remark on what gravity told."""
    rest = float(np.median(acceleration))
    if abs(rest) < 0.1 * G:
        words = "Gravity was taken off by the phone, so which way is up is not known."
        return acceleration, (words,)
    remarks = []
    if abs(abs(rest) / G - 1) > 0.1:
        tilt = np.degrees(np.arccos(min(1.0, abs(rest) / G)))
        remarks += [f"The axis stood about {tilt:.0f}° off upright; ratio and frequency keep."]
    if rest < 0:
        remarks += ["The axis pointed down and was turned round."]
    return np.sign(rest) * acceleration, tuple(remarks)
