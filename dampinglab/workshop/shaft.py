"""Road events as a damper feels them: shaft speed and force, and how far each spreads."""

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np

from dampinglab.physics import road
from dampinglab.physics.comfort import weighted_rms
from dampinglab.physics.corner import prepare, run_table
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop.travel_log import TravelLog

__all__ = ["EVENTS", "Band", "ShaftRecord", "drive_events", "from_log", "roads"]

EVENTS = (
    ("long waves", "90 km/h"),
    ("good highway", "100 km/h"),
    ("gravel", "60 km/h"),
    ("corrugations", "60 km/h"),
    ("rutted track", "20 km/h"),
    ("speed hump", "40 km/h"),
    ("pothole", "40 km/h"),
)
"""Name and road speed of each event, the slowest shaft first."""

# Half the work of 1 ms, and shares differ by two points at most; corrugations need the finer.
_STEP, _FINE = 2e-3, 1e-3  # s
_LONG, _SHORT = 6.0, 3.0  # s
_STILL = 0.005  # m/s, as in the shares of time
_EDGES = (0.1, 0.5, 0.9)  # shares below the band's ends and its middle


class Band(NamedTuple):
    """Where the middle four fifths of something lie, by shaft speed.

    Parameters
    ----------
    low, middle, high : float
        Shaft speeds below which a tenth, a half and nine tenths lie, m/s; NaN if there is none.
    """

    low: float
    middle: float
    high: float


@dataclass(frozen=True, eq=False)
class ShaftRecord:
    """What a shaft did on one event.

    Parameters
    ----------
    name : str
        The event, or the log's file.
    dt : float
        Time between samples, s.
    speed : ndarray
        Shaft speed, m/s, positive in bump.
    force : ndarray
        Force of the valves, N, positive when it resists bump.
    time, bump, rebound : Band
        Of the moving time, and of the energy that each direction turns into heat.
    ride : float or None
        ISO 2631 Wk r.m.s. of the body above, m/s2; None for a log.
    travel : float or None
        Greatest wheel travel in bump, m; None for a log.
    """

    name: str
    dt: float
    speed: np.ndarray
    force: np.ndarray
    time: Band
    bump: Band
    rebound: Band
    ride: float | None = None
    travel: float | None = None


@cache
def roads() -> tuple[Road, ...]:
    """Return the roads of the events, in their order.

    Returns
    -------
    tuple of Road
        With steps of 1 or 2 ms.
    """
    speed = [float(pace.split()[0]) / 3.6 for _, pace in EVENTS]
    return (
        road.long_waves(0.060, 25.0, speed[0], 4.0, dt=_STEP),
        road.iso8608("B", speed[1], _LONG, seed=1, dt=_STEP),
        road.iso8608("D", speed[2], _LONG, seed=2, dt=_STEP),
        road.corrugation(0.040, 0.7, speed[3], _SHORT, dt=_FINE),
        road.iso8608("E", speed[4], _LONG, seed=3, dt=_STEP),
        road.hump(0.100, 3.7, speed[5], _SHORT, dt=_STEP),
        road.pothole(0.060, 0.8, speed[6], _SHORT, dt=_STEP),
    )


@lru_cache(maxsize=8)
def _prepared(corner: Corner):
    """Return what runs of this corner need whatever its damper; made once for many clicks."""
    return [prepare(corner, each) for each in roads()]


def drive_events(corner: Corner, damper, setting) -> tuple[ShaftRecord, ...]:
    """Drive a corner over every event.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    tuple of ShaftRecord
        In the order of `EVENTS`.

    Raises
    ------
    OutOfRange
        If the damper does not have this setting.
    """
    each = zip(EVENTS, _prepared(corner), roads(), strict=True)
    runs = [
        (f"{name} at {pace}", run_table(made, corner, under, damper, setting))
        for (name, pace), made, under in each
    ]
    return tuple(_from_run(name, run, damper, setting) for name, run in runs)


def _from_run(name: str, run, damper, setting) -> ShaftRecord:
    speed = run.corner.damper_motion_ratio * run.travel_rate
    ride = float(weighted_rms(run.body_acceleration, run.road.dt))
    travel = float(max(run.travel.max(), 0.0))
    return _record(name, run.road.dt, speed, damper, setting, ride, travel)


def from_log(log: TravelLog, damper, setting) -> ShaftRecord:
    """Return a travel log's shaft speed with the force that a damper would have had.

    Parameters
    ----------
    log : TravelLog
        The log; what it leaves out is left out here.
    damper : MeasuredDamper or ValveDamper
        The damper that is taken to have been in it.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    ShaftRecord
        Without ride and travel, which a log of the shaft does not tell.

    Raises
    ------
    OutOfRange
        If the damper does not have this setting.
    """
    return _record(f"the log {log.name}", log.dt, log.speed[log.used], damper, setting, None, None)


def _record(name, dt, speed, damper, setting, ride, travel) -> ShaftRecord:
    force = damper.valve_force(speed, setting)
    size, heat = np.abs(speed), np.maximum(speed * force, 0.0)
    bands = [
        _band(size, weight)
        for weight in ((size > _STILL).astype(float), heat * (speed > 0), heat * (speed < 0))
    ]
    return ShaftRecord(name, dt, speed, force, *bands, ride, travel)


def _band(size: np.ndarray, weight: np.ndarray) -> Band:
    """Return the speeds below which shares of a weight lie."""
    order = np.argsort(size)
    below = np.cumsum(weight[order])
    if below[-1] <= 0:
        return Band(np.nan, np.nan, np.nan)
    places = np.searchsorted(below, np.array(_EDGES) * below[-1])
    return Band(*(float(size[order[place]]) for place in places))
