"""What a load does to one axle, and lift, preload, bump stop and tyre pressure with it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics import road
from dampinglab.physics.corner import simulate
from dampinglab.physics.damper import MeasuredDamper, Setting, damping_ratio
from dampinglab.physics.measures import scores
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G

__all__ = [
    "SPRING_SHARE",
    "Change",
    "Standing",
    "Verdict",
    "ball_load",
    "breakaway",
    "changed",
    "seat_lift",
    "stand",
    "tyre_rate",
    "verdict",
]

SPRING_SHARE = 0.4
"""Share of the bump travel that a load may take before it is work for the spring: common
practice, no source."""

_DIP = road.dip(dt=2e-3)  # half the work of 1 ms
_PRESSURES = (80e3, 900e3)  # Pa over the air outside
_BY_PRESSURE = 0.7  # share of a tyre's rate that grows with its pressure; the rest is carcass


def ball_load(mass: float, overhang: float, wheelbase: float) -> tuple[float, float]:
    """Return what a load behind the rear axle adds on each axle: m a / L off the front.

    The vehicle is a lever about its rear axle: the rear gains more than the load, by what the
    front loses.

    Parameters
    ----------
    mass : float
        On the ball, kg, -500 to 1000; negative lifts it.
    overhang : float
        From the rear axle back to the ball, m, 0 to 3.
    wheelbase : float
        m, 1 to 6.

    Returns
    -------
    front, rear : float
        Added on each whole axle, kg; the front's is negative.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> ball_load(100.0, 1.0, 2.5)
    (-40.0, 140.0)
    """
    load = check_range("Ball load", mass, -500, 1000, "kg", "give kg; the trailer's own is more")
    behind = check_range("Overhang", overhang, 0, 3, "m", "from the rear axle; 1000 mm is 1 m")
    off = load * behind / check_range("Wheelbase", wheelbase, 1, 6, "m", "1000 mm is 1 m")
    return -off, load + off


def seat_lift(seat: float, motion_ratio: float) -> float:
    """Return how far preload lifts the body at the wheel: seat travel over motion ratio.

    The spring keeps its rate, and under the same weight its length; only its seat has moved.

    Parameters
    ----------
    seat : float
        How far the seat was moved towards the spring, m, -0.1 to 0.1.
    motion_ratio : float
        Spring travel over wheel travel, 0.1 to 1.5.

    Returns
    -------
    float
        m at the wheel, positive up.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    Examples
    --------
    >>> seat_lift(0.012, 0.5)
    0.024
    """
    moved = check_range("Preload", seat, -0.1, 0.1, "m", "1000 mm is 1 m")
    return moved / check_range("Motion ratio", motion_ratio, 0.1, 1.5, "", "spring over wheel")


def tyre_rate(rate: float, known_at: float, pressure: float) -> float:
    """Return a tyre's rate at another pressure, kt (0.3 + 0.7 p / p0).

    Parameters
    ----------
    rate : float
        Vertical rate, N/m, at the pressure that it is known at.
    known_at : float
        That pressure, Pa over the air outside, 80 to 900 kPa.
    pressure : float
        The other pressure, within the same limits.

    Returns
    -------
    float
        N/m.

    Raises
    ------
    OutOfRange
        If a pressure lies outside the limits: a tyre without pressure stands on its sidewalls.

    Notes
    -----
    A straight line between these limits; that seven tenths follow the pressure is invented for
    this course (common practice, no source).
    """
    low, high = _PRESSURES
    for name, value in (("Tyre pressure", pressure), ("Known tyre pressure", known_at)):
        hint = "in pascals, over the air outside; a flat tyre is no spring, and 1 bar is 100000 Pa"
        check_range(name, value, low, high, "Pa", hint)
    return rate * (1 - _BY_PRESSURE + _BY_PRESSURE * pressure / known_at)


def breakaway(corner: Corner) -> float:
    """Return the wheel travel that dry friction holds fast, F / k.

    Bumps that would move the wheel by less do not move the spring at all: the leaves stick, and
    the body rides on its tyre, undamped by damper or pack.

    Parameters
    ----------
    corner : Corner
        Its friction and rate.

    Returns
    -------
    float
        m either way.
    """
    return corner.friction / corner.standing_rate


@dataclass(frozen=True)
class Change:
    """What is done to one corner, everything as felt at the wheel.

    Parameters
    ----------
    mass : float, optional
        Added to the body at this corner, kg.
    lift : float, optional
        Longer spring, spacer or preload (see `seat_lift`), m up; the rate stays.
    stop_gap : float, optional
        How much further the bump stop is moved away from ride height, m; negative is nearer.
    stop_stiffness : float, optional
        Force of the bump stop as a share of what it was.
    tyre : float, optional
        Rate of the tyre as a share of what it was (see `tyre_rate`).
    """

    mass: float = 0.0
    lift: float = 0.0
    stop_gap: float = 0.0
    stop_stiffness: float = 1.0
    tyre: float = 1.0


def changed(corner: Corner, change: Change) -> Corner:
    """Return a corner with a change, where it comes to stand.

    Parameters
    ----------
    corner : Corner
        As weighed.
    change : Change
        What is done to it.

    Returns
    -------
    Corner
        Gaps from the new ride height; both stages of the spring as they carry there.

    Raises
    ------
    OutOfRange
        If it would stand in its bump stop or hang on its droop stop.
    """
    made = replace(
        corner,
        bump_gap=corner.bump_gap + change.stop_gap,
        foam_stiffness=corner.foam_stiffness * change.stop_stiffness,
        tyre_rate=corner.tyre_rate * change.tyre,
    )
    lower = corner.travel_under(change.mass * G - corner.wheel_rate * change.lift)
    if lower > made.bump_gap:
        raise OutOfRange(
            f"It would stand {1e3 * lower:.0f} mm lower, and the bump stop is "
            f"{1e3 * made.bump_gap:.0f} mm away: this is work for a spring, not for a damper."
        )
    if -lower > made.droop_gap:
        raise OutOfRange(
            f"It would stand {-1e3 * lower:.0f} mm higher, and the droop stop is "
            f"{1e3 * made.droop_gap:.0f} mm away: it would hang there, topped out, with no spring."
        )
    return replace(made.lowered(lower), sprung_mass=made.sprung_mass + change.mass)


@dataclass(frozen=True)
class Standing:
    """How a corner stands and what its present setting does there; lengths at the wheel.

    Parameters
    ----------
    corner : Corner
        As it stands.
    height : float
        Of the body over the ground against the corner as weighed, m, positive up: the spring's
        part and the tyre's.
    tyre_part : float
        The tyre's part of it, m.
    taken : float
        Share of the bump travel that is gone because it stands deeper; negative where higher.
    ratios : tuple of float
        Damping ratio in bump and in rebound.
    stop_energy : float
        Into the bump stop on `road.dip`, J.
    """

    corner: Corner
    height: float
    tyre_part: float
    taken: float
    ratios: tuple[float, float]
    stop_energy: float


def stand(
    corner: Corner,
    change: Change,
    damper: MeasuredDamper,
    setting: Setting,
    *,
    speed: float = 0.1,
) -> Standing:
    """Return how a corner stands with a change, and what its damper is there.

    Parameters
    ----------
    corner : Corner
        As weighed.
    change : Change
        What is done to it.
    damper : MeasuredDamper
        Any damper with `valve_force` and `friction`.
    setting : tuple of int
        Clicks out from closed; they stay where they are.
    speed : float, optional
        Shaft speed at which the damping ratios are read, m/s.

    Returns
    -------
    Standing
        Heights, ratios, energy.

    Raises
    ------
    OutOfRange
        As `changed`, or if the damper has no such setting.
    """
    now = changed(corner, change)
    squeezed = [(c.sprung_mass + c.unsprung_mass) * G / c.tyre_rate for c in (corner, now)]
    deeper = now.droop_gap - corner.droop_gap
    return Standing(
        corner=now,
        height=squeezed[0] - squeezed[1] - deeper,
        tyre_part=squeezed[0] - squeezed[1],
        taken=deeper / max(now.bump_gap + deeper, 1e-6),
        ratios=tuple(damping_ratio(damper, v, setting, now) for v in (speed, -speed)),
        stop_energy=float(scores(simulate(now, damper, setting, _DIP)).stop_energy),
    )


@dataclass(frozen=True)
class Verdict:
    """Whether clicks can answer a change, or a spring has to.

    Parameters
    ----------
    clicks : mapping of str to int or None
        For each adjuster that sets a damping ratio, by how many clicks to close it to have back
        the ratio as weighed; None where it would need one past the last.
    too_deep : bool
        True when more than `SPRING_SHARE` of the bump travel is gone.
    wheel_rate : float
        Rate that would carry the load at the height as weighed, from the same free length, N/m
        at the wheel.
    """

    clicks: Mapping[str, int | None]
    too_deep: bool
    wheel_rate: float

    @property
    def spring(self) -> bool:
        """True when the spring is the answer."""
        return self.too_deep or None in self.clicks.values()


def verdict(
    was: Standing,
    now: Standing,
    damper: MeasuredDamper,
    setting: Setting,
    *,
    speed: float = 0.1,
) -> Verdict:
    """Return whether this is a matter for the spring or for a click.

    Parameters
    ----------
    was, now : Standing
        As weighed, and with the change, both with the present setting.
    damper : MeasuredDamper
        The damper.
    setting : tuple of int
        The present setting, clicks out from closed.
    speed : float, optional
        As for both.

    Returns
    -------
    Verdict
        Clicks, travel, and the rate that would do it.
    """
    clicks = {}
    for side, goal, sign in zip(("bump", "rebound"), was.ratios, (1, -1), strict=True):
        place = _acting(damper, side)
        if place is not None:
            name = damper.adjusters[place].name
            need = _clicks(damper, setting, place, (goal, sign * speed, now.corner))
            both = (need, clicks.get(name, need))  # one knob may serve both directions
            clicks[name] = None if None in both else max(both)
    rate = now.corner.sprung_mass * G / was.corner.static_sag
    return Verdict(clicks, now.taken > SPRING_SHARE, rate)


def _acting(damper: MeasuredDamper, side: str) -> int | None:
    """Return the place of the adjuster that sets a direction's damping ratio, low speed first."""
    names = [adjuster.name for adjuster in damper.adjusters]
    wanted = [name for name in (f"low-speed {side}", side, f"{side} and rebound") if name in names]
    return names.index(wanted[0]) if wanted else None


def _clicks(damper: MeasuredDamper, setting: Setting, place: int, goal: tuple) -> int | None:
    """Return by how many clicks to close an adjuster until a ratio is reached again, or None."""
    ratio, speed, corner = goal
    for closed in range(setting[place] + 1):
        turned = (*setting[:place], setting[place] - closed, *setting[place + 1 :])
        try:
            reached = damping_ratio(damper, speed, turned, corner)
        except OutOfRange:  # a setting that nobody measured
            continue
        if reached >= 0.995 * ratio:
            return closed
    return None
