"""What is watched while one adjuster is turned: the complaint, and everything it is paid with."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from dampinglab.physics.car import Car
from dampinglab.physics.car_run import drive_car
from dampinglab.physics.corner import Run, prepare, run_table
from dampinglab.physics.drive import brake, steer
from dampinglab.physics.lean import lean
from dampinglab.physics.measures import scores
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop.proving import EVENTS, METRICS, event_road

__all__ = ["FELT", "MAYBE", "WATCHED", "Watched", "car_readings", "corner_readings", "work_beyond"]

FELT, MAYBE = 0.10, 0.04
"""Shares of change from which a driver likely feels it, or maybe: assumptions, no source."""

_STEP = 2e-3  # s: half the work of 1 ms, and the same to a few thousandths
_HELD = {
    "steer": ("a turn entered in 0.2 s to 0.4 g", lambda: steer(0.4, 0.2, 2.4, dt=_STEP)),
    "brake": ("braking at 0.6 g", lambda: brake(0.6, 0.2, 2.0, dt=_STEP)),
}
_LEANS = {"rate": ("greatest rate", "°/s"), "past": ("how far past where it stays", "%")}


@dataclass(frozen=True)
class Watched:
    """One thing that a driver feels, and the number that stands for it.

    Parameters
    ----------
    worse, better : str
        What the vehicle does when it gets worse, and when it gets better.
    event, metric : str
        Keys of EVENTS and METRICS, or what is done to the whole vehicle and what is read off it.
    least : float
        Smallest size that a change is taken as a share of, in the metric's unit: an assumption.
    none_below : float, optional
        Value below which nobody complains.
    falls : bool, optional
        Whether it gets worse as the number falls.
    """

    worse: str
    better: str
    event: str
    metric: str
    least: float
    none_below: float = -np.inf
    falls: bool = False

    @property
    def where(self) -> str:
        """The event in words."""
        return _HELD[self.event][0] if self.whole else EVENTS[self.event].words

    @property
    def what(self) -> str:
        """The number in words."""
        return _LEANS[self.metric][0] if self.whole else METRICS[self.metric].words

    @property
    def unit(self) -> str:
        """What it is counted in."""
        return _LEANS[self.metric][1] if self.whole else METRICS[self.metric].unit

    def told(self, values: Sequence[float]) -> tuple[str, tuple[float, ...]]:
        """Return what the number is called at these values, and the values that go with the words.

        Parameters
        ----------
        values : sequence of float
            In the metric's unit.

        Returns
        -------
        words : str
            A rise is called one, and not a sinking below zero.
        values : tuple of float
            Above zero where all of them are of what the words say.
        """
        below = "" if self.whole else METRICS[self.metric].below
        if below and max(values) < 0:
            return below, tuple(-each for each in values)
        mixed = f" (below zero: {below})" if below and min(values) < 0 else ""
        return self.what + mixed, tuple(values)

    @property
    def whole(self) -> bool:
        """Whether it takes a whole vehicle to read it."""
        return self.event in _HELD

    def share(self, now: float, then: float) -> float:
        """Return a change as a share; above zero it got worse.

        Parameters
        ----------
        now, then : float
            Values before and after, in the metric's unit.

        Returns
        -------
        float
            Of what was, or of `least` where that is more.
        """
        share = (then - now) / max(abs(now), self.least)
        return float(-share if self.falls else share)


WATCHED: Mapping[str, Watched] = MappingProxyType(
    {
        "small ridge": Watched(
            "sharper over small bumps", "softer over small bumps", "small ridge", "peak", 0.3
        ),
        "ridge": Watched(
            "sharper over large bumps", "softer over large bumps", "ridge", "peak", 1.0
        ),
        "dip": Watched(
            "harder into its stop", "less hard into its stop", "dip", "stop energy", 30, 0.5
        ),
        "long dip": Watched(
            "harder into its stop in a long dip",
            "less hard into its stop in a long dip",
            "long dip",
            "stop energy",
            30,
            0.5,
        ),
        "waves": Watched(
            "more swing after a rise", "less swing after a rise", "two waves", "rise", 30, 0.5
        ),
        "motion": Watched(
            "more motion on waves", "less motion on waves", "two waves", "body motion", 5
        ),
        "hump": Watched(
            "thrown higher after a hump", "thrown less high after a hump", "hump", "rise", 50, 0.5
        ),
        "hole": Watched(
            "less tyre load in a hole",
            "more tyre load in a hole",
            "hole",
            "hole load",
            30,
            falls=True,
        ),
        "edge": Watched(
            "sharper on a hole's far edge", "softer on a hole's far edge", "hole", "edge", 2.0
        ),
        "many bumps": Watched(
            "lower over many bumps", "higher over many bumps", "corrugation", "sinking", 100
        ),
        "hop": Watched("more wheel hop", "less wheel hop", "short corrugation", "tyre change", 20),
        "droop": Watched(
            "harder into its droop stop",
            "less hard into its droop stop",
            "hump",
            "droop energy",
            10,
            0.1,
        ),
        "road": Watched(
            "more shaking on a usual road", "less shaking on a usual road", "road", "ride", 0.2
        ),
        "steer": Watched("faster to lean", "slower to lean", "steer", "rate", 2.0),
        "steer past": Watched(
            "further past in a turn", "less far past in a turn", "steer", "past", 30
        ),
        "brake": Watched("faster to dive", "slower to dive", "brake", "rate", 2.0),
        "brake past": Watched(
            "further past in a dive", "less far past in a dive", "brake", "past", 30
        ),
    }
)
"""Everything that is watched, by its name."""


@lru_cache(maxsize=64)
def _made(corner: Corner, event: str):
    return prepare(corner, event_road(event))


def corner_readings(
    corner: Corner, damper, setting, keys: Collection[str] = tuple(WATCHED)
) -> dict[str, float]:
    """Return what one setting does to one corner; each event is driven once.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    setting : tuple of int
        Clicks out from closed.
    keys : collection of str, optional
        Keys of WATCHED; those that take a whole vehicle are left out.

    Returns
    -------
    dict of str to float
        In each metric's unit.

    Raises
    ------
    OutOfRange
        If the damper has no such setting.
    """
    runs, found = {}, {}
    for key in keys:
        event = WATCHED[key].event
        if event in EVENTS:
            if event not in runs:
                runs[event] = _driven(corner, damper, setting, event)
            found[key] = float(METRICS[WATCHED[key].metric].of(runs[event], EVENTS[event]))
    return found


def _driven(corner: Corner, damper, setting, event: str) -> Run:
    return run_table(_made(corner, event), corner, event_road(event), damper, setting)


def work_beyond(corner: Corner, damper, setting, key: str) -> float:
    """Return which share of a damper's work lay at speeds beyond its table.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    setting : tuple of int
        Clicks out from closed.
    key : str
        Key of WATCHED; 0 where it takes a whole vehicle.

    Returns
    -------
    float
        Of its energy on that event.

    Raises
    ------
    OutOfRange
        If the damper has no such setting.
    """
    if WATCHED[key].whole:
        return 0.0
    return float(scores(_driven(corner, damper, setting, WATCHED[key].event)).energy_beyond)


def car_readings(car: Car, dampers: Mapping, settings: Sequence[Mapping]) -> list[dict[str, float]]:
    """Return how a whole vehicle leans and dives with each of some settings.

    Parameters
    ----------
    car : Car
        The vehicle.
    dampers : mapping of str to damper
        By axle.
    settings : sequence of mapping of str to Setting
        Clicks out from closed by axle.

    Returns
    -------
    list of dict of str to float
        The whole vehicle's part of WATCHED, for each setting.

    Raises
    ------
    OutOfRange
        If a damper has no such setting.
    """
    found = [{} for _ in settings]
    for event, (_, does) in _HELD.items():
        took = lean(drive_car(car, dampers, settings, does()))
        for each, rate, past in zip(found, took.rate, took.overshoot, strict=True):
            each[event] = float(np.degrees(rate))
            each[f"{event} past"] = float(max(0.0, 100 * past))
    return found
