"""The demo workshop's vehicles and dampers, shown when the learner brings none: all invented."""

from dampinglab.data import dataset
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.vehicle import Corner, Vehicle
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.sheet import read_vehicle

__all__ = ["DEMO", "demo_corner", "demo_damper", "vehicle"]

DEMO = "A front corner of the demo workshop's touring wagon: invented, no vehicle was measured."


def vehicle(name: str) -> Vehicle:
    """Return a vehicle of the demo workshop, such as "wagon" or "utility"."""
    return read_vehicle(dataset(f"vehicles/{name}.toml"))


def demo_corner() -> Corner:
    """Return a front corner of the touring wagon."""
    return vehicle("wagon").corner("front")


def demo_damper() -> MeasuredDamper:
    """Return a front damper of the touring wagon, as its dyno table tells."""
    return read_dyno(dataset("dyno/wagon_three_adjuster.csv"))["front"]
