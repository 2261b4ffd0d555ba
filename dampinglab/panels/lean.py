"""Lesson 07: steer, brake, ride over waves, and see what clicks change of it."""

import html
from itertools import chain, zip_longest

import ipywidgets as widgets
import numpy as np

from dampinglab.errors import LearnerError
from dampinglab.figures import lean as figure
from dampinglab.panels.controls import Panel, Step, choice, row
from dampinglab.panels.leaning import leaning_svg
from dampinglab.panels.moving import Pulse
from dampinglab.panels.zones import steps_of
from dampinglab.physics.car import Car, car_of
from dampinglab.physics.car_run import CarRun, drive_car, prepare_car
from dampinglab.physics.comfort import weighted_rms
from dampinglab.physics.corner import prepare, run_table
from dampinglab.physics.drive import brake, over, steer
from dampinglab.physics.lean import lean, shared_work
from dampinglab.physics.road import iso8608, long_waves
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop import demo

__all__ = ["EVENTS", "LeanPanel", "lean_panel"]

AXLES = ("front", "rear")
_STEP = 2e-3  # s: half the work of 1 ms, and the same to a few thousandths
_WAVES = 25.0  # m/s
_FINE = iso8608("A", 100 / 3.6, 4.0, seed=1, dt=_STEP)
_NO_LOAD = "as weighed"
_KEPT = 60
_ASSUMED = "What the model takes for granted of this vehicle"
_TWO_COLUMNS = "repeat(auto-fit, minmax(min(max(330px, 40%), 100%), 1fr))"  # one where it is narrow
_ROAD_STARTS = 1.0  # s: where single events of `road` begin

EVENTS = {
    "Steer in 0.2 s": (
        "Steered to 0.4 g in 0.2 s",
        lambda _car: steer(0.4, 0.2, 2.4, dt=_STEP),
    ),
    "Steer in 0.5 s": (
        "Steered to 0.4 g in 0.5 s",
        lambda _car: steer(0.4, 0.5, 2.4, dt=_STEP),
    ),
    "Brake": ("Braked at 0.6 g", lambda _car: brake(0.6, 0.2, 2.0, dt=_STEP)),
    "Waves": (
        "Over two waves of 60 mm at 90 km/h",
        lambda car: over(long_waves(0.06, 25, _WAVES, 4.6, dt=_STEP), car, _WAVES),
    ),
}


class LeanPanel(Panel):
    """Choose what is done to the vehicle, turn clicks in front and behind, and watch it move."""

    def __init__(self, vehicle: Vehicle, dampers: dict, note: str) -> None:
        self.vehicle, self.dampers, self.pulse = vehicle, dampers, Pulse()
        self.made: dict[tuple, tuple] = {}
        self.driven: dict[tuple, figure.Leaning] = {}
        self.rides: dict[tuple, float] = {}
        self.steps = {axle: steps_of(dampers[axle], vehicle.axles[axle]) for axle in AXLES}
        self.event = choice("What is done to the vehicle", list(EVENTS), ["Do this"] * 4)
        loads = [_NO_LOAD, *(case.name for case in vehicle.loads)]
        self.load = widgets.Dropdown(options=loads, description="Load")
        super().__init__("Lean and dive", self._controls(), figure, note)
        self.event.observe(self._turn_to, "value")
        self.load.observe(self._turn_to, "value")

    def _controls(self) -> dict[tuple, Step]:
        """Return the controls, front beside rear."""
        sides = [[((axle, name), s) for name, s in self.steps[axle].items()] for axle in AXLES]
        pairs = [each for each in chain(*zip_longest(*sides)) if each]
        for (axle, _), step in pairs:
            label = f"{axle.capitalize()} {step.label[0].lower()}{step.label[1:]}"
            step.offer(label, step.slider.options, step.value)
        return dict(pairs)

    def lay_out(self) -> None:
        """Put the choice of event and load above the clicks, front left and rear right."""
        super().lay_out()
        self.children[1].layout.grid_template_columns = _TWO_COLUMNS
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 34%", "1 1 65%"
        told = html.escape(" ".join(car_of(self.vehicle).assumptions))
        told = f'<details class="dl-fixed"><summary>{_ASSUMED}</summary>{told}</details>'
        top, *rest = self.children
        self.children = (top, row(self.event, self.load), *rest, widgets.HTML(told))

    def values(self) -> dict:
        """Return event, load, and the setting of each axle."""
        settings = {axle: tuple(s.value for s in self.steps[axle].values()) for axle in AXLES}
        return {"event": self.event.value, "load": self.load.value, **settings}

    def recall(self) -> dict:
        """Return the clicks before, with the event and the load of now: only clicks differ."""
        return {**self.before, "event": self.event.value, "load": self.load.value}

    def measure(self, values: dict) -> figure.Leaning:
        """Return what the vehicle does; what was driven is kept."""
        key = tuple(values.values())
        if key not in self.driven:
            if len(self.driven) >= _KEPT:
                self.driven.pop(next(iter(self.driven)))
            self.driven[key] = self._drive(**values)
        return self.driven[key]

    def _drive(self, event: str, load: str, front, rear) -> figure.Leaning:
        car, inputs, made = self._prepared(event, load)
        settings = {"front": front, "rear": rear}
        run = drive_car(car, self.dampers, settings, inputs, made=made)
        pairs = tuple(
            (f"{axle} {name}", clicks)
            for axle in AXLES
            for name, clicks in zip(self.steps[axle], settings[axle], strict=True)
        )
        ride = tuple((axle, self._ride(car, axle, load, settings[axle])) for axle in AXLES)
        return _shown(run, EVENTS[event][0], pairs, ride)

    def _prepared(self, event: str, load: str) -> tuple:
        """Return vehicle, inputs, and what a run needs whatever the clicks."""
        key = (event, load)
        if key not in self.made:
            car = car_of(self.vehicle, None if load == _NO_LOAD else load)
            inputs = EVENTS[event][1](car)
            self.made[key] = car, inputs, prepare_car(car, inputs)
        return self.made[key]

    def _ride(self, car: Car, axle: str, load: str, setting) -> float:
        """Return how a fine road shakes the body over an axle: its corner alone, Wk r.m.s."""
        corner, damper = getattr(car, axle), self.dampers[axle]
        if (axle, load) not in self.made:
            self.made[axle, load] = prepare(corner, _FINE)
        if (axle, load, setting) not in self.rides:
            run = run_table(self.made[axle, load], corner, _FINE, damper, setting)
            self.rides[axle, load, setting] = float(weighted_rms(run.body_acceleration, _FINE.dt))
        return self.rides[axle, load, setting]

    def move(self, now: figure.Leaning, before: figure.Leaning) -> str:
        """Return the vehicle moving, with the work of its dampers."""
        period = float(now.time[-1] - now.time[0])
        return leaning_svg(now, before, self.pulse.elapsed(period))

    def _turn_to(self, _change: dict) -> None:
        """Show another event or load; its own span of time has the axes drawn anew."""
        self.refresh()


def _shown(run: CarRun, said: str, setting: tuple, ride: tuple) -> figure.Leaning:
    """Return a run as the picture takes it."""
    found, road = lean(run), run.inputs.height
    above = tuple(run.body_over(axle) - road[:, 2 * i] for i, axle in enumerate(AXLES))
    return figure.Leaning(
        said=said,
        way=found.way,
        setting=setting,
        time=run.inputs.time - (run.inputs.start or _ROAD_STARTS),
        lines={"roll": (run.roll,), "pitch": (run.pitch,)}.get(found.way, above),
        steady=found.steady,
        overshoot=max(float(found.overshoot), 0.0),
        settling=float(found.settling),
        rate=float(found.rate),
        work=shared_work(run),
        ride=ride,
        **_drawn(run, found.way),
    )


def _drawn(run: CarRun, way: str) -> dict:
    """Return what the drawing needs: from behind for roll, else from the side."""
    half = run.car.rear_track
    if way == "roll":
        ends, pair, span = [run.heave + y * run.roll for y in (half, -half)], [2, 3], 2 * half
    else:
        ends, pair = [run.body_over(axle) for axle in ("rear", "front")], [2, 0]
        span = run.car.wheelbase
    wheels, road = run.wheel[:, pair], run.inputs.height[:, pair]
    return {"ends": np.stack(ends, axis=1), "wheels": wheels, "road": road, "span": span}


def lean_panel(vehicle: Vehicle | None = None, dampers: dict | None = None) -> LeanPanel:
    """Return the panel with the learner's vehicle and dampers, or with the demo workshop's."""
    vehicle, dampers, told = demo.stand_ins(vehicle, dampers)
    for axle in AXLES:
        if axle not in vehicle.axles or axle not in dampers:
            raise LearnerError(
                f"A whole vehicle needs both axles and a damper for each: the {axle} one is "
                f"missing of {vehicle.name}."
            )
    return LeanPanel(vehicle, dampers, f"{told} A model's numbers: compare settings with them.")
