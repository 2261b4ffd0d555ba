"""Roads and loads that a setting has to serve: each is one condition, with its share."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from dampinglab.errors import OutOfRange
from dampinglab.physics import road
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner, Vehicle

__all__ = ["AS_WEIGHED", "MIXES", "WAYS", "Condition", "Way", "conditions"]

AS_WEIGHED = "as weighed"
_RANDOM = "iso8608"


@dataclass(frozen=True)
class Way:
    """A road as plain data, so that another process can make it again.

    Parameters
    ----------
    name : str
        As a driver would say it.
    kind : str
        Name of a function in `physics.road`.
    sizes : tuple
        Its first arguments: height or depth and length in m, or a class of ISO 8608.
    pace : float
        Road speed, km/h.
    duration : float
        Length of the drive, s.
    """

    name: str
    kind: str
    sizes: tuple
    pace: float
    duration: float

    @property
    def random(self) -> bool:
        """Whether another seed makes another stretch of the same kind of road."""
        return self.kind == _RANDOM

    def road(self, seed: int) -> Road:
        """Return the road.

        Parameters
        ----------
        seed : int
            Which stretch, where chance has a part in it.

        Returns
        -------
        Road
            In steps of 1 ms.
        """
        chance = {"seed": seed} if self.random else {}
        return getattr(road, self.kind)(*self.sizes, self.pace / 3.6, self.duration, **chance)


_ALL = (
    Way("good highway", _RANDOM, ("B",), 100, 10.0),
    Way("rough highway", _RANDOM, ("C",), 100, 10.0),
    Way("gravel", _RANDOM, ("D",), 60, 10.0),
    Way("rutted track", _RANDOM, ("E",), 20, 10.0),
    Way("corrugations", "corrugation", (0.020, 0.7), 60, 6.0),
    Way("long waves", "long_waves", (0.060, 25.0), 90, 6.0),
    Way("speed hump", "hump", (0.100, 3.7), 40, 4.0),
    Way("ridge", "ridge", (0.050, 0.5), 60, 4.0),
    Way("pothole", "pothole", (0.060, 0.8), 40, 4.0),
)
WAYS = MappingProxyType({way.name: way for way in _ALL})
"""The roads of a mix, by name."""

MIXES = MappingProxyType(
    {
        "a bit of everything": {
            "good highway": 0.35,
            "gravel": 0.35,
            "corrugations": 0.15,
            "long waves": 0.15,
        },
        "highway": {"good highway": 0.5, "rough highway": 0.25, "long waves": 0.25},
        "gravel": {"gravel": 0.6, "corrugations": 0.4},
        "rough tracks": {"rutted track": 0.5, "ridge": 0.25, "speed hump": 0.25},
    }
)
"""Mixes of roads to choose from: the share of each road. Invented, as an example of how people
drive; a learner's own is as good."""


@dataclass(frozen=True)
class Condition:
    """One road under one load of one corner, and how much it counts.

    Parameters
    ----------
    name : str
        Road and load, as a driver would say it.
    corner : Corner
        The corner under that load.
    way : Way
        The road.
    share : float
        Of all driving, 0 to 1.
    seed : int, optional
        Which stretch of a random road.
    """

    name: str
    corner: Corner
    way: Way
    share: float
    seed: int = 1

    @property
    def road(self) -> Road:
        """The road, made anew."""
        return self.way.road(self.seed)


def conditions(
    vehicle: Vehicle, axle: str, loads: Sequence[str], mix: Mapping[str, float]
) -> tuple[Condition, ...]:
    """Return the conditions of a mix of roads under one load or several, all loads alike.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    axle : str
        "front" or "rear".
    loads : sequence of str
        Names of load cases; `AS_WEIGHED` for none.
    mix : mapping of str to float
        How much each road of `WAYS` counts; need not add up to 1.

    Returns
    -------
    tuple of Condition
        Their shares add up to 1.

    Raises
    ------
    OutOfRange
        If there is no such road, axle or load, or nothing counts.
    """
    strange = [name for name in mix if name not in WAYS]
    if strange:
        raise OutOfRange(f"There is no road {strange[0]!r}; there are {', '.join(WAYS)}.")
    whole = sum(mix.values()) * len(loads)
    if not whole > 0 or min(mix.values()) < 0:
        raise OutOfRange("Choose at least one road and one load, with shares of zero or more.")
    found = []
    for load in loads:
        corner = vehicle.corner(axle, None if load == AS_WEIGHED else load)
        for name, share in mix.items():
            if share:
                told = f"{name}, {load}"
                found.append(Condition(told, corner, WAYS[name], share / whole))
    return tuple(found)
