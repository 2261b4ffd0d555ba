"""A damper as it was measured: force against shaft speed, one curve for each setting.

Speed and force are those of the shaft. Positive speed is bump (the damper shortens) and positive
force resists bump, so a rebound force is negative. Clicks are counted out from closed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np
from scipy.interpolate import PchipInterpolator

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.between import Setting, hub, matters, mixture, side_by_side
from dampinglab.physics.vehicle import Corner, wheel_damping

__all__ = [
    "Adjuster",
    "Curve",
    "MeasuredDamper",
    "RatedDamper",
    "Setting",
    "damping_ratio",
    "dry_friction",
    "middle_of_force",
    "secant",
]


@dataclass(frozen=True)
class Adjuster:
    """One adjuster and how many clicks it has.

    Parameters
    ----------
    name : str
        As written beside it, such as "low-speed bump".
    clicks : int
        Clicks from closed to open.
    """

    name: str
    clicks: int


@dataclass(frozen=True)
class Curve:
    """Force against shaft speed at one setting.

    Parameters
    ----------
    speed : ndarray
        Shaft speeds, m/s, ascending from rebound (negative) through 0 to bump (positive).
    force : ndarray
        Forces, N, same shape, not falling as speed rises.

    Raises
    ------
    OutOfRange
        If speeds do not ascend through zero on both sides, shapes differ, or a force is no
        number.
    """

    speed: np.ndarray
    force: np.ndarray

    def __post_init__(self) -> None:
        """Make the curve pass through rest and refuse one that is no curve."""
        speed, force = np.asarray(self.speed, float), np.asarray(self.force, float)
        if speed.shape != force.shape or speed.ndim != 1:
            raise OutOfRange("A force-speed curve needs one force for each speed.")
        if not np.any(speed == 0):
            place = np.searchsorted(speed, 0.0)
            speed, force = np.insert(speed, place, 0.0), np.insert(force, place, 0.0)
        if not (np.all(np.diff(speed) > 0) and speed[0] < 0 < speed[-1]):
            raise OutOfRange(
                "A force-speed curve needs ascending speeds with rebound (negative) and bump "
                "(positive) both there."
            )
        check_range("A force of the curve", force, -2e5, 2e5, "N")
        object.__setattr__(self, "speed", speed)
        object.__setattr__(self, "force", force)

    @cached_property
    def _sides(self) -> tuple[PchipInterpolator, PchipInterpolator]:
        # Bump and rebound are different valves, so each has its own curve and the slope may jump
        # at rest. PCHIP never makes a hump that was not measured.
        bump, rebound = self.speed >= 0, self.speed <= 0
        return (
            PchipInterpolator(self.speed[rebound], self.force[rebound]),
            PchipInterpolator(self.speed[bump], self.force[bump]),
        )

    def force_at(self, speed):
        """Return the force at a shaft speed; beyond the table the last slope goes on.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.

        Returns
        -------
        float or ndarray
            Force, N, positive when it resists bump.

        Examples
        --------
        >>> straight = Curve(np.array([-1.0, 0.0, 1.0]), np.array([-300.0, 0.0, 200.0]))
        >>> float(straight.force_at(2.0)), float(straight.force_at(-0.5))
        (400.0, -150.0)
        """
        v = np.asarray(speed, float)
        s, f = self.speed, self.force
        high = (f[-1] - f[-2]) / (s[-1] - s[-2])
        low = (f[1] - f[0]) / (s[1] - s[0])
        rebound, bump = self._sides
        inside = np.where(v < 0, rebound(np.clip(v, s[0], 0)), bump(np.clip(v, 0, s[-1])))
        return inside + high * np.maximum(v - s[-1], 0) + low * np.minimum(v - s[0], 0)

    def beyond(self, speed):
        """Tell where a shaft speed lies beyond what was measured.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.

        Returns
        -------
        bool or ndarray of bool
            True beyond the table.
        """
        v = np.asarray(speed, float)
        return (v > self.speed[-1]) | (v < self.speed[0])


@dataclass(frozen=True)
class MeasuredDamper:
    """A dyno table: one curve for each setting that was measured.

    Parameters
    ----------
    name : str
        What the workshop calls it.
    adjusters : tuple of Adjuster
        In the order of the settings; empty for a damper that cannot be adjusted.
    curves : mapping of Setting to Curve
        One curve for each measured setting.
    gas : float, optional
        Gas force that the curves do NOT hold, N, positive in bump; 0 if removed or unknown.
    friction_force : float, optional
        Seal friction that the curves do NOT hold, N.
    assumptions : tuple of str, optional
        Whole sentences for what the table did not say and was assumed.
    """

    name: str
    adjusters: tuple[Adjuster, ...]
    curves: MappingProxyType
    gas: float = 0.0
    friction_force: float = 0.0
    assumptions: tuple[str, ...] = ()

    @property
    def settings(self) -> tuple[Setting, ...]:
        """The measured settings, the most closed first."""
        return tuple(sorted(self.curves))

    def valve_force(self, speed, setting: Setting):
        """Return the force of the valves at a shaft speed and setting.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.
        setting : tuple of int
            Clicks out from closed, inside the measured clicks: the forces of a measured setting,
            an even change between measured ones, or what `assumption` says.

        Returns
        -------
        float or ndarray
            Force, N, positive when it resists bump; gas and friction apart.

        Raises
        ------
        OutOfRange
            If the setting has the wrong number of clicks, is past the last click, or lies outside
            the measured clicks.

        Notes
        -----
        Three rules were tried for several adjusters turned at once, on 400 random settings of the
        demo wagon's hydraulic dampers, measured as a star with a dyno's noise, at 0.05 to 1.5 m/s.
        Valves side by side (kept) erred less than effects multiplied or added. One bump force in
        twenty is out by 13 (front) or 15 % (rear), the worst by 28 and 33 %; without a check valve
        27 and 25 %, 91 and 62 %. In rebound, where one adjuster acts, 9 and 5 %, 19 and 11 %.
        """
        shares = self._shares(setting)
        if shares is None:
            return self._joined(setting).force_at(speed)
        return sum(share * self.curves[each].force_at(speed) for each, share in shares.items())

    def valve_forces(self, speed, settings: Sequence[Setting]) -> np.ndarray:
        """Return the force of the valves for many settings.

        Parameters
        ----------
        speed : array_like
            Shaft speed, m/s, positive in bump.
        settings : sequence of tuple of int
            As `valve_force`.

        Returns
        -------
        ndarray, shape (m,) + shape of speed
            Forces, N.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        return np.array([self.valve_force(speed, setting) for setting in settings])

    def beyond(self, speed, setting: Setting):
        """Tell where a shaft speed lies beyond what was measured at a setting.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.
        setting : tuple of int
            As `valve_force`.

        Returns
        -------
        bool or ndarray of bool
            True beyond the table.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        shares = self._shares(setting)
        if shares is None:
            return self._joined(setting).beyond(speed)
        return np.any([self.curves[each].beyond(speed) for each in shares], axis=0)

    def assumption(self, setting: Setting) -> str:
        """Return what is assumed about a setting that was not measured, to be shown with it.

        Parameters
        ----------
        setting : tuple of int
            As `valve_force`.

        Returns
        -------
        str
            A whole sentence; empty at a measured setting.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        shares, at = self._shares(setting), _clicks(setting)
        if shares is None:
            self._joined(setting)  # refuses what cannot be told
            told = ", and ".join(self._told(setting, way) for way in (1, -1))
            small = "what changes a direction by less than a tenth is left out there"
            return f"{at} clicks were not measured together: {told}; {small}."
        if len(shares) == 1:
            return ""
        around = " and ".join(_clicks(each) for each in shares)
        return f"{at} clicks were not measured: force is taken to change evenly between {around}."

    def _told(self, setting: Setting, way: int) -> str:
        """Return from what the force of one direction is put together."""
        centre, arms = hub(self.settings, setting, self._acting[way])
        word = "bump" if way > 0 else "rebound"
        if len(arms) < 2:
            read = " and ".join(map(_clicks, arms[0] if arms else [centre]))
            return f"{word} is read {'between' * (' and ' in read) or 'at'} {read}"
        names = [self.adjusters[i].name for i in self._acting[way] if centre[i] != setting[i]]
        return (
            f"{word} joins {' and '.join(names)}, each turned alone from {_clicks(centre)}, as "
            "valves side by side, whose speeds add at one force"
        )

    def _shares(self, setting: Setting) -> dict[Setting, float] | None:
        """Return the measured settings around one, or None; refuse what no damper of ours has."""
        if len(setting) != len(self.adjusters):
            raise OutOfRange(f"{self.name} has {len(self.adjusters)} adjusters, not {setting}.")
        for adjuster, clicks in zip(self.adjusters, setting, strict=True):
            check_range(
                f"A {adjuster.name} setting", clicks, 0, adjuster.clicks, "clicks out from closed"
            )
        return mixture(self.settings, setting)

    @cached_property
    def _acting(self) -> dict[int, tuple[int, ...]]:
        """The adjusters that matter in bump (1) and in rebound (-1), or were never tried alone."""
        found = {}
        for way in (1, -1):
            speed = way * min(max(way * curve.speed) for curve in self.curves.values())
            probes = speed * np.array([0.05, 0.1, 0.2, 0.5, 1.0])
            forces = {s: curve.force_at(probes) for s, curve in self.curves.items()}
            found[way] = tuple(i for i in range(len(self.adjusters)) if matters(forces, i))
        return found

    @cached_property
    def _kept(self) -> dict[Setting, Curve]:
        """Curves put together so far: a sweep asks for each of them many times."""
        return {}

    def _joined(self, setting: Setting) -> Curve:
        """Return the curve of a setting for which several adjusters are turned at once."""
        if setting not in self._kept:
            (slow, pull), (fast, push) = self._side(setting, -1), self._side(setting, 1)
            speed = np.concatenate([-slow[::-1], [0.0], fast])
            self._kept[setting] = Curve(speed, np.concatenate([-pull[::-1], [0.0], push]))
        return self._kept[setting]

    def _side(self, setting: Setting, way: int) -> tuple[np.ndarray, np.ndarray]:
        """Return sizes of speed and force in one direction."""
        centre, arms = hub(self.settings, setting, self._acting[way])
        if centre is None:
            nearest = min(self.settings, key=lambda s: np.abs(np.subtract(s, setting)).sum())
            raise OutOfRange(
                f"{self.name} at {setting} clicks out cannot be told: no measured setting has each "
                f"adjuster swept that far; the nearest that was measured is {nearest}."
            )
        parts = [{centre: 1.0}, *arms]
        used = [self.curves[each] for part in parts for each in part]
        reach = min(max(way * curve.speed) for curve in used)
        nodes = np.unique(np.concatenate([way * curve.speed for curve in used]))
        speed = nodes[(nodes > 0) & (nodes <= reach)]
        first, *others = (self._mixed(part, way) for part in parts)
        return speed, side_by_side(speed, first, others)

    def _mixed(self, shares: dict[Setting, float], way: int) -> Callable:
        """Return the size of the force in one direction as a function of the size of speed."""
        return lambda v: way * sum(n * self.curves[s].force_at(way * v) for s, n in shares.items())

    def gas_force(self, travel):
        """Return the gas force: here one number, as measured.

        Parameters
        ----------
        travel : float or array_like
            Shaft travel from ride height, m, positive in bump.

        Returns
        -------
        float or ndarray
            Force, N, pushing the rod out.
        """
        return self.gas + 0.0 * np.asarray(travel, float)

    def friction(self, speed):
        """Return the seal friction that the curves do not hold, smooth through rest.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.

        Returns
        -------
        float or ndarray
            Force, N, positive when it resists bump.
        """
        return dry_friction(self.friction_force, speed)


def _clicks(setting: Setting) -> str:
    return " / ".join(map(str, setting))


_FRICTION_SPEED = 0.01  # m/s: friction is nearly whole at 0.02 m/s and smooth at rest


def dry_friction(size: float, speed):
    """Return dry friction that turns round smoothly at rest, F tanh(v / 0.01 m/s).

    Parameters
    ----------
    size : float
        Friction at any speed worth the name, N.
    speed : float or array_like
        Speed where it rubs, m/s, positive in bump.

    Returns
    -------
    float or ndarray
        Force, N, positive when it resists bump.
    """
    return size * np.tanh(np.asarray(speed, float) / _FRICTION_SPEED)


@dataclass(frozen=True)
class RatedDamper:
    """A damper known by two numbers only: bump and rebound force at one stated speed.

    The shape of its curve is unknown, so the force at another speed is a band between a curve
    that rises slowly (digressive) and one that rises faster than speed (progressive):
    F = F0 (v / v0)^a with `low_exponent` <= a <= `high_exponent`.

    Parameters
    ----------
    bump_force, rebound_force : float
        Forces at the stated speed, N, both given positive.
    speed : float
        The stated shaft speed, m/s.
    low_exponent, high_exponent : float, optional
        The band of shapes: an assumption (common practice, no source).

    Raises
    ------
    OutOfRange
        If a number rates no damper.
    """

    bump_force: float
    rebound_force: float
    speed: float
    low_exponent: float = 0.4
    high_exponent: float = 1.2

    def __post_init__(self) -> None:
        """Refuse numbers that rate no damper."""
        check_range("Bump force", self.bump_force, 1, 5e4, "N", "give newtons, positive")
        check_range("Rebound force", self.rebound_force, 1, 5e4, "N", "give newtons, positive")
        check_range("Speed of the rating", self.speed, 0.005, 5, "m/s", "1000 mm/s is 1 m/s")

    def band(self, speed: float) -> tuple[float, float]:
        """Return the least and the greatest force that the rating allows at a speed.

        Parameters
        ----------
        speed : float
            Shaft speed, m/s, positive in bump, not zero.

        Returns
        -------
        tuple of float
            Sizes of the force, N, both positive; equal at the rated speed.

        Raises
        ------
        OutOfRange
            If the speed is zero or not finite.

        Examples
        --------
        >>> RatedDamper(800.0, 1200.0, 0.13).band(-0.13)
        (1200.0, 1200.0)
        """
        check_range("Speed", abs(speed), 1e-6, 20, "m/s", "at rest there is no force to rate")
        rated = self.bump_force if speed > 0 else self.rebound_force
        ratio = abs(speed) / self.speed
        edges = sorted((rated * ratio**self.low_exponent, rated * ratio**self.high_exponent))
        return edges[0], edges[1]


def secant(damper: MeasuredDamper, speed: float, setting: Setting) -> float:
    """Return the force over the speed: the viscous damper that gives the same force there.

    Parameters
    ----------
    damper : MeasuredDamper
        The damper; its friction counts, its gas force does not (a force that does not depend on
        speed damps nothing).
    speed : float
        Shaft speed, m/s, positive in bump, negative in rebound, not zero.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    float
        Coefficient at the shaft, N s/m, positive.

    Raises
    ------
    OutOfRange
        If the speed is zero, or the damper has no such setting.
    """
    check_range("Shaft speed", abs(speed), 1e-6, 20, "m/s", "at rest no damper damps")
    return float((damper.valve_force(speed, setting) + damper.friction(speed)) / speed)


def damping_ratio(damper: MeasuredDamper, speed: float, setting: Setting, corner: Corner) -> float:
    """Return the damping ratio of a corner at a shaft speed, c MR^2 / (2 sqrt(k m)).

    Parameters
    ----------
    damper : MeasuredDamper
        The damper.
    speed : float
        Shaft speed, m/s, positive in bump, negative in rebound.
    setting : tuple of int
        Clicks out from closed.
    corner : Corner
        The corner that it damps.

    Returns
    -------
    float
        Damping ratio of the body on its spring, no unit.

    Raises
    ------
    OutOfRange
        As `secant`.
    """
    at_wheel = wheel_damping(secant(damper, speed, setting), corner.damper_motion_ratio)
    return float(at_wheel / corner.critical_damping)


def middle_of_force(damper: MeasuredDamper, speed: float = 0.1) -> Setting:
    """Return the measured setting nearest the middle of FORCE, which is not the middle click.

    For each direction the middle is halfway between the softest and the hardest measured force;
    the setting whose two forces miss it least, as shares of those middles, is returned.

    Parameters
    ----------
    damper : MeasuredDamper
        The damper.
    speed : float, optional
        Shaft speed at which forces are compared, m/s. High-speed adjusters show at 0.5 m/s as
        well, so both this speed and five times it count.

    Returns
    -------
    tuple of int
        Clicks out from closed.

    Raises
    ------
    OutOfRange
        If the speed is not above zero.
    """
    check_range("Shaft speed", speed, 1e-6, 20, "m/s")
    probes = np.array([speed, -speed, 5 * speed, -5 * speed])
    forces = np.array([damper.valve_force(probes, s) for s in damper.settings])
    middle = (forces.min(axis=0) + forces.max(axis=0)) / 2
    miss = np.abs(forces / middle - 1).sum(axis=1)
    return damper.settings[int(np.argmin(miss))]
