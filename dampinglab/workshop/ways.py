"""Each remedy of the trade driven on one corner, or on the whole vehicle, step by step."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.car import Car
from dampinglab.physics.damper import Setting
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop.complaint import Complaint, Remedy, first_step, fitting, unfitting
from dampinglab.workshop.watched import (
    FELT,
    MAYBE,
    WATCHED,
    Watched,
    car_readings,
    corner_readings,
)

__all__ = ["Case", "Reading", "Way", "ways"]

_STILL = 0.005  # share of change below which nothing changes
_LOOKS = 6  # settings looked at from here to the end of the range
_ENOUGH = 0.95  # of the greatest gain, taken for all of it
_BACK = 0.25  # of the greatest gain, lost again before it counts as turned round


@dataclass(frozen=True)
class Reading:
    """One watched number at the setting now, one step and two steps on.

    Parameters
    ----------
    key : str
        Key of WATCHED.
    values : tuple of float
        Now, one step, two steps; fewer where the range ends.
    """

    key: str
    values: tuple[float, ...]

    @property
    def watched(self) -> Watched:
        """What it is."""
        return WATCHED[self.key]

    @property
    def shares(self) -> tuple[float, ...]:
        """Changes from now, one for each step; above zero it got worse."""
        return tuple(self.watched.share(self.values[0], then) for then in self.values[1:])

    @property
    def marks(self) -> tuple[str, ...]:
        """Whether each step's change would be felt."""
        return tuple(_mark(share) for share in self.shares)


def _mark(share: float) -> str:
    size = abs(share)
    return "likely felt" if size >= FELT else "maybe felt" if size >= MAYBE else "not felt"


@dataclass(frozen=True)
class Way:
    """One remedy on this damper, computed.

    Parameters
    ----------
    remedy : Remedy
        What the trade says.
    adjuster : str
        What this damper has for it.
    clicks : tuple of int
        Out from closed: now, one step, two steps; fewer where the range ends.
    own : Reading
        The complaint's number.
    others : tuple of Reading
        Everything else that is watched.
    looked : tuple of tuple of (int, float)
        Clicks and the complaint's number, from now to the end of the range.
    """

    remedy: Remedy
    adjuster: str
    clicks: tuple[int, ...]
    own: Reading
    others: tuple[Reading, ...]
    looked: tuple[tuple[int, float], ...]

    @property
    def gain(self) -> float:
        """How much better the complaint gets within two steps, as a share; below zero worse."""
        return -min(self.own.shares) if self.agrees else -max(self.own.shares)

    @property
    def agrees(self) -> bool:
        """Whether the model goes the trade's way at all."""
        return min(self.own.shares) <= -_STILL and max(self.own.shares) < MAYBE

    @property
    def against(self) -> bool:
        """Whether the complaint gets worse instead."""
        return not self.agrees and max(self.own.shares) >= _STILL

    @property
    def enough(self) -> int | None:
        """Clicks beyond which it helps no more; None where it helps to the end or not at all."""
        gains = self._gains()
        place = int(np.argmax(gains >= _ENOUGH * gains.max()))
        clicks = self.looked[place][0]
        return clicks if gains.max() >= MAYBE and place < len(gains) - 1 else None

    @property
    def turns(self) -> bool:
        """Whether beyond `enough` it gets worse again."""
        gains = self._gains()
        return self.enough is not None and gains[-1] < (1 - _BACK) * gains.max()

    @property
    def paid(self) -> tuple[Reading, ...]:
        """What gets worse by as much as may be felt, the most first."""
        found = [each for each in self.others if max(each.shares) >= MAYBE]
        return tuple(sorted(found, key=lambda each: -max(each.shares)))

    @property
    def gained(self) -> tuple[Reading, ...]:
        """What else gets better by as much as may be felt, the most first."""
        found = [each for each in self.others if min(each.shares) <= -MAYBE]
        return tuple(sorted(found, key=lambda each: min(each.shares)))

    def _gains(self) -> np.ndarray:
        """Return how much better the complaint is at each setting looked at, as shares."""
        (_, now), watched = self.looked[0], self.own.watched
        return np.array([-watched.share(now, value) for _, value in self.looked])


@dataclass(frozen=True)
class Case:
    """A complaint on an axle with its damper, and what drives it.

    Parameters
    ----------
    complaint : Complaint
        The complaint.
    axle, load : str
        Which axle, and the load case in words.
    corner : Corner
        The axle's corner under that load.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    now : tuple of int
        Clicks out from closed.
    car : Car, optional
        The whole vehicle, where both axles and their dampers are known.
    other : tuple, optional
        Damper and setting of the other axle.
    notes : list of str, optional
        Whole sentences found on the way.
    """

    complaint: Complaint
    axle: str
    load: str
    corner: Corner
    damper: object
    now: Setting
    car: Car | None = None
    other: tuple = ()
    notes: list = field(default_factory=list)

    def turned(self, adjuster: str, clicks: int) -> Setting:
        """Return the setting now with one adjuster elsewhere.

        Parameters
        ----------
        adjuster : str
            Its name.
        clicks : int
            Out from closed.

        Returns
        -------
        tuple of int
            The setting.
        """
        names = [each.name for each in self.damper.adjusters]
        return tuple(clicks if n == adjuster else c for n, c in zip(names, self.now, strict=True))

    @property
    def key(self) -> str:
        """What shows the complaint: the whole vehicle where it is known, else two waves."""
        shown = self.complaint.shown
        return shown if self.car or not WATCHED[shown].whole else "motion"

    def read(
        self, settings: Sequence[Setting], keys: Collection[str] = tuple(WATCHED)
    ) -> list[dict[str, float]]:
        """Return everything asked for at each setting.

        Parameters
        ----------
        settings : sequence of tuple of int
            Clicks out from closed.
        keys : collection of str, optional
            Keys of WATCHED.

        Returns
        -------
        list of dict of str to float
            For each setting, in each metric's unit.
        """
        found = [corner_readings(self.corner, self.damper, each, keys) for each in settings]
        if self.car and any(WATCHED[key].whole for key in keys):
            for each, more in zip(found, self._whole(settings), strict=True):
                each.update(more)
        return found

    def _whole(self, settings: Sequence[Setting]) -> list[dict[str, float]]:
        behind = "rear" if self.axle == "front" else "front"
        dampers = {self.axle: self.damper, behind: self.other[0]}
        return car_readings(
            self.car, dampers, [{self.axle: each, behind: self.other[1]} for each in settings]
        )


def ways(case: Case) -> tuple[Way, ...]:
    """Return each remedy that this damper can have, computed.

    Parameters
    ----------
    case : Case
        What is complained of, where; its notes take what the damper lacks.

    Returns
    -------
    tuple of Way
        In the trade's order.
    """
    there = {each.name: each for each in case.damper.adjusters}
    planned: dict[str, tuple[Remedy, tuple[int, ...]]] = {}
    for remedy in (each for each in case.complaint.remedies if case.axle in each.axles):
        name = fitting(remedy.adjuster, there)
        case.notes.extend(filter(None, [unfitting(remedy, name)]))
        if name and name not in planned:
            steps = _steps(case, name, there[name].clicks, remedy.more)
            if len(steps) > 1:
                planned[name] = remedy, steps
    before = case.read([case.now])[0] if planned else {}
    return tuple(_way(case, name, before, *plan) for name, plan in planned.items())


def _steps(case: Case, name: str, total: int, more: bool) -> tuple[int, ...]:
    """Return the clicks now, one and two steps on, as far as the range and the table go."""
    now = case.now[[each.name for each in case.damper.adjusters].index(name)]
    step, end = first_step(total), 0 if more else total
    if now == end:
        where = "closed" if more else "open"
        case.notes.append(f"{name.capitalize()} is {where} already as far as it goes.")
    on = [max(now - n * step, 0) if more else min(now + n * step, total) for n in (0, 1, 2)]
    problems = {clicks: _untold(case, name, clicks) for clicks in on}
    case.notes.extend(filter(None, problems.values()))
    return tuple(clicks for clicks, problem in problems.items() if not problem)


def _untold(case: Case, name: str, clicks: int) -> str:
    """Return why the damper's table cannot tell a setting, or nothing."""
    try:
        case.damper.valve_force(0.0, case.turned(name, clicks))
    except OutOfRange as problem:
        return str(problem)
    return ""


def _way(case: Case, name: str, before: dict, remedy: Remedy, clicks: tuple[int, ...]) -> Way:
    """Return one remedy computed: everything at its steps, the complaint to the range's end."""
    total = next(each.clicks for each in case.damper.adjusters if each.name == name)
    found = [before, *case.read([case.turned(name, n) for n in clicks[1:]])]
    far = np.linspace(clicks[0], 0 if remedy.more else total, _LOOKS).round().astype(int)
    further = [int(n) for n in dict.fromkeys(far) if n not in clicks and not _untold(case, name, n)]
    looked = case.read([case.turned(name, n) for n in further], (case.key,)) if further else []
    values = {
        n: each[case.key] for n, each in zip((*clicks, *further), (*found, *looked), strict=True)
    }
    readings = {key: Reading(key, tuple(each[key] for each in found)) for key in before}
    own, order = readings.pop(case.key), sorted(values, reverse=remedy.more)
    pairs = tuple((n, values[n]) for n in order)
    return Way(remedy, name, clicks, own, tuple(readings.values()), pairs)
