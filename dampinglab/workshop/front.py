"""The trade-off front: settings than which no other is better in everything that counts."""

import numpy as np

from dampinglab.errors import OutOfRange

__all__ = ["non_dominated"]


def non_dominated(values) -> np.ndarray:
    """Return which rows no other row beats: none is as good in everything and better in one.

    Parameters
    ----------
    values : array_like, shape (settings, scores)
        Scores, each the better the smaller.

    Returns
    -------
    ndarray of bool, shape (settings,)
        True on the front; rows that are alike in everything stay or go together.

    Raises
    ------
    OutOfRange
        If a score is no number.

    Examples
    --------
    >>> non_dominated([[1, 4], [2, 2], [4, 1], [3, 3]]).tolist()
    [True, True, True, False]
    """
    table = np.asarray(values, float)
    if table.ndim != 2 or np.isnan(table).any():
        raise OutOfRange("A front needs a row of numbers for each setting.")
    # No row is beaten by one that comes later here, so each that is reached is on the front.
    places = np.lexsort((*table.T[::-1], table.sum(axis=1)))
    rows, reached = table[places], 0
    while reached < len(rows):
        row = rows[reached]
        beaten = np.all(row <= rows, axis=1) & np.any(row < rows, axis=1)
        rows, places = rows[~beaten], places[~beaten]
        reached += 1
    on_front = np.zeros(len(table), bool)
    on_front[places] = True
    return on_front
