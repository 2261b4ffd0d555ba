"""The vehicle of a handover job as physics: what a fault changes, and what a drive then scores."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from dampinglab.course.handover_limits import AXLES, WATCHED, Scores
from dampinglab.physics.corner import prepare, run_table
from dampinglab.physics.load import tyre_rate
from dampinglab.physics.vehicle import Corner, Vehicle
from dampinglab.workshop import demo
from dampinglab.workshop.proving import event_road

__all__ = [
    "KINDS",
    "Fault",
    "Kind",
    "Part",
    "Patient",
    "Worn",
    "adjusters",
    "part",
    "rating",
    "true_scores",
    "wheel_scores",
]

_BODY = 2 * np.pi * 1.5  # rad/s, about the body's own movement: how play becomes a speed
_SPARE = 1.05  # an axle's rating over its heaviest load case: invented
_BARE = 0.1  # of a bump stop's force, where its foam is gone and only metal is left


@dataclass(frozen=True)
class Worn:
    """A damper of which wear has left a share of its force, or whose mount lets it move freely.

    Play swallows the first of each stroke. Told here as force lost at small speeds, v2/(v2 + v02)
    with v0 the play at about the body's frequency: invented, the right way round.
    """

    of: object  # any damper
    share: float = 1.0
    play: float = 0.0  # m at the shaft

    def valve_forces(self, speed, settings):
        """Return the force of the valves that reaches the wheel, N, a row a setting."""
        v2 = np.square(np.asarray(speed, float))
        kept = self.share * v2 / (v2 + (_BODY * self.play) ** 2 + 1e-12)
        return kept * self.of.valve_forces(speed, settings)

    def friction(self, speed):
        """Return the seal friction, N."""
        return self.of.friction(speed)

    def beyond(self, speed, setting):
        """Tell where a speed lies beyond what was measured."""
        return self.of.beyond(speed, setting)


@dataclass(frozen=True)
class Part:
    """One wheel's corner and damper as they are now; `extra` is load beyond the customer's own."""

    corner: Corner
    damper: object
    pressure: float  # share of the right one
    extra: float = 0.0  # kg


@dataclass(frozen=True)
class Fault:
    """One thing wrong: its kind, the wheels it is at (places in CORNERS), and how bad it is."""

    kind: str
    wheels: tuple[int, ...]
    size: float  # 0 to 1; of an overload the kg at each wheel


@dataclass(frozen=True)
class Kind:
    """What a kind of fault changes, where it shows, and what mending it takes."""

    gates: tuple[str, ...]  # keys of GATES at which it shows
    harm: Callable[[Part, float], Part]
    cause: str  # told after hand-over
    mended: str
    minutes: int
    both: bool = False  # at both wheels of an axle
    mends: bool = True  # by this workshop, with this customer


def _sound(part: Part, _size: float) -> Part:
    return part


def _low_tyre(part: Part, size: float) -> Part:
    share = 0.75 - 0.2 * size
    rate = tyre_rate(part.corner.tyre_rate, 240e3, share * 240e3)
    return replace(part, corner=replace(part.corner, tyre_rate=rate), pressure=share)


def _loose(part: Part, size: float) -> Part:
    return replace(part, damper=Worn(part.damper, play=3e-3 + 3e-3 * size))


def _weak(part: Part, size: float) -> Part:
    return replace(part, damper=Worn(part.damper, share=0.55 - 0.25 * size))


def _no_gas(part: Part, size: float) -> Part:
    """Foam takes the place of oil, and the rod no longer carries its part of the body."""
    corner = part.corner
    carried = float(part.damper.gas_force(0.0)) * corner.damper_motion_ratio
    lower = corner.lowered(carried / corner.wheel_rate)
    return replace(part, corner=lower, damper=Worn(part.damper, share=0.65 - 0.2 * size))


def _binding(part: Part, size: float) -> Part:
    friction = part.corner.friction + 200.0 + 250.0 * size
    return replace(part, corner=replace(part.corner, friction=friction))


def _bare_stop(part: Part, _size: float) -> Part:
    return replace(part, corner=replace(part.corner, foam_stiffness=_BARE))


def _sprung(part: Part, share: float) -> Part:
    """Put in a spring of another rate and the same free length."""
    other = replace(part.corner, wheel_rate=share * part.corner.wheel_rate)
    lower = other.static_sag - part.corner.static_sag
    return replace(part, corner=other.lowered(lower))


def _cracked(part: Part, size: float) -> Part:
    """Crack a spring: a leaf gives way; a coil that lost its end is stiffer and shorter."""
    if part.corner.second_rate:
        return _sprung(part, 0.82 - 0.08 * size)
    shorter = replace(part.corner, wheel_rate=(1.05 + 0.08 * size) * part.corner.wheel_rate)
    return replace(part, corner=shorter.lowered(0.020 + 0.012 * size))


def _overloaded(part: Part, size: float) -> Part:
    return replace(part, extra=part.extra + size)


KINDS = {
    "low tyre": Kind(("pressure",), _low_tyre, "low tyre pressure", "Tyres set cold.", 10),
    "loose mount": Kind(("mounts",), _loose, "free play in a damper's mount", "Bush renewed.", 60),
    "weak damper": Kind(("leaks",), _weak, "a leaking, worn damper", "Damper renewed.", 60),
    "lost gas": Kind(("gas", "height"), _no_gas, "a damper that lost its gas", "Gas refilled.", 75),
    "bent rod": Kind(("rod",), _binding, "a bent rod that binds", "Damper renewed.", 60),
    "no stop": Kind(("stop",), _bare_stop, "a missing bump stop", "Bump stop fitted.", 30),
    "cracked spring": Kind(
        ("height", "spring"), _cracked, "a cracked spring", "Springs of the axle renewed.", 90
    ),
    "soft spring": Kind(
        ("height", "spring"),
        lambda part, size: _sprung(part, 0.86 - 0.06 * size),
        "springs too soft for the load",
        "The right springs fitted.",
        90,
        both=True,
    ),
    "hard spring": Kind(
        ("height", "spring"),
        lambda part, size: _sprung(part, 1.3 + 0.2 * size),
        "springs for a load that it does not carry",
        "The right springs fitted.",
        90,
        both=True,
    ),
    "too much load": Kind(
        ("mass", "height"),
        _overloaded,
        "more load than the axle is rated for",
        "The customer took out what is not needed.",
        20,
        both=True,
    ),
    "load that stays": Kind(
        ("mass", "height"),
        _overloaded,
        "more load than the axle is rated for, all of it needed",
        "Not mended: the customer needs all that is on board.",
        20,
        both=True,
        mends=False,
    ),
    "unsafe": Kind(
        ("unsafe",),
        _sound,
        "a brake hose chafed down to its cord",
        "Not mended: this is for those who may mend brakes.",
        5,
        mends=False,
    ),
}
"""Every kind of fault; sizes are invented."""


@dataclass(frozen=True)
class Patient:
    """The vehicle as it stands on the lift: its load, its faults, its clicks by wheel."""

    name: str  # of the demo workshop
    load: str | None
    faults: tuple[Fault, ...]
    clicks: tuple[tuple[int, ...], ...]  # out from closed, in the order of CORNERS

    @property
    def vehicle(self) -> Vehicle:
        """Its sheet."""
        return demo.vehicle(self.name)

    @property
    def healthy(self) -> "Patient":
        """The same with every part sound."""
        return replace(self, faults=())


def _damper(name: str, axle: str):
    if name == "utility":
        return demo.damper(axle, "utility_two_adjuster")
    return demo.hydraulic(axle)


def adjusters(name: str) -> tuple:
    """Return the adjusters that all four dampers of a vehicle have."""
    return tuple(_damper(name, "front").adjusters)


def rating(patient: Patient, axle: str) -> float:
    """Return what an axle may carry, kg: invented, a little over its heaviest load case."""
    sheet = patient.vehicle
    axle_mass = sheet.axles[axle].left_mass + sheet.axles[axle].right_mass
    most = max([0.0, *(getattr(case, f"{axle}_mass") for case in sheet.loads)])
    return round(_SPARE * (axle_mass + most) / 10) * 10.0


def part(patient: Patient, wheel: int) -> Part:
    """Return one wheel's corner, damper and pressure, with every fault at it, under its load."""
    own = tuple(fault for fault in patient.faults if wheel in fault.wheels)
    return _part(patient.name, patient.load, wheel // 2, own)


@lru_cache(maxsize=256)
def _part(name: str, load: str | None, axle: int, faults: tuple[Fault, ...]) -> Part:
    sheet, where = demo.vehicle(name), AXLES[axle]
    made = Part(sheet.corner(where), _damper(name, where), 1.0)
    for fault in faults:
        made = KINDS[fault.kind].harm(made, fault.size)
    carried = [getattr(case, f"{where}_mass") / 2 for case in sheet.loads if case.name == load]
    return replace(made, corner=made.corner.loaded(sum(carried) + made.extra))


def true_scores(patient: Patient) -> Scores:
    """Return what the test drive would score without any scatter: the mean of an axle's sides."""
    found = {}
    for place, axle in enumerate(AXLES):
        sides = [wheel_scores(patient, wheel) for wheel in (2 * place, 2 * place + 1)]
        means = np.mean(sides, axis=0)
        found |= {(axle, i): float(mean) for i, mean in enumerate(means)}
    return found


def wheel_scores(patient: Patient, wheel: int) -> tuple[float, ...]:
    """Return every watched score of one wheel; wheels that are alike are driven once."""
    own = tuple(replace(f, wheels=()) for f in patient.faults if wheel in f.wheels)
    return _driven(patient.name, patient.load, wheel // 2, own, patient.clicks[wheel])


@lru_cache(maxsize=4096)
def _driven(name, load, axle: int, faults: tuple[Fault, ...], setting) -> tuple[float, ...]:
    made, runs = _part(name, load, axle, faults), {}
    for event in {each.event for each in WATCHED}:
        way = event_road(event)
        runs[event] = run_table(_ready(made.corner, event), made.corner, way, made.damper, setting)
    return tuple(float(each.what.of(runs[each.event], each.where)) for each in WATCHED)


@lru_cache(maxsize=64)
def _ready(corner: Corner, event: str):
    return prepare(corner, event_road(event))
