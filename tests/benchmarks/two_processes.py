"""A sweep of every setting over three roads, shared by two processes."""

import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from dampinglab.physics import road
from dampinglab.physics.sweep import sweep
from tests.benchmarks.quarter_car import make_case

__all__ = ["sweeps"]

_SETTINGS, _SECONDS = 21**3, 10.0


def _roads() -> list[road.Road]:
    return [
        road.iso8608("B", 100 / 3.6, _SECONDS, seed=1),
        road.iso8608("D", 60 / 3.6, _SECONDS, seed=2),
        road.corrugation(0.02, 0.7, 60 / 3.6, _SECONDS),
    ]


def _half(share: int) -> float:
    """Sweep every other setting over each road; return the work that it took, s."""
    start = time.process_time()
    for track in _roads():
        case = make_case(_SECONDS, _SETTINGS, track)
        sweep(case.body, case.damper, case.settings[share::2], case.road)
    return time.process_time() - start


def sweeps() -> dict[str, float]:
    """Return how long both took by the clock, and their work."""
    start = time.perf_counter()
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        work = sum(pool.map(_half, range(2)))
    return {
        "settings": _SETTINGS,
        "roads": len(_roads()),
        "seconds": _SECONDS,
        "wall": time.perf_counter() - start,
        "work": work,
    }
