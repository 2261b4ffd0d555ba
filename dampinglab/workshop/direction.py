"""Which rows of a dyno table are bump and which are rebound, told for certain or not at all."""

import numpy as np

from dampinglab.errors import FileProblem
from dampinglab.physics.damper import Adjuster
from dampinglab.workshop.clicks import pairs
from dampinglab.workshop.stand import Stand
from dampinglab.workshop.table import Table

__all__ = ["read_direction"]

_WORDS = {"bump": 1, "compression": 1, "rebound": -1, "extension": -1}
_SURE = 3.0  # times: how much more an adjuster must move its own direction than the other


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
        raise FileProblem(table.path, what, mend, table.header_row)
    if signed is force and stand.gas.included:
        what = "the forces hold gas force, so their sign does not tell bump from rebound"
        mend = 'give the speeds a sign, or add a column "direction"'
        raise FileProblem(table.path, what, mend, table.header_row)
    sign = np.sign(signed).astype(int) * moving
    if stand.rebound_sign:
        return (sign if stand.rebound_sign == "negative" else -sign), ()
    return _deduced(table, sign, force, adjusters, clicks)


def _from_words(table: Table) -> np.ndarray:
    cells = table.words.get("direction", ())
    wrong = [i for i, cell in enumerate(cells) if cell.lower() not in _WORDS]
    if wrong or not cells:
        row = int(table.rows[wrong[0] if wrong else 0])
        what = "the column 'direction' must hold words" + (
            f", and {cells[wrong[0]]!r} is not one it knows" if wrong else ""
        )
        raise FileProblem(table.path, what, "write bump or rebound in each row", row)
    return np.array([_WORDS[cell.lower()] for cell in cells])


def _deduced(table: Table, sign, force, adjusters, clicks) -> tuple[np.ndarray, tuple[str, ...]]:
    """Find the side that the adjusters of one direction move, if they move that side alone."""
    votes = [
        _change(place, adjuster, sign, force, clicks)
        for place, adjuster in enumerate(adjusters)
        if adjuster.name != "bump and rebound"
    ]
    bump_is_positive = [mine > _SURE * other for mine, other in votes if max(mine, other) > 0.1]
    bump_is_negative = [other > _SURE * mine for mine, other in votes if max(mine, other) > 0.1]
    for found, turn, word in (
        (bump_is_positive, 1, "negative"),
        (bump_is_negative, -1, "positive"),
    ):
        if found and all(found):
            said = f"The table does not say the sign of rebound: its adjusters show it is {word}."
            return turn * sign, (said,)
    what = "the table does not say which sign rebound has, and its forces do not prove it"
    mend = "add a line # rebound sign: negative (or positive) above the table"
    raise FileProblem(table.path, what, mend, 1)


def _change(place: int, adjuster: Adjuster, sign, force, clicks) -> tuple[float, float]:
    """Return by which share an adjuster changes the side it would act on if positive is bump.

    The second number is the change of the other side.
    """
    settings = {tuple(row) for row in clicks.tolist()}
    means = {}
    for setting in settings:
        here = np.all(clicks == np.array(setting), axis=1)
        means[setting] = [
            np.abs(force[here & (sign == way)]).mean() if np.any(here & (sign == way)) else np.nan
            for way in (1, -1)
        ]
    couples = pairs(tuple(settings), place)
    if not couples:
        return 0.0, 0.0
    changes = np.array([np.abs(np.divide(means[b], means[a]) - 1) for a, b in couples])
    positive, negative = np.nan_to_num(changes).mean(axis=0)
    return (negative, positive) if adjuster.name == "rebound" else (positive, negative)
