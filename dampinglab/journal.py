"""The learner's own files: lines added or a whole file replaced so that no failure loses anything.

Each record begins with the field "format", a name and a number such as "dampinglab progress 1". A
file with a higher number was written by a newer version and is never written to by this one.
"""

import json
import os
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from dampinglab.errors import FileProblem

try:
    import fcntl
except ImportError:  # Windows locks a byte of the file in place of the file
    import msvcrt

    def _lock(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)

else:

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


__all__ = ["append", "keep", "read", "replace"]

PATIENCE = 10.0  # s, for another notebook to finish its line
PAUSE = 0.01  # s
_NAMES = 999  # files of one name


Record = Mapping[str, Any]


def append(path: str | Path, record: Record | Callable[[list[dict[str, Any]]], Record]) -> None:
    """Add one record as a line of its own, safely beside other processes, or leave the file alone.

    A record that depends on those before it is given as a function of them, called while no other
    process can write.

    Raises
    ------
    FileProblem
        If the line cannot be written, or the file belongs to a newer version.
    """
    path = Path(path)
    with _explained(path), _locked(path):
        found, _ = read(path)
        made = record(found) if callable(record) else record
        line = json.dumps(made, ensure_ascii=False, allow_nan=False).encode() + b"\n"
        _refuse_newer(path, found, made)
        _write_line(path, line)


def read(path: str | Path) -> tuple[list[dict[str, Any]], list[str]]:
    """Return the records of a file, and one sentence for each line that is no record."""
    path = Path(path)
    if not path.exists():
        return [], []
    *whole, last = path.read_bytes().split(b"\n")
    records, complaints = [], []
    for row, line in enumerate([*whole, last], start=1):
        record = _record(line)
        if record is not None:
            records.append(record)
        elif line.strip():
            complaints.append(f"{path.name}, row {row}: this line was cut off and is left out.")
    return records, complaints


def replace(path: str | Path, text: str) -> None:
    """Give a file a new text all at once: at any moment it holds the old one or the new one.

    Raises
    ------
    FileProblem
        If the text cannot be written, or the file belongs to a newer version.
    """
    path = Path(path).resolve()
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    with _explained(path):
        if path.exists():
            _refuse_newer(path, [_record(path.read_bytes()) or {}], _record(text.encode()) or {})
        try:
            with part.open("wb", buffering=0) as file:
                _write_all(file.fileno(), text.encode())
            os.replace(part, path)  # noqa: PTH105  (the one call that every system makes atomic)
        except OSError:
            with suppress(OSError):
                part.unlink()
            raise
        _sync_folder(path.parent)


def keep(path: str | Path, data: bytes) -> Path:
    """Write a new file and return its path; a file that is there is never written over.

    If the name is taken by the same bytes, that file is the one; if by others, "-2" and so on is
    put behind the name.

    Raises
    ------
    FileProblem
        If it cannot be written; what was half written is taken away.
    """
    path = Path(path)
    with _explained(path):
        for number in range(1, _NAMES + 1):
            place = path if number == 1 else path.with_stem(f"{path.stem}-{number}")
            try:
                with place.open("xb", buffering=0) as file:
                    _keep_all(place, file.fileno(), data)
                _sync_folder(place.parent)
            except FileExistsError:
                if not place.is_file() or place.read_bytes() != data:
                    continue
            return place
    raise FileProblem(path, f"{_NAMES} files have this name already", "name another file")


def _keep_all(place: Path, descriptor: int, data: bytes) -> None:
    try:
        _write_all(descriptor, data)
    except OSError:
        with suppress(OSError):
            place.unlink()
        raise


def _record(line: bytes) -> dict[str, Any] | None:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):  # the second for brackets without end
        return None
    return found if isinstance(found, dict) else None


def _write_line(path: Path, line: bytes) -> None:
    """Write behind the end; a torn last line is closed first, and a failure is taken back."""
    with path.open("a+b", buffering=0) as file:
        end = file.seek(0, os.SEEK_END)
        if end:
            file.seek(end - 1)
            torn = file.read(1) != b"\n"
            line = b"\n" + line if torn else line
        try:
            _write_all(file.fileno(), line)
        except OSError:
            with suppress(OSError):
                os.ftruncate(file.fileno(), end)
            raise
    if not end:
        _sync_folder(path.parent)


def _write_all(descriptor: int, data: bytes) -> None:
    while data:
        data = data[os.write(descriptor, data) :]
    os.fsync(descriptor)


def _sync_folder(folder: Path) -> None:
    """Make a new name last through a power cut, where the system can."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Hold the lock file beside a file; closing it gives the lock back, also after a crash."""
    with path.with_name(f".{path.name}.lock").open("ab") as lock:
        for _ in range(round(PATIENCE / PAUSE)):
            try:
                _lock(lock.fileno())
                break
            except (BlockingIOError, PermissionError):
                time.sleep(PAUSE)
        else:
            raise FileProblem(path, "another program holds this file", "close it and try again")
        yield


@contextmanager
def _explained(path: Path) -> Iterator[None]:
    """Turn a refusal of the system into one sentence."""
    try:
        yield
    except OSError as error:
        what = f"it could not be written ({error.strerror or error})"
        mend = "make room on the disk or use a folder that you may write to"
        raise FileProblem(path, what, mend) from None


def _refuse_newer(path: Path, found: list[dict[str, Any]], record: Mapping[str, Any]) -> None:
    name, number = _format(record)
    if any(kind == name and newer > number for kind, newer in map(_format, found)):
        what = "a newer version of dampinglab wrote this file, so nothing was written"
        raise FileProblem(path, what, "install the newer version or use another folder")


def _format(record: Mapping[str, Any]) -> tuple[str, int]:
    name, _, number = str(record.get("format", "")).rpartition(" ")
    return name, int(number[:9]) if number.isdecimal() else 0
