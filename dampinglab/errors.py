"""The one family of errors that a learner sees: a sentence, never a traceback."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

__all__ = ["FileProblem", "LearnerError", "OutOfRange", "check_range"]


class LearnerError(ValueError):
    """Something the learner can mend; its text is one whole sentence."""

    def _render_traceback_(self) -> list[str]:
        """Show one line in a notebook in place of a traceback."""
        return [str(self)]


class OutOfRange(LearnerError):
    """A value lies outside what the model is good for."""


class FileProblem(LearnerError):
    """A file of the learner's cannot be used as it is.

    Parameters
    ----------
    path : str or Path
        The file.
    what : str
        What is wrong, without a full stop.
    mend : str
        How to mend it, without a full stop.
    row : int, optional
        The line of the file, counted from 1 as an editor counts.
    """

    def __init__(self, path: str | Path, what: str, mend: str, row: int | None = None) -> None:
        self.path, self.what, self.mend, self.row = Path(path), what, mend, row
        where = self.path.name if row is None else f"{self.path.name}, row {row}"
        super().__init__(f"{where}: {what}; {mend}.")


def check_range(
    name: str,
    value: float | Sequence[float] | np.ndarray,
    low: float,
    high: float,
    unit: str = "",
    hint: str = "",
) -> float | np.ndarray:
    """Return the value if all of it lies between two limits, both allowed.

    Parameters
    ----------
    name : str
        What the value is, as a learner would call it.
    value : float or array_like
        One number or many.
    low, high : float
        The limits, in the same unit as the value.
    unit : str, optional
        The unit to print behind the numbers.
    hint : str, optional
        The likely slip, printed last.

    Returns
    -------
    float or ndarray
        The value as it came, or as an array when it was a sequence.

    Raises
    ------
    OutOfRange
        If any part is not a number, not finite, or outside the limits.

    Examples
    --------
    >>> check_range("Sprung mass", 400.0, 20, 3000, "kg")
    400.0
    """
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise OutOfRange(f"{name} must be a number, and {value!r} is not one.") from None
    bad = numbers[~((numbers >= low) & (numbers <= high))]
    if bad.size:
        tail = f": {hint}" if hint else ""
        span = f"{low:g} to {high:g} {unit}".rstrip()
        shown = f"{bad.flat[0]:g} {unit}".rstrip()
        raise OutOfRange(f"{name} of {shown} is outside the range {span}{tail}.")
    return numbers if numbers.ndim else value
