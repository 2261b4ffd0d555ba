"""Trials: as found first, one change at a time, each driven; nothing is ever deleted.

One change is one adjuster turned by the same clicks on both dampers of one axle.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from dampinglab import journal
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.corners import Clicks, checked_clicks, checked_totals, pair, whole
from dampinglab.workshop.day import FORMAT, Day, Entry, build, history, values
from dampinglab.workshop.method import Method, text
from dampinglab.workshop.repeat import RULE, Item, judge
from dampinglab.workshop.text import adjuster_name, nearest

__all__ = [
    "Comparison",
    "add_scores",
    "begin",
    "change",
    "compare",
    "drive",
    "history",
    "set_alike",
    "setting_now",
    "undo",
]

RATING_STEP = 1.0
"""The least step of a rating that a driver can repeat: an assumption of this course."""


@dataclass(frozen=True)
class Comparison:
    """Two settings compared.

    Parameters
    ----------
    first, second : int
        The drives at A and at B.
    again : int or None
        The drive at A on the other side of B; None when there is none.
    verdict : str
        "void", "not confirmed", "a difference" or "no difference".
    items : tuple of Item
        Each rating and score that all the drives have.
    words : tuple of str
        Whole sentences: the verdict with its reason, each item, the cautions, the rule.
    """

    first: int
    second: int
    again: int | None
    verdict: str
    items: tuple[Item, ...]
    words: tuple[str, ...]


def begin(
    path: str | Path,
    vehicle: str,
    dampers: Mapping[str, Mapping[str, int]],
    as_found: Mapping[str, Mapping[str, int]],
) -> Day:
    """Start a test day with all four dampers as they were found.

    Parameters
    ----------
    path : str or Path
        The file to start, usually trials.jsonl.
    vehicle : str
        Which vehicle.
    dampers : mapping
        By corner ("front left" and so on), how many clicks each adjuster has in all; ``{}`` for a
        damper that cannot be adjusted.
    as_found : mapping
        By corner, the clicks out from closed of each adjuster.

    Returns
    -------
    Day
        The day; `Day.faults` names every difference between left and right.

    Raises
    ------
    LearnerError
        If something is missing or impossible, or the file holds a day already.
    """
    totals = checked_totals(dampers)
    named = text(vehicle, "The vehicle")
    setting = checked_clicks(as_found, totals)

    def first(found: list[dict[str, Any]]) -> dict[str, Any]:
        if found:
            mend = "go on with it, or name another file"
            raise FileProblem(path, "there is something in this file already", mend)
        return _record(1, "as found", vehicle=named, totals=totals, setting=setting)

    journal.append(path, first)
    return history(path)


def change(
    path: str | Path, axle: str, adjuster: str, clicks_by: int, *, more: bool = False
) -> Entry:
    """Turn one adjuster by the same clicks on both dampers of an axle.

    Parameters
    ----------
    path : str or Path
        The test day.
    axle : str
        "front" or "rear".
    adjuster : str
        Such as "low-speed bump".
    clicks_by : int
        Clicks to turn: out (softer) is positive, in (firmer) negative.
    more : bool, optional
        Whether a second change before the next drive is meant.

    Returns
    -------
    Entry
        The change as recorded.

    Raises
    ------
    LearnerError
        If it is a second change, the sides differ, or the knob does not go as far.
    """
    pair(axle)
    by = whole(clicks_by, "The change in clicks", -200, 200)
    if not by:
        raise LearnerError("A change of no clicks is none; out is positive, in is negative.")

    def make(day: Day) -> dict[str, Any]:
        name = _adjuster(day, axle, adjuster)
        setting = _turned(day, axle, name, by)
        if not more:
            _check_single(day, setting)
        told = {"axle": axle, "adjuster": name, "clicks_by": by, "more": bool(more)}
        return {"kind": "change", **told, "setting": setting}

    return _add(path, make)


def set_alike(path: str | Path, axle: str, adjuster: str, clicks: int, found: str) -> Entry:
    """Set both dampers of an axle to the same clicks, once the reason for a difference is found.

    Parameters
    ----------
    path : str or Path
        The test day.
    axle : str
        "front" or "rear".
    adjuster : str
        Such as "rebound".
    clicks : int
        Clicks out from closed, for both.
    found : str
        What was found, such as "right knob had been turned by hand".

    Returns
    -------
    Entry
        The record.

    Raises
    ------
    LearnerError
        If the sides agree already, or the clicks are none that both knobs have.
    """
    sides = pair(axle)
    said = text(found, "What was found")

    def make(day: Day) -> dict[str, Any]:
        name = _adjuster(day, axle, adjuster)
        where = f"{axle.capitalize()} {name}"
        if len({day.setting[side][name] for side in sides}) == 1:
            raise LearnerError(f"{where} stands alike on both sides; turn it with change(...).")
        whole(clicks, where, 0, min(day.totals[side][name] for side in sides))
        setting = _with(day.setting, {side: {name: clicks} for side in sides})
        return {"kind": "alike", "axle": axle, "adjuster": name, "found": said, "setting": setting}

    return _add(path, make)


def drive(
    path: str | Path,
    method: Method | Mapping[str, Any],
    ratings: Mapping[str, Any] | None = None,
    scores: Mapping[str, Any] | None = None,
) -> Entry:
    """Record a drive at the setting as it stands.

    Parameters
    ----------
    path : str or Path
        The test day.
    method : Method or mapping
        How it was driven.
    ratings : mapping, optional
        By name, the driver's rating of each pass from 1 to 10, 10 the best, before seeing data.
    scores : mapping, optional
        By name with its unit, what was measured in each pass; may follow with `add_scores`.

    Returns
    -------
    Entry
        The drive as recorded; its method's cautions say what weakens it.

    Raises
    ------
    LearnerError
        If a value cannot be so.
    """
    driven = Method.of(method)
    told = {
        "method": driven.record(),
        "ratings": values(ratings, "rating", driven.passes) or {},
        "scores": values(scores, "score", driven.passes) or {},
    }
    return _add(path, lambda day: {"kind": "drive", **told, "setting": day.setting})


def add_scores(path: str | Path, drive: int, scores: Mapping[str, Any]) -> Entry:
    """Add what was measured in a drive after the driver has rated it.

    Parameters
    ----------
    path : str or Path
        The test day.
    drive : int
        Number of the drive's record.
    scores : mapping
        By name with its unit, a value for each pass.

    Returns
    -------
    Entry
        The record; the drive shows the scores from now on.

    Raises
    ------
    LearnerError
        If there is no such drive, or a score is no number.
    """

    def make(day: Day) -> dict[str, Any]:
        driven = _drive(day, drive)
        found = values(scores, "score", driven.method.passes)
        if not found:
            raise LearnerError("Give at least one score, as in {'peak in m/s²': [4.1, 4.3, 4.0]}.")
        return {"kind": "scores", "drive": driven.number, "scores": found}

    return _add(path, make)


def undo(path: str | Path, to: int) -> Entry:
    """Go back to the setting after any earlier record, as a new record.

    Parameters
    ----------
    path : str or Path
        The test day.
    to : int
        Number of that record; 1 is as found.

    Returns
    -------
    Entry
        The record; turn the knobs to its setting.

    Raises
    ------
    LearnerError
        If there is no such record, or its setting stands already.
    """

    def make(day: Day) -> dict[str, Any]:
        wanted = day.entry(to)
        if wanted.setting == day.setting:
            raise LearnerError(f"The setting of record {wanted.number} stands already.")
        return {"kind": "undo", "to": wanted.number, "setting": wanted.setting}

    return _add(path, make)


def setting_now(path: str | Path) -> Clicks:
    """Return the setting as it stands.

    Parameters
    ----------
    path : str or Path
        The test day.

    Returns
    -------
    dict of str to dict of str to int
        Clicks out from closed, by corner and adjuster.

    Raises
    ------
    FileProblem
        If there is no such day.
    """
    return history(path).setting


def compare(path: str | Path, first: int, second: int) -> Comparison:
    """Compare the settings of two drives, A and B, by the rule of `repeat`.

    A has to be driven on both sides of B, A-B-A: what changed between its two drives (heat, wind,
    the driver) would otherwise be taken for the work of the adjuster.

    Parameters
    ----------
    path : str or Path
        The test day.
    first, second : int
        Numbers of a drive at A and of the drive at B.

    Returns
    -------
    Comparison
        With words.

    Raises
    ------
    LearnerError
        If there are no such drives, or nothing in them can be compared.
    """
    day = history(path)
    one, two = _drive(day, first), _drive(day, second)
    if one.setting == two.setting:
        raise LearnerError(
            f"Drives {one.number} and {two.number} were at the same setting; name one at another."
        )
    again = _again(day, one, two)
    drives = [each for each in (one, two, again) if each]
    items = _items(drives)
    unlike = [words for each in drives[1:] for words in one.method.unlike(each.method)]
    verdict, reason = _verdict(items, again, list(dict.fromkeys(unlike)))
    words = (reason, *(item.words for item in items), *_cautions(drives), RULE)
    return Comparison(
        one.number, two.number, again.number if again else None, verdict, items, words
    )


def _add(path: str | Path, make: Callable[[Day], dict[str, Any]]) -> Entry:
    """Append a record made from the day as it stands while nobody else can write."""
    path, made = Path(path), []

    def record(found: list[dict[str, Any]]) -> dict[str, Any]:
        day = build(path, found, [])
        number = day.entries[-1].number + 1
        told = make(day)
        made.append(_record(number, told.pop("kind"), **told))
        return made[0]

    if not path.exists():  # not even the lock file of a day that never was
        history(path)
    journal.append(path, record)
    return history(path).entry(made[0]["number"])


def _record(number: int, kind: str, **told: Any) -> dict[str, Any]:
    when = datetime.now(UTC).isoformat(timespec="seconds")
    return {"format": FORMAT, "number": number, "when": when, "kind": kind, **told}


def _adjuster(day: Day, axle: str, written: str) -> str:
    """Return the adjuster that both dampers of an axle have."""
    left, right = (day.totals[side] for side in pair(axle))
    both = [name for name in left if name in right]
    name = adjuster_name(str(written))
    if name not in both:
        mend = nearest(str(written)[:40], both) if both else "nothing there can be adjusted"
        raise LearnerError(f"The {axle} dampers have no adjuster {str(written)[:40]!r}; {mend}.")
    return name


def _turned(day: Day, axle: str, name: str, by: int) -> Clicks:
    """Return the setting after a turn of both dampers, or say why they cannot be turned."""
    sides = pair(axle)
    where = f"{axle.capitalize()} {name}"
    stands = [day.setting[side][name] for side in sides]
    if stands[0] != stands[1]:
        raise LearnerError(
            f"{where} stands {stands[0]} clicks out on the left and {stands[1]} on the right; find "
            "out why, then set both alike with set_alike(...)."
        )
    most = min(day.totals[side][name] for side in sides)
    if not 0 <= stands[0] + by <= most:
        raise LearnerError(
            f"{where} stands {stands[0]} clicks out of {most}; it can be turned "
            f"{most - stands[0]} out or {stands[0]} in, not {abs(by)} {'out' if by > 0 else 'in'}."
        )
    return _with(day.setting, {side: {name: stands[0] + by} for side in sides})


def _with(setting: Clicks, turned: Clicks) -> Clicks:
    return {corner: {**clicks, **turned.get(corner, {})} for corner, clicks in setting.items()}


def _check_single(day: Day, setting: Clicks) -> None:
    """Refuse a setting more than one change away from the last one driven or gone back to."""
    settled = [entry for entry in day.entries if entry.kind not in ("change", "scores")][-1]
    moved = {
        (corner.partition(" ")[0], name)
        for corner, clicks in setting.items()
        for name, stands in clicks.items()
        if stands != settled.setting[corner][name]
    }
    if len(moved) > 1:
        names = " and ".join(f"{axle} {name}" for axle, name in sorted(moved))
        raise LearnerError(
            f"That would change {names} at once, and no drive could tell them apart; drive the "
            "first change, or ask for it with more=True."
        )


def _drive(day: Day, wanted: int) -> Entry:
    entry = day.entry(wanted)
    if entry.kind != "drive":
        drives = [str(each.number) for each in day.entries if each.kind == "drive"]
        mend = f"drives are {', '.join(drives)}" if drives else "nothing was driven yet"
        raise LearnerError(f"Record {entry.number} is no drive; {mend}.")
    return entry


def _again(day: Day, one: Entry, two: Entry) -> Entry | None:
    """Return the drive at A nearest to B on its other side."""
    after = one.number < two.number
    found = [
        each
        for each in day.entries
        if each.kind == "drive"
        and each.setting == one.setting
        and (each.number > two.number) == after
        and each.number != two.number
    ]
    return min(found, key=lambda each: abs(each.number - two.number), default=None)


def _items(drives: list[Entry]) -> tuple[Item, ...]:
    """Compare each rating and score that all the drives have, or refuse where they share none."""
    found = []
    for which, least in (("ratings", RATING_STEP), ("scores", 0.0)):
        tables = [getattr(each, which) or {} for each in drives]
        names = [name for name in tables[0] if all(name in table for table in tables)]
        found += [judge(n, *(table[n] for table in tables), least=least) for n in names]
    if not found:
        numbers = " and ".join(str(each.number) for each in drives[:2])
        raise LearnerError(f"Drives {numbers} share no rating and no score: rate alike in both.")
    return tuple(found)


def _verdict(items: tuple[Item, ...], again: Entry | None, unlike: list[str]) -> tuple[str, str]:
    """Return the verdict in a word, and its reason as a sentence."""
    if unlike:
        return "void", f"Void: the drives were not alike in {' and '.join(unlike)}."
    strayed = [item.name for item in items if item.repeats is False]
    if strayed:
        return "void", f"Void: A did not repeat in {', '.join(strayed)}."
    if again is None:
        return "not confirmed", "Not confirmed: A was not driven again on the other side of B."
    shown = [item.name for item in items if item.differs]
    if shown:
        return "a difference", f"A repeats, and B differs in {', '.join(shown)}."
    return "no difference", "A repeats, and B shows no difference beyond the spread of the passes."


def _cautions(drives: list[Entry]) -> list[str]:
    """Return what weakens a comparison: several adjusters at once, and each drive's own."""
    moved = {
        name
        for corner, clicks in drives[0].setting.items()
        for name in ((corner.partition(" ")[0], each) for each in clicks)
        if clicks[name[1]] != drives[1].setting[corner][name[1]]
    }
    several = ["More than one adjuster differs, so no one of them can be named."]
    every = dict.fromkeys(said for each in drives for said in each.method.cautions)
    of = {said: [str(d.number) for d in drives if said in d.method.cautions] for said in every}
    own = [f"Drive{'s' * (len(n) > 1)} {_numbered(n)}: {said}" for said, n in of.items()]
    return (several if len(moved) > 1 else []) + own


def _numbered(numbers: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(numbers[:-1]), numbers[-1])))
