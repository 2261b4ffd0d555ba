"""Lesson 03: the damper as a curve, read at one speed and over one sine stroke."""

from pathlib import Path

import numpy as np

from dampinglab.figures import curve as figure
from dampinglab.figures.look import INK, QUIET, ladder, pale
from dampinglab.panels.controls import Number, Panel, Step, choice, row
from dampinglab.panels.moving import new_name, svg
from dampinglab.panels.stand import hub
from dampinglab.physics.damper import MeasuredDamper, Setting, damping_ratio, secant
from dampinglab.physics.equivalent import cycle_energy, equivalent_coefficient
from dampinglab.physics.hydraulic import ValveDamper
from dampinglab.physics.vehicle import Corner
from dampinglab.units import show
from dampinglab.workshop import demo
from dampinglab.workshop.dyno import read_dyno

__all__ = [
    "CurvePanel",
    "click_controls",
    "curve_panel",
    "energy_svg",
    "explore",
    "start_of",
]

Damper = ValveDamper | MeasuredDamper
_FASTEST = 1.5  # m/s
_WIDTHS = (0.3, 0.6, 1.0, 1.6, 2.5, 4.0)  # m/s of the shaft that the axis can show
_DENSE = np.sinh(np.linspace(-4, 4, 241)) / np.sinh(4)  # from -1 to 1, close together at rest


def start_of(damper: Damper) -> Setting:
    """Return where a damper starts: every adjuster in its middle, or the hub of its table."""
    if isinstance(damper, MeasuredDamper):
        return hub(damper)
    return tuple(adjuster.clicks // 2 for adjuster in damper.adjusters)


def click_controls(damper: Damper) -> dict[str, Step]:
    """Return a control for each adjuster, at measured clicks where a table is all there is."""
    controls = {}
    for i, (adjuster, start) in enumerate(zip(damper.adjusters, start_of(damper), strict=True)):
        options = range(adjuster.clicks + 1)
        if isinstance(damper, MeasuredDamper):
            options = sorted({setting[i] for setting in damper.settings})
        label = f"{adjuster.name.capitalize()}, out from closed"
        controls[adjuster.name] = Step(label, "clicks", tuple(options), start)
    return controls


def explore(
    damper: Damper,
    corner: Corner,
    setting: Setting,
    speed: float,
    stroke: tuple[float, float],
    place: str = "shaft",
) -> figure.Explored:
    """Return a damper read at a shaft speed (m/s) and over a stroke (m either way, Hz)."""
    lever = corner.damper_motion_ratio if place == "wheel" else 1.0
    over = _over_stroke(damper, setting, stroke, lever)
    grid = _WIDTHS[-1] * _DENSE
    return figure.Explored(
        setting=tuple((a.name, n) for a, n in zip(damper.adjusters, setting, strict=True)),
        shaft_speed=speed,
        stroke=stroke,
        place=place,
        ratio=tuple(damping_ratio(damper, v, setting, corner) for v in (speed, -speed)),
        reach=ladder(1.04 * max(speed, lever * over["peak"]), _WIDTHS) / lever,
        curve_speed=grid / lever,
        curve_force=lever * _resisting(damper, setting)(grid),
        limits={name: v / lever for name, v in _limits(damper, setting).items()},
        **_at_speed(damper, setting, speed, lever),
        **over,
    )


def _resisting(damper: Damper, setting: Setting):
    """Return the force (N) of valves and seals as a function of shaft speed (m/s)."""
    return lambda v: damper.valve_force(v, setting) + damper.friction(v)


def _at_speed(damper: Damper, setting: Setting, speed: float, lever: float) -> dict:
    """Return speed, forces and coefficients, both ways, where the lever has them read."""
    pair = [secant(damper, v, setting) for v in (speed, -speed)]
    return {
        "speed": speed / lever,
        "force": tuple(lever * c * speed for c in pair),
        "coefficient": tuple(lever**2 * c for c in pair),
    }


def _over_stroke(damper: Damper, setting: Setting, stroke: tuple, lever: float) -> dict:
    """Return the energy of one stroke, each way and beyond the table, and its viscous equal."""
    force = _resisting(damper, setting)
    parts = (lambda v: v > 0, lambda v: v < 0, lambda v: damper.beyond(v, setting))
    bump, rebound, beyond = (
        cycle_energy(lambda v, part=part: force(v) * part(v), *stroke) for part in parts
    )
    return {
        "peak": 2 * np.pi * stroke[0] * stroke[1] / lever,
        "equivalent": lever**2 * equivalent_coefficient(force, *stroke),
        "energy": (bump, rebound),
        "heat": (bump + rebound) * stroke[1],
        "beyond": beyond / (bump + rebound),
    }


def _limits(damper: Damper, setting: Setting) -> dict[str, float]:
    """Return the shaft speeds (m/s) at which a valve opens, or every measured curve ends."""
    if isinstance(damper, MeasuredDamper):
        ends = [min(-curve.speed[0], curve.speed[-1]) for curve in damper.curves.values()]
        return {"table ends": float(min(ends))}
    knees = damper.knee_speed(setting), -damper.rebound_knee_speed(setting)
    return dict(zip(("bump knee", "rebound knee"), knees, strict=True))


class CurvePanel(Panel):
    """Turn clicks, move the speed, drive a stroke, and read the damper at shaft or wheel."""

    def __init__(self, damper: Damper, corner: Corner, note: str = "") -> None:
        self.damper, self.corner = damper, corner
        self.clicks = click_controls(damper)
        for name, control in self.clicks.items():
            control.on_change(lambda name=name: self._settle(name))
        most = round(_limits(damper, start_of(damper)).get("table ends", _FASTEST), 3)
        places = [("At the shaft", "shaft"), ("At the wheel", "wheel")]
        self.place = choice("Where it is read", places, ["Read there"] * 2)
        controls = self.clicks | {
            "speed": Number("Shaft speed", "m/s", min(0.1, most), 0.01, most, 0.01),
            "amplitude": Number("Stroke, either way", "mm", 20, 2, 50, 1),
            "frequency": Number("Strokes a second", "Hz", 2, 0.2, 12, 0.1),
        }
        super().__init__("The damper as a curve", controls, figure, note)
        self.place.observe(self._turn, "value")

    def lay_out(self) -> None:
        """Put the choice of shaft or wheel above the picture."""
        super().lay_out()
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 25%", "1 1 74%"
        self.children[1].add_class("dl-thirds")
        self.children = (*self.children[:2], row(self.place), *self.children[2:])

    def values(self) -> dict:
        """Return setting, shaft speed, stroke, and where they are read."""
        amplitude, frequency = (self.controls[n].value for n in ("amplitude", "frequency"))
        return {
            "setting": tuple(control.value for control in self.clicks.values()),
            "speed": self.controls["speed"].value,
            "stroke": (amplitude, frequency),
            "place": self.place.value,
        }

    def recall(self) -> dict:
        """Return what was before, read where today's values are read."""
        return {**self.before, "place": self.place.value}

    def measure(self, values: dict) -> figure.Explored:
        """Return the damper read at these values."""
        return explore(self.damper, self.corner, **values)

    def move(self, now: figure.Explored, before: figure.Explored) -> str:
        """Return the energy of one stroke as two columns."""
        return energy_svg(now, before)

    def _settle(self, name: str) -> None:
        """Keep to settings that were measured: the other adjusters go to the nearest of them."""
        if not isinstance(self.damper, MeasuredDamper):
            return
        want, i = self.values()["setting"], list(self.clicks).index(name)
        there = [setting for setting in self.damper.settings if setting[i] == want[i]]
        nearest = min(there, key=lambda setting: np.abs(np.subtract(setting, want)).sum())
        for control, clicks in zip(self.clicks.values(), nearest, strict=True):
            control.offer(control.label, control.slider.options, clicks)

    def _turn(self, _change: dict) -> None:
        """Read at the other place; the axes have another name there, so all is drawn anew."""
        self.picture.swap(self.picture.scene)
        self.refresh()


_FOOT, _TALL = 262, 168  # where the columns stand, and how tall the larger can be


def energy_svg(now: figure.Explored, before: figure.Explored) -> str:
    """Return one stroke's energy in bump and in rebound, before as an outline, and the ratios."""
    most, whole = max(*now.energy, *before.energy), sum(now.energy)
    words, heat = [], f"{show(whole, 'J')}, {now.heat:.0f} W"
    parts = _line(105, 24, "One stroke", 700) + _line(105, 46, heat)
    parts += _line(105, _FOOT + 78, "Damping ratio", 700)
    for i, x in enumerate((58, 152)):
        (side, colour), share = figure.SIDES[i], f"{100 * now.energy[i] / whole:.0f} %"
        tall, old = (_TALL * seen.energy[i] / most for seen in (now, before))
        energy, ratio = show(now.energy[i], "J"), f"{now.ratio[i]:.2f}"
        parts += _column(x, tall, old, colour, i)
        parts += _line(x, _FOOT - max(tall, old) - 7, energy) + _line(x, _FOOT + 22, side, 700)
        parts += _line(x, _FOOT + 44, share) + _line(x, _FOOT + 101, ratio)
        words.append(f"{side} {energy}, {share}, damping ratio {ratio}")
    title = f"Energy of one stroke in bump and in rebound: {heat}"
    return svg(new_name(), title, "; ".join(words), (210, 376), "", parts)


def _line(x: float, y: float, words: str, weight: int = 400) -> str:
    """Return words centred at a place."""
    return (
        f'<text x="{x}" y="{y:.1f}" font-size="16" font-weight="{weight}" text-anchor="middle" '
        f'fill="{INK}">{words}</text>'
    )


def _column(x: float, tall: float, old: float, colour: str, dashed: int) -> str:
    """Return a column as tall as the energy, solid for bump and dashed for rebound."""
    dash = ' stroke-dasharray="8 4"' if dashed else ""
    return (
        f'<rect x="{x - 28}" y="{_FOOT - tall:.2f}" width="56" height="{tall:.2f}" class="now" '
        f'fill="{pale(colour, 0.8)}" stroke="{colour}" stroke-width="3"{dash}/>'
        f'<rect x="{x - 32}" y="{_FOOT - old:.2f}" width="64" height="{old:.2f}" class="before" '
        f'fill="none" stroke="{QUIET}" stroke-width="1.5" stroke-dasharray="2 3"/>'
    )


def curve_panel(
    damper: Damper | str | Path | None = None, corner: Corner | None = None, axle: str = "front"
) -> CurvePanel:
    """Return the panel with a damper, or a dyno table's by its file, or the demo workshop's."""
    own = damper or demo.hydraulic(axle)
    if isinstance(own, str | Path):
        there = read_dyno(own)
        own = there.get(axle) or next(iter(there.values()))
    told = own.assumptions
    note = " ".join((f"{own.name}.", *told, *(() if corner else (demo.CORNER,))))
    return CurvePanel(own, corner or demo.vehicle().corner("front"), note)
