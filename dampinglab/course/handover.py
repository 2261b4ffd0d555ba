"""The handover job: a vehicle with something wrong, or nothing, drawn from a seed.

Every move is a line of handover.jsonl in the workbook, so that a job goes on after a restart; no
line tells what is wrong.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

from dampinglab import journal
from dampinglab.course import progress
from dampinglab.course.handover_draw import chance, draw
from dampinglab.course.handover_limits import AXLES, WATCHED, Scores, beyond, limits
from dampinglab.course.handover_looks import Reading, look
from dampinglab.course.handover_moves import (
    PASSES,
    Stand,
    checked_reasons,
    drivable,
    named_gate,
    take,
)
from dampinglab.course.handover_parts import KINDS, adjusters, true_scores, wheel_scores
from dampinglab.course.handover_score import Score, judge
from dampinglab.course.handover_words import customer, driver, mended, told
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.corners import CORNERS, whole

__all__ = ["FORMAT", "Drive", "Job", "last_seed"]

FORMAT = "dampinglab handover 1"

_SCATTER = 0.02  # of a score from pass to pass
_STILL = 0.1  # and of its floor
_LARGEST = 10**12  # seeds


@dataclass(frozen=True)
class Drive:
    """A test drive: every watched score in each of three passes, by axle."""

    number: int
    passes: Mapping[str, np.ndarray]  # by axle, shape (scores, passes), in the metrics' units
    off: Mapping[tuple[str, int], float]  # mean's way from healthy (0) to its limit (1)

    @property
    def scores(self) -> Scores:
        """The mean over the passes."""
        return {
            (axle, place): float(row.mean())
            for axle, rows in self.passes.items()
            for place, row in enumerate(rows)
        }

    @property
    def words(self) -> str:
        """What the workshop's driver says of it."""
        return driver(self.off)


@dataclass
class Job:
    """A job of a seed, as far as it has come in this workbook; `again` begins it anew."""

    seed: int
    folder: str | Path | None = field(default=None, repr=False)
    again: bool = field(default=False, repr=False)

    def __post_init__(self) -> None:
        """Draw the case, and take up what was done before."""
        self.seed = whole(self.seed, "The number of the job", -_LARGEST, _LARGEST)
        self.path = _file(self.folder)
        self._case = draw(self.seed)
        self.complaints: list[str] = []
        self._begin()
        self._resume()

    @property
    def words(self) -> str:
        """The customer's card."""
        return customer(self._case)

    @property
    def adjusters(self) -> dict[str, int]:
        """How many clicks each adjuster has, the same on all four dampers."""
        return {adjuster.name: adjuster.clicks for adjuster in adjusters(self._case.found.name)}

    @property
    def limits(self) -> Scores:
        """The highest value that each watched score may have."""
        return limits(true_scores(self._case.healthy))

    @property
    def clicks(self) -> tuple[tuple[int, ...], ...] | None:
        """Clicks out from closed by wheel, once they have been counted."""
        return self.stand.patient.clicks if self.stand.counted else None

    @property
    def drives(self) -> list[Drive]:
        """Every drive so far."""
        found = [move["scores"] for move in self.moves if move["do"] == "drive"]
        return [self._told(number, scores) for number, scores in enumerate(found, start=1)]

    @property
    def history(self) -> list[tuple[str, str]]:
        """What was done, and what came of it, in words."""
        said = iter(self.drives)
        return [
            (f"Drive {drive.number}", drive.words)
            if move["do"] == "drive" and (drive := next(said))
            else told(move)
            for move in self.moves
        ]

    @property
    def score(self) -> Score | None:
        """The score, once the vehicle is handed back or refused."""
        return judge(self._case, self.moves) if self.stand.over else None

    def look(self, gate: str) -> Reading:
        """Look at a check, and return what is seen."""
        seen = look(self.stand.patient, named_gate(gate), self.seed, len(self.moves))
        self._add(do="look", gate=gate, passed=seen.passed, seen=seen.words)
        return seen

    def mend(self, gate: str) -> str:
        """Mend what shows at a check, and return what was done."""
        before = self.stand.patient.faults
        told = "Both sides set alike, to the middle of what was found."
        if named_gate(gate) != "sides":
            here = [fault for fault in before if gate in KINDS[fault.kind].gates]
            told = " ".join(map(mended, here)) or "Nothing was wrong there; it is as it was."
        self._add(do="mend", gate=gate, told=told)
        return told

    def drive(self) -> Drive:
        """Drive the customer's roads, three passes each, and return the scores."""
        number, truth = self.stand.drives + 1, true_scores(self.stand.patient)
        draws = chance(3, self.seed, number).standard_normal((len(AXLES), len(WATCHED), PASSES))
        scores = {
            axle: [
                [_passed(truth[axle, i], each.floor, n) for n in draws[place, i]]
                for i, each in enumerate(WATCHED)
            ]
            for place, axle in enumerate(AXLES)
        }
        self._add(do="drive", scores=scores)
        return self._told(number, scores)

    def driving(self) -> Iterator[tuple[int, int]]:
        """Drive as `drive` does, wheel by wheel: how many are done, and of how many."""
        drivable(self.stand)
        for wheel in range(len(CORNERS)):
            wheel_scores(self.stand.patient, wheel)
            if wheel + 1 == len(CORNERS):
                self.drive()
            yield wheel + 1, len(CORNERS)

    def turn(self, axle: str, adjuster: str, clicks_by: int) -> None:
        """Turn one adjuster on both dampers of an axle; out (softer) is positive."""
        self._add(do="turn", axle=axle, adjuster=adjuster, by=clicks_by)

    def undo(self) -> None:
        """Go back to the clicks before the last turn."""
        self._add(do="undo")

    def hand_back(self, reasons: Mapping[str, str] | None = None) -> Score:
        """Hand the vehicle back with what the customer is told, and return the score."""
        self._add(do="back", reasons=checked_reasons(reasons))
        return self.score

    def refuse(self, gate: str, reasons: Mapping[str, str] | None = None) -> Score:
        """Refuse to hand it back because of a check, and return the score."""
        self._add(do="refuse", gate=named_gate(gate), reasons=checked_reasons(reasons))
        return self.score

    def before_after(self) -> tuple[Scores, Scores]:
        """Return how far each score was off as found, and is now; only once the job is over."""
        if not self.stand.over:
            raise LearnerError("Hand the vehicle back or refuse it first.")
        healthy = true_scores(self._case.healthy)
        each = (self._case.found, self.stand.patient)
        return tuple(beyond(true_scores(patient), healthy) for patient in each)

    def _told(self, number: int, scores: Mapping[str, list]) -> Drive:
        passes = {axle: np.array(scores[axle], float) for axle in AXLES}
        drive = Drive(number, passes, {})
        off = beyond(drive.scores, true_scores(self._case.healthy))
        return Drive(number, passes, off)

    def _begin(self) -> None:
        self.stand, self.moves = Stand(self._case.found), []

    def _resume(self) -> None:
        """Take up the last attempt at this seed that the workbook holds."""
        for place, record in enumerate(self._records(), start=1):
            if record.get("seed") != self.seed:
                continue
            if record.get("do") == "start":
                self._begin()
                continue
            try:
                self._take({key: record[key] for key in record if key not in _OWN})
            except LearnerError as problem:
                self.complaints.append(f"{self.path.name}, record {place} is left out. {problem}")
        if self.again and self.moves:
            self._begin()
            self._write({"do": "start"})

    def _records(self) -> list[dict[str, Any]]:
        try:
            records, self.complaints = journal.read(self.path)
        except (OSError, ValueError):
            mend = "check the name, and who may read it"
            raise FileProblem(self.path, "it cannot be opened", mend) from None
        strange = sum(record.get("format") != FORMAT for record in records)
        if strange:
            self.complaints.append(f"{self.path.name}: {strange} records of another kind left out.")
        return [record for record in records if record.get("format") == FORMAT]

    def _take(self, move: dict[str, Any]) -> None:
        self.stand = take(self.stand, move)
        self.moves.append(move)

    def _add(self, **move: Any) -> None:
        """Make a move if it can be made and written; else nothing has happened."""
        take(self.stand, move)
        self._write(move)
        self._take(move)

    def _write(self, move: Mapping[str, Any]) -> None:
        when = datetime.now(UTC).isoformat(timespec="seconds")
        journal.append(self.path, {"format": FORMAT, "when": when, "seed": self.seed, **move})


def last_seed() -> int:
    """Return the seed of the job that was worked at last in this workbook, or 1."""
    try:
        records, _ = journal.read(_file())
    except (OSError, ValueError):
        return 1  # the job itself says what is wrong with the file
    seeds = [record.get("seed") for record in records if record.get("format") == FORMAT]
    return next((s for s in reversed(seeds) if type(s) is int and abs(s) <= _LARGEST), 1)


def _file(folder: str | Path | None = None) -> Path:
    return (Path(folder) if folder is not None else progress.path().parent) / "handover.jsonl"


_OWN = ("format", "when", "seed")  # of a record, beside its move


def _passed(value: float, floor: float, chance_: float) -> float:
    """Return one pass of a score: driver, wind and road make it scatter."""
    return float(f"{value + chance_ * (_SCATTER * abs(value) + _STILL * floor):.4g}")
