"""The draw of a handover job from its seed: a rule, so that no list names a solution.

Twelve seeds in a row hold one of each of twelve sorts of job, in an order drawn for the twelve;
what is wrong, where and how badly, is drawn from the seed alone.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from dampinglab.course.handover_limits import AXLES, beyond
from dampinglab.course.handover_parts import (
    KINDS,
    Fault,
    Patient,
    adjusters,
    part,
    rating,
    true_scores,
)
from dampinglab.errors import OutOfRange

__all__ = ["Case", "chance", "draw"]

_SORTS = ("part",) * 3 + ("spring",) * 3 + ("adjuster",) * 2 + ("axles", "sides", "sound", "refuse")
_PARTS = ("low tyre", "loose mount", "weak damper", "lost gas", "bent rod", "no stop")
_SPRINGS = ("cracked spring", "wrong spring", "too much load")
_MISTAKEN = 2  # drivers in twelve
_TRIES = 60
_CONTENT = (0.35, 0.65)  # share of each adjuster's range at which the customer was content
_WRONG = (0.0, 0.12)  # how near to an end of its range a wrong adjuster stands, as a share
_UNLIKE = (0.35, 0.6)  # share of its range by which one side differs
_TOO_MUCH = (0.04, 0.14)  # of the axle's rating


@dataclass(frozen=True)
class Case:
    """A job as drawn; its repr tells nothing."""

    seed: int
    found: Patient
    content: tuple[tuple[int, ...], ...]  # clicks with which the customer was content
    mistaken: str | None  # "axle", "cause" or None

    def __repr__(self) -> str:
        """Tell the seed alone."""
        return f"Case({self.seed})"

    @property
    def healthy(self) -> Patient:
        """The vehicle as it should be: what the limits are made from."""
        return replace(self.found.healthy, clicks=self.content)


def chance(*what: int) -> np.random.Generator:
    """Return chance that is the same for the same whole numbers, negative ones too."""
    return np.random.default_rng([2026, *(number % 2**63 for number in what)])


@lru_cache(maxsize=64)
def draw(seed: int) -> Case:
    """Return the job of a seed."""
    block, place = divmod(seed - 1, len(_SORTS))
    rng = chance(1, block)
    order = list(rng.permutation(_SORTS))
    parts, springs = list(rng.permutation(_PARTS)), list(rng.permutation(_SPRINGS))
    erring = rng.permutation([i for i, sort in enumerate(order) if sort != "sound"])[:_MISTAKEN]
    sort, before = order[place], order[:place]
    kind = {"part": parts, "spring": springs}.get(sort, [sort] * 2)[before.count(sort)]
    mistaken = ("axle", "cause")[list(erring).index(place)] if place in erring else None
    return _fitting(seed, str(kind), mistaken)


def _fitting(seed: int, kind: str, mistaken: str | None) -> Case:
    """Return the first case drawn that can stand on its wheels and, if by clicks alone, shows."""
    rng = chance(2, seed)
    for _ in range(_TRIES):
        case = _case(rng, seed, kind, mistaken)
        try:
            if kind not in ("adjuster", "axles") or _shows(case):
                for wheel in range(4):
                    part(case.found, wheel)  # refuses what would stand in a stop
                return case
        except OutOfRange:
            continue
    raise OutOfRange(f"No job could be drawn from seed {seed}; take another.")


def _shows(case: Case) -> bool:
    return max(beyond(true_scores(case.found), true_scores(case.healthy)).values()) > 1


def _case(rng: np.random.Generator, seed: int, kind: str, mistaken: str | None) -> Case:
    name = str(rng.choice(["wagon", "utility"]))
    sheet = Patient(name, None, (), ()).vehicle
    if kind == "refuse":
        kind = str(rng.choice(["load that stays", "unsafe"]))
    load = rng.choice([None, *(case.name for case in sheet.loads)])
    if "load" in kind:
        load = max(sheet.loads, key=lambda case: case.rear_mass).name
    if kind == "wrong spring":
        kind = "soft spring" if load else "hard spring"
    totals = [adjuster.clicks for adjuster in adjusters(name)]
    axle = [tuple(round(n * rng.uniform(*_CONTENT)) for n in totals) for _ in AXLES]
    healthy = Patient(name, load and str(load), (), (axle[0], axle[0], axle[1], axle[1]))
    faults = _faults(rng, kind, healthy)
    clicks = _clicks(rng, kind, healthy.clicks, totals)
    return Case(seed, replace(healthy, faults=faults, clicks=clicks), healthy.clicks, mistaken)


def _faults(rng: np.random.Generator, kind: str, healthy: Patient) -> tuple[Fault, ...]:
    if kind not in KINDS:
        return ()
    rear = kind == "soft spring" or kind == "hard spring" or "load" in kind
    axle = 1 if rear else int(rng.integers(2))
    both = KINDS[kind].both or (kind == "low tyre" and rng.random() < 0.5)
    wheels = (2 * axle, 2 * axle + 1) if both else (2 * axle + int(rng.integers(2)),)
    size = _kilograms(rng, healthy) if "load" in kind else rng.uniform()
    return (Fault(kind, wheels, round(float(size), 2)),)


def _kilograms(rng: np.random.Generator, healthy: Patient) -> float:
    """Return what each rear wheel carries too much, so that the axle is over its rating."""
    corner = part(healthy, 2).corner
    now = 2 * (corner.sprung_mass + corner.unsprung_mass)
    return ((1 + rng.uniform(*_TOO_MUCH)) * rating(healthy, "rear") - now) / 2


def _clicks(rng, kind: str, content, totals) -> tuple[tuple[int, ...], ...]:
    """Return the clicks as found: somebody may have turned something, before or instead."""
    turned = [list(setting) for setting in content]
    axle, which = int(rng.integers(2)), int(rng.integers(len(totals)))
    if kind == "sound" or (kind in KINDS and kind != "unsafe" and rng.random() < 0.5):
        return content
    most, old = totals[which], content[2 * axle][which]
    new = _unlike(rng, old, most) if kind == "sides" else _wrong(rng, most)
    wheels = {"axles": (0, 1, 2, 3), "sides": (2 * axle + int(rng.integers(2)),)}
    for wheel in wheels.get(kind, (2 * axle, 2 * axle + 1)):
        turned[wheel][which] = new
    return tuple(map(tuple, turned))


def _wrong(rng: np.random.Generator, most: int) -> int:
    near = round(most * rng.uniform(*_WRONG))
    return near if rng.random() < 0.5 else most - near


def _unlike(rng: np.random.Generator, old: int, most: int) -> int:
    by = round(most * rng.uniform(*_UNLIKE))
    there = [clicks for clicks in (old - by, old + by) if 0 <= clicks <= most]
    return int(rng.choice(there)) if there else most * (old < most / 2)
