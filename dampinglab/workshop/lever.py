"""A damper's motion ratio, measured at several heights of the wheel."""

import re
from dataclasses import dataclass

import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.units import parse_number
from dampinglab.workshop.text import quoted

__all__ = ["Lever", "lever", "read_pairs"]

_CURVED = 5  # pairs from which on a bend of the line is fitted too
_OFF = 0.04  # share of the damper's travel by which a pair may miss the line
_MOST = 200  # pairs


@dataclass(frozen=True)
class Lever:
    """How far the damper moves when the wheel does.

    Parameters
    ----------
    ratio : float
        Damper travel over wheel travel at ride height.
    lowest, highest : float
        The same at the deepest droop and the highest bump measured.
    told : str
        Both in one sentence, with what is doubtful.
    """

    ratio: float
    lowest: float
    highest: float
    told: str


def read_pairs(written: str) -> np.ndarray:
    """Read pairs of wheel travel and damper travel, a pair a line.

    Parameters
    ----------
    written : str
        As pasted: blanks, tabs or semicolons between the two; lines without digits are headings.

    Returns
    -------
    ndarray, shape (n, 2)
        As written; both have one unit, whichever it is.

    Raises
    ------
    LearnerError
        If a line holds no pair of numbers, or there are too few or too many lines.
    """
    lines = [(n, line) for n, line in enumerate(written.splitlines(), 1) if re.search(r"\d", line)]
    if not 2 <= len(lines) <= _MOST:
        raise LearnerError(
            f"Pairs found: {len(lines)}; give 2 to {_MOST}, a line each: wheel travel, blank, "
            "damper travel or length."
        )
    return np.array([_pair(number, line) for number, line in lines])


def _pair(number: int, line: str) -> list[float]:
    cells = [cell.strip(",") for cell in re.split(r"[;\t]|\s+", line.strip())]
    cells = [cell for cell in cells if cell]
    try:
        if len(cells) == 2:
            return [parse_number(cell) for cell in cells]
    except LearnerError:
        pass
    raise LearnerError(
        f"Line {number}, {quoted(line.strip())}, is no pair of numbers; write wheel travel, a "
        "blank, damper travel."
    )


def lever(pairs: np.ndarray) -> Lever:
    """Return the motion ratio that pairs of travels tell: the slope of a line through them.

    A straight line, or a bent one from five pairs on; the slope at ride height counts.

    Parameters
    ----------
    pairs : ndarray, shape (n, 2)
        Wheel travel from ride height, up positive, and the damper's travel or length there.

    Returns
    -------
    Lever
        Positive, whichever way the damper was measured.

    Raises
    ------
    LearnerError
        If the wheel hardly moves, or the damper moves to and fro.

    Examples
    --------
    >>> round(lever(np.array([[-40.0, -24.0], [0.0, 0.0], [40.0, 24.0]])).ratio, 3)
    0.6
    """
    wheel, damper = np.asarray(pairs, float).T
    low, high = wheel.min(), wheel.max()
    if len(np.unique(wheel)) < 2:
        raise LearnerError("All pairs are of one wheel height; move the wheel between them.")
    line = np.polynomial.Polynomial.fit(wheel, damper, 2 if len(np.unique(wheel)) >= _CURVED else 1)
    at = float(np.clip(0.0, low, high))
    slopes = line.deriv()(np.array([at, low, high]))
    if slopes.min() * slopes.max() <= 0:
        raise LearnerError(
            "The damper moves to and fro as the wheel goes up; check the pairs, and that the first "
            "number of each is the wheel's."
        )
    ratio, lowest, highest = np.abs(slopes)
    off = np.abs(line(wheel) - damper)
    return Lever(*map(float, (ratio, lowest, highest)), _told(pairs, at, np.abs(slopes), off))


def _told(pairs: np.ndarray, at: float, slopes: np.ndarray, off: np.ndarray) -> str:
    where = "at ride height" if at == 0 else f"at {at:g}, the measured place nearest ride height"
    told = f"The damper moves {slopes[0]:.2f} of the wheel's travel {where}, {slopes[1]:.2f} at "
    told += f"the lowest and {slopes[2]:.2f} at the highest wheel measured."
    worst = int(np.argmax(off))
    if off[worst] > _OFF * np.ptp(pairs[:, 1]):
        told += f" The pair {pairs[worst, 0]:g} and {pairs[worst, 1]:g} lies off the line of the "
        told += "others: measure it again."
    return told
