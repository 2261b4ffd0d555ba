"""The whole vehicle: a body that heaves, pitches and rolls on two front wheels and a live axle.

Coordinates, all from static rest, seen from the driver's seat (x ahead, y to the left, z up); the
drawing `freedoms` in figures/drawings.py shows them:
q = (z, p, r, wl, wr, w, s): body up at its centre of gravity, pitch (nose down), roll (left side
up), left and right front wheel up, middle of the rear axle up, roll of the rear axle (left side
up). A place (x, y) of the body is at z - x p + y r, the axle's left wheel at w + t s, with t half
the track. Everything between two parts is read off q by a row of numbers:

- travel of a front suspension (wheel up against body), at half the track;
- travel of a rear spring, and of a rear damper, each at its own half-width: wl - (z - a p + t r)
  in front, (w + d s) - (z + b p + d r) behind, on the left; the other sign of width on the right;
- twist of a bar: body roll less the roll of its axle, (wl - wr) / 2t in front, s behind;
- height of a wheel, which the tyre pushes against the road.

Potential energy is V = sum of k (row q)^2 / 2 over springs, bars and tyres, less m g h r^2 / 2: a
body that leans about its roll axis lowers its centre of gravity, h above that axis. Kinetic energy
is T = q' M q' / 2 with M = diag(m, m kp^2, m (kr^2 + h^2), mf, mf, ma, ma ka^2). Lagrange's
equations then give M q'' + C q' + K q = Q, K being the sum of k row' row over all springs and C the
same over dampers.

Q holds the road (tyre rows, kt and ct), forces that the matrices do not hold (damper curves, stops,
friction, a second stage of a spring: along the damper rows; a tyre off the ground: along the tyre
rows), and what steering and braking do. In a left turn at ay the body leans by m h ay; what its
links carry, and the wheels' own weight, lift the left wheels without leaning it. In braking at ax
the springs feel m hg ax (1 - anti-dive); the rest goes through the links from the rear wheels to
the front ones. Roads of wheels left and right, front and rear are separate. Angles are small, links
rigid, left and right alike; steering's own dynamics and the sideways grip of tyres are left out.
"""

from dataclasses import dataclass, fields

import numpy as np

from dampinglab.errors import check_range
from dampinglab.physics.corner import nominal_damping
from dampinglab.physics.vehicle import Corner, Vehicle
from dampinglab.units import G

__all__ = ["WHEELS", "Car", "car_of", "full_car"]

WHEELS = ("front left", "front right", "rear left", "rear right")
"""The order of wheels in every array."""


@dataclass(frozen=True)
class Car:
    """A vehicle with independent front wheels and a live rear axle; sizes invented unless given.

    Parameters
    ----------
    front, rear : Corner
        One corner of each axle; both sides alike.
    wheelbase : float, optional
        m.
    gravity_height : float, optional
        Centre of gravity of the sprung body above the road, m.
    pitch_radius, roll_radius : float, optional
        Radii of gyration of the body about its centre of gravity, m.
    front_track, rear_track : float, optional
        Half the distance between the wheels of an axle, m.
    spring_width, damper_width : float, optional
        Half the distance between the rear springs, and between the rear dampers, m; in front
        both act at the wheel.
    front_bar, rear_bar : float, optional
        Anti-roll bars, N m per rad of roll between body and axle.
    front_roll_height, rear_roll_height : float, optional
        Roll centres above the road, m.
    wheel_height : float, optional
        Centre of gravity of wheels and axle above the road, m.
    axle_radius : float, optional
        Radius of gyration of the rear axle in roll, m.
    anti_dive : float, optional
        Share of the braking load that links carry past the springs, at both ends.

    Raises
    ------
    OutOfRange
        If a size is none of a road vehicle.
    """

    front: Corner
    rear: Corner
    wheelbase: float = 2.8
    gravity_height: float = 0.72
    pitch_radius: float = 1.38
    roll_radius: float = 0.58
    front_track: float = 0.79
    rear_track: float = 0.79
    spring_width: float = 0.55
    damper_width: float = 0.62
    front_bar: float = 30e3
    rear_bar: float = 10e3
    front_roll_height: float = 0.10
    rear_roll_height: float = 0.45
    wheel_height: float = 0.38
    axle_radius: float = 0.60
    anti_dive: float = 0.25

    def __post_init__(self) -> None:
        """Refuse what cannot be a road vehicle."""
        for name, (low, high, unit, words) in _LIMITS.items():
            label = words[0].upper() + words[1:]
            check_range(label, getattr(self, name), low, high, unit)

    @property
    def body_mass(self) -> float:
        """Sprung mass, kg."""
        return 2 * (self.front.sprung_mass + self.rear.sprung_mass)

    @property
    def to_front(self) -> float:
        """Distance from the body's centre of gravity ahead to the front axle, m."""
        return self.wheelbase * 2 * self.rear.sprung_mass / self.body_mass

    @property
    def to_rear(self) -> float:
        """Distance from the body's centre of gravity back to the rear axle, m."""
        return self.wheelbase - self.to_front

    @property
    def roll_arm(self) -> float:
        """Height of the body's centre of gravity above the roll axis below it, m."""
        front, rear = self.front_roll_height, self.rear_roll_height
        return self.gravity_height - (front * self.to_rear + rear * self.to_front) / self.wheelbase

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The corner of each wheel, in the order of `WHEELS`."""
        return self.front, self.front, self.rear, self.rear

    @property
    def static_loads(self) -> np.ndarray:
        """Load of each tyre at rest, N."""
        return G * (self.each("sprung_mass") + self.each("unsprung_mass"))

    def each(self, name: str) -> np.ndarray:
        """Return one value of `Corner` for each wheel.

        Parameters
        ----------
        name : str
            Such as "tyre_rate".

        Returns
        -------
        ndarray, shape (4,)
            In the order of `WHEELS`.
        """
        return np.array([getattr(corner, name) for corner in self.corners])

    @property
    def assumptions(self) -> tuple[str, ...]:
        """Whole sentences for what no sheet holds and was not given: invented values."""
        names = [f for f in fields(self) if f.name in _LIMITS]
        left = [f.name for f in names if getattr(self, f.name) == f.default]
        each = [(_LIMITS[name], getattr(self, name)) for name in left]
        told = ", ".join(f"{words} {value:g} {unit}".strip() for (*_, unit, words), value in each)
        return (f"Invented, for the sheet does not hold them: {told}.",) if left else ()

    def rows(self, kind: str) -> np.ndarray:
        """Return rows that read something off the coordinates q.

        Parameters
        ----------
        kind : {"spring", "damper", "tyre", "bar"}
            Travel of springs or of dampers (m, positive in bump), height of wheels (m), each in
            the order of `WHEELS`, or twist of the front and rear bar (rad).

        Returns
        -------
        ndarray, shape (4, 7) or (2, 7)
            To be multiplied with q.
        """
        a, b, t = self.to_front, self.to_rear, self.front_track
        if kind == "bar":
            return np.array([[0, 0, 1, -0.5 / t, 0.5 / t, 0, 0], [0, 0, 1, 0, 0, 0, -1.0]])
        tyre = kind == "tyre"
        d = self.rear_track if tyre else getattr(self, f"{kind}_width")
        made = np.array([_row(a, t, 3), _row(a, -t, 4), _row(-b, d, 5), _row(-b, -d, 5)])
        made[2:, 6] = d, -d
        made[:, :3] *= not tyre
        return made


def _row(x: float, y: float, own: int) -> np.ndarray:
    """Return the row of a wheel's height less the body's height above it."""
    row = np.array([-1.0, x, -y, 0, 0, 0, 0])
    row[own] = 1
    return row


_LIMITS = {
    "wheelbase": (1, 6, "m", "wheelbase"),
    "gravity_height": (0.2, 2, "m", "height of the body's centre of gravity"),
    "pitch_radius": (0.3, 4, "m", "radius of gyration in pitch"),
    "roll_radius": (0.2, 2, "m", "radius of gyration in roll"),
    "front_track": (0.3, 1.5, "m", "half of the front track"),
    "rear_track": (0.3, 1.5, "m", "half of the rear track"),
    "spring_width": (0.1, 1.5, "m", "half of the way between the rear springs"),
    "damper_width": (0.1, 1.5, "m", "half of the way between the rear dampers"),
    "front_bar": (0, 5e5, "N·m/rad", "front anti-roll bar"),
    "rear_bar": (0, 5e5, "N·m/rad", "rear anti-roll bar"),
    "front_roll_height": (-0.3, 1, "m", "front roll centre"),
    "rear_roll_height": (-0.3, 1, "m", "rear roll centre"),
    "wheel_height": (0, 1, "m", "centre of the wheels"),
    "axle_radius": (0.1, 2, "m", "radius of gyration of the rear axle"),
    "anti_dive": (0, 1, "", "anti-dive share"),
}


def car_of(vehicle: Vehicle, load: str | None = None, **replacements) -> Car:
    """Return the whole vehicle from a sheet, with invented sizes for what the sheet lacks.

    Parameters
    ----------
    vehicle : Vehicle
        With both axles.
    load : str, optional
        Name of a load case; none means as weighed.
    **replacements : float
        Any size of `Car` that is known.

    Returns
    -------
    Car
        Its `assumptions` say what was invented.

    Raises
    ------
    OutOfRange
        If an axle or the load case is missing, the load does not fit, or a size is impossible.
    """
    known = {"wheelbase": vehicle.wheelbase} if vehicle.wheelbase else {}
    corners = vehicle.corner("front", load), vehicle.corner("rear", load)
    return Car(*corners, **(known | replacements))


def full_car(car: Car):
    """Return the matrices of the whole vehicle, x' = A x + B u, with x = (q, q').

    Parameters
    ----------
    car : Car
        The vehicle.

    Returns
    -------
    a : ndarray, shape (14, 14)
        State matrix, with the nominal damping of `nominal_damping` in it.
    b : ndarray, shape (14, 18)
        Columns for road height (m) and road speed (m/s) under the four wheels, lateral
        acceleration to the left, braking deceleration (m/s2), extra suspension forces and extra
        tyre forces (N) of the four wheels.
    """
    mass, stiffness, damping = _matrices(car)
    tyre, kt, ct = car.rows("tyre"), car.each("tyre_rate"), car.each("tyre_damping")
    acts = [tyre.T * kt, tyre.T * ct, _pushes(car), -car.rows("damper").T, tyre.T]
    a = np.block([[np.zeros((7, 7)), np.eye(7)], [-stiffness, -damping]])
    b = np.vstack([np.zeros((7, 18)), np.hstack(acts)])
    a[7:] /= mass[:, None]
    b[7:] /= mass[:, None]
    return a, b


def _matrices(car: Car):
    """Return the diagonal of M, K and C."""
    m, unsprung = car.body_mass, car.front.unsprung_mass
    axle, kr2 = 2 * car.rear.unsprung_mass, car.roll_radius**2 + car.roll_arm**2
    body = [m, m * car.pitch_radius**2, m * kr2]
    mass = np.array([*body, unsprung, unsprung, axle, axle * car.axle_radius**2])
    spring, tyre, bar, damper = (car.rows(kind) for kind in ("spring", "tyre", "bar", "damper"))
    k, kt, ct = (car.each(name) for name in ("wheel_rate", "tyre_rate", "tyre_damping"))
    nominal = np.array([nominal_damping(corner) for corner in car.corners])
    bars = np.array([car.front_bar, car.rear_bar])
    stiffness = spring.T * k @ spring + tyre.T * kt @ tyre + bar.T * bars @ bar
    stiffness[2, 2] -= m * G * car.roll_arm
    return mass, stiffness, damper.T * nominal @ damper + tyre.T * ct @ tyre


def _pushes(car: Car) -> np.ndarray:
    """Return what 1 m/s2 to the left, and 1 m/s2 of braking, push each coordinate with."""
    m, up = car.body_mass, car.wheel_height
    front, rear = (
        2 * (c.sprung_mass * height + c.unsprung_mass * up)
        for c, height in ((car.front, car.front_roll_height), (car.rear, car.rear_roll_height))
    )
    lift = 0.5 * front / car.front_track
    wheels = 2 * (car.front.unsprung_mass + car.rear.unsprung_mass) * up
    through = (car.anti_dive * m * car.gravity_height + wheels) / car.wheelbase
    dive = (1 - car.anti_dive) * m * car.gravity_height
    return np.array(
        [
            [0, 0, m * car.roll_arm, lift, -lift, 0, rear],
            [0, dive, 0, -through / 2, -through / 2, through, 0],
        ]
    ).T
