"""The invented corner and damper that a panel shows when the learner brings none."""

from types import MappingProxyType

import numpy as np

from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.physics.vehicle import Corner

__all__ = ["demo_corner", "demo_damper"]


def demo_corner() -> Corner:
    """Return the front corner of the demo workshop's wagon."""
    return Corner(420.0, 46.0, 26e3, 0.65, 230e3, 150.0, 0.075, 0.05, 0.09)


def demo_damper() -> MeasuredDamper:
    """Return a damper measured at a few clicks of two adjusters."""
    adjusters = (Adjuster("low-speed bump", 20), Adjuster("rebound", 24))
    v = np.array([-0.6, -0.4, -0.2, -0.1, -0.05, -0.02, 0, 0.02, 0.05, 0.1, 0.2, 0.4, 0.6])
    curves = {}
    for low in (0, 5, 10, 15, 20):
        for reb in (0, 6, 12, 18, 24):
            bump = 900 * 0.9 ** (low / 2) * np.tanh(v / 0.08) + 1500 * v
            rebound = 1300 * 0.9 ** (reb / 2) * np.tanh(v / 0.1) + 2000 * v
            curves[low, reb] = Curve(v, np.where(v > 0, bump, rebound))
    return MeasuredDamper("demo", adjusters, MappingProxyType(curves))
