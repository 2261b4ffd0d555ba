"""How long a quarter car takes, part by part, beside an adaptive solver and compiled code.

Nothing here is a test: times belong to a machine. What can be compared is ratios within one run.
Times are processor time of the one thread that works, so that other work on the machine counts
for little.
"""

import random
import sys
import time
from contextlib import ExitStack
from dataclasses import dataclass, replace
from itertools import cycle, islice, product
from unittest.mock import patch

import numpy as np
from scipy.integrate import solve_ivp

from dampinglab.physics import corner, hydraulic, march, measures, road, sweep, vehicle
from dampinglab.units import G
from dampinglab.workshop import demo

__all__ = ["Case", "adaptive", "compiled", "make_case", "many", "peak_memory", "single"]

_CLICKS = 20  # of each of three adjusters: 9,261 settings
_PARTS = (
    ("prepare", sweep, "prepare"),
    ("prepare", corner, "force_tables"),
    ("march", corner, "march_many"),
    ("score", sweep, "scores"),
)


@dataclass(frozen=True)
class Case:
    """One corner, damper and road, and as many settings as are asked for."""

    body: vehicle.Corner
    damper: hydraulic.ValveDamper
    settings: tuple
    road: road.Road


def make_case(seconds: float, settings: int, track: road.Road | None = None) -> Case:
    """Return the demo wagon's front corner on a class D road with so many settings, shuffled."""
    knobs = tuple(replace(knob, clicks=_CLICKS) for knob in hydraulic.THREE_KNOBS)
    valves = replace(demo.hydraulic("front"), knobs=knobs)
    every = list(product(range(_CLICKS + 1), repeat=3))
    random.Random(1).shuffle(every)
    chosen = tuple(islice(cycle(every), settings))
    under = track or road.iso8608("D", 60 / 3.6, seconds, seed=1)
    return Case(demo.vehicle().corner("front"), valves, chosen, under)


def _timed(call, repeats: int):
    """Return the least time of several calls, s, and the last result."""
    best, result = np.inf, None
    for _ in range(repeats):
        start = time.process_time()
        result = call()
        best = min(best, time.process_time() - start)
    return best, result


def _arguments(case: Case, setting, made, *, arrays: bool):
    """Return what `march_one` takes, as plain lists or as arrays and tuples for a compiler."""
    speed, table = corner.force_table(case.body, case.damper, setting)
    shape = (lambda a: np.ascontiguousarray(a)) if arrays else (lambda a: a.tolist())
    count = len(made.ground)
    out = tuple(np.zeros(count) for _ in range(6)) if arrays else [[0.0] * count for _ in range(6)]
    rows = made.road.T
    return (
        tuple(made.phi.ravel().tolist()),
        *(tuple(g.ravel().tolist()) for g in (made.f1, made.f2, made.t1, made.t2)),
        tuple(made.tyre[0, 2:].tolist()),
        tuple(corner.stops_of(case.body)),
        tuple(shape(row) for row in rows),
        shape(made.ground[:, 0]),
        shape(table),
        float(speed[0]),
        float((len(speed) - 1) / (speed[-1] - speed[0])),
        out,
    )


def single(case: Case, repeats: int = 5) -> dict[str, float]:
    """Return the times of one run, s: road, coefficients, table, loop, the run whole, scores."""
    setting = case.settings[len(case.settings) // 2]
    prepare, made = _timed(lambda: corner.prepare(case.body, case.road), repeats)
    table, _ = _timed(lambda: corner.force_table(case.body, case.damper, setting), repeats)
    arguments = _arguments(case, setting, made, arrays=False)
    loop, _ = _timed(lambda: march.march_one(*arguments), repeats)
    whole, run = _timed(
        lambda: corner.run_table(made, case.body, case.road, case.damper, setting), repeats
    )
    score, _ = _timed(lambda: measures.scores(run), repeats)
    everything = prepare + whole + score
    return {
        "prepare": prepare,
        "table": table,
        "march": loop,
        "run": whole,
        "score": score,
        "everything": everything,
    }


def many(case: Case) -> dict[str, float]:
    """Return the times of one sweep of all settings, s: coefficients and tables, loop, scores.

    What is left of everything is forces and flags worked out from the states.
    """
    spent = dict.fromkeys(("prepare", "march", "score"), 0.0)
    with ExitStack() as watch:
        for part, module, name in _PARTS:
            watch.enter_context(patch.object(module, name, _watched(spent, part, module, name)))
        begin = time.process_time()
        sweep.sweep(case.body, case.damper, case.settings, case.road)
        spent["everything"] = time.process_time() - begin
    return spent


def _watched(spent: dict[str, float], part: str, module, name: str):
    """Return a function that adds what it takes to a part's time."""
    real = getattr(module, name)

    def call(*words, **named):
        start = time.process_time()
        result = real(*words, **named)
        spent[part] += time.process_time() - start
        return result

    return call


def compiled(case: Case) -> dict[str, float] | None:
    """Return times of the very same `march_one` compiled, s, or None without a compiler."""
    try:
        import numba
    except ImportError:
        return None
    fast, made = numba.njit(march.march_one), corner.prepare(case.body, case.road)
    setting = case.settings[len(case.settings) // 2]
    arguments = _arguments(case, setting, made, arrays=True)
    first, _ = _timed(lambda: fast(*arguments), 1)
    loop, _ = _timed(lambda: fast(*arguments), 20)
    every, _ = _timed(lambda: [fast(*arguments) for _ in case.settings], 1)
    plain = _arguments(case, setting, made, arrays=False)
    march.march_one(*plain)
    pairs = zip(plain[-1], arguments[-1], strict=True)
    apart = max(np.abs(np.subtract(a, b)).max() for a, b in pairs)
    return {"compile": first, "march": loop, "all settings": every, "largest difference": apart}


def adaptive(case: Case) -> dict[str, float]:
    """Return the time of scipy's adaptive solver on the same run, s, and how far apart they are."""
    setting = case.settings[len(case.settings) // 2]
    body, track = case.body, case.road
    speed, table = corner.force_table(body, case.damper, setting)
    stops, linear = corner.stops_of(body), 0.3 * body.critical_damping
    weight = (body.sprung_mass + body.unsprung_mass) * G

    def slope(t, x):
        travel, rate = x[2] - x[0], x[3] - x[1]
        force = body.wheel_rate * travel + linear * rate + np.interp(rate, speed, table)
        force += march.stop_forces(travel, rate, [np.array([s]) for s in stops])
        force += march.stage_forces(travel, stops)
        height = np.interp(t, track.time, track.height) - x[2]
        climb = np.interp(t, track.time, track.velocity) - x[3]
        tyre = max(-weight, body.tyre_rate * height + body.tyre_damping * climb)
        force = float(np.squeeze(force))
        return x[1], force / body.sprung_mass, x[3], (tyre - force) / body.unsprung_mass

    took, solved = _timed(
        lambda: solve_ivp(
            slope, (0, track.time[-1]), np.zeros(4), t_eval=track.time, rtol=1e-5, atol=1e-8
        ),
        1,
    )
    run = corner.simulate(body, case.damper, setting, track)
    apart = np.abs(run.body - solved.y[0]).max() / np.abs(solved.y[0]).max()
    return {"run": took, "relative difference": float(apart), "calls": int(solved.nfev)}


def peak_memory() -> float | None:
    """Return the greatest memory that this process has held, MB, or None where unknown."""
    try:
        import resource
    except ImportError:
        return None
    unit = 1.0 if sys.platform == "darwin" else 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6
