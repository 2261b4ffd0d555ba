"""Time the quarter car: from the project's root, python -m tests.benchmarks [--json FILE].

Prints a table and, if asked, writes the same figures as JSON. Everything runs on one thread, so
that ratios compare like with like; with --long one sweep more, shared by two processes. Sliders
have a command of their own, for they need a browser: python -m tests.benchmarks.sliders.
"""

import argparse
import json
import os
import platform
import sys
from pathlib import Path

# Before numpy is loaded: its matrix products must not take a second thread that others lack.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[_name] = "1"

import numpy as np  # noqa: E402
import scipy  # noqa: E402

from tests.benchmarks import quarter_car, two_processes, whole_vehicle  # noqa: E402

COUNTS = (10, 100, 1000, 10_000)  # settings
LENGTHS = (2.5, 5.0, 10.0, 20.0, 40.0)  # s of road


def measure(seconds: float, settings: int, *, growth: bool = True, long: bool = False) -> dict:
    """Return all figures."""
    figures = {
        "machine": {
            "python": platform.python_version(),
            "numpy": np.__version__,
            "scipy": scipy.__version__,
            "processors": os.cpu_count(),
            "load": _load(),
        },
        "seconds of road": seconds,
        "settings": settings,
        "memory at the start, MB": quarter_car.peak_memory(),
    }
    case = quarter_car.make_case(seconds, settings)
    figures["one run"] = quarter_car.single(case)
    # Growth goes from small to large, because the greatest memory held never falls.
    figures["growth with settings"] = [_growth(seconds, n) for n in COUNTS if growth]
    figures["growth with road"] = [_growth(length, settings // 4) for length in LENGTHS if growth]
    figures["all settings"] = quarter_car.many(case)
    figures["compiled march_one"] = quarter_car.compiled(case)
    figures["solve_ivp"] = quarter_car.adaptive(case)
    figures["whole vehicle"] = whole_vehicle.events()
    figures["two processes"] = two_processes.sweeps() if long else None
    figures["machine"]["load at the end"] = _load()
    return figures


def _load() -> float | None:
    return os.getloadavg()[0] if hasattr(os, "getloadavg") else None


def _growth(seconds: float, settings: int) -> dict:
    spent = quarter_car.many(quarter_car.make_case(seconds, settings))
    return {
        "seconds": seconds,
        "settings": settings,
        "everything": spent["everything"],
        "peak MB": quarter_car.peak_memory(),
    }


def table(figures: dict) -> list[str]:
    """Return the lines of the printed table."""
    one, every = figures["one run"], figures["all settings"]
    lines = [
        f"quarter car, {figures['seconds of road']:g} s of road at 1 kHz, one thread",
        f"{'':34}{'prepare':>10}{'march':>10}{'score':>10}{'all':>10}  ms",
        _row("one setting, plain Python", one["prepare"] + one["table"], one),
        _row(f"{figures['settings']} settings, numpy", every["prepare"], every),
        f"{'one setting through run_table':34}{'':10}{1e3 * one['run']:10.1f}",
    ]
    solver, fast = figures["solve_ivp"], figures["compiled march_one"]
    lines.append(f"{'one setting, scipy solve_ivp RK45':34}{'':10}{1e3 * solver['run']:10.1f}")
    lines.append(
        f"    march_one is {solver['run'] / one['march']:.0f} times faster; body heights differ by "
        f"{100 * solver['relative difference']:.2f} % at most (the solver's tolerance is 1e-5)"
    )
    if fast is None:
        lines.append("the same march_one compiled: numba is not installed")
    else:
        lines += _compiled_lines(figures, one, every, fast)
    lines += _vehicle_lines(figures["whole vehicle"])
    if figures["growth with settings"]:
        lines += _growth_lines(figures)
    if long := figures["two processes"]:
        lines.append(
            f"{long['settings']} settings on {long['roads']} roads of {long['seconds']:g} s, two "
            f"processes: {long['wall']:.1f} s by the clock, {long['work']:.1f} s of work"
        )
    machine = figures["machine"]
    lines.append(
        f"{machine['processors']} processors, load {machine['load']} to "
        f"{machine['load at the end']}, Python {machine['python']}, numpy {machine['numpy']}"
    )
    return lines


def _vehicle_lines(events: list[dict]) -> list[str]:
    return [
        _row(f"vehicle, 4 s, step {1e3 * event['step']:g} ms", event["prepare"], event)
        for event in events
    ]


def _row(name: str, prepare: float, spent: dict) -> str:
    parts = (prepare, spent["march"], spent["score"], spent["everything"])
    return f"{name:34}" + "".join(f"{1e3 * part:10.1f}" for part in parts)


def _compiled_lines(figures: dict, one: dict, every: dict, fast: dict) -> list[str]:
    return [
        f"{'same march_one compiled by numba':34}{'':10}{1e3 * fast['march']:10.2f}",
        f"    {one['march'] / fast['march']:.0f} times faster than plain Python, after "
        f"{fast['compile']:.1f} s of compiling; they differ by {fast['largest difference']:.1e}",
        f"{figures['settings']:>4} times{'':25}{'':10}{1e3 * fast['all settings']:9.1f}"
        f"    march_many takes {every['march'] / fast['all settings']:.1f} times as long",
    ]


def _growth_lines(figures: dict) -> list[str]:
    lines = ["growth: settings, seconds of road, ms, ms a setting and second, peak MB"]
    for row in [*figures["growth with settings"], *figures["growth with road"]]:
        each = 1e3 * row["everything"] / row["settings"] / row["seconds"]
        lines.append(
            f"{row['settings']:>12}{row['seconds']:10.1f}{1e3 * row['everything']:10.0f}"
            f"{each:10.3f}{row['peak MB'] or float('nan'):10.0f}"
        )
    return lines


def main() -> int:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--json", type=Path, help="also write the figures to this file")
    parser.add_argument("--seconds", type=float, default=10.0, help="length of the road")
    parser.add_argument("--settings", type=int, default=1000, help="how many settings")
    parser.add_argument("--quick", action="store_true", help="leave growth out")
    parser.add_argument("--long", action="store_true", help="9,261 settings on three roads too")
    options = parser.parse_args()
    figures = measure(
        options.seconds, options.settings, growth=not options.quick, long=options.long
    )
    sys.stdout.write("\n".join(table(figures)) + "\n")
    if options.json:
        options.json.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
