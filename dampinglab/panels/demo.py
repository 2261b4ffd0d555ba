"""The invented corner and damper that a panel shows when the learner brings none."""

from dampinglab.data import dataset
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.sheet import read_vehicle

__all__ = ["DEMO", "demo_corner", "demo_damper"]

DEMO = "A front corner of the demo workshop's touring wagon: invented, no vehicle was measured."


def demo_corner() -> Corner:
    """Return a front corner of the demo workshop's touring wagon."""
    return read_vehicle(dataset("vehicles/wagon.toml")).corner("front")


def demo_damper() -> MeasuredDamper:
    """Return a front damper of the same wagon, as its dyno table tells."""
    return read_dyno(dataset("dyno/wagon_three_adjuster.csv"))["front"]
