"""The quarter car on a road: one corner with its damper, stops and a tyre that can lift off."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.damper import MeasuredDamper, Setting, dry_friction
from dampinglab.physics.linear import discretise, quarter_car
from dampinglab.physics.march import Coefficients, Stops, march_many, march_one, stop_forces
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G

__all__ = [
    "Run",
    "force_table",
    "force_tables",
    "nominal_damping",
    "prepare",
    "run_blocks",
    "run_table",
    "simulate",
    "simulate_many",
    "stops_of",
]

_TABLE_STEP = 0.005  # m/s of shaft speed: knees are read to a few newtons
_TABLE_TOP = 6.0  # m/s of shaft speed; beyond it the last slope goes on
_NOMINAL_RATIO = 0.3  # the linear part holds this much damping; the table holds the rest

# A foam stop carries about 10 kN when it is squeezed flat, three quarters of it in the last
# third; metal and droop stops are stiff. Invented, plausible.
_FOAM_LINEAR, _FOAM_CUBIC = 2700.0, 7290.0
_METAL_RATE, _DROOP_RATE, _DROOP_DAMPING = 2e6, 4e5, 1500.0


@dataclass(frozen=True)
class Run:
    """What one corner did on a road; arrays of shape (steps,) or (steps, settings).

    Parameters
    ----------
    corner : Corner
        The corner that ran.
    road : Road
        The road that it ran on.
    body, wheel : ndarray
        Heights from static rest, m, positive up.
    body_velocity, wheel_velocity : ndarray
        m/s.
    suspension_force : ndarray
        Change of all forces between body and wheel from static rest, N, positive apart.
    stop_force : ndarray
        The stops' part of it, N.
    tyre_force : ndarray
        Tyre on ground, N, zero when off it.
    beyond : ndarray of bool
        True where the shaft was faster than the damper's table.
    """

    corner: Corner
    road: Road
    body: np.ndarray
    wheel: np.ndarray
    body_velocity: np.ndarray
    wheel_velocity: np.ndarray
    suspension_force: np.ndarray
    stop_force: np.ndarray
    tyre_force: np.ndarray
    beyond: np.ndarray

    @property
    def travel(self) -> np.ndarray:
        """Wheel travel from ride height, m, positive in bump."""
        return self.wheel - self.body

    @property
    def travel_rate(self) -> np.ndarray:
        """Rate of wheel travel, m/s, positive in bump."""
        return self.wheel_velocity - self.body_velocity

    @property
    def ground(self) -> np.ndarray:
        """Height of the road, m, in a shape that goes with that of the body."""
        return self.road.height if self.body.ndim == 1 else self.road.height[:, None]

    @property
    def body_acceleration(self) -> np.ndarray:
        """Acceleration of the body, m/s2, positive up."""
        return self.suspension_force / self.corner.sprung_mass


def stops_of(corner: Corner) -> Stops:
    """Return a corner's stops (foam scaled to its length, metal, droop stop) and second stage.

    Parameters
    ----------
    corner : Corner
        Gaps and foam length, m.

    Returns
    -------
    Stops
        Gaps and rates, SI.
    """
    length = corner.foam_length
    return Stops(
        corner.bump_gap,
        length,
        corner.foam_stiffness * _FOAM_LINEAR / length,
        corner.foam_stiffness * _FOAM_CUBIC / length**3,
        _METAL_RATE,
        corner.droop_gap,
        _DROOP_RATE,
        _DROOP_DAMPING,
        corner.second_gap,
        corner.second_rate,
    )


def prepare(corner: Corner, road: Road) -> Coefficients:
    """Return everything of a run that does not depend on the damper's setting.

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre.
    road : Road
        Its time step is the run's.

    Returns
    -------
    Coefficients
        For four states and one wheel.

    Raises
    ------
    OutOfRange
        If the road's time step is above 2 ms, too coarse for wheel hop and stops.
    """
    check_range("Time step", road.dt, 1e-5, 2.0001e-3, "s", "1 ms is right")
    a, b = quarter_car(corner, nominal_damping(corner))
    phi, g1, g2 = discretise(a, b, road.dt)
    inputs = np.stack([road.height, road.velocity], axis=1)
    change = np.diff(inputs, axis=0, append=inputs[-1:])
    weight = (corner.sprung_mass + corner.unsprung_mass) * G
    tyre = np.array([corner.tyre_rate, corner.tyre_damping])
    return Coefficients(
        phi,
        *(g[:, i : i + 1] for i in (2, 3) for g in (g1, g2)),
        travel=np.array([[-1.0, 0, 1, 0]]),
        rate=np.array([[0, -1.0, 0, 1]]),
        tyre=np.array([[0, 0, -tyre[0], -tyre[1]]]),
        road=inputs @ g1[:, :2].T + change @ g2[:, :2].T,
        ground=(inputs @ tyre + weight)[:, None],
    )


def force_table(corner: Corner, damper: MeasuredDamper, setting: Setting):
    """Return wheel speeds and the suspension force there that the linear part does not hold.

    Parameters
    ----------
    corner : Corner
        Motion ratio and friction.
    damper : MeasuredDamper
        Any damper with `valve_forces` and `friction`.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    speed, force : ndarray
        m/s at the wheel, evenly spaced; N at the wheel.
    """
    speed, forces = force_tables(corner, damper, [setting])
    return speed, forces[0]


def force_tables(corner: Corner, damper: MeasuredDamper, settings: Sequence[Setting]):
    """Return the tables of many settings, for `march_many`.

    Parameters
    ----------
    corner : Corner
        Motion ratio and friction.
    damper : MeasuredDamper
        As `force_table`, asked for all settings at once.
    settings : sequence of tuple of int
        Clicks out from closed.

    Returns
    -------
    speed : ndarray, shape (t,)
        m/s at the wheel, evenly spaced.
    force : ndarray, shape (m, t)
        N at the wheel.
    """
    half = round(_TABLE_TOP / _TABLE_STEP)
    shaft = _TABLE_STEP * np.arange(-half, half + 1)
    ratio = corner.damper_motion_ratio
    speed = shaft / ratio
    forces = damper.valve_forces(shaft, settings)
    forces *= ratio
    forces += ratio * damper.friction(shaft) + dry_friction(corner.friction, speed)
    forces -= nominal_damping(corner) * speed
    return speed, forces


def simulate(corner: Corner, damper: MeasuredDamper, setting: Setting, road: Road) -> Run:
    """Drive one corner with one damper setting over a road, from rest.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper
        Any damper with `valve_forces`, `friction` and `beyond`.
    setting : tuple of int
        Clicks out from closed.
    road : Road
        The road in time; its step is the run's.

    Returns
    -------
    Run
        Arrays of shape (steps,).

    Raises
    ------
    OutOfRange
        If the damper has no such setting or the road's step is too coarse.
    """
    return run_table(prepare(corner, road), corner, road, damper, setting)


def run_table(
    made: Coefficients, corner: Corner, road: Road, damper: MeasuredDamper, setting: Setting
) -> Run:
    """Drive one setting with coefficients already made: what a slider calls again and again.

    Parameters
    ----------
    made : Coefficients
        From `prepare` for the same corner and road.
    corner : Corner
        The corner.
    road : Road
        The road in time.
    damper : MeasuredDamper
        As `simulate`.
    setting : tuple of int
        Clicks out from closed.

    Returns
    -------
    Run
        Arrays of shape (steps,).
    """
    speed, table = force_table(corner, damper, setting)
    out = [[0.0] * len(made.ground) for _ in range(6)]
    scale = float(speed[0]), float((len(speed) - 1) / (speed[-1] - speed[0]))
    march_one(*_plain(made), stops_of(corner), *_plain_road(made), table.tolist(), *scale, out)
    *states, force, lift = np.array(out)
    return _run(made, corner, road, states, force, lift, damper, [setting])


def _plain(made: Coefficients):
    """Return step matrix, gains and tyre rates as plain lists, in the order of `march_one`."""
    gains = (made.phi, made.f1, made.f2, made.t1, made.t2, made.tyre[0, 2:])
    return [array.ravel().tolist() for array in gains]


def _plain_road(made: Coefficients):
    """Return the road's part in the states and in the tyre force, as plain lists."""
    return made.road.T.tolist(), made.ground[:, 0].tolist()


def simulate_many(
    corner: Corner, damper: MeasuredDamper, settings: Sequence[Setting], road: Road
) -> Run:
    """Drive one corner over a road with many settings at once.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper
        As `simulate`.
    settings : sequence of tuple of int
        Clicks out from closed; memory grows with their number, about 100 bytes a setting and
        step.
    road : Road
        The road in time.

    Returns
    -------
    Run
        Arrays of shape (steps, settings).

    Raises
    ------
    OutOfRange
        As `simulate`, or if no setting is given.
    """
    if not len(settings):
        raise OutOfRange("Give at least one setting to run.")
    made = prepare(corner, road)
    return next(run_blocks(made, corner, road, damper, settings, len(settings)))


def run_blocks(
    made: Coefficients,
    corner: Corner,
    road: Road,
    damper: MeasuredDamper,
    settings: Sequence[Setting],
    together: int = 32,
    room: np.ndarray | None = None,
) -> Iterator[Run]:
    """Drive many settings at once and hand them over a few at a time, to be scored.

    Parameters
    ----------
    made : Coefficients
        From `prepare` for the same corner and road.
    corner : Corner
        The corner.
    road : Road
        The road in time.
    damper : MeasuredDamper
        As `simulate`.
    settings : sequence of tuple of int
        Clicks out from closed; all of them march together.
    together : int, optional
        Settings in each run: few enough that its arrays stay near the processor.
    room : ndarray, optional
        From `room_for`, to march in.

    Yields
    ------
    Run
        Arrays of shape (steps, together), fewer in the last.
    """
    speed, tables = force_tables(corner, damper, settings)
    per_step = float((len(speed) - 1) / (speed[-1] - speed[0]))
    states, force, lift = march_many(
        made, [stops_of(corner)], tables[None], float(speed[0]), per_step, room
    )
    for first in range(0, len(settings), together):
        part = slice(first, first + together)
        columns = [*np.moveaxis(states[..., part], 1, 0), force[:, 0, part], lift[:, 0, part]]
        *moved, pushed, lifted = map(np.ascontiguousarray, columns)
        yield _run(made, corner, road, moved, pushed, lifted, damper, settings[part])


def nominal_damping(corner: Corner) -> float:
    """Return the damping that the linear part holds, and that force tables leave out.

    Parameters
    ----------
    corner : Corner
        Mass and spring.

    Returns
    -------
    float
        N s/m at the wheel.
    """
    return _NOMINAL_RATIO * corner.critical_damping


def _run(made, corner, road, states, force, lift, damper, settings) -> Run:
    """Return a run with forces and flags worked out from the states."""
    body, body_velocity, wheel, wheel_velocity = states
    travel, rate = wheel - body, wheel_velocity - body_velocity
    ground = made.ground if force.ndim == 2 else made.ground[:, 0]
    tyre = ground + made.tyre[0, 2] * wheel + made.tyre[0, 3] * wheel_velocity
    # Off the ground the tyre carries exactly nothing, whatever the last digit of the sum says.
    return Run(
        corner=corner,
        road=road,
        body=body,
        wheel=wheel,
        body_velocity=body_velocity,
        wheel_velocity=wheel_velocity,
        suspension_force=corner.wheel_rate * travel + nominal_damping(corner) * rate + force,
        stop_force=stop_forces(travel, rate, stops_of(corner)) + 0.0 * travel,
        tyre_force=np.where(lift > 0, 0.0, tyre),
        beyond=_beyond(damper, settings, corner.damper_motion_ratio * rate),
    )


def _beyond(damper, settings, shaft_speed):
    """Return where each setting's shaft was faster than its table."""
    if shaft_speed.ndim == 1:
        return damper.beyond(shaft_speed, settings[0])
    columns = [damper.beyond(shaft_speed[:, i], s) for i, s in enumerate(settings)]
    return np.stack(columns, axis=1)
