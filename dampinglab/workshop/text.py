"""Read plain text as learners save it, and the names that they write in it."""

import re
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from dampinglab.errors import FileProblem
from dampinglab.units import canonical

__all__ = ["ADJUSTERS", "adjuster_name", "nearest", "plain", "quoted", "read_text", "split_unit"]

_BRACKETED = re.compile(r"(?P<name>[^\[(]*)[\[(](?P<unit>[^\])]*)[\])]\s*")


def plain(name: str) -> str:
    """Return a name as all its spellings share it: small letters, single spaces.

    Parameters
    ----------
    name : str
        A heading, key or adjuster as somebody wrote it.

    Returns
    -------
    str
        "Low-speed_Bump" and "low speed bump" both become "low speed bump".
    """
    return " ".join(re.sub(r"[-_\s]+", " ", name).lower().split())


def quoted(text: object) -> str:
    """Return something of the learner's in quotes, cut when it is too long for a sentence.

    Parameters
    ----------
    text : object
        What was written.

    Returns
    -------
    str
        At most some fifty characters.
    """
    shown = repr(text)
    return shown if len(shown) <= 50 else f"{shown[:48]}…{shown[-1]}"


ADJUSTERS = ("low-speed bump", "high-speed bump", "bump", "rebound", "bump and rebound")
"""The adjusters that a damper may have, spelled out, in the order in which settings list them."""


def adjuster_name(written: str) -> str | None:
    """Return an adjuster's name as the course spells it, or None.

    Parameters
    ----------
    written : str
        As somebody wrote it, such as "Low speed bump" or "high_speed_bump".

    Returns
    -------
    str or None
        One of `ADJUSTERS`.
    """
    return next((name for name in ADJUSTERS if plain(name) == plain(written)), None)


def nearest(name: str, known: Iterable[str]) -> str:
    """Return words that offer the nearest known name, or list all of them.

    Parameters
    ----------
    name : str
        What was written.
    known : iterable of str
        What could have been meant.

    Returns
    -------
    str
        "perhaps you meant 'rebound'" or "use one of …".
    """
    names = list(known)
    close = get_close_matches(plain(name), [plain(each) for each in names], 1, 0.6)
    if close:
        return f"perhaps you meant {next(each for each in names if plain(each) == close[0])!r}"
    return f"use one of {', '.join(names)}"


def read_text(path: str | Path) -> str:
    """Return a text file with line ends and byte-order mark levelled out.

    Parameters
    ----------
    path : str or Path
        The file: UTF-8, UTF-16 with its mark, or Latin-1.

    Returns
    -------
    str
        Its text, with single line feeds at the ends of lines.

    Raises
    ------
    FileProblem
        If it is missing, a folder, empty, unreadable or no text.
    """
    path = Path(path)
    try:
        raw = path.read_bytes()
    except (OSError, ValueError) as problem:
        raise _unreadable(path, problem) from None
    utf16 = raw[:2] in (b"\xff\xfe", b"\xfe\xff")
    if (b"\0" in raw and not utf16) or raw[:2] == b"PK":
        raise FileProblem(path, "it is not plain text", "save the sheet as CSV or text first")
    text = _decoded(raw, "utf-16" if utf16 else "utf-8-sig")
    if not text.strip():
        raise FileProblem(path, "the file is empty", "check that it was saved, or name another")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _decoded(raw: bytes, encoding: str) -> str:
    try:
        return raw.decode(encoding)
    except UnicodeDecodeError:
        return raw.decode("latin-1")  # what old machines write: ° and ² still come out right


def _unreadable(path: Path, problem: Exception) -> FileProblem:
    """Say why a file could not be opened, and what to try."""
    if isinstance(problem, IsADirectoryError) or path.name in ("", "."):
        return FileProblem(path, "this is a folder", "name a file inside it")
    if isinstance(problem, FileNotFoundError):
        folder = path.parent if path.parent.is_dir() else Path()
        names = [each.name for each in sorted(folder.iterdir()) if each.is_file()]
        close = get_close_matches(path.name, names, 1, 0.8)
        mend = f"perhaps you meant {close[0]!r}" if close else "check the name and the folder"
        return FileProblem(path, "there is no such file", mend)
    if isinstance(problem, PermissionError) and path.is_dir():  # as Windows reports a folder
        return FileProblem(path, "this is a folder", "name a file inside it")
    return FileProblem(path, "it cannot be opened", "close it elsewhere, or check who may read it")


def split_unit(heading: str) -> tuple[str, str | None]:
    """Split a heading or key into its name and its unit.

    Parameters
    ----------
    heading : str
        "shaft speed [mm/s]", "shaft speed (mm/s)" or "shaft_speed_mm_per_s".

    Returns
    -------
    name : str
        As `plain` spells it.
    unit : str or None
        The unit's symbol; empty when there is none; None when it is bracketed and unknown.
    """
    bracketed = _BRACKETED.fullmatch(heading.strip())
    if bracketed:
        return plain(bracketed["name"]), canonical(bracketed["unit"])
    parts = heading.strip().split("_")
    for start in range(1, len(parts)):  # the longest tail that is a unit: m_per_s before s
        unit = canonical("_".join(parts[start:]))
        if unit:
            return plain("_".join(parts[:start])), unit
    return plain(heading), ""
