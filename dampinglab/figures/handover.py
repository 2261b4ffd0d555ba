"""A handover job in one picture: how far each watched score is from its limit."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from dampinglab.figures import look
from dampinglab.figures.look import QUIET, WHEEL, Scene, Size

__all__ = ["Standing", "alternative", "scene", "update"]

_TITLE = "Each score on its way from healthy to its limit"
_LEAST, _MOST = -0.5, 3.3  # what the picture holds; what lies beyond stands at its edge
_ROWS = 9
_ACROSS = "healthy is 0, the limit is 1"
_LABELS = 0.0255  # of the picture's width, that the rows' names take for each point of their size
_ENDS = (("front", "o", 0.16), ("rear", "s", -0.16))  # shape, and how far off the row's middle


@dataclass(frozen=True)
class Standing:
    """What the last drive, or the truth after hand-over, says of each watched score."""

    when: str  # such as "drive 2"; empty before the first drive
    rows: tuple[str, ...] = ()  # what each score is felt as
    off: Mapping[tuple[str, int], float] = field(default_factory=dict)  # 0 healthy, 1 its limit


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture: a row for each score, a line for healthy and one for the limit."""
    made = look.paper(size, _TITLE, _ACROSS, "", inches=(8.8, 5.2))
    left, box = _LABELS * size.font, made.axes.get_position()
    made.axes.set_position([left, box.y0, 0.97 - left, box.height])
    made.axes.set(
        xlim=(_LEAST, _MOST), ylim=(-0.6, _ROWS + 1.2), yticks=range(_ROWS), yticklabels=()
    )
    made.axes.set_xticks(range(4), ["0", "1", "2", "3+"])
    made.axes.axvline(0, color=QUIET, linewidth=size.line / 2)
    _add_limit(made)
    for name, shape, _ in _ENDS:
        _add_marks(made, name, shape)
    for place in range(_ROWS):
        look.label(made, f"row {place}", ha="right", va="center", transform=_beside(made))
    _add_key(made)
    return made


def _add_limit(made: Scene) -> None:
    """Add the limit's line, its name above every row, where no mark comes."""
    look.limit(made, "limit")
    look.place_limit(made, "limit", 1.0)
    made.moving["limit"].set(position=(0.95, 0.98), ha="right", va="top")


def _beside(made: Scene):
    return made.axes.get_yaxis_transform()


def _add_marks(made: Scene, name: str, shape: str) -> None:
    """Add marks of one axle: before pale and hollow, now full."""
    style = {"linestyle": "none", "marker": shape, "markersize": 3.4 * made.size.line}
    pale = {"markerfacecolor": look.PAPER, "markeredgecolor": look.pale(WHEEL, 0.7)}
    before = made.axes.plot([], [], markeredgewidth=0.7 * made.size.line, **pale, **style)
    made.add(f"{name} before", before[0])
    made.add(name, made.axes.plot([], [], color=WHEEL, **style)[0])


def _add_key(made: Scene) -> None:
    place = {"transform": made.axes.transAxes, "ha": "right", "va": "top"}
    words = look.label(made, "key", QUIET, **place)
    words.set(position=(1.0, 1.0), linespacing=1.3)
    look.keep_clear(words)


def update(made: Scene, now: Standing, before: Standing) -> None:
    """Put the scores of now and of before into the picture."""
    for place, name in enumerate(now.rows):
        made.moving[f"row {place}"].set(text=name, position=(-0.02, _ROWS - 1 - place))
    for name, _, aside in _ENDS:
        _put(made, name, now, aside)
        _put(made, f"{name} before", before if before != now else Standing(""), aside)
    key = "round: front, square: rear" if now.off else "not driven yet"
    made.moving["key"].set_text(f"{key}\npale: {before.when}" if before != now else key)


def _put(made: Scene, mark: str, what: Standing, aside: float) -> None:
    axle = mark.partition(" ")[0]
    held = {
        i: min(max(v, _LEAST + 0.1), _MOST - 0.1) for (a, i), v in what.off.items() if a == axle
    }
    made.moving[mark].set_data(list(held.values()), [_ROWS - 1 - i + aside for i in held])


def alternative(now: Standing, before: Standing) -> str:
    """Return the picture in words."""
    if not now.off:
        return "An empty picture: a row for each watched score, and nothing driven yet."
    outside = sorted((key for key in now.off if now.off[key] > 1), key=now.off.get, reverse=True)
    named = "; ".join(f"{axle} {now.rows[i]}, at {now.off[axle, i]:.1f}" for axle, i in outside)
    return (
        f"A row for each of {len(now.rows)} watched scores, front and rear, at {now.when}; healthy "
        f"is at 0 and the limit at 1. Outside the limit: {named or 'none'}."
    )
