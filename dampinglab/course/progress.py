"""The learner's own record of every answer: one line each in progress.jsonl of their workbook."""

import os
import tempfile
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from dampinglab import __version__, journal
from dampinglab.course import marking
from dampinglab.errors import LearnerError

__all__ = ["FORMAT", "MARKER", "path", "record", "tried"]

FORMAT = "dampinglab progress 1"
MARKER = "DAMPINGLAB_MARKING_FOLDER"

# Records that could not be written yet; they go first at the next answer.
_waiting: list[dict[str, object]] = []


def path() -> Path:
    """Return the progress file: in the workbook, or a throw-away one in marking mode.

    Whoever marks may name the folder of the throw-away file, to read the verdicts in it.
    """
    if marking.active():
        return Path(os.environ.get(MARKER) or _throw_away().name) / "progress.jsonl"
    return Path(os.environ.get("DAMPINGLAB_WORKBOOK") or Path.cwd()) / "progress.jsonl"


@cache
def _throw_away() -> tempfile.TemporaryDirectory:
    return tempfile.TemporaryDirectory(prefix="dampinglab-marking-")


def record(exercise: str, outcome: str, slip: str, raw: object, seed: int | None) -> str:
    """Record one answer; return a sentence if that must wait, and never stop the learner."""
    _waiting.append(_entry(exercise, outcome, slip, raw, seed))
    try:
        while _waiting:
            journal.append(path(), _waiting[0])
            _waiting.pop(0)
    except (LearnerError, OSError) as problem:
        return _not_yet(len(_waiting), problem)
    return ""


def _not_yet(count: int, problem: Exception) -> str:
    """Return what waits in this kernel and would be lost with it, and why."""
    which = "your answer was" if count == 1 else f"your last {count} answers were"
    wait = "waits" if count == 1 else "wait"
    return (
        f"Do not restart or shut down this notebook: {which} checked but not recorded yet, and "
        f"{wait} in it for the next answer. {problem}"
    )


def _entry(
    exercise: str, outcome: str, slip: str, raw: object, seed: int | None
) -> dict[str, object]:
    return {
        "format": FORMAT,
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
        "exercise": exercise,
        "outcome": outcome,
        "slip": slip,
        "raw": (raw if isinstance(raw, str) else repr(raw))[:200],
        "seed": seed,
        "course": __version__,
    }


def tried(exercise: str) -> bool:
    """Whether the learner has answered this exercise before."""
    try:
        records, _ = journal.read(path())
    except OSError:
        records = []
    return any(found.get("exercise") == exercise for found in [*records, *_waiting])
