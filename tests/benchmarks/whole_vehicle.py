"""How long the whole vehicle takes over an event of 4 s, as a panel drives it."""

import time
from itertools import pairwise

from dampinglab.physics import car_run
from dampinglab.physics.car import car_of
from dampinglab.physics.drive import over
from dampinglab.physics.lean import car_scores
from dampinglab.physics.road import hump
from dampinglab.workshop import demo

__all__ = ["events"]

_PACE = 30 / 3.6  # m/s


def events(repeats: int = 3) -> list[dict[str, float]]:
    """Return the least times, s, of a drive over a hump at steps of 1 and 2 ms."""
    return [min((_once(dt) for _ in range(repeats)), key=_whole) for dt in (1e-3, 2e-3)]


def _whole(spent: dict[str, float]) -> float:
    return spent["everything"]


def _once(dt: float) -> dict[str, float]:
    car, axles = car_of(demo.vehicle()), ("front", "rear")
    dampers = {axle: demo.hydraulic(axle) for axle in axles}
    settings = {axle: tuple(a.clicks // 2 for a in dampers[axle].adjusters) for axle in axles}
    inputs = over(hump(0.1, 3.7, _PACE, 4.0, dt=dt), car, _PACE)
    marks = [time.process_time()]
    made = car_run.prepare_car(car, inputs)
    marks.append(time.process_time())
    run = car_run.drive_car(car, dampers, settings, inputs, made=made)
    marks.append(time.process_time())
    car_scores(run)
    marks.append(time.process_time())
    parts = [b - a for a, b in pairwise(marks)]
    return {
        "step": dt,
        **dict(zip(("prepare", "march", "score"), parts, strict=True)),
        "everything": sum(parts),
    }
