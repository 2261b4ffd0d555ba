"""The working tool's own file: every box as it was left, written whole on each change."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from dampinglab import journal
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.method import text

__all__ = ["FORMAT", "Kept", "read_own", "save_own"]

FORMAT = "dampinglab own 1"

_LARGEST = 2_000_000  # bytes: no sheet is as large
_BACK = timedelta(minutes=10)  # how far a clock may go back before it is said


@dataclass(frozen=True)
class Kept:
    """What the file held.

    Parameters
    ----------
    written : dict of str to str
        The text of every box by its name, as it was typed.
    told : tuple of str
        Whole sentences on what a person should know: parts lost, a clock gone back.
    """

    written: dict[str, str]
    told: tuple[str, ...] = ()


def read_own(path: str | Path) -> Kept:
    """Read the tool's file; a damaged one is copied aside first, whole.

    Parameters
    ----------
    path : str or Path
        The file, usually own.json; none yet is an empty one.

    Returns
    -------
    Kept
        All that can be read.

    Raises
    ------
    FileProblem
        If it cannot be opened, is far too large, was written by a newer version, or cannot be
        kept aside.
    """
    path = Path(path)
    raw = _bytes(path)
    if raw is None:
        return Kept({})
    found = _record(raw)
    _refuse_newer(path, found)
    whole = found.get("format") == FORMAT and isinstance(found.get("written"), dict)
    boxes = found["written"] if whole else {}
    good = {name: value for name, value in boxes.items() if _fit(name) and _fit(value)}
    told = _clock(found.get("when"))
    if not whole or len(good) < len(boxes):
        aside = journal.keep(path.with_stem(f"{path.stem}-damaged"), raw)
        lost = "parts of it" if whole else "it"
        told += (f"{path.name}: {lost} could not be read; all of it is kept as {aside.name}.",)
    return Kept(good, told)


def save_own(path: str | Path, changes: Mapping[str, str]) -> Kept:
    """Write changed boxes, beside whatever another notebook has written in the meantime.

    Parameters
    ----------
    path : str or Path
        The file; its folder is made if it is not there.
    changes : mapping of str to str
        New text by box; an empty text empties it.

    Returns
    -------
    Kept
        What the file holds now.

    Raises
    ------
    LearnerError
        If it cannot be written; then it holds what it held.
    """
    path = Path(path)
    fresh = {
        text(name, "A box's name"): text(value, "This text") for name, value in changes.items()
    }
    _make_folder(path)
    kept = read_own(path)
    boxes = {name: value for name, value in {**kept.written, **fresh}.items() if value}
    when = datetime.now(UTC).isoformat(timespec="seconds")
    record = {"format": FORMAT, "when": when, "written": boxes}
    journal.replace(path, json.dumps(record, ensure_ascii=False, indent=1) + "\n")
    return Kept(boxes, kept.told)


def _bytes(path: Path) -> bytes | None:
    """Return what the file holds; None where there is none."""
    try:
        if path.stat().st_size <= _LARGEST:
            return path.read_bytes()
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as problem:
        what = f"it cannot be opened ({getattr(problem, 'strerror', None) or problem})"
        raise FileProblem(path, what, "check the folder, and who may read it") from None
    raise FileProblem(path, "it is far too large for this tool", "give it another name")


def _record(raw: bytes) -> dict[str, Any]:
    try:
        found = json.loads(raw)
    except (ValueError, RecursionError):  # the second for brackets without end
        return {}
    return found if isinstance(found, dict) else {}


def _refuse_newer(path: Path, found: dict[str, Any]) -> None:
    name, _, mine = FORMAT.rpartition(" ")
    kind, _, version = str(found.get("format")).rpartition(" ")
    if kind == name and version.isdecimal() and int(version[:9]) > int(mine):
        what = "a newer version of dampinglab wrote this file, so nothing is written to it"
        raise FileProblem(path, what, "install the newer version, or use another folder")


def _fit(value: object) -> bool:
    """Tell whether a text can be shown and written again."""
    try:
        return bool(text(value, "It"))
    except LearnerError:
        return False


def _clock(when: object) -> tuple[str, ...]:
    """Return the sentence on a clock that has gone back since the last save."""
    try:
        last = datetime.fromisoformat(str(when))
        back = last - datetime.now(UTC) > _BACK
    except (ValueError, TypeError, OverflowError):  # the second for a time without its zone
        return ()
    if not back:
        return ()
    day = f"{last:%d %B %Y, %H:%M}".lstrip("0")
    words = "set it right before anything is dated; records keep their order by their numbers"
    return (f"This machine's clock stands before the last save ({day} UTC): {words}.",)


def _make_folder(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        what = f"its folder cannot be made ({problem.strerror})"
        raise FileProblem(path, what, "use a folder that you may write to") from None
