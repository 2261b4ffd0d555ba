"""A rule of the trade as computed evidence: one line a corner, its adjuster from open to closed."""

from collections.abc import Sequence

from matplotlib.figure import Figure

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, INK, QUIET, REBOUND, Scene, Size
from dampinglab.figures.words import felt
from dampinglab.units import minus
from dampinglab.workshop.evidence import RULES, Evidence, Turned

__all__ = ["alternative", "draw", "sentence"]

Shown = Sequence[tuple[str, Evidence]]

_INCHES = (8.8, 4.8)
_MARKERS = {"o": "●", "s": "■", "^": "▲", "D": "◆", "v": "▼", "P": "✚"}
_APART = 0.085  # of the axes' height between the names at the lines' ends
_STILL = 0.005  # of the own adjuster's span: less than this is nothing


def draw(shown: Shown, size: Size = look.DESK) -> Figure:
    """Return the picture of one rule on some corners, each with its name."""
    first = shown[0][1]
    up = f"{first.rule.what.words} [{first.rule.what.unit}]"
    made = look.paper(size, first.rule.words, _across(first.turned), "", inches=_INCHES)
    _frame(made, shown, up)
    for (_, each), marker in zip(shown, _MARKERS, strict=False):
        _line(made, each, marker)
    _names(made, shown)
    if first.control:
        _say_idle(made, first.control.adjuster)
    return made.figure


def _across(turned: Turned) -> str:
    return f"{turned.adjuster}, clicks out from closed: open left, closed right"


def _frame(made: Scene, shown: Shown, up: str) -> None:
    """Make room for names at the right; one scale of clicks, or shares where dampers differ."""
    axes, letter = made.axes, made.size.font / 72
    left, low = 5.0 * letter / _INCHES[0], 3.4 * letter / _INCHES[1]
    wide = 1 - left - 9.0 * letter / _INCHES[0]
    title = made.figure.texts[0].get_text().count("\n")
    high = 1 - low - (5.2 + 1.5 * title) * letter / _INCHES[1]
    axes.set_position((left, low, wide, high))
    axes.set_title(up, loc="left", fontsize=made.size.font, color=INK)
    clicks = {each.turned.clicks for _, each in shown}
    labels = [f"{n}" for n in clicks.pop()] if len(clicks) == 1 else list(_PARTS)
    axes.set_xticks(range(len(labels)), labels)
    axes.set_xlim(-0.1, len(labels) - 0.9)
    axes.xaxis.label.set(x=0.5 * (1 - left) / wide - 0.03)


_PARTS = ("open", "1/4 in", "half", "3/4 in", "closed")


def _line(made: Scene, each: Evidence, marker: str) -> None:
    """Draw the rule's own adjuster boldly and the idle one thin."""
    colour = REBOUND if each.turned.adjuster == "rebound" else BUMP
    style = {**look.now(colour, made.size), "marker": marker, "markersize": 3.4 * made.size.line}
    made.axes.plot(range(len(each.turned.values)), each.turned.values, **style)
    if each.control:
        thin = {"color": QUIET, "linewidth": made.size.line / 2.4, "linestyle": (0, (1, 1.2))}
        made.axes.plot(range(len(each.control.values)), each.control.values, **thin)


def _names(made: Scene, shown: Shown) -> None:
    """Write each corner's name at its line's end, none over another."""
    low, high = made.axes.get_ylim()
    signs = zip(shown, _MARKERS.values(), strict=False)
    ends = sorted((each.turned.values[-1], f"{sign} {name}") for (name, each), sign in signs)
    last = low - _APART * (high - low)
    for value, name in ends:
        last = max(value, last + _APART * (high - low))
        place = (len(shown[0][1].turned.values) - 1 + 0.12, last)
        words = made.axes.text(*place, name, fontsize=made.size.font, color=INK, va="center")
        words.set_clip_on(False)


def _say_idle(made: Scene, adjuster: str) -> None:
    """Say under the title what the thin lines are."""
    title, letter = made.figure.texts[0], made.size.font / 72 / _INCHES[1]
    left, top = title.get_position()
    below = top - (1.9 + 1.5 * title.get_text().count("\n")) * letter
    style = {"fontsize": made.size.font, "color": QUIET, "va": "top"}
    made.figure.text(left, below, f"Thin dots: {adjuster} instead, over its own range", **style)


def sentence(shown: Shown) -> str:
    """Return what the adjuster does, whether the rule holds, whether it is felt, and its price."""
    first = shown[0][1]
    rule, (start, *_, end) = first.rule, first.turned.clicks
    each = "; ".join(f"{name} {_pair(e.turned, rule.what.unit)}" for name, e in shown)
    return (
        f"On {rule.where.words}, {first.turned.adjuster} from {start} to {end} clicks out: "
        f"{rule.what.words}, {each}. {_verdict(shown)} {_felt(shown)} {_idle(shown)}"
        f"{_price(*shown[0])}"
    )


def _pair(turned: Turned, unit: str) -> str:
    digits = 0 if abs(turned.values).max() >= 20 else 2 if abs(turned.values).max() < 3 else 1
    ends = (f"{turned.values[i]:z.{digits}f}" for i in (0, -1))  # z: no minus before a zero
    return minus(f"{' to '.join(ends)} {unit}")


def _verdict(shown: Shown) -> str:
    """Return where the rule holds, where it does not, and where it has nothing to say."""
    silent = [name for name, each in shown if not each.applies]
    there = [(name, each) for name, each in shown if each.applies]
    wrong = [name for name, each in there if not each.holds]
    told = [f"It has nothing to say for {' and '.join(silent)}."] if silent else []
    if there:
        good = "The rule (common practice, no source) holds" + (" here." if not wrong else "")
        told.insert(0, good if not wrong else f"The rule does not hold for {' and '.join(wrong)}.")
    return " ".join(told)


def _felt(shown: Shown) -> str:
    """Return whether the whole range would be felt, where it would be least."""
    shares = [e.change / max(abs(e.turned.values[[0, -1]])) for _, e in shown if e.applies]
    least = min(map(abs, shares), default=0.0)
    return f"From end to end: {felt(least).lower()}"


def _idle(shown: Shown) -> str:
    """Return what the adjuster does that should do nothing."""
    shares = [e.control.span / e.turned.span for _, e in shown if e.control]
    if not shares:
        return ""
    name, most = shown[0][1].control.adjuster, max(shares)
    if most < _STILL:
        return f"{name.capitalize()} instead does nothing to it. "
    return f"{name.capitalize()} instead does at most {100 * most:.0f} % of that. "


def _price(name: str, first: Evidence) -> str:
    """Return what the cure costs on the road that shows it, from its wrong end to its right one."""
    cost = RULES[first.rule.price]
    values = first.price.values if first.rule.more else first.price.values[::-1]
    turned = Turned(first.price.adjuster, first.price.clicks, values, first.price.stop_energy)
    return (
        f"The price of the cure, on {cost.where.words}: {cost.what.words}, {name} "
        f"{_pair(turned, cost.what.unit)}."
    )


def alternative(shown: Shown) -> str:
    """Return the picture in words."""
    names = ", ".join(name for name, _ in shown)
    what = shown[0][1].rule.what.words
    return f"{what.capitalize()} against clicks, one line each for {names}. {sentence(shown)}"
