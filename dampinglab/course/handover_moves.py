"""What can be done in a handover job, one move after the other, and what each takes in minutes."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from dampinglab.course.handover_limits import AXLES, WATCHED
from dampinglab.course.handover_looks import MINUTES
from dampinglab.course.handover_parts import KINDS, Patient, adjusters
from dampinglab.errors import LearnerError
from dampinglab.workshop.corners import whole
from dampinglab.workshop.gates import GATES
from dampinglab.workshop.text import adjuster_name, nearest, quoted

__all__ = [
    "DRIVE",
    "MOVES",
    "PASSES",
    "REASONS",
    "Stand",
    "checked_reasons",
    "drivable",
    "named_gate",
    "take",
]

PASSES = 3
DRIVE, _TURN = 25, 3  # minutes: assumed
_VAIN = 15  # minutes for mending what was whole
_SIDES = "sides"

REASONS = {
    "felt": "What was felt",
    "changed": "What was changed",
    "given up": "What is given up for it",
    "not fixed": "What was not fixed",
}
"""What the customer is told, by key."""


@dataclass(frozen=True)
class Stand:
    """How a job stands: the vehicle now, and what has been done to it."""

    patient: Patient
    earlier: tuple = ()  # clicks to go back to, the last turn last
    looked: tuple[tuple[str, bool], ...] = ()  # check and whether it passed, in order
    counted: bool = False
    since: bool = False  # something was turned since the last drive
    drives: int = 0
    turns: int = 0
    vain: int = 0  # parts mended that were whole
    minutes: int = 0
    over: bool = False

    @property
    def answers(self) -> dict[str, bool]:
        """What each check said last; a part that was mended is right."""
        return dict(self.looked)


def take(stand: Stand, move: Mapping[str, Any]) -> Stand:
    """Return how the job stands after a move, or say in one sentence why it cannot be made."""
    if stand.over:
        raise LearnerError("This job is over; start it again, or take another number.")
    kind = move.get("do")
    if not isinstance(kind, str) or kind not in MOVES:
        raise LearnerError(f"{quoted(kind)} is nothing that can be done in this job.")
    return MOVES[kind](stand, move)


def named_gate(written: object) -> str:
    """Return the key of a check, or say which one may have been meant."""
    if isinstance(written, str) and written in GATES:
        return written
    raise LearnerError(f"There is no check {quoted(written)}; {nearest(str(written)[:40], GATES)}.")


def _written(move: Mapping, key: str) -> None:
    if not isinstance(move.get(key), str):
        raise LearnerError("It does not say what came of it.")


def _look(stand: Stand, move: Mapping) -> Stand:
    gate = named_gate(move.get("gate"))
    _written(move, "seen")
    if not isinstance(move.get("passed"), bool):
        raise LearnerError("A look says whether it was right.")
    return replace(
        stand,
        looked=(*stand.looked, (gate, move["passed"])),
        counted=stand.counted or gate == _SIDES,
        minutes=stand.minutes + MINUTES[gate],
    )


def _mend(stand: Stand, move: Mapping) -> Stand:
    """Mend whatever shows at a check, if this workshop can."""
    _written(move, "told")
    gate, patient = named_gate(move.get("gate")), stand.patient
    if gate == _SIDES:
        return _set_alike(stand)
    here = [fault for fault in patient.faults if gate in KINDS[fault.kind].gates]
    rest = tuple(f for f in patient.faults if f not in here or not KINDS[f.kind].mends)
    cost = sum(KINDS[fault.kind].minutes for fault in here) or _VAIN
    right = not any(not KINDS[f.kind].mends for f in here)
    gates = {gate} | {g for f in here for g in KINDS[f.kind].gates if right}
    return replace(
        stand,
        patient=replace(patient, faults=rest),
        looked=stand.looked + tuple((each, right) for each in sorted(gates & set(stand.answers))),
        vain=stand.vain + (not here),
        minutes=stand.minutes + cost,
    )


def _set_alike(stand: Stand) -> Stand:
    """Set both sides of each axle to the middle of what was found."""
    if not stand.counted:
        raise LearnerError("Count the clicks of all four dampers first: look at 'sides'.")
    clicks = [
        tuple((a + b) // 2 for a, b in zip(*stand.patient.clicks[i : i + 2], strict=True))
        for i in (0, 0, 2, 2)
    ]
    same = tuple(clicks) == stand.patient.clicks
    made = replace(
        stand,
        patient=replace(stand.patient, clicks=tuple(clicks)),
        looked=(*stand.looked, (_SIDES, True)),
        since=stand.since or not same,
        vain=stand.vain + same,
        minutes=stand.minutes + _TURN,
    )
    return made if same else replace(made, earlier=(), turns=stand.turns + 1)


def drivable(stand: Stand) -> None:
    """Refuse to drive what was found unfit for the road."""
    for gate, passed in stand.answers.items():
        if not passed and GATES[gate].stops:
            raise LearnerError(f"{GATES[gate].fails} It was found at the check {gate!r}.")


def _drive(stand: Stand, move: Mapping) -> Stand:
    drivable(stand)
    _checked_scores(move.get("scores"))
    return replace(stand, since=False, drives=stand.drives + 1, minutes=stand.minutes + DRIVE)


def _checked_scores(scores: object) -> None:
    """Refuse what cannot be the scores of a drive."""
    good = isinstance(scores, Mapping) and set(scores) == set(AXLES)
    good = good and all(
        isinstance(rows, list) and len(rows) == len(WATCHED) for rows in scores.values()
    )
    numbers = [n for rows in scores.values() for row in rows for n in _listed(row)] if good else []
    fine = all(isinstance(n, int | float) and math.isfinite(n) for n in numbers)
    if not (good and fine and len(numbers) == PASSES * len(AXLES) * len(WATCHED)):
        raise LearnerError("The scores of this drive are not whole.")


def _listed(row: object) -> list:
    return row if isinstance(row, list) and len(row) == PASSES else []


def _turn(stand: Stand, move: Mapping) -> Stand:
    """Turn one adjuster by the same clicks on both dampers of an axle."""
    if not stand.counted:
        raise LearnerError(
            "Count the clicks of all four dampers before any is turned: look at 'sides'."
        )
    if stand.since:
        raise LearnerError("One change at a time: drive it first, or undo it.")
    axle, place, by = _wanted(stand, move)
    _check_turn(stand, axle, place, by)
    clicks = [list(setting) for setting in stand.patient.clicks]
    for setting in clicks[2 * axle : 2 * axle + 2]:
        setting[place] += by
    return _set(stand, tuple(map(tuple, clicks)), (*stand.earlier, stand.patient.clicks))


def _check_turn(stand: Stand, axle: int, place: int, by: int) -> None:
    """Refuse to turn sides that differ, or past the last click."""
    adjuster = adjusters(stand.patient.name)[place]
    name, most = f"{AXLES[axle].capitalize()} {adjuster.name}", adjuster.clicks
    left, right = (stand.patient.clicks[2 * axle + side][place] for side in (0, 1))
    if left != right:
        raise LearnerError(
            f"{name} stands {left} clicks out on the left and {right} on the right: mend 'sides' "
            "first, so that both stand alike."
        )
    if not 0 <= left + by <= most:
        raise LearnerError(
            f"{name} stands {left} clicks out of {most}; it can be turned {most - left} out or "
            f"{left} in."
        )


def _wanted(stand: Stand, move: Mapping) -> tuple[int, int, int]:
    """Return axle, place of the adjuster, and clicks of a turn."""
    if move.get("axle") not in AXLES:
        raise LearnerError(f"{quoted(move.get('axle'))} is no axle; write 'front' or 'rear'.")
    names = [adjuster.name for adjuster in adjusters(stand.patient.name)]
    name = adjuster_name(str(move.get("adjuster")))
    if name not in names:
        near = nearest(str(move.get("adjuster"))[:40], names)
        raise LearnerError(f"There is no adjuster {quoted(move.get('adjuster'))} here; {near}.")
    by = whole(move.get("by"), "The change in clicks", -200, 200)
    if not by:
        raise LearnerError("A change of no clicks is none: turn one click or more.")
    return AXLES.index(move["axle"]), names.index(name), by


def _undo(stand: Stand, _move: Mapping) -> Stand:
    if not stand.earlier:
        raise LearnerError("Nothing was turned that could be undone.")
    undone = _set(stand, stand.earlier[-1], stand.earlier[:-1])
    return replace(undone, since=False)  # it is known from before, so nothing new is to be driven


def _set(stand: Stand, clicks, earlier) -> Stand:
    return replace(
        stand,
        patient=replace(stand.patient, clicks=clicks),
        earlier=earlier,
        since=True,
        turns=stand.turns + 1,
        minutes=stand.minutes + _TURN,
    )


def _back(stand: Stand, move: Mapping) -> Stand:
    checked_reasons(move.get("reasons"))
    return replace(stand, over=True)


def _refuse(stand: Stand, move: Mapping) -> Stand:
    named_gate(move.get("gate"))
    return _back(stand, move)


def checked_reasons(reasons: object) -> dict[str, str]:
    """Return what the customer is told, by the keys of REASONS."""
    reasons = {} if reasons is None else reasons
    if not isinstance(reasons, Mapping) or not set(reasons) <= set(REASONS):
        raise LearnerError(f"Give the reasons by {', '.join(map(repr, REASONS))}.")
    if not all(isinstance(said, str) for said in reasons.values()):
        raise LearnerError("Each reason is a few words in quotes.")
    return dict(reasons)


MOVES: Mapping[str, Callable[[Stand, Mapping], Stand]] = {
    "look": _look,
    "mend": _mend,
    "drive": _drive,
    "turn": _turn,
    "undo": _undo,
    "back": _back,
    "refuse": _refuse,
}
"""Every move by its name."""
