"""Make the invented travel logs of the demo workshop again: `python datasets/generate_travel.py`.

No vehicle that exists was driven. A corner of the demo wagon with its own valves, at a stated
setting, runs over four roads of the model; a sensor with stated noise, whole hundredths of a
millimetre and a fixed seed logs the damper or the wheel. Three logs carry a fault of a sensor
that the reader has to find. The dictionary holds what is true of each.
"""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from dampinglab.physics import road
from dampinglab.physics.corner import simulate
from dampinglab.workshop import demo

SEED = 20281
NOISE = 0.05  # mm, one standard deviation of a reading
SETTING = (9, 5, 12)  # clicks out from closed: low-speed bump, high-speed bump, rebound
ROADS = {
    "highway": lambda: road.iso8608("B", 100 / 3.6, 12.0, seed=1),
    "gravel": lambda: road.iso8608("D", 60 / 3.6, 10.0, seed=2),
    "corrugation": lambda: road.corrugation(0.030, 0.8, 60 / 3.6, 12.0),
    "street": lambda: _street(),
}


@dataclass(frozen=True)
class Demo:
    """One log to write."""

    file: str
    title: str
    road: str
    axle: str
    rate: int  # readings a second
    heading: str = "damper travel [mm]"
    clock: str = "time [ms]"
    positive: str = "bump"
    facts: dict = field(default_factory=dict)
    missing: tuple = ()  # s, from and to
    spikes: tuple = ()  # s and mm
    drift: float = 0.0  # mm from start to end
    semicolons: bool = False


DEMOS = (
    Demo("highway.csv", "front damper on a good highway at 100 km/h", "highway", "front", 500),
    Demo(
        "gravel.csv",
        "rear damper on gravel at 60 km/h; the plug shook",
        "gravel",
        "rear",
        1000,
        missing=((3.1, 3.112), (7.2, 7.5)),
        spikes=((1.5, 42.0), (5.25, -38.0), (8.4, 25.0)),
    ),
    Demo(
        "corrugation.csv",
        "front damper on corrugations of 0.8 m at 60 km/h; the sensor warmed up",
        "corrugation",
        "front",
        500,
        clock="time [s]",
        positive="rebound",
        drift=6.0,
    ),
    Demo(
        "street.csv",
        "rear wheel on a street with a hump and a pothole at 40 km/h",
        "street",
        "rear",
        200,
        heading="wheel travel [mm]",
        facts={"motion ratio": "0,90"},
        semicolons=True,
    ),
)


def _street() -> road.Road:
    """Return a worn street at 40 km/h with a hump after 4 s and a pothole after 8 s."""
    speed, x = 40 / 3.6, 0.01 * np.arange(14000)
    rough = road.iso8608("B", speed, 12.0, seed=4, radius=0)
    z = np.interp(x, speed * rough.time, rough.height)
    hump = 0.075 * np.sin(np.pi * np.clip((x - 4 * speed) / 3.7, 0, 1)) ** 2
    hole = np.where((x > 8 * speed) & (x < 8 * speed + 0.8), -0.06, 0.0)
    return road.drive("street", x, z + hump + hole, speed, 12.0)


def truth(item: Demo):
    """Return time, s, shaft travel, m, and shaft speed, m/s, free of noise, at the log's rate."""
    corner = demo.vehicle().corner(item.axle)
    run = simulate(corner, demo.hydraulic(item.axle), SETTING, ROADS[item.road]())
    every, ratio = round(1000 / item.rate), corner.damper_motion_ratio
    return run.road.time[::every], ratio * run.travel[::every], ratio * run.travel_rate[::every]


def readings(item: Demo, rng: np.random.Generator):
    """Return the kept times, s, and what the sensor shows, mm, with its faults."""
    time, shaft, _ = truth(item)
    ratio = demo.vehicle().corner(item.axle).damper_motion_ratio
    shown = 1e3 * shaft / (ratio if "wheel" in item.heading else 1.0)
    shown = shown + NOISE * rng.standard_normal(len(time)) + item.drift * time / time[-1]
    for at, height in item.spikes:
        shown[np.searchsorted(time, at - 1e-9)] += height
    kept = np.ones(len(time), bool)
    for start, end in item.missing:
        kept &= ~((time > start + 1e-9) & (time < end - 1e-9))
    return time[kept], (shown if item.positive == "bump" else -shown)[kept]


def write(item: Demo, folder: Path, rng: np.random.Generator) -> Path:
    """Write one log and return its path."""
    time, shown = readings(item, rng)
    place = "wheel" if "wheel" in item.heading else "damper"
    facts = {
        "title": f"Travel log: {item.title} (INVENTED DATA, no vehicle was driven)",
        "sensor place": f"{item.axle} left {place}",
        "positive": item.positive,
        **item.facts,
    }
    clock = "{:.0f}" if "ms" in item.clock else "{:.3f}"
    scale = 1e3 if "ms" in item.clock else 1.0
    rows = [(clock.format(scale * t), f"{x:.2f}") for t, x in zip(time, shown, strict=True)]
    head = (item.clock, item.heading)
    if item.semicolons:
        head, rows = head[::-1], [tuple(c.replace(".", ",") for c in row[::-1]) for row in rows]
    mark = ";" if item.semicolons else ","
    lines = [f"# {key}: {value}" for key, value in facts.items()]
    lines += [mark.join(row) for row in (head, *rows)]
    path = folder / item.file
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    return path


def generate(folder: Path) -> list[Path]:
    """Write all logs into a folder, each from its own seed, and return their paths."""
    return [write(item, folder, np.random.default_rng(SEED + i)) for i, item in enumerate(DEMOS)]


if __name__ == "__main__":
    home = Path(__file__).parent / "travel"
    home.mkdir(exist_ok=True)
    generate(home)
