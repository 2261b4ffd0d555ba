"""The columns of clicks in a dyno table, all of them turned into clicks out from closed."""

from collections.abc import Mapping
from difflib import get_close_matches

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.physics.damper import Adjuster, Curve, Setting
from dampinglab.workshop.stand import Stand
from dampinglab.workshop.table import Table
from dampinglab.workshop.text import ADJUSTERS, adjuster_name, nearest, plain

__all__ = ["adjuster_columns", "check_closed_is_hardest", "clicks_from_closed", "pairs"]

_PROBES = np.array([0.05, 0.1, 0.2, 0.5])  # m/s at the shaft: where settings are compared
_SURE = 0.05  # of the force: a smaller change between settings says nothing


def adjuster_columns(table: Table) -> dict[str, np.ndarray]:
    """Return the table's columns of clicks as written.

    Parameters
    ----------
    table : Table
        The table.

    Returns
    -------
    dict of str to ndarray
        By adjuster as `ADJUSTERS` spells it, in that order; empty when nothing can be adjusted.

    Raises
    ------
    FileProblem
        If a column counts clicks of no known adjuster, or holds something else than numbers.
    """
    found = {}
    for name, column in table.columns.items():
        adjuster = adjuster_name(plain(name).removesuffix(" clicks"))
        if adjuster and column.unit in ("", "clicks"):
            found[adjuster] = column.values
        elif adjuster or column.unit == "clicks" or (not column.unit and _near(name)):
            what = f"the column {column.heading!r} is no adjuster counted in clicks"
            mend = nearest(plain(name).removesuffix(" clicks"), ADJUSTERS)
            raise FileProblem(table.path, what, mend, table.header_row)
    for name, cells in table.words.items():
        if adjuster_name(plain(name).removesuffix(" clicks")):
            what = f"{name!r} holds {cells[0]!r} and other words"
            raise FileProblem(table.path, what, "write the clicks as numbers", int(table.rows[0]))
    return {name: found[name] for name in ADJUSTERS if name in found}


def _near(name: str) -> bool:
    return bool(get_close_matches(name, [plain(each) for each in ADJUSTERS], 1, 0.75))


def clicks_from_closed(table: Table, stand: Stand, columns: Mapping[str, np.ndarray]):
    """Return the adjusters, the setting of each row, and what had to be assumed.

    Parameters
    ----------
    table : Table
        The table.
    stand : Stand
        Its facts: how many clicks there are, and the end that they are counted from.
    columns : mapping of str to ndarray
        Clicks as written, by adjuster.

    Returns
    -------
    adjusters : tuple of Adjuster
        In the order of `ADJUSTERS`.
    clicks : ndarray of int
        Clicks out from closed: a line for each row of the table, a column for each adjuster.
    said : tuple of str
        Whole sentences.

    Raises
    ------
    FileProblem
        If clicks are no whole numbers or past the last, or the facts and columns disagree.
    """
    for name in stand.totals.keys() - columns.keys():
        what = f"the facts name an adjuster {name!r}, and no column has its clicks"
        raise FileProblem(table.path, what, f'add a column "{name} [clicks]"', table.header_row)
    clicks = np.zeros((len(table.rows), len(columns)), int)
    adjusters = []
    for place, (name, values) in enumerate(columns.items()):
        adjuster = Adjuster(name, _total(table, stand, name, values))
        _check_clicks(table, adjuster, values)
        adjusters.append(adjuster)
        clicks[:, place] = adjuster.clicks - values if stand.from_open else values
    said = ("The table does not say how many clicks there are: taken as its largest.",)
    return tuple(adjusters), clicks, said if adjusters and not stand.totals else ()


def _total(table: Table, stand: Stand, name: str, values: np.ndarray) -> int:
    """Return how many clicks an adjuster has."""
    if name in stand.totals:
        return stand.totals[name]
    if stand.from_open or stand.totals:
        what = f"the number of clicks of {name!r} is not given"
        mend = f"add it above the table, as in # adjusters: {name} 20"
        raise FileProblem(table.path, what, mend, table.header_row)
    return int(np.clip(values.max(), 0, 1000))


def _check_clicks(table: Table, adjuster: Adjuster, values: np.ndarray) -> None:
    """Refuse clicks that a knob does not have."""
    wrong = (values != np.round(values)) | (values < 0) | (values > adjuster.clicks)
    if wrong.any():
        row = int(np.argmax(wrong))
        what = f"{values[row]:g} under {adjuster.name!r} is no click of 0 to {adjuster.clicks}"
        mend = "correct it, or the number of clicks in # adjusters"
        raise FileProblem(table.path, what, mend, int(table.rows[row]))


def pairs(settings: tuple[Setting, ...], place: int) -> list[tuple[Setting, Setting]]:
    """Return the pairs of settings that differ in one adjuster only.

    Parameters
    ----------
    settings : tuple of Setting
        Settings of one damper.
    place : int
        Which adjuster differs.

    Returns
    -------
    list of tuple
        The setting nearer to closed first.
    """
    found = []
    for first in settings:
        for second in settings:
            apart = [i for i, (a, b) in enumerate(zip(first, second, strict=True)) if a != b]
            if apart == [place] and first[place] < second[place]:
                found.append((first, second))
    return found


def check_closed_is_hardest(
    table: Table,
    stand: Stand,
    adjusters: tuple[Adjuster, ...],
    curves: Mapping[Setting, Curve],
) -> None:
    """Refuse a table whose forces grow while its clicks are said to open the valve.

    Parameters
    ----------
    table : Table
        The table.
    stand : Stand
        Its facts: which end the clicks are counted from.
    adjusters : tuple of Adjuster
        The adjusters.
    curves : mapping of Setting to Curve
        The curve of each setting, clicks counted out from closed.

    Raises
    ------
    FileProblem
        If an adjuster is clearly harder when further out from closed.
    """
    for place, adjuster in enumerate(adjusters):
        growth = [
            _force(adjuster, curves[out]) / _force(adjuster, curves[near]) - 1
            for near, out in pairs(tuple(curves), place)
        ]
        if growth and np.mean(growth) > _SURE:
            end, other = ("open", "closed") if stand.from_open else ("closed", "open")
            what = f"{adjuster.name!r} is harder with more clicks out from closed, taking the "
            what += f"clicks as counted from {end}"
            mend = f"if they are counted from {other}, write # clicks counted from: {other}"
            row = table.fact_rows.get("clicks counted from", table.header_row)
            raise FileProblem(table.path, what, mend, row)


def _force(adjuster: Adjuster, curve: Curve) -> float:
    """Return the mean force in the directions in which an adjuster acts, in N."""
    ways = [way for way, word in ((1, "bump"), (-1, "rebound")) if word in adjuster.name]
    return float(np.mean([np.abs(curve.force_at(way * _PROBES)) for way in ways])) + 1.0
