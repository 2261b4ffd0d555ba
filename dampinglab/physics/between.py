"""Settings between those that were measured: which measured ones tell of them, and how.

A dyno table seldom holds every combination of clicks. Along one adjuster, or inside a box of
measured settings, force changes evenly with clicks. Where several adjusters are turned away from a
setting that each was swept from, their effects are joined as valves side by side.
"""

from collections.abc import Callable, Mapping, Sequence
from itertools import product

import numpy as np

__all__ = ["Setting", "hub", "matters", "mixture", "side_by_side"]

Setting = tuple[int, ...]
"""Clicks out from closed, in the order of the damper's adjusters."""

_SHARE, _NOISE = 0.10, 15.0  # of the force, and N: a smaller change tells of no adjuster
_FAR = 20.0  # of the last speed: as far as curves are followed, for their sum may need it


def mixture(settings: Sequence[Setting], setting: Setting) -> dict[Setting, float] | None:
    """Return the measured settings around a setting, and the share of each.

    Parameters
    ----------
    settings : sequence of tuple of int
        The measured settings.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    dict of tuple to float, or None
        Shares that add up to 1: the setting itself, two along one adjuster, or the corners of a
        box; None where the setting is not enclosed.

    Examples
    --------
    >>> mixture([(0, 5), (4, 5), (4, 0)], (1, 5))
    {(0, 5): 0.75, (4, 5): 0.25}
    """
    if setting in settings:
        return {setting: 1.0}
    for place in range(len(setting)):
        line = _along(settings, setting, place)
        if line:
            return {_turned(setting, place, clicks): share for clicks, share in line.items()}
    sides = [_around({s[i] for s in settings}, clicks) for i, clicks in enumerate(setting)]
    corners = {
        tuple(corner): float(np.prod([side[n] for side, n in zip(sides, corner, strict=True)]))
        for corner in product(*sides)
    }
    return corners if corners and corners.keys() <= set(settings) else None


def _turned(setting: Setting, place: int, clicks: int) -> Setting:
    return (*setting[:place], clicks, *setting[place + 1 :])


def _along(settings: Sequence[Setting], setting: Setting, place: int) -> dict[int, float]:
    """Return the measured clicks of one adjuster around a setting, the others as they are."""
    line = {s[place] for s in settings if _turned(s, place, 0) == _turned(setting, place, 0)}
    return _around(line, setting[place])


def _around(line: set[int], clicks: int) -> dict[int, float]:
    """Return the neighbours of some clicks, each with its share; empty past the ends."""
    below = max((n for n in line if n <= clicks), default=None)
    above = min((n for n in line if n >= clicks), default=None)
    if below is None or above is None:
        return {}
    if below == above:
        return {clicks: 1.0}
    share = (clicks - below) / (above - below)
    return {below: 1 - share, above: share}


def matters(forces: Mapping[Setting, np.ndarray], place: int) -> bool:
    """Tell whether an adjuster matters to some forces, or may.

    Parameters
    ----------
    forces : mapping of tuple to ndarray
        Forces, N, at the same speeds for each measured setting.
    place : int
        Which adjuster.

    Returns
    -------
    bool
        False only if turning it alone was tried and never changed a force by more than a tenth
        and 15 N.
    """
    lines: dict[Setting, list[np.ndarray]] = {}
    for setting, force in forces.items():
        lines.setdefault(_turned(setting, place, 0), []).append(np.abs(force))
    tried = [np.array(line) for line in lines.values() if len(line) > 1]
    small = [np.ptp(line, axis=0) <= _SHARE * line.min(axis=0) + _NOISE for line in tried]
    return not tried or not np.all(small)


def hub(settings: Sequence[Setting], setting: Setting, acting: Sequence[int]):
    """Return the nearest measured setting from which each adjuster reaches its clicks alone.

    Parameters
    ----------
    settings : sequence of tuple of int
        The measured settings.
    setting : tuple of int
        Clicks out from closed that are asked for.
    acting : sequence of int
        The adjusters that matter.

    Returns
    -------
    centre : tuple of int or None
        The measured setting; None if there is none.
    arms : tuple of dict
        For each adjuster that must be turned, the measured settings around its place and their
        shares.
    """
    moved = {s: [abs(a - b) for a, b in zip(s, setting, strict=True)] for s in settings}
    order = sorted(moved, key=lambda s: (sum(moved[s][i] for i in acting), sum(moved[s]), s))
    for centre in order:
        turned = [i for i in acting if moved[centre][i]]
        places = [_turned(centre, i, setting[i]) for i in turned]
        lines = [_along(settings, each, i) for each, i in zip(places, turned, strict=True)]
        if all(lines):
            arms = (
                {_turned(centre, i, clicks): share for clicks, share in line.items()}
                for i, line in zip(turned, lines, strict=True)
            )
            return centre, tuple(arms)
    return None, ()


def side_by_side(speed: np.ndarray, centre: Callable, arms: Sequence[Callable]) -> np.ndarray:
    """Return the force of several adjusters from what each does alone: valves side by side.

    At one pressure the oil of valves side by side adds up, so at one force the speeds add:
    v(F) = v0(F) + sum of (vi(F) - v0(F)).

    Parameters
    ----------
    speed : ndarray
        Shaft speeds, m/s, positive, ascending, all inside what was measured.
    centre : callable
        Force, N, positive, at a speed, of the setting that the adjusters were turned from.
    arms : sequence of callable
        The same with one adjuster turned; none, one or several.

    Returns
    -------
    ndarray
        Forces, N, at these speeds, not falling; with one arm exactly that arm.

    Examples
    --------
    Two straight lines of 1 and 2 kN s/m, both reached from one of 1.5: 1 / (1 + 0.5 - 0.667).

    >>> lines = [lambda v, c=c: c * v for c in (1500.0, 1000.0, 2000.0)]
    >>> bool(abs(side_by_side(np.array([0.6]), lines[0], lines[1:])[0] - 720.0) < 0.01)
    True
    """
    if len(arms) < 2:
        return (arms[0] if arms else centre)(speed)
    # Straight between the speeds, so that the harder of two settings stays the harder.
    fine = np.concatenate([[0.0], speed, [_FAR * speed[-1]]])
    curves = [_rising(curve(fine)) for curve in (centre, *arms)]
    force = np.unique(np.concatenate(curves))
    first, *others = (np.interp(force, curve, fine) for curve in curves)
    passed = first + sum(other - first for other in others)
    return np.interp(speed, _rising(np.maximum(passed, 0.0)), force)


def _rising(values: np.ndarray) -> np.ndarray:
    """Return values that never fall, with a step too small to matter so that they can turn."""
    return np.maximum.accumulate(values) * (1 + 1e-12) + 1e-9 * np.arange(len(values))
