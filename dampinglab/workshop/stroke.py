"""The points of one direction at one setting, checked and made into half a force-speed curve.

Rows may come in any order: each carries its own speed, so order holds nothing that could be lost
by sorting, and test stands that sweep up and back write them so. Two forces for one speed, or a
force that falls as speed rises, do say that something is wrong, and are refused.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from dampinglab.errors import FileProblem

__all__ = ["FEWEST", "Stroke"]

FEWEST = 3
"""Distinct speeds that one direction needs: fewer show no shape."""

# Forces from a stand scatter; a smaller fall than this is noise: common practice, no source.
_NOISE_SHARE, _NOISE_FORCE = 0.03, 15.0


@dataclass(frozen=True)
class Stroke:
    """Measured points of one direction at one setting, the slowest first.

    Parameters
    ----------
    path : Path
        The file that holds them.
    label : str
        Direction and setting in words, for the sentences.
    speed : ndarray
        Shaft speeds, m/s, positive, in either direction.
    force : ndarray
        Forces, N, positive when they resist the motion.
    rows : ndarray of int
        The file's lines.
    in_order : bool
        Whether the file had the speeds rising or falling all along.
    """

    path: Path
    label: str
    speed: np.ndarray
    force: np.ndarray
    rows: np.ndarray
    in_order: bool

    @classmethod
    def collect(cls, path: Path, label: str, points: Iterable[tuple]) -> "Stroke":
        """Sort the points of one direction and check them.

        Parameters
        ----------
        path : Path
            The file that holds them.
        label : str
            Direction and setting in words.
        points : iterable of tuple
            Speed m/s, force N and row of each.

        Returns
        -------
        Stroke
            The slowest first, its forces never falling.

        Raises
        ------
        FileProblem
            If speeds are too few or twice the same, or forces fall, or push with the motion.
        """
        columns = np.array(list(points), float).reshape(-1, 3)
        steps = np.diff(columns[:, 0])
        speed, force, rows = columns[np.argsort(columns[:, 0], kind="stable")].T
        ordered = bool(np.all(steps >= 0) or np.all(steps <= 0))
        stroke = cls(path, label, speed, force, rows.astype(int), ordered)
        stroke._check_speeds()
        stroke._check_forces()
        return stroke

    @property
    def noise(self) -> float:
        """The fall in N that is still taken for noise."""
        return max(_NOISE_FORCE, _NOISE_SHARE * float(self.force.max()))

    def level(self) -> np.ndarray:
        """Return the forces with falls within the noise ironed out.

        Returns
        -------
        ndarray
            Forces, N, not negative and not falling as speed rises: midway between the highest
            so far and the lowest to come.
        """
        up = np.maximum.accumulate(self.force)
        down = np.minimum.accumulate(self.force[::-1])[::-1]
        return np.maximum((up + down) / 2, 0.0)

    def _check_speeds(self) -> None:
        count = len(self.speed)
        if count < FEWEST:
            what = f"{self.label} has {count or 'no'} speed{'s' * (count != 1)}"
            mend = f"measure at least {FEWEST} in bump and {FEWEST} in rebound at each setting"
            raise FileProblem(self.path, what, mend, int(self.rows[0]) if count else None)
        for i in np.nonzero(np.diff(self.speed) == 0)[0]:
            first, second = sorted(self.rows[i : i + 2].tolist())
            what = f"{self.label} has {self.speed[i]:.4g} m/s twice (first in row {first})"
            raise FileProblem(self.path, what, "keep one row, or write their mean", second)

    def _check_forces(self) -> None:
        for i in np.nonzero(self.force < -self.noise)[0]:
            what = f"{self.label}: {-self.force[i]:.0f} N at {self.speed[i]:.4g} m/s push WITH "
            what += "the motion, and a damper resists it"
            mend = "check the sign, and say whether gas is in it (# gas force: included, 300 N)"
            raise FileProblem(self.path, what, mend, int(self.rows[i]))
        highest = np.maximum.accumulate(self.force)
        for i in np.nonzero(highest - self.force > self.noise)[0]:
            top = int(np.argmax(self.force[:i]))
            what = f"{self.label}: the force falls from {self.force[top]:.0f} N at "
            what += f"{self.speed[top]:.4g} m/s (row {self.rows[top]}) to {self.force[i]:.0f} N at "
            what += f"{self.speed[i]:.4g} m/s, more than noise"
            mend = "look for a typing slip, or bleed, mend and measure the damper again"
            raise FileProblem(self.path, what, mend, int(self.rows[i]))
