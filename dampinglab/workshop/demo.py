"""The demo workshop's invented vehicles and dampers, read from the shipped files."""

from functools import cache

from dampinglab.data import dataset
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.sheet import read_vehicle

__all__ = ["CORNER", "damper", "vehicle"]

CORNER = "A front corner of the demo workshop's touring wagon: invented, no vehicle was measured."


@cache
def vehicle(name: str = "wagon") -> Vehicle:
    """Return an invented vehicle of the demo workshop.

    Parameters
    ----------
    name : {"wagon", "utility"}, optional
        Which sheet.

    Returns
    -------
    Vehicle
        As read from its sheet.

    Raises
    ------
    LearnerError
        If there is no such sheet; the message says which there are.
    """
    return read_vehicle(dataset(f"vehicles/{name}.toml"))


@cache
def damper(axle: str = "front", name: str = "wagon_three_adjuster") -> MeasuredDamper:
    """Return an invented damper of the demo workshop.

    Parameters
    ----------
    axle : {"front", "rear"}, optional
        Which axle's.
    name : {"wagon_three_adjuster", "utility_two_adjuster", "wagon_rebound_only"}, optional
        Which dyno table.

    Returns
    -------
    MeasuredDamper
        As read from its table.

    Raises
    ------
    LearnerError
        If there is no such table; the message says which there are.
    """
    return read_dyno(dataset(f"dyno/{name}.csv"))[axle]
