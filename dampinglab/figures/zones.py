"""Road events by shaft speed: where their time lies, and where their energy lies."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.patches import Rectangle
from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, INK, REBOUND, ROAD, Scene, Size
from dampinglab.figures.words import change, felt, plain, same
from dampinglab.physics.zones import Shares
from dampinglab.workshop.shaft import EVENTS, Band

__all__ = ["ROWS", "Row", "Zones", "alternative", "scene", "sentence", "update"]

ROWS = len(EVENTS) + 1  # the last is for a log
_TITLE = "Energy lies at faster shaft speeds than time does"
_ACROSS = "shaft speed [m/s]: a band holds the middle 80 %, its mark the half"
_SPAN = (0.01, 3.0)  # m/s
_REACH = 3.8  # how many times the split its words reach to, in the largest letters
_TICKS = (0.01, 0.03, 0.1, 0.3, 1.0, 3.0)
_THICK, _THIN = 6.2, 2.2  # points: three bands and their ghosts share a row at any size of words
_KINDS = (("time", ROAD, 0.25), ("bump", BUMP, 0.02), ("rebound", REBOUND, -0.21))
_NAMES = {"time": "time", "bump": "energy in bump", "rebound": "energy in rebound"}
_HEADS = ("time\nslow", "energy\nslow", "energy\nin bump")
_SINGLE = ("good highway", "rutted track", "speed hump", "pothole")  # events that take "a"
_SLIGHT = 0.005  # share of shaking that is not worth a word
_INCHES = (8.8, 6.4)
_COLUMN = 4.6  # letters' widths that a column of shares takes


@dataclass(frozen=True)
class Row:
    """One event, or a log."""

    name: str  # "gravel at 60 km/h"
    time: Band
    bump: Band
    rebound: Band
    shares: Shares
    ride: float | None  # m/s2, Wk
    travel: float | None  # m at the wheel


@dataclass(frozen=True)
class Zones:
    """All events with one vehicle, axle, load and setting, divided at one split."""

    rows: tuple[Row, ...]
    chosen: int
    split: float  # m/s at the shaft
    knee: float | None  # m/s, where the damper knows it
    ratio: float  # shaft over wheel travel
    axle: str
    load: str
    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed

    @property
    def row(self) -> Row:
        """The event that the words are about."""
        return self.rows[self.chosen]


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, _ACROSS, "", inches=_INCHES)
    _axes(made)
    _key(made)
    _bands(made)
    _lines(made)
    _letters(made)
    return made


def _axes(made: Scene) -> None:
    """Make room for names and shares beside the axes, and for the key above."""
    axes, letter = made.axes, made.size.font / 72
    left, right = 8.4 * letter / _INCHES[0], (0.4 + len(_HEADS) * _COLUMN) * letter / _INCHES[0]
    low, high = 3.4 * letter / _INCHES[1], 7.0 * letter / _INCHES[1]
    axes.set_position((left, low, 1 - left - right, 1 - low - high))
    axes.set(xscale="log", xlim=_SPAN, ylim=(-0.1 - ROWS, 1.1), yticks=[])
    axes.xaxis.set_major_locator(FixedLocator(_TICKS))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _place: f"{value:g}"))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.spines["left"].set_visible(False)
    axes.xaxis.label.set(x=(0.5 - left) / (1 - left - right))


def _key(made: Scene) -> None:
    """Say under the title which band is which."""
    keys = [
        made.axes.plot([], [], color=colour, label=_NAMES[kind], **_drawn(kind))[0]
        for kind, colour, _ in _KINDS
    ]
    top = 1 - 2.5 * made.size.font / 72 / _INCHES[1]
    place = {"loc": "upper left", "bbox_to_anchor": (0.006, top), "ncols": 3, "frameon": False}
    spaces = {"handlelength": 1.8, "columnspacing": 1.1, "handletextpad": 0.5}
    made.figure.legend(handles=keys, fontsize=made.size.font, **place, **spaces)


def _drawn(kind: str) -> dict:
    """Return how a band is drawn: time slim, rebound in dashes, so that no colour is needed."""
    dashes = (0, (1.1, 0.35)) if kind == "rebound" else "-"
    return {"linestyle": dashes, "linewidth": _THICK * (0.55 if kind == "time" else 1)}


def _middle(made: Scene, column: int) -> float:
    """Return where a column of shares stands, in widths of the axes."""
    width = made.axes.get_position().width * _INCHES[0]
    return 1 + (0.3 + _COLUMN * (column + 0.5)) * made.size.font / 72 / width


def _bands(made: Scene) -> None:
    """Add a ground for the chosen row, and the bands: what was, thin and dotted under what is."""
    axes, size = made.axes, made.size
    ground = Rectangle((0, 0), 1, 1, transform=axes.get_yaxis_transform(), color=look.FAINT)
    axes.add_patch(ground)
    made.add("ground", ground)
    for kind, colour, _ in _KINDS:
        thin = {**look.before(colour, size), "linewidth": _THIN}
        made.add(f"{kind} before", axes.plot([], [], **thin)[0])
        band = axes.plot([], [], color=colour, solid_capstyle="butt", **_drawn(kind))[0]
        made.add(f"{kind} now", band)
        mark = {"marker": "|", "markersize": 1.25 * _THICK, "markeredgewidth": 2.4}
        dots = axes.plot([], [], linestyle="none", color=INK, **mark)[0]
        made.add(f"{kind} half", dots)


def _lines(made: Scene) -> None:
    """Add the split, what it was before, and the knee as a limit."""
    axes, size = made.axes, made.size
    up = axes.get_xaxis_transform()
    pale = {"color": look.pale(INK), "linestyle": (0, (1, 1.6)), "linewidth": size.line}
    made.add("split before", axes.plot([], [], transform=up, **pale)[0])
    made.add("split", axes.plot([], [], transform=up, color=INK, linewidth=size.line)[0])
    look.label(made, "split words", transform=up, va="top", fontweight="bold")
    look.limit(made, "knee")
    look.keep_clear(made.moving["split words"], made.moving["knee"])


def _letters(made: Scene) -> None:
    """Write the heads of the columns and the names of the rows; add the shares."""
    words = {"fontsize": made.size.font, "color": INK, "linespacing": 1.05}
    over = {"transform": made.axes.transAxes, "ha": "center", "va": "baseline"}
    for column, head in enumerate(_HEADS):
        made.axes.text(_middle(made, column), 1.02, head, **words, **over)
    beside = made.axes.get_yaxis_transform()
    name = {"transform": beside, "ha": "right", "va": "center", "linespacing": 0.98}
    for i, (event, pace) in enumerate(EVENTS):  # these stay, and a picture is sooner drawn
        made.axes.text(-0.02, -i, f"{event}\n{pace}", fontsize=made.size.font, color=INK, **name)
    look.label(made, "log", **name).set_position((-0.02, -len(EVENTS)))
    for i in range(ROWS):
        for column in range(len(_HEADS)):
            share = look.label(made, f"share {i} {column}", transform=beside, ha="center")
            share.set(position=(_middle(made, column), -i), va="center")


def update(made: Scene, now: Zones, before: Zones) -> None:
    """Put results into the picture."""
    made.moving["ground"].set(y=-now.chosen - 0.5)
    for kind, _, up in _KINDS:
        made.moving[f"{kind} now"].set_data(*_segments(now.rows, kind, up))
        ghost = [] if _like(now, before, kind) else before.rows
        made.moving[f"{kind} before"].set_data(*_segments(ghost, kind, up - 0.115))
        halves = [getattr(row, kind).middle for row in now.rows]
        made.moving[f"{kind} half"].set_data(halves, up - np.arange(len(halves)))
    made.moving["split"].set_data([now.split] * 2, [0, 1])
    made.moving["split before"].set_data([before.split] * 2, [0, 1])
    log = now.rows[-1].name if len(now.rows) > len(EVENTS) else "log none"
    made.moving["log"].set_text(log.removeprefix("the ").replace(" ", "\n", 1))
    _place_words(made, now)
    for i in range(ROWS):
        _fill(made, i, now)


def _like(now: Zones, before: Zones, kind: str) -> bool:
    return [getattr(row, kind) for row in now.rows] == [getattr(row, kind) for row in before.rows]


def _segments(rows: Sequence[Row], kind: str, up: float):
    """Return the bands of one kind as one line with breaks."""
    across, heights = [], []
    for i, row in enumerate(rows):
        band = getattr(row, kind)
        across += [max(band.low, _SPAN[0]), min(band.high, _SPAN[1]), np.nan]
        heights += [up - i, up - i, np.nan]
    return across, heights


def _place_words(made: Scene, now: Zones) -> None:
    """Put the split's words on its free side, and the knee where it is known."""
    knee = np.nan if now.knee is None else now.knee
    clear = not now.split < knee < _REACH * now.split and _REACH * now.split < _SPAN[1]
    right = clear or now.split < _REACH * _SPAN[0]
    words = made.moving["split words"]
    words.set_text(f"split {now.split:.2f}")
    words.set(
        position=(now.split * (1.05 if right else 0.95), 0.99), ha="left" if right else "right"
    )
    look.place_limit(made, "knee", knee)
    made.moving["knee"].set_position((1.05 * knee, 0.008))
    made.moving["knee"].set_visible(now.knee is not None)


def _fill(made: Scene, i: int, now: Zones) -> None:
    """Write one row's shares, or nothing where there is no row."""
    row = now.rows[i] if i < len(now.rows) else None
    weight = "bold" if i == now.chosen else "normal"
    texts = _three(row.shares) if row else ("", "", "")
    for column, text in enumerate(texts):
        made.moving[f"share {i} {column}"].set(text=text, fontweight=weight)


def _three(shares: Shares) -> tuple[str, str, str]:
    parts = (shares.time_slow, shares.energy_slow, shares.energy_bump)
    return tuple(f"{100 * part:.0f} %" for part in parts)


def sentence(now: Zones, before: Zones) -> str:
    """Return what moved and by how much on the chosen event, if it is felt, and its price."""
    turned, moved = _turned(now, before), not same(now.split, before.split)
    if not turned and not moved:
        return f"No change. {_state(now)} {_knee(now)}".rstrip()
    if moved:
        turned = [*turned, f"split from {before.split:.2f} to {now.split:.2f} m/s"]
    told = "; ".join(turned)
    told = f"{told[0].upper()}{told[1:]}. {_state(now, before)}"
    if moved and len(turned) == 1:
        nobody = "Nobody would feel that: only the sorting has changed."
        return f"{told} {nobody} {_knee(now)}".rstrip()
    if now.axle != before.axle:
        return f"{told} Another axle is no change, so there is nothing to feel, and no price."
    return f"{told} {_felt(now.row, before.row)}"


def _state(now: Zones, before: Zones | None = None) -> str:
    """Return the shares of the chosen event, and at which speed of the wheel that is."""
    shares, name, old = now.row.shares, now.row.name, ""
    name = f"a {name}" if name.startswith(_SINGLE) else name
    if before:
        time, energy, _ = _three(before.row.shares)
        old = f" (before: {time} and {energy})"
    return (
        f"On {name}, {100 * shares.time_slow:.0f} % of the moving time and "
        f"{100 * shares.energy_slow:.0f} % of the energy{old} lie below {now.split:.2f} m/s at "
        f"the shaft. The shaft moves {now.ratio:.2f} of the wheel, so that is "
        f"{now.split / now.ratio:.2f} m/s at the wheel."
    )


def _knee(now: Zones) -> str:
    """Return how the split stands to the knee, where the damper knows it."""
    if now.knee is None:
        return ""
    knee = f"the knee, {now.knee:.2f} m/s, where the high-speed bump valve opens"
    if same(now.split, now.knee, 0.05):
        return f"The split stands at {knee}."
    side, price = ("above", "slow what that valve already lets by")
    if now.split < now.knee:
        side, price = ("below", "fast what the low-speed needle still sets")
    return f"The split lies {side} {knee}: the price is that it calls {price}."


def _turned(now: Zones, before: Zones) -> list[str]:
    """Return what was changed besides the split."""
    told = []
    if now.load != before.load:
        told.append(f"load {now.load} in place of {before.load}")
    if now.axle != before.axle:
        return [f"{now.axle} axle in place of the {before.axle}", *told]
    old = dict(before.setting)
    clicks = [f"{k} from {old[k]} to {n} clicks out" for k, n in now.setting if old[k] != n]
    return [*told, *clicks]


def _felt(now: Row, before: Row) -> str:
    """Return what the body above feels of it, and what that costs in travel."""
    if now.ride is None:
        return "A log stays as it was driven, so it does not tell what would be felt, or the price."
    share = change(now.ride, before.ride)
    deeper = round(1e3 * now.travel) - round(1e3 * before.travel)  # in the mm that are shown
    if abs(share) < _SLIGHT and not deeper:
        return "Shaking and travel stay what they were: nobody would feel it and it costs nothing."
    size = f"{100 * abs(share):.0f} % {'more' if share > 0 else 'less'}"
    return (
        f"The body shakes {'as before' if abs(share) < _SLIGHT else size} ({now.ride:.2f} m/s², "
        f"weighted by ISO 2631). {felt(share)} {_price(now, before, share, deeper)}"
    )


_SHAKES = "The price is that shaking; "
_WORSE = _SHAKES, "It costs twice: that shaking, and ", f"{_SHAKES}the gain is "
_BETTER = "No price here: ", "The price is ", "No price here: it takes only "


def _price(now: Row, before: Row, share: float, deeper: int) -> str:
    new, old = plain(now.travel, "mm"), plain(before.travel, "mm")
    travel = f"{new} of bump travel in place of {old}" if deeper else f"bump travel stays {new}"
    words = _WORSE if share >= _SLIGHT else _BETTER
    return f"{words[int(np.sign(deeper))]}{travel}."


def alternative(now: Zones, before: Zones) -> str:
    """Return the picture in words."""
    rows = "; ".join(f"{row.name} {', '.join(_three(row.shares))}" for row in now.rows)
    knee = f" The knee stands at {now.knee:.2f} m/s." if now.knee is not None else ""
    ghost = "" if now == before else " Pale and dotted: what was before."
    return (
        f"Bands of shaft speed for each road event on the {now.axle} axle: time, energy in bump, "
        f"energy in rebound. The split stands at {now.split:.2f} m/s. Shares of time below it, of "
        f"energy below it, and of energy in bump: {rows}.{knee}{ghost}"
    )
