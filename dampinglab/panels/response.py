"""Lesson 06: what damping can and cannot change; three questions, three answers."""

from dataclasses import replace

import ipywidgets as widgets
import numpy as np

from dampinglab.figures import response as figure
from dampinglab.panels.controls import NAMED, Number, Panel, around, row
from dampinglab.physics import linear
from dampinglab.physics.road import CLASS_MEANS
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G
from dampinglab.workshop import demo

__all__ = ["ResponsePanel", "response_of", "response_panel"]

_START = 0.3
_FREQUENCY = np.geomspace(0.4, 25, 240)
_SCALE = {"acceleration": 1e-3, "travel": 1.0, "tyre": 1e-3}  # for 1 mm of road, in mm
# Class C at 80 km/h; the closed forms take its velocity as white.
_ROUGH = (2 * np.pi * 0.1) ** 2 * CLASS_MEANS["C"] * 80 / 3.6
_NOTE = (
    "There is no single best damping ratio: every question has its own answer. The rough road is "
    "class C of ISO 8608 at 80 km/h, the damper a straight line, the tyre without damping."
)


def response_of(corner: Corner, ratio: float, shown: str) -> figure.Response:
    """Return a corner's responses with a damping ratio, and what a rough road makes of it."""
    corner = replace(corner, tyre_damping=0.0)
    place, size = linear.fixed_points(corner).get(shown, (None, 0.0))
    return figure.Response(
        shown=shown,
        ratio=ratio,
        mass=corner.sprung_mass,
        tyre_rate=corner.tyre_rate,
        frequency=_FREQUENCY,
        curve=_curve(corner, ratio, shown),
        ends=tuple(_curve(corner, end, shown) for end in figure.ENDS),
        point=place and (place, size * _SCALE[shown]),
        **_on_the_rough_road(corner, ratio * corner.critical_damping),
    )


def _on_the_rough_road(corner: Corner, damping: float) -> dict:
    """Return what the road makes of it, the three answers, and what each is missed by."""
    mean = linear.white_road_variances(corner, damping, _ROUGH)
    best = linear.least_acceleration(corner), linear.least_tyre_load(corner)
    weight = (corner.sprung_mass + corner.unsprung_mass) * G
    every = (*best, linear.level_acceleration(corner))
    return {
        "shaking": mean["acceleration"] ** 0.5,
        "travel": mean["travel"] ** 0.5,
        "unevenness": mean["tyre"] ** 0.5 * corner.tyre_rate / weight,
        "answers": tuple(c / corner.critical_damping for c in every),
        "costs": (*_costs(corner, mean, best), None),
    }


def _curve(corner: Corner, ratio: float, shown: str) -> np.ndarray:
    """Return the size of one response for 1 mm of road."""
    found = linear.responses(corner, ratio * corner.critical_damping, _FREQUENCY)[shown]
    stiff = corner.tyre_rate if shown == "tyre" else 1.0
    return abs(found) * stiff * _SCALE[shown]


def _costs(corner: Corner, mean: dict, best: tuple) -> list[float]:
    """Return how far r.m.s. shaking and tyre load lie above their least."""
    each = zip(("acceleration", "tyre"), best, strict=True)
    least = [linear.white_road_variances(corner, c, _ROUGH)[name] for name, c in each]
    there = (mean["acceleration"], mean["tyre"])
    return [(a / b) ** 0.5 - 1 for a, b in zip(there, least, strict=True)]


class ResponsePanel(Panel):
    """Move the damping ratio, and see what stays; three questions give three answers."""

    def __init__(self, corner: Corner, note: str = "") -> None:
        self.corner = corner
        options = [(told[0], name) for name, told in figure.RESPONSES.items()]
        self.choice = widgets.Dropdown(options=options, description="Show", style=NAMED)
        controls = {
            "ratio": Number("Damping ratio", "", _START, 0.05, 1.2, 0.01),
            "mass": Number("Body mass on the corner", "kg", *around(corner.sprung_mass), 5),
            "tyre": Number("Tyre rate", "N/mm", *around(corner.tyre_rate / 1e3), 5),
        }
        heading = "What damping can and cannot change"
        super().__init__(heading, controls, figure, f"{note} {_NOTE}".strip())

    def lay_out(self) -> None:
        """Put the choice above the controls; nothing moves beside the picture."""
        super().lay_out()
        top, grid, view, *rest = self.children
        grid.add_class("dl-thirds")
        view.children = (self.picture.widget,)
        self.picture.widget.layout.flex = "1 1 100%"
        self.children = (top, row(self.choice), grid, view, *rest)

    def _connect(self) -> None:
        super()._connect()
        self.choice.observe(self._turn_to, "value")

    def _turn_to(self, _change: dict) -> None:
        self.picture.swap(self.picture.scene)  # the name above the axes is not drawn by sliders
        self.refresh()

    def measure(self, values: dict) -> figure.Response:
        """Return the responses of the corner as the controls stand."""
        changed = {"sprung_mass": values["mass"], "tyre_rate": values["tyre"]}
        return response_of(replace(self.corner, **changed), values["ratio"], self.choice.value)

    def move(self, now: figure.Response, before: figure.Response) -> str:
        """Return nothing: the picture is the only one."""
        return ""


def response_panel(corner: Corner | None = None) -> ResponsePanel:
    """Return the panel with the learner's corner, or with the demo workshop's."""
    if corner:
        return ResponsePanel(corner)
    return ResponsePanel(demo.vehicle().corner("front"), demo.CORNER)
