"""The learner's dampers as boxes to be filled: adjusters, clicks as found, and what is known."""

import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from dampinglab.errors import LearnerError
from dampinglab.physics.damper import MeasuredDamper, RatedDamper
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop.baseline import LOW
from dampinglab.workshop.catalogue import COMPLAINTS, Remedy
from dampinglab.workshop.complaint import first_step, fitting
from dampinglab.workshop.corners import AXLES, CORNERS, Clicks, pair
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.own_rows import Ask, number
from dampinglab.workshop.sheet import RATING_KEYS

__all__ = [
    "COUNT",
    "KINDS",
    "KNOWN",
    "RATING",
    "by_trade",
    "clicks_as_found",
    "clicks_lacking",
    "count_problem",
    "kinds",
    "known_dampers",
    "nothing_known",
    "with_clicks",
]

KINDS = {
    "": (),
    "low-speed bump, high-speed bump, rebound": ("low-speed bump", "high-speed bump", "rebound"),
    "bump, rebound": ("bump", "rebound"),
    "rebound": ("rebound",),
    "bump and rebound together": ("bump and rebound",),
    "not adjustable": (),
}
"""Adjusters by what an axle's dampers are called; the first is not said yet."""

KNOWN = ("nothing yet", "a rating: two numbers", "a dyno table")
"""What may be known of the dampers."""

COUNT = (
    "Turn in, counting, until it seats lightly, and never force it: so many clicks out it was "
    "found. Then out to the end, counting: so many it has. Then back. Write both: 14 of 20."
)
"""How clicks are counted."""

RATING = tuple(
    Ask(key.name, label, AXLES, how, key)
    for key, label, how in zip(
        RATING_KEYS,
        ("Bump force", "Rebound force", "at a shaft speed of"),
        (
            "From the maker's card or a dyno sheet, without gas force.",
            "The same, positive. The two are not alike.",
            "The speed that the two numbers were taken at; it stands beside them.",
        ),
        strict=True,
    )
)
"""The rows of a two-number rating."""

_COUNT = re.compile(r"\s*(\d{1,3})\s*(?:of|/|out of)\s*(\d{1,3})\s*", re.IGNORECASE)
# Damping ratios of road vehicles on slow movements, wide: common practice, no source.
_USUAL = (0.15, 0.5)

Written = Mapping[str, str]


def kinds(written: Written) -> dict[str, tuple[str, ...]]:
    """Return the adjusters of each axle's dampers, as far as the kind was said.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.

    Returns
    -------
    dict of str to tuple of str
        By axle; an empty tuple for dampers that cannot be adjusted.
    """
    said = {axle: written.get(f"{axle} kind", "") for axle in AXLES}
    return {axle: KINDS[kind] for axle, kind in said.items() if kind and kind in KINDS}


def count_problem(written: str) -> str:
    """Return what is wrong with one count of clicks, or nothing.

    Parameters
    ----------
    written : str
        Such as "14 of 20".

    Returns
    -------
    str
        One sentence.
    """
    found = _COUNT.fullmatch(written)
    if written and not found:
        return f"{written[:40]!r} is no count; write both numbers: 14 of 20."
    if found and int(found[1]) > int(found[2]):
        return f"It cannot stand {found[1]} clicks out of {found[2]}; count again."
    return ""


def clicks_as_found(written: Written) -> tuple[Clicks, Clicks]:
    """Return how many clicks all adjusters have, and where they stood as found.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.

    Returns
    -------
    totals, found : dict of str to dict of str to int
        By corner and adjuster.

    Raises
    ------
    LearnerError
        If a kind was not said or a count is missing or none.
    """
    if words := clicks_lacking(written):
        raise LearnerError(words)
    totals, found = {}, {}
    for axle, names in kinds(written).items():
        for corner in pair(axle):
            counts = {name: _COUNT.fullmatch(written[f"{corner} {name}"]) for name in names}
            found[corner] = {name: int(count[1]) for name, count in counts.items()}
            totals[corner] = {name: int(count[2]) for name, count in counts.items()}
    return totals, found


def clicks_lacking(written: Written) -> str:
    """Return which clicks are still to be counted, in plain words.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.

    Returns
    -------
    str
        One sentence; empty when all four dampers were counted.
    """
    said = kinds(written)
    unsaid = [axle for axle in AXLES if axle not in said]
    if unsaid:
        return f"Still missing: which adjusters the {' and '.join(unsaid)} dampers have."
    boxes = [(corner, name) for a in AXLES for corner in pair(a) for name in said[a]]
    texts = {box: written.get(" ".join(box), "") for box in boxes}
    for (corner, name), text in texts.items():
        if problem := count_problem(text):
            return f"{corner.capitalize()} {name}: {problem}"
    gaps = [corner for corner in CORNERS if any(c == corner and not texts[c, n] for c, n in boxes)]
    return f"Still missing: clicks counted at {', '.join(gaps)}." if gaps else ""


def known_dampers(folder: Path, written: Written) -> dict[str, MeasuredDamper | RatedDamper]:
    """Return what is known of the dampers, by axle.

    Parameters
    ----------
    folder : Path
        Where files are named from.
    written : mapping of str to str
        The boxes.

    Returns
    -------
    dict of str to MeasuredDamper or RatedDamper
        Empty where nothing is known.

    Raises
    ------
    LearnerError
        If the table cannot be read, or a rating is not whole.
    """
    known = written.get("dampers known", KNOWN[0])
    if known == KNOWN[2] and written.get("dampers table"):
        path = folder / written["dampers table"]
        return dict(_read(path, path.stat().st_mtime_ns if path.exists() else 0))
    rated = {axle: _rating(axle, written) for axle in AXLES} if known == KNOWN[1] else {}
    return {axle: damper for axle, damper in rated.items() if damper}


@lru_cache(4)
def _read(path: Path, _changed: int) -> Mapping[str, MeasuredDamper]:
    """Read a table once for each state of its file."""
    return read_dyno(path)


def _rating(axle: str, written: Written) -> RatedDamper | None:
    """Return one axle's rating; None where none of its boxes was filled."""
    texts = {ask.label: (ask, written.get(f"{axle} {ask.name}", "")) for ask in RATING}
    gaps = [name.removeprefix("at a ").removesuffix(" of") for name in texts if not texts[name][1]]
    if len(gaps) == len(texts):
        return None
    if gaps:
        raise LearnerError(f"The {axle} rating lacks its {' and '.join(gaps).lower()}.")
    try:
        return RatedDamper(*(number(ask, text) for ask, text in texts.values()))
    except LearnerError as trouble:
        raise LearnerError(f"The {axle} rating: {trouble}") from None


def by_trade(key: str, axle: str, totals: Clicks, setting: Clicks) -> tuple[Remedy, str, int]:
    """Return what the trade turns first for a complaint, where no curve by click is known.

    Parameters
    ----------
    key : str
        Key of COMPLAINTS.
    axle : str
        "front" or "rear".
    totals, setting : dict
        How many clicks there are, and where they stand, by corner and adjuster.

    Returns
    -------
    remedy : Remedy
        Common practice, no source.
    adjuster : str
        What these dampers have for it.
    clicks_by : int
        About a fifth of the range, less where less is left; above zero out, which is softer.

    Raises
    ------
    LearnerError
        If the trade turns nothing here, or nothing is left to turn.
    """
    corner = pair(axle)[0]
    remedies = [each for each in COMPLAINTS[key].remedies if axle in each.axles]
    for remedy in remedies:
        name = fitting(remedy.adjuster, list(totals[corner]))
        if name is None:
            continue
        total, stands = totals[corner][name], setting[corner][name]
        step = min(first_step(total), stands if remedy.more else total - stands)
        if step:
            return remedy, name, -step if remedy.more else step
    raise LearnerError(_nothing_left(dict.fromkeys(each.adjuster for each in remedies), axle))


def _nothing_left(adjusters: Collection[str], axle: str) -> str:
    """Return why nothing is turned at an axle."""
    if not adjusters:
        return f"The trade has nothing to turn for it at the {axle}: no click cures this."
    return (
        f"The trade turns {' or '.join(adjusters)} for it at the {axle}, and these dampers have no "
        "click left for that: springs, stops, or the valves inside."
    )


def with_clicks(vehicle: Vehicle, setting: Clicks) -> Vehicle:
    """Return the vehicle with its dampers at a setting, where both sides of an axle agree.

    Parameters
    ----------
    vehicle : Vehicle
        As measured.
    setting : dict
        Clicks out from closed, by corner and adjuster.

    Returns
    -------
    Vehicle
        The setting stands as found on each axle; one with a left-right difference has none.
    """
    axles = {}
    for name, axle in vehicle.axles.items():
        left, right = (setting.get(side, {}) for side in pair(name))
        found = MappingProxyType(left) if left and left == right else None
        axles[name] = replace(axle, as_found=found)
    return replace(vehicle, axles=MappingProxyType(axles))


def nothing_known(vehicle: Vehicle) -> tuple[str, ...]:
    """Return what may be said of dampers of which nothing is known: a wide band.

    Parameters
    ----------
    vehicle : Vehicle
        As measured.

    Returns
    -------
    tuple of str
        A sentence for each axle.
    """
    least, most = _USUAL
    told = []
    for name, axle in vehicle.axles.items():
        corner = axle.corner
        at_shaft = corner.critical_damping / corner.damper_motion_ratio**2 * LOW
        low, high = (f"{float(f'{share * at_shaft:.2g}'):g}" for share in _USUAL)
        told.append(
            f"{name.capitalize()}: nothing is known of the damper. Those of road vehicles give "
            f"slow movements {least:g} to {most:g} of critical (common practice, no source): here "
            f"{low} to {high} N at a shaft speed of {LOW:g} m/s. That is wide; a bounce test or a "
            "rating narrows it."
        )
    return tuple(told)
