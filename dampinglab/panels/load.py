"""Lesson 08: load it, lift it, and see what is left of travel and damping."""

import html

import ipywidgets as widgets

from dampinglab.figures import load as figure
from dampinglab.figures.look import BODY, INK, PAPER, QUIET, ROAD, WHEEL, pale
from dampinglab.panels.controls import Number, Panel, compared, fitting, row
from dampinglab.panels.moving import new_name, svg
from dampinglab.panels.zones import steps_of
from dampinglab.physics.load import (
    SPRING_SHARE,
    Change,
    ball_load,
    seat_lift,
    stand,
    tyre_rate,
    verdict,
)
from dampinglab.physics.vehicle import Corner, Vehicle
from dampinglab.units import G, from_si
from dampinglab.workshop import demo

__all__ = ["LoadPanel", "load_panel", "side_svg"]

_SPEED = 0.1  # m/s of the shaft, at which damping ratios are read
_WHEELBASE, _OVERHANG = 2.85, 1.15  # m, where the sheet has none: invented
_READ = (
    f"Damping ratios are read at {_SPEED:g} m/s of the shaft; the bump stop's energy is that of a "
    f"dip of 120 mm over 6 m at 50 km/h. A load may take {100 * SPRING_SHARE:.0f} % of the bump "
    "travel; a tyre's rate follows its pressure in a straight line (common practice, no source)."
)
_KEPT = 40


class LoadPanel(Panel):
    """Load one axle, lift it, move its stop, let air out, and read what that leaves."""

    def __init__(self, vehicle: Vehicle, dampers: dict, note: str, axle: str) -> None:
        self.vehicle, self.dampers, self.kept, self.weighed = vehicle, dampers, {}, {}
        self.settings = {
            name: tuple(step.value for step in steps_of(one, vehicle.axles[name]).values())
            for name, one in dampers.items()
        }
        self.axle = widgets.Dropdown(options=list(dampers), value=axle, description="Axle")
        self.table, self.told = widgets.HTML(), widgets.HTML()
        super().__init__("Load it", _controls(vehicle, axle), figure, note)
        self.axle.observe(self._turn_to, "value")

    def lay_out(self) -> None:
        """Put the choice of axle above, and the numbers under the picture."""
        super().lay_out()
        top, grid, view, words, buttons = self.children
        grid.add_class("dl-thirds")
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 42%", "1 1 57%"
        self.children = (top, row(self.axle), grid, view, self.table, words, self.told, buttons)

    def values(self) -> dict:
        """Return the axle, and what is done to it."""
        return {"axle": self.axle.value, **super().values()}

    def recall(self) -> dict:
        """Return what was done before, on the axle that is looked at now."""
        return {**self.before, "axle": self.axle.value}

    def measure(self, values: dict) -> figure.Loaded:
        """Return how the axle stands; what was worked out is kept."""
        key = tuple(values.values())
        if key not in self.kept:
            made = self._load(**values)
            if len(self.kept) >= _KEPT:
                self.kept.pop(next(iter(self.kept)))
            self.kept[key] = made
        return self.kept[key]

    def _load(self, axle: str, **done: float) -> figure.Loaded:
        corner, case = self.vehicle.corner(axle), (self.dampers[axle], self.settings[axle])
        if axle not in self.weighed:
            self.weighed[axle] = stand(corner, Change(), *case, speed=_SPEED)
        was = self.weighed[axle]
        now = stand(corner, self._change(axle, done), *case, speed=_SPEED)
        return figure.Loaded(
            done=tuple(_told(self.controls[name], value) for name, value in done.items()),
            speed=_SPEED,
            weighed=corner,
            stands=now,
            verdict=verdict(was, now, *case, speed=_SPEED),
            level=now.corner.droop_gap - corner.droop_gap,
        )

    def _change(self, axle: str, done: dict) -> Change:
        """Return what is done as one corner of the axle feels it."""
        found = self.vehicle.axles[axle]
        by_ball = ball_load(done["ball"], done["overhang"], self.vehicle.wheelbase or _WHEELBASE)
        rate = tyre_rate(1.0, found.tyre_pressure, done["pressure"])
        return Change(
            mass=(done["mass"] + by_ball[axle == "rear"]) / 2,
            lift=done["lift"] + seat_lift(done["seat"], found.spring_motion_ratio),
            stop_gap=done["stop_gap"],
            stop_stiffness=done["stop_stiffness"],
            tyre=rate,
        )

    def move(self, now: figure.Loaded, before: figure.Loaded) -> str:
        """Return the side view; write the numbers on the way."""
        self.table.value = compared(figure.rows(now, before))
        told = " ".join((_READ, self._present(), figure.friction(now))).strip()
        self.told.value = f'<p class="dl-fixed">{html.escape(told)}</p>'
        return side_svg(now, before)

    def _present(self) -> str:
        """Return the setting that stays where it is."""
        axle = self.axle.value
        names = (adjuster.name for adjuster in self.dampers[axle].adjusters)
        pairs = (f"{name} {n}" for name, n in zip(names, self.settings[axle], strict=True))
        return f"The {axle} dampers stay at {', '.join(pairs)} clicks out."

    def _turn_to(self, _change: dict) -> None:
        self.refresh()


def _controls(vehicle: Vehicle, axle: str) -> dict[str, Number]:
    """Return the controls, as the vehicle was weighed."""
    pressure = vehicle.axles[axle].tyre_pressure / 1e3
    overhang = 1e3 * (_OVERHANG if vehicle.ball_overhang is None else vehicle.ball_overhang)
    return {
        "mass": Number("Load on the axle", "kg", 0, -200, 800, 10),
        "ball": Number("Load on the ball", "kg", 0, 0, 350, 5),
        "overhang": Number("Ball behind the rear axle", "mm", overhang, 0, 3000, 10),
        "lift": Number("Lift at the wheel", "mm", 0, -60, 100, 1),
        "seat": Number("Preload, at the seat", "mm", 0, -30, 30, 1),
        "stop_gap": Number("Bump stop moved away", "mm", 0, -50, 50, 1),
        "stop_stiffness": Number("Bump stop's stiffness", "%", 100, 30, 300, 5),
        "pressure": Number("Tyre pressure", "kPa", pressure, 80, 900, 5),
    }


def _told(control: Number, value: float) -> tuple[str, str]:
    """Return what a control is called in a sentence, and a value (SI) as it shows it."""
    return control.label.split(",")[0], f"{from_si(value, control.unit):g} {control.unit}"


_WIDE, _TALL, _GROUND, _MIDDLE = 320, 340, 316, 150
_SCALE = 340.0  # units of the drawing for each metre
_RADIUS, _BRACKET = 0.4, 0.06  # m: the tyre free of load, and from the bump stop's foot to the rail


def side_svg(now: figure.Loaded, before: figure.Loaded) -> str:
    """Return one wheel from the side, to one scale: tyre, spring, bump stop, and the frame."""
    hub, rail = _heights(now)
    old = _heights(before)[1]
    parts = (
        f'<circle cx="{_MIDDLE}" cy="{hub:.1f}" r="{_SCALE * _RADIUS - 14:.1f}" fill="none" '
        f'stroke="{pale(WHEEL, 0.45)}" stroke-width="28"/>'
        f'<rect y="{_GROUND}" width="{_WIDE}" height="{_TALL - _GROUND}" fill="{PAPER}"/>'
        f'<rect x="4" y="{_GROUND}" width="{_WIDE - 8}" height="5" rx="2" fill="{ROAD}"/>'
        f'<circle cx="{_MIDDLE}" cy="{hub:.1f}" r="17" fill="{WHEEL}"/>'
    )
    parts += _spring(hub, rail) + _stop(now.stands.corner, hub, rail) + _frame(now, rail, old)
    title = "One wheel from the side, to scale, as it stands now"
    up = 1e3 * (now.stands.height - before.stands.height)
    return svg(
        new_name(), title, f"The frame stands {up:+z.0f} mm from before.", (_WIDE, _TALL), "", parts
    )


def _heights(seen: figure.Loaded) -> tuple[float, float]:
    """Return where hub and frame rail stand in the drawing."""
    corner, weighed = seen.stands.corner, seen.weighed
    squeezed = (corner.sprung_mass + corner.unsprung_mass) * G / corner.tyre_rate
    hub = _GROUND - _SCALE * (_RADIUS - squeezed)
    above = weighed.bump_gap + weighed.foam_length + _BRACKET - seen.level
    return hub, hub - _SCALE * above


def _spring(hub: float, rail: float) -> str:
    """Return a coil from axle to frame, before the wheel."""
    turns, x = 7, _MIDDLE - 62
    pitch = (hub - rail) / (turns + 1)
    zigzag = "".join(f"L{x + 15 * (-1) ** i} {hub - (i + 1) * pitch:.1f}" for i in range(turns))
    return (
        f'<path d="M{_MIDDLE} {hub:.1f}H{x}{zigzag}L{x} {rail:.1f}" fill="none" stroke="{INK}" '
        'stroke-width="4" stroke-linejoin="round"/>'
    )


def _stop(corner: Corner, hub: float, rail: float) -> str:
    """Return bracket and bump stop above the axle, with what is left between the two."""
    foot = hub - _SCALE * corner.bump_gap
    tall, x, left = _SCALE * corner.foam_length, _MIDDLE, f"{1e3 * corner.bump_gap:.0f} mm"
    return (
        f'<path d="M{x} {rail:.1f}V{foot - tall:.1f}" stroke="{BODY}" stroke-width="14"/>'
        f'<rect x="{x - 15}" y="{foot - tall:.1f}" width="30" height="{tall:.1f}" rx="6" '
        f'fill="{pale(ROAD, 0.7)}" stroke="{BODY}" stroke-width="2"/>'
        f'<path d="M{x + 28} {hub:.1f}V{foot:.1f}M{x + 20} {foot:.1f}h16M{x + 20} {hub:.1f}h16" '
        f'stroke="{INK}" stroke-width="1.6"/>'
        f'<text x="{x + 40}" y="{(hub + foot) / 2 + 6:.1f}" font-size="17" fill="{INK}" '
        f'stroke="{PAPER}" stroke-width="4" paint-order="stroke">{left}</text>'
    )


def _frame(now: figure.Loaded, rail: float, old: float) -> str:
    """Return the frame with what it carries here, and its outline before."""
    tall, words = 44, f"{now.stands.corner.sprung_mass:.0f} kg on this corner"
    return (
        f'<rect x="24" y="{old - tall:.1f}" width="{_WIDE - 48}" height="{tall}" rx="6" '
        f'fill="none" stroke="{QUIET}" stroke-width="2" stroke-dasharray="3 4"/>'
        f'<rect x="24" y="{rail - tall:.1f}" width="{_WIDE - 48}" height="{tall}" rx="6" '
        f'fill="{BODY}" class="frame"/><text x="{_WIDE / 2}" y="{rail - tall / 2 + 6:.1f}" '
        f'font-size="17" text-anchor="middle" fill="{PAPER}">{words}</text>'
    )


def load_panel(
    vehicle: Vehicle | None = None, dampers: dict | None = None, axle: str = "rear"
) -> LoadPanel:
    """Return the panel with the learner's vehicle and dampers, or with the demo workshop's."""
    vehicle, dampers, told = demo.stand_ins(vehicle, dampers)
    known = fitting(vehicle, dampers)
    if vehicle.wheelbase is None:
        told += f" The wheelbase is taken to be {_WHEELBASE} m."
    return LoadPanel(vehicle, known, told, axle if axle in known else next(iter(known)))
