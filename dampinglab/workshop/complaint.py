"""From what a driver complains of to what is turned, how far, and on which damper."""

from collections.abc import Mapping, Sequence

from dampinglab.errors import LearnerError
from dampinglab.workshop.catalogue import ANSWERS, COMPLAINTS, REBOUND, Complaint, Remedy
from dampinglab.workshop.text import nearest, quoted

__all__ = [
    "ANSWERS",
    "COMPLAINTS",
    "Complaint",
    "Remedy",
    "find",
    "first_step",
    "fitting",
    "next_step",
    "table",
    "unfitting",
    "way",
]


def find(
    when: str | None = None,
    where: str | None = None,
    pace: str | None = None,
    load: str | None = None,
    heat: str | None = None,
) -> tuple[str, ...]:
    """Return the complaints that fit what is known so far.

    Parameters
    ----------
    when, where, pace, load, heat : str, optional
        A key of `ANSWERS`; none where it is not known.

    Returns
    -------
    tuple of str
        Keys of `COMPLAINTS`, in its order; those that a load or heat belongs to come first.

    Raises
    ------
    LearnerError
        If an answer is none that there is.

    Examples
    --------
    >>> find(when="after", where="rear", pace="slow", load="empty")
    ('floats', 'rear thrown up', 'bad hot')
    """
    given = {"when": when, "where": where, "pace": pace, "load": load, "heat": heat}
    known = {name: answer for name, answer in given.items() if answer is not None}
    for name, answer in known.items():
        if answer not in ANSWERS[name]:
            near = nearest(str(answer)[:40], ANSWERS[name])
            raise LearnerError(f"{quoted(answer)} is no answer to {name!r}; {near}.")
    fit = [key for key, each in COMPLAINTS.items() if _fits(each, known)]
    return tuple(sorted(fit, key=lambda key: -_told(COMPLAINTS[key], known)))


def _fits(each: Complaint, known: Mapping[str, str]) -> bool:
    kinds = ((getattr(each, name), answer) for name, answer in known.items())
    return all(not fit or answer in fit for fit, answer in kinds)


def _told(each: Complaint, known: Mapping[str, str]) -> int:
    """Return how many answers speak of this complaint and few others."""
    return sum(known.get(name) in getattr(each, name) for name in ("load", "heat"))


def first_step(total: int) -> int:
    """Return how many clicks to turn first, to learn which way it goes: a fifth of the range.

    Parameters
    ----------
    total : int
        How many clicks the adjuster has.

    Returns
    -------
    int
        One at least.

    Examples
    --------
    >>> first_step(20), first_step(3)
    (4, 1)
    """
    return max(1, round(total / 5))


def next_step(step: int) -> int:
    """Return the step after one: half of it, until the last trim of one click.

    Parameters
    ----------
    step : int
        The clicks turned last.

    Returns
    -------
    int
        One at least.

    Examples
    --------
    >>> next_step(4), next_step(2), next_step(1)
    (2, 1, 1)
    """
    return max(1, step // 2)


def fitting(adjuster: str, there: Sequence[str]) -> str | None:
    """Return what a damper has for an adjuster of the catalogue.

    Parameters
    ----------
    adjuster : str
        Of a remedy.
    there : sequence of str
        The damper's own adjusters.

    Returns
    -------
    str or None
        The same one, the one that turns it together with others, or None.

    Examples
    --------
    >>> fitting("high-speed bump", ["bump", "rebound"])
    'bump'
    >>> fitting("high-speed bump", ["rebound"]) is None
    True
    """
    wider = [adjuster, *(["bump"] if adjuster != REBOUND else []), "bump and rebound"]
    return next((name for name in wider if name in there), None)


def unfitting(remedy: Remedy, name: str | None) -> str:
    """Return what it means that a damper has no adjuster of its own for a remedy.

    Parameters
    ----------
    remedy : Remedy
        What the trade would turn.
    name : str or None
        What `fitting` found for it.

    Returns
    -------
    str
        A whole sentence; empty where the damper has the very adjuster.
    """
    if name == remedy.adjuster:
        return ""
    if name is None:
        return (
            f"This damper has no {remedy.adjuster} adjuster: what that would do is work for "
            "springs, stops or the valves inside."
        )
    if name == "bump":
        return "This damper has one bump adjuster: slow and fast movement change together."
    return "This damper turns bump and rebound together: both directions change."


def way(more: bool) -> str:
    """Return in which direction an adjuster is turned.

    Parameters
    ----------
    more : bool
        Whether it is closed.

    Returns
    -------
    str
        "more" with how, or "less".
    """
    return "more (close, fewer clicks out)" if more else "less (open, more clicks out)"


def table() -> list[dict[str, str]]:
    """Return the whole catalogue as rows for print, common practice without a source.

    Returns
    -------
    list of dict of str to str
        One row for each remedy, or for each complaint that has none; the keys are headings.
    """
    return [
        _row(each, remedy) for each in COMPLAINTS.values() for remedy in each.remedies or (None,)
    ]


def _row(each: Complaint, remedy: Remedy | None) -> dict[str, str]:
    turn = f"{remedy.adjuster}, {way(remedy.more)}" if remedy else "no click cures this"
    if remedy and len(remedy.axles) == 1:
        turn = f"{remedy.axles[0]} {turn}"
    told = {name: getattr(remedy, name, "") for name in ("why", "price", "overdone", "warning")}
    felt = [ANSWERS[name][key] for name in ("when", "pace") for key in getattr(each, name)]
    return {
        "Complaint": each.words,
        "When and how fast": "; ".join(felt) or "any time",
        "Look first": each.instead,
        "Turn": turn,
        "Why": told["why"],
        "Price": told["price"],
        "Too much of it": told["overdone"],
        "Take care": told["warning"],
    }
