"""What a learner turns: a slider with its typed twin, and the frame that every panel shares."""

import html
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import ModuleType

import ipywidgets as widgets

from dampinglab.errors import LearnerError, OutOfRange
from dampinglab.figures.look import DESK, ROOM
from dampinglab.figures.words import FELT_MEANS
from dampinglab.panels.live import LivePicture
from dampinglab.panels.style import STYLE
from dampinglab.physics.vehicle import Vehicle
from dampinglab.units import UNITS, from_si, minus, parse_quantity, to_si

__all__ = [
    "NAMED",
    "Number",
    "Panel",
    "Step",
    "Twin",
    "around",
    "choice",
    "compared",
    "fitting",
    "listed",
    "row",
    "whole",
]

NAMED = {"description_width": "initial"}
"""The style of a box or a list whose name is shown whole, however large the words."""


class Twin(widgets.VBox):
    """A slider and a box that hold the same number, and a line for what the box cannot take.

    The number is kept here: a browser rounds a slider to its steps, and what was typed must not be.
    """

    def __init__(self, label: str, unit: str, number: float, slider: widgets.Widget) -> None:
        self.label, self.unit, self.number, self.slider = label, unit, number, slider
        slider.readout, slider.tooltip = False, label
        slider.layout = widgets.Layout(flex="1 1 auto", min_width="120px")
        self.typed = widgets.Text(continuous_update=False)
        self.name, self.note = widgets.Label(), widgets.HTML()
        self._listeners: list[Callable[[], None]] = []
        unit_shown = widgets.Label(unit, layout=widgets.Layout(flex="0 0 auto", min_width="3.6em"))
        line = widgets.HBox([slider, self.typed, unit_shown])
        line.layout.align_items = "center"
        super().__init__([self.name, line, self.note])
        self.add_class("dl-control")
        self._call(label)
        self._mirror()
        slider.observe(self._slid, "value")
        self.typed.observe(self._wrote, "value")

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call a function without arguments whenever the number has changed."""
        self._listeners.append(listener)

    def complain(self, words: str) -> None:
        """Show one sentence under the slider, or none."""
        self.note.value = f'<p class="dl-note" role="alert">{html.escape(words)}</p>'
        self.note.layout.display = "" if words else "none"

    def take(self, number: float) -> None:
        """Set the number, in the unit of the label, and tell those who listen."""
        self.number = number
        self.slider.value = self._nearest(number)
        self._mirror()
        for listener in self._listeners:
            listener()

    def _call(self, label: str) -> None:
        """Name the control for those who see it and those who hear it."""
        self.label = self.name.value = self.slider.tooltip = label
        self.typed.description = f"{label}, in {self.unit}" if self.unit else label

    def _slid(self, change: dict) -> None:
        if not math.isclose(change["new"], self._nearest(self.number), abs_tol=1e-9):
            self.take(float(f"{change['new']:.9g}"))

    def _wrote(self, change: dict) -> None:
        """Take over what was typed, or say in words why not and leave it there to be mended."""
        blank = not change["new"].strip()
        if blank or change["new"] == self._shown():
            self.complain("Nothing was typed." if blank else "")
            return
        try:
            self.take(self._read(change["new"]))
        except LearnerError as trouble:
            self.complain(str(trouble))

    def _mirror(self) -> None:
        self.typed.value = self._shown()
        self.complain("")

    def _shown(self) -> str:
        return f"{self.number:.6g}"

    def _read(self, text: str) -> float:
        raise NotImplementedError

    def _nearest(self, number: float) -> float:
        raise NotImplementedError


class Number(Twin):
    """A continuous quantity; on the screen in a unit of the trade, for the program in SI."""

    def __init__(
        self, label: str, unit: str, value: float, low: float, high: float, step: float
    ) -> None:
        self.low, self.high, self.step = low, high, step
        slider = widgets.FloatSlider(min=low, max=high, step=step, value=self._nearest(value))
        super().__init__(label, unit, value, slider)

    @property
    def value(self) -> float:
        """The value in SI."""
        return to_si(self.number, self.unit) if self.unit else self.number

    def _read(self, text: str) -> float:
        quantity = UNITS[self.unit].quantity if self.unit else ""
        number = parse_quantity(text, quantity, self.unit)
        number = from_si(number, self.unit) if self.unit else number
        if not self.low <= number <= self.high:
            shown, span = f"{number:g} {self.unit}".rstrip(), f"{self.low:g} to {self.high:g}"
            span = f"{span} {self.unit}".rstrip()
            raise OutOfRange(minus(f"{shown} is outside {span}: type a number between them."))
        return number

    def _nearest(self, number: float) -> float:
        """Return the step of the slider that lies nearest."""
        steps = round((number - self.low) / self.step)
        return min(float(f"{self.low + steps * self.step:.9g}"), self.high)


class Step(Twin):
    """A number out of a short list, such as the clicks that were measured."""

    def __init__(self, label: str, unit: str, options: Sequence[int], value: int) -> None:
        slider = widgets.SelectionSlider(options=options, value=value)
        slider.add_class("dl-list")
        super().__init__(label, unit, value, slider)

    @property
    def value(self) -> int:
        """The number chosen."""
        return int(self.number)

    def offer(self, label: str, options: Sequence[int], value: int) -> None:
        """Offer another list under another name; nobody is told, for nobody moved it."""
        self.slider.unobserve(self._slid, "value")
        self.slider.options, self.slider.value, self.number = options, value, value
        self.slider.observe(self._slid, "value")
        self._call(label)
        self._mirror()

    def _read(self, text: str) -> int:
        number = parse_quantity(text, UNITS[self.unit].quantity if self.unit else "", self.unit)
        if number not in self.slider.options:
            raise OutOfRange(
                f"{self.label} can be {self._there()}; {text.strip()} is not among them."
            )
        return int(number)

    def _there(self) -> str:
        """Return what can be chosen, in words."""
        some = self.slider.options
        if len(some) > 2 and tuple(some) == tuple(range(some[0], some[-1] + 1)):
            return f"a whole number from {some[0]} to {some[-1]}"
        return f"{', '.join(map(str, some))} here"

    def _nearest(self, number: float) -> float:
        return int(number)


def around(value: float) -> tuple[float, float, float]:
    """Return a value with a range around it that holds its half and its double."""
    rung = 10.0 ** (math.floor(math.log10(value)) - 1)
    low, high = math.floor(value / 2 / rung) * rung, math.ceil(value * 2 / rung) * rung
    return float(f"{value:.4g}"), float(f"{low:.6g}"), float(f"{high:.6g}")


def whole(words: str) -> str:
    """Return words for the page: no number parted from its unit, and a true minus before it."""
    return re.sub(r"(?<=\d) (?=[%°A-Za-z])", "&nbsp;", html.escape(minus(words)))


def choice(asks: str, options: Sequence, tooltips: Sequence[str] = ()) -> widgets.ToggleButtons:
    """Return buttons of which one is pressed. What they ask is heard; the eye needs no label."""
    return widgets.ToggleButtons(options=options, tooltips=tooltips, description=asks)


def listed(name: str, options: Iterable) -> widgets.Dropdown:
    """Return a list to choose from, as wide as its longest words, no wider than the window."""
    wide = widgets.Layout(width="max-content", max_width="calc(100% - 18px)")
    wide.margin = "2px 16px 2px 2px"  # the next name stands apart
    return widgets.Dropdown(options=list(options), description=name, style=NAMED, layout=wide)


def compared(scores: Iterable[tuple[str, ...]]) -> str:
    """Return scores as a table, a column each: its head, now, before, and the change if told."""
    heads, *lines = zip(*scores, strict=True)
    top = "".join(f"<th>{html.escape(head)}</th>" for head in heads)
    body = "".join(
        f"<tr><th>{when}</th>{''.join(f'<td>{html.escape(minus(n))}</td>' for n in line)}</tr>"
        for when, line in zip(("now", "before", "change"), lines, strict=False)
    )
    return (
        '<table class="dl-scores"><thead><tr><th><span class="dl-unseen">when</span></th>'
        f"{top}</tr></thead><tbody>{body}</tbody></table>"
    )


def fitting(vehicle: Vehicle, dampers: Mapping) -> dict:
    """Return the dampers of the axles that a vehicle has, by axle; refuse where there is none."""
    known = {axle: dampers[axle] for axle in vehicle.axles if axle in dampers}
    if not known:
        raise LearnerError(
            f"No damper fits {vehicle.name}: it has {', '.join(vehicle.axles)}, and the dampers "
            f"are for {', '.join(dampers) or 'no axle'}."
        )
    return known


def row(*children: widgets.Widget) -> widgets.HBox:
    """Return widgets side by side that wrap where the screen is narrow."""
    box = widgets.HBox(list(children))
    box.layout.flex_flow, box.layout.align_items = "row wrap", "flex-start"
    return box


_STALE = "The picture, now pale, still shows what was before."
_KEEP = "What follows is compared with what the picture shows now"


class Panel(widgets.VBox):
    """Controls, one picture, one line of plain words, and what was before as a ghost.

    A panel is told its `controls` by name, and its `figure`: a module with `scene`, `update`,
    `sentence` and `alternative`. It brings `measure`, from the controls' values to results.
    """

    canvas = LivePicture  # what shows a scene; a panel may bring another
    judges = True  # whether its words say what would be felt

    def __init__(
        self, heading: str, controls: dict[str, Twin], figure: ModuleType, note: str = ""
    ) -> None:
        self.controls, self.figure = controls, figure
        self.picture = self.canvas(figure.scene(DESK))
        self.sentence, self.beside = widgets.HTML(), widgets.HTML()
        self.sentence.add_class("dl-said")
        self.keep = widgets.Button(description="Keep this as before", tooltip=_KEEP)
        self.room = widgets.ToggleButton(description="Projector size", tooltip="Larger words")
        self.before = self.values()
        top = f'<h3>{html.escape(heading)}</h3><p class="dl-fixed">{html.escape(note)}</p>'
        super().__init__([widgets.HTML(STYLE + top)])
        self.add_class("dl-panel")
        self.lay_out()
        if self.judges:
            self.children += (widgets.HTML(f'<p class="dl-fixed">{FELT_MEANS}</p>'),)
        self._connect()
        self.refresh()

    def _connect(self) -> None:
        self.keep.on_click(self._keep)
        self.room.observe(self._resize, "value")
        for control in self.controls.values():
            control.on_change(self.refresh)

    def measure(self, values: dict):
        """Return results for the controls' values."""
        raise NotImplementedError

    def lay_out(self) -> None:
        """Place controls, picture and words; panels with a moving picture place it beside."""
        self.beside.layout.flex, self.picture.widget.layout.flex = "0 1 36%", "1 1 62%"
        grid, view = row(*self.controls.values()), row(self.beside, self.picture.widget)
        grid.add_class("dl-grid")
        view.add_class("dl-view")
        view.layout = widgets.Layout(flex_flow="row nowrap", align_items="center")
        self.children += (
            grid,
            view,
            self.sentence,
            row(self.keep, self.room),
        )

    def move(self, now, before) -> str:
        """Return the moving picture that stands beside the drawn one."""
        raise NotImplementedError

    def values(self) -> dict:
        """Return what the controls stand at, in SI."""
        return {name: control.value for name, control in self.controls.items()}

    def recall(self) -> dict:
        """Return the values that now is compared with."""
        return self.before

    def refresh(self) -> None:
        """Measure again and show picture and words, or one sentence if it cannot be."""
        try:
            now, before = self.measure(self.values()), self.measure(self.recall())
        except LearnerError as trouble:
            self.add_class("dl-stale")
            self.say(f"{trouble} {_STALE}")
            return
        self.remove_class("dl-stale")
        self.now = now
        self.figure.update(self.picture.scene, now, before)
        self.picture.show(self.figure.alternative(now, before))
        self.beside.value = self.move(now, before)
        self.say(self.figure.sentence(now, before))

    def say(self, words: str) -> None:
        """Put one line of words under the picture."""
        self.sentence.value = f'<p class="dl-words" role="status">{whole(words)}</p>'

    def _keep(self, _button: widgets.Button) -> None:
        self.before = self.values()
        self.refresh()

    def _resize(self, change: dict) -> None:
        (self.add_class if change["new"] else self.remove_class)("dl-room")
        self.picture.swap(self.figure.scene(ROOM if change["new"] else DESK))
        self.refresh()
