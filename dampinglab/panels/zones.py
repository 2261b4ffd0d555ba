"""Lesson 05: from the road event to the shaft speed, by time and by energy."""

import html
from pathlib import Path

import ipywidgets as widgets

from dampinglab.data import dataset
from dampinglab.errors import LearnerError, OutOfRange
from dampinglab.figures import zones as figure
from dampinglab.panels.controls import NAMED, Number, Panel, Step, fitting, listed, row
from dampinglab.panels.stand import hub
from dampinglab.physics.zones import shares
from dampinglab.workshop import demo
from dampinglab.workshop.shaft import EVENTS, ShaftRecord, drive_events, from_log
from dampinglab.workshop.start import named_setting
from dampinglab.workshop.travel_log import TravelLog, read_travel_log

__all__ = ["ZonesPanel", "steps_of", "zones_panel"]

LOGS = {
    "highway, front": ("front", "highway.csv"),
    "gravel, rear": ("rear", "gravel.csv"),
    "corrugations, front": ("front", "corrugation.csv"),
    "street, rear": ("rear", "street.csv"),
}
_NONE, _OWN = "none", "my own file"
_EVENTS = [(f"{name}, {pace}", i) for i, (name, pace) in enumerate(EVENTS)]
_GRAVEL = 2
_NO_LOAD = "as weighed"
_LOGGED = "The log's energy is what this axle's damper would have turned into heat."
_KEPT = 60  # settings whose runs are kept, some 1 MB each


class ZonesPanel(Panel):
    """Choose event, axle, load and clicks, move the split, and read shares of time and energy."""

    def __init__(self, vehicle, dampers: dict, note: str) -> None:
        self.vehicle, self.dampers, self.logged = vehicle, dampers, None
        self.made: dict[tuple, tuple[ShaftRecord, ...]] = {}
        self.steps = {axle: steps_of(one, vehicle.axles[axle]) for axle, one in dampers.items()}
        loads = [_NO_LOAD, *(case.name for case in vehicle.loads)]
        self.axle = listed("Axle", list(dampers))
        self.load = listed("Load", loads)
        self.event = listed("Road event", _EVENTS)
        self.event.value = _GRAVEL
        self.choice = listed("Travel log", [_NONE, *LOGS, _OWN])
        self.path = widgets.Text(placeholder="my_log.csv", description="File", style=NAMED)
        self.path.continuous_update = False
        self.trouble, self.told = widgets.HTML(), widgets.HTML()
        split = Number("Split, slow from fast", "m/s", 0.1, 0.02, 1.0, 0.01)
        steps = {(axle, name): s for axle, all_ in self.steps.items() for name, s in all_.items()}
        super().__init__("From the road to the shaft", {"split": split, **steps}, figure, note)

    def lay_out(self) -> None:
        """Put the choices above, the split nearest to the picture; nothing moves beside."""
        super().lay_out()
        top, self.grid, view, words, buttons = self.children
        view.children = (self.picture.widget,)
        self.picture.widget.layout.flex = "1 1 100%"
        choices = (row(self.axle, self.load, self.event), row(self.choice, self.path))
        self.children = (top, *choices, self.trouble, self.grid, view, words, self.told, buttons)
        self._show_steps()

    def _connect(self) -> None:
        super()._connect()
        self.axle.observe(self._turn_to, "value")
        for chosen in (self.load, self.event):
            chosen.observe(self._again, "value")
        self.choice.observe(self._choose, "value")
        self.path.observe(self._open, "value")

    def values(self) -> dict:
        """Return axle, load, setting, split and event."""
        axle = self.axle.value
        return {
            "axle": axle,
            "load": self.load.value,
            "setting": tuple(step.value for step in self.steps[axle].values()),
            "split": self.controls["split"].value,
            "event": self.event.value,
        }

    def recall(self) -> dict:
        """Return what was before, on the event that is looked at now."""
        return {**self.before, "event": self.event.value}

    def measure(self, values: dict) -> figure.Zones:
        """Return every event divided at the split; what was driven once is only sorted anew."""
        axle, setting, split = values["axle"], values["setting"], values["split"]
        damper = self.dampers[axle]
        records = self._records(axle, values["load"], setting)
        if self.logged:
            records += (from_log(self.logged, damper, setting),)
        return figure.Zones(
            rows=tuple(_row(record, split) for record in records),
            chosen=values["event"],
            split=split,
            knee=damper.knee_speed(setting) if hasattr(damper, "knee_speed") else None,
            ratio=self.vehicle.axles[axle].corner.damper_motion_ratio,
            axle=axle,
            load=values["load"],
            setting=tuple((a.name, n) for a, n in zip(damper.adjusters, setting, strict=True)),
        )

    def move(self, now: figure.Zones, before: figure.Zones) -> str:
        """Say how good the log is, and what the table assumes; there is no moving picture."""
        log = (_LOGGED, self.logged.words, *self.logged.remarks) if self.logged else ()
        assumed = self.dampers[now.axle].assumption
        told = (*log, assumed(tuple(clicks for _, clicks in now.setting)))
        words = " ".join(each for each in told if each)
        self.told.value = f'<p class="dl-fixed">{html.escape(words)}</p>'
        return ""

    def _records(self, axle: str, load: str, setting) -> tuple[ShaftRecord, ...]:
        key = (axle, load, setting)
        if key not in self.made:
            corner = self.vehicle.corner(axle, None if load == _NO_LOAD else load)
            if len(self.made) >= _KEPT:
                self.made.pop(next(iter(self.made)))
            self.made[key] = drive_events(corner, self.dampers[axle], setting)
        return self.made[key]

    def _show_steps(self) -> None:
        self.grid.children = (*self.steps[self.axle.value].values(), self.controls["split"])

    def _again(self, _change: dict) -> None:
        self.refresh()

    def _turn_to(self, _change: dict) -> None:
        self._show_steps()
        self.refresh()

    def _choose(self, change: dict) -> None:
        """Turn to a demo log and the axle that it is of, to the learner's file, or to none."""
        axle, name = LOGS.get(change["new"], (None, None))
        if name:
            self.axle.value = axle if axle in self.dampers else self.axle.value
            self._load(dataset(f"travel/{name}"))
        elif change["new"] == _NONE:
            self.trouble.value = ""
            self.show(None)
        elif self.path.value.strip():
            self._load(self.path.value)

    def _open(self, change: dict) -> None:
        if change["new"].strip() and self.choice.value != _OWN:
            self.choice.value = _OWN  # which opens the file
        elif change["new"].strip():
            self._load(change["new"])

    def _load(self, path: str | Path) -> None:
        """Show a log, or one sentence on what is wrong with it while the last one stays."""
        words = ""
        try:
            self.show(read_travel_log(Path(str(path).strip(" \"'"))))
        except LearnerError as trouble:
            words = str(trouble)
        self.trouble.value = f'<p class="dl-note" role="alert">{html.escape(words)}</p>'

    def show(self, log: TravelLog | None) -> None:
        """Take a log in as one more event and turn to it, or put it away."""
        self.logged, options = log, list(_EVENTS)
        place = self.event.value if self.event.value < len(_EVENTS) else _GRAVEL
        if log:
            options, place = [*options, (f"log {log.name}", len(_EVENTS))], len(_EVENTS)
        self.event.unobserve(self._again, "value")  # one picture, not one for each step
        self.event.options = options
        self.event.value = place
        self.event.observe(self._again, "value")
        self.refresh()


def _row(record: ShaftRecord, split: float) -> figure.Row:
    divided = shares(record.speed, record.force, record.dt, split)
    bands = (record.time, record.bump, record.rebound)
    return figure.Row(record.name, *bands, divided, record.ride, record.travel)


def steps_of(damper, axle) -> dict[str, Step]:
    """Return a control for each adjuster, at the setting as found, the maker's, or the middle.

    Of a table the clicks that were measured can be chosen, and those that it starts at.
    """
    if not hasattr(damper, "valve_force"):
        raise LearnerError(
            f"The {axle.name} damper is known by a rating only, which has no curve to run: give "
            "its dyno table."
        )
    measured = getattr(damper, "settings", None)
    start, options = _start(damper, axle, measured), []
    for i, adjuster in enumerate(damper.adjusters):
        every = range(adjuster.clicks + 1)
        options.append(sorted({s[i] for s in (*measured, start)}) if measured else list(every))
    each = zip(damper.adjusters, options, start, strict=True)
    return {
        a.name: Step(f"{a.name.capitalize()}, out from closed", "clicks", there, n)
        for a, there, n in each
    }


def _start(damper, axle, measured):
    given = axle.as_found or axle.maker
    setting = named_setting(damper, given) if given else None
    if measured:
        return setting if setting and _told(damper, setting) else hub(damper)
    return setting or tuple(adjuster.clicks // 2 for adjuster in damper.adjusters)


def _told(damper, setting) -> bool:
    """Return whether a table tells of a setting, measured or between what was."""
    try:
        return damper.assumption(setting) is not None
    except OutOfRange:
        return False


def zones_panel(vehicle=None, dampers: dict | None = None) -> ZonesPanel:
    """Return the panel with the learner's vehicle and dampers, or with the demo workshop's."""
    vehicle, dampers, told = demo.stand_ins(vehicle, dampers)
    known = fitting(vehicle, dampers)
    return ZonesPanel(
        vehicle, known, f"{told} The shares are a model's: compare settings with them."
    )
