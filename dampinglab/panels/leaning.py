"""The whole vehicle drawn as it leans, dives or rides over waves, in real time."""

import numpy as np

from dampinglab.figures.lean import Leaning
from dampinglab.figures.look import (
    BODY,
    BUMP,
    FAINT,
    INK,
    PAPER,
    QUIET,
    REBOUND,
    ROAD,
    WHEEL,
    pale,
)
from dampinglab.panels.moving import animation, keyframes, new_name, svg

__all__ = ["LARGER", "leaning_svg"]

LARGER = 3
"""Heights and angles are drawn so many times as large."""

_WIDE, _TALL, _MIDDLE, _GROUND = 320, 452, 160, 222
_PACE = 25  # keyframes a second
_FOOT, _MOST = 398, 92  # where the columns of work stand, and how tall one can be


def leaning_svg(now: Leaning, before: Leaning, elapsed: float) -> str:
    """Return the vehicle moving, what was before as an outline, and the work of its dampers."""
    name, view = new_name(), "from behind" if now.way == "roll" else "from the side"
    style, parts = _vehicle(f"{name}n", now, elapsed, faded=False)
    if now.setting != before.setting:
        pair = zip((style, parts), _vehicle(f"{name}g", before, elapsed, faded=True), strict=True)
        style, parts = (ours + ghost for ours, ghost in pair)
    larger = f"moves {LARGER} times as far"
    parts += _line(_MIDDLE, 18, f"{larger} here", QUIET) + _columns(now, before)
    title = f"The vehicle {view}, moving in real time, and the work of its dampers"
    words = f"Drawn so that it {larger} as it would. {_told(now)}"
    return svg(name, title, words, (_WIDE, _TALL), style, parts)


def _vehicle(part: str, seen: Leaning, elapsed: float, faded: bool) -> tuple[str, str]:
    """Return the motion and the drawing of one run; of what was before the body alone."""
    behind = seen.way == "roll"
    scale = 100.0 if behind else 66.0  # units for each metre
    half = scale * seen.span / 2
    drawn = "" if faded else _road(part, seen, half) + _wheels(part, behind, half)
    drawn += _body(part, behind, half, faded)
    return _motion(part, _moves(seen, scale), seen.time, elapsed), drawn


def _moves(seen: Leaning, scale: float) -> dict[str, list[str]]:
    """Return where body, wheels and road are at each keyframe."""
    first, last = seen.time[[0, -1]]
    at, up = np.linspace(first, last, round(_PACE * (last - first)) + 1), LARGER * scale
    pairs = (seen.ends, seen.wheels, seen.road)
    low, high, *rest = (np.interp(at, seen.time, pair[:, i]) for pair in pairs for i in (0, 1))
    tilt, middle = np.degrees(LARGER * (low - high) / seen.span), -up * (low + high) / 2
    steps = zip(middle, tilt, strict=True)
    moves = {"b": [f"translateY({y:.2f}px) rotate({a:.2f}deg)" for y, a in steps]}
    for key, heights in zip(("w0", "w1", "r0", "r1"), rest, strict=True):
        moves[key] = [f"translateY({-up * h:.2f}px)" for h in heights]
    return moves


def _motion(part: str, moves: dict[str, list[str]], time: np.ndarray, elapsed: float) -> str:
    """Return the CSS that moves what moves at all."""
    length = float(time[-1] - time[0])
    return "".join(
        keyframes(part + key, np.linspace(0, 1, len(steps)), steps)
        + f".{part}{key}{{{animation(part + key, length, elapsed)}}}"
        for key, steps in moves.items()
        if len(set(steps)) > 1
    )


def _road(part: str, now: Leaning, half: float) -> str:
    """Return the road: one line, or a piece under each axle where it goes up and down."""
    if not np.ptp(now.road):
        return _slab(_MIDDLE, _WIDE - 12, "")
    return _slab(_MIDDLE - half, 96, f"{part}r0") + _slab(_MIDDLE + half, 96, f"{part}r1")


def _slab(x: float, wide: float, name: str) -> str:
    return (
        f'<rect class="{name}" x="{x - wide / 2}" y="{_GROUND}" width="{wide}" height="6" rx="2" '
        f'fill="{ROAD}"/>'
    )


def _wheels(part: str, behind: bool, half: float) -> str:
    """Return two wheels: upright from behind, with the axle between them, or round."""
    drawn = ""
    for i, x in enumerate((_MIDDLE - half, _MIDDLE + half)):
        shape = (
            f'<rect x="{x - 12}" y="{_GROUND - 76}" width="24" height="76" rx="7" fill="{WHEEL}"/>'
            if behind
            else f'<circle cx="{x}" cy="{_GROUND - 25}" r="20" fill="{PAPER}" stroke="{WHEEL}" '
            f'stroke-width="10"/>'
        )
        drawn += f'<g class="{part}w{i}">{shape}</g>'
    if not behind:
        return drawn
    y = _GROUND - 38
    axle = f'<path d="M{_MIDDLE - half} {y}H{_MIDDLE + half}" stroke="{WHEEL}" stroke-width="7"/>'
    return axle + drawn


def _body(part: str, behind: bool, half: float, faded: bool) -> str:
    """Return the body around the middle of its axles: full now, an outline before."""
    ink = f'stroke="{QUIET if faded else BODY}" stroke-width="{2 if faded else 2.5}"'
    dots = ' stroke-dasharray="2 4"' if faded else ""
    shell, glass = _from_behind(half) if behind else _from_the_side(half)
    fill = "none" if faded else FAINT
    drawn = f'<path d="{shell}" fill="{fill}" {ink}{dots} stroke-linejoin="round"/>'
    if not faded:
        drawn += f'<path d="{glass}" fill="{PAPER}" {ink} stroke-linejoin="round"/>'
    return f'<g transform="translate({_MIDDLE} {_GROUND - 30})"><g class="{part}b">{drawn}</g></g>'


def _from_behind(half: float) -> tuple[str, str]:
    low, wide, roof = half - 18, half + 8, half - 14
    shell = f"M{-low} -16V-40H{-wide}V-86L{-wide + 8} -94L{-roof} -146H{roof}L{wide - 8} -94"
    glass = f"M{-wide + 18} -94L{-roof + 8} -136H{roof - 8}L{wide - 18} -94Z"
    return f"{shell}L{wide} -86V-40H{low}V-16Z", glass


def _from_the_side(half: float) -> tuple[str, str]:
    r, f = -half, half
    shell = (
        f"M{r - 38} -16V-62L{r - 28} -112H{f - 66}L{f - 26} -66L{f + 40} -56V-16H{f + 30}"
        f"A30 30 0 0 0 {f - 30} -16H{r + 30}A30 30 0 0 0 {r - 30} -16Z"
    )
    return shell, f"M{r - 18} -66L{r - 14} -102H{f - 72}L{f - 42} -66Z"


def _columns(now: Leaning, before: Leaning) -> str:
    """Return what each axle's dampers took in bump and in rebound, before as an outline."""
    top = max(now.work.max(), before.work.max())
    drawn = _line(_MIDDLE, 256, "Work of the dampers", INK)
    for i, axle in enumerate(("front", "rear")):
        centre = 80 + 160 * i
        drawn += f'<path d="M{centre - 68} {_FOOT}h136" stroke="{QUIET}" stroke-width="1.5"/>'
        share = now.work[i].sum() / now.work.sum()
        drawn += _line(centre, _FOOT + 42, f"{axle} {100 * share:.0f} %", INK, 700)
        for j, (word, colour) in enumerate((("bump", BUMP), ("rebound", REBOUND))):
            x = centre + (-37, 37)[j]
            tall, old = (_MOST * seen.work[i, j] / top for seen in (now, before))
            drawn += _column(x, tall, old, colour, dashed=bool(j))
            drawn += _line(x, _FOOT - max(tall, old) - 6, f"{now.work[i, j]:.0f} J", INK)
            drawn += _line(x, _FOOT + 19, word, INK)
    return drawn


def _column(x: float, tall: float, old: float, colour: str, dashed: bool) -> str:
    dash = ' stroke-dasharray="7 3"' if dashed else ""
    return (
        f'<rect x="{x - 22}" y="{_FOOT - tall:.1f}" width="44" height="{tall:.1f}" '
        f'fill="{pale(colour, 0.8)}" stroke="{colour}" stroke-width="3"{dash}/>'
        f'<rect x="{x - 26}" y="{_FOOT - old:.1f}" width="52" height="{old:.1f}" fill="none" '
        f'stroke="{QUIET}" stroke-width="1.5" stroke-dasharray="2 3"/>'
    )


def _line(x: float, y: float, words: str, colour: str, weight: int = 400) -> str:
    return (
        f'<text x="{x}" y="{y:.1f}" font-size="15" font-weight="{weight}" text-anchor="middle" '
        f'fill="{colour}">{words}</text>'
    )


def _told(now: Leaning) -> str:
    """Return the work in words."""
    parts = [
        f"{axle} {now.work[i, 0]:.0f} J in bump and {now.work[i, 1]:.0f} J in rebound"
        for i, axle in enumerate(("front", "rear"))
    ]
    return f"Work of the dampers: {'; '.join(parts)}."
