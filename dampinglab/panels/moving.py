"""Pictures that move by themselves: SVG drawn once and moved by CSS, in real time."""

import html
import itertools
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from dampinglab.figures.look import BODY, FAINT, INK, PAPER, QUIET, ROAD, WHEEL, pale

__all__ = ["Bounce", "Pulse", "animation", "corner_svg", "keyframes", "new_name", "svg"]

_COUNTER = itertools.count(1)


def new_name() -> str:
    """Return a name that no other picture on the page has; names in CSS and SVG are page-wide."""
    return f"dl{next(_COUNTER)}"


def keyframes(name: str, shares: Sequence[float], transforms: Sequence[str]) -> str:
    """Return CSS that takes a part through transforms at shares (0 to 1) of its period."""
    steps = "".join(
        f"{100 * share:.2f}%{{transform:{move}}}"
        for share, move in zip(shares, transforms, strict=True)
    )
    return f"@keyframes {name}{{{steps}}}"


def animation(name: str, period: float, elapsed: float = 0.0) -> str:
    """Return the CSS that runs keyframes for ever, starting `elapsed` seconds into their period."""
    return f"animation:{name} {period:.4f}s linear {-elapsed:.3f}s infinite"


class Pulse:
    """Where in its period a moving part is, kept when its speed changes under a learner's hand."""

    def __init__(self) -> None:
        self._turns, self._period, self._seen = 0.0, math.inf, time.monotonic()

    def elapsed(self, period: float) -> float:
        """Return the seconds into a period (s) at which the part goes on from where it is."""
        now = time.monotonic()
        self._turns = (self._turns + (now - self._seen) / self._period) % 1
        self._period, self._seen = period, now
        return self._turns * period


def svg(name: str, title: str, words: str, box: tuple[int, int], style: str, parts: str) -> str:
    """Return a whole picture with title, description and a stop for those who want no motion."""
    return (
        f'<svg class="dl-moving" id="{name}" viewBox="0 0 {box[0]} {box[1]}" role="img" '
        f'aria-labelledby="{name}-title {name}-words">'
        f'<title id="{name}-title">{html.escape(title)}</title>'
        f'<desc id="{name}-words">{html.escape(words)}</desc>'
        f"<style>{style}"
        f"@media (prefers-reduced-motion: reduce){{#{name} *{{animation:none !important}}}}"
        f"</style>{parts}</svg>"
    )


@dataclass(frozen=True)
class Bounce:
    """One corner to draw: how its body stands and moves above the wheel."""

    name: str
    words: str  # under the name
    mass: str  # on the body
    sag: float  # mm from the level line down to rest
    heights: np.ndarray  # mm above rest, evenly over one period, both ends there
    period: float  # s
    elapsed: float = 0.0  # s into the period when it is put on the page
    pale: bool = False


_COLUMN = 176  # width of one corner, in the picture's own units
_GROUND, _TYRE, _SEAT = 306.0, 33.0, 234.0
_BODY_WIDTH, _BODY_HEIGHT = 112, 42


def corner_svg(
    bounces: Sequence[Bounce], title: str, words: str, level: str, level_y: float, scale: float
) -> str:
    """Return corners side by side, each bouncing in real time over a common ground.

    `scale` is picture units for each mm, and `level_y` the height of the line called `level`.
    """
    name = new_name()
    width = _COLUMN * len(bounces)
    style, parts = "", _ground(width, level, level_y)
    for i, bounce in enumerate(bounces):
        frames, drawing = _corner(f"{name}-{i}", bounce, level_y + scale * bounce.sag, scale)
        style += frames
        parts += f'<g transform="translate({_COLUMN * (i + 0.5)} 0)">{drawing}</g>'
    return svg(name, title, words, (width, 366), style, parts)


def _ground(width: int, level: str, level_y: float) -> str:
    return (
        f'<rect x="6" y="{_GROUND}" width="{width - 12}" height="5" rx="2" fill="{ROAD}"/>'
        f'<line x1="6" x2="{width - 6}" y1="{level_y}" y2="{level_y}" stroke="{INK}" '
        f'stroke-width="1.2" stroke-dasharray="9 4 2 4"/>'
        f'<text x="{width / 2}" y="{level_y - 7}" font-size="15" text-anchor="middle" '
        f'fill="{QUIET}">{html.escape(level)}</text>'
    )


def _corner(part: str, bounce: Bounce, rest: float, scale: float) -> tuple[str, str]:
    """Return the motion and the drawing of one corner around x = 0, its body at rest at `rest`."""
    heights = scale * np.asarray(bounce.heights, float)
    shares = np.linspace(0, 1, heights.size)
    length = _SEAT - rest
    style = keyframes(f"{part}b", shares, [f"translateY({-h:.2f}px)" for h in heights])
    style += keyframes(f"{part}s", shares, [f"scaleY({1 + h / length:.4f})" for h in heights])
    for kind in "bs":
        run = animation(f"{part}{kind}", bounce.period, bounce.elapsed)
        style += f".{part}{kind}{{{run}}}"
    drawing = _wheel(bounce.pale) + _spring(f"{part}s", length, bounce.pale)
    drawing += _body(f"{part}b", rest, bounce) + _cylinder(bounce.pale)
    return style, drawing + _names(bounce)


def _ink(colour: str, faded: bool) -> str:
    """Return stroke attributes: full and solid now, pale and dotted before."""
    dots = ' stroke-dasharray="2 3"' if faded else ""
    return f'stroke="{pale(colour) if faded else colour}"{dots}'


def _wheel(faded: bool) -> str:
    ink, hub = _ink(WHEEL, faded), _GROUND - _TYRE
    return (
        f'<circle cy="{hub - 3.5}" r="{_TYRE - 3.5}" fill="{PAPER}" {ink} '
        f'stroke-width="{3 if faded else 8}"/>'
        f'<circle cy="{hub - 3.5}" r="5" fill="{pale(WHEEL) if faded else WHEEL}"/>'
        f'<path d="M0 {hub - 6}V{_SEAT}M-40 {_SEAT}H40" fill="none" {ink} '
        f'stroke-width="{2 if faded else 4}"/>'
    )


def _spring(part: str, length: float, faded: bool) -> str:
    """Return a coil that stands on the seat and is stretched as the body moves."""
    turns = 6
    pitch = length / (turns + 1)
    zigzag = "".join(f"L{13 * (-1) ** i} {-(i + 1) * pitch:.1f}" for i in range(turns))
    path = f"M0 0L0 {-pitch / 2:.1f}{zigzag}L0 {-length + pitch / 2:.1f}L0 {-length:.1f}"
    return (
        f'<g transform="translate(-22 {_SEAT})"><path class="{part}" d="{path}" fill="none" '
        f'{_ink(BODY, faded)} stroke-width="3" stroke-linejoin="round"/></g>'
    )


def _cylinder(faded: bool) -> str:
    return (
        f'<rect x="14" y="{_SEAT - 62}" width="16" height="62" rx="2" fill="{FAINT}" '
        f'{_ink(BODY, faded)} stroke-width="2"/>'
    )


def _body(part: str, rest: float, bounce: Bounce) -> str:
    """Return the body with its mass on it and the damper's rod below it."""
    top, left = rest - _BODY_HEIGHT, -_BODY_WIDTH / 2
    rod = _SEAT - rest - 20
    fill, words = (PAPER, QUIET) if bounce.pale else (BODY, PAPER)
    ink = _ink(BODY, bounce.pale)
    return (
        f'<g class="{part}"><path d="M22 {rest:.1f}v{rod:.1f}" {ink} stroke-width="5"/>'
        f'<rect x="{left}" y="{top:.1f}" width="{_BODY_WIDTH}" height="{_BODY_HEIGHT}" rx="7" '
        f'fill="{fill}" {ink} stroke-width="2.5"/><text y="{top + 27:.1f}" font-size="17" '
        f'text-anchor="middle" fill="{words}">{html.escape(bounce.mass)}</text></g>'
    )


def _names(bounce: Bounce) -> str:
    ink = QUIET if bounce.pale else INK
    weight = "400" if bounce.pale else "700"
    return (
        f'<text y="333" font-size="17" font-weight="{weight}" text-anchor="middle" fill="{ink}">'
        f"{html.escape(bounce.name)}</text>"
        f'<text y="355" font-size="16" text-anchor="middle" fill="{ink}">'
        f"{html.escape(bounce.words)}</text>"
    )
