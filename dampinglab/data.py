"""Where the shipped lessons and data lie, installed or in a checkout."""

from pathlib import Path

from dampinglab.errors import LearnerError

__all__ = ["dataset", "folder"]

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Return the folder "lessons" or "datasets" of this installation."""
    packed = _PACKAGE / "_course" / name
    return packed if packed.is_dir() else _PACKAGE.parent / name


def dataset(relative: str) -> Path:
    """Return the path of a shipped data file, named relative to the datasets folder."""
    root = folder("datasets")
    path = root / relative
    if not path.is_file():
        known = sorted(p.relative_to(root).as_posix() for p in root.rglob("*.*") if p.is_file())
        raise LearnerError(f"There is no data file {relative!r}; there are {', '.join(known)}.")
    return path
