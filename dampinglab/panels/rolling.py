"""One corner drawn as it drives: the road goes by under the wheel, in real time.

Heights are drawn to one scale, larger than lengths along the road. The tyre is squeezed by as much
as it was computed to be, so where it leaves the road a gap shows.
"""

import html

import numpy as np

from dampinglab.figures.corner import Drive
from dampinglab.figures.look import BODY, FAINT, INK, PAPER, QUIET, ROAD, WHEEL, ladder, pale
from dampinglab.panels.moving import animation, keyframes, new_name, svg

__all__ = ["rolling_svg"]

# Keyframes a second: one for each picture of a usual screen, of a long drive no more than the
# wheel's hop needs, for every keyframe is paid for while a slider is moved.
_FAST, _SLOW, _MOST = 60, 20, 400
_WIDE, _TALL = 300, 430
_MIDDLE, _GROUND = 150, 356  # where the wheel stands, and the road at rest
_HUB, _BODY_TALL, _PAD = 40, 48, 12
_ROAD_PACE = 260  # units of road a second: somewhat over half a second is seen coming
_ROOM_UP, _ROOM_DOWN = 88, 56  # units that body and road may move
_SCALES = (1.4, 1.7, 2.0, 2.5, 3.3, 5.0, 8.0, 15.0)  # mm for each unit


def rolling_svg(now: Drive, before: Drive, elapsed: float) -> str:
    """Return the corner as it drives, `elapsed` seconds into the drive; what was is an outline."""
    name, scale = new_name(), _scale(now, before)
    tracks = _tracks(now, scale)
    ghost = now.setting != before.setting
    if ghost:
        tracks["g"] = _up(_sampled(before, before.body, _SLOW), scale)
    style = _motion(name, tracks, float(now.time[-1]), elapsed)
    parts = _road(name, now, scale) + (_outline(name, now, scale) if ghost else "")
    parts += _corner(name, now, scale) + _words(now, ghost)
    title = "The corner driving over the road in real time"
    words = f"On {now.road}. Heights are drawn larger than lengths along the road."
    return svg(name, title, words, (_WIDE, _TALL), style, parts)


def _motion(name: str, tracks: dict[str, list[str]], period: float, elapsed: float) -> str:
    """Return the CSS that takes each part through its track."""
    pulled = f"translateX({-_ROAD_PACE * period:.0f}px)"
    style = ""
    for kind, moves in {**tracks, "r": ["translateX(0)", pulled]}.items():
        part = name + kind
        style += keyframes(part, np.linspace(0, 1, len(moves)), moves)
        style += f".{part}{{{animation(part, period, elapsed)}}}"
    return style


def _scale(now: Drive, before: Drive) -> float:
    """Return units of the drawing for each metre, in rungs, so that all that moves is in it."""
    up = max(now.body.max(), before.body.max(), now.height.max())
    down = max(-now.height.min(), -now.body.min(), -before.body.min())
    most = 1e3 * max(up / _ROOM_UP, down / _ROOM_DOWN, (now.bump_gap + now.foam) / 95)
    return 1e3 / ladder(most, _SCALES)


def _sampled(drive: Drive, signal: np.ndarray, rate: int = _FAST) -> np.ndarray:
    """Return a signal at so many keyframes a second."""
    count = min(round(rate * float(drive.time[-1])), _MOST)
    return np.interp(np.linspace(0, drive.time[-1], count + 1), drive.time, signal)


def _up(heights: np.ndarray, scale: float) -> list[str]:
    return [f"translateY({-scale * h:.1f}px)" for h in heights]


def _tracks(now: Drive, scale: float) -> dict[str, list[str]]:
    """Return how body, wheel, spring and tyre go through the drive."""
    body, wheel, road = (_sampled(now, s) for s in (now.body, now.wheel, now.height))
    length = _length(now, scale)
    free = _HUB + scale * now.squeeze
    tyre = np.minimum(1.0, (_HUB + scale * (wheel - road)) / free)
    return {
        "b": _up(_sampled(now, now.body, _SLOW), scale),
        "w": _up(wheel, scale),
        "s": [f"scaleY({1 - scale * t / length:.3f})" for t in wheel - body],
        "t": [f"scaleY({share:.3f})" for share in tyre],
    }


def _length(now: Drive, scale: float) -> float:
    """Return how long the spring is at rest: the way to the foam, the foam, and its seat."""
    return scale * (now.bump_gap + now.foam) + _PAD


_SEAT = _GROUND - 2 * _HUB - 8


def _road(name: str, now: Drive, scale: float) -> str:
    """Return the road as one band that is pulled past, level before and behind."""
    along = np.linspace(0, now.time[-1], round(_ROAD_PACE / 2 * float(now.time[-1])))
    heights = _GROUND - scale * np.interp(along, now.time, now.height)
    across = _MIDDLE + _ROAD_PACE * along
    line = "".join(f"L{x:.0f} {y:.1f}" for x, y in zip(across, heights, strict=True))
    end = across[-1] + _WIDE
    return (
        f'<g class="{name}r"><path d="M-10 {_TALL}V{_GROUND}{line}H{end:.0f}V{_TALL}Z" '
        f'fill="{pale(ROAD, 0.35)}" stroke="{ROAD}" stroke-width="3"/></g>'
    )


def _outline(name: str, now: Drive, scale: float) -> str:
    """Return the body as it went before."""
    top = _SEAT - _length(now, scale) - _BODY_TALL
    return (
        f'<g class="{name}g"><rect x="{_MIDDLE - 84}" y="{top:.1f}" width="168" '
        f'height="{_BODY_TALL}" rx="8" fill="none" stroke="{pale(BODY)}" stroke-width="3" '
        f'stroke-dasharray="3 4"/></g>'
    )


def _corner(name: str, now: Drive, scale: float) -> str:
    """Return wheel, spring, damper, bump stop and body, at rest."""
    length = _length(now, scale)
    inner = f'<g transform="translate({_MIDDLE} 0)">'
    return (
        f'{inner}<g class="{name}w">{_wheel(name, now, scale)}</g>'
        f'<g class="{name}b">{_hanging(name, length)}</g></g>'
    )


def _wheel(name: str, now: Drive, scale: float) -> str:
    """Return what goes with the wheel: tyre, hub, the arm that carries spring and foam."""
    foam, radius = scale * now.foam + _PAD, _HUB + scale * now.squeeze
    hub = _GROUND - _HUB
    return (
        f'<g transform="translate(0 {hub})"><circle class="{name}t" r="{radius:.1f}" '
        f'fill="{WHEEL}"/><circle r="22" fill="{PAPER}"/><circle r="6" fill="{WHEEL}"/></g>'
        f'<path d="M0 {hub}V{_SEAT}M-56 {_SEAT}H56" fill="none" stroke="{WHEEL}" stroke-width="5"/>'
        f'<rect x="-10" y="{_SEAT - foam:.1f}" width="20" height="{foam:.1f}" rx="6" '
        f'fill="{FAINT}" stroke="{INK}" stroke-width="2"/>'
        f'<rect x="24" y="{_SEAT - 58}" width="20" height="58" rx="3" fill="{FAINT}" '
        f'stroke="{BODY}" stroke-width="2.5"/>'
    )


def _hanging(name: str, length: float) -> str:
    """Return what goes with the body: the rod, the spring below it, the body itself."""
    low, turns = _SEAT - length, 7
    pitch = length / (turns + 1)
    zigzag = "".join(f"L{15 * (-1) ** i} {(i + 1) * pitch:.1f}" for i in range(turns))
    path = f"M0 0L0 {pitch / 2:.1f}{zigzag}L0 {length - pitch / 2:.1f}L0 {length:.1f}"
    return (
        f'<path d="M34 {low:.1f}V{_SEAT - 30}" stroke="{BODY}" stroke-width="5"/>'
        f'<g transform="translate(-36 {low:.1f})"><path class="{name}s" d="{path}" fill="none" '
        f'stroke="{BODY}" stroke-width="3.5" stroke-linejoin="round"/></g>'
        f'<rect x="-84" y="{low - _BODY_TALL:.1f}" width="168" height="{_BODY_TALL}" rx="8" '
        f'fill="{BODY}"/><text y="{low - 17:.1f}" font-size="17" text-anchor="middle" '
        f'fill="{PAPER}">body</text>'
    )


def _words(now: Drive, ghost: bool) -> str:
    """Return the road and the pace, one under the other, and what the outline is."""
    told = [(text, _TALL - 27 + 20 * i, INK) for i, text in enumerate(now.road.split(" at "))]
    if ghost:
        told.append(("dotted: the body before", 20, QUIET))
    return "".join(
        f'<text x="{_MIDDLE}" y="{y}" font-size="16" font-weight="{700 if ink == INK else 400}" '
        f'text-anchor="middle" fill="{ink}">{html.escape(text)}</text>'
        for text, y, ink in told
    )
