"""Mean height on corrugation against rebound clicks: jacked up, level, or pulled down."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BODY, FAINT, INK, PAPER, QUIET, Scene, Size
from dampinglab.figures.words import change, felt, price, turned
from dampinglab.physics.sinking import LEAST_FELT
from dampinglab.units import minus
from dampinglab.workshop.watched import FELT

__all__ = ["FELT_MEANS", "Sinking", "alternative", "scene", "sentence", "update"]

_TITLE = "The more rebound, the lower it rides"
_AXES = ("rebound, clicks out from closed", "mean height [mm]")
_HEIGHTS = (5.0, 10.0, 15.0, 20.0, 30.0, 50.0, 80.0)  # mm
_ROAD = "corrugation of {} every {} at {}"
_LIFTS = 0.01  # share of time off the ground that is worth a word

FELT_MEANS = (
    f"A mean height that changes by less than {1e3 * LEAST_FELT:.0f} mm is not felt; of shaking, "
    f"{100 * FELT:.0f} % or more is: assumptions (common practice, no source)."
)
"""What is felt here, said once below the panel."""


@dataclass(frozen=True, eq=False)
class Sinking:
    """What one adjuster does to the mean height on one corrugated road."""

    axle: str
    load: str  # "as weighed"
    road: tuple[str, str, str]  # "20 mm" from trough to crest, "0.90 m", "60 km/h"
    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    clicks: np.ndarray  # of rebound, out from closed, rising
    height: np.ndarray  # m, of the body from static rest, at each
    weighted: np.ndarray  # m/s2
    off_ground: np.ndarray  # share of time
    level: float | None  # clicks at which it rides at its static height

    def over(self, before: "Sinking | None" = None) -> str:
        """Return the road in words, and beside what is otherwise what it was before."""
        pairs = zip(self.road, (before or self).road, strict=True)
        return _ROAD.format(*(n if n == old else f"{n} (before: {old})" for n, old in pairs))

    @property
    def place(self) -> str:
        """Return which axle, with which load."""
        return f"{self.axle} axle {self.load}"

    @property
    def present(self) -> int:
        """Return the clicks out of rebound."""
        return dict(self.setting)["rebound"]

    def at(self, name: str) -> float:
        """Return one of the results at the present clicks."""
        return float(getattr(self, name)[int(np.searchsorted(self.clicks, self.present))])


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    made = look.paper(size, _TITLE, *_AXES, inches=(8.4, 4.4))
    axes, edge = made.axes, 1e3 * LEAST_FELT
    axes.axhspan(-edge, edge, color=FAINT, zorder=0.6)
    axes.axhline(0, zorder=2.5, **look.edge(size))
    beside = {"transform": axes.transAxes, "fontsize": size.font, "color": QUIET}
    axes.text(0.99, 0.03, "0: as at rest; grey: not felt", ha="right", va="bottom", **beside)
    for when, style in (("before", look.before), ("now", look.now)):
        drawn = style(BODY, size) | {"marker": "o", "markersize": 1.6 * size.line}
        made.add(f"curve {when}", axes.plot([], [], **drawn)[0])
    dot = {"marker": "o", "linestyle": "none", "markersize": 5 * size.line}
    ring = {"markerfacecolor": PAPER, "markeredgewidth": size.line / 2, "color": look.pale(BODY)}
    made.add("before", axes.plot([], [], **dot, **ring)[0])
    made.add("now", axes.plot([], [], color=BODY, **dot)[0])
    look.keep_clear(look.label(made, "words", INK, ha="left", va="center"))
    return made


def update(made: Scene, now: Sinking, before: Sinking) -> None:
    """Put results into the picture."""
    for when, seen in (("before", before), ("now", now)):
        made.moving[f"curve {when}"].set_data(seen.clicks, 1e3 * seen.height)
        made.moving[when].set_data([seen.present], [1e3 * seen.at("height")])
    last = max(now.clicks[-1], before.clicks[-1])
    most = 1.15e3 * max(np.abs(now.height).max(), np.abs(before.height).max())
    top = look.ladder(most, _HEIGHTS)
    made.axes.set(xlim=(-0.04 * last, 1.04 * last), ylim=(-top, top))
    x, y = now.present, 1e3 * now.at("height")
    right = x > 0.6 * last
    words = made.moving["words"]
    words.set(text=minus(f"{y:+z.1f} mm"), ha="right" if right else "left")
    # Rising to the right, the curve leaves room above it on its left and below it on its right.
    words.set_position(
        (x + (-1 if right else 1) * 0.025 * last, y + (0.09 if right else -0.09) * top)
    )


def sentence(now: Sinking, before: Sinking) -> str:
    """Return what was changed, by how many mm it rides otherwise, if it is felt, and the price."""
    # The clicks of another axle are another damper's: nobody turned them.
    clicks = turned(now.setting, before.setting) if now.axle == before.axle else ""
    elsewhere = _moved(now, before)
    rides = f"the body rides {_rides(now)}{_lifts(now)}"
    if not clicks and not elsewhere:
        return f"No change. On {now.over()}, {now.place}, {rides}. {_level(now)}"
    rise = now.at("height") - before.at("height")
    by = (
        f", {_mm(rise)} {'higher' if rise > 0 else 'lower'} than before"
        if round(1e4 * rise)
        else ""
    )
    feel = "Felt." if abs(rise) >= LEAST_FELT else "Not felt."
    told = f"{clicks}. On {now.over()}, " if not elsewhere else f"{_both(clicks, elsewhere)}: "
    return f"{told}{rides}{by}. {feel} {_price(now, before, clicks, elsewhere)} {_level(now)}"


def _moved(now: Sinking, before: Sinking) -> str:
    """Return what else than clicks is otherwise than before."""
    road = now.over(before) if now.road != before.road else ""
    place = f"{now.place} in place of {before.place}" if now.place != before.place else ""
    return " and ".join(filter(None, (road, place)))


def _both(clicks: str, elsewhere: str) -> str:
    return f"{clicks}, {elsewhere}" if clicks else f"{elsewhere[0].upper()}{elsewhere[1:]}"


def _rides(seen: Sinking) -> str:
    height = seen.at("height")
    if abs(height) < 5e-5:
        return "at its height at rest"
    return f"{_mm(height)} {'above' if height > 0 else 'below'} its height at rest"


def _lifts(seen: Sinking) -> str:
    share = seen.at("off_ground")
    return f", its tyre off the ground {100 * share:.0f} % of the time" if share >= _LIFTS else ""


def _price(now: Sinking, before: Sinking, clicks: str, elsewhere: str) -> str:
    """Return what the clicks do to comfort here, and where the price is if it is not here."""
    new, old = (f"{seen.at('weighted'):.2f}" for seen in (now, before))
    shaken = "shaking (ISO 2631 Wk) " + (
        f"stays at {new} m/s²" if new == old else f"goes from {old} to {new} m/s²"
    )
    if elsewhere:
        void = "Clicks and road both moved, so neither can be judged"
        return f"{void}; {shaken}." if clicks else f"No click was turned, and {shaken}."
    share = change(now.at("weighted"), before.at("weighted"))
    if new != old and share > 0:
        return f"The price: {shaken}. {felt(share)}"
    said = f"{shaken[0].upper()}{shaken[1:]}."
    if now.present == before.present:
        return f"{said} What these clicks cost shows on other roads."
    return f"{said} {price('rebound', now.present < before.present)}"


def _level(now: Sinking) -> str:
    """Return where the sign turns."""
    if now.level is None:
        side = "above" if now.at("height") > 0 else "below"
        return f"No click here brings it to its height at rest: it rides {side} it throughout."
    return f"It would ride level with rebound about {now.level:.0f} clicks out."


def _mm(length: float) -> str:
    return f"{1e3 * abs(length):.1f} mm"


def alternative(now: Sinking, before: Sinking) -> str:
    """Return the picture in words."""
    ends = (f"{1e3 * now.height[i]:+z.1f} mm at {now.clicks[i]} clicks out" for i in (0, -1))
    other = before.setting != now.setting or before.road != now.road or before.place != now.place
    ghost = f" A pale ring marks before: {1e3 * before.at('height'):+z.1f} mm." if other else ""
    return (
        f"Mean height of the body on {now.over()} against clicks of rebound: from "
        f"{' to '.join(ends)}. A dot marks {now.present} clicks out, "
        f"{1e3 * now.at('height'):+z.1f} mm. A grey band of {1e3 * LEAST_FELT:.0f} mm either way "
        f"is not felt.{ghost}"
    )
