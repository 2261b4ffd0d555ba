"""Read the vehicle sheet: what the scales and the tape found, with the unit in every key."""

import re
from collections.abc import Iterable
from pathlib import Path
from types import MappingProxyType

from dampinglab.errors import FileProblem, OutOfRange
from dampinglab.physics.damper import RatedDamper
from dampinglab.physics.load import ball_load
from dampinglab.physics.vehicle import Axle, Corner, LoadCase, Vehicle, wheel_rate
from dampinglab.workshop.section import Key, Section, read_sections
from dampinglab.workshop.text import ADJUSTERS, adjuster_name, nearest

__all__ = [
    "AXLE_KEYS",
    "FORMAT",
    "LOAD_KEYS",
    "RATING_KEYS",
    "TOP_KEYS",
    "read_ratings",
    "read_vehicle",
    "sheet_problem",
    "vehicle_from",
]

FORMAT = 1
"""Version of the sheet that this course writes about and reads."""

_WHEEL = "give one wheel, not the axle; if the scales showed pounds, end the key in _lb"
_RATE = "1 N/mm is 1000 N/m; end the key in the unit that you measured in"
_RATIO = "it is {} travel over wheel travel; if it was taken the other way round, write 1 over it"
_TRAVEL = "measure at the wheel from ride height, and end the key in the unit used"

# The ranges hold from small cars to campers on a truck's frame: common practice, no source.
AXLE_KEYS = (
    Key("left_wheel_kg", 80, 3000, _WHEEL),
    Key("right_wheel_kg", 80, 3000, _WHEEL),
    Key("unsprung_kg", 10, 500, "give one wheel with its hub and half of what joins the two"),
    Key("wheel_rate_N_per_mm", 5, 600, _RATE),
    Key("spring_rate_N_per_mm", 5, 1000, _RATE),
    Key("spring_motion_ratio", 0.2, 1.2, _RATIO.format("spring")),
    Key("damper_motion_ratio", 0.2, 1.2, _RATIO.format("damper")),
    Key("tyre_rate_N_per_mm", 80, 1500, _RATE),
    Key("bump_travel_mm", 0, 300, _TRAVEL),
    Key("foam_mm", 1, 150, _TRAVEL),
    Key("droop_travel_mm", 0, 400, _TRAVEL),
    Key("tyre_damping_N_s_per_m", 0, 5000, "it is small: some hundred N·s/m"),
    Key("friction_N", 0, 3000, "give the force at the wheel that just moves the body"),
    Key("second_rate_N_per_mm", 1, 600, "give what the second stage adds; " + _RATE),
    Key("second_gap_mm", -200, 300, "negative where it carries at ride height; " + _TRAVEL),
    Key("tyre_pressure_kPa", 80, 900, "give it over the air outside, cold; 1 bar is 100 kPa"),
)
TOP_KEYS = (
    Key("wheelbase_mm", 1000, 6000, "from the front axle to the rear one"),
    Key("ball_overhang_mm", 0, 3000, "from the rear axle back to the ball"),
)
LOAD_KEYS = (
    Key("front_kg", -1000, 3000, "give what is added on the axle, in kg"),
    Key("rear_kg", -1000, 3000, "give what is added on the axle, in kg"),
    Key("ball_kg", 0, 500, "give what the trailer presses on the ball, not what it weighs"),
)
RATING_KEYS = (
    Key("bump_N", 20, 20000, "give the force at the stated speed, positive"),
    Key("rebound_N", 20, 20000, "give the force at the stated speed, positive"),
    Key("speed_mm_per_s", 20, 2000, "1 m/s is 1000 mm/s; end the key in the unit used"),
)

# What is assumed when a sheet leaves it out: common practice, no source.
_UNSPRUNG_SHARE = 0.15
_ASSUMED = {  # name: (value in SI, words)
    "tyre rate": (250e3, "tyre rate 250 N/mm"),
    "tyre damping": (250.0, "tyre damping 250 N·s/m"),
    "bump travel": (0.080, "bump travel 80 mm"),
    "foam": (0.045, "foam 45 mm"),
    "droop travel": (0.100, "droop travel 100 mm"),
    "friction": (0.0, "no dry friction"),
}
_PRESSURE = 240e3  # Pa, at which the tyre's rate is taken to hold where the sheet tells none
_SLOWEST, _FASTEST = 0.6, 4.0  # Hz: a road vehicle's body does not swing outside these
_TOP = ("format", "name", "front", "rear", "load")  # besides the lengths
_SIDES = 1.5  # one wheel's mass over the other's; unequal loading stays well below
_AXLES = 3.0  # one axle's mass over the other's; so does an empty truck, engine in front
_HEAVY = 1000.0  # kg on a wheel, which lighter vehicles do not reach: common practice, no source


def read_vehicle(path: str | Path) -> Vehicle:
    """Read a vehicle sheet.

    Parameters
    ----------
    path : str or Path
        A TOML file with the sections [front] and [rear], or one of them, and any number of
        [[load]]. Masses are those on the scales under each wheel, as found.

    Returns
    -------
    Vehicle
        With a sentence for each assumption that the sheet left to be made.

    Raises
    ------
    FileProblem
        One sentence with the row and the mend.
    """
    return vehicle_from(_top(path))


def vehicle_from(top: Section) -> Vehicle:
    """Return the vehicle of a sheet that is open.

    Parameters
    ----------
    top : Section
        Its top, from a file or filled in otherwise.

    Returns
    -------
    Vehicle
        As `read_vehicle` returns it.

    Raises
    ------
    FileProblem
        If something is missing, impossible or contradicts itself.
    """
    parts = [_axle(section) for section in _axle_sections(top)]
    axles = MappingProxyType({axle.name: axle for axle, _ in parts})
    _refuse_unlike(top, tuple(axles.values()))
    name = str(top.entries.get("name", top.path.stem))
    lengths = top.numbers(TOP_KEYS, others=_TOP)
    told = _assumptions([(a.name, said) for a, said in parts]) + _heavy(axles.values())
    wheelbase, overhang = (lengths.get(key.name) for key in TOP_KEYS)
    return Vehicle(name, axles, _loads(top, wheelbase, overhang), told, wheelbase, overhang)


def _assumptions(assumed: list[tuple[str, str]]) -> tuple[str, ...]:
    """Return a sentence for each axle's assumptions, one for both if they are the same."""
    axles: dict[str, list[str]] = {}
    for axle, words in assumed:
        axles.setdefault(words, []).append(axle)
    return tuple(
        f"Not on the sheet and so assumed, {' and '.join(names)}: {words}."
        for words, names in axles.items()
        if words
    )


def _refuse_unlike(top: Section, axles: tuple[Axle, ...]) -> None:
    """Refuse two axles of which one seems to carry the whole vehicle."""
    light, heavy = (pick(axles, key=_on_a_wheel) for pick in (min, max))
    if _on_a_wheel(heavy) > _AXLES * _on_a_wheel(light):
        what = f"{_on_a_wheel(heavy):g} kg on a {heavy.name} wheel and {_on_a_wheel(light):g} kg "
        what += f"on a {light.name} one do not belong together"
        mend = "look whether one is the whole vehicle or axle, or in pounds"
        raise top.sub(heavy.name).problem(what, mend)


def _on_a_wheel(axle: Axle) -> float:
    return (axle.left_mass + axle.right_mass) / 2


def _heavy(axles: Iterable[Axle]) -> tuple[str, ...]:
    """Return a sentence for wheels that carry what only a heavy vehicle puts on them."""
    names = [axle.name for axle in axles if _on_a_wheel(axle) > _HEAVY]
    if not names:
        return ()
    return (
        f"{' and '.join(names).capitalize()}: more than {_HEAVY:,.0f} kg on a wheel, as a heavy "
        "camper or a truck has; if it is none, look whether this is the whole axle or in pounds, "
        "and if it is one, measure what is assumed, for that suits lighter vehicles.",
    )


def read_ratings(path: str | Path) -> dict[str, RatedDamper]:
    """Read the two-number ratings that a sheet gives in [front.rating] and [rear.rating].

    Parameters
    ----------
    path : str or Path
        The vehicle sheet.

    Returns
    -------
    dict of str to RatedDamper
        By axle; empty when the sheet has no rating.

    Raises
    ------
    FileProblem
        If a rating lacks one of its three numbers, or one is impossible.
    """
    ratings = {}
    for axle in _axle_sections(_top(path)):
        section = axle.sub("rating")
        if section:
            found = section.numbers(RATING_KEYS)
            values = [_needed(section, found, key) for key in RATING_KEYS]
            ratings[axle.name] = RatedDamper(*values)
    return ratings


def _top(path: str | Path) -> Section:
    """Open the sheet and check what stands at its top."""
    top = read_sections(path)
    written = top.entries.get("format", f"dampinglab vehicle {FORMAT}")
    version = re.fullmatch(r"dampinglab vehicle (\d{1,9})", str(written))
    if not version:
        mend = f'the first line should be format = "dampinglab vehicle {FORMAT}"'
        raise top.problem(f"{written!r} is not the format of a vehicle sheet", mend, "format")
    if int(version[1]) > FORMAT:
        raise top.problem(f"{written!r} is newer than this course", "update the course", "format")
    top.numbers(TOP_KEYS, others=_TOP)
    return top


def _axle_sections(top: Section) -> list[Section]:
    sections = [section for section in (top.sub("front"), top.sub("rear")) if section]
    if not sections:
        raise top.problem("there is no axle", "add a section [front] or [rear]")
    return sections


def sheet_problem(path: str | Path, axle: str, kind: str, sentence: str) -> FileProblem:
    """Return a sentence about a setting on the sheet, with the row that it stands in.

    Parameters
    ----------
    path : str or Path
        The vehicle sheet.
    axle, kind : str
        Where the setting stands, such as "front" and "as_found".
    sentence : str
        What the damper has to say about it; an adjuster in quotes is looked up.

    Returns
    -------
    FileProblem
        To be raised.
    """
    section = _top(path).sub(axle).sub(kind)
    key = next((each for each in section.entries if repr(adjuster_name(each)) in sentence), "")
    what = f"[{axle}.{kind}]: {sentence[:1].lower()}{sentence[1:].rstrip('.')}"
    return section.problem(what, "correct the clicks, or give the table of the damper meant", key)


def _needed(section: Section, found: dict[str, float], key: Key) -> float:
    """Return a number that the section must hold."""
    if key.name not in found:
        what = f"[{section.name}] has no {key.name}"
        raise section.problem(what, f"add the line {key.example} = …")
    return found[key.name]


def _axle(section: Section) -> tuple[Axle, str]:
    """Return one axle, and words for what was assumed of it."""
    found = section.numbers(AXLE_KEYS, others=("as_found", "maker", "rating"))
    left, right = (_needed(section, found, key) for key in AXLE_KEYS[:2])
    if max(left, right) > _SIDES * min(left, right):
        what = f"{left:g} kg on the left wheel and {right:g} kg on the right do not belong together"
        raise section.problem(what, "look whether one is the whole axle, or in pounds")
    assumed = [words for name, (_, words) in _ASSUMED.items() if name not in found]
    if "unsprung" not in found:
        assumed.insert(0, f"unsprung mass {_UNSPRUNG_SHARE:.0%} of what stands on the wheel")
    corner = _corner(section, found, (left + right) / 2)
    clicks = [_clicks(section.sub(name)) for name in ("as_found", "maker")]
    more = found.get("tyre pressure", _PRESSURE), found.get("spring motion ratio", 1.0)
    return Axle(section.name, corner, left, right, *clicks, *more), ", ".join(assumed)


def _corner(section: Section, found: dict[str, float], mass: float) -> Corner:
    """Return the mean of an axle's two corners."""
    unsprung = found.get("unsprung", _UNSPRUNG_SHARE * mass)
    ratio = _needed(section, found, AXLE_KEYS[6])
    more = [found.get(name, value) for name, (value, _) in _ASSUMED.items()]
    rate = _rate_at_wheel(section, found)
    try:
        corner = Corner(mass - unsprung, unsprung, rate, ratio, *more, *_second(section, found))
    except OutOfRange as problem:
        what = f"[{section.name}]: {str(problem).rstrip('.')}"
        raise section.problem(what, "check the masses and rates of this axle") from None
    if not _SLOWEST <= corner.body_frequency <= _FASTEST:
        what = f"{corner.sprung_mass:.0f} kg on {rate / 1e3:.3g} N/mm at the wheel would swing at "
        what += f"{corner.body_frequency:.2g} Hz, and road vehicles do so at 1 to 2.5 Hz"
        raise section.problem(
            what, "check that the masses are of one wheel and in kg, and the rate"
        )
    return corner


def _second(section: Section, found: dict[str, float]) -> list[float]:
    """Return gap and rate of a second leaf or a helper; no rate where there is none."""
    keys = [key for key in AXLE_KEYS if key.name.startswith("second")]
    if any(key.name in found for key in keys):
        rate, gap = (_needed(section, found, key) for key in keys)
        return [gap, rate]
    return [0.0, 0.0]


def _rate_at_wheel(section: Section, found: dict[str, float]) -> float:
    """Return the wheel rate, as measured or from the spring and its motion ratio."""
    spring = {"spring rate", "spring motion ratio"} & found.keys()
    if "wheel rate" in found and spring:
        what = f"[{section.name}] gives the rate at the wheel and at the spring"
        raise section.problem(what, "keep one of them: the wheel rate if it was measured")
    if "wheel rate" in found:
        return found["wheel rate"]
    if len(spring) < 2:
        what = f"[{section.name}] has no spring"
        mend = "add wheel_rate_N_per_mm, or spring_rate_N_per_mm and spring_motion_ratio"
        raise section.problem(what, mend)
    return wheel_rate(found["spring rate"], found["spring motion ratio"])


def _clicks(section: Section | None) -> MappingProxyType | None:
    """Return the clicks of one setting by adjuster."""
    if section is None:
        return None
    clicks = {}
    for written, value in section.entries.items():
        name = adjuster_name(written)
        if name is None:
            raise section.problem(
                f"there is no adjuster {written!r}", nearest(written, ADJUSTERS), written
            )
        if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 200:
            what = f"{written!r} = {value!r} is no count of clicks"
            raise section.problem(what, "write a whole number, counted out from closed", written)
        clicks[name] = value
    return MappingProxyType(clicks)


def _loads(top: Section, *lengths: float | None) -> tuple[LoadCase, ...]:
    """Return the load cases."""
    entries = top.entries.get("load", [])
    if not isinstance(entries, list) or not all(isinstance(each, dict) for each in entries):
        raise top.problem("'load' must be a list", "write each one below [[load]]", "load")
    sections = [Section(top.path, top.text, "load", e, place) for place, e in enumerate(entries)]
    cases = [_load(section, lengths) for section in sections]
    for place, case in enumerate(cases):
        if case.name in [earlier.name for earlier in cases[:place]]:
            what = f"two loads are called {case.name!r}"
            raise sections[place].problem(what, "give each its own name", "name")
    return tuple(cases)


def _load(section: Section, lengths: tuple) -> LoadCase:
    name = section.entries.get("name")
    if not isinstance(name, str) or not name.strip():
        raise section.problem("this load has no name", 'add the line name = "…"')
    found = section.numbers(LOAD_KEYS, others=("name",))
    if "ball" not in found:
        return LoadCase(name, *(_needed(section, found, key) for key in LOAD_KEYS[:2]))
    if None in lengths:
        missing = TOP_KEYS[lengths.index(None)].example
        what = f"{name!r} gives a load on the ball, and the sheet has no {missing}"
        raise section.problem(what, f"measure it and add {missing} = … above [front]", "ball_kg")
    by_ball = ball_load(found["ball"], lengths[1], lengths[0])
    added = (found.get(key.name, 0.0) for key in LOAD_KEYS[:2])
    return LoadCase(name, *(a + b for a, b in zip(added, by_ball, strict=True)))
