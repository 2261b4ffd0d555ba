"""The vehicle sheet as boxes to be filled: what to measure, how, and what is assumed without."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from dampinglab.errors import FileProblem, LearnerError, OutOfRange
from dampinglab.physics.load import tyre_rate
from dampinglab.physics.vehicle import G, Vehicle
from dampinglab.units import UNITS, parse_quantity
from dampinglab.workshop.corners import AXLES, CORNERS, pair
from dampinglab.workshop.lever import lever, read_pairs
from dampinglab.workshop.section import Key, Section
from dampinglab.workshop.sheet import AXLE_KEYS, LOAD_KEYS, TOP_KEYS, vehicle_from

__all__ = [
    "CAUTION",
    "LOADS",
    "ROWS",
    "VEHICLE",
    "Ask",
    "by_wheel",
    "lacking",
    "number",
    "own_vehicle",
    "problem",
]

VEHICLE = "vehicle"
"""Where the boxes that are of no one wheel belong."""

LOADS = ("load 1", "load 2")
"""Where the boxes of the loads belong."""

CAUTION = (
    "Level floor, tyres cold, full tank, nobody on board. Under a raised vehicle: stands on firm "
    "ground, never the jack alone. A spring holds energy even when the wheel hangs free: "
    "compress it only with a tool made for it. The manufacturer's instructions and local rules "
    "come first."
)
"""What stands above the sheet."""


@dataclass(frozen=True)
class Ask:
    """One thing to measure, at each of several places.

    Parameters
    ----------
    name : str
        Its name in the boxes' names, such as "spring rate".
    label : str
        As it stands on the screen.
    places : tuple of str
        Wheels, axles, loads, or `VEHICLE`.
    how : str
        What to measure and how, with the caution that belongs to it.
    key : Key or None
        Range, unit and likely slip of a number; None for a text.
    """

    name: str
    label: str
    places: tuple[str, ...]
    how: str
    key: Key | None

    @property
    def unit(self) -> str:
        """The unit that a number is offered in; empty without one.

        Returns
        -------
        str
            A symbol of `UNITS`.
        """
        return self.key.unit if self.key else ""

    @property
    def boxes(self) -> tuple[str, ...]:
        """The names of the boxes, a place each.

        Returns
        -------
        tuple of str
            Such as "front spring rate".
        """
        return tuple(f"{place} {self.name}" for place in self.places)


_KEYS = {key.name: key for key in (*AXLE_KEYS, *TOP_KEYS)}
_HEIGHT = Key("height_mm", 20, 2000, "measure at each wheel the same way")
_ADDED = Key("added_mass_kg", 5, 1000, "give all that was put over this axle")
_COLD = Key("cold_kPa", 80, 600, "give it over the air outside; 1 bar is 100 kPa")


def _ask(name: str, label: str, how: str, places: tuple[str, ...] = AXLES, key: Key | None = None):
    return Ask(name, label, places, how, key or _KEYS[name])


ROWS = (
    Ask("name", "Vehicle", (VEHICLE,), "As your workshop calls it; it stands on the card.", None),
    _ask(
        "mass",
        "Mass on the wheel",
        "Scales under each wheel, all four level, brakes off. The one thing that must be there.",
        CORNERS,
        replace(_KEYS["left wheel"], example="mass_kg"),
    ),
    _ask(
        "height",
        "Ride height",
        "From the wheel's centre up to the arch, after a bounce and a short roll. For the card.",
        CORNERS,
        _HEIGHT,
    ),
    _ask(
        "cold",
        "Tyre pressure, cold",
        "Before driving, not after. As you set it for this load, never above the tyre's limit.",
        CORNERS,
        _COLD,
    ),
    _ask(
        "unsprung",
        "Unsprung mass, one wheel",
        "Wheel and tyre on the scales, plus hub and brake, plus half of arms, axle or leaves. Rest "
        "the body on stands before a wheel comes off.",
    ),
    _ask(
        "spring rate",
        "Spring rate",
        "From its label, or off the vehicle in a press: force over how far it gives. Guard the "
        "press; a spring that slips kills.",
    ),
    _ask(
        "spring motion ratio",
        "Spring motion ratio",
        "Spring travel over wheel travel. Spring out, arm on a jack, body on stands: move the "
        "wheel 20 mm and measure between the seats.",
    ),
    _ask(
        "wheel rate",
        "OR wheel rate",
        "If the maker gives it at the wheel, or a leaf stands on the axle. Then leave the two "
        "above empty.",
    ),
    _ask(
        "added",
        "OR an added mass",
        "Sand bags straight over the axle, both sides alike, within the axle's rating. No people.",
        key=_ADDED,
    ),
    _ask(
        "before",
        "and height before",
        "From the wheel's centre to the arch, mean of left and right, after a bounce.",
        key=_HEIGHT,
    ),
    _ask(
        "after",
        "and height with it",
        "The same after a bounce. Friction holds: measure once coming up and once going down, "
        "and take the mean.",
        key=_HEIGHT,
    ),
    Ask(
        "pairs",
        "Damper motion ratio",
        AXLES,
        "At several heights: how far the wheel stands above ride height (below: minus), and the "
        "damper's length there, both in one unit; a pair a line. Spring out, body on stands, jack "
        "under the arm; hands off the arm.",
        None,
    ),
    _ask("tyre rate", "Tyre rate", "From its maker, if known. Without: from the pressure above."),
    _ask(
        "bump travel",
        "Travel to the bump stop",
        "At ride height, gap between stop and its plate, over the damper's ratio if the stop sits "
        "on the damper. Keep fingers out of the gap.",
    ),
    _ask("foam", "Travel in the bump stop", "About two thirds of the free stop's length."),
    _ask(
        "droop travel",
        "Droop travel",
        "Lift the body until the wheel just leaves the floor, stands under, and measure how far "
        "it hangs below ride height.",
    ),
    _ask(
        "friction",
        "Friction at the wheel",
        "Half the difference of the force that just moves the body up and just lets it down. "
        "Leaves have most.",
    ),
    _ask("wheelbase", "Wheelbase", "From axle to axle. Needed for a ball load.", (VEHICLE,)),
    _ask("ball overhang", "Ball overhang", "From the rear axle to the ball.", (VEHICLE,)),
    Ask("name", "Load", LOADS, "As the driver would say it, such as: tools and water.", None),
    _ask("front", "adds in front", "On the whole axle, from the scales.", LOADS, LOAD_KEYS[0]),
    _ask("rear", "adds at the rear", "On the whole axle, from the scales.", LOADS, LOAD_KEYS[1]),
    _ask("ball", "presses on the ball", "On a ball scale, trailer level.", LOADS, LOAD_KEYS[2]),
)
"""The sheet in the order of its rows."""

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

_OF_A_FILE = re.compile(r"[;,] (and |if [^,]*, )?end the key.*$")  # what a hint says of files

Written = Mapping[str, str]


def number(ask: Ask, written: str) -> float:
    """Read one box of a row.

    Parameters
    ----------
    ask : Ask
        The row; it has a key.
    written : str
        As typed, with a unit or in that of the key.

    Returns
    -------
    float
        In SI.

    Raises
    ------
    LearnerError
        If it is no number, in a wrong unit, or outside the row's range.
    """
    key, unit = ask.key, ask.unit
    quantity = UNITS[unit].quantity if unit else ""
    value = parse_quantity(written, quantity, unit)
    scale = UNITS[unit].factor if unit else 1.0
    if not key.low * scale <= value <= key.high * scale:
        span = f"{key.low:g} to {key.high:g} {unit}".rstrip()
        hint = _OF_A_FILE.sub(", and write the unit behind the number", key.hint)
        raise OutOfRange(f"{written} is outside {span}; {hint}.")
    return value


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
