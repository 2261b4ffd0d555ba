"""Make the invented bounce tests of the demo workshop again: `python datasets/generate_bounce.py`.

No vehicle that exists was pushed. A front corner of the demo wagon, with a linear damper so that
the truth is one number, is pushed down by hand in the rhythm of its body and let go; a phone on
the wing records with stated noise, in uneven steps, with a fixed seed. The dictionary holds what
each corner truly was.
"""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from dampinglab.physics.corner import stops_of
from dampinglab.physics.linear import quarter_car
from dampinglab.physics.march import stop_forces
from dampinglab.physics.vehicle import Corner
from dampinglab.units import G

SEED = 20271
STEP = 2e-3  # s, of the time march (Runge and Kutta, fourth order)
FRICTION_SPEED = 0.004  # m/s over which dry friction turns round
PULSE = 0.6  # share of a swing during which the hands push
NOISE = 0.03  # m/s2, one standard deviation of a reading
CORNER = Corner(560, 75, 40e3, 0.6, 260e3, 250, bump_gap=0.06, foam_length=0.045, droop_gap=0.1)


@dataclass(frozen=True)
class Push:
    """How somebody pushes; every value may be an array, one entry a corner."""

    force: float  # N, highest
    beats: int
    swing: float  # s from push to push
    start: float = 1.2  # s
    letting_go: float = 0.08  # s until the last finger is off

    @property
    def released(self):
        """Time when the corner is free, s."""
        return self.start + (self.beats - 1 + PULSE / 2) * self.swing + self.letting_go

    def at(self, t):
        """Return the force on the body, N, positive down."""
        since = t - self.start
        beat = np.floor(since / self.swing)
        phase = (since / self.swing - beat) / PULSE
        on = (beat >= 0) & (beat < self.beats) & (phase < 1)
        rhythm = np.where(on, np.sin(np.pi * phase) ** 2, 0.0)
        fading = np.clip((self.released - t) / self.letting_go, 0.0, 1.0)
        return self.force * np.where(fading < 1, fading, rhythm)


def body_mode(corner: Corner, ratio: float) -> tuple[float, float]:
    """Return frequency, Hz, and damping ratio of the body's swing with wheel and tyre in."""
    roots = np.linalg.eigvals(quarter_car(corner, ratio * corner.critical_damping)[0])
    first, second = roots[np.argsort(np.abs(roots))][:2]
    pace = np.sqrt((first * second).real)
    return float(pace / (2 * np.pi)), float(-(first + second).real / (2 * pace))


def bounce(corner: Corner, ratio, friction, push: Push, duration: float = 8.0):
    """Return time, s, and the body's acceleration, m/s2, shape (steps, corners), noise-free."""
    times = np.arange(round(duration / STEP)) * STEP
    state = np.zeros((4, np.broadcast(ratio, friction, push.force, push.swing).size))
    felt = np.empty((len(times), state.shape[1]))
    for i, t in enumerate(times):
        k1 = _rates(corner, ratio, friction, push.at(t), state)
        middle = push.at(t + STEP / 2)
        k2 = _rates(corner, ratio, friction, middle, state + STEP / 2 * k1)
        k3 = _rates(corner, ratio, friction, middle, state + STEP / 2 * k2)
        k4 = _rates(corner, ratio, friction, push.at(t + STEP), state + STEP * k3)
        felt[i] = k1[1]
        state = state + STEP / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return times, felt


def _rates(corner: Corner, ratio, friction, hands, state):
    """Return the rates of body, wheel and their speeds, all positive up."""
    body, body_speed, wheel, wheel_speed = state
    travel, rate = wheel - body, wheel_speed - body_speed
    apart = corner.wheel_rate * travel + ratio * corner.critical_damping * rate
    apart = apart + friction * np.tanh(rate / FRICTION_SPEED)
    apart = apart + stop_forces(travel, rate, stops_of(corner))
    weight = (corner.sprung_mass + corner.unsprung_mass) * G
    tyre = -corner.tyre_rate * wheel - corner.tyre_damping * wheel_speed
    tyre = np.maximum(tyre, -weight)  # a tyre off the ground only hangs
    up = [(apart - hands) / corner.sprung_mass, (tyre - apart) / corner.unsprung_mass]
    return np.stack([body_speed, up[0], wheel_speed, up[1]])


def phone(times, felt, rng, *, rate=100.0, noise=NOISE, gravity=G):
    """Return uneven times, s, and readings, m/s2, as a phone delivers them; a few go missing."""
    count = int(times[-1] * rate) - 1
    at = (np.arange(count) + 0.5 + 0.6 * rng.uniform(-0.5, 0.5, count)) / rate
    at = at[rng.uniform(size=count) > 0.02]
    return at, np.interp(at, times, felt) + gravity + noise * rng.standard_normal(len(at))


@dataclass(frozen=True)
class Demo:
    """One record to write."""

    file: str
    title: str
    ratio: float  # damping ratio of the corner as the course defines it
    friction: float  # N at the wheel
    push: float = 420.0  # N
    beats: int = 3
    corner: Corner = CORNER
    unit: str = "g"
    upside_down: bool = False
    semicolons: bool = False
    place: str = "wing above the front left wheel"


DEMOS = (
    Demo("good_corner.csv", "a corner in good order", 0.27, 8.0, beats=2),
    Demo("worn_damper.csv", "a corner whose damper has lost most of its oil", 0.09, 8.0),
    Demo("overdamped.csv", "a corner closed up to its last clicks", 0.85, 8.0),
    Demo("friction_heavy.csv", "the worn damper again, with seized bushes", 0.09, 60.0),
    Demo(
        "decimal_comma.csv",
        "another phone, screen down, with decimal commas",
        0.20,
        8.0,
        unit="m/s²",
        upside_down=True,
        semicolons=True,
        place="wing above the front right wheel",
    ),
    Demo(
        "hard_push.csv",
        "a light trailer pushed so hard that it hit its stop and left the ground",
        0.10,
        8.0,
        push=1500.0,
        corner=replace(CORNER, sprung_mass=250, unsprung_mass=40, wheel_rate=20e3, bump_gap=0.07),
        place="drawbar box above the left wheel",
    ),
)


def write(demo: Demo, folder: Path, rng: np.random.Generator) -> Path:
    """Write one record and return its path."""
    swing = 1.03 / body_mode(demo.corner, demo.ratio)[0]  # nobody keeps the rhythm to a per cent
    times, felt = bounce(demo.corner, demo.ratio, demo.friction, Push(demo.push, demo.beats, swing))
    at, read = phone(times, felt[:, 0], rng)
    read = (-read if demo.upside_down else read) / (G if demo.unit == "g" else 1.0)
    facts = {
        "title": f"Bounce test of {demo.title} (INVENTED DATA, no vehicle was pushed)",
        "sensor place": demo.place,
        "sensor": "phone lying flat, upright axis, gravity included",
    }
    rows = [(f"{t:.4f}", f"{a:.4f}") for t, a in zip(at, read, strict=True)]
    head = ("time [s]", f"acceleration [{demo.unit}]")
    if demo.semicolons:
        head, rows = head[::-1], [tuple(c.replace(".", ",") for c in row[::-1]) for row in rows]
    mark = ";" if demo.semicolons else ","
    lines = [f"# {key}: {value}" for key, value in facts.items()]
    lines += [mark.join(row) for row in (head, *rows)]
    path = folder / demo.file
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    return path


def generate(folder: Path) -> list[Path]:
    """Write all records into a folder, each from its own seed, and return their paths."""
    return [write(demo, folder, np.random.default_rng(SEED + i)) for i, demo in enumerate(DEMOS)]


if __name__ == "__main__":
    generate(Path(__file__).parent / "bounce")
