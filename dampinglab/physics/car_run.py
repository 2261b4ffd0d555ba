"""The whole vehicle driven: one setting or many, and what it did."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.car import Car, full_car
from dampinglab.physics.corner import force_table, nominal_damping, stops_of
from dampinglab.physics.damper import Setting
from dampinglab.physics.drive import Inputs
from dampinglab.physics.linear import discretise
from dampinglab.physics.march import Coefficients, march_many, stage_forces, stop_forces

__all__ = ["CarRun", "drive_car", "prepare_car"]

_AXLES = ("front", "rear")


@dataclass(frozen=True)
class CarRun:
    """What a whole vehicle did; arrays of shape (steps, ...) or (steps, ..., settings).

    Wheels stand in the order of `car.WHEELS`. Heights and angles are from static rest.

    Parameters
    ----------
    car : Car
        The vehicle.
    inputs : Inputs
        What was done to it.
    states : ndarray, shape (steps, 14) or (steps, 14, settings)
        The coordinates q of `car`, then their rates.
    extra : ndarray, shape (steps, 4) or (steps, 4, settings)
        Suspension forces that the matrices do not hold, N at the damper's half-width.
    lift : ndarray, of the same shape
        Tyre forces that they do not hold, N; above zero where a tyre is off the ground.
    """

    car: Car
    inputs: Inputs
    states: np.ndarray
    extra: np.ndarray
    lift: np.ndarray

    @property
    def heave(self) -> np.ndarray:
        """Height of the body's centre of gravity, m, up."""
        return self.states[:, 0]

    @property
    def pitch(self) -> np.ndarray:
        """Pitch, rad, nose down: dive is positive."""
        return self.states[:, 1]

    @property
    def roll(self) -> np.ndarray:
        """Roll, rad, left side up: the lean in a left turn is positive."""
        return self.states[:, 2]

    @property
    def pitch_rate(self) -> np.ndarray:
        """Rate of pitch, rad/s."""
        return self.states[:, 8]

    @property
    def roll_rate(self) -> np.ndarray:
        """Rate of roll, rad/s."""
        return self.states[:, 9]

    @property
    def travel(self) -> np.ndarray:
        """Travel of each corner where its damper stands, m, positive in bump."""
        return self._read("damper")

    @property
    def travel_rate(self) -> np.ndarray:
        """Rate of that travel, m/s; times the motion ratio it is the shaft's speed."""
        return self._read("damper", rate=True)

    @property
    def wheel(self) -> np.ndarray:
        """Height of each wheel, m."""
        return self._read("tyre")

    @property
    def stop_force(self) -> np.ndarray:
        """Force of each corner's stops, N, positive apart."""
        return self._by_stops(stop_forces)

    @property
    def damper_force(self) -> np.ndarray:
        """Force of each corner's damper with its friction, N at the wheel, positive in bump."""
        stage = self._by_stops(lambda travel, _rate, stops: stage_forces(travel, stops))
        return self.extra - self.stop_force - stage + self._held_damping()

    @property
    def tyre_force(self) -> np.ndarray:
        """Force of each tyre on the road, N, zero when off it."""
        made = self.inputs
        kt, ct = self.car.each("tyre_rate"), self.car.each("tyre_damping")
        ground = made.height * kt + made.velocity * ct + self.car.static_loads
        pull = self._wheelwise(kt) * self.wheel
        pull = pull + self._wheelwise(ct) * self._read("tyre", rate=True)
        ground = ground if self.states.ndim == 2 else ground[..., None]
        return np.where(self.lift > 0, 0.0, ground - pull)

    @property
    def spring_force(self) -> np.ndarray:
        """Change of each spring's force from static rest, N at the wheel, positive apart.

        Without a second stage: that acts with the stops, where the damper stands.
        """
        return self._wheelwise(self.car.each("wheel_rate")) * self._read("spring")

    @property
    def roll_moment(self) -> np.ndarray:
        """Moment of the front and of the rear axle against a lean to the right, N m."""
        car, bars = self.car, self._read("bar")
        push = self.spring_force, self.extra + self._held_damping()
        front, rear = (
            sum(width * (f[:, 2 * i + 1] - f[:, 2 * i]) for width, f in zip(at, push, strict=True))
            for i, at in enumerate(((car.front_track,) * 2, (car.spring_width, car.damper_width)))
        )
        return np.stack(
            [front + car.front_bar * bars[:, 0], rear + car.rear_bar * bars[:, 1]], axis=1
        )

    def body_over(self, axle: str) -> np.ndarray:
        """Return the height of the body above the middle of an axle.

        Parameters
        ----------
        axle : {"front", "rear"}
            Which axle.

        Returns
        -------
        ndarray
            m from static rest, up.
        """
        ahead = {"front": self.car.to_front, "rear": -self.car.to_rear}[axle]
        return self.heave - ahead * self.pitch

    def _read(self, kind: str, rate: bool = False) -> np.ndarray:
        q = self.states[:, 7:] if rate else self.states[:, :7]
        return np.einsum("wn,tn...->tw...", self.car.rows(kind), q)

    def _wheelwise(self, values: np.ndarray) -> np.ndarray:
        """Return a value for each wheel in a shape that goes with the arrays."""
        return values if self.states.ndim == 2 else values[:, None]

    def _by_stops(self, force) -> np.ndarray:
        """Return a force of travel, its rate and the stops for each corner."""
        travel, rate = self.travel, self.travel_rate
        forces = [
            force(travel[:, i], rate[:, i], stops_of(corner)) + 0.0 * travel[:, i]
            for i, corner in enumerate(self.car.corners)
        ]
        return np.stack(forces, axis=1)

    def _held_damping(self) -> np.ndarray:
        nominal = np.array([nominal_damping(corner) for corner in self.car.corners])
        return self._wheelwise(nominal) * self.travel_rate


def prepare_car(car: Car, inputs: Inputs) -> Coefficients:
    """Return everything of a run that does not depend on the dampers' settings.

    Parameters
    ----------
    car : Car
        The vehicle.
    inputs : Inputs
        What is done to it; their time step is the run's.

    Returns
    -------
    Coefficients
        For fourteen states and four wheels.

    Raises
    ------
    OutOfRange
        If the time step is above 2 ms, too coarse for wheel hop and stops.
    """
    check_range("Time step", inputs.dt, 1e-5, 2.0001e-3, "s", "1 ms is right")
    phi, g1, g2 = discretise(*full_car(car), inputs.dt)
    driven = (inputs.height, inputs.velocity, inputs.lateral[:, None], inputs.braking[:, None])
    u = np.concatenate(driven, axis=1)
    change = np.diff(u, axis=0, append=u[-1:])
    kt, ct = car.each("tyre_rate"), car.each("tyre_damping")
    none, damper, tyre = np.zeros((4, 7)), car.rows("damper"), car.rows("tyre")
    return Coefficients(
        phi,
        *(g[:, i : i + 4] for i in (10, 14) for g in (g1, g2)),
        travel=np.hstack([damper, none]),
        rate=np.hstack([none, damper]),
        tyre=-np.hstack([kt[:, None] * tyre, ct[:, None] * tyre]),
        road=u @ g1[:, :10].T + change @ g2[:, :10].T,
        ground=inputs.height * kt + inputs.velocity * ct + car.static_loads,
    )


def drive_car(
    car: Car,
    dampers: Mapping,
    settings: Mapping[str, Setting] | Sequence[Mapping[str, Setting]],
    inputs: Inputs,
    *,
    made: Coefficients | None = None,
) -> CarRun:
    """Drive a whole vehicle from rest, with one setting of its dampers or with many at once.

    Parameters
    ----------
    car : Car
        The vehicle.
    dampers : mapping of str to damper
        For "front" and "rear", any damper with `valve_force` and `friction`; both sides alike.
    settings : mapping of str to Setting, or a sequence of such mappings
        Clicks out from closed for "front" and "rear".
    inputs : Inputs
        What is done to it.
    made : Coefficients, optional
        From `prepare_car` for the same vehicle and inputs: what a slider keeps.

    Returns
    -------
    CarRun
        Arrays of shape (steps, ...), with the settings last if there is a sequence of them.

    Raises
    ------
    OutOfRange
        If a damper has no such setting, none is given, or the time step is too coarse.
    """
    single = isinstance(settings, Mapping)
    batch = [settings] if single else list(settings)
    if not batch:
        raise OutOfRange("Give at least one setting to run.")
    tables, low, per_step = _tables(car, dampers, batch)
    stops = [stops_of(corner) for corner in car.corners]
    made = made or prepare_car(car, inputs)
    results = march_many(made, stops, tables, low, per_step)
    return CarRun(car, inputs, *(r[..., 0] if single else r for r in results))


def _tables(car: Car, dampers: Mapping, batch: Sequence[Mapping]):
    """Return force tables of shape (4, settings, speeds), their lowest speeds and steps."""
    tables, low, per_step = [], [], []
    for axle in _AXLES:
        corner, known = getattr(car, axle), {}
        for setting in batch:
            clicks = tuple(setting[axle])
            if clicks not in known:
                speed, known[clicks] = force_table(corner, dampers[axle], clicks)
        both = np.stack([known[tuple(setting[axle])] for setting in batch])
        tables += [both, both]
        low += [[speed[0]]] * 2
        per_step += [[(len(speed) - 1) / (speed[-1] - speed[0])]] * 2
    return np.stack(tables), np.array(low), np.array(per_step)
