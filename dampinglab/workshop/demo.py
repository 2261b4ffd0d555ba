"""The demo workshop's invented vehicles and dampers, read from the shipped files."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from types import MappingProxyType

from dampinglab.data import dataset
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.hydraulic import ValveDamper
from dampinglab.physics.valves import Block, Needle
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.sheet import read_vehicle

__all__ = ["CORNER", "damper", "hydraulic", "own_sheet", "stand_ins", "vehicle"]

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


def own_sheet(name: str = "wagon") -> Vehicle:
    """Return a vehicle from its sheet in the learner's workbook, as it is saved now.

    Parameters
    ----------
    name : str, optional
        Name of a sheet in demo/vehicles of the workbook, without its ending.

    Returns
    -------
    Vehicle
        From the learner's copy, or from the shipped sheet where there is no copy.

    Raises
    ------
    LearnerError
        If the sheet has a fault, or there is none of that name.
    """
    own = Path("demo", "vehicles", f"{name}.toml")
    return read_vehicle(own) if own.is_file() else vehicle(name)


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


def hydraulic(axle: str = "front") -> ValveDamper:
    """Return the valves that the demo wagon's dyno table was made from.

    Parameters
    ----------
    axle : {"front", "rear"}, optional
        Which axle's.

    Returns
    -------
    ValveDamper
        Three adjusters; invented, tuned so that rebound is about 1.3 to 2 times bump at the
        middle.
    """
    return {"front": _FRONT, "rear": _REAR}[axle]


def stand_ins(own: Vehicle | None, dampers: Mapping | None) -> tuple[Vehicle, Mapping, str]:
    """Return a learner's vehicle and dampers, the demo wagon's in place of what is not given.

    Parameters
    ----------
    own : Vehicle or None
        The learner's vehicle.
    dampers : mapping of str to damper, or None
        By axle.

    Returns
    -------
    vehicle : Vehicle
        The learner's, or the demo wagon; without the clicks of its sheet where the demo's dampers
        stand in, for they belong to other dampers.
    dampers : mapping of str to damper
        By axle.
    told : str
        The vehicle's name, whose the dampers are if none was given, and that clicks were left.
    """
    known = own or vehicle()
    if dampers is not None:
        return known, dampers, f"{known.name}."
    whose = "taken to be the demo wagon's (assumed)" if own else "the demo wagon's"
    told = f"{known.name}. The dampers are {whose}, which are invented."
    fitted = {axle: hydraulic(axle) for axle in ("front", "rear")}
    if own and any(axle.as_found or axle.maker for axle in own.axles.values()):
        bare = {name: replace(a, as_found=None, maker=None) for name, a in own.axles.items()}
        known = replace(own, axles=MappingProxyType(bare))
        told += " The sheet's clicks belong to other dampers: each adjuster starts in the middle."
    return known, fitted, told


_MM2 = 1e-6
_FRONT = ValveDamper(
    "Demo wagon front",
    bore=0.060,
    rod=0.022,
    base_needle=Needle(3 * _MM2, 0.194 * _MM2),
    base=Block((1.04e6, 3.62e6), (9.76e9, 17.2e9), 4.62e9, 0.96e12),
    piston=Block((0.131e6, 0.131e6), (0.837e8, 0.837e8), 1.8e7),
    piston_bleed=8 * _MM2,
    rebound_needle=Needle(52.1 * _MM2, 6.42 * _MM2, 1.2),
    rebound=Block((0.143e6, 1.02e6), (0.825e9, 0.825e9), 1.84e9, 0.219e9),
    gas_pressure=1.4e6,
    gas_volume=250e-6,
    friction_force=45.0,
)
_REAR = ValveDamper(
    "Demo wagon rear",
    bore=0.050,
    rod=0.020,
    base_needle=Needle(4.02 * _MM2, 0.319 * _MM2),
    base=Block((0.425e6, 1.97e6), (4.96e9, 10.4e9), 0.277e9, 0.649e12),
    piston=Block((0.0613e6, 0.0613e6), (2.19e8, 2.19e8), 1.8e7),
    piston_bleed=8 * _MM2,
    rebound_needle=Needle(31.8 * _MM2, 5.95 * _MM2, 1.2),
    rebound=Block((0.0434e6, 0.525e6), (1.28e9, 1.28e9), 1.15e9, 0.394e9),
    gas_pressure=1.4e6,
    gas_volume=250e-6,
    friction_force=40.0,
)
