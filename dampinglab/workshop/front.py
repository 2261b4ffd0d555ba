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
    # A row can only be beaten by one with a smaller sum, so those that come first decide.
    order = np.argsort(table.sum(axis=1), kind="stable")
    kept = np.empty((0, table.shape[1]))
    on_front = np.zeros(len(table), bool)
    for place in order:
        row = table[place]
        as_good = np.all(kept <= row, axis=1)
        if not np.any(as_good & np.any(kept < row, axis=1)):
            on_front[place] = True
            kept = np.vstack([kept, row])
    return on_front
