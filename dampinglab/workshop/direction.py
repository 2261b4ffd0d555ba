"""Which rows of a dyno table are bump and which are rebound, told for certain or not at all."""

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.physics.damper import Adjuster
from dampinglab.workshop.clicks import pairs
from dampinglab.workshop.stand import Stand
from dampinglab.workshop.table import Table

__all__ = ["read_direction"]

_WORDS = {"bump": 1, "compression": 1, "rebound": -1, "extension": -1}
_SURE = 3.0  # times: how much more an adjuster must change its own direction than the other
_TELLING = 0.1  # of the force: a smaller change proves nothing


def read_direction(
    table: Table,
    stand: Stand,
    speed: np.ndarray,
    force: np.ndarray,
    adjusters: tuple[Adjuster, ...],
    clicks: np.ndarray,
) -> tuple[np.ndarray, tuple[str, ...]]:
    """Return the direction of each row.

    A column of words wins; else the sign of the speed, else that of the force, with the fact
    that says which sign rebound has. Without the fact the sign is deduced only where the table
    proves it: turning the rebound adjuster changes one side alone, and that side is rebound.

    Parameters
    ----------
    table : Table
        The table.
    stand : Stand
        Its facts.
    speed, force : ndarray
        As written, m/s and N.
    adjusters : tuple of Adjuster
        The adjusters.
    clicks : ndarray of int
        Clicks out from closed of each row.

    Returns
    -------
    direction : ndarray of int
        1 in bump, -1 in rebound, 0 at rest.
    said : tuple of str
        A sentence when it was deduced.

    Raises
    ------
    FileProblem
        If only one direction is there, or it is not certain which is which.
    """
    moving = (speed != 0).astype(int)
    if table.find("direction"):
        return _from_words(table) * moving, ()
    signed = speed if np.any(speed < 0) else force
    if not (np.any(signed < 0) and np.any(signed > 0)):
        what = "all speeds and all forces have one sign, so only one direction is there"
        mend = 'add the other direction\'s rows, or a column "direction" with bump or rebound'
    elif signed is force and stand.gas.included:
        what = "the forces hold gas force, so their sign does not tell bump from rebound"
        mend = 'give the speeds a sign, or add a column "direction"'
    else:
        sign = np.sign(signed).astype(int) * moving
        return _told(table, stand, sign, force, adjusters, clicks)
    raise FileProblem(table.path, what, mend, table.header_row)


def _from_words(table: Table) -> np.ndarray:
    """Return the direction of each row from a column of words."""
    cells = table.words.get("direction", [""] * len(table.rows))
    for row, cell in zip(table.rows.tolist(), cells, strict=True):
        if cell.lower() not in _WORDS:
            what = f"{cell or 'a number'!r} under 'direction' is no direction"
            raise FileProblem(table.path, what, "write bump or rebound in each row", row)
    return np.array([_WORDS[cell.lower()] for cell in cells])


def _told(table: Table, stand: Stand, sign, force, adjusters, clicks):
    """Turn signs so that bump is positive: as the facts say, else as the adjusters show."""
    if stand.rebound_sign:
        return (sign if stand.rebound_sign == "negative" else -sign), ()
    changes = [
        _change(place, adjuster, sign, force, clicks) for place, adjuster in enumerate(adjusters)
    ]
    telling = [each for each in changes if max(each) > _TELLING]
    for turn, word in ((1, "negative"), (-1, "positive")):
        if telling and all(own > _SURE * other for own, other in (c[::turn] for c in telling)):
            said = f"The table does not say the sign of rebound: its adjusters show it is {word}."
            return turn * sign, (said,)
    what = "the table does not say which sign rebound has, and its forces do not prove it"
    mend = "add a line # rebound sign: negative (or positive) above the table"
    raise FileProblem(table.path, what, mend, 1)


def _change(place: int, adjuster: Adjuster, sign, force, clicks) -> tuple[float, float]:
    """Return by which share an adjuster changes its own side, and the other, if bump is plus."""
    if adjuster.name == "bump and rebound":
        return 0.0, 0.0
    means = {}
    for setting in {tuple(row) for row in clicks.tolist()}:
        here = np.all(clicks == np.array(setting), axis=1)
        sides = [force[here & (sign == way)] for way in (1, -1)]
        means[setting] = np.array([np.abs(f).mean() if f.size else 0.0 for f in sides])
    changes = [np.abs(means[b] - means[a]) / (means[a] + 1) for a, b in pairs(tuple(means), place)]
    bump, rebound = np.mean(changes, axis=0).tolist() if changes else (0.0, 0.0)
    return (rebound, bump) if adjuster.name == "rebound" else (bump, rebound)
