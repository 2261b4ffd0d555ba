"""Lesson 08: how rebound pulls the body down on corrugation, or bump jacks it up."""

import html
import math

import ipywidgets as widgets
import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.figures import sinking as figure
from dampinglab.panels.controls import Number, Panel, row
from dampinglab.panels.zones import steps_of
from dampinglab.physics.road import corrugation
from dampinglab.physics.sinking import SETTLE, Sunk, level_at, sink
from dampinglab.units import from_si
from dampinglab.workshop import demo

__all__ = ["SinkingPanel", "sinking_panel"]

_REBOUND = "rebound"
_ROAD = ("depth", "wavelength", "speed")
_NO_LOAD = "as weighed"
_STEP = 2e-3  # s: mean heights are within 0.2 mm of those at 1 ms
_KEPT = 60  # curves kept


class SinkingPanel(Panel):
    """Choose a corrugation, turn rebound, and read how high the body rides on it."""

    judges = False  # mm are judged here; the words below the panel say how

    def __init__(self, vehicle, dampers: dict, note: str) -> None:
        self.vehicle, self.dampers = vehicle, dampers
        self.made: dict[tuple, Sunk] = {}
        self.steps = {axle: steps_of(one, vehicle.axles[axle]) for axle, one in dampers.items()}
        loads = [_NO_LOAD, *(case.name for case in vehicle.loads)]
        self.axle = widgets.Dropdown(options=list(dampers), description="Axle")
        self.load = widgets.Dropdown(options=loads, description="Load")
        self.told = widgets.HTML()
        controls = {
            "depth": Number("Depth, trough to crest", "mm", 20, 2, 80, 1),
            "wavelength": Number("From crest to crest", "m", 0.9, 0.3, 3.0, 0.05),
            "speed": Number("Road speed", "km/h", 60, 20, 120, 5),
            **{(axle, n): s for axle, steps in self.steps.items() for n, s in steps.items()},
        }
        super().__init__("Sinking on corrugation", controls, figure, note)
        for chosen in (self.axle, self.load):
            chosen.observe(self._turn_to, "value")

    def lay_out(self) -> None:
        """Put axle and load above; nothing moves beside the picture."""
        super().lay_out()
        top, self.grid, view, words, buttons = self.children
        self.grid.add_class("dl-thirds")
        view.children = (self.picture.widget,)
        self.picture.widget.layout.flex = "1 1 100%"
        choice = row(self.axle, self.load)
        self.children = (top, choice, self.grid, view, words, buttons, self.told)
        self._show_steps()

    def values(self) -> dict:
        """Return axle, load, road and setting."""
        axle = self.axle.value
        road = {name: self.controls[name].value for name in _ROAD}
        setting = tuple(step.value for step in self.steps[axle].values())
        return {"axle": axle, "load": self.load.value, **road, "setting": setting}

    def measure(self, values: dict) -> figure.Sinking:
        """Return what every click does; what was driven once is kept."""
        axle, load, setting = (values[name] for name in ("axle", "load", "setting"))
        road = tuple(values[name] for name in _ROAD)
        names = list(self.steps[axle])
        clicks = np.array(self.steps[axle][_REBOUND].slider.options)
        place = names.index(_REBOUND)
        every = tuple((*setting[:place], int(n), *setting[place + 1 :]) for n in clicks)
        sunk = self._driven(axle, load, road, every)
        return figure.Sinking(
            axle=axle,
            load=load,
            road=_said(*road),
            setting=tuple(zip(names, setting, strict=True)),
            clicks=clicks,
            level=level_at(clicks, sunk.height),
            **vars(sunk),
        )

    def _driven(self, axle: str, load: str, road: tuple, settings: tuple) -> Sunk:
        key = (axle, load, road, settings)
        if key not in self.made:
            if len(self.made) >= _KEPT:
                self.made.pop(next(iter(self.made)))
            corner = self.vehicle.corner(axle, None if load == _NO_LOAD else load)
            under = corrugation(*road, _duration(*road[1:]), dt=_STEP)
            self.made[key] = sink(corner, self.dampers[axle], settings, under)
        return self.made[key]

    def move(self, now: figure.Sinking, before: figure.Sinking) -> str:
        """Say what is felt, and what a table assumes; there is no moving picture."""
        assumed = self.dampers[self.axle.value].assumption
        told = f"{figure.FELT_MEANS} {assumed(tuple(n for _, n in now.setting))}".strip()
        self.told.value = f'<p class="dl-fixed">{html.escape(told)}</p>'
        return ""

    def _show_steps(self) -> None:
        road = (self.controls[name] for name in _ROAD)
        self.grid.children = (*road, *self.steps[self.axle.value].values())

    def _turn_to(self, _change: dict) -> None:
        self._show_steps()
        self.refresh()


def _duration(wavelength: float, speed: float) -> float:
    """Return how long to drive, s: until settled, then a second or more of whole waves."""
    wave = wavelength / speed
    return SETTLE + wave * math.ceil(1 / wave)


def _said(depth: float, wavelength: float, speed: float) -> tuple[str, str, str]:
    pace = f"{from_si(speed, 'km/h'):.0f} km/h"
    return f"{1e3 * depth:.0f} mm", f"{wavelength:.2f} m", pace


def sinking_panel(vehicle=None, dampers: dict | None = None) -> SinkingPanel:
    """Return the panel with the learner's vehicle and dampers, or with the demo workshop's."""
    vehicle, dampers, told = demo.stand_ins(vehicle, dampers)
    known = {axle: dampers[axle] for axle in vehicle.axles if _turns(dampers.get(axle))}
    if not known:
        raise LearnerError(f"No damper with a rebound adjuster of its own fits {vehicle.name}.")
    return SinkingPanel(vehicle, known, f"{told} A model's numbers: compare clicks with them.")


def _turns(damper) -> bool:
    return _REBOUND in [adjuster.name for adjuster in getattr(damper, "adjusters", ())]
