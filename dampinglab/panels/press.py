"""Lesson 04: a damper pressed in slowly or by lever and let go, two settings side by side."""

import math

import ipywidgets as widgets
import numpy as np

from dampinglab.figures import press as figure
from dampinglab.figures.look import BODY, FAINT, INK, PAPER, QUIET, ROAD, WHEEL, pale
from dampinglab.panels.controls import Number, Panel, Step, choice, row
from dampinglab.panels.moving import animation, keyframes, new_name, svg
from dampinglab.panels.stand import hub
from dampinglab.physics.damper import MeasuredDamper, Setting
from dampinglab.physics.hydraulic import ValveDamper
from dampinglab.physics.press import STROKE, let_return, lever_force, press_by_hand, returns_by_gas
from dampinglab.workshop import demo

__all__ = ["PressPanel", "press_panel", "returning_svg"]

_STRONGEST = 1500.0  # N, as much as a heavy person can lean on a stand
_SPRING = 6.0  # N/mm, offered where gas does not bring the shaft out
_HOLD, _REST, _LONGEST = 0.4, 0.8, 16.0  # s, held in, lying out, and the longest round shown
_DOWN = 74  # picture units of the whole stroke
_WAYS = (("Push by hand", True), ("Drive by lever", False))
_ONE_CHANGE = "Turn this one in A and B; the others go back to where they started"
_ALIKE = "A and B alike; turn A and compare with this"


class PressPanel(Panel):
    """Set one adjuster in A and in B, press both in alike, let go, and watch them come out."""

    def __init__(self, damper: ValveDamper | MeasuredDamper) -> None:
        self.damper, self.start, self.chosen = damper, _start(damper), 0
        self.way = choice("How it is pressed in", _WAYS)
        controls = self._clicks() if damper.adjusters else {}
        controls |= {"push": self._push(), "speed": self._speed(), "spring": self._spring()}
        super().__init__("Press it in, let it go", controls, figure, self._note())

    def _clicks(self) -> dict[str, Step]:
        return {letter: Step(*self._offer(letter)) for letter in "AB"}

    def _push(self) -> Number:
        """Offer pushes that press the shaft all the way in against gas and seals."""
        held = float(self.damper.gas_force(STROKE / 2)) + float(self.damper.friction(1.0))
        low = max(50 * math.ceil(held / 50 + 0.5), 100)
        return Number("Push", "N", max(900.0, low), low, max(_STRONGEST, 2 * low), 10)

    def _speed(self) -> Number:
        reach = min((c.speed[-1] for c in _curves(self.damper).values()), default=1.0)
        return Number("Shaft speed", "m/s", min(0.1, reach), 0.02, min(1.0, reach), 0.01)

    def _spring(self) -> Number:
        rate = 0.0 if returns_by_gas(self.damper) else _SPRING
        return Number("Return spring (0 is none)", "N/mm", rate, 0, 30, 0.5)

    def _note(self) -> str:
        """Return what the damper is, and what brings its shaft out."""
        valves = isinstance(self.damper, ValveDamper)
        origin = "Computed from valves, not measured." if valves else ""
        told = " ".join(self.damper.assumptions)
        gas = "Gas alone does not bring the shaft out."
        if returns_by_gas(self.damper):
            gas = "Gas alone brings the shaft out."
        elif not valves and not self.damper.gas:
            gas = "The table holds no gas force, so a return spring stands in."
        return " ".join(filter(None, (f"{self.damper.name}.", origin, gas, told)))

    def lay_out(self) -> None:
        """Put the choice of adjuster and of the way to press above the rest."""
        super().lay_out()
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 30%", "1 1 70%"
        self.keep.description, self.keep.tooltip = "Set B like A", _ALIKE
        self.keep.layout.display = "" if self.damper.adjusters else "none"
        names = [(a.name, i) for i, a in enumerate(self.damper.adjusters)]
        self.adjuster = choice("Adjuster to turn", names, [_ONE_CHANGE] * len(names))
        self.adjuster.layout.margin = "0 28px 0 0"  # the way below starts at the left edge
        top = row(self.adjuster, self.way) if len(names) > 1 else row(self.way)
        self.children = (self.children[0], top, *self.children[1:])
        self.adjuster.observe(self._choose, "value")
        self.way.observe(self._press_so, "value")
        self._show_way()

    def setting(self, letter: str) -> Setting:
        """Return the clicks out from closed of every adjuster in A or B."""
        clicks = list(self.start)
        if self.damper.adjusters:
            clicks[self.chosen] = self.controls[letter].value
        return tuple(clicks)

    def values(self) -> dict:
        """Return setting A and how it is pressed."""
        numbers = {name: self.controls[name].value for name in ("push", "speed", "spring")}
        return {"setting": self.setting("A"), "by_hand": self.way.value, **numbers}

    def recall(self) -> dict:
        """Return setting B, pressed as A is."""
        return {**self.values(), "setting": self.setting("B")}

    def measure(self, values: dict) -> figure.Work:
        """Return what the stand shows at one setting."""
        return _work(self.damper, **values)

    def move(self, now: figure.Work, before: figure.Work) -> str:
        """Return the two dampers at work."""
        return returning_svg(now, before)

    def _keep(self, _button: widgets.Button) -> None:
        """Set B as A is: what follows is compared with it."""
        self.controls["B"].take(self.controls["A"].value)

    def _choose(self, change: dict) -> None:
        """Turn to another adjuster in both settings; the others go back to the start."""
        self.chosen = change["new"]
        for letter in "AB":
            label, _, options, start = self._offer(letter)
            self.controls[letter].offer(label, options, start)
        self.refresh()

    def _press_so(self, _change: dict) -> None:
        self._show_way()
        self.refresh()

    def _show_way(self) -> None:
        """Show the push or the speed, whichever the chosen way of pressing asks for."""
        self.controls["push"].layout.display = "" if self.way.value else "none"
        self.controls["speed"].layout.display = "none" if self.way.value else ""

    def _offer(self, letter: str) -> tuple[str, str, list[int], int]:
        """Return label, unit, clicks on offer and the start of the chosen adjuster."""
        i, start = self.chosen, self.start
        chosen, curves = self.damper.adjusters[i], _curves(self.damper)
        line = [s for s in curves if s[:i] + s[i + 1 :] == start[:i] + start[i + 1 :]]
        options = sorted(s[i] for s in line) or list(range(chosen.clicks + 1))
        return f"{letter}: {chosen.name}, out from closed", "clicks", options, start[i]


def _curves(damper: ValveDamper | MeasuredDamper) -> dict:
    """Return the measured curves of a damper, of which valves have none."""
    return dict(getattr(damper, "curves", {}))


def _start(damper: ValveDamper | MeasuredDamper) -> Setting:
    if isinstance(damper, MeasuredDamper):
        return hub(damper)
    return tuple(adjuster.clicks // 2 for adjuster in damper.adjusters)


def _work(damper, setting, by_hand, push, speed, spring) -> figure.Work:
    """Press a damper in, let it go, and return what the stand shows."""
    back = let_return(damper, setting, spring=spring)
    press = _by_hand(damper, setting, push) if by_hand else _by_lever(damper, setting, speed)
    return figure.Work(
        setting=tuple((a.name, n) for a, n in zip(damper.adjusters, setting, strict=True)),
        by_hand=by_hand,
        **{**press, "beyond": press["beyond"] or back.beyond},
        back_time=back.time,
        back_travel=back.travel,
        back=back.seconds,
        gas=float(damper.gas_force(0.0)),
        spring=spring,
    )


def _by_hand(damper, setting: Setting, push: float) -> dict:
    """Return the way in under a steady push (N)."""
    go = press_by_hand(damper, setting, push)
    way = {"press_time": go.time, "press_travel": go.travel}
    return {"force": push, "speed": go.speed, "beyond": go.beyond, **way}


def _by_lever(damper, setting: Setting, speed: float) -> dict:
    """Return the way in at a steady shaft speed (m/s)."""
    ends, force = np.array([0.0, STROKE]), float(lever_force(damper, setting, speed))
    way = {"press_time": ends / speed, "press_travel": ends}
    return {"force": force, "speed": speed, "beyond": bool(damper.beyond(speed, setting)), **way}


def returning_svg(now: figure.Work, before: figure.Work) -> str:
    """Return dampers A and B on the stand, let go at the same moment, in real time."""
    name = new_name()
    lead = max(now.press_time[-1], before.press_time[-1]) + _HOLD
    period = min(lead + max(now.back_time[-1], before.back_time[-1]) + _REST, lead + _LONGEST)
    style, parts = "", ""
    for letter, work, faded in (("A", now, False), ("B", before, True)):
        part = f"{name}{letter}"
        moments, travel = _round(work, lead, period)
        moves = [f"translateY({_DOWN * x / STROKE:.1f}px)" for x in travel]
        style += keyframes(part, moments / period, moves)
        style += f".{part}{{{animation(part, period)}}}"
        parts += f'<g transform="translate({116 * faded} 0)">{_one(part, letter, work, faded)}</g>'
    title = "Two dampers on the stand, pressed in and let go at the same moment"
    words = f"Below them: A {_took(now)}, B {_took(before)}."
    floor = f'<rect x="6" y="286" width="220" height="12" rx="3" fill="{ROAD}"/>'
    return svg(name, title, words, (232, 344), style, floor + parts)


def _round(work: figure.Work, lead: float, period: float) -> tuple[np.ndarray, np.ndarray]:
    """Return moments (s) and travel (m) of one round, in which it is let go at `lead`."""
    start = lead - _HOLD - work.press_time[-1]
    known = np.concatenate([[0.0], start + work.press_time, lead + work.back_time, [1e3]])
    ends = (work.press_travel, work.back_travel)
    travel = np.concatenate([[0.0], *ends, work.back_travel[-1:]])
    press = np.linspace(start, start + work.press_time[-1], 7)
    back = np.linspace(lead, min(lead + work.back_time[-1], period), 17)
    moments = np.unique(np.clip(np.concatenate([[0.0], press, back, [period]]), 0, period))
    return moments, np.interp(moments, known, travel)


def _took(work: figure.Work) -> str:
    return "stays in" if math.isinf(work.back) else f"{work.back:.1f} s back"


def _one(part: str, letter: str, work: figure.Work, faded: bool) -> str:
    """Return one damper on the stand, with its letter and time; B is pale and dotted."""
    dots = ' stroke-dasharray="2 3"' if faded else ""
    dark, ink = (pale(BODY), QUIET) if faded else (BODY, INK)
    fill, plate = (PAPER, pale(WHEEL)) if faded else (BODY, WHEEL)
    line = f'fill="{fill}" stroke="{dark}" stroke-width="2"{dots}'
    return (
        f'<g class="{part}"><path d="M58 40V206" stroke="{dark}" stroke-width="8"{dots}/>'
        f'<rect x="18" y="22" width="80" height="20" rx="4" fill="{plate}"/></g>'
        f'<rect x="37" y="148" width="42" height="124" rx="7" {line}/>'
        f'<rect x="33" y="142" width="50" height="11" rx="3" fill="{FAINT}" stroke="{dark}"/>'
        f'<text x="58" y="220" font-size="24" font-weight="700" text-anchor="middle" '
        f'fill="{ink if faded else PAPER}">{letter}</text>'
        f'<text x="58" y="326" font-size="16" text-anchor="middle" fill="{ink}">'
        f"{_took(work)}</text>"
    )


def press_panel(damper: ValveDamper | MeasuredDamper | None = None) -> PressPanel:
    """Return the press-and-return stand with the learner's damper, or with the demo workshop's."""
    return PressPanel(damper or demo.hydraulic())
