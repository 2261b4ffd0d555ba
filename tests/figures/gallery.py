"""Every picture of the course, drawn from results that stand apart from what was before."""

import functools
from collections.abc import Callable
from dataclasses import replace
from unittest.mock import patch

import numpy as np
from matplotlib.figure import Figure

from dampinglab import panels
from dampinglab.course.handover_words import ROWS
from dampinglab.data import dataset
from dampinglab.figures import (
    baseline,
    classroom,
    complaint,
    compromise,
    evidence,
    handover,
    loop,
)
from dampinglab.figures.look import Size, drawn
from dampinglab.panels.live import LivePicture
from dampinglab.workshop import demo
from dampinglab.workshop.baseline import baseline as first_setting
from dampinglab.workshop.evidence import RULES
from dampinglab.workshop.evidence import evidence as computed
from dampinglab.workshop.loop import read_loop
from tests.figures import test_complaint, test_compromise

__all__ = ["PICTURES"]

# What is moved on a panel, one state after the other: a control by name, or a list by its place.
MOVES = {
    "stand": ({"clicks": 0}, {"clicks": 40, "speed": 0.3}),
    "sag": ({"mass": 420}, {"mass": 600}, {"mass": 260}),
    "settle": (
        {"damping": 700, "ask": True},
        {"first": 0.0, "later": 0.7},
        {"first": 0.66, "later": 0.7},
        {"first": 0.3, "later": 5.9},
    ),
    "bounce": ({"ask": True}, {"first": 2.0, "later": 2.1}),
    "curve": ({"rebound": 0}, {"place": 1, "speed": 0.4}),
    "press": ({"A": 0}, {"way": 1}),
    "zones": ({"split": 0.3}, {"split": 1.0}, {"split": 0.02}),
    "corner": ({"rebound": 0}, {"track": 4}, {"track": 7}),
    "response": (
        {"ratio": 0.5, "mass": 380},
        {"choice": 1},
        {"choice": 2},
        {"choice": 0, "ratio": 0.05},
        {"ratio": 1.2, "tyre": 400},
    ),
    "lean": (
        {("front", "rebound"): 24},
        {"event": 1, ("front", "rebound"): 0},
        {"event": 2},
        {"event": 3},
    ),
    "load": ({"mass": 300}, {"mass": 700, "ball": 100}, {"mass": 0, "ball": 0, "lift": 60}),
    "sinking": ({("front", "rebound"): 2}, {("front", "rebound"): 20, "depth": 30}),
}


@functools.cache
def _seen(name: str) -> tuple:
    """Return a panel's figure and its results, now and before, after each of its moves."""
    told = []
    with patch.object(LivePicture, "show"):  # results are wanted here, not what a page shows
        panel = getattr(panels, f"{name}_panel")()
        for moves in MOVES[name]:
            for what, value in moves.items():
                _move(panel, what, value)
            told.append((panel.now, panel.measure(panel.recall())))
    return panel.figure, told


def _move(panel, what, value) -> None:
    """Turn a control to the nearest it offers, or choose from a list, or press a switch."""
    if control := panel.controls.get(what):
        offered = getattr(control.slider, "options", (value,))
        control.take(min(offered, key=lambda n: abs(n - value)))
    elif hasattr(getattr(panel, what), "options"):
        getattr(panel, what).index = value
    else:
        getattr(panel, what).value = value


def _of_panel(name: str, number: int, size: Size) -> Figure:
    figure, told = _seen(name)
    return drawn(figure, *told[number], size)


@functools.cache
def _computed() -> list:
    """Return a rule with an idle adjuster on three corners of the demo wagon."""
    vehicle = demo.vehicle()
    corners = (("front", None), ("rear", None), ("rear", vehicle.loads[0].name))
    pairs = zip(("front", "rear empty", "rear loaded"), corners, strict=True)
    return [
        (name, computed("R3 good road", vehicle.corner(axle, load), demo.hydraulic(axle)))
        for name, (axle, load) in pairs
    ]


def _rule(rule: str, size: Size) -> Figure:
    """Return a rule's picture; all but one take over the numbers of that one, which is computed."""
    shown = _computed()
    if rule != "R3 good road":
        turned = {"turned": replace(shown[0][1].turned, adjuster=RULES[rule].adjuster)}
        idle = {"control": shown[0][1].control if RULES[rule].control else None}
        shown = [(name, replace(e, rule=RULES[rule], **turned, **idle)) for name, e in shown]
    return evidence.draw(shown, size)


@functools.cache
def _start():
    dampers = {axle: demo.damper(axle) for axle in ("front", "rear")}
    return first_setting(demo.vehicle(), dampers)


def _handover(size: Size) -> Figure:
    """Return the job of a vehicle that was driven twice."""
    keys = [(axle, i) for axle in ("front", "rear") for i in range(len(ROWS))]
    far = np.random.default_rng(1).uniform(-0.5, 4, (2, len(keys)))
    drives = [
        handover.Standing(f"drive {n}", ROWS, dict(zip(keys, off, strict=True)))
        for n, off in enumerate(far, 1)
    ]
    return drawn(handover, *drives[::-1], size)


def _class(size: Size) -> Figure:
    states = np.random.default_rng(1).integers(0, 4, (6, 14))
    lessons = {"00": [f"0.{n}" for n in range(1, 8)], "01": [f"1.{n}" for n in range(1, 8)]}
    names = ["Anna", "Bo", "Chris with a long name", "Dora", "Emil", "Fay"]
    return classroom.draw(names, lessons, states, "Six learners, two lessons", size)


def _compromise(size: Size) -> Figure:
    now = test_compromise.NOW
    named = {**now.named, "before": 0}
    return drawn(compromise, replace(now, named=named), now, size)


def _pictures() -> dict[str, Callable[[Size], Figure]]:
    """Return how each picture is drawn, by name."""
    made = {
        f"{name} {i + 1}": functools.partial(_of_panel, name, i)
        for name, moves in MOVES.items()
        for i in range(len(moves))
    }
    longest = sorted(RULES, key=lambda rule: len(RULES[rule].words))[-4:]
    for rule in ("R3 good road", *longest):
        made[f"evidence {rule}"] = functools.partial(_rule, rule)
    made |= {
        "complaint": lambda size: complaint.draw(test_complaint.TOLD, size),
        "compromise": _compromise,
        "handover": _handover,
        "class": _class,
        "loop": lambda size: loop.picture(read_loop(dataset("stand/front_sine.csv")), size),
        "baseline": lambda size: baseline.draw_baseline(_start(), size=size),
    }
    return made


PICTURES = _pictures()
