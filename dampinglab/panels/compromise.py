"""Lesson 10: every setting over a mix of roads and loads, and the choice by what counts."""

import html
import os
import time
from collections.abc import Iterator

import ipywidgets as widgets
import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.figures import compromise as figure
from dampinglab.panels.controls import Panel, listed, row
from dampinglab.panels.working import WORKING, Work
from dampinglab.physics.damper import Setting
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop import demo
from dampinglab.workshop.compromise import (
    GOALS,
    PRIORITIES,
    Choice,
    Question,
    Spread,
    choose,
    mean_scores,
    question,
)
from dampinglab.workshop.front import non_dominated
from dampinglab.workshop.mix import AS_WEIGHED, MIXES, conditions
from dampinglab.workshop.search import (
    approach,
    contenders,
    first_look,
    other_stretches,
    spread,
)
from dampinglab.workshop.tried import Progress, Tried, click_space, slices, try_settings

__all__ = ["CompromisePanel", "compromise_panel"]

_BOTH = "every load, alike"
_AGAINST = {"body movement": "body_motion", "energy into the bump stop": "stop_energy"}
_PROCESSES = min(2, os.cpu_count() or 1)
_CHUNK = 400  # settings of a slice next door: soonest done, some 360 MB each process
_REST = 1.5  # s between two pictures of a search that goes on
_shown: list = []  # the last panel: a cell that is run again leaves its search behind
_COMPARE = "A model's numbers: compare settings with them."


class CompromisePanel(Panel):
    """Choose axle, load, roads and what counts; a coarse answer first, every setting by button."""

    def __init__(self, vehicle: Vehicle, dampers: dict, note: str) -> None:
        self.vehicle, self.dampers = vehicle, dampers
        self.kept: dict[tuple, Tried] = {}
        self.chance: dict[tuple, Spread] = {}
        self.shown = 0.0
        self.choices = _choices(list(dampers), [case.name for case in vehicle.loads])
        self.every = widgets.Button(
            description="Try every setting",
            tooltip="Half a minute, or some minutes on a busy computer",
        )
        self.work = Work(self._seen, self.say)
        self.told = widgets.HTML()
        super().__init__("The compromise", {}, figure, f"{note} {_COMPARE}".strip())
        for earlier in _shown:
            earlier.work.stop()
        _shown[:] = [self]
        self._finer()

    def lay_out(self) -> None:
        """Put the choices above, the work under the picture; nothing moves beside."""
        super().lay_out()
        top, _grid, view, words, buttons = self.children
        view.children = (self.picture.widget,)
        self.picture.widget.layout.flex = "1 1 100%"
        buttons.children = (self.every, *buttons.children)
        choices = row(*self.choices.values())
        self.children = (top, choices, view, words, self.work, self.told, buttons)

    def _connect(self) -> None:
        super()._connect()
        self.every.on_click(lambda _button: self._all())
        self.work.halt.on_click(lambda _button: self.refresh())  # the last slice may be new
        for name, chosen in self.choices.items():
            chosen.observe(self._again if name == "up" else self._anew, "value")

    def values(self) -> dict:
        """Return what is asked for."""
        return {name: chosen.value for name, chosen in self.choices.items()}

    def recall(self) -> dict:
        """Return what was asked for before, in the picture of now."""
        return {**self.before, "up": self.choices["up"].value}

    def measure(self, values: dict) -> figure.Compromise:
        """Return what is known of a question; one that is new gets its coarse answer first."""
        asked = self._asked(values)
        return self._known(values, asked, self._tried(values, asked))

    def _known(self, values: dict, asked: Question, tried: Tried) -> figure.Compromise:
        choice = choose(asked, tried, self.chance.get(_key(values, "priority")))
        return figure.Compromise(
            asked=tuple((name, said) for name, said in values.items() if name != "up"),
            up=_AGAINST[values["up"]],
            **_points(asked, tried, _AGAINST[values["up"]]),
            named=self._named(asked, tried, choice),
            equals=tuple(tried.place(setting) for setting in choice.equals),
            adjusters=tuple((a.name, a.clicks) for a in asked.damper.adjusters),
            start=asked.starts[0].name,
            changes=_changes(asked, tried, choice),
            weights=asked.weights,
            choice=choice,
            whole=len(click_space(asked.damper)),
        )

    def _named(self, asked: Question, tried: Tried, choice: Choice) -> dict[str, int]:
        """Return where starts, choice and the choice before stand among the settings tried."""
        named = {"chosen": choice.setting} | {s.name: s.setting for s in asked.starts}
        old = self._chosen_before()
        if old != choice.setting and old in tried.settings:
            named["before"] = old
        return {name: tried.place(setting) for name, setting in named.items()}

    def _chosen_before(self) -> Setting | None:
        """Return what was chosen before, if it was for the same axle."""
        kept = self.kept.get(_key(self.before))
        if kept is None or self.before["axle"] != self.choices["axle"].value:
            return None
        return choose(self._asked(self.before), kept).setting

    def _asked(self, values: dict) -> Question:
        loads = [values["load"]]
        if loads == [_BOTH]:
            loads = [AS_WEIGHED, *(case.name for case in self.vehicle.loads)]
        where = conditions(self.vehicle, values["axle"], loads, MIXES[values["roads"]])
        axle = self.vehicle.axles[values["axle"]]
        return question(self.dampers[axle.name], where, PRIORITIES[values["priority"]], axle)

    def _tried(self, values: dict, asked: Question) -> Tried:
        """Return what was tried for a question, at least a coarse grid."""
        key = _key(values)
        if key not in self.kept:
            self.kept[key] = try_settings(asked.damper, asked.conditions, first_look(asked))
        return self.kept[key]

    def move(self, now: figure.Compromise, before: figure.Compromise) -> str:
        """Write what starts cost and what the weights are; there is no moving picture."""
        lines = (*figure.prices(now), figure.weights(now))
        self.told.value = "".join(f'<p class="dl-fixed">{html.escape(line)}</p>' for line in lines)
        return ""

    def _anew(self, _change: dict) -> None:
        """Answer another question: coarse at once, then finer."""
        self.work.stop()
        self.work.say(WORKING)
        self.refresh()
        self.work.say("")
        self._finer()

    def _again(self, _change: dict) -> None:
        self.refresh()

    def _finer(self) -> None:
        self._search("Looking closer: {0:,} settings tried so far", approach)

    def _all(self) -> None:
        self._search("Trying every setting: {0:,} of {1:,} tried so far", _every)

    def _search(self, words: str, way) -> None:
        """Begin a search of a question that can be asked."""
        values = self.values()
        try:
            asked = self._asked(values)
            self.work.begin(
                self._found(values, asked, way), lambda now: self._far(words, _key(values), now)
            )
        except LearnerError as trouble:
            self.say(str(trouble))

    def _far(self, words: str, key: tuple, now: Progress) -> str:
        """Say how far a search is, in settings that have been over every road."""
        tried = self.kept[key]
        again = "" if now.tried is tried else "; the best of them once more, on other stretches"
        return words.format(len(tried.settings), self.now.whole) + f"{again}."

    def _found(self, values: dict, asked: Question, way) -> Iterator[Progress]:
        """Search a way; keep what is found; at its end ask chance about the best few."""
        key = _key(values)
        for now in way(asked, self._tried(values, asked)):
            self.kept[key] = now.tried
            yield now
        tried, others = self.kept[key], other_stretches(asked)
        for now in slices(asked.damper, others, contenders(asked, tried)) if others else ():
            yield now
        self.chance[_key(values, "priority")] = spread(asked, tried, now.tried if others else None)
        self.refresh()

    def _seen(self, now: Progress) -> None:
        """Show the picture again when there is more to show, though not all the time."""
        if time.monotonic() > self.shown + _REST and len(now.tried.settings) > len(self.now.across):
            self.refresh()
            self.shown = time.monotonic()


def _points(asked: Question, tried: Tried, up: str) -> dict[str, np.ndarray]:
    """Return comfort and another score of every setting, and the front by comfort."""
    across, upright = (mean_scores(asked, tried, key) for key in ("weighted", up))
    front = np.flatnonzero(non_dominated(np.stack([across, upright], axis=1)))
    front = front[np.argsort(across[front], kind="stable")]
    return {"across": across, "upright": upright, "front": front}


def _changes(asked: Question, tried: Tried, choice: Choice) -> dict[str, tuple[float, float]]:
    """Return each score at the first start and at the choice."""
    places = [tried.place(s) for s in (asked.starts[0].setting, choice.setting)]
    means = {goal.key: mean_scores(asked, tried, goal.key)[places] for goal in GOALS}
    return {key: (float(old), float(new)) for key, (old, new) in means.items()}


def _every(asked: Question, tried: Tried) -> Iterator[Progress]:
    """Try the whole click space, in other processes."""
    everything = click_space(asked.damper)
    how = {"tried": tried, "processes": _PROCESSES, "chunk": _CHUNK}
    return slices(asked.damper, asked.conditions, everything, **how)


def _key(values: dict, *more: str) -> tuple:
    """Return what the tried settings depend on."""
    return tuple(values[name] for name in ("axle", "load", "roads", *more))


def _choices(axles: list[str], loads: list[str]) -> dict[str, widgets.Dropdown]:
    """Return the lists to choose from, by name."""
    cases = [AS_WEIGHED, *loads, _BOTH] if loads else [AS_WEIGHED]
    return {
        "axle": listed("Axle", axles),
        "load": listed("Load", cases),
        "roads": listed("Roads", MIXES),
        "priority": listed("What counts", PRIORITIES),
        "up": listed("Comfort against", _AGAINST),
    }


def compromise_panel(vehicle: Vehicle | None = None, dampers: dict | None = None):
    """Return the panel with the learner's vehicle and dampers by axle, or the demo workshop's."""
    if vehicle is None:
        dampers = {axle: demo.hydraulic(axle) for axle in ("front", "rear")}
        return CompromisePanel(demo.vehicle(), dampers, f"{demo.vehicle().name}.")
    return CompromisePanel(vehicle, dampers or {}, "")
