"""Read a dyno table into measured dampers: force against shaft speed, one curve a setting."""

from pathlib import Path
from types import MappingProxyType

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper, Setting
from dampinglab.units import to_si, units_of
from dampinglab.workshop.clicks import (
    adjuster_columns,
    check_closed_is_hardest,
    clicks_from_closed,
)
from dampinglab.workshop.direction import read_direction
from dampinglab.workshop.stand import Stand, read_stand
from dampinglab.workshop.stroke import Stroke
from dampinglab.workshop.table import Table, read_table

__all__ = ["read_dyno"]

_SPEED = ("shaft speed", "speed", "velocity", "shaft velocity")
_FORCE = ("force", "damping force", "damper force")

# Largest value of a table, in SI: (least, most, and the range in which a unit is "likely").
# Shafts of road vehicles reach 2 to 4 m/s and dampers some kN: common practice, no source.
_SIZES = {"speed": (0.05, 6.0, 0.2, 3.0), "force": (50.0, 30e3, 200.0, 15e3)}


def read_dyno(path: str | Path) -> dict[str, MeasuredDamper]:
    """Read a dyno table.

    Parameters
    ----------
    path : str or Path
        Text with facts in "#" lines ("# rebound sign: negative"), then columns: shaft speed,
        force, one of clicks for each adjuster, and, if wanted, axle and direction.

    Returns
    -------
    dict of str to MeasuredDamper
        By axle, "front" or "rear": speeds in m/s, positive in bump; forces in N, positive when
        they resist bump, gas force taken off; clicks counted out from closed. What the file did
        not say and had to be assumed stands in each damper's assumptions.

    Raises
    ------
    FileProblem
        One sentence with the row and the mend, if the table is incomplete, contradicts itself,
        or cannot be understood for certain.
    """
    table = read_table(path)
    speed, force = _column(table, "speed", _SPEED), _column(table, "force", _FORCE)
    columns = adjuster_columns(table)
    stand = read_stand(table, bool(columns))
    adjusters, clicks, about_clicks = clicks_from_closed(table, stand, columns)
    direction, about_sign = read_direction(table, stand, speed, force, adjusters, clicks)
    force, gas, about_gas = _without_gas(table, stand, direction, _signed(direction, speed, force))
    points = np.column_stack([np.abs(speed), force * direction, table.rows, direction])
    notes = (*stand.assumptions, *about_clicks, *about_sign, *about_gas)
    return {
        axle: _damper(table, stand, adjusters, clicks[mine], points[mine], gas, notes)
        for axle, mine in _axles(table, stand).items()
    }


def _damper(table: Table, stand: Stand, adjusters, clicks, points, gas: float, notes: tuple):
    """Return the damper of one axle."""
    curves, sorting = _curves(table, adjusters, clicks, points)
    check_closed_is_hardest(table, stand, adjusters, curves)
    friction = stand.friction_apart
    return MeasuredDamper(stand.title, adjusters, curves, gas, friction, notes + sorting)


def _column(table: Table, quantity: str, names: tuple[str, ...]) -> np.ndarray:
    """Return a column in SI, refused when its size says that the unit is another."""
    values = table.si(quantity, *names)
    least, most, *_ = _SIZES[quantity]
    size = np.abs(values)
    worst = int(np.argmax(size))
    if least <= size[worst] <= most:
        return values
    one = size[worst] > most and np.mean(size > most) < 0.3  # a slip in a row, not in the heading
    raise _wrong_size(table, quantity, table.find(*names), worst, one)


def _wrong_size(table: Table, quantity: str, name: str, worst: int, one: bool) -> FileProblem:
    """Say what was found, in which unit it would be likely, and where to mend it."""
    column, (least, most, low, high) = table.columns[name], _SIZES[quantity]
    number, si = abs(column.values[worst]), units_of(quantity)[0]
    size = to_si(number, column.unit)
    likely = [u for u in units_of(quantity) if low <= to_si(number, u) <= high and u != column.unit]
    what = f"the largest {column.heading!r} is {number:g}, which is {size:g} {si}, "
    what += f"and it should be {least:g} to {most:g} {si}"
    mend = "check the numbers and the unit"
    if likely:
        mend = f"it is likely in {likely[0]}: "
        mend += "correct this row" if one else f"write [{likely[0]}] in the heading"
    return FileProblem(table.path, what, mend, int(table.rows[worst]) if one else table.header_row)


def _signed(direction: np.ndarray, speed: np.ndarray, force: np.ndarray) -> np.ndarray:
    """Return forces with those that resist bump positive, whatever the stand's sign was.

    Most of the work in either direction is done against the damper, so that the sign of the sum,
    weighed with speed, tells the stand's.
    """
    signed = force.copy()
    for way in (1, -1):
        here = direction == way
        if np.sum(force[here] * np.abs(speed[here])) * way < 0:
            signed[here] *= -1
    return signed


def _without_gas(table: Table, stand: Stand, direction: np.ndarray, force: np.ndarray):
    """Return forces without gas force, the gas force in N, and what was assumed of it."""
    at_rest = force[direction == 0]
    found = float(np.abs(at_rest).mean()) if at_rest.size else None
    size, said = stand.gas.size, ()
    if stand.gas.included and size is None:
        if found is None:
            what = "the forces include gas force, and its size is not given"
            mend = "write it, as in # gas force: included, 300 N, or add a row at zero speed"
            raise FileProblem(table.path, what, mend, table.fact_rows["gas force"])
        size, said = found, (f"The force at rest, {found:.0f} N, is taken as the gas force.",)
    if not stand.gas.included and found and found > max(15.0, 0.03 * np.abs(force).max()):
        row = int(table.rows[direction == 0][0])
        what = f"there are {found:.0f} N at zero speed, as when gas force is in the table"
        raise FileProblem(table.path, what, "write # gas force: included above the table", row)
    return force - (size if stand.gas.included else 0.0), size or 0.0, said


def _axles(table: Table, stand: Stand) -> dict[str, np.ndarray]:
    """Return which rows belong to each axle."""
    column = table.words.get("axle")
    if column is None:
        if not stand.axles:
            mend = "add a line # axle: front (or rear, or both) above the table"
            raise FileProblem(table.path, "the file does not say which axle it is for", mend, 1)
        return dict.fromkeys(stand.axles, np.ones(len(table.rows), bool))
    names = np.array([cell.lower() for cell in column])
    wrong = ~np.isin(names, ("front", "rear"))
    if wrong.any():
        row = int(np.argmax(wrong))
        what = f"{column[row]!r} under 'axle' is no axle"
        raise FileProblem(table.path, what, "write front or rear", int(table.rows[row]))
    return {axle: names == axle for axle in ("front", "rear") if (names == axle).any()}


def _curves(table: Table, adjusters: tuple[Adjuster, ...], clicks: np.ndarray, points: np.ndarray):
    """Return the curve of each setting, and a sentence when rows had to be sorted."""
    curves: dict[Setting, Curve] = {}
    out_of_order = []
    for setting in sorted({tuple(row) for row in clicks.tolist()}):
        mine = points[np.all(clicks == np.array(setting, int), axis=1)]
        bump, rebound = (_stroke(table, adjusters, setting, mine, way) for way in (1, -1))
        out_of_order += [each.label for each in (bump, rebound) if not each.in_order]
        speed = np.concatenate([-rebound.speed[::-1], [0.0], bump.speed])
        force = np.concatenate([-rebound.level()[::-1], [0.0], bump.level()])
        curves[setting] = Curve(speed, force)
    said = f"Speeds out of order were sorted (each row has its own): {', '.join(out_of_order)}."
    return MappingProxyType(curves), (said,) if out_of_order else ()


def _stroke(
    table: Table, adjusters: tuple[Adjuster, ...], setting: Setting, points: np.ndarray, way: int
) -> Stroke:
    """Return one direction at one setting."""
    names = [f"{each.name} {n}" for each, n in zip(adjusters, setting, strict=True)]
    words, other = ("bump", "rebound") if way > 0 else ("rebound", "bump")
    label = f"{words} at {', '.join(names)} clicks" if names else words
    mine = points[points[:, 3] == way]
    if not len(mine):
        what = f"there is no {label}, only {other}"
        mend = "a damper works both ways: add the rows of the other direction"
        raise FileProblem(table.path, what, mend, int(points[0, 2]))
    return Stroke.collect(table.path, label, mine[:, :3])
