"""Lesson 01: load, spring, motion ratio and tyre, and the corner that they make."""

from dataclasses import replace

import numpy as np

from dampinglab.figures import sag as figure
from dampinglab.panels.controls import Number, Panel, around
from dampinglab.panels.moving import Bounce, Pulse, corner_svg
from dampinglab.physics.oscillator import frequency_from_deflection
from dampinglab.physics.vehicle import Corner, sag, wheel_rate
from dampinglab.workshop import demo

__all__ = ["SagPanel", "ride_of", "sag_panel"]

_CURVE = np.geomspace(0.008, 0.85, 160)  # m of sag
_BOUNCE = 0.035  # m, how far the drawn body bounces either way
_ROUND = np.sin(np.linspace(0, 2 * np.pi, 25))


def ride_of(corner: Corner, mass: float, spring: float, ratio: float, tyre: float) -> figure.Ride:
    """Return how a corner rides with another mass, spring, motion ratio and tyre (SI).

    The spring keeps its free length, so what it sags more is lost from the bump travel.
    """
    changed = replace(
        corner, sprung_mass=mass, wheel_rate=wheel_rate(spring, ratio), tyre_rate=tyre
    )
    stop = corner.static_sag + corner.bump_gap
    return figure.Ride(
        mass=mass,
        wheel_rate=changed.wheel_rate,
        ride_rate=changed.ride_rate,
        sag=changed.static_sag,
        together=sag(mass, changed.ride_rate),
        frequency=changed.ride_frequency,
        foam=corner.foam_length,
        travel_left=stop - changed.static_sag,
        stop_at=stop * changed.wheel_rate / changed.ride_rate,
        curve_sag=_CURVE,
        curve_frequency=frequency_from_deflection(_CURVE),
    )


class SagPanel(Panel):
    """Load a corner, change its spring, its lever or its tyre, and watch it sag and bounce."""

    def __init__(self, corner: Corner, note: str = "") -> None:
        self.corner = corner
        mass, ratio = corner.sprung_mass, corner.damper_motion_ratio
        spring, tyre = corner.wheel_rate / ratio**2, corner.tyre_rate
        controls = {
            "mass": Number("Body mass on the corner", "kg", *around(mass), 5),
            "spring": Number("Spring rate", "N/mm", *around(spring / 1e3), 1),
            "ratio": Number(
                "Motion ratio, spring over wheel", "", ratio, min(0.5, ratio), max(1.1, ratio), 0.01
            ),
            "tyre": Number("Tyre rate", "N/mm", *around(tyre / 1e3), 5),
        }
        self.pulses = {"before": Pulse(), "now": Pulse()}
        super().__init__("What the load does to a corner", controls, figure, note)

    def measure(self, values: dict) -> figure.Ride:
        """Return how the corner rides."""
        return ride_of(self.corner, **values)

    def move(self, now: figure.Ride, before: figure.Ride) -> str:
        """Return the corner bouncing at its own frequency, beside what it was."""
        scale = min(0.42, 88 / (1e3 * max(now.sag, before.sag)))
        sides = [self._bounce("before", before, faded=True), self._bounce("now", now)]
        title = "Two corners bouncing in real time, before and now"
        words = f"Before at {before.frequency:.2f} Hz, now at {now.frequency:.2f} Hz."
        return corner_svg(sides, title, words, "empty", 68, scale)

    def _bounce(self, name: str, ride: figure.Ride, faded: bool = False) -> Bounce:
        period = 1 / ride.frequency
        return Bounce(
            name=name,
            words=f"{ride.frequency:.2f} Hz",
            mass=f"{ride.mass:.0f} kg",
            sag=1e3 * ride.sag,
            heights=1e3 * _BOUNCE * _ROUND,
            period=period,
            elapsed=self.pulses[name].elapsed(period),
            pale=faded,
        )


def sag_panel(corner: Corner | None = None) -> SagPanel:
    """Return the panel with the learner's corner, or with the demo workshop's.

    The spring is taken to stand at the damper, so the damper's motion ratio is the spring's.
    """
    return SagPanel(corner) if corner else SagPanel(demo.vehicle().corner("front"), demo.CORNER)
