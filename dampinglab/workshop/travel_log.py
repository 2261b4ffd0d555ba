"""Read a travel log, mend what can be mended, and differentiate it to shaft speed.

What a sensor does wrong is found and named: missing readings, spikes, a sensor at its end, drift.
Short holes are bridged by a smooth curve, long ones left out, and what cannot be trusted is
refused with one sentence.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.interpolate import PchipInterpolator

from dampinglab.errors import FileProblem
from dampinglab.workshop.slope import Slope, noise_of, slope_for
from dampinglab.workshop.table import Table, read_table
from dampinglab.workshop.trouble import Hole, clipped, drift_of, missing, spikes

__all__ = ["TravelLog", "read_travel_log"]

_SHORTEST, _LONGEST = 2.0, 3600.0  # s
_RATES = (50.0, 5000.0)  # readings a second
_STILL, _LARGEST = 1e-3, 0.8  # m, least and greatest span of a damper's travel
_LOST = 0.25  # share of a log that may be left out
_CUTOFF = 60.0  # Hz: edges of the road reach about 40 Hz at the wheel, beyond is mostly noise
_DRIFTED = 0.03  # m of drift that is no drift any more but a loose sensor
_TIME_NAMES = ("time", "t", "elapsed time")
_WHEEL_NAMES = ("wheel travel",)
_SHAFT_NAMES = ("damper travel", "shaft travel", "travel", "damper position", "position")


@dataclass(frozen=True, eq=False)
class TravelLog:
    """A travel log as mended, and the shaft speed in it.

    Parameters
    ----------
    name : str
        The file's name.
    time : ndarray
        Even steps from 0, s.
    travel : ndarray
        At the shaft, m, positive in bump, from the middle of the log.
    speed : ndarray
        Shaft speed, m/s, positive in bump.
    used : ndarray of bool
        False where the log had a hole too long to bridge; speeds there mean nothing.
    slope : Slope
        How the speed was made, with its cut-off.
    noise : float
        One standard deviation of a reading, m; at slow rates an upper bound.
    holes : tuple of Hole
        All that was bridged or left out.
    remarks : tuple of str
        Whole sentences: what was assumed, mended or left out.
    """

    name: str
    time: np.ndarray
    travel: np.ndarray
    speed: np.ndarray
    used: np.ndarray
    slope: Slope
    noise: float
    holes: tuple[Hole, ...]
    remarks: tuple[str, ...]

    @property
    def dt(self) -> float:
        """Time between two points, s."""
        return float(self.time[1] - self.time[0])

    @property
    def speed_noise(self) -> float:
        """One standard deviation of the shaft speed that comes from the sensor's noise, m/s."""
        return self.noise * self.slope.noise_gain

    @property
    def words(self) -> str:
        """How good the speed is, in one sentence."""
        at = min(30.0, self.slope.cutoff)
        return (
            f"Shaft speed is good to about ±{2e3 * self.speed_noise:.0f} mm/s of noise (two "
            f"standard deviations) and is cut off at {self.slope.cutoff:.0f} Hz; a movement at "
            f"12 Hz, about a wheel's hop, reads {100 * self.slope.loss(12.0):.0f} % low, one at "
            f"{at:.0f} Hz {100 * self.slope.loss(at):.0f} %."
        )


def read_travel_log(path: str | Path, cutoff: float = _CUTOFF) -> TravelLog:
    """Read a travel log and return the shaft speed in it.

    Parameters
    ----------
    path : str or Path
        A table as `read_table` takes it, with "time [ms]" and "damper travel [mm]" in any unit.
        Of "wheel travel" the "#" lines must say "motion ratio: 0.60". They should say
        "positive: bump" or "positive: rebound".
    cutoff : float, optional
        Wanted cut-off, Hz; a slow log has a lower one, and says so.

    Returns
    -------
    TravelLog
        In SI, positive in bump.

    Raises
    ------
    FileProblem
        One sentence, if a column, unit or fact is missing or unlikely, time does not rise, the
        log is too short, too slow or too fast, nothing moves, or too much of it is bad.

    Notes
    -----
    The speed is the slope of a polynomial fitted to a few readings round each moment (Savitzky
    and Golay, 1964). A hole spoils half a window on either side, so that is left out with it.
    """
    table = read_table(path)
    time = table.si("time", *_TIME_NAMES)
    _check_time(table, time)
    travel, assumed = _at_shaft(table)
    _check_travel(table, travel)
    even, dt = _evenly(time, table)
    holes = _holes(table, even, travel, dt)
    grid, whole, used = _bridge(even, travel, dt, holes)
    slope = slope_for(dt, cutoff)
    used = slope.clear_of(used)
    _check_used(table, used, holes)
    level, drifted = _level(table, grid, whole, used)
    told = (*assumed, *_told(holes), *drifted, *_slow(dt))
    made = (level, slope.of(level), used, slope, noise_of(whole[used]))
    return TravelLog(table.path.name, grid, *made, tuple(holes), told)


def _check_time(table: Table, time: np.ndarray) -> None:
    """Refuse times that cannot be those of a travel log."""
    steps, path = np.diff(time), table.path
    for i in np.flatnonzero(steps <= 0)[:1]:
        what = f"the time goes from {time[i]:.7g} s to {time[i + 1]:.7g} s and must rise"
        mend = "take out doubled or misplaced rows, or write more decimals of the time"
        raise FileProblem(path, what, mend, int(table.rows[i + 1]))
    rate = 1 / float(np.median(steps)) if len(steps) else 0.0
    if len(steps) >= 20 and not 0.999 * _RATES[0] <= rate <= 1.001 * _RATES[1]:
        what = f"there are {rate:.4g} readings a second, and 50 to 5000 can be used"
        unit = table.columns[table.find(*_TIME_NAMES)].unit
        mend = f"set the logger anew, or mend the unit of time if [{unit}] is not right"
        raise FileProblem(path, what, mend, table.header_row)
    span = time[-1] - time[0]
    if len(steps) < 20 or not _SHORTEST <= span <= _LONGEST:
        what = f"the log holds {len(time)} readings in {span:.3g} s"
        raise FileProblem(path, what, "give 2 s to an hour of it, best 10 s or more of one road")


def _at_shaft(table: Table) -> tuple[np.ndarray, tuple[str, ...]]:
    """Return the travel of the shaft, positive in bump, and what was assumed for it."""
    if table.find(*_SHAFT_NAMES) is None and table.find(*_WHEEL_NAMES):
        ratio = _fact_number(table, "motion ratio")
        travel = ratio * table.si("length", *_WHEEL_NAMES)
        told = (f"The log is of the wheel; the shaft moves {ratio:.2f} as far (motion ratio).",)
    else:
        travel, told = table.si("length", *_SHAFT_NAMES), ()
    sign, unsaid = _positive(table)
    return sign * travel, (*told, *unsaid)


def _positive(table: Table) -> tuple[float, tuple[str, ...]]:
    """Return the sign that makes bump positive, and the assumption if the file does not say."""
    told = table.facts.get("positive")
    if told is None:
        return 1.0, ("The file does not say which way is positive: taken as bump.",)
    if told.lower() not in _SIGNS:
        mend = 'write "positive: bump" if it grows when the damper shortens, else "rebound"'
        what = f"'positive: {told}' is not clear"
        raise FileProblem(table.path, what, mend, table.fact_rows["positive"])
    return _SIGNS[told.lower()], ()


_SIGNS = {"bump": 1.0, "compression": 1.0, "rebound": -1.0, "extension": -1.0, "droop": -1.0}


def _fact_number(table: Table, name: str) -> float:
    """Return the motion ratio that the file's facts give."""
    text, mend = table.facts.get(name), f'add a line "# {name}: 0.60", damper over wheel travel'
    if text is None:
        raise FileProblem(table.path, "it logs the wheel and gives no motion ratio", mend)
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = np.nan
    if not 0.1 <= value <= 1.5:
        row = table.fact_rows[name]
        raise FileProblem(table.path, f"the motion ratio {text!r} is not 0.1 to 1.5", mend, row)
    return value


def _check_travel(table: Table, travel: np.ndarray) -> None:
    """Refuse what no damper does."""
    low, high = np.percentile(travel, [1, 99])
    name = table.find(*_SHAFT_NAMES, *_WHEEL_NAMES)
    unit = table.columns[name].unit
    if high - low > _LARGEST:
        what = f"the damper would move {high - low:.3g} m"
        raise FileProblem(table.path, what, f"mend the unit, if [{unit}] is not right")
    if np.ptp(travel) < _STILL or high == low:
        what = f"the damper moves only {1e3 * np.ptp(travel):.2g} mm"
        mend = f"look at the sensor's link, or mend the unit if [{unit}] is not right"
        raise FileProblem(table.path, what, mend)


def _evenly(time: np.ndarray, table: Table) -> tuple[np.ndarray, float]:
    """Return the times from 0 and the logger's step; a rounded clock is set right.

    A logger at 400 readings a second that writes whole milliseconds steps by 2 and 3 of them; the
    readings were even, and slopes over 2 and 3 ms would be wrong by a quarter.
    """
    start = time - time[0]
    steps = np.diff(start)
    usual = steps[steps < 1.75 * np.median(steps)].mean()
    place = np.concatenate([[0], np.cumsum(np.maximum(np.round(steps / usual), 1))])
    dt = float(start[-1] / place[-1])
    written = table.columns[table.find(*_TIME_NAMES)].values
    quantum = next((q for q in 10.0 ** -np.arange(9) if _multiples(written, q)), 0.0)
    rounding = 1.02 * quantum * float(start[-1] / (written[-1] - written[0]))
    off = np.abs(start - dt * place).max()
    return (dt * place if off <= max(rounding, 0.02 * dt) else start), dt


def _multiples(values: np.ndarray, quantum: float) -> bool:
    parts = values / quantum
    return bool(np.abs(parts - np.round(parts)).max() < 1e-3)


def _holes(table: Table, time: np.ndarray, travel: np.ndarray, dt: float) -> list[Hole]:
    """Return all stretches without a reading that can be trusted, in the order of time."""
    found = [
        *missing(time, dt, table.rows),
        *spikes(time, travel, dt, table.rows),
        *clipped(time, travel, dt, table.rows),
    ]
    return sorted(found, key=lambda hole: hole.start)


def _bridge(time: np.ndarray, travel: np.ndarray, dt: float, holes: list[Hole]):
    """Return an even grid, the travel on it with every hole bridged, and where to trust it."""
    grid = dt * np.arange(round(time[-1] / dt) + 1)
    trusted, used = np.ones(len(time), bool), np.ones(len(grid), bool)
    for hole in holes:
        trusted &= ~((time > hole.start) & (time < hole.end))
        if not hole.bridged:
            used &= ~((grid > hole.start) & (grid < hole.end))
    return grid, PchipInterpolator(time[trusted], travel[trusted])(grid), used


def _check_used(table: Table, used: np.ndarray, holes: list[Hole]) -> None:
    """Refuse a log of which too much is bad."""
    lost = 1 - used.mean()
    if lost > _LOST:
        worst = max((hole for hole in holes if not hole.bridged), key=lambda h: h.end - h.start)
        what = f"{100 * lost:.0f} % of the log cannot be used, most of it because {worst.why}"
        mend = "mend the sensor and log again, or cut the bad stretch out"
        raise FileProblem(table.path, what, mend, worst.row)


def _level(table: Table, time: np.ndarray, travel: np.ndarray, used: np.ndarray):
    """Return the travel from its middle and without drift, and the sentence on what was done."""
    drift = drift_of(time, travel, used)
    if abs(drift) > _DRIFTED:
        what = f"the rest position drifts by {1e3 * abs(drift):.0f} mm from start to end"
        raise FileProblem(table.path, what, "look at the sensor's mount and supply, and log again")
    level = travel - drift * (time / time[-1] - 0.5)
    told = (
        f"The rest position drifted by {1e3 * abs(drift):.1f} mm over {time[-1]:.0f} s; a straight "
        f"line was taken off, {1e3 * abs(drift) / time[-1]:.2f} mm/s of speed.",
    )
    return level - np.median(level[used]), told if drift else ()


def _told(holes: list[Hole]) -> list[str]:
    """Return one sentence for each kind of trouble, with the first row and the whole length."""
    kinds = list(dict.fromkeys((hole.kind, hole.bridged) for hole in holes))
    groups = [[hole for hole in holes if (hole.kind, hole.bridged) == kind] for kind in kinds]
    return [_sentence(group) for group in groups]


def _sentence(group: list[Hole]) -> str:
    first, length = group[0], sum(hole.end - hole.start for hole in group)
    done = "bridged by a smooth curve" if first.bridged else "left out"
    times = "once" if len(group) == 1 else f"{len(group)} times"
    return (
        f"Row {first.row}, at {first.start:.3f} s: {first.why}; found {times}, "
        f"{1e3 * length:.0f} ms in all, {done}."
    )


def _slow(dt: float) -> tuple[str, ...]:
    """Return what a slow log cannot show."""
    if 1 / dt > 250:
        return ()
    words = "a spike of a few centimetres passes for movement, and sharp edges read low"
    return (f"At {1 / dt:.0f} readings a second {words}.",)
