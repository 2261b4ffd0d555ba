"""The vehicle as the workshop weighs and measures it: corners, axles, load cases."""

from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.oscillator import critical_damping, natural_frequency
from dampinglab.units import G

__all__ = [
    "Axle",
    "Corner",
    "LoadCase",
    "Vehicle",
    "ride_rate",
    "sag",
    "wheel_damping",
    "wheel_rate",
]

_MR_HINT = "motion ratio is damper or spring travel over wheel travel"


def wheel_rate(spring_rate, motion_ratio):
    """Return the spring rate felt at the wheel, k MR^2.

    The lever acts twice: the spring moves less than the wheel, and its force reaches the wheel
    through the same lever.

    Parameters
    ----------
    spring_rate : float or array_like
        Rate of the spring itself, N/m, above zero.
    motion_ratio : float or array_like
        Spring travel over wheel travel, 0.1 to 1.5.

    Returns
    -------
    float or ndarray
        Rate at the wheel, N/m.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> wheel_rate(100e3, 0.5)
    25000.0
    """
    rate = check_range("Spring rate", spring_rate, 1e2, 1e7, "N/m", "give N/m, not N/mm")
    return rate * check_range("Motion ratio", motion_ratio, 0.1, 1.5, "", _MR_HINT) ** 2


def ride_rate(wheel_rate, tyre_rate):
    """Return the rate of suspension and tyre in series, 1 / (1/k + 1/kt).

    Parameters
    ----------
    wheel_rate : float or array_like
        Spring rate at the wheel, N/m, above zero.
    tyre_rate : float or array_like
        Vertical rate of the tyre, N/m, above zero.

    Returns
    -------
    float or ndarray
        Rate between body and ground, N/m: always the softest of the three.

    Raises
    ------
    OutOfRange
        If an argument is not positive.

    Examples
    --------
    >>> ride_rate(40e3, 40e3)
    20000.0
    """
    wheel = check_range("Wheel rate", wheel_rate, 1e-9, 1e8, "N/m")
    tyre = check_range("Tyre rate", tyre_rate, 1e-9, 1e8, "N/m")
    return wheel * tyre / (wheel + tyre)


def wheel_damping(damping, motion_ratio):
    """Return the damping coefficient felt at the wheel, c MR^2.

    Parameters
    ----------
    damping : float or array_like
        Coefficient at the shaft, N s/m, zero or more.
    motion_ratio : float or array_like
        Damper travel over wheel travel, 0.1 to 1.5.

    Returns
    -------
    float or ndarray
        Coefficient at the wheel, N s/m.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    coefficient = check_range("Damping", damping, 0, 1e7, "N·s/m")
    return coefficient * check_range("Motion ratio", motion_ratio, 0.1, 1.5, "", _MR_HINT) ** 2


def sag(mass, wheel_rate):
    """Return how far a mass compresses a linear spring at the wheel, m g / k.

    Parameters
    ----------
    mass : float or array_like
        Mass carried, kg, zero or more.
    wheel_rate : float or array_like
        Spring rate at the wheel, N/m, above zero.

    Returns
    -------
    float or ndarray
        Sag at the wheel, m.

    Raises
    ------
    OutOfRange
        If the mass is negative or the rate not positive.
    """
    carried = check_range("Mass", mass, 0, 1e5, "kg")
    return carried * G / check_range("Wheel rate", wheel_rate, 1e-9, 1e8, "N/m")


@dataclass(frozen=True)
class Corner:
    """One wheel with its share of the body, everything as felt at the wheel.

    Parameters
    ----------
    sprung_mass, unsprung_mass : float
        Body's share and wheel with its hub, kg.
    wheel_rate : float
        Spring rate at the wheel, N/m; of the first stage where there are two.
    damper_motion_ratio : float
        Damper travel over wheel travel.
    tyre_rate, tyre_damping : float
        Vertical rate N/m and damping N s/m of the tyre.
    bump_gap : float
        Wheel travel from ride height until the bump stop is touched, m.
    foam_length : float
        Wheel travel from there until metal, m.
    droop_gap : float
        Wheel travel from ride height down to the droop stop, m.
    friction : float, optional
        Dry friction at the wheel, N: pivots, bushes, leaf pack.
    second_gap, second_rate : float, optional
        Wheel travel from ride height at which a second leaf or a helper begins to work beside
        the spring, m, negative where it carries already; and what it adds to the rate, N/m.
    foam_stiffness : float, optional
        Force of the bump stop as a share of an ordinary one's.

    Raises
    ------
    OutOfRange
        If a value is impossible, with the likely slip.
    """

    sprung_mass: float
    unsprung_mass: float
    wheel_rate: float
    damper_motion_ratio: float
    tyre_rate: float
    tyre_damping: float
    bump_gap: float
    foam_length: float
    droop_gap: float
    friction: float = 0.0
    second_gap: float = 0.0
    second_rate: float = 0.0
    foam_stiffness: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what cannot be a corner of a road vehicle."""
        for name, low, high, unit, hint in _CORNER_LIMITS:
            label = name.replace("_", " ").capitalize()
            check_range(label, getattr(self, name), low, high, unit, hint)

    @property
    def standing_rate(self) -> float:
        """Spring rate where the corner stands, N/m at the wheel, both stages if both carry."""
        return self.wheel_rate + (self.second_rate if self.second_gap < 0 else 0.0)

    @property
    def one_stage(self) -> "Corner":
        """The same corner with the rate where it stands all the way: for small movements."""
        return replace(self, wheel_rate=self.standing_rate, second_rate=0.0)

    @property
    def body_frequency(self) -> float:
        """Undamped frequency of the body on its spring, Hz."""
        return float(natural_frequency(self.standing_rate, self.sprung_mass))

    @property
    def ride_rate(self) -> float:
        """Suspension and tyre in series, N/m."""
        return ride_rate(self.standing_rate, self.tyre_rate)

    @property
    def ride_frequency(self) -> float:
        """Undamped frequency of the body on spring and tyre, Hz."""
        return float(natural_frequency(self.ride_rate, self.sprung_mass))

    @property
    def hop_frequency(self) -> float:
        """Undamped frequency of the wheel between spring and tyre, Hz."""
        return float(natural_frequency(self.standing_rate + self.tyre_rate, self.unsprung_mass))

    @property
    def critical_damping(self) -> float:
        """Critical damping of the body on its spring, N s/m at the wheel."""
        return float(critical_damping(self.standing_rate, self.sprung_mass))

    @property
    def static_sag(self) -> float:
        """Sag of the body on its spring from the free length, m at the wheel."""
        helped = self.second_rate * max(0.0, -self.second_gap)
        return float(self.sprung_mass * G - helped) / self.wheel_rate

    def spring_force(self, travel):
        """Return what the spring's force grows by, both stages, from ride height.

        Parameters
        ----------
        travel : float or ndarray
            Wheel travel from ride height, m, positive in bump.

        Returns
        -------
        float or ndarray
            N at the wheel.
        """
        second = np.maximum(travel, self.second_gap) - max(0.0, self.second_gap)
        return self.wheel_rate * travel + self.second_rate * second

    def travel_under(self, force: float) -> float:
        """Return the wheel travel from ride height at which the spring pushes so much more.

        Parameters
        ----------
        force : float
            N at the wheel; negative for less.

        Returns
        -------
        float
            m, positive in bump, whatever the stops allow.
        """
        kink = self.spring_force(self.second_gap)
        rate = self.wheel_rate + (self.second_rate if force > kink else 0.0)
        return float(self.second_gap + (force - kink) / rate)

    def loaded(self, added_mass: float) -> "Corner":
        """Return this corner with more mass on the same spring, and so deeper in its travel.

        Parameters
        ----------
        added_mass : float
            Mass added to the body at this corner, kg; negative takes some off.

        Returns
        -------
        Corner
            The same springs and stops; the gaps move by the extra sag, through both stages.

        Raises
        ------
        OutOfRange
            If the spring would already stand on its bump stop's metal, or hang on its droop stop.
        """
        extra = self.travel_under(added_mass * G)
        if extra > self.bump_gap or -extra > self.droop_gap:
            raise OutOfRange(
                f"{added_mass:g} kg more on this corner moves the body {1e3 * extra:.0f} mm, and "
                f"only {1e3 * self.bump_gap:.0f} mm down and {1e3 * self.droop_gap:.0f} mm up are "
                f"free before a stop: this is work for a spring, not for a damper."
            )
        return replace(self.lowered(extra), sprung_mass=self.sprung_mass + added_mass)

    def lowered(self, extra: float) -> "Corner":
        """Return this corner standing deeper in its travel, whatever brought it there.

        Parameters
        ----------
        extra : float
            How much deeper, m at the wheel; negative is higher.

        Returns
        -------
        Corner
            All gaps moved by it.

        Raises
        ------
        OutOfRange
            If it would stand in a stop.
        """
        return replace(
            self,
            bump_gap=self.bump_gap - extra,
            droop_gap=self.droop_gap + extra,
            second_gap=self.second_gap - extra if self.second_rate else 0.0,
        )


_CORNER_LIMITS = (
    ("sprung_mass", 30, 3000, "kg", "give one corner in kg, not an axle, and not pounds"),
    ("unsprung_mass", 5, 500, "kg", "give one wheel with its hub"),
    ("wheel_rate", 2e3, 1e6, "N/m", "1 N/mm is 1000 N/m"),
    ("damper_motion_ratio", 0.1, 1.5, "", _MR_HINT),
    ("tyre_rate", 2e4, 5e6, "N/m", "1 N/mm is 1000 N/m"),
    ("tyre_damping", 0, 1e4, "N·s/m", ""),
    ("bump_gap", 0, 0.6, "m", "1000 mm is 1 m"),
    ("foam_length", 0.001, 0.3, "m", "1000 mm is 1 m"),
    ("droop_gap", 0, 0.8, "m", "1000 mm is 1 m"),
    ("friction", 0, 3000, "N", ""),
    ("second_gap", -0.6, 0.6, "m", "1000 mm is 1 m"),
    ("second_rate", 0, 1e6, "N/m", "1 N/mm is 1000 N/m"),
    ("foam_stiffness", 0.1, 10, "", "1 is an ordinary stop"),
)


@dataclass(frozen=True)
class Axle:
    """Two like wheels, as the scales and the tape found them.

    Parameters
    ----------
    name : str
        "front" or "rear".
    corner : Corner
        The mean of the two sides.
    left_mass, right_mass : float
        What the scales showed under each wheel, kg.
    as_found, maker : mapping of str to int, optional
        Clicks out from closed of each adjuster, as found and as the maker says.
    tyre_pressure : float, optional
        At which the tyre has its rate, Pa over the air outside.
    spring_motion_ratio : float, optional
        Spring travel over wheel travel; 1 where the spring stands on the axle.
    """

    name: str
    corner: Corner
    left_mass: float
    right_mass: float
    as_found: MappingProxyType | None = None
    maker: MappingProxyType | None = None
    tyre_pressure: float = 240e3
    spring_motion_ratio: float = 1.0

    @property
    def side_difference(self) -> float:
        """Return how unequal the two wheels' loads are, as a share of their mean."""
        return abs(self.left_mass - self.right_mass) / np.mean([self.left_mass, self.right_mass])


@dataclass(frozen=True)
class LoadCase:
    """What is added to the vehicle as weighed.

    Parameters
    ----------
    name : str
        As the driver would say it.
    front_mass, rear_mass : float
        Added on each whole axle, kg; a ball load behind the rear axle takes some off the front.
    """

    name: str
    front_mass: float
    rear_mass: float


@dataclass(frozen=True)
class Vehicle:
    """A vehicle sheet.

    Parameters
    ----------
    name : str
        What the workshop calls it.
    axles : mapping of str to Axle
        "front" and "rear", or one of them.
    loads : tuple of LoadCase, optional
        Load cases beyond the vehicle as weighed.
    assumptions : tuple of str, optional
        Whole sentences for what the sheet left out and was assumed.
    wheelbase, ball_overhang : float, optional
        From axle to axle, and from the rear axle back to the ball, m; None where not measured.
    """

    name: str
    axles: MappingProxyType
    loads: tuple[LoadCase, ...] = ()
    assumptions: tuple[str, ...] = ()
    wheelbase: float | None = None
    ball_overhang: float | None = None

    def corner(self, axle: str, load: str | None = None) -> Corner:
        """Return one corner, as weighed or under a load case.

        Parameters
        ----------
        axle : str
            "front" or "rear".
        load : str, optional
            Name of a load case; none means as weighed.

        Returns
        -------
        Corner
            The mean of the axle's two sides.

        Raises
        ------
        OutOfRange
            If there is no such axle or load case, or the load does not fit in the travel.
        """
        base = self.axles.get(axle)
        if base is None:
            raise OutOfRange(f"{self.name} has no {axle} axle, only {', '.join(self.axles)}.")
        if load is None:
            return base.corner
        for case in self.loads:
            if case.name == load:
                return base.corner.loaded(getattr(case, f"{axle}_mass") / 2)
        names = ", ".join(repr(case.name) for case in self.loads) or "none"
        raise OutOfRange(f"{self.name} has no load case {load!r}; its sheet has {names}.")
