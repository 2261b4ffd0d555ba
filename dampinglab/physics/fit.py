"""What an adjuster does to a curve: slope before the knee, knee, slope after it, click by click.

The curve of one direction at one setting is taken as two straight lines that meet at the knee:
before it the bleed carries the oil, after it the main valve does.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.damper import Curve, MeasuredDamper, Setting

__all__ = ["AdjusterFit", "Knee", "fit_adjuster", "fit_knee"]

_SHARE, _FLOOR = 0.03, 10.0  # of force, and N: how near a stand's force is; common practice
_LOOSE = 0.35  # relative standard deviation above which a number is not told
_TIED = 0.98  # correlation at which two numbers only have a sum that is told
_SURE, _RIVAL = 2.0, 3.0  # standard deviations of a change that is sure, of a fit that is worse
_APART, _JUMP = 1.25, 2.5  # times: knees that are two, and a step between clicks that is no law


@dataclass(frozen=True, eq=False)
class Knee:
    """Two straight lines through rest that meet at a knee, fitted to one direction.

    F = c1 v up to the knee vk, and c1 vk + c2 (v - vk) beyond it.

    Parameters
    ----------
    low_slope, speed, high_slope : float
        c1 N s/m, vk m/s, c2 N s/m; positive in either direction.
    sigma : ndarray
        Their relative standard deviations, from the misfit and the Jacobian.
    tie : float
        Largest correlation between two of them, 0 to 1.
    rivals : tuple of float
        Other speeds, m/s, at which a knee fits the points nearly as well.
    speeds, forces : ndarray
        What was fitted, m/s and N, positive.
    """

    low_slope: float
    speed: float
    high_slope: float
    sigma: np.ndarray
    tie: float
    rivals: tuple[float, ...]
    speeds: np.ndarray
    forces: np.ndarray

    @property
    def force(self) -> float:
        """Force at the knee, N: what preload there is on the main valve."""
        return self.low_slope * self.speed

    def force_at(self, speed):
        """Return the force of the two lines.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, zero or more in the direction fitted.

        Returns
        -------
        float or ndarray
            Force, N, positive.
        """
        return _lines(np.array([self.low_slope, self.speed, self.high_slope]), speed)

    @property
    def residuals(self) -> np.ndarray:
        """Measured force less that of the lines, N."""
        return self.forces - self.force_at(self.speeds)

    @property
    def misfit(self) -> float:
        """Root mean square of the residuals over the forces."""
        return float(np.sqrt(np.mean((self.residuals / self.forces) ** 2)))

    @property
    def crossed(self) -> bool:
        """Whether two measured speeds or more lie on either side of the knee."""
        return 2 <= np.count_nonzero(self.speeds < self.speed) <= len(self.speeds) - 2


def _lines(numbers: np.ndarray, speed):
    low, knee, high = numbers
    v = np.asarray(speed, float)
    return low * np.minimum(v, knee) + high * np.maximum(v - knee, 0.0)


def fit_knee(curve: Curve, way: int) -> Knee:
    """Fit the two lines to one direction of a curve.

    Parameters
    ----------
    curve : Curve
        The curve, friction with it; friction reads as a steeper start.
    way : {1, -1}
        Bump or rebound.

    Returns
    -------
    Knee
        With misfit and what is sure of it.

    Raises
    ------
    OutOfRange
        If the direction has fewer than five speeds, or no force.

    Notes
    -----
    Least squares weighted with 3 % of force and 10 N, the best of starts at every measured speed,
    in the logarithms of the three numbers, so that each stays positive.

    Examples
    --------
    >>> v = np.array([0.05, 0.1, 0.2, 0.3, 0.5, 1.0])
    >>> f = np.where(v < 0.15, 8000 * v, 1200 + 2000 * (v - 0.15))
    >>> knee = fit_knee(Curve(np.append(-v[::-1], v), np.append(-f[::-1], f)), 1)
    >>> round(knee.low_slope), round(knee.speed, 3), round(knee.high_slope)
    (8000, 0.15, 2000)
    """
    moving = way * curve.speed > 0
    order = np.argsort(np.abs(curve.speed[moving]))
    speeds, forces = (np.abs(x[moving])[order] for x in (curve.speed, curve.force))
    if len(speeds) < 5 or not forces.all():
        raise OutOfRange(
            f"A knee needs five speeds or more with a force in one direction, and "
            f"{np.count_nonzero(forces)} are there."
        )
    weight = np.hypot(_SHARE * forces, _FLOOR)
    fits = [_from(start, speeds, forces, weight) for start in speeds[1:-1]]
    best = min(fits, key=lambda fit: fit.cost)
    sureness = *_sureness(best, len(speeds)), _rivals(best, fits, speeds)
    return Knee(*map(float, np.exp(best.x)), *sureness, speeds, forces)


def _from(knee: float, speeds: np.ndarray, forces: np.ndarray, weight: np.ndarray):
    """Return the best fit from one guess of the knee."""
    low = np.interp(knee, speeds, forces) / knee
    high = (forces[-1] - low * knee) / (speeds[-1] - knee)
    start = np.log([low, knee, max(high, 0.05 * low)])
    bounds = start - 6, start + 6  # a factor of 400: a knee far beyond all speeds is no news
    return least_squares(
        lambda x: (_lines(np.exp(x), speeds) - forces) / weight, start, bounds=bounds
    )


def _sureness(fit, count: int) -> tuple[np.ndarray, float]:
    """Return relative standard deviations and the largest correlation of a fit."""
    scale = max(1.0, 2 * fit.cost / max(count - 3, 1))
    values, vectors = np.linalg.eigh(fit.jac.T @ fit.jac)
    # A direction that the data do not feel at all is given a large number, not infinity.
    covariance = (vectors / np.maximum(values, 1e-6)) @ vectors.T * scale
    sigma = np.sqrt(np.diag(covariance))
    ties = np.abs(covariance / np.outer(sigma, sigma))[np.triu_indices(3, 1)]
    return sigma, float(ties.max())


def _rivals(best, fits: list, speeds: np.ndarray) -> tuple[float, ...]:
    """Return knees elsewhere that fit hardly worse, for the misfit that the best one leaves."""
    worse = 1 + _RIVAL**2 / max(len(speeds) - 3, 1)
    chance = 1.0  # of noise as stated: a fit better than the noise beats no other
    knees = [float(np.exp(fit.x[1])) for fit in fits if fit.cost < worse * max(best.cost, chance)]
    here = np.exp(best.x[1])
    far = [
        v for v in knees if speeds[0] < v < speeds[-1] and abs(np.log(v / here)) > np.log(_APART)
    ]
    return tuple(sorted({round(v, 2 - int(np.floor(np.log10(v)))) for v in far}))


@dataclass(frozen=True, eq=False)
class AdjusterFit:
    """What one adjuster does to one direction.

    Parameters
    ----------
    name : str
        The adjuster.
    way : int
        1 in bump, -1 in rebound.
    clicks : tuple of int
        Measured clicks out from closed, ascending.
    knees : tuple of Knee
        One fit for each.
    """

    name: str
    way: int
    clicks: tuple[int, ...]
    knees: tuple[Knee, ...]

    def at(self, clicks: float) -> np.ndarray:
        """Return low slope, knee speed and high slope at any click between those measured.

        Parameters
        ----------
        clicks : float
            Clicks out from closed.

        Returns
        -------
        ndarray
            N s/m, m/s, N s/m; each changes by an even share a click between measured ones.

        Raises
        ------
        OutOfRange
            If the clicks lie outside those measured.
        """
        name = f"A {self.name} setting"
        check_range(name, clicks, self.clicks[0], self.clicks[-1], "clicks", "it was not measured")
        rows = np.log([(k.low_slope, k.speed, k.high_slope) for k in self.knees])
        return np.exp([np.interp(clicks, self.clicks, row) for row in rows.T])

    def force_at(self, speed, clicks: float):
        """Return the force at a speed and any click between those measured.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, zero or more in the direction fitted.
        clicks : float
            Clicks out from closed.

        Returns
        -------
        float or ndarray
            Force, N, positive.

        Raises
        ------
        OutOfRange
            As `at`.
        """
        return _lines(self.at(clicks), speed)

    @property
    def misfit(self) -> float:
        """Root mean square of all residuals over their forces."""
        return float(np.sqrt(np.mean([knee.misfit**2 for knee in self.knees])))

    @property
    def told(self) -> tuple[str, ...]:
        """What the fits show, and what they cannot tell apart, in whole sentences."""
        word = "Bump" if self.way > 0 else "Rebound"
        told = [f"{word} is two lines with {self.misfit:.0%} of force left over (r.m.s.)."]
        why: dict[str, list[str]] = {}
        for clicks, knee in zip(self.clicks, self.knees, strict=True):
            why.setdefault(_untold(knee), []).append(str(clicks))
        why.pop("", None)
        untold = [
            f"At {', '.join(clicks)} clicks needle area and preload cannot be told apart: {reason}."
            for reason, clicks in why.items()
        ]
        untold += self._jumps()
        return (*told, *untold) if untold else (*told, self._changes())

    def _jumps(self) -> list[str]:
        """Return where the knee of one click cannot be that of the next."""
        speeds = [knee.speed for knee in self.knees]
        steps = zip(self.clicks, self.clicks[1:], speeds, speeds[1:], strict=False)
        return [
            f"Between {a} and {b} clicks the knee jumps from {v:.2g} to {w:.2g} m/s: two valves "
            "share this curve, and which of them the adjuster moves cannot be told from it."
            for a, b, v, w in steps
            if abs(np.log(w / v)) > np.log(_JUMP)
        ]

    def _changes(self) -> str:
        """Return which of needle area and preload an adjuster changes over its range."""
        first, last = self.knees[0], self.knees[-1]
        spread = np.hypot(first.sigma, last.sigma)
        change = np.log([last.low_slope / first.low_slope, last.force / first.force])
        # The force at the knee is slope times speed; its error is at most both errors together.
        needle = abs(change[0]) > _SURE * spread[0]
        preload = abs(change[1]) > _SURE * (spread[0] + spread[1])
        slope, force = (f"{share:+.0%}" for share in np.expm1(change))
        seen = {
            (True, False): f"needle area (slope before the knee {slope}), not surely preload",
            (False, True): f"preload (force at the knee {force}), not surely needle area",
            (True, True): f"needle area and preload together (slope {slope}, knee force {force})",
            (False, False): "neither needle area nor preload for sure",
        }
        return f"Over its range {self.name} changes {seen[needle, preload]}."


def _untold(knee: Knee) -> str:
    """Return why slope and knee of one fit cannot be told apart, with the mend, if they cannot."""
    bend = np.log(knee.high_slope / knee.low_slope)
    if abs(bend) < _SURE * np.hypot(knee.sigma[0], knee.sigma[2]):
        return (
            "the speeds measured cross no knee (one line fits them), so measure faster and slower"
        )
    if not knee.crossed:
        side = "slower" if np.count_nonzero(knee.speeds < knee.speed) < 2 else "faster"
        return f"the knee lies at the end of the speeds measured, so measure {side}"
    if knee.rivals:
        return "a knee elsewhere fits the points nearly as well, so measure more speeds"
    if knee.tie > _TIED or knee.sigma.max() > _LOOSE:
        return "slope and knee trade against each other, so measure more speeds about the knee"
    return ""


def fit_adjuster(damper: MeasuredDamper, name: str, way: int) -> AdjusterFit:
    """Fit one adjuster's curves from the settings at which it alone was turned.

    Parameters
    ----------
    damper : MeasuredDamper
        A dyno table.
    name : str
        The adjuster.
    way : {1, -1}
        Bump or rebound.

    Returns
    -------
    AdjusterFit
        One knee a measured click, from the longest row of settings that differ in it alone.

    Raises
    ------
    OutOfRange
        If the damper has no such adjuster, or it was measured at fewer than three settings.
    """
    names = [adjuster.name for adjuster in damper.adjusters]
    if name not in names:
        raise OutOfRange(f"{damper.name} has no adjuster {name!r}, only {', '.join(names)}.")
    place = names.index(name)
    lines: dict[Setting, list[Setting]] = {}
    for setting in damper.settings:
        lines.setdefault((*setting[:place], *setting[place + 1 :]), []).append(setting)
    line = max(lines.values(), key=len)
    if len(line) < 3:
        raise OutOfRange(
            f"{damper.name} was measured at {len(line)} settings of {name} alone, and a law a "
            "click needs three or more."
        )
    knees = tuple(fit_knee(damper.curves[setting], way) for setting in line)
    return AdjusterFit(name, way, tuple(setting[place] for setting in line), knees)
