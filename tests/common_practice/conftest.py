"""The demo wagon on events that show the trade's rules best, every adjuster over its range."""

from functools import cache

import numpy as np
import pytest

from dampinglab.physics import road
from dampinglab.physics.corner import simulate_many
from dampinglab.physics.measures import scores
from dampinglab.workshop import demo

NAMES = ("low-speed bump", "high-speed bump", "rebound")
MIDDLE = (9, 5, 12)
# From open to closed: the words of the rules turn an adjuster in.
STEPS = {
    "low-speed bump": (18, 14, 9, 4, 0),
    "high-speed bump": (10, 8, 5, 2, 0),
    "rebound": (24, 18, 12, 6, 0),
}
CORNERS = {"front": ("front",), "rear empty": ("rear",), "rear loaded": ("rear", "touring")}
_START = 1.0  # s, at which every single event begins


def _shaped(shape, length, speed, duration, name):
    """Return a road that follows `shape`, of the distance since the event begins."""
    x = 0.01 * np.arange(int((speed * duration + length) / 0.01) + 200)
    return road.drive(name, x, shape(x - speed * _START), speed, duration)


def _dip(depth, length, speed):
    def shape(x):
        inside = (x >= 0) & (x <= length)
        return np.where(inside, -depth / 2 * (1 - np.cos(2 * np.pi * x / length)), 0.0)

    return _shaped(shape, length, speed, 4.0, "dip")


def _ridges(height, length, apart, count, speed):
    def shape(x):
        place = np.mod(x, apart)
        inside = (x >= 0) & (x < count * apart) & (place <= length)
        return np.where(inside, height / 2 * (1 - np.cos(2 * np.pi * place / length)), 0.0)

    return _shaped(shape, count * apart, speed, 5.0, "ridges")


def _kmh(speed):
    return speed / 3.6


ROADS = {
    "dip": lambda: _dip(0.12, 6.0, _kmh(50)),
    "rough track": lambda: road.iso8608("D", _kmh(60), 12.0, seed=1),
    "good highway": lambda: road.iso8608("A", _kmh(100), 12.0, seed=1),
    "highway": lambda: road.iso8608("B", _kmh(100), 12.0, seed=1),
    "two waves": lambda: road.long_waves(0.06, 25.0, _kmh(90), 6.0, count=2),
    "three waves": lambda: road.long_waves(0.08, 18.0, _kmh(80), 6.0, count=3),
    "small ridge": lambda: road.ridge(0.008, 0.2, _kmh(30), 3.0),
    "ridge": lambda: road.ridge(0.05, 0.5, _kmh(60), 3.0),
    "ridge at 40": lambda: road.ridge(0.05, 0.5, _kmh(40), 3.0),
    "large ridge": lambda: road.ridge(0.10, 1.0, _kmh(40), 3.0),
    "hump": lambda: road.hump(0.10, 3.7, _kmh(40), 5.0),
    "corrugation": lambda: road.corrugation(0.02, 0.9, _kmh(60), 8.0),
    "pothole": lambda: road.pothole(0.06, 0.8, _kmh(40), 4.0),
    "eight ridges": lambda: _ridges(0.06, 0.8, 2.2, 8, _kmh(40)),
}


@cache
def _road(name):
    return ROADS[name]()


@cache
def _run(name, corner, adjuster):
    """Run one adjuster from open to closed, the others at the middle."""
    place = NAMES.index(adjuster)
    turned = [(*MIDDLE[:place], n, *MIDDLE[place + 1 :]) for n in STEPS[adjuster]]
    where = CORNERS[corner]
    return simulate_many(
        demo.vehicle().corner(*where), demo.hydraulic(where[0]), turned, _road(name)
    )


def _after(run, length, speed):
    return run.road.time > _START + length / _kmh(speed)


def _packed(run):
    """Return bump travel on the last of eight ridges less that on the first, mm."""
    time = run.road.time
    begin = [_START + k * 2.2 / _kmh(40) for k in (0, 7)]
    peaks = [run.travel[(time >= t) & (time < t + 2.2 / _kmh(40))].max(axis=0) for t in begin]
    return 1e3 * (peaks[1] - peaks[0])


def _hole_load(run):
    """Return the tyre's mean load while the wheel is over the hole, per cent of static."""
    over = (run.road.time >= _START) & (run.road.time <= _START + 0.8 / _kmh(40))
    return 100 * run.tyre_force[over].mean(axis=0) / run.tyre_force[0]


def _sunk(run):
    """Return how much lower than at rest the body rides on average, mm; after 2 s."""
    return -1e3 * run.body[run.road.time > 2].mean(axis=0)


MEASURES = {
    "stop energy, J": lambda run: scores(run).stop_energy,
    "bump travel, mm": lambda run: 1e3 * scores(run).bump_travel,
    "body motion, mm": lambda run: 1e3 * scores(run).body_motion,
    "peak upward, m/s2": lambda run: scores(run).peak_upward,
    "Wk r.m.s., m/s2": lambda run: scores(run).weighted,
    "tyre variation, %": lambda run: 100 * scores(run).tyre_variation,
    "rise after the hump, mm": lambda run: 1e3 * run.body[_after(run, 3.7, 40)].max(axis=0),
    "rise after three waves, mm": lambda run: 1e3 * run.body[_after(run, 54, 80)].max(axis=0),
    "overshoot after two waves, mm": lambda run: 1e3 * run.body[_after(run, 50, 90)].max(axis=0),
    "tyre load in the hole, %": _hole_load,
    "body drop, mm": lambda run: -1e3 * run.body.min(axis=0),
    "sinking, mm": _sunk,
    "packing, mm": _packed,
}


@pytest.fixture(scope="session")
def turned():
    """Return a maker of one measure on one road, as one adjuster goes from open to closed."""

    def make(corner, road_name, adjuster, measure):
        return np.asarray(MEASURES[measure](_run(road_name, corner, adjuster)))

    return make
