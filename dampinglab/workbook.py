"""The learner's own copy of the course: filled, kept up to date, never overwritten."""

import hashlib
import json
import os
from dataclasses import dataclass, field
from pathlib import Path

from dampinglab import data
from dampinglab.errors import FileProblem, LearnerError

__all__ = ["Changes", "default_folder", "describe", "find_lesson", "refresh", "shipped_files"]

RECORD = ".dampinglab-shipped.json"
FORMAT = "dampinglab workbook 1"
# Not for a learner: the instructor's pages hold the answer key, scripts make the data anew.
LEFT_OUT = ("instructor", "__pycache__")


@dataclass(frozen=True)
class Changes:
    """What one refresh did to each file, by its name in the workbook."""

    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    outdated: list[str] = field(default_factory=list)


def default_folder() -> Path:
    """Return where the workbook goes when the learner names no folder."""
    return Path.home() / "dampinglab-workbook"


def shipped_files() -> dict[str, Path]:
    """Return every file that goes into a workbook, keyed by its place in it."""
    lessons, datasets = data.folder("lessons"), data.folder("datasets")
    found = {path.relative_to(lessons): path for path in lessons.rglob("*")}
    found |= {Path("demo") / path.relative_to(datasets): path for path in datasets.rglob("*")}
    return {
        place.as_posix(): path
        for place, path in sorted(found.items())
        if path.is_file() and path.suffix != ".py" and not _left_out(place)
    }


def find_lesson(number: str) -> str:
    """Return the file name of the lesson with this number, such as "00" or "2"."""
    lessons = [name for name in shipped_files() if name.endswith(".ipynb") and "/" not in name]
    wanted = [name for name in lessons if name[:2] == number.strip().zfill(2)]
    if not wanted:
        known = ", ".join(name[:2] for name in lessons)
        raise LearnerError(f"There is no lesson {number!r}; there are {known}.")
    return wanted[0]


def refresh(folder: Path) -> Changes:
    """Bring the workbook up to date and leave everything alone that the learner changed."""
    record, changes = _read_record(folder), Changes()
    try:
        for name, source in shipped_files().items():
            record[name] = _refresh_one(name, source, folder / name, record.get(name), changes)
        _replace(folder / RECORD, _written({"format": FORMAT, "files": record}))
    except OSError as problem:
        raise LearnerError(
            f"The workbook folder {folder} cannot be written ({problem.strerror}); "
            "name another one with --folder."
        ) from None
    return changes


def describe(changes: Changes) -> list[str]:
    """Return one sentence for each kind of change, in the order a learner wants them."""
    told = (
        (changes.new, "New in your workbook: {}."),
        (changes.updated, "Replaced by a newer one, since you had not changed it: {}."),
        (changes.kept, "Kept as you changed it: {}."),
        (
            changes.outdated,
            "Kept as you changed it, though a newer one is there: {}. "
            "To get the newer one, give yours another name and start again.",
        ),
    )
    return [sentence.format(_listed(names)) for names, sentence in told if names]


def _listed(names: list[str]) -> str:
    """Name a few files, count many."""
    lessons = [name for name in names if name.endswith(".ipynb")]
    others = len(names) - len(lessons)
    if not lessons or len(names) <= 3:
        return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
    tail = f" and {others} other file{'s' if others > 1 else ''}" if others else ""
    return ", ".join(lessons) + tail


def _left_out(place: Path) -> bool:
    """Tell whether any part of the place is hidden or not for a learner."""
    return any(part.startswith(".") or part in LEFT_OUT for part in place.parts)


def _refresh_one(name: str, source: Path, target: Path, base: str | None, told: Changes) -> str:
    """Bring one file up to date; return the fingerprint that the learner's copy started from."""
    shipped = _fingerprint(source)
    if not target.exists():
        told.new.append(name)
    elif (theirs := _fingerprint(target)) == shipped:
        return shipped
    elif theirs == base:
        told.updated.append(name)
    else:
        (told.kept if base == shipped else told.outdated).append(name)
        return base or ""
    target.parent.mkdir(parents=True, exist_ok=True)
    _replace(target, source.read_bytes())
    return shipped


def _fingerprint(path: Path) -> str:
    """Return a digest of what a person wrote in the file.

    Of a notebook only the cells' sources count: running it changes outputs and counters, and
    running its last cell adds an empty one.
    """
    raw = path.read_bytes()
    if path.suffix == ".ipynb":
        try:
            cells = json.loads(raw)["cells"]
            told = [(cell["cell_type"], "".join(cell["source"])) for cell in cells]
            raw = json.dumps([pair for pair in told if pair[1].strip()]).encode()
        except (ValueError, KeyError, TypeError):
            pass  # not a notebook any more: then every byte is the learner's
    return hashlib.sha256(raw).hexdigest()


def _read_record(folder: Path) -> dict[str, str]:
    """Return what was copied before; a record that is lost or torn counts as none."""
    path = folder / RECORD
    try:
        record = json.loads(path.read_bytes())
        known, files = record["format"], dict(record["files"])
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    if known != FORMAT:
        raise FileProblem(
            path,
            f"this workbook was last opened by another version of the course ({known})",
            "update the course, or name another folder with --folder",
        )
    return files


def _written(record: dict) -> bytes:
    """Return the record as the text of its file."""
    return (json.dumps(record, indent=1) + "\n").encode()


def _replace(path: Path, content: bytes) -> None:
    """Write the whole file or nothing of it, so that a power cut never leaves half a lesson."""
    beside = path.with_name(path.name + ".part")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with beside.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError:
        if beside.is_file():
            beside.unlink(missing_ok=True)
        raise
