"""Time the quarter car: from the project's root, python -m tests.benchmarks [--json FILE].

Prints a table and, if asked, writes the same figures as JSON. Everything runs on one thread, so
that ratios compare like with like.
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

from tests.benchmarks import quarter_car  # noqa: E402


def measure(seconds: float, settings: int) -> dict:
    """Return all figures."""
    figures = {
        "machine": {
            "python": platform.python_version(),
            "numpy": np.__version__,
            "scipy": scipy.__version__,
            "processors": os.cpu_count(),
        },
        "seconds of road": seconds,
        "settings": settings,
        "memory at the start, MB": quarter_car.peak_memory(),
    }
    # Growth comes first, small to large, because the greatest memory held never falls.
    figures["growth with settings"] = [
        _growth(seconds, max(1, settings // share)) for share in (8, 4, 2)
    ]
    case = quarter_car.make_case(seconds, settings)
    figures["all settings"] = quarter_car.many(case)
    figures["memory after all settings, MB"] = quarter_car.peak_memory()
    figures["growth with road"] = [
        _growth(seconds * share, max(1, settings // 8)) for share in (0.5, 1.0, 2.0)
    ]
    figures["one run"] = quarter_car.single(case)
    figures["compiled march_one"] = quarter_car.compiled(case)
    figures["solve_ivp"] = quarter_car.adaptive(case)
    return figures


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
    return lines + _growth_lines(figures)


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
    start, end = figures["memory at the start, MB"], figures["memory after all settings, MB"]
    if start and end:
        lines.append(f"memory: {start:.0f} MB before, {end:.0f} MB after all settings")
    return lines


def main() -> int:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--json", type=Path, help="also write the figures to this file")
    parser.add_argument("--seconds", type=float, default=10.0, help="length of the road")
    parser.add_argument("--settings", type=int, default=1000, help="how many settings")
    options = parser.parse_args()
    figures = measure(options.seconds, options.settings)
    sys.stdout.write("\n".join(table(figures)) + "\n")
    if options.json:
        options.json.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
