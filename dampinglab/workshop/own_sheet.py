"""The vehicle that the boxes of the sheet tell of, and what is assumed without them."""

import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from dampinglab.errors import FileProblem, LearnerError, OutOfRange
from dampinglab.physics.load import tyre_rate
from dampinglab.physics.vehicle import Vehicle
from dampinglab.units import G
from dampinglab.workshop.corners import AXLES, pair
from dampinglab.workshop.lever import lever, read_pairs
from dampinglab.workshop.own_rows import LOADS, ROWS, VEHICLE, Ask, number
from dampinglab.workshop.section import Section
from dampinglab.workshop.sheet import TOP_KEYS, vehicle_from

__all__ = ["by_wheel", "lacking", "own_vehicle", "problem"]

# Where nothing was measured: common practice, no source.
_FREQUENCY = {"front": 1.3, "rear": 1.5}  # Hz, of the body on its spring
_LEAST_LOWER = 2e-3  # m: less tells of friction, not of the spring
_RATIO = 0.75
_RATIO_WORDS = (
    "damper motion ratio 0.75 (it may be 0.5 to 1 and counts twice: measure it before anything)"
)
_PLAIN = {  # rows that go into the sheet as they are, in SI
    "unsprung": "unsprung_kg",
    "bump travel": "bump_travel_m",
    "foam": "foam_m",
    "droop travel": "droop_travel_m",
    "friction": "friction_N",
}
_SPRING = ("spring rate", "spring motion ratio", "wheel rate")

Written = Mapping[str, str]


def problem(ask: Ask, written: str) -> str:
    """Return what is wrong with one box, or nothing.

    Parameters
    ----------
    ask : Ask
        The row.
    written : str
        As typed.

    Returns
    -------
    str
        One sentence.
    """
    try:
        if written and ask.key:
            number(ask, written)
        elif written and ask.name == "pairs":
            lever(read_pairs(written))
    except LearnerError as trouble:
        return str(trouble)
    return ""


def by_wheel(written: Written, name: str) -> dict[str, float]:
    """Return what was measured at each wheel, as far as it was and can be read.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.
    name : {"mass", "height", "cold"}
        Which row.

    Returns
    -------
    dict of str to float
        By corner, in SI.
    """
    ask = next(row for row in ROWS if row.name == name)
    boxes = {place: written.get(f"{place} {name}", "") for place in ask.places}
    return {place: number(ask, text) for place, text in boxes.items() if _good(ask, text)}


def _good(ask: Ask, written: str) -> bool:
    return bool(written) and not problem(ask, written)


def lacking(written: Written) -> str:
    """Return what is still missing on the sheet, in plain words.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.

    Returns
    -------
    str
        One sentence: what must be there, or what is assumed so far.
    """
    weighed = by_wheel(written, "mass")
    bare = [axle for axle in AXLES if not any(side in weighed for side in pair(axle))]
    if bare:
        return f"Still missing: the mass on the {' and '.join(bare)} wheels."
    try:
        told = own_vehicle(written).assumptions
    except LearnerError as trouble:
        return str(trouble)
    more = "s are" if len(told) > 1 else " is"
    return f"Enough to go on; {len(told)} assumption{more} told inside." if told else "Complete."


def own_vehicle(written: Written) -> Vehicle:
    """Return the vehicle that the boxes tell of.

    Parameters
    ----------
    written : mapping of str to str
        The boxes; those that cannot be read are problems, not gaps.

    Returns
    -------
    Vehicle
        With a sentence for each assumption.

    Raises
    ------
    LearnerError
        If no axle was weighed, a box cannot be read, or two contradict each other.
    """
    read = _numbers(written)
    weighed = [axle for axle in AXLES if any(f"{side} mass" in read for side in pair(axle))]
    if not weighed:
        raise LearnerError("Weigh the wheels first: the mass on each is the one thing needed.")
    parts = {axle: _axle(axle, written, read) for axle in weighed}
    entries = {"name": written.get(f"{VEHICLE} name") or "vehicle without a name"}
    entries |= {axle: part for axle, (part, _) in parts.items()} | _lengths(read)
    entries["load"] = [_load(place, written, read) for place in LOADS if _any(place, written)]
    vehicle = _made(Section(Path("vehicle"), "", "", entries))
    told = _told({axle: said for axle, (_, said) in parts.items()})
    return replace(vehicle, assumptions=(*told, *vehicle.assumptions))


def _told(said: Mapping[str, list[str]]) -> list[str]:
    """Return a sentence for each assumption, one for both axles where it is the same."""
    every = dict.fromkeys(words for each in said.values() for words in each)
    holds = {words: [axle for axle in said if words in said[axle]] for words in every}
    return [f"Assumed, {' and '.join(axles)}: {words}." for words, axles in holds.items()]


def _lengths(read: Mapping[str, float]) -> dict[str, float]:
    """Return wheelbase and overhang, refused where a ball load needs one that is missing."""
    found = {key.name: read.get(f"{VEHICLE} {key.name}") for key in TOP_KEYS}
    gone = [name for name, value in found.items() if value is None]
    if gone and any(f"{place} ball" in read for place in LOADS):
        raise LearnerError(f"A load on the ball needs the {' and the '.join(gone)}: measure it.")
    return {name.replace(" ", "_") + "_m": x for name, x in found.items() if x is not None}


def _any(place: str, written: Written) -> bool:
    return any(box.startswith(f"{place} ") and text for box, text in written.items())


def _numbers(written: Written) -> dict[str, float]:
    """Return every number in SI by its box, or the first problem with its row and place."""
    read = {}
    for ask in (row for row in ROWS if row.key):
        for place, box in zip(ask.places, ask.boxes, strict=True):
            if written.get(box):
                try:
                    read[box] = number(ask, written[box])
                except LearnerError as trouble:
                    where = f"{place}, {ask.label.removeprefix('OR ').lower()}"
                    raise LearnerError(f"{where.capitalize()}: {trouble}") from None
    return read


def _axle(axle: str, written: Written, read: Mapping[str, float]) -> tuple[dict, list[str]]:
    """Return one section of the sheet, and words for what was assumed."""
    masses, told = _masses(axle, read)
    entries = dict(zip(("left_wheel_kg", "right_wheel_kg"), masses, strict=True))
    for name, key in _PLAIN.items():
        if f"{axle} {name}" in read:
            entries[key] = read[f"{axle} {name}"]
    spring, about_spring = _spring(axle, read, sum(masses) / 2)
    ratio, about_ratio = _ratio(axle, written)
    tyre, about_tyre = _tyre(axle, read)
    entries |= {**spring, "damper_motion_ratio": ratio, **tyre}
    return entries, [*told, *about_spring, *about_ratio, *about_tyre]


def _masses(axle: str, read: Mapping[str, float]) -> tuple[list[float], list[str]]:
    found = [read.get(f"{side} mass") for side in pair(axle)]
    if None not in found:
        return found, []
    only = next(mass for mass in found if mass)
    return [only, only], ["both wheels carry what one was weighed at"]


def _spring(axle: str, read: Mapping[str, float], mass: float) -> tuple[dict, list[str]]:
    """Return the spring as measured, as two heights tell, or as such vehicles swing."""
    given = {name: read[f"{axle} {name}"] for name in _SPRING if f"{axle} {name}" in read}
    if given:
        return _given_spring(axle, given), []
    added, before, after = (read.get(f"{axle} {name}") for name in ("added", "before", "after"))
    if None not in (added, before, after):
        return _weighed_spring(axle, added / 2, before - after), []
    swing, body = _FREQUENCY[axle], mass - read.get(f"{axle} unsprung", 0.15 * mass)
    words = f"a spring on which the body swings at {swing:g} Hz (common practice, no source)"
    return {"wheel_rate_N_per_m": (2 * math.pi * swing) ** 2 * body}, [words]


def _given_spring(axle: str, given: Mapping[str, float]) -> dict:
    if len(given) == 1 and "wheel rate" not in given:
        raise LearnerError(
            f"{axle.capitalize()}: a spring needs both its rate and its motion ratio; or give the "
            "wheel rate alone."
        )
    units = {name: "" if name.endswith("ratio") else "_N_per_m" for name in given}
    return {name.replace(" ", "_") + units[name]: value for name, value in given.items()}


def _weighed_spring(axle: str, added: float, lower: float) -> dict:
    """Return the wheel rate from what was added on one wheel and how far it went down."""
    if lower < _LEAST_LOWER:
        raise LearnerError(
            f"{axle.capitalize()}: the added mass lowers it by {1e3 * lower:.0f} mm only; look at "
            "both heights, or add more within the axle's rating."
        )
    return {"wheel_rate_N_per_m": added * G / lower}


def _ratio(axle: str, written: Written) -> tuple[float, list[str]]:
    pairs = written.get(f"{axle} pairs", "")
    if not pairs:
        return _RATIO, [_RATIO_WORDS]
    try:
        return lever(read_pairs(pairs)).ratio, []
    except LearnerError as trouble:
        raise LearnerError(f"{axle.capitalize()}, damper motion ratio: {trouble}") from None


def _tyre(axle: str, read: Mapping[str, float]) -> tuple[dict, list[str]]:
    """Return the tyre's rate and the pressure that it is known at."""
    cold = [read[f"{side} cold"] for side in pair(axle) if f"{side} cold" in read]
    made = {"tyre_pressure_Pa": sum(cold) / len(cold)} if cold else {}
    if f"{axle} tyre rate" in read:
        return {**made, "tyre_rate_N_per_m": read[f"{axle} tyre rate"]}, []
    if not cold:
        return {}, []
    rate = tyre_rate(250e3, 240e3, made["tyre_pressure_Pa"])
    words = f"tyre rate {rate / 1e3:.0f} N/mm at its pressure (250 N/mm at 240 kPa)"
    return {**made, "tyre_rate_N_per_m": rate}, [words]


def _load(place: str, written: Written, read: Mapping[str, float]) -> dict:
    made = {"name": written.get(f"{place} name") or place}
    ball = f"{place} ball" in read
    for name in ("front", "rear", "ball"):
        if f"{place} {name}" in read or (name != "ball" and not ball):
            made[f"{name}_kg"] = read.get(f"{place} {name}", 0.0)
    return made


def _made(top: Section) -> Vehicle:
    """Build the vehicle; what contradicts itself is told without the names of a file."""
    try:
        return vehicle_from(top)
    except FileProblem as trouble:
        told = f"{trouble.what}; {trouble.mend}."
        for axle in AXLES:
            told = told.replace(f"[{axle}]", axle)
        raise LearnerError(told[:1].upper() + told[1:]) from None
    except OutOfRange as trouble:
        raise LearnerError(str(trouble)) from None
