"""Read a force-travel record of a damper on a stand, and make a force-speed table of it.

Going in (bump) and coming out (rebound) are two branches of one closed loop. Every speed short of
the fastest comes twice a branch, once while the stand speeds up and once while it slows down; how
far their forces lie apart is the scatter of the table.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.signal import savgol_filter

from dampinglab.errors import FileProblem
from dampinglab.physics.damper import Curve
from dampinglab.workshop.stand import Stand, read_stand
from dampinglab.workshop.stroke import Stroke
from dampinglab.workshop.strokes import Motion, read_motion
from dampinglab.workshop.table import Table, read_table

__all__ = ["Loop", "read_loop"]

_POINTS = 12  # speeds of a branch, evenly spaced as shares, from a twentieth to the whole
_LEAST = 0.05
_BAND, _NARROWEST = 0.06, 0.01  # half width of a band: of its speed, and of the greatest
_FEW = 4  # readings that a point of the table needs
_TURN = 0.06  # of the greatest speed: slower than this the shaft turns round
_REST_SHARE, _REST_FORCE = 0.03, 15.0  # what a force at rest may be before it is gas


@dataclass(frozen=True, eq=False)
class Loop:
    """A force-travel record as a force-speed table.

    Parameters
    ----------
    name : str
        What the file calls the damper.
    curve : Curve
        Force against shaft speed, gas force taken off, bump positive.
    scatter : ndarray
        Standard deviation of the readings about each point of the curve, N; 0 at rest.
    time, travel, speed, force : ndarray
        The record, s, m, m/s, N, bump positive, gas force taken off.
    gas, gas_rate : float
        Gas force that was taken off at the middle of the stroke, N, and its rise with travel, N/m.
    assumptions : tuple of str
        Whole sentences for what the file did not say.
    """

    name: str
    curve: Curve
    scatter: np.ndarray
    time: np.ndarray
    travel: np.ndarray
    speed: np.ndarray
    force: np.ndarray
    gas: float
    gas_rate: float
    assumptions: tuple[str, ...]


def read_loop(path: str | Path) -> Loop:
    """Read a force-travel record and split it into its bump and rebound branches.

    Parameters
    ----------
    path : str or Path
        A table as `read_table` takes it with time, travel and force, over one or more whole
        strokes. Its "#" lines say what those of a dyno table do: gas force (removed, or included
        with or without its size), friction, rebound sign.

    Returns
    -------
    Loop
        The table with its scatter.

    Raises
    ------
    FileProblem
        One sentence, if a column, a unit or a sign is missing or unlikely, the record has a hole,
        is too short or too slow, or its forces are not those of a damper.

    Notes
    -----
    Speed is the slope of a cubic over a twelfth of a stroke (Savitzky and Golay, from memory): on
    a sine it is low by less than 0.2 %.
    """
    table = read_table(path)
    stand = read_stand(table, adjustable=False)
    motion = read_motion(table, stand)
    speed = _slope(motion)
    travel, speed, turned = _towards_bump(motion.travel, speed, motion.force)
    gas, rate, about_gas = _gas(table, stand, travel, speed, motion.force)
    force = motion.force - gas - rate * (travel - travel.mean())
    curve, scatter = _table(table, speed, force)
    notes = (*stand.assumptions, *turned, *about_gas)
    return Loop(stand.title, curve, scatter, motion.time, travel, speed, force, gas, rate, notes)


def _slope(motion: Motion) -> np.ndarray:
    """Return the speed of the travel, m/s."""
    window = max(5, round(motion.stroke / 12 / motion.dt) | 1)
    return savgol_filter(motion.travel, window, 3, deriv=1, delta=motion.dt)


def _towards_bump(travel: np.ndarray, speed: np.ndarray, force: np.ndarray):
    """Return travel and speed positive in bump: a damper takes energy and gives none back."""
    if np.sum(force * speed) >= 0:
        return travel, speed, ()
    words = "The travel was turned round: as written, the damper would give energy back."
    return -travel, -speed, (words,)


def _gas(table: Table, stand: Stand, travel: np.ndarray, speed: np.ndarray, force: np.ndarray):
    """Return gas force in the middle, its rise with travel, and what is said of both.

    Where the shaft turns round neither valves nor friction push, and what is left is gas.
    """
    top = np.abs(speed).max()
    slow = np.abs(speed) < _TURN * top
    place, v = travel[slow] - travel.mean(), speed[slow] / top
    parts = np.column_stack([np.ones_like(v), place, v, np.abs(v), v * v])
    found, rate = map(float, np.linalg.lstsq(parts, force[slow], rcond=None)[0][:2])
    _check_gas(table, stand, found, rate * np.ptp(travel) / 2, np.abs(force).max())
    if not stand.gas.included:
        return 0.0, 0.0, ()
    size = found if stand.gas.size is None else stand.gas.size
    words = f"Gas force of {size:.0f} N at the middle, rising by {rate / 1e3:.2f} N/mm, was taken "
    return size, rate, (words + "off, as read where the shaft turns round.",)


def _check_gas(table: Table, stand: Stand, found: float, rise: float, largest: float) -> None:
    """Refuse a record whose force at rest, or its rise to an end, is not that of its gas."""
    gas = (stand.gas.size if stand.gas.size is not None else found) if stand.gas.included else 0.0
    spare = max(_REST_FORCE, _REST_SHARE * largest)
    says = f"{gas:.0f} N of gas" if stand.gas.included else "that gas force is removed"
    what, mend = "", "write # gas force: included, or correct its size"
    if abs(rise) > abs(gas) + spare:
        what = f"at rest the force changes by {2 * rise:.0f} N from end to end, as of a "
        what += "spring or of forces written late"
        mend = "take spring and stops off, check that force and travel share a clock, test again"
    elif abs(found - gas) > spare:
        what = f"the force where the shaft turns round is {found:.0f} N, and the header says {says}"
        mend = "set the force to zero before the test" if found < 0 else mend
    if what:
        raise FileProblem(table.path, what, mend, table.fact_rows.get("gas force"))


def _table(table: Table, speed: np.ndarray, force: np.ndarray) -> tuple[Curve, np.ndarray]:
    """Return the curve of both branches and the scatter about its points."""
    (slow, pull, apart), (fast, push, spread) = (
        _branch(table, speed, force, way) for way in (-1, 1)
    )
    curve = Curve(
        np.concatenate([-slow[::-1], [0.0], fast]), np.concatenate([-pull[::-1], [0.0], push])
    )
    return curve, np.concatenate([apart[::-1], [0.0], spread])


def _branch(table: Table, speed: np.ndarray, force: np.ndarray, way: int):
    """Return speeds, forces and scatter of one branch, all positive, the slowest first."""
    size, push = way * speed, way * force
    top = float(np.quantile(size, 0.999))
    points = []
    for middle in top * np.geomspace(_LEAST, 1 - _BAND, _POINTS):
        here = np.abs(size - middle) < max(_BAND * middle, _NARROWEST * top)
        if np.count_nonzero(here) >= _FEW:
            row = int(table.rows[np.argmax(here)])
            points.append(
                (size[here].mean(), push[here].mean(), row, _apart(size[here], push[here]))
            )
    stroke = Stroke.collect(table.path, "bump" if way > 0 else "rebound", [p[:3] for p in points])
    return stroke.speed, stroke.level(), np.array([p[3] for p in points])


def _apart(speed: np.ndarray, force: np.ndarray) -> float:
    """Return how far forces lie from their own straight line, N."""
    parts = np.column_stack([np.ones_like(speed), speed / speed.mean() - 1])
    line = parts @ np.linalg.lstsq(parts, force, rcond=1e-6)[0]
    return float(np.std(force - line))
