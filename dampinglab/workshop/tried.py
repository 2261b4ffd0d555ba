"""Settings that were tried over every condition of a mix, slice by slice, here or next door."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, fields
from itertools import product
from multiprocessing import get_context
from multiprocessing.reduction import ForkingPickler
from types import MappingProxyType

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import Setting
from dampinglab.physics.measures import Scores
from dampinglab.physics.sweep import sweep
from dampinglab.workshop.mix import Condition

__all__ = [
    "Progress",
    "Tried",
    "click_space",
    "coarse",
    "lines_of",
    "neighbours",
    "slices",
    "try_settings",
]

_COARSE = 75  # settings of a first look: some hundred drives a second
_TICK = 0.1  # s between two looks at the other processes
_NAMES = tuple(field.name for field in fields(Scores))


@dataclass(frozen=True, eq=False)
class Tried:
    """What settings scored.

    Parameters
    ----------
    conditions : tuple of Condition
        What they were driven over.
    settings : tuple of tuple of int
        Clicks out from closed.
    scores : Scores
        Arrays of shape (conditions, settings).
    """

    conditions: tuple[Condition, ...]
    settings: tuple[Setting, ...]
    scores: Scores

    def place(self, setting: Setting) -> int:
        """Return where a setting stands.

        Parameters
        ----------
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        int
            Its column in the scores.

        Raises
        ------
        OutOfRange
            If it was not tried.
        """
        try:
            return self.settings.index(setting)
        except ValueError:
            raise OutOfRange(f"The setting {setting} was not tried yet.") from None

    def joined(self, other: "Tried") -> "Tried":
        """Return these settings and others tried over the same conditions.

        Parameters
        ----------
        other : Tried
            More of them.

        Returns
        -------
        Tried
            Both.
        """
        both = {
            name: np.concatenate([getattr(self.scores, name), getattr(other.scores, name)], axis=1)
            for name in _NAMES
        }
        return Tried(self.conditions, self.settings + other.settings, Scores(**both))


@dataclass(frozen=True, eq=False)
class Progress:
    """How far a search is.

    Parameters
    ----------
    done, total : int
        Drives done, and drives there are: a drive is one setting over one condition.
    tried : Tried
        The settings that have been over every condition.
    """

    done: int
    total: int
    tried: Tried


def click_space(damper) -> tuple[Setting, ...]:
    """Return every setting of a damper, those that its table does not tell with them.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.

    Returns
    -------
    tuple of tuple of int
        Clicks out from closed.

    Raises
    ------
    OutOfRange
        If it has no adjuster, or is known by a rating only.
    """
    return tuple(product(*(range(adjuster.clicks + 1) for adjuster in _adjusters(damper))))


def _adjusters(damper) -> tuple:
    found = getattr(damper, "adjusters", ())
    if not found:
        raise OutOfRange(
            "This damper has no measured clicks to choose among: a compromise needs a dyno table "
            "with at least one adjuster."
        )
    return found


def lines_of(damper) -> tuple[Setting, ...]:
    """Return the settings that a stand would measure: each adjuster swept, the others at middle.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.

    Returns
    -------
    tuple of tuple of int
        Clicks out from closed, each setting once.

    Raises
    ------
    OutOfRange
        As `click_space`.
    """
    middle = tuple(adjuster.clicks // 2 for adjuster in _adjusters(damper))
    swept = (
        (*middle[:place], clicks, *middle[place + 1 :])
        for place, adjuster in enumerate(damper.adjusters)
        for clicks in range(adjuster.clicks + 1)
    )
    return tuple(dict.fromkeys(swept))


def coarse(damper, most: int = _COARSE) -> tuple[Setting, ...]:
    """Return a few settings spread evenly over all of them, both ends among them.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    most : int, optional
        How many at most.

    Returns
    -------
    tuple of tuple of int
        Clicks out from closed.

    Raises
    ------
    OutOfRange
        As `click_space`.
    """
    adjusters = _adjusters(damper)
    levels = max(2, int(most ** (1 / len(adjusters)) + 1e-9))
    each = [np.linspace(0, a.clicks, min(levels, a.clicks + 1)).round() for a in adjusters]
    return tuple(product(*(tuple(int(n) for n in line) for line in each)))


def neighbours(damper, setting: Setting, part: float = 0.0) -> tuple[Setting, ...]:
    """Return the settings around one: each adjuster left, or turned either way.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    setting : tuple of int
        Clicks out from closed.
    part : float, optional
        How far, as a part of each adjuster's range; one click at least.

    Returns
    -------
    tuple of tuple of int
        Those that the damper has, without the setting itself.

    Raises
    ------
    OutOfRange
        As `click_space`.
    """
    lines = []
    for adjuster, clicks in zip(_adjusters(damper), setting, strict=True):
        reach = max(1, round(part * adjuster.clicks))
        turned = (clicks - reach, clicks, clicks + reach)
        lines.append([n for n in turned if 0 <= n <= adjuster.clicks])
    return tuple(found for found in product(*lines) if found != setting)


def slices(
    damper,
    conditions: Sequence[Condition],
    settings: Sequence[Setting],
    *,
    tried: Tried | None = None,
    processes: int = 1,
    chunk: int = 128,
) -> Iterator[Progress]:
    """Try settings over every condition, a slice at a time; leave off whenever you like.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    conditions : sequence of Condition
        What to drive over.
    settings : sequence of tuple of int
        Clicks out from closed; those that a table does not tell are left out.
    tried : Tried, optional
        What is known already; it is not driven again.
    processes : int, optional
        Above 1, so many other processes do the work, and this one only looks after them.
    chunk : int, optional
        Settings of a slice.

    Yields
    ------
    Progress
        After each slice, and with other processes every tenth of a second. What was done stays
        in `tried`, whenever the search is left.
    """
    tried = tried or _nothing(conditions)
    known = set(tried.settings)
    new = [setting for setting in dict.fromkeys(settings) if setting not in known]
    chunks = [new[first : first + chunk] for first in range(0, len(new), chunk)]
    jobs = [(some, condition) for some in chunks for condition in conditions]
    parts: dict[int, dict[int, tuple]] = {}
    done, total = 0, len(new) * len(conditions)
    for place, found in _work(damper, jobs, processes):
        if found is not None:
            which, road = divmod(place, len(conditions))
            parts.setdefault(which, {})[road] = found
            done += len(chunks[which])
            if len(parts[which]) == len(conditions):
                tried = tried.joined(_whole(conditions, parts.pop(which)))
        yield Progress(done, total, tried)


def _nothing(conditions: Sequence[Condition]) -> Tried:
    empty = np.zeros((len(conditions), 0))
    return Tried(tuple(conditions), (), Scores(**dict.fromkeys(_NAMES, empty)))


def _whole(conditions: Sequence[Condition], found: dict[int, tuple]) -> Tried:
    """Return one chunk that has been over every condition."""
    rows = np.array([found[road][1] for road in range(len(conditions))])
    return Tried(tuple(conditions), found[0][0], Scores(*np.moveaxis(rows, 1, 0)))


def _drive(damper, some: Sequence[Setting], condition: Condition) -> tuple:
    """Return the settings that the damper tells, and their scores in the order of `Scores`."""
    told = tuple(setting for setting in some if _is_told(damper, setting))
    if not told:
        return (), [np.zeros(0)] * len(_NAMES)
    scored = sweep(condition.corner, damper, told, condition.road)
    return told, [getattr(scored, name) for name in _NAMES]


def _is_told(damper, setting: Setting) -> bool:
    try:
        damper.valve_force(0.0, setting)
    except OutOfRange:
        return False
    return True


def _work(damper, jobs: list, processes: int) -> Iterator[tuple[int, tuple | None]]:
    return _next_door(damper, jobs, processes) if processes > 1 else _here(damper, jobs)


def _here(damper, jobs: list) -> Iterator[tuple[int, tuple]]:
    for place, job in enumerate(jobs):
        yield place, _drive(damper, *job)


def _next_door(damper, jobs: list, processes: int) -> Iterator[tuple[int, tuple | None]]:
    """Have jobs done by other processes; where there can be none, do them here."""
    # The same way of starting on every system; forking a kernel with threads is not safe.
    pool = ProcessPoolExecutor(processes, get_context("spawn"), _settle, (damper,))
    left = set(range(len(jobs)))
    try:
        waiting = {pool.submit(_drive_there, *job): place for place, job in enumerate(jobs)}
        while waiting:
            for place, found in _finished(waiting):
                left.discard(place)
                yield place, found
            yield -1, None
    except (BrokenProcessPool, OSError):
        for place in sorted(left):
            yield place, _drive(damper, *jobs[place])
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _finished(waiting: dict[Future, int]) -> list[tuple[int, tuple]]:
    done, _ = wait(waiting, timeout=_TICK, return_when=FIRST_COMPLETED)
    return [(waiting.pop(future), future.result()) for future in done]


_mine: list = []  # in another process: the one damper it works for, and its kept curves


def _settle(damper) -> None:
    _mine[:] = [damper]


def _drive_there(some: Sequence[Setting], condition: Condition) -> tuple:
    return _drive(_mine[0], some, condition)


def _thaw(plain: dict) -> MappingProxyType:
    return MappingProxyType(plain)


def _freeze(view: MappingProxyType) -> tuple:
    return _thaw, (dict(view),)


# A measured damper holds its curves in a read-only view, which cannot travel as it is.
ForkingPickler.register(MappingProxyType, _freeze)


def try_settings(
    damper,
    conditions: Sequence[Condition],
    settings: Sequence[Setting],
    *,
    progress: Callable[[int, int], bool | None] | None = None,
    **how,
) -> Tried:
    """Return what settings score over every condition.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    conditions : sequence of Condition
        What to drive over.
    settings : sequence of tuple of int
        Clicks out from closed.
    progress : callable, optional
        Called after each slice with the drives done and the drives there are; where it returns
        False the search ends and what is done is returned.
    **how : optional
        Options of `slices`.

    Returns
    -------
    Tried
        The settings that have been over every condition.
    """
    now = Progress(0, 0, how.get("tried") or _nothing(conditions))
    work = slices(damper, conditions, settings, **how)
    for now in work:
        if progress and progress(now.done, now.total) is False:
            work.close()
            break
    return now.tried
