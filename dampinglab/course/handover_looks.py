"""What a technician sees at each check of a handover job: read off the physics, with scatter."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from dampinglab.course.handover_draw import chance
from dampinglab.course.handover_limits import AXLES
from dampinglab.course.handover_parts import KINDS, Patient, adjusters, part, rating
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.gates import GATES

__all__ = ["MINUTES", "Reading", "failed", "look"]

MINUTES = {
    "unsafe": 15,
    "pressure": 5,
    "mass": 15,
    "height": 10,
    "mounts": 10,
    "leaks": 5,
    "rod": 5,
    "gas": 30,
    "spring": 10,
    "stop": 10,
    "sides": 10,
}
"""What each check takes: assumed."""

_PLACARD = 240.0  # kPa
_ARCH = {"front": 600.0, "rear": 610.0}  # mm from wheel centre to arch with the springs unloaded


@dataclass(frozen=True)
class Reading:
    """What was found at a check: by wheel, against what is right, and whether it is right."""

    gate: str
    wheels: tuple[str, ...]  # in the order of CORNERS
    right: str  # what it should be
    passed: bool

    @property
    def words(self) -> str:
        """The reading in one line; wheels that look alike are named once."""
        front, rear = self.wheels[:2], self.wheels[2:]
        if len(set(self.wheels)) == 1:
            found = f"all four: {front[0]}"
        elif len(set(front)) == len(set(rear)) == 1:
            found = f"front: {front[0]}; rear: {rear[0]}"
        else:
            found = "; ".join(f"{c} {seen}" for c, seen in zip(CORNERS, self.wheels, strict=True))
        return f"{found[0].upper()}{found[1:]}. {self.right}."


@dataclass(frozen=True)
class _Gauge:
    """A check that gives a number a wheel."""

    unit: str
    places: int
    scatter: float
    read: Callable[[Patient, int], float]
    right: Callable[[Patient, int], float]
    told: Callable[[Patient], str]
    passed: Callable[[np.ndarray, np.ndarray, Patient], bool]


def _mass(patient: Patient, wheel: int) -> float:
    sheet, corner = patient.vehicle.axles[AXLES[wheel // 2]], part(patient, wheel).corner
    side = (sheet.left_mass, sheet.right_mass)[wheel % 2] - sheet.corner.sprung_mass
    return side + corner.sprung_mass


def _height(patient: Patient, wheel: int) -> float:
    axle = AXLES[wheel // 2]
    sheet = patient.vehicle.axles[axle].corner
    deeper = part(patient, wheel).corner.droop_gap - sheet.droop_gap
    return _ARCH[axle] - 1e3 * (sheet.static_sag + deeper)


def _ends(values: Callable[[str], str]) -> str:
    return ", ".join(f"{axle} {values(axle)}" for axle in AXLES)


def _within(patient: Patient, found: np.ndarray) -> bool:
    ends = found.reshape(2, 2).sum(axis=1)
    return all(mass <= rating(patient, axle) for axle, mass in zip(AXLES, ends, strict=True))


_GAUGES = {
    "pressure": _Gauge(
        "kPa",
        0,
        2.0,
        lambda patient, wheel: _PLACARD * part(patient, wheel).pressure,
        lambda patient, wheel: _PLACARD,
        lambda patient: f"Placard for this load: {_PLACARD:.0f} kPa cold, give or take 12",
        lambda found, right, _: bool(np.all(np.abs(found - right) <= 12)),
    ),
    "mass": _Gauge(
        "kg",
        0,
        2.0,
        _mass,
        lambda patient, wheel: _mass(patient.healthy, wheel),
        lambda patient: (
            "An axle, both wheels together, may carry: "
            f"{_ends(lambda axle: f'{rating(patient, axle):.0f} kg')}"
        ),
        lambda found, right, patient: _within(patient, found),
    ),
    "height": _Gauge(
        "mm",
        0,
        1.0,
        _height,
        lambda patient, wheel: _height(patient.healthy, wheel),
        lambda patient: (
            "The maker's height for this load: "
            f"{_ends(lambda axle: f'{_height(patient.healthy, 2 * AXLES.index(axle)):.0f} mm')}, "
            "give or take 10"
        ),
        lambda found, right, _: bool(np.all(np.abs(found - right) <= 10)),
    ),
    "mounts": _Gauge(
        "mm",
        1,
        0.1,
        lambda patient, wheel: 0.3 + 1e3 * getattr(part(patient, wheel).damper, "play", 0.0),
        lambda patient, wheel: 0.3,
        lambda patient: "Free play by hand and bar: up to 1 mm is usual",
        lambda found, right, _: bool(np.all(found <= 1)),
    ),
}

_SEEN = {  # in health, with the fault, and what is looked for
    "unsafe": (
        "nothing loose",
        "brake hose chafed to its cord",
        "Nothing may be loose, worn or cracked",
    ),
    "leaks": ("dry", "wet from the seal down, weak by hand", "All four should be dry"),
    "rod": (
        "straight and bright",
        "binds as it is turned",
        "All four should be straight and turn freely",
    ),
    "gas": ("comes out by itself", "stays in", "Pushed in, the rod should come out"),
    "stop": ("whole", "gone, metal bright from contact", "All four should be whole"),
    "spring": (
        "whole and the right one",
        "",  # as _SPRINGS says
        "All four should be whole, seated, and marked as the sheet asks",
    ),
}
_SPRINGS = {
    "cracked spring": "cracked near its end",
    "soft spring": "whole, marked for a lighter load",
    "hard spring": "whole, marked for a heavier load",
}


def failed(patient: Patient) -> set[str]:
    """Return the checks that a vehicle fails, were they read without scatter."""
    return {key for key in GATES if not _plainly(patient, key)}


def _plainly(patient: Patient, gate: str) -> bool:
    if gate == "sides":
        return all(patient.clicks[i] == patient.clicks[i + 1] for i in (0, 2))
    if gate in _GAUGES:
        return _gauge(patient, gate, np.zeros(4)).passed
    return not any(gate in KINDS[fault.kind].gates for fault in patient.faults)


def look(patient: Patient, gate: str, *chances: int) -> Reading:
    """Return what is seen at a check; the numbers after it say which look this is."""
    if gate in _GAUGES:
        draw = chance(*chances, list(GATES).index(gate))
        return _gauge(patient, gate, draw.uniform(-2, 2, 4))
    if gate == "sides":
        seen, right = [_counted(patient, i) for i in range(4)], "Left and right should stand alike"
    else:
        seen, right = [_seen(patient, gate, i) for i in range(4)], _SEEN[gate][2]
    return Reading(gate, tuple(seen), right, _plainly(patient, gate))


def _gauge(patient: Patient, gate: str, scatter: np.ndarray) -> Reading:
    gauge = _GAUGES[gate]
    found, right = (
        np.array([of(patient, wheel) for wheel in range(4)]) for of in (gauge.read, gauge.right)
    )
    found = np.maximum(0, np.round(found + gauge.scatter * scatter, gauge.places))
    seen = tuple(f"{value:.{gauge.places}f} {gauge.unit}" for value in found)
    return Reading(gate, seen, gauge.told(patient), gauge.passed(found, right, patient))


def _seen(patient: Patient, gate: str, wheel: int) -> str:
    there = [f.kind for f in patient.faults if wheel in f.wheels and gate in KINDS[f.kind].gates]
    well, bad, _ = _SEEN[gate]
    return _SPRINGS.get(there[0], bad) if there else well


def _counted(patient: Patient, wheel: int) -> str:
    pairs = zip(adjusters(patient.name), patient.clicks[wheel], strict=True)
    return ", ".join(f"{a.name} {clicks} of {a.clicks} out" for a, clicks in pairs)
