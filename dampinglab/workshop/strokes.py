"""Read the movement of a damper on a stand: time, travel and force, checked and evenly sampled."""

from dataclasses import dataclass

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.workshop.stand import Stand
from dampinglab.workshop.table import Table

__all__ = ["Motion", "read_motion"]

_FEWEST = 120  # readings a stroke: fewer cannot tell speed from travel
_TRAVEL = (0.004, 0.5)  # m from end to end
_SPEED = (0.02, 6.0)  # m/s
_FORCE = (50.0, 30e3)  # N
_FLAT = (
    0.02  # of all readings at the largest force, more of them mean that the sensor is at its end
)
_HOLE = 4.0  # usual steps of time: a longer one hides part of a stroke


@dataclass(frozen=True, eq=False)
class Motion:
    """A record, evenly sampled.

    Parameters
    ----------
    time : ndarray
        s from the first reading.
    travel : ndarray
        m, as written.
    force : ndarray
        N, positive when it resists bump.
    stroke : float
        Time of one stroke in and out, s.
    """

    time: np.ndarray
    travel: np.ndarray
    force: np.ndarray
    stroke: float

    @property
    def dt(self) -> float:
        """Time between readings, s."""
        return float(self.time[1])


def read_motion(table: Table, stand: Stand) -> Motion:
    """Read and check the movement of a force-travel record.

    Parameters
    ----------
    table : Table
        With columns of time, travel and force.
    stand : Stand
        Its facts; the sign of rebound must be among them.

    Returns
    -------
    Motion
        With forces positive in bump.

    Raises
    ------
    FileProblem
        If the record cannot be that of a damper on a stand.
    """
    time = table.si("time", "time", "t", "elapsed time")
    travel = table.si("length", "travel", "damper travel", "displacement", "position", "stroke")
    force = table.si("force", "force", "damping force", "damper force")
    if stand.rebound_sign is None:
        what = "the record does not say which sign of the force is rebound"
        mend = "add a line # rebound sign: negative (or positive) above the table"
        raise FileProblem(table.path, what, mend, 1)
    _check_time(table, time)
    _check_size(table, "travel", np.ptp(travel), "m", _TRAVEL)
    _check_size(table, "largest force", np.abs(force).max(), "N", _FORCE)
    _check_clipped(table, force)
    stroke = _stroke(table, time, travel)
    even = np.linspace(0.0, time[-1] - time[0], len(time))
    travel, force = (np.interp(even, time - time[0], x) for x in (travel, force))
    return Motion(even, travel, force if stand.rebound_sign == "negative" else -force, stroke)


def _check_time(table: Table, time: np.ndarray) -> None:
    """Refuse times that do not rise, and holes."""
    steps = np.diff(time)
    for i in np.flatnonzero(steps <= 0)[:1]:
        what = f"the time goes from {time[i]:g} s to {time[i + 1]:g} s and must rise"
        mend = "take out doubled or misplaced rows"
        raise FileProblem(table.path, what, mend, int(table.rows[i + 1]))
    if len(time) < _FEWEST:
        what = f"there are only {len(time)} readings"
        raise FileProblem(table.path, what, f"a stroke needs at least {_FEWEST}: record faster")
    i = int(np.argmax(steps))
    if steps[i] > _HOLE * np.median(steps):
        what = f"there is no reading between {time[i]:g} s and {time[i + 1]:g} s"
        mend = "record again, or keep only the part before or after the hole"
        raise FileProblem(table.path, what, mend, int(table.rows[i + 1]))


def _check_size(table: Table, name: str, size: float, unit: str, span) -> None:
    """Refuse a size that no damper on a stand has."""
    if not span[0] <= size <= span[1]:
        what = (
            f"the {name} is {size:.3g} {unit}, and it should be {span[0]:g} to {span[1]:g} {unit}"
        )
        raise FileProblem(table.path, what, "check the units in the headings", table.header_row)


def _check_clipped(table: Table, force: np.ndarray) -> None:
    """Refuse forces that stop at one value: the sensor, not the damper, ends there."""
    for end in (force.max(), force.min()):
        flat = np.flatnonzero(force == end)
        below = np.count_nonzero(np.abs(force / end - 0.99) < 0.0099) if end else 0
        if len(flat) > max(5, _FLAT * len(force), 4 * below):
            what = f"{len(flat)} readings stop at exactly {end:.0f} N, so the sensor was at its end"
            mend = "use a wider range, or test more slowly"
            raise FileProblem(table.path, what, mend, int(table.rows[flat[0]]))


def _stroke(table: Table, time: np.ndarray, travel: np.ndarray) -> float:
    """Return the time of one stroke in and out."""
    middle = travel - (travel.max() + travel.min()) / 2
    wide = np.flatnonzero(np.abs(middle) > 0.2 * np.ptp(travel))  # noise there is no crossing
    crossed = time[wide[:-1]][np.diff(np.sign(middle[wide])) != 0]
    closed = abs(travel[-1] - travel[0]) < 0.25 * np.ptp(travel)
    if len(crossed) < 2 - closed:
        what = "the record does not hold a whole stroke in and out"
        raise FileProblem(table.path, what, "start it before the first stroke and stop it later")
    span = time[-1] - time[0]
    stroke = 2 * np.ptp(crossed) / (len(crossed) - 1) if len(crossed) > 2 else span
    readings = len(time) * stroke / span
    _check_size(table, "greatest speed", np.pi * np.ptp(travel) / stroke, "m/s", _SPEED)
    if readings < _FEWEST:
        what = f"there are only {readings:.0f} readings a stroke"
        raise FileProblem(table.path, what, f"a stroke needs at least {_FEWEST}: record faster")
    return float(stroke)
