"""Make the invented force-travel record again: `python datasets/generate_loop.py`.

No damper that exists was measured. The demo wagon's front valves, at a stated setting, are driven
by a sine on a stand that leaves the gas in; force and travel sensors have stated noise and seed.
"""

from pathlib import Path

import numpy as np

from dampinglab.workshop import demo

SEED = 20291
SETTING = (9, 5, 12)  # clicks out from closed: low-speed bump, high-speed bump, rebound
AMPLITUDE, FREQUENCY, STROKES, RATE = 0.025, 3.0, 3, 1000  # m, Hz, count, readings a second
NOISE = 8.0, 0.01  # N and mm, one standard deviation
FACTS = {
    "title": "Front damper on a sine stand (INVENTED DATA, no product was measured)",
    "axle": "front",
    "test": "sine of 25 mm either way at 3 Hz",
    "gas force": "included",
    "friction": "included",
    "oil temperature": "40 °C",
    "rebound sign": "negative",
}


def readings(rng: np.random.Generator):
    """Return time, s, travel, mm, and force, N, as the stand writes them."""
    damper = demo.hydraulic("front")
    time = np.arange(round(STROKES * RATE / FREQUENCY)) / RATE
    angle = 2 * np.pi * FREQUENCY * time
    travel, speed = AMPLITUDE * np.sin(angle), AMPLITUDE * 2 * np.pi * FREQUENCY * np.cos(angle)
    force = damper.valve_force(speed, SETTING) + damper.friction(speed) + damper.gas_force(travel)
    shown = 1e3 * travel + NOISE[1] * rng.standard_normal(time.size)
    return time, shown, force + NOISE[0] * rng.standard_normal(time.size)


def generate(folder: Path) -> list[Path]:
    """Write the record into a folder and return its path."""
    path = folder / "front_sine.csv"
    rows = zip(*readings(np.random.default_rng(SEED)), strict=True)
    lines = [f"# {key}: {words}" for key, words in FACTS.items()]
    lines += ["time [s],travel [mm],force [N]"]
    lines += [f"{t:.3f},{x:.2f},{force:.0f}" for t, x, force in rows]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    return [path]


if __name__ == "__main__":
    generate(Path(__file__).parent / "stand")
