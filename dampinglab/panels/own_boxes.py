"""The boxes of the working tool, whose text is kept, and what its steps share."""

from collections.abc import Callable

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.figures.look import QUIET, ROOM
from dampinglab.panels.controls import row, whole
from dampinglab.panels.own_bench import Bench
from dampinglab.panels.working import WORKING
from dampinglab.units import UNITS, parse_quantity, unit_written, units_of

__all__ = [
    "STYLE",
    "WAYS",
    "Box",
    "Choice",
    "FileBox",
    "Said",
    "Step",
    "Tick",
    "button",
    "follow",
    "grid",
    "level",
    "units_row",
    "words",
]

STYLE = f"""<style>
.dl-own .dl-step {{border-top:1px solid #D8D1C4; padding:6px 0; overflow:visible}}
.dl-own .dl-step-top {{display:flex; align-items:center; flex-flow:row nowrap; column-gap:14px;
  overflow:visible}}
.dl-own .dl-step-top .jupyter-button {{flex:0 0 11em; text-align:left; font-weight:650;
  scroll-margin:12px}}
.dl-own .dl-step-top .widget-html {{flex:1 1 auto; min-width:0}}
.dl-own .dl-ask {{display:grid !important; column-gap:12px; padding:5px 0; overflow:visible;
  border-bottom:1px dotted #D8D1C4; align-items:start}}
.dl-own .dl-ask p {{margin:0; line-height:1.3}}
.dl-own .dl-box {{min-width:0}}
.dl-own .widget-vbox {{overflow:visible}}
.dl-own .dl-box .widget-text, .dl-own .dl-box .widget-textarea,
.dl-own .dl-box .widget-combobox {{position:relative; width:100%; height:auto; margin:2px 0}}
.dl-own .dl-box .widget-label {{position:absolute; width:1px; height:1px;
  clip-path:inset(50%); overflow:hidden}}
.dl-own .dl-place {{color:{QUIET}; line-height:1.2; margin:0;
  font-size:calc(var(--dl-words) * .85)}}
.dl-own .dl-told {{grid-column:1 / -1}}
.dl-own .dl-told:not(:has(p)) {{display:none}}
.dl-own .dl-panel {{margin-top:8px}}
.dl-own .dl-own-part {{font-weight:650; margin:12px 0 2px; font-size:calc(var(--dl-words) * .95)}}
.dl-own .dl-note {{margin:2px 0}}
.dl-own pre {{font-size:calc(var(--dl-words) * .75); line-height:1.35; overflow-x:auto;
  white-space:pre-wrap; word-break:normal; background:#FFFFFF; padding:8px;
  border:1px solid #D8D1C4}}
.dl-own .widget-dropdown {{width:auto; max-width:100%}}
.dl-own .widget-hbox {{column-gap:14px}}
.dl-own .dl-level {{align-items:flex-end !important; overflow:visible}}
.dl-own .dl-scores td, .dl-own .dl-scores th {{text-align:left}}
.dl-own .dl-records tbody > tr > * {{vertical-align:top}}
.dl-own .dl-records td:nth-child(2) {{white-space:nowrap}}
.dl-own .widget-checkbox {{width:auto}}
.dl-own img {{border:1px solid #D8D1C4}}
.dl-room.dl-own img {{max-width:1240px !important}}
</style>"""
WAYS = ("out, softer", "in, firmer")
"""Which way an adjuster may be turned."""
UNIT_OF = {"mass": "kg", "length": "mm", "stiffness": "N/mm", "pressure": "kPa", "force": "N"}


class Said(widgets.HTML):
    """Whole sentences, a line each; quiet, or as the answer, or as trouble."""

    def say(self, *sentences: str, kind: str = "dl-fixed") -> None:
        """Show them, or nothing."""
        lines = "".join(f"<p class='{kind}'>{whole(each)}</p>" for each in sentences if each)
        self.value = f'<div role="status">{lines}</div>' if lines else ""


def words(*sentences: str, kind: str = "dl-fixed") -> Said:
    """Return sentences to stand among widgets."""
    said = Said()
    said.say(*sentences, kind=kind)
    return said


def button(label: str, act: Callable[[], object], said: Said, tooltip: str = "") -> widgets.Button:
    """Return a button whose act may fail with one sentence."""
    made = widgets.Button(description=label, tooltip=tooltip or label)

    def press(_button: widgets.Button) -> None:
        said.say(WORKING)
        try:
            told = act()
        except LearnerError as trouble:
            said.say(str(trouble), kind="dl-note")
        else:
            said.say(*([told] if isinstance(told, str) else told or ()), kind="dl-words")

    made.on_click(press)
    return made


class _Kept:
    """What a widget and the file hold alike."""

    bench: Bench
    name: str

    def keep(self, value: str) -> str:
        """Save a new text; return one sentence if it cannot be."""
        try:
            self.bench.put({self.name: value})
        except LearnerError as trouble:
            return str(trouble)
        return ""


class Box(widgets.VBox, _Kept):
    """A text that is kept; a number gets its unit behind it, and trouble is told below."""

    def __init__(
        self,
        bench: Bench,
        name: str,
        label: str,
        unit: str = "",
        check: Callable[[str], str] = lambda _text: "",
        lines: int = 1,
        hint: str = "",
        place: str = "",
    ) -> None:
        self.bench, self.name, self.unit, self.check = bench, name, unit, check
        self.where = f"{place[:1].upper()}{place[1:]}: " if place else ""
        self.typed = self._made(lines)
        self.typed.description, self.typed.placeholder = label, hint
        self.typed.continuous_update = False
        self.note = Said()
        above = [words(place, kind="dl-place")] if place else []
        super().__init__([*above, self.typed, self.note])
        self.add_class("dl-box")
        self.show()
        self.typed.observe(self._wrote, "value")

    def _made(self, lines: int) -> widgets.Widget:
        return widgets.Text() if lines == 1 else widgets.Textarea(rows=lines)

    def show(self) -> None:
        """Show what is kept."""
        self.typed.value = self.bench.get(self.name)
        self._complain(self.typed.value)

    def _wrote(self, change: dict) -> None:
        value = self._with_unit(change["new"].strip())
        if value == self.bench.get(self.name):
            self._complain(value)
            return
        trouble = self.keep(value)
        if trouble:
            self.note.say(f"{self.where}{trouble}", kind="dl-note")
            return
        self.typed.value = value
        self._complain(value)

    def _complain(self, value: str) -> None:
        trouble = self.check(value) if value else ""
        self.note.say(trouble and f"{self.where}{trouble}", kind="dl-note")

    def _with_unit(self, value: str) -> str:
        """Put the unit of the bench behind a bare number, so that it never changes meaning."""
        if not (self.unit and value) or unit_written(value):
            return value
        quantity = UNITS[self.unit].quantity
        offered = self.bench.get(f"unit {quantity}", self.unit)
        unit = offered if quantity in UNIT_OF else self.unit
        try:
            parse_quantity(value, quantity, unit)
        except LearnerError:
            return value
        return f"{value} {unit}"


class FileBox(Box):
    """The name of a table in the learner's folder, chosen or typed."""

    def _made(self, lines: int) -> widgets.Widget:
        return widgets.Combobox(options=self.bench.files(), ensure_option=False)


class Choice(widgets.Dropdown, _Kept):
    """One of a list, kept; the first until another is chosen."""

    def __init__(self, bench: Bench, name: str, label: str, options: list | tuple) -> None:
        self.bench, self.name = bench, name
        super().__init__(options=options, description=label)
        self.style.description_width = "initial"
        self.observe(self._chose, "value")
        self.offer(options)

    def _chose(self, change: dict) -> None:
        self.keep(change["new"] or "")

    def offer(self, options: list | tuple) -> None:
        """Offer another list; what is kept stays chosen if it can, and nothing is kept anew."""
        self.unobserve(self._chose, "value")
        if tuple(options) != tuple(self.options):
            self.options = options
        kept, values = self.bench.get(self.name), _values(options)
        self.value = kept if kept in values else values[0]
        self.observe(self._chose, "value")


def _values(options: list | tuple) -> list[str]:
    return [each[1] if isinstance(each, tuple) else each for each in options]


class Tick(widgets.Checkbox, _Kept):
    """Yes or no, kept."""

    def __init__(self, bench: Bench, name: str, label: str) -> None:
        self.bench, self.name = bench, name
        super().__init__(value=bench.get(name) == "yes", description=label, indent=False)
        self.observe(lambda change: self.keep("yes" if change["new"] else ""), "value")


class Step(widgets.VBox):
    """One step of the job: what it lacks in plain words, and widgets made when it is opened."""

    heading = ""
    slow = False  # whether a look takes as long as a breath

    def __init__(self, bench: Bench) -> None:
        self.bench, self.made = bench, False
        super().__init__()

    def lacks(self) -> str:
        """Return what is still missing, or what is there."""
        raise NotImplementedError

    def build(self) -> list[widgets.Widget]:
        """Return the widgets of this step."""
        raise NotImplementedError

    def look(self) -> None:
        """Work out again what depends on other boxes."""

    def unfold(self) -> None:
        """Make the widgets if need be, and look again."""
        if not self.made:
            self.children, self.made = self.build(), True
        self.look()


def follow(bench: Bench, panel: widgets.Widget) -> None:
    """Let a panel within this one be as large as it is, by the one button that there is."""
    if room := getattr(panel, "room", None):
        room.layout.display, room.value = "none", bench.size == ROOM


def grid(columns: str, *children: widgets.Widget) -> widgets.HBox:
    """Return widgets in columns, as CSS writes them; a box's trouble is told across all below."""
    boxes = [each for each in children if isinstance(each, Box)]
    for box in boxes:
        box.children = [part for part in box.children if part is not box.note]
        box.note.add_class("dl-told")
    made = widgets.HBox([*children, *(box.note for box in boxes)])
    made.layout.grid_template_columns = columns
    made.add_class("dl-ask")
    return made


def level(*children: widgets.Widget) -> widgets.HBox:
    """Return widgets side by side on one line of feet."""
    made = row(*children)
    made.add_class("dl-level")
    return made


def units_row(bench: Bench, quantities: list[str]) -> widgets.HBox:
    """Return the choice of the unit that a bare number is taken in."""
    choices = []
    for quantity in quantities:
        usual = UNIT_OF[quantity]
        others = [unit for unit in units_of(quantity) if unit != usual]
        choices.append(Choice(bench, f"unit {quantity}", f"{quantity} in", [usual, *others]))
    return row(*choices)
