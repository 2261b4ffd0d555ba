"""A test day as its file tells it: every record read back, checked, and put in words."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import shorten
from typing import Any

from dampinglab import journal
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.corners import (
    Clicks,
    checked_clicks,
    checked_totals,
    pair,
    setting_words,
    side_faults,
    whole,
)
from dampinglab.workshop.method import Method, number, text
from dampinglab.workshop.text import quoted

__all__ = ["FORMAT", "Day", "Entry", "build", "history", "values"]

FORMAT = "dampinglab trials 1"

Values = Mapping[str, tuple[float, ...]]
"""Ratings or scores by name, a value for each pass."""

_RATING = (1, 10)  # 10 is best
_SCORE = (-1e12, 1e12)
_LAST = 10**9  # records: no day has as many
_LINE = 80  # letters in a list
_LOST = 1000  # lines that may have been lost before a record: its number is no higher than that


@dataclass(frozen=True)
class Entry:
    """One record of a test day.

    Parameters
    ----------
    number : int
        Its number in the file, from 1.
    kind : str
        "as found", "change", "alike", "undo", "drive" or "scores".
    when : str
        Date and time, as written by the clock of the machine.
    setting : dict
        Clicks out from closed after it, by corner and adjuster.
    words : str
        What was done, in one sentence.
    method : Method, optional
        How a drive was done.
    ratings, scores : mapping of str to tuple of float, optional
        What the driver said and what was measured, a value for each pass.
    """

    number: int
    kind: str
    when: str
    setting: Clicks
    words: str
    method: Method | None = None
    ratings: Values | None = None
    scores: Values | None = None

    @property
    def short(self) -> str:
        """The record as a line of a list: its number and what was done, cut between words.

        Returns
        -------
        str
            Such as "3. Back to the setting of record 1".
        """
        done = re.split(r"(?<=\w)[:.] |\.$", self.words)[0]
        return shorten(f"{self.number}. {done}", _LINE, placeholder=" …")


@dataclass(frozen=True)
class Day:
    """A test day.

    Parameters
    ----------
    path : Path
        Its file.
    vehicle : str
        Which vehicle.
    totals : dict
        How many clicks each adjuster has, by corner.
    entries : tuple of Entry
        The records, the oldest first.
    complaints : tuple of str
        A sentence for each line of the file that could not be read.
    """

    path: Path
    vehicle: str
    totals: Clicks
    entries: tuple[Entry, ...]
    complaints: tuple[str, ...] = ()

    @property
    def setting(self) -> Clicks:
        """The setting as it stands now.

        Returns
        -------
        dict
            Clicks out from closed, by corner and adjuster.
        """
        return self.entries[-1].setting

    @property
    def faults(self) -> tuple[str, ...]:
        """Differences between left and right that stand now.

        Returns
        -------
        tuple of str
            Whole sentences; none when the sides agree.
        """
        return side_faults(self.setting, self.totals)

    @property
    def pair_to_compare(self) -> tuple[int, int] | None:
        """The last two settings that were driven.

        Returns
        -------
        tuple of int or None
            Numbers of a drive at A and one at B; A is the one that was driven again, or else the
            earlier one. None where fewer than two settings were driven.
        """
        drives = [entry for entry in self.entries if entry.kind == "drive"]
        others = [each for each in drives if each.setting != drives[-1].setting]
        if not others:
            return None
        b, alike = others[-1].number, [each for each in drives if each not in others]
        before = [each.number for each in alike if each.number < b]
        return (before[-1], b) if before else (b, drives[-1].number)

    def entry(self, wanted: object) -> Entry:
        """Return one record by its number.

        Parameters
        ----------
        wanted : int
            The number that `history` shows.

        Returns
        -------
        Entry
            The record.

        Raises
        ------
        LearnerError
            If there is none.
        """
        asked = whole(wanted, "The number of the record", 1, _LAST)
        for entry in self.entries:
            if entry.number == asked:
                return entry
        last = self.entries[-1].number
        raise LearnerError(f"There is no record {asked} on this day; the last one is {last}.")


def history(path: str | Path) -> Day:
    """Read a test day.

    Parameters
    ----------
    path : str or Path
        The file, usually trials.jsonl.

    Returns
    -------
    Day
        All that can be read, and a sentence for each line that cannot.

    Raises
    ------
    FileProblem
        If there is no such day, or it cannot be read at all.
    """
    path = Path(path)
    try:
        records, complaints = journal.read(path)
    except (OSError, ValueError):
        mend = "check the name, and who may read it"
        raise FileProblem(path, "it cannot be opened", mend) from None
    return build(path, records, complaints)


def build(path: Path, records: list[dict[str, Any]], complaints: list[str]) -> Day:
    """Return the day that records tell of.

    Parameters
    ----------
    path : Path
        Their file.
    records : list of dict
        As `journal.read` returns them.
    complaints : list of str
        What could not be read so far.

    Returns
    -------
    Day
        The records that make sense; each of the others gets a complaint.

    Raises
    ------
    FileProblem
        If there is none, the first cannot be used, or a newer version wrote one.
    """
    if not records:
        raise FileProblem(path, "there is no test day in it", "start one with begin(...)")
    _check_format(path, records)
    vehicle, totals, first = _first(path, records[0])
    entries, said = [first], list(complaints)
    for place, record in enumerate(records[1:], start=2):
        try:
            _add(entries, record, totals, place + _LOST)
        except LearnerError as problem:
            said.append(f"{path.name}, record {place} is left out. {problem}")
    return Day(path, vehicle, totals, tuple(entries), tuple(said))


def values(written: object, what: str, passes: int | None) -> Values | None:
    """Return ratings or scores in one form.

    Parameters
    ----------
    written : mapping or None
        By name: a number, or a number for each pass.
    what : str
        "rating" or "score".
    passes : int or None
        How many passes were driven.

    Returns
    -------
    mapping of str to tuple of float or None
        None for none.

    Raises
    ------
    LearnerError
        If one is no number, lies outside its scale, or does not fit the passes.
    """
    if not written:
        return None
    if not isinstance(written, Mapping):
        raise LearnerError(f"Give each {what} by name, as in {{'body control': [6, 6, 7]}}.")
    limits = _RATING if what == "rating" else _SCORE
    found = {}
    for written_name, value in written.items():
        name = text(written_name, f"The name of a {what}", 80)
        each = list(value) if isinstance(value, list | tuple) else _listed(value)
        if len(each) not in (1, passes or len(each)) or not each:
            many = f"{len(each)} value{'s' * (len(each) != 1)}"
            raise LearnerError(f"{name!r} has {many} for {passes} passes; give one a pass.")
        label = f"The {what} {name!r}"
        found[name] = tuple(number(one, label, *limits) for one in each)
    return found


def _listed(value: Any) -> list[Any]:
    """Return a lone number as a list of one, and an array as its numbers."""
    made = value.tolist() if hasattr(value, "tolist") else value
    return made if isinstance(made, list) else [made]


def _check_format(path: Path, records: list[dict[str, Any]]) -> None:
    name, _, mine = FORMAT.rpartition(" ")
    for record in records:
        kind, _, version = str(record.get("format")).rpartition(" ")
        if kind == name and version.isdecimal() and int(version[:9]) > int(mine):
            what = "a newer version of dampinglab wrote this file"
            raise FileProblem(path, what, "install the newer version, or use another file")
    if records[0].get("format") != FORMAT or records[0].get("kind") != "as found":
        what = "it does not begin with the dampers as found"
        raise FileProblem(path, what, "name the file of a test day, or start a new one")


def _first(path: Path, record: dict[str, Any]) -> tuple[str, Clicks, Entry]:
    """Return the vehicle, its total clicks and how it was found."""
    try:
        whole(record.get("number"), "Its number", 1, 1)
        totals = checked_totals(record.get("totals"))
        vehicle = text(record.get("vehicle"), "The vehicle")
        return vehicle, totals, _entry(record, totals, None, "as found")
    except LearnerError as problem:
        what = f"its first record cannot be used: {str(problem).rstrip('.')}"
        raise FileProblem(path, what, "start a new file and keep this one") from None


def _add(entries: list[Entry], record: dict[str, Any], totals: Clicks, highest: int) -> None:
    """Take in one more record; scores go to their drive as well."""
    if record.get("format") != FORMAT:
        raise LearnerError("It belongs to another kind of file.")
    whole(record.get("number"), "Its number", entries[-1].number + 1, highest)
    entry = _entry(record, totals, entries[-1], str(record.get("kind")))
    if entry.kind == "scores":
        places = [
            i for i, e in enumerate(entries) if (e.number, e.kind) == (record["drive"], "drive")
        ]
        if not places:
            raise LearnerError(f"There is no drive {quoted(record['drive'])}.")
        driven = entries[places[0]]
        entries[places[0]] = replace(driven, scores={**(driven.scores or {}), **entry.scores})
    entries.append(entry)


def _entry(record: dict[str, Any], totals: Clicks, last: Entry | None, kind: str) -> Entry:
    """Return a record as an entry, or say why it is none."""
    if kind not in _TOLD or (kind == "as found") != (last is None):
        raise LearnerError(f"{quoted(kind)} is not a kind of record that may stand here.")
    place = whole(record.get("number"), "Its number", 1, _LAST)
    setting = last.setting if kind == "scores" else checked_clicks(record.get("setting"), totals)
    when = text(record.get("when"), "Its time", 80)
    entry = Entry(place, kind, when, setting, "")
    if kind in ("drive", "scores"):
        entry = _driven(entry, record)
    return replace(entry, words=_TOLD[kind](record, entry))


def _driven(entry: Entry, record: dict[str, Any]) -> Entry:
    method = Method.of(record.get("method", {})) if entry.kind == "drive" else None
    passes = method.passes if method else None
    scores = values(record.get("scores"), "score", passes)
    if entry.kind == "scores" and not scores:
        raise LearnerError("It holds no score.")
    ratings = values(record.get("ratings"), "rating", passes)
    return replace(entry, method=method, ratings=ratings, scores=scores)


def _turned(record: dict[str, Any], entry: Entry) -> str:
    """Return the words of a change: how far, which way, and where it stands now."""
    where, stands = _adjuster(record, entry)
    by = whole(record.get("clicks_by"), "The change", -_LAST, _LAST)
    step = f"{abs(by)} click{'s' * (abs(by) != 1)} {'out, softer' if by > 0 else 'in, firmer'}"
    return f"{where} {step}, both sides: now {stands} out from closed."


def _alike(record: dict[str, Any], entry: Entry) -> str:
    where, stands = _adjuster(record, entry)
    found = text(record.get("found"), "What was found")
    return f"{where}, both sides set to {stands} out from closed. Found: {found}"


def _adjuster(record: dict[str, Any], entry: Entry) -> tuple[str, int]:
    """Return the axle and adjuster that were turned, and where both sides stand."""
    axle, name = record.get("axle"), record.get("adjuster")
    stands = [entry.setting[side].get(str(name)) for side in pair(axle)]
    if stands[0] is None or stands[0] != stands[1]:
        raise LearnerError(f"{quoted(name)} does not stand alike on both sides of {axle}.")
    return f"{axle.capitalize()} {name}", stands[0]


def _undone(record: dict[str, Any], entry: Entry) -> str:
    to = whole(record.get("to"), "The record to go back to", 1, entry.number - 1)
    return f"Back to the setting of record {to}: {setting_words(entry.setting)}."


def _drove(record: dict[str, Any], entry: Entry) -> str:
    """Return the words of a drive."""
    method = entry.method
    rated = [f"{name} {_mean(each)}" for name, each in (entry.ratings or {}).items()]
    told = f"rated {', '.join(rated)} of {_RATING[1]}" if rated else "not rated"
    who = f" by {method.driver}" if method.driver else ""
    where = f" on {method.route}" if method.route else ""
    many = f", {method.passes} pass{'es' * (method.passes != 1)}" if method.passes else ""
    return f"Driven{who}{where}{many}: {told}."


def _mean(each: tuple[float, ...]) -> str:
    return f"{sum(each) / len(each):.3g}"


def _scored(record: dict[str, Any], entry: Entry) -> str:
    drive = whole(record.get("drive"), "The drive", 1, entry.number - 1)
    scores = [f"{name} {_mean(each)}" for name, each in entry.scores.items()]
    return f"Measured in drive {drive}: {', '.join(scores)}."


_TOLD = {
    "as found": lambda record, entry: f"As found: {setting_words(entry.setting)}.",
    "change": _turned,
    "alike": _alike,
    "undo": _undone,
    "drive": _drove,
    "scores": _scored,
}
