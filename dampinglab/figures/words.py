"""Turns of phrase that several pictures share; numbers are plain and carry their unit."""

from collections.abc import Sequence

from dampinglab.units import from_si, show

__all__ = ["FELT", "both_forces", "change", "felt", "plain", "price", "same", "turned"]

FELT = 0.10
"""Smallest share of change that is taken as felt: an assumption of this course, no source."""


def same(now: float, before: float, share: float = 0.003) -> bool:
    """Return True when two results differ by so small a share that nobody could tell them apart."""
    return abs(now - before) <= share * max(abs(now), abs(before), 1e-12)


def change(now: float, before: float) -> float:
    """Return the change as a share of what was."""
    return (now - before) / before


def felt(share: float, who: str = "A driver") -> str:
    """Return whether a change of this share would be felt, with the assumption behind it."""
    would = "would feel that" if abs(share) >= FELT else "would hardly feel that"
    return f"{who} {would}, if {100 * FELT:.0f} % is the least that is felt."


def plain(value: float, unit: str, places: int = 0) -> str:
    """Return an SI value in a unit with so many decimals, without a sign: 24 mm."""
    return f"{abs(from_si(value, unit)):.{places}f} {unit}"


def both_forces(force: float) -> str:
    """Return a force in newtons and, beside it, as the weight of a mass: 886 N (90.3 kgf)."""
    return f"{plain(force, 'N')} ({show(abs(force), 'kgf')})"


def price(side: str, more: bool) -> str:
    """Return what more or less damping costs in a direction, bump or rebound."""
    costs = {
        ("bump", True): "more of every bump at such speeds goes into the body",
        ("bump", False): "less slows the wheel on its way up, so more travel is used",
        ("rebound", True): "the wheel is held up longer when the road falls away",
        ("rebound", False): "less holds the body back after a bump",
    }
    return f"The price: {costs[side, more]}."


def turned(now: Sequence[tuple[str, int]], before: Sequence[tuple[str, int]]) -> str:
    """Return which adjusters were turned, each given with its clicks out, or nothing."""
    old = dict(before)
    moves = [f"{name} from {old[name]} to {n}" for name, n in now if old[name] != n]
    words = " and ".join(moves)
    return f"{words[0].upper()}{words[1:]} clicks out" if moves else ""
