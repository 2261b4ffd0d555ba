"""Make the invented dyno tables of the demo workshop again: `python datasets/generate_dyno.py`.

No damper that exists was measured. The valves of three invented dampers are put through the
speeds of a dyno test, with stated noise and a fixed seed.
"""

import csv
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from dampinglab.physics.hydraulic import THREE_KNOBS, Knob
from dampinglab.workshop import demo

SEED = 20261
SPEEDS = (0.02, 0.05, 0.08, 0.13, 0.20, 0.30, 0.50, 0.75, 1.00, 1.50)  # m/s
NOISE_SHARE, NOISE_FLOOR = 0.008, 3.0  # of force, and N: one standard deviation

QUARTERS = (0.0, 0.25, 0.5, 0.75, 1.0)


TWO_KNOBS = (Knob("bump", 12, ("low",)), Knob("rebound", 20, ("rebound",)))
ONE_KNOB = (Knob("rebound", 16, ("rebound",)),)


@dataclass(frozen=True)
class Test:
    """One table to write: which damper on which axle."""

    file: str
    title: str
    dampers: dict  # axle -> ValveDamper

    @property
    def knobs(self) -> tuple[Knob, ...]:
        """What the owner can turn, the same on both axles."""
        return self.dampers["front"].knobs


def both(knobs: tuple[Knob, ...]) -> dict:
    """Return front and rear dampers with these knobs."""
    return {axle: replace(demo.hydraulic(axle), knobs=knobs) for axle in ("front", "rear")}


TESTS = (
    Test(
        "wagon_three_adjuster.csv",
        "Demo wagon, three-adjuster dampers, front and rear",
        both(THREE_KNOBS),
    ),
    Test(
        "utility_two_adjuster.csv",
        "Demo utility, two-adjuster dampers, front and rear",
        both(TWO_KNOBS),
    ),
    Test(
        "wagon_rebound_only.csv",
        "Demo wagon, rebound-only dampers, front and rear",
        both(ONE_KNOB),
    ),
)


def settings(test: Test) -> list[tuple[int, ...]]:
    """Return the clicks out that are measured: each adjuster swept, the others at the middle."""
    tops = [knob.clicks for knob in test.knobs]
    middle = [clicks // 2 for clicks in tops]
    swept = {tuple(middle)}
    for i, top in enumerate(tops):
        for share in QUARTERS:
            swept.add((*middle[:i], round(share * top), *middle[i + 1 :]))
    return sorted(swept)


def rows(test: Test, rng: np.random.Generator):
    """Yield the table's rows: axle, clicks, speed in mm/s, force in N."""
    for axle, damper in test.dampers.items():
        for clicks in settings(test):
            for speed in (*(-v for v in reversed(SPEEDS)), *SPEEDS):
                force = damper.valve_force(speed, clicks)
                force = float(force + damper.friction(speed))
                noise = rng.normal() * (NOISE_SHARE * abs(force) + NOISE_FLOOR)
                yield axle, *clicks, round(1e3 * speed), round(force + noise)


def facts(test: Test) -> dict[str, str]:
    """Return what stands above the table."""
    return {
        "title": f"{test.title} (INVENTED DATA, no product was measured)",
        "test": "steady speed, peak of each stroke",
        "gas force": "removed",
        "friction": "included",
        "oil temperature": "40 °C",
        "rebound sign": "negative",
        "clicks counted from": "closed",
        "adjusters": ", ".join(f"{knob.name} {knob.clicks}" for knob in test.knobs),
    }


def write(test: Test, folder: Path, rng: np.random.Generator) -> Path:
    """Write one table and return its path."""
    path = folder / test.file
    with path.open("w", newline="", encoding="utf-8") as file:
        file.writelines(f"# {key}: {value}\n" for key, value in facts(test).items())
        table = csv.writer(file, lineterminator="\n")
        clicks = [f"{knob.name} [clicks]" for knob in test.knobs]
        table.writerow(["axle", *clicks, "shaft speed [mm/s]", "force [N]"])
        table.writerows(rows(test, rng))
    return path


def generate(folder: Path) -> list[Path]:
    """Write all tables into a folder, each from its own seed, and return their paths."""
    return [write(test, folder, np.random.default_rng(SEED + i)) for i, test in enumerate(TESTS)]


if __name__ == "__main__":
    generate(Path(__file__).parent / "dyno")
