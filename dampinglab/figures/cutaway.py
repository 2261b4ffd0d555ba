"""A damper cut open: a drawing whose lines are as wide as the share of oil that they carry."""

import html
from dataclasses import dataclass

from dampinglab.figures.look import BODY, BUMP, DESK, FAINT, INK, PAPER, QUIET, REBOUND, Size, pale
from dampinglab.figures.words import change, felt, plain, price, same, turned

__all__ = [
    "WIDEST",
    "Cut",
    "Passage",
    "Plan",
    "Range",
    "alternative",
    "drawing",
    "scene",
    "sentence",
    "update",
]

WIDEST = 30.0  # of the line that carries all the oil of its place, in the drawing's units
_PLACES = {"base": "base valve", "piston": "piston"}
_SLIGHT = 0.005  # share of force, or of oil, that is not worth a word


@dataclass(frozen=True)
class Passage:
    """One way for the oil through the base valve or through the piston."""

    name: str
    place: str  # "base" or "piston"
    share: float  # of the oil that passes there, 0 to 1
    adjuster: str  # that turns it, with its clicks out; or that there is none


@dataclass(frozen=True)
class Range:
    """What one adjuster could do to the force at this speed, the others as they are."""

    name: str
    closed: float  # N
    opened: float  # N
    acts: bool  # whether it has a passage in this direction at all


@dataclass(frozen=True)
class Cut:
    """One damper at one shaft speed, solved."""

    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    side: str  # "bump" or "rebound"
    speed: float  # m/s, above zero
    force: float  # N of the valves, resisting
    parts: dict[str, float]  # N of it, from "base" and "piston"
    passages: tuple[Passage, ...]
    ranges: tuple[Range, ...]
    void: float = 0.0  # share of the piston's way that stays empty


@dataclass
class Plan:
    """The drawing as it stands."""

    size: Size
    now: Cut | None = None
    before: Cut | None = None


def scene(size: Size = DESK) -> Plan:
    """Return the empty drawing."""
    return Plan(size)


def update(made: Plan, now: Cut, before: Cut) -> None:
    """Put results into the drawing."""
    made.now, made.before = now, before


_TOP, _FLOOR = 52, 388  # of the cylinder
_BLOCK = 262  # width of piston and base valve
_LEFT = {"piston": 158, "base": 482}
_MIDDLE = (_TOP + _FLOOR) / 2
_OUT = 24  # how far a line goes on beyond its block
_PITCH = {"bump": 40, "rebound": 24}  # from one mark of the moving oil to the next


def drawing(made: Plan, name: str) -> tuple[str, str]:
    """Return the style and the parts of the drawing, 940 by 430; `name` is its own on the page."""
    now, font = made.now, 16 if made.size is DESK else 19
    colour = BUMP if now.side == "bump" else REBOUND
    parts = _vessel(now)
    for place in _LEFT:
        pairs = zip(now.passages, made.before.passages, strict=True)
        rows = [pair for pair in pairs if pair[0].place == place]
        tall, way = (_FLOOR - _TOP) / len(rows), _way(now.side, place)
        for i, (passage, old) in enumerate(rows):
            parts += _row(passage, old, _TOP + i * tall, tall, way, colour, name)
    return _motion(now, name, font), parts + _words(now, made.before)


def _way(side: str, place: str) -> int:
    """Return +1 where the oil goes to the right. The piston meets oil on the side it moves to."""
    return 1 if (side == "bump") == (place == "base") else -1


def _motion(now: Cut, name: str, font: int) -> str:
    """Return the style: size of words, and oil that moves faster where the shaft does."""
    pitch = _PITCH[now.side]
    period = pitch / (260 * now.speed**0.5)
    steps = "".join(
        f"@keyframes {name}{way}{{to{{{move}}}}}"
        f".{name}{way}{{animation:{name}{way} {period:.3f}s linear infinite}}"
        for way, move in (
            ("r", f"transform:translateX({pitch}px)"),
            ("l", f"transform:translateX(-{pitch}px)"),
            ("d", f"stroke-dashoffset:-{pitch}px"),
        )
    )
    return f"#{name} text{{font-size:{font}px}}{steps}"


def _vessel(now: Cut) -> str:
    """Return cylinder, rod, piston, base valve and reservoir, empty."""
    edge = f'stroke="{BODY}" stroke-width="3"'
    tall, way = _FLOOR - _TOP, 1 if now.side == "bump" else -1
    tip, tail = (118, 24) if way > 0 else (24, 118)
    blocks = "".join(
        f'<rect x="{x}" y="{_TOP}" width="{_BLOCK}" height="{tall}" fill="{PAPER}" {edge}/>'
        for x in _LEFT.values()
    )
    return (
        f'<rect x="64" y="{_TOP}" width="868" height="{tall}" rx="10" fill="{FAINT}" {edge}/>'
        f'<path d="M846 {_TOP + 2}H922a9 9 0 0 1 9 9V{_FLOOR - 11}a9 9 0 0 1 -9 9H846z" '
        f'fill="{PAPER}"/><rect x="832" y="{_TOP}" width="16" height="{tall}" fill="{QUIET}"/>'
        f'<rect x="4" y="{_MIDDLE - 20}" width="156" height="40" fill="{QUIET}" {edge}/>'
        f'{blocks}<path d="M{tail} {_MIDDLE}H{tip - 12 * way}" stroke="{PAPER}" stroke-width="6"/>'
        f'<path d="M{tip} {_MIDDLE}l{-18 * way} -12v24z" fill="{PAPER}"/>'
    )


def _row(
    passage: Passage, old: Passage, top: float, tall: float, way: int, colour: str, name: str
) -> str:
    """Return one passage: its words, its line, and the outline of what it carried before."""
    left, y = _LEFT[passage.place], top + tall / 2
    parts = f'<path d="M{left} {top}h{_BLOCK}" stroke="{BODY}" stroke-width="1"/>'
    if passage.share > 0:
        fill = pale(colour, 0.1)
        parts = (
            f'<rect x="{left}" y="{top}" width="{_BLOCK}" height="{tall}" fill="{fill}"/>{parts}'
        )
        parts += _line(passage, left, y, way, colour, name)
    else:
        middle = left + _BLOCK / 2
        parts += (
            f'<path d="M{left} {y}H{middle - 5}m0 -12v24m10 -24v24m0 -12H{left + _BLOCK}" '
            f'fill="none" stroke="{QUIET}" stroke-width="2.5"/>'
        )
    return parts + _ghost(passage, old, left, y, colour) + _row_words(passage, left, y)


def _line(passage: Passage, left: float, y: float, way: int, colour: str, name: str) -> str:
    """Return the lit line, as wide as its share, solid for bump and dashed for rebound."""
    width, start = WIDEST * passage.share, left - _OUT if way > 0 else left + _BLOCK + _OUT
    end = left + _BLOCK + _OUT if way > 0 else left - _OUT
    half, dashed = width / 2 + 6, colour == REBOUND
    dash = f' stroke-dasharray="16 8" class="{name}d"' if dashed else ""
    marks = "" if dashed else _chevrons(start, y, way, width, name)
    return (
        f'<path d="M{start} {y}H{end - 14 * way}" data-passage="{passage.name}" stroke="{colour}" '
        f'stroke-width="{width:.2f}"{dash}/>{marks}'
        f'<path d="M{end} {y}l{-16 * way} {-half:.1f}v{2 * half:.1f}z" fill="{colour}"/>'
    )


def _chevrons(start: float, y: float, way: int, width: float, name: str) -> str:
    """Return marks that move along a solid line, where it is wide enough for them."""
    if width < 7:
        return ""
    high, pitch = 0.3 * width, _PITCH["bump"]
    path = "".join(
        f"M{start + way * (6 + i * pitch)} {y - high:.1f}l{way * high:.1f} {high:.1f}"
        f"l{-way * high:.1f} {high:.1f}"
        for i in range(6)
    )
    return (
        f'<path class="{name}{"r" if way > 0 else "l"}" d="{path}" fill="none" stroke="{PAPER}" '
        f'stroke-width="2.5"/>'
    )


def _ghost(passage: Passage, old: Passage, left: float, y: float, colour: str) -> str:
    """Return the outline of the line before, pale and dotted, where it was another."""
    if same(passage.share, old.share, _SLIGHT):
        return ""
    half = WIDEST * old.share / 2
    return (
        f'<path class="before" d="M{left} {y - half:.2f}h{_BLOCK}M{left} {y + half:.2f}h{_BLOCK}" '
        f'stroke="{pale(colour)}" stroke-width="3" stroke-dasharray="2 4"/>'
    )


def _row_words(passage: Passage, left: float, y: float) -> str:
    share = f"{100 * passage.share:.0f} %" if passage.share else "shut"
    quiet = INK if passage.share else QUIET
    return (
        _text(left + 8, y - 20, passage.name, quiet)
        + _text(left + _BLOCK - 8, y - 20, share, quiet, "end", 700)
        + _text(left + 8, y + 34, passage.adjuster, QUIET)
    )


def _text(
    x: float, y: float, words: str, ink: str = INK, anchor: str = "start", weight: int = 400
) -> str:
    return (
        f'<text x="{x}" y="{y:.1f}" text-anchor="{anchor}" font-weight="{weight}" '
        f'fill="{ink}">{html.escape(words)}</text>'
    )


def _words(now: Cut, before: Cut) -> str:
    """Return what stands around the vessel."""
    goes = "in" if now.side == "bump" else "out"
    head = f"{now.side.capitalize()}: the shaft goes {goes} at {now.speed:.2f} m/s"
    parts = _text(4, 30, head, INK, "start", 700) + _text(885, _MIDDLE + 6, "gas", INK, "middle")
    parts += _text(932, 30, f"the valves resist with {plain(now.force, 'N')}", INK, "end", 700)
    for place, words in _PLACES.items():
        share = f"{words}: {plain(now.parts[place], 'N')} of it"
        parts += _text(_LEFT[place] + _BLOCK / 2, 418, share, INK, "middle")
    ghost = any(p.share != o.share for p, o in zip(now.passages, before.passages, strict=True))
    return parts + (_text(932, 418, "dotted: before", QUIET, "end") if ghost else "")


def sentence(now: Cut, before: Cut) -> str:
    """Return what the turn did, which passage carries what, and which adjuster moves it now."""
    return " ".join(filter(None, (_turn(now, before), _paths(now), _adjusters(now))))


def _turn(now: Cut, before: Cut) -> str:
    """Return what the clicks did to the force, if it is felt, and the price."""
    clicks = turned(now.setting, before.setting)
    if not clicks:
        return "No change, for no click was turned."
    share = change(now.force, before.force)
    if abs(share) < _SLIGHT:
        return f"{clicks}: no change of force in {now.side} at {now.speed:.2f} m/s."
    way = "more" if share > 0 else "less"
    size = f"{plain(now.force - before.force, 'N')} {way} ({100 * abs(share):.0f} %)"
    return f"{clicks}: {size}. {felt(share)} {price(now.side, share > 0)}"


def _paths(now: Cut) -> str:
    """Return the share of each open passage."""
    told = []
    for place, words in _PLACES.items():
        ways = [
            f"{100 * p.share:.0f} % through the {p.name}"
            for p in now.passages
            if p.place == place and p.share > 0
        ]
        told.append(f"the {words}'s oil goes {' and '.join(ways)}")
    empty = (
        f" Oil breaks away behind the piston: {100 * now.void:.0f} % of its way stays empty, and "
        "the force stops growing with speed as it did."
    )
    at = f"In {now.side} at {now.speed:.2f} m/s"
    return f"{at} {'; '.join(told)}.{empty if now.void > 0 else ''}"


def _adjusters(now: Cut) -> str:
    """Return which adjuster moves the force now, and plainly which does nothing."""
    spans = sorted(now.ranges, key=lambda r: -abs(r.closed - r.opened))
    moving = [r for r in spans if abs(r.closed - r.opened) > _SLIGHT * now.force]
    still = [r.name for r in now.ranges if r.acts and r not in moving]
    idle = [r.name for r in now.ranges if not r.acts]
    told = [f"{r.name} moves it too ({_ends(r)})" for r in moving[1:]]
    if moving:
        most = "the force most now" if told else "the force now"
        told.insert(0, f"{moving[0].name} moves {most} ({_ends(moving[0])})")
    told += [_nothing(still, "at this speed"), _nothing(idle, f"in {now.side}")]
    words = "; ".join(filter(None, told)) or "nothing can be turned from outside"
    return f"{words[0].upper()}{words[1:]}."


def _ends(span: Range) -> str:
    return f"{plain(span.closed, 'N')} closed, {plain(span.opened, 'N')} open"


def _nothing(names: list[str], where: str) -> str:
    does = "does" if len(names) == 1 else "do"
    return f"{' and '.join(names)} {does} nothing {where}" if names else ""


def alternative(now: Cut, before: Cut) -> str:
    """Return the drawing in words."""
    shut = ", ".join(p.name for p in now.passages if p.share == 0)
    ghost = "" if now.setting == before.setting else " Dotted outlines: the shares before."
    return (
        "A damper cut open and lying down: shaft, piston, base valve, then the gas reservoir. "
        f"{_paths(now)} Shut: {shut}. The valves resist with {plain(now.force, 'N')}.{ghost}"
    )
