"""Lesson 00: the first press on the stand, with a measured damper."""

import numpy as np

from dampinglab.figures import stand as figure
from dampinglab.figures.look import BODY, FAINT, INK, QUIET, ROAD, WHEEL
from dampinglab.panels.controls import Number, Panel, Step, choice, row
from dampinglab.panels.moving import Pulse, animation, keyframes, new_name, svg
from dampinglab.physics.damper import MeasuredDamper, Setting, middle_of_force
from dampinglab.workshop import demo

__all__ = ["StandPanel", "hub", "press_once", "span_of", "stand_panel", "stand_svg"]

_FASTEST = 0.5  # m/s: beyond it the low speeds, which a hand feels, are squeezed together
_STROKE = 0.060  # m
_PAUSES = (0.3, 0.6)  # s, pressed in and let out


def span_of(damper: MeasuredDamper) -> tuple[float, float]:
    """Return the fastest shaft speed (m/s) every curve was measured at, and the largest force."""
    edges = [min(-curve.speed[0], curve.speed[-1]) for curve in damper.curves.values()]
    reach = float(min(*edges, _FASTEST))
    ends = [damper.valve_force(np.array([-reach, reach]), s) for s in damper.settings]
    return reach, float(np.abs(ends).max())


def press_once(
    damper: MeasuredDamper, setting: Setting, speed: float, span: tuple[float, float]
) -> figure.Press:
    """Return what the stand reads when the shaft goes in and out once at a speed (m/s)."""
    grid = np.linspace(-span[0], span[0], 201)
    return figure.Press(
        setting=tuple((a.name, n) for a, n in zip(damper.adjusters, setting, strict=True)),
        speed=speed,
        press=float(damper.valve_force(speed, setting)),
        back=-float(damper.valve_force(-speed, setting)),
        curve_speed=grid,
        curve_force=damper.valve_force(grid, setting),
        reach=span[1],
    )


def hub(damper: MeasuredDamper) -> Setting:
    """Return the measured setting from which the most others are one adjuster away.

    A table often turns one adjuster at a time around one setting. Where every combination was
    measured all are alike, and the middle of force is taken.
    """
    middle = middle_of_force(damper)

    def neighbours(setting: Setting) -> int:
        return sum(np.count_nonzero(np.subtract(setting, s)) == 1 for s in damper.settings)

    return max((middle, *damper.settings), key=neighbours)


def stand_svg(speed: float, pulse: Pulse) -> str:
    """Return the stand at work: the shaft driven in and out at a speed (m/s), in real time."""
    name, drive = new_name(), _STROKE / speed
    period = 2 * drive + sum(_PAUSES)
    moments = np.cumsum([0, drive, _PAUSES[0], drive, _PAUSES[1]]) / period
    moves = [f"translateY({y}px)" for y in (0, 72, 72, 0, 0)]
    style = keyframes(f"{name}r", moments, moves)
    style += f".{name}r{{{animation(f'{name}r', period, pulse.elapsed(period))}}}"
    title = f"A damper on the stand, pressed in and let out at {speed:.2f} metres a second"
    words = f"The shaft goes {1e3 * _STROKE:.0f} mm in, waits, and comes out at the same speed."
    return svg(name, title, words, (210, 330), style, _stand_parts(f"{name}r", speed))


def _stand_parts(shaft: str, speed: float) -> str:
    """Return the posts and the damper's body, and the shaft that moves."""
    steel = f'fill="{FAINT}" stroke="{ROAD}" stroke-width="2"'
    return (
        f'<rect x="22" y="8" width="12" height="286" {steel}/>'
        f'<rect x="176" y="8" width="12" height="286" {steel}/>'
        f'<rect x="8" y="286" width="194" height="14" rx="3" fill="{ROAD}"/>'
        f'<g class="{shaft}"><path d="M105 46V218" stroke="{QUIET}" stroke-width="9"/>'
        f'<rect x="28" y="24" width="154" height="24" rx="4" fill="{WHEEL}"/>'
        f'<circle cx="105" cy="60" r="10" fill="{BODY}"/></g>'
        f'<rect x="82" y="148" width="46" height="122" rx="7" fill="{BODY}"/>'
        f'<rect x="78" y="142" width="54" height="11" rx="3" fill="{BODY}"/>'
        f'<circle cx="105" cy="275" r="11" fill="{BODY}"/>'
        f'<text x="105" y="322" font-size="16" text-anchor="middle" fill="{INK}">'
        f"at {speed:.2f} m/s</text>"
    )


class StandPanel(Panel):
    """Turn one adjuster, choose a shaft speed, and see what the press and the return take."""

    def __init__(self, damper: MeasuredDamper) -> None:
        self.damper, self.start, self.pulse = damper, hub(damper), Pulse()
        self.span = span_of(damper)
        reach = round(self.span[0], 3)
        speed = Number("Shaft speed, in and out", "m/s", min(0.1, reach), 0.02, reach, 0.01)
        controls = {"speed": speed}
        self.chosen = 0
        note = " ".join((f"{damper.name}.", *damper.assumptions))
        if damper.adjusters:
            controls = {"clicks": self._step(), **controls}
        super().__init__("The first press on the stand", controls, figure, note)

    def lay_out(self) -> None:
        """Put the choice of adjuster above the rest."""
        super().lay_out()
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 24%", "1 1 74%"
        if len(self.damper.adjusters) > 1:
            names = [(a.name, i) for i, a in enumerate(self.damper.adjusters)]
            self.adjuster = choice("Adjuster to turn", names, [_ONE_CHANGE] * len(names))
            self.adjuster.observe(self._choose, "value")
            self.children = (self.children[0], row(self.adjuster), *self.children[1:])

    def setting(self) -> Setting:
        """Return the clicks out from closed of every adjuster, in the damper's order."""
        clicks = list(self.start)
        if self.damper.adjusters:
            clicks[self.chosen] = self.controls["clicks"].value
        return tuple(clicks)

    def values(self) -> dict:
        """Return the whole setting and the shaft speed."""
        return {"setting": self.setting(), "speed": self.controls["speed"].value}

    def recall(self) -> dict:
        """Return the setting before, pressed at today's speed, so that only clicks differ."""
        return {**self.before, "speed": self.controls["speed"].value}

    def measure(self, values: dict) -> figure.Press:
        """Return what the stand reads."""
        return press_once(self.damper, values["setting"], values["speed"], self.span)

    def move(self, now: figure.Press, before: figure.Press) -> str:
        """Return the stand at work."""
        return stand_svg(now.speed, self.pulse)

    def _choose(self, change: dict) -> None:
        """Turn to another adjuster; the others go back to the start: one change at a time."""
        self.chosen = change["new"]
        self.controls["clicks"].offer(*self._offer())
        self.refresh()

    def _step(self) -> Step:
        label, options, value = self._offer()
        return Step(label, "clicks", options, value)

    def _offer(self) -> tuple[str, list[int], int]:
        """Return the label, the measured clicks and the start of the chosen adjuster."""
        i, start = self.chosen, self.start
        others = [
            s for s in self.damper.settings if s[:i] + s[i + 1 :] == start[:i] + start[i + 1 :]
        ]
        name = self.damper.adjusters[i].name
        label = f"{name[0].upper()}{name[1:]}, out from closed"
        return label, sorted(s[i] for s in others), start[i]


_ONE_CHANGE = "Turn this one; the others go back to where they started"


def stand_panel(damper: MeasuredDamper | None = None) -> StandPanel:
    """Return the stand with the learner's damper, or with the demo workshop's."""
    return StandPanel(damper or demo.damper())
