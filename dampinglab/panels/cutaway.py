"""Lesson 04: inside the damper, where the oil goes and which adjuster is in its way."""

import ipywidgets as widgets
import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.figures import cutaway as figure
from dampinglab.panels.controls import Number, Panel, choice, row
from dampinglab.panels.curve import click_controls
from dampinglab.panels.moving import new_name, svg
from dampinglab.physics.damper import Setting
from dampinglab.physics.hydraulic import Flows, Knob, ValveDamper
from dampinglab.workshop import demo

__all__ = ["CutawayPanel", "Drawing", "cut_open", "cutaway_panel"]

# Field of the flows, its words, where it is, and the valve that a knob may turn.
_PASSAGES = (
    ("piston_bleed", "piston bleed", "piston", ""),
    ("piston_stack", "bump stack", "piston", ""),
    ("rebound_needle", "rebound needle", "piston", "rebound"),
    ("rebound_stack", "rebound stack", "piston", "rebound"),
    ("low_needle", "low-speed needle", "base", "low"),
    ("high_valve", "high-speed valve", "base", "high"),
    ("check", "check valve", "base", ""),
)


def cut_open(damper: ValveDamper, setting: Setting, speed: float) -> figure.Cut:
    """Return where the oil goes at a shaft speed (m/s, positive in bump), solved."""
    flows, force = damper.flows(speed, setting), abs(float(damper.valve_force(speed, setting)))
    rod, ring = damper.areas
    whole = {"base": rod * abs(speed), "piston": ring * abs(speed)}
    return figure.Cut(
        setting=tuple((knob.name, n) for knob, n in zip(damper.knobs, setting, strict=True)),
        side="bump" if speed > 0 else "rebound",
        speed=abs(speed),
        force=force,
        parts={"base": rod * flows.base_pressure, "piston": ring * flows.piston_pressure},
        passages=_passages(damper, setting, flows, whole),
        ranges=tuple(_range(damper, setting, speed, i) for i in range(len(damper.knobs))),
        void=flows.void / whole["piston"],
    )


def _passages(damper: ValveDamper, setting: Setting, flows: Flows, whole: dict) -> tuple:
    """Return every passage with its share of the oil and what turns it."""
    turns = {
        valve: f"{knob.name} {n} out"
        for knob, n in zip(damper.knobs, setting, strict=True)
        for valve in knob.turns
    }
    return tuple(
        figure.Passage(
            words, place, getattr(flows, key) / whole[place], turns.get(valve, "no adjuster")
        )
        for key, words, place, valve in _PASSAGES
    )


def _range(damper: ValveDamper, setting: Setting, speed: float, i: int) -> figure.Range:
    """Return what one adjuster does to the force between its two ends."""
    knob = damper.knobs[i]
    ends = [(*setting[:i], n, *setting[i + 1 :]) for n in (0, knob.clicks)]
    closed, opened = np.abs(damper.valve_forces(speed, ends))
    return figure.Range(knob.name, float(closed), float(opened), _acts(damper, knob, speed))


def _acts(damper: ValveDamper, knob: Knob, speed: float) -> bool:
    """Return whether an adjuster has a passage that oil takes in this direction."""
    bump = {"low", "high"} if damper.checked else {"low", "high", "rebound"}
    there = bump if speed > 0 else {"rebound"}
    return bool(there & set(knob.turns))


class Drawing:
    """A drawing in the place of a live picture: it is shown as SVG and says what it shows."""

    def __init__(self, scene: figure.Plan) -> None:
        self.widget, self.alternative = widgets.HTML(), ""
        self.swap(scene)

    def swap(self, scene: figure.Plan) -> None:
        """Show another scene in the same place."""
        self.scene = scene

    def show(self, alternative: str) -> None:
        """Put the drawing on the screen, with its alternative text."""
        self.alternative, name = alternative, new_name()
        style, parts = figure.drawing(self.scene, name)
        self.widget.value = svg(name, "A damper cut open", alternative, (940, 430), style, parts)


class CutawayPanel(Panel):
    """Choose direction and speed, turn clicks, and see which way the oil goes."""

    canvas = Drawing

    def __init__(self, damper: ValveDamper, note: str = "") -> None:
        self.damper, self.clicks = damper, click_controls(damper)
        ways = [("Bump: shaft in", 1), ("Rebound: shaft out", -1)]
        self.way = choice("Which way the shaft moves", ways, ["Show this way"] * 2)
        speed = {"speed": Number("Shaft speed", "m/s", 0.1, 0.01, 1.5, 0.01)}
        super().__init__("Inside the damper", speed | self.clicks, figure, note)
        self.way.observe(lambda _change: self.refresh(), "value")

    def lay_out(self) -> None:
        """Put the choice of direction above the rest, and give the drawing the whole width."""
        super().lay_out()
        self.beside.layout.display, self.picture.widget.layout.flex = "none", "1 1 100%"
        self.children = (self.children[0], row(self.way), *self.children[1:])

    def values(self) -> dict:
        """Return the setting and the shaft speed, positive in bump."""
        setting = tuple(control.value for control in self.clicks.values())
        return {"setting": setting, "speed": self.way.value * self.controls["speed"].value}

    def recall(self) -> dict:
        """Return the setting before at today's speed, so that only clicks differ."""
        return {**self.before, "speed": self.values()["speed"]}

    def measure(self, values: dict) -> figure.Cut:
        """Return where the oil goes."""
        return cut_open(self.damper, **values)

    def move(self, now: figure.Cut, before: figure.Cut) -> str:
        """Return nothing: the drawing itself moves."""
        return ""


_NO_VALVES = (
    "A dyno table does not show where the oil goes, so only a damper made of valves can be cut "
    "open: leave the brackets empty for the demo workshop's."
)


def cutaway_panel(damper: ValveDamper | None = None) -> CutawayPanel:
    """Return the panel with a damper made of valves, or with the demo workshop's."""
    if damper is not None and not isinstance(damper, ValveDamper):
        raise LearnerError(_NO_VALVES)
    own = damper or demo.hydraulic("front")
    return CutawayPanel(own, f"{own.name}. Valves invented, as are all of the demo workshop's.")
