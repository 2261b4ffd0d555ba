"""A-B-A: whether a setting tried between two drives of another one made a difference."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["RULE", "SHARE", "Item", "judge"]

SHARE = 0.5
"""How much of the difference between A and B the two A's may be apart: a choice of this course."""

RULE = (
    "A repeats when its two drives differ by no more than the spread of the passes, or by no more "
    "than half of the difference between A and B; if it does not, the comparison is void."
)
"""The repeat rule in one sentence, as it stands below every comparison."""


@dataclass(frozen=True)
class Item:
    """One rating or score, compared.

    Parameters
    ----------
    name : str
        What was rated or measured.
    first, second : float
        Mean over the passes at A, both drives of it if there are two, and at B.
    again : float or None
        B is compared with the mean of two drives at A; this is how much the second one differs
        from the first. None when A was driven once.
    spread : float
        Largest difference between passes of one drive, or the least step that can be told.
    """

    name: str
    first: float
    second: float
    again: float | None
    spread: float

    @property
    def effect(self) -> float:
        """How much B differs from A.

        Returns
        -------
        float
            B less A, in the unit of the rating or score.
        """
        return self.second - self.first

    @property
    def repeats(self) -> bool | None:
        """Whether A repeats, by `RULE`.

        Returns
        -------
        bool or None
            None when A was driven once.
        """
        if self.again is None:
            return None
        return not _beyond(abs(self.again), max(self.spread, SHARE * abs(self.effect)))

    @property
    def differs(self) -> bool:
        """Whether B differs from A by more than passes and A's own two drives do.

        Returns
        -------
        bool
            Never true when A does not repeat.
        """
        shown = _beyond(abs(self.effect), max(self.spread, abs(self.again or 0.0)))
        return shown and self.repeats is not False

    @property
    def words(self) -> str:
        """The item in one sentence.

        Returns
        -------
        str
            A whole sentence.
        """
        name = self.name[:1].upper() + self.name[1:]
        passes = f"passes spread by {self.spread:.3g}"
        if self.repeats is False:
            return (
                f"{name}: void, A came back {abs(self.again):.3g} "
                f"{'higher' if self.again > 0 else 'lower'} while B differs by "
                f"{abs(self.effect):.3g}; {passes}."
            )
        change = f"{'up' if self.effect > 0 else 'down'} {abs(self.effect):.3g}"
        change += f", from {self.first:.3g} to {self.second:.3g}"
        told = change if self.differs else f"no difference shown ({change})"
        back = "A not driven again" if self.again is None else f"A repeats to {abs(self.again):.3g}"
        return f"{name}: {told}; {back}, {passes}."


def judge(
    name: str,
    first: Sequence[float],
    second: Sequence[float],
    again: Sequence[float] | None = None,
    *,
    least: float = 0.0,
) -> Item:
    """Compare the passes of two settings, A and B, and of A driven again.

    Parameters
    ----------
    name : str
        What was rated or measured.
    first, second : sequence of float
        One value for each pass, at A and at B.
    again : sequence of float, optional
        The passes of A driven again after B.
    least : float, optional
        The least step that can be told apart, 0 or more.

    Returns
    -------
    Item
        The means, the spread, and what follows from them.

    Examples
    --------
    >>> judge("Body control", [5, 5, 6], [8, 8, 8], [5, 6, 6], least=1.0).differs
    True
    >>> judge("Body control", [5, 5, 6], [8, 8, 8], [8, 8, 8], least=1.0).repeats
    False
    """
    drives = [first, second] if again is None else [first, second, again]
    means = [math.fsum(passes) / len(passes) for passes in drives]
    spread = max([least, *(max(passes) - min(passes) for passes in drives)])
    if again is None:
        return Item(name, means[0], means[1], None, spread)
    return Item(name, (means[0] + means[2]) / 2, means[1], means[2] - means[0], spread)


def _beyond(value: float, limit: float) -> bool:
    """Whether a value is above a limit by more than rounding."""
    return value > limit and not math.isclose(value, limit, rel_tol=1e-9)
