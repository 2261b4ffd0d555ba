"""Two settings on the stand, side by side: pressed in, let go, and out again, against time."""

from dataclasses import dataclass

import numpy as np

from dampinglab.figures import look
from dampinglab.figures.look import BUMP, INK, QUIET, REBOUND, Scene, Size
from dampinglab.figures.words import at_clicks, both_forces, change, felt, plain, same
from dampinglab.units import show

__all__ = ["Work", "alternative", "back_in_words", "scene", "sentence", "shows", "update"]

_TITLE = "Pressing shows bump, the way back shows rebound"
_SCATTER = 0.04  # two runs of one setting on a stand may differ so much (assumed)
_NEAR = f"within {100 * _SCATTER:.0f} % of B's"
_RUNGS = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 20.0, 30.0, 50.0, 80.0)  # s
_LETTERS = {"now": "A", "before": "B"}


@dataclass(frozen=True, eq=False)
class Work:
    """What one setting took to be pressed in, and how it came out by itself."""

    setting: tuple[tuple[str, int], ...]  # adjuster, clicks out from closed
    by_hand: bool  # a given push; otherwise a lever at a given speed
    force: float  # N on the shaft half way in
    speed: float  # m/s on the way in, mean
    press_time: np.ndarray  # s
    press_travel: np.ndarray  # m pressed in
    back_time: np.ndarray  # s
    back_travel: np.ndarray  # m pressed in
    back: float  # s until it is out; infinite if it does not get there
    gas: float  # N of the force, half way in
    spring: float  # N/m
    beyond: bool = False  # faster than the table somewhere

    @property
    def told(self) -> float:
        """What tells settings apart on the way in: seconds under a given push, else newtons."""
        return float(self.press_time[-1]) if self.by_hand else self.force


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture."""
    labels = "time from letting go [s]", "pressed in [mm]"
    made = look.paper(size, _TITLE, *labels, inches=(6.8, 4.3))
    made.axes.axvline(0, color=QUIET, linewidth=size.line / 3, zorder=2.6)
    for time, style in (("before", look.before), ("now", look.now)):
        for side, colour in (("press", BUMP), ("back", REBOUND)):
            made.add(f"{side} {time}", made.axes.plot([], [], **style(colour, size))[0])
    _readings(made)
    return made


def _readings(made: Scene) -> None:
    """Add the readings over the curves, and the letters of the settings where they come out."""
    top = {"transform": made.axes.transAxes, "va": "top", "linespacing": 1.35}
    look.label(made, "press words", **top, ha="left")
    look.label(made, "back words", **top, ha="right")
    made.moving["press words"].set_position((0.02, 0.99))
    made.moving["back words"].set_position((0.99, 0.99))
    for time, ink in (("before", QUIET), ("now", INK)):
        name = {"fontweight": "bold", "ha": "left", "va": "bottom"}
        look.label(made, f"{time} name", ink, **name)
    look.keep_clear(*list(made.moving.values())[-4:])


def update(made: Scene, now: Work, before: Work) -> None:
    """Put results into the picture."""
    deep = 1e3 * float(now.press_travel[-1])
    left = look.ladder(max(now.press_time[-1], before.press_time[-1]), _RUNGS)
    right = look.ladder(max(now.back_time[-1], before.back_time[-1]) * 1.06, _RUNGS)
    made.axes.set(xlim=(-1.04 * left, right))
    made.axes.set(ylim=(0, 1.8 * deep), yticks=deep * np.arange(5) / 4)
    for time, work in (("before", before), ("now", now)):
        _way(made, time, work, right)
    made.moving["before name"].set_visible(_moved(now, before))
    made.moving["press words"].set_text(_lines("Press in (bump)", now, before, _pressed))
    made.moving["back words"].set_text(_lines("Back out (rebound)", now, before, _returned))


def _way(made: Scene, time: str, work: Work, right: float) -> None:
    """Draw one setting's way in, before letting go, and out; where it is held it stays."""
    since = work.press_time - work.press_time[-1]
    made.moving[f"press {time}"].set_data(since, 1e3 * work.press_travel)
    held = np.isinf(work.back)
    out = 1e3 * np.append(work.back_travel, work.back_travel[-1:] if held else [])
    when = np.append(work.back_time, [right] if held else [])
    made.moving[f"back {time}"].set_data(when, out)
    # Each letter stands beside its curve at a share of its own, so that A and B keep apart.
    share = {"now": 0.70, "before": 0.88}[time]
    place = share * right if held else float(np.interp(share - 1, -out / out[0], when))
    high = out[-1] if held else (1 - share) * out[0]
    gap = 0.006 * made.size.line * right
    made.moving[f"{time} name"].set(text=_LETTERS[time], position=(place + gap, high))


def _lines(head: str, now: Work, before: Work, told) -> str:
    """Return a heading and one line for each setting, or one for both."""
    if not _moved(now, before):
        return f"{head}\nA and B\n{told(now)}"
    return f"{head}\nA {told(now)}\nB {told(before)}"


def _pressed(work: Work) -> str:
    force = f"{plain(work.force, 'N')}, {show(work.force, 'kgf')}"
    return f"{force}, {work.press_time[-1]:.1f} s"


def _returned(work: Work) -> str:
    return "does not come out" if np.isinf(work.back) else f"after {work.back:.1f} s"


def _moved(now: Work, before: Work) -> bool:
    """Return whether the two settings differ."""
    return now.setting != before.setting


def back_in_words(work: Work) -> str:
    """Return how the shaft comes out, and what brings it."""
    rate = f"{work.spring / 1e3:g} N/mm"
    helped = {
        (True, True): f"gas and a spring of {rate}",
        (True, False): "gas alone",
        (False, True): f"a spring of {rate} alone",
    }
    by = helped.get((work.gas > 0, work.spring > 0))
    if by is None:
        return "nothing brings it out, for there is neither gas force nor a return spring"
    if np.isinf(work.back):
        return f"{by} cannot bring it all the way out, for friction holds it"
    return f"it comes out in {work.back:.1f} s by {by}"


def sentence(now: Work, before: Work) -> str:
    """Return how A differs from B, if it is felt, and the price."""
    turned = _turned(now, before)
    far = " The shaft was faster than the table reaches." if now.beyond or before.beyond else ""
    if not turned:
        return f"No change, for A and B are set alike: {_alike(now)}; {back_in_words(now)}.{far}"
    moved = shows(now, before)
    if not moved or not np.isfinite([now.back, before.back]).all():
        return f"{turned}: {_unmoved(now)}{far}"
    most = max((change(size, old) for _, size, old in moved), key=abs)
    told = _all_told(moved, now.by_hand)
    return f"{turned}: {told}. {felt(most)} {_price(moved, now.by_hand)}{far}"


def shows(now: Work, before: Work) -> list[tuple[str, float, float]]:
    """Return which of press and return moved by more than the stand scatters, new and old."""
    sides = (("press", now.told, before.told), ("return", now.back, before.back))
    return [side for side in sides if not same(side[1], side[2], _SCATTER)]


def _alike(now: Work) -> str:
    if now.by_hand:
        return f"a push of {both_forces(now.force)} takes {now.press_time[-1]:.1f} s"
    return f"at {now.speed:.2f} m/s the lever takes {both_forces(now.force)}"


def _turned(now: Work, before: Work) -> str:
    """Return which adjusters differ, or nothing."""
    old = dict(before.setting)
    moves = [f"{name} {n} clicks out, B {old[name]}" for name, n in now.setting if old[name] != n]
    return f"A has {' and '.join(moves)}" if moves else ""


def _unmoved(now: Work) -> str:
    if np.isinf(now.back):
        return f"{back_in_words(now)}."
    return f"no change shows in this press, and the return stays {_NEAR}. Press at another speed."


def _all_told(moved: list[tuple[str, float, float]], by_hand: bool) -> str:
    """Return how each side moved, or that it did not."""
    told = " and ".join(_told(*side, by_hand) for side in moved)
    other = {"press": "return", "return": "press"}[moved[0][0]]
    return told if len(moved) == 2 else f"{told}; the {other} stays {_NEAR}"


def _told(side: str, size: float, old: float, by_hand: bool) -> str:
    more, share = "more" if size > old else "less", 100 * abs(change(size, old))
    if side == "press" and not by_hand:
        return (
            f"the press takes {both_forces(size)}, {plain(size - old, 'N')} {more} ({share:.0f} %)"
        )
    return f"the {side} takes {size:.1f} s in place of {old:.1f} s ({share:.0f} % {more})"


_LESS = "there is less force to"


def _price(moved: list[tuple[str, float, float]], by_hand: bool) -> str:
    """Return what the largest change costs on the road."""
    side, size, old = max(moved, key=lambda m: abs(change(*m[1:])))
    speed = "a slow bump" if by_hand else "a bump at this speed"
    prices = {
        ("press", True): f"{speed} passes more force into the body",
        ("press", False): f"{_LESS} slow the wheel in {speed}, so more travel is used",
        ("return", True): "the wheel follows later when the road falls away",
        ("return", False): f"{_LESS} hold the body back after a bump",
    }
    return f"The price: {prices[side, size > old]}."


def alternative(now: Work, before: Work) -> str:
    """Return the picture in words."""
    ghost = " Pale and dotted: setting B." if _moved(now, before) else ""
    return (
        f"How far a damper{at_clicks(now.setting)} is pressed in, against time: in to "
        f"{1e3 * now.press_travel[-1]:.0f} mm in {now.press_time[-1]:.1f} s with "
        f"{both_forces(now.force)}; let go, {back_in_words(now)}.{ghost}"
    )
