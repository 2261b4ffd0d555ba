"""The events that show the trade's rules best, and what is read off a run on each."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.physics import road
from dampinglab.physics.corner import Run
from dampinglab.physics.measures import felt_acceleration, scores
from dampinglab.physics.road import Road

__all__ = ["EVENTS", "METRICS", "Event", "Metric", "event_road"]

_START = 1.0  # s, at which every single event begins
_REACHED = 2.0  # s after which a road that never ends is in full swing
_GRID = 0.01  # m
_BEFORE_EDGE = 0.3  # m: a tyre of 0.4 m radius meets an edge of 60 mm about so far ahead


@dataclass(frozen=True)
class Event:
    """A piece of road at a speed.

    Parameters
    ----------
    words : str
        As a driver would say it.
    speed : float
        m/s.
    length : float
        From the beginning of the event to its end, m; 0 for a road that goes on.
    make : callable
        From the speed to a Road.
    """

    words: str
    speed: float
    length: float
    make: Callable[[float], Road]

    @property
    def passed(self) -> float:
        """Time at which the wheel leaves it, s."""
        return _START + self.length / self.speed


@dataclass(frozen=True)
class Metric:
    """One number that is read off a run.

    Parameters
    ----------
    words : str
        What it is, as in "bump-stop energy".
    unit : str
        What it is counted in.
    of : callable
        From a run and its event to the number.
    below : str, optional
        What it is called where the number is below zero, as in "mean rise of the body".
    """

    words: str
    unit: str
    of: Callable[[Run, Event], float]
    below: str = ""


def _shaped(shape, length: float, speed: float, duration: float, name: str) -> Road:
    """Return a road that follows `shape`, of the distance since the event begins."""
    x = _GRID * np.arange(int((speed * duration + length) / _GRID) + 200)
    return road.drive(name, x, shape(x - speed * _START), speed, duration)


def _dip(depth: float, length: float, duration: float):
    """Return a maker of one dip, from a speed to its road."""

    def shape(x):
        inside = (x >= 0) & (x <= length)
        return np.where(inside, -0.5 * depth * (1 - np.cos(2 * np.pi * x / length)), 0.0)

    return lambda speed: _shaped(shape, length, speed, duration, "dip")


_APART, _RIDGES, _LONG = 2.2, 8, 0.8  # m from ridge to ridge, how many, m along each


def _ridges(speed: float) -> Road:
    def shape(x):
        place = np.mod(x, _APART)
        inside = (x >= 0) & (x < _RIDGES * _APART) & (place <= _LONG)
        return np.where(inside, 0.03 * (1 - np.cos(2 * np.pi * place / _LONG)), 0.0)

    return _shaped(shape, _RIDGES * _APART, speed, 5.0, "eight ridges")


def _event(words: str, kmh: float, length: float, make) -> Event:
    return Event(f"{words} at {kmh:g} km/h", kmh / 3.6, length, make)


EVENTS = {
    "dip": _event("a dip of 120 mm in 6 m", 50, 6.0, _dip(0.12, 6.0, 4.0)),
    "long dip": _event("a long dip of 250 mm in 25 m", 90, 25.0, _dip(0.25, 25.0, 5.0)),
    "rough track": _event("a rough track", 60, 0, lambda v: road.iso8608("D", v, 12.0, seed=1)),
    "good road": _event("a good road", 100, 0, lambda v: road.iso8608("A", v, 12.0, seed=1)),
    "road": _event("a usual road", 100, 0, lambda v: road.iso8608("B", v, 12.0, seed=1)),
    "two waves": _event(
        "two waves of 60 mm", 90, 50.0, lambda v: road.long_waves(0.06, 25.0, v, 6.0, count=2)
    ),
    "three waves": _event(
        "three waves of 80 mm", 80, 54.0, lambda v: road.long_waves(0.08, 18.0, v, 6.0, count=3)
    ),
    "small ridge": _event("a ridge of 8 mm", 30, 0.2, lambda v: road.ridge(0.008, 0.2, v, 3.0)),
    "ridge": _event("a ridge of 50 mm", 60, 0.5, lambda v: road.ridge(0.05, 0.5, v, 3.0)),
    "hump": _event("a hump of 100 mm", 40, 3.7, lambda v: road.hump(0.10, 3.7, v, 5.0)),
    "corrugation": _event(
        "corrugations of 20 mm", 60, 0, lambda v: road.corrugation(0.02, 0.9, v, 8.0)
    ),
    "short corrugation": _event(
        "short corrugations of 20 mm", 20, 0, lambda v: road.corrugation(0.02, 0.6, v, 5.0)
    ),
    "hole": _event("a hole of 60 mm", 40, 0.8, lambda v: road.pothole(0.06, 0.8, v, 4.0)),
    "ridges": _event("eight ridges of 60 mm", 40, _RIDGES * _APART, _ridges),
}
"""Every event by its name."""


@cache
def event_road(name: str) -> Road:
    """Return the road of an event, made once.

    Parameters
    ----------
    name : str
        A key of EVENTS.

    Returns
    -------
    Road
        In time.

    Raises
    ------
    LearnerError
        If there is no such event.
    """
    if name not in EVENTS:
        raise LearnerError(f"There is no event {name!r}; there are {', '.join(EVENTS)}.")
    return EVENTS[name].make(EVENTS[name].speed)


def _packing(run: Run, event: Event) -> float:
    """Return bump travel on the last ridge less that on the first, mm."""
    time, each = run.road.time, _APART / event.speed
    first, last = (
        run.travel[(time >= begin) & (time < begin + each)].max()
        for begin in (_START, _START + (_RIDGES - 1) * each)
    )
    return 1e3 * (last - first)


def _hole_load(run: Run, event: Event) -> float:
    """Return the tyre's mean load while the wheel is over the hole, per cent of static."""
    over = (run.road.time >= _START) & (run.road.time <= event.passed)
    return 100 * run.tyre_force[over].mean() / run.tyre_force[0]


def _rise(run: Run, event: Event) -> float:
    """Return how high the body goes once the wheel has left the event, mm."""
    return 1e3 * run.body[run.road.time > event.passed].max()


def _edge(run: Run, event: Event) -> float:
    """Return the peak upward acceleration from just before a hole's far edge on, m/s2."""
    after = run.road.time >= event.passed - _BEFORE_EDGE / event.speed
    return float(felt_acceleration(run)[after].max())


def _droop_energy(run: Run, _event: Event) -> float:
    """Return what went into the droop stop, J: only what goes in, not what comes back."""
    power = np.minimum(run.stop_force, 0) * np.minimum(run.travel_rate, 0)
    return float(np.sum(power) * run.road.dt)


def _tyre_change(run: Run, _event: Event) -> float:
    """Return how far the tyre's load goes up and down in full swing, per cent of static, r.m.s."""
    late = run.road.time > _REACHED
    return float(100 * np.std(run.tyre_force[late]) / run.tyre_force[0])


def _sunk(run: Run, _event: Event) -> float:
    return -1e3 * run.body[run.road.time > _REACHED].mean()


METRICS = {
    "stop energy": Metric("bump-stop energy", "J", lambda r, _: float(scores(r).stop_energy)),
    "bump travel": Metric(
        "greatest bump travel", "mm", lambda r, _: 1e3 * float(scores(r).bump_travel)
    ),
    "body motion": Metric(
        "motion of the body against the road", "mm", lambda r, _: 1e3 * float(scores(r).body_motion)
    ),
    "peak": Metric(
        "peak upward acceleration of the body", "m/s²", lambda r, _: float(scores(r).peak_upward)
    ),
    "ride": Metric(
        "shaking of the body (ISO 2631 Wk)", "m/s²", lambda r, _: float(scores(r).weighted)
    ),
    "rise": Metric("rise of the body afterwards", "mm", _rise),
    "hole load": Metric("tyre load over the hole (share of that at rest)", "%", _hole_load),
    "drop": Metric("drop of the body", "mm", lambda r, _: -1e3 * float(r.body.min())),
    "sinking": Metric("mean sinking of the body", "mm", _sunk, "mean rise of the body"),
    "edge": Metric("peak upward acceleration on the far edge", "m/s²", _edge),
    "droop energy": Metric("droop-stop energy", "J", _droop_energy),
    "tyre change": Metric("change of the tyre's load (share of that at rest)", "%", _tyre_change),
    "packing": Metric("bump travel, last ridge less the first", "mm", _packing),
}
"""Every metric by its name."""
