"""What the facts above a dyno table say about the test stand, and what they leave to assume."""

import re
from dataclasses import dataclass
from difflib import get_close_matches

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.units import parse_quantity
from dampinglab.workshop.table import Table
from dampinglab.workshop.text import ADJUSTERS, adjuster_name, nearest

__all__ = ["Share", "Stand", "read_stand"]

_KNOWN = (
    "title",
    "axle",
    "test",
    "gas force",
    "friction",
    "oil temperature",
    "rebound sign",
    "clicks counted from",
    "adjusters",
)


@dataclass(frozen=True)
class Share:
    """A force that a table may hold beside the valves'.

    Parameters
    ----------
    included : bool
        Whether the table's forces contain it.
    size : float or None
        The force, N; None when the file does not say.
    """

    included: bool
    size: float | None


@dataclass(frozen=True)
class Stand:
    """The facts of one dyno table.

    Parameters
    ----------
    title : str
        What the file calls the damper.
    axles : tuple of str
        "front", "rear" or both; empty when a column says so, or nothing does.
    rebound_sign : str or None
        "negative" or "positive"; None when the file does not say.
    from_open : bool
        Whether clicks are counted from open; from closed otherwise.
    gas, friction : Share
        Whether the forces contain them, and how large they are.
    totals : dict of str to int
        Clicks from closed to open of each adjuster that the facts name.
    assumptions : tuple of str
        Whole sentences for what was not said.
    """

    title: str
    axles: tuple[str, ...]
    rebound_sign: str | None
    from_open: bool
    gas: Share
    friction: Share
    totals: dict[str, int]
    assumptions: tuple[str, ...]

    @property
    def friction_apart(self) -> float:
        """Seal friction that the table's forces do not hold, N."""
        return 0.0 if self.friction.included else self.friction.size or 0.0


_UNSAID = {
    "gas force": "The table does not say whether gas force is in it: taken as removed.",
    "friction": "The table does not say whether friction is in it: taken as included.",
    "clicks counted from": "The table does not say which end clicks are counted from: closed.",
    "oil temperature": "The table does not state the oil temperature: taken as warm from running.",
    "test": "The table does not state the kind of test: taken as steady speed.",
}


def read_stand(table: Table, adjustable: bool) -> Stand:
    """Read the facts of a dyno table.

    Parameters
    ----------
    table : Table
        The table.
    adjustable : bool
        Whether it has any column of clicks.

    Returns
    -------
    Stand
        With a sentence for each fact that is missing and can be assumed.

    Raises
    ------
    FileProblem
        If a fact is misspelled or cannot be understood.
    """
    _check_spelling(table)
    axle = _choice(table, "axle", ("front", "rear", "both"))
    unsaid = [words for key, words in _UNSAID.items() if not table.facts.get(key)]
    if not adjustable:
        unsaid = [words for words in unsaid if words != _UNSAID["clicks counted from"]]
    return Stand(
        title=table.facts.get("title") or table.path.stem,
        axles=("front", "rear") if axle == "both" else (axle,) if axle else (),
        rebound_sign=_choice(table, "rebound sign", ("negative", "positive")),
        from_open=_choice(table, "clicks counted from", ("closed", "open")) == "open",
        gas=_share(table, "gas force") or Share(False, None),
        friction=_share(table, "friction") or Share(True, None),
        totals=_totals(table),
        assumptions=tuple(unsaid),
    )


def _check_spelling(table: Table) -> None:
    """Refuse a fact that is nearly one of the known; others are the writer's own remarks."""
    for key in table.facts:
        close = get_close_matches(key, _KNOWN, 1, 0.8)
        if close and key not in _KNOWN:
            raise _problem(table, key, f"the fact {key!r} is not known", f"write {close[0]!r}")


def _problem(table: Table, key: str, what: str, mend: str) -> FileProblem:
    return FileProblem(table.path, what, mend, table.fact_rows.get(key))


def _choice(table: Table, key: str, options: tuple[str, ...]) -> str | None:
    """Return a fact that must be one of a few words."""
    written = table.facts.get(key, "").lower()
    found = [option for option in options if re.search(rf"\b{option}\b", written)]
    if written and len(found) != 1:
        what = f"the fact {key!r} is {written!r}"
        raise _problem(table, key, what, f"write one of {', '.join(options)}")
    return found[0] if written else None


def _share(table: Table, key: str) -> Share | None:
    """Return a fact such as "included, 380 N", "removed" or "none"."""
    written = table.facts.get(key, "").lower()
    if written in ("", "none", "no"):
        return Share(False, 0.0) if written else None
    word = _choice(table, key, ("included", "removed"))
    rest = re.sub(r"\b(included|removed)\b|[():;]", " ", table.facts[key], flags=re.I).strip(" ,")
    try:
        size = parse_quantity(rest, "force", "N") if rest else None
    except LearnerError:
        mend = f"write only included or removed and the force, as in # {key}: {word}, 300 N"
        raise _problem(table, key, f"{rest!r} in the fact {key!r} is no force", mend) from None
    if size is not None and not 0 <= size <= 3000:
        what = f"{key} of {size:g} N is outside 0 to 3000 N"
        raise _problem(table, key, what, "check the number and its unit")
    return Share(word == "included", size)


def _totals(table: Table) -> dict[str, int]:
    """Return how many clicks each adjuster has, from "low-speed bump 20, rebound 24"."""
    totals = {}
    for part in filter(None, re.split(r"[,;]", table.facts.get("adjusters", ""))):
        match = re.fullmatch(r"\s*(\D+?)\s*(\d{1,3})(\s*clicks)?\s*", part)
        name = adjuster_name(match[1]) if match else None
        if name is None:
            what = f"{part.strip()!r} in the fact 'adjusters' is no adjuster with its clicks"
            mend = nearest(match[1] if match else part, ADJUSTERS) + ", and a number behind it"
            raise _problem(table, "adjusters", what, mend)
        totals[name] = int(match[2])
    return totals
