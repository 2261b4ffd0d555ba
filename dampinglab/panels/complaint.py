"""Lesson 09: from complaint to change; checks first, then questions, then evidence."""

from collections.abc import Mapping

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.figures import complaint as figure
from dampinglab.figures.look import DESK, QUIET, ROOM
from dampinglab.figures.words import FELT_MEANS
from dampinglab.panels.controls import NAMED, choice, row, whole
from dampinglab.panels.still import still
from dampinglab.panels.style import STYLE
from dampinglab.physics.damper import MeasuredDamper, Setting, middle_of_force
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop import demo
from dampinglab.workshop.advice import Advice, advise
from dampinglab.workshop.complaint import ANSWERS, COMPLAINTS, find
from dampinglab.workshop.corners import AXLES, out
from dampinglab.workshop.gates import GATES, Gate, first_failed
from dampinglab.workshop.start import named_setting
from dampinglab.workshop.watched import MAYBE

__all__ = ["ComplaintPanel", "complaint_panel"]

_MARKS = {"not yet": None, "right": True, "failed": False}
_ASKS = {
    "when": "When is it felt",
    "where": "Where",
    "pace": "How it moves",
    "load": "Load",
    "heat": "Warm or cold",
}
_ANY, _AS_WEIGHED, _CHOOSE = "not asked", "as weighed", "choose one"
_DRIVES = "Working out what a change does on this vehicle…"
_FELT = f"{FELT_MEANS} From {100 * MAYBE:.0f} % it is maybe felt: also an assumption."
_TRADE = "The catalogue is common practice, no source; the evidence is a model's: compare with it."
_MORE_STYLE = f"""<style>
.dl-gates > .widget-hbox {{align-items:center; border-bottom:1px solid #E4DFD5; min-height:40px}}
.dl-complaint .widget-vbox {{overflow:visible}}
.dl-gates p, .dl-complaint .dl-words {{margin:2px 0}}
.dl-gates .jupyter-button {{height:30px; line-height:28px; min-width:max-content}}
.dl-gates .jupyter-button.mod-active:nth-child(1) {{background:{QUIET}; border-color:{QUIET}}}
.dl-gates .jupyter-button.mod-active:nth-child(3) {{background:#8A1C00; border-color:#8A1C00}}
.dl-complaint .dl-grid .widget-dropdown {{width:auto}}
.dl-complaint.dl-room .dl-grid {{
  grid-template-columns:repeat(auto-fit, minmax(min(500px, 100%), 1fr))}}
.dl-complaint.dl-room img {{max-width:1240px !important}}
.dl-complaint .dl-which {{width:auto; max-width:760px}}
.dl-stop {{border-left-color:#8A1C00; font-weight:650}}
</style>"""


def _said(words: str, kind: str = "dl-words") -> str:
    """Return a sentence as the page shows it; empty for none."""
    role = ' role="status"' if kind.startswith("dl-words") else ""
    return f'<p class="{kind}"{role}>{whole(words)}</p>' if words else ""


class ComplaintPanel(widgets.VBox):
    """Tick the checks, answer what is asked, choose a complaint: one change, or none, and why."""

    def __init__(self, vehicle: Vehicle, dampers: dict, settings, totals, note: str) -> None:
        self.vehicle, self.dampers = vehicle, dampers
        self.settings, self.totals = settings, totals
        self.advice: Advice | None = None
        self.marks = {key: _marked(gate) for key, gate in GATES.items()}
        self.asks = {name: _asked(name) for name in ANSWERS}
        self.axle = _list("Axle to turn", [axle for axle in AXLES if axle in vehicle.axles])
        self.load = _list("Computed for", [_AS_WEIGHED, *(case.name for case in vehicle.loads)])
        self.complaint = _list("Complaint", [])  # JupyterLab takes the arrow keys from open lists
        super().__init__([self._head(note), *self._gates(), *self._questions(), *self._answer()])
        for name in ("dl-panel", "dl-complaint"):
            self.add_class(name)
        self._connect()
        self._narrow()
        self._pass()

    @property
    def chosen(self) -> tuple[str, str, str, int] | None:
        """The complaint with the change advised: key, axle, adjuster, clicks (+ is out)."""
        if self.advice is None or self.advice.change is None:
            return None
        change = self.advice.change
        return self.advice.complaint.key, change.axle, change.adjuster, change.clicks_by

    def answers(self) -> dict[str, bool | None]:
        """Return how each check stands."""
        return {key: _MARKS[mark.value] for key, mark in self.marks.items()}

    def _head(self, note: str) -> widgets.HTML:
        top = f"<h3>From complaint to change</h3>{_said(f'{note} {_TRADE}', 'dl-fixed')}"
        return widgets.HTML(STYLE + _MORE_STYLE + top)

    def _gates(self) -> list[widgets.Widget]:
        """Return what opens the list, so that Tab goes on into it; the list; what it says."""
        lines = []
        for number, (key, mark) in enumerate(self.marks.items(), 1):
            asks = widgets.HTML(_said(f"{number}. {GATES[key].asks}", "dl-fixed"))
            asks.layout.flex = "1 1 40%"
            lines.append(widgets.HBox([asks, mark]))
        self.gates = widgets.VBox(lines)
        self.gates.add_class("dl-gates")
        self.all = widgets.Button(
            description="I have checked all of these: right",
            tooltip="Every check is right, but for those that failed",
        )
        self.again = widgets.Button(description="Look at the checks again", tooltip="Open the list")
        self.next = widgets.HTML()
        return [row(self.again), self.gates, self.next, row(self.all)]

    def _questions(self) -> list[widgets.Widget]:
        self.count, self.stands = widgets.HTML(), widgets.HTML()
        self.complaint.add_class("dl-which")
        lists = row(*self.asks.values())
        lists.add_class("dl-grid")
        which = row(self.axle, self.load)
        which.add_class("dl-grid")
        self.questions = widgets.VBox([lists, self.count, self.complaint, which, self.stands])
        return [self.questions]

    def _answer(self) -> list[widgets.Widget]:
        self.answer, self.price, self.after = (widgets.HTML() for _ in range(3))
        self.picture = widgets.VBox()
        self.result = widgets.VBox([self.answer, self.picture, self.price, self.after])
        self.room = widgets.ToggleButton(description="Projector size", tooltip="Larger words")
        return [self.result, row(self.room), widgets.HTML(_said(_FELT, "dl-fixed"))]

    def _connect(self) -> None:
        for mark in self.marks.values():
            mark.observe(lambda _change: self._pass(), "value")
        for name, asked in self.asks.items():
            asked.observe(lambda change, name=name: self._asked(name, change["new"]), "value")
        for each in (self.axle, self.load):
            each.observe(lambda _change: self.refresh(), "value")
        self.complaint.observe(self._choose, "value")
        self.all.on_click(lambda _button: self._mark_all())
        self.again.on_click(lambda _button: self._open(is_open=True))
        self.room.observe(self._resize, "value")

    def _mark_all(self) -> None:
        for mark in self.marks.values():
            if _MARKS[mark.value] is None:
                mark.value = "right"
        self._pass()

    def _pass(self) -> None:
        """Show what holds the job up, or let the questions be asked."""
        held = _holds(self.answers())
        self.next.value = _said(*_gate_words(held, self.answers())) if held else ""
        self.questions.layout.display = self.result.layout.display = "none" if held else ""
        self._open(is_open=held is not None)
        self.refresh()

    def _open(self, is_open: bool) -> None:
        """Show the list of checks, or fold it into one line."""
        self.gates.layout.display = self.all.layout.display = "" if is_open else "none"
        self.again.layout.display = "none" if is_open else ""
        if not is_open:
            self.next.value = _said(f"All {len(GATES)} checks are right.", "dl-fixed")

    def _asked(self, name: str, answer: str) -> None:
        """Narrow the list; where it is felt says which axle to turn."""
        if name == "where" and answer in self.axle.options:
            self.axle.value = answer
        self._narrow()

    def _choose(self, change: dict) -> None:
        """Answer a complaint; one that belongs to an axle is about that axle."""
        where = COMPLAINTS[change["new"]].where if change["new"] else ()
        if len(where) == 1 and where[0] in self.axle.options and where[0] != self.axle.value:
            self.axle.value = where[0]
        else:
            self.refresh()

    def _narrow(self) -> None:
        """Offer the complaints that fit the answers; keep the chosen one if it is among them."""
        given = {name: asked.value for name, asked in self.asks.items() if asked.value != _ANY}
        keys, old = find(**given), self.complaint.value
        options = [(COMPLAINTS[key].words, key) for key in keys]
        self.complaint.unobserve(self._choose, "value")
        self.complaint.options = [(_CHOOSE, None), *options]
        self.complaint.index = keys.index(old) + 1 if old in keys else 0  # None would show blank
        self.complaint.observe(self._choose, "value")
        fits = f"{len(keys)} of {len(COMPLAINTS)} complaints fit; choose the one that says it best."
        none = "No complaint fits these answers: leave one of them not asked."
        self.count.value = _said(fits if keys else none, "dl-fixed")
        if self.complaint.value != old:
            self.refresh()

    def refresh(self) -> None:
        """Say at once what to look at first, then drive and show what the change does."""
        self.advice = None
        self.stands.value = _said(self._standing(), "dl-fixed")
        self._show("", "", ())
        self.answer.value = ""
        key = self.complaint.value
        if key is None or _holds(self.answers()):
            return
        self._say_first(key)
        try:
            self.advice = self._advised(key)
        except LearnerError as trouble:
            self.answer.value = _said(str(trouble))
            return
        self._show_advice()

    def _say_first(self, key: str) -> None:
        complaint = COMPLAINTS[key]
        kind = "dl-words dl-stop" if complaint.stops else "dl-words"
        self.answer.value = _said(complaint.instead, kind)
        if complaint.remedies:
            self.answer.value += _said(_DRIVES)

    def _advised(self, key: str) -> Advice:
        axle, load = self.axle.value, self.load.value
        other = next((each for each in AXLES if each != axle), None)
        behind = self.dampers.get(other)
        known = (behind, self._setting(other)) if hasattr(behind, "valve_force") else None
        case = None if load == _AS_WEIGHED else load
        ours = self.dampers.get(axle)
        now = self._setting(axle) if hasattr(ours, "valve_force") else self._given(axle)
        return advise(key, self.vehicle, axle, ours, now, case, other=known)

    def _given(self, axle: str) -> Setting | Mapping[str, int] | None:
        """Return the clicks as given, as found or the maker's; none where nobody told them."""
        on_sheet, given = self.vehicle.axles.get(axle), self.settings.get(axle)
        return given or (on_sheet and (on_sheet.as_found or on_sheet.maker)) or given

    def _setting(self, axle: str) -> Setting | None:
        """Return the clicks now: as given, as found, the maker's, or the middle."""
        damper, given = self.dampers.get(axle), self._given(axle)
        if not hasattr(damper, "valve_force"):
            return None
        if given:
            return named_setting(damper, given) if hasattr(given, "items") else tuple(given)
        if isinstance(damper, MeasuredDamper):
            return middle_of_force(damper)
        return tuple(each.clicks // 2 for each in damper.adjusters)

    def _standing(self) -> str:
        """Return where the adjusters of the chosen axle stand."""
        damper, axle = self.dampers.get(self.axle.value), self.axle.value
        try:
            setting = self._setting(axle)
        except LearnerError as trouble:
            return str(trouble)
        if setting is None:
            return f"{axle.capitalize()}: no curve by click is known of this damper."
        counted = self.totals.get(axle, {})  # a hand's count goes before that of a table
        clicks = [
            f"{a.name} {out(n, counted.get(a.name, a.clicks))}"
            for a, n in zip(damper.adjusters, setting, strict=True)
        ]
        told = ", ".join(clicks) or "nothing to adjust"
        return f"{axle.capitalize()} now, in clicks out from closed (from soft): {told}."

    def _show_advice(self) -> None:
        advice = self.advice
        if advice.complaint.remedies:
            look_first = _said(advice.complaint.instead, "dl-fixed")
            self.answer.value = look_first + _said(figure.sentence(advice))
        warned = _said(advice.warning, "dl-note")
        self._show(figure.price(advice), warned, figure.remarks(advice))
        if advice.ways:
            picture = figure.draw(advice, ROOM if self.room.value else DESK)
            self.picture.children = (still(picture, figure.alternative(advice)),)

    def _show(self, price: str, warned: str, remarks: tuple[str, ...]) -> None:
        self.picture.children = ()
        self.price.value = warned + _said(price, "dl-words")
        self.after.value = "".join(_said(each, "dl-fixed") for each in remarks)

    def _resize(self, change: dict) -> None:
        (self.add_class if change["new"] else self.remove_class)("dl-room")
        if self.advice is not None:
            self._show_advice()


def _holds(answers: dict[str, bool | None]) -> Gate | None:
    """Return what holds the job up: a failure that stops driving, any failure, the next check."""
    failed = [GATES[key] for key, answer in answers.items() if answer is False]
    return next((gate for gate in failed if gate.stops), next(iter(failed), first_failed(answers)))


def _gate_words(held: Gate, answers: dict[str, bool | None]) -> tuple[str, str]:
    """Return what a gate says, and how it looks."""
    if answers[held.key] is None:
        return f"Next: {held.asks} {held.how}", "dl-words"
    return held.fails, "dl-words dl-stop"


def _marked(gate: Gate) -> widgets.ToggleButtons:
    mark = choice(gate.asks, list(_MARKS))
    mark.style.button_width = "5.4em"
    return mark


def _asked(name: str) -> widgets.Dropdown:
    options = [(_ANY, _ANY), *((words, key) for key, words in ANSWERS[name].items())]
    return _list(_ASKS[name], options)


def _list(name: str, options: list) -> widgets.Dropdown:
    return widgets.Dropdown(options=options, description=name, style=NAMED)


def complaint_panel(
    vehicle: Vehicle | None = None,
    dampers: dict | None = None,
    settings: dict | None = None,
    totals: dict | None = None,
) -> ComplaintPanel:
    """Return the panel with the learner's vehicle, dampers and settings by axle, or the demo's.

    With `totals`, by axle and adjuster, clicks from soft are told by what was counted in all.
    """
    own, fitted, told = demo.stand_ins(vehicle, dampers)
    return ComplaintPanel(own, fitted, settings or {}, totals or {}, told)
