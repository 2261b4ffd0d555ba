"""The four dampers of a vehicle: their names, their clicks, and what is a fault between sides."""

import operator
from collections.abc import Mapping
from typing import Any

from dampinglab.errors import LearnerError
from dampinglab.workshop.text import ADJUSTERS, adjuster_name, nearest, quoted

__all__ = [
    "AXLES",
    "CORNERS",
    "Clicks",
    "checked_clicks",
    "checked_totals",
    "out",
    "pair",
    "setting_words",
    "side_faults",
    "unknown_corner",
    "whole",
]

AXLES = ("front", "rear")
CORNERS = ("front left", "front right", "rear left", "rear right")

Clicks = dict[str, dict[str, int]]
"""A number of clicks by corner and adjuster; a damper that cannot be adjusted has none."""

_MOST = 200  # clicks: more than any adjuster has (common practice, no source)


def pair(axle: str) -> tuple[str, str]:
    """Return the two dampers of an axle.

    Parameters
    ----------
    axle : str
        One of `AXLES`.

    Returns
    -------
    tuple of str
        Left and right, as `CORNERS` names them.

    Raises
    ------
    LearnerError
        If there is no such axle.
    """
    if axle not in AXLES:
        raise LearnerError(f"{quoted(axle)} is no axle; write 'front' or 'rear'.")
    return f"{axle} left", f"{axle} right"


def whole(value: object, what: str, low: int, high: int) -> int:
    """Return a whole number that lies between two limits, both allowed.

    Parameters
    ----------
    value : object
        What was written.
    what : str
        What it counts, as the sentence's beginning.
    low, high : int
        The limits.

    Returns
    -------
    int
        The number.

    Raises
    ------
    LearnerError
        If it is no whole number, or lies outside.
    """
    try:
        number = None if isinstance(value, bool) else operator.index(value)
    except TypeError:
        number = None
    if number is None or not low <= number <= high:
        raise LearnerError(
            f"{what} is {quoted(value)}; it should be a whole number from {low} to {high}."
        )
    return number


def checked_totals(written: object) -> Clicks:
    """Return how many clicks every adjuster has, or say what is missing.

    Parameters
    ----------
    written : object
        By corner, the total clicks by adjuster; ``{}`` for a damper that cannot be adjusted.

    Returns
    -------
    dict of str to dict of str to int
        For each of `CORNERS`, in the order of `ADJUSTERS`.

    Raises
    ------
    LearnerError
        If a damper is missing, an adjuster unknown or a total impossible.
    """
    return {
        corner: {
            name: whole(total, f"The number of clicks of {corner} {name}", 1, _MOST)
            for name, total in _named(corner, entries).items()
        }
        for corner, entries in _four(written, "the total clicks").items()
    }


def checked_clicks(written: object, totals: Clicks) -> Clicks:
    """Return a setting of all four dampers, or say what is wrong with it.

    Parameters
    ----------
    written : object
        By corner, the clicks out from closed by adjuster.
    totals : dict
        What `checked_totals` returned for these dampers.

    Returns
    -------
    dict of str to dict of str to int
        Clicks out from closed, in the order of `ADJUSTERS`.

    Raises
    ------
    LearnerError
        If a damper or adjuster is missing or unknown, or a click is none that the knob has.
    """
    setting = {}
    for corner, entries in _four(written, "the clicks").items():
        named = _named(corner, entries)
        apart = sorted(named.keys() ^ totals[corner].keys())
        if apart:
            held, lacks = ("clicks", "total") if apart[0] in named else ("total", "clicks")
            raise LearnerError(f"{corner.capitalize()} {apart[0]} has {held} but no {lacks}.")
        setting[corner] = {
            name: whole(clicks, f"{corner.capitalize()} {name}", 0, totals[corner][name])
            for name, clicks in named.items()
        }
    return setting


def unknown_corner(names: object) -> str:
    """Return the first name that is no corner, or nothing.

    Parameters
    ----------
    names : iterable
        Names as written.

    Returns
    -------
    str
        In quotes, with the corner that may have been meant.
    """
    wrong = [name for name in names if name not in CORNERS]
    return (
        f"{quoted(wrong[0])} is no wheel; {nearest(str(wrong[0])[:40], CORNERS)}" if wrong else ""
    )


def side_faults(clicks: Clicks, totals: Clicks) -> tuple[str, ...]:
    """Return a sentence for each difference between left and right.

    Parameters
    ----------
    clicks : dict
        A setting.
    totals : dict
        How many clicks there are.

    Returns
    -------
    tuple of str
        Whole sentences; none when the sides agree.
    """
    told = [_differing(axle, name, clicks, totals) for axle in AXLES for name in ADJUSTERS]
    return tuple(filter(None, told))


def out(clicks: int, total: int) -> str:
    """Return clicks as a card shows them: out from closed, from soft in brackets.

    Parameters
    ----------
    clicks : int
        Clicks out from closed.
    total : int
        How many there are.

    Returns
    -------
    str
        Such as "14 (6)".

    Examples
    --------
    >>> out(14, 20)
    '14 (6)'
    """
    return f"{clicks} ({total - clicks})"


def setting_words(clicks: Clicks) -> str:
    """Return a setting in one line.

    Parameters
    ----------
    clicks : dict
        Clicks out from closed, by corner and adjuster.

    Returns
    -------
    str
        Such as "front rebound 12, rear rebound 8 left and 9 right".
    """
    parts = []
    for axle in AXLES:
        left, right = (clicks[side] for side in pair(axle))
        for name in (each for each in ADJUSTERS if each in left or each in right):
            sides = left.get(name, "none"), right.get(name, "none")
            shown = sides[0] if sides[0] == sides[1] else f"{sides[0]} left and {sides[1]} right"
            parts.append(f"{axle} {name} {shown}")
    return ", ".join(parts) or "nothing to adjust"


def _differing(axle: str, name: str, clicks: Clicks, totals: Clicks) -> str:
    """Return what one adjuster's difference between the sides says, or nothing."""
    sides = pair(axle)
    has = [totals[side].get(name) for side in sides]
    stands = [clicks[side].get(name) for side in sides]
    where = f"{axle.capitalize()} {name}"
    if has[0] != has[1]:
        counts = " and ".join("none" if each is None else str(each) for each in has)
        return f"{where}: clicks in all left and right are {counts}: a fault to find."
    if stands[0] != stands[1]:
        where += f" stands {stands[0]} clicks out on the left and {stands[1]} on the right"
        return f"{where}: a fault to find, never a setting."
    return ""


def _four(written: object, what: str) -> Mapping[str, Any]:
    """Return a table that has exactly the four corners, in their order."""
    if not isinstance(written, Mapping):
        raise LearnerError(f"Give {what} by wheel, as in {{'front left': {{'rebound': 12}}, ...}}.")
    if wrong := unknown_corner(written):
        raise LearnerError(f"{wrong}.")
    lacking = [corner for corner in CORNERS if corner not in written]
    if lacking:
        raise LearnerError(
            f"{what.capitalize()} of {' and '.join(lacking)} are missing; count all four dampers "
            "first, and write {} for one that cannot be adjusted."
        )
    return {corner: written[corner] for corner in CORNERS}


def _named(corner: str, entries: object) -> dict[str, object]:
    """Return one damper's entries under the names of the course, in their order."""
    if not isinstance(entries, Mapping):
        raise LearnerError(f"Give {corner} by adjuster, as in {{'rebound': 12}}.")
    named = {}
    for written, value in entries.items():
        name = adjuster_name(str(written))
        if name is None or name in named:
            mend = nearest(str(written)[:40], ADJUSTERS) if name is None else "give it once"
            raise LearnerError(f"{corner.capitalize()}: {quoted(written)} cannot stand; {mend}.")
        named[name] = value
    return {name: named[name] for name in ADJUSTERS if name in named}
