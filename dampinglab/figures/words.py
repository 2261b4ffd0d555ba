"""Turns of phrase that several pictures share; numbers are plain and carry their unit."""

import math
from collections.abc import Sequence

from dampinglab.units import from_si, minus, show
from dampinglab.workshop.watched import FELT

__all__ = [
    "FELT_MEANS",
    "at_clicks",
    "both_forces",
    "by_percent",
    "change",
    "felt",
    "percent",
    "plain",
    "price",
    "same",
    "turned",
]

FELT_MEANS = f"Felt means {100 * FELT:.0f} % or more: an assumption (common practice, no source)."
"""What `felt` stands on, said once below a panel."""


def same(now: float, before: float, share: float = 0.003) -> bool:
    """Return True when two results differ by so small a share that nobody could tell them apart."""
    return abs(now - before) <= share * max(abs(now), abs(before), 1e-12)


def change(now: float, before: float) -> float:
    """Return the change as a share of what was."""
    return (now - before) / before


def by_percent(share: float) -> str:
    """Return a change as signed whole percent, or that it is less than one."""
    full = round(100 * share)
    return minus(f"{full:+d} %") if full else "under 1 %"


def percent(share: float) -> str:
    """Return the size of a change in whole percent, finer where rounding would have it felt."""
    size = round(abs(share), 6)
    lifted = size < FELT <= round(size, 2)
    return f"{math.floor(1000 * size) / 10:.1f} %" if lifted else f"{100 * size:.0f} %"


def felt(share: float) -> str:
    """Return whether a change of this share would be felt."""
    return "Felt." if abs(share) >= FELT else "Hardly felt."


def plain(value: float, unit: str) -> str:
    """Return an SI value in a unit as a whole number, without a sign: 24 mm."""
    return f"{abs(from_si(value, unit)):.0f} {unit}"


def both_forces(force: float) -> str:
    """Return a force in newtons and, beside it, as the weight of a mass: 886 N (90.3 kgf)."""
    return f"{plain(force, 'N')} ({show(abs(force), 'kgf')})"


_TRAVEL = "there is less force to slow the wheel on its way up, so more travel is used"


def price(side: str, more: bool) -> str:
    """Return what more or less damping costs in a direction, bump or rebound."""
    costs = {
        ("bump", True): "more of every bump at such speeds goes into the body",
        ("bump", False): _TRAVEL,
        ("rebound", True): "the wheel is held up longer when the road falls away",
        ("rebound", False): "there is less force to hold the body back after a bump",
    }
    return f"The price: {costs[side, more]}."


def at_clicks(setting: Sequence[tuple[str, int]]) -> str:
    """Return at which clicks something stands, to follow its name; empty where nothing turns."""
    clicks = ", ".join(f"{name} {n}" for name, n in setting)
    return f" at {clicks} clicks out" if clicks else ""


def turned(now: Sequence[tuple[str, int]], before: Sequence[tuple[str, int]]) -> str:
    """Return which adjusters were turned, each given with its clicks out, or nothing."""
    old = dict(before)
    moves = [f"{name} from {old[name]} to {n}" for name, n in now if old[name] != n]
    words = " and ".join(filter(None, (", ".join(moves[:-1]), *moves[-1:])))
    return f"{words[0].upper()}{words[1:]} clicks out" if moves else ""
