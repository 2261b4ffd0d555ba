"""Steps 1 and 2 of the working tool: the vehicle sheet, and what is known of the dampers."""

import html
from contextlib import suppress

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.panels.controls import row
from dampinglab.panels.own_bench import SOURCES, Bench
from dampinglab.panels.own_boxes import (
    Box,
    Choice,
    FileBox,
    Said,
    Step,
    button,
    grid,
    units_row,
    words,
)
from dampinglab.workshop import trials
from dampinglab.workshop.corners import AXLES, pair
from dampinglab.workshop.day import Day
from dampinglab.workshop.lever import lever, read_pairs
from dampinglab.workshop.own_dampers import (
    COUNT,
    KINDS,
    KNOWN,
    RATING,
    clicks_as_found,
    clicks_lacking,
    count_problem,
    kinds,
    nothing_known,
)
from dampinglab.workshop.own_rows import CAUTION, LOADS, ROWS, VEHICLE, Ask
from dampinglab.workshop.own_sheet import lacking, problem

__all__ = ["DamperStep", "VehicleStep", "asked", "asked_clicks"]

_UNITS = ["mass", "length", "stiffness", "pressure"]
_PAIRS = "-40  402\n0  378\n40  354"
_BARE = "A number without a unit is taken in these; the unit then stands behind it and stays."


_WIDE = {  # columns of a row by how many boxes it has
    1: "minmax(270px, 1fr) minmax(150px, 1fr)",
    2: "minmax(270px, 1fr) repeat(2, minmax(100px, 0.5fr))",
    4: "minmax(270px, 1fr) repeat(4, minmax(86px, 0.25fr))",
}


def asked(bench: Bench, ask: Ask) -> widgets.HBox:
    """Return one row of a sheet: what to measure and how, and a box for each place."""
    said = f"<p><b>{html.escape(ask.label)}</b></p><p class='dl-fixed'>{html.escape(ask.how)}</p>"
    boxes = [_box(bench, ask, *each) for each in zip(ask.places, ask.boxes, strict=True)]
    return grid(_WIDE[len(boxes)], widgets.HTML(said), *boxes)


def _box(bench: Bench, ask: Ask, place: str, name: str) -> Box:
    lines, hint = (6, _PAIRS) if ask.name == "pairs" else (1, ask.unit)
    above = "" if place == VEHICLE else place
    label = _aloud(ask, place)
    return Box(bench, name, label, ask.unit, lambda text: problem(ask, text), lines, hint, above)


def _aloud(ask: Ask, place: str) -> str:
    """Return a box's name for those who hear it."""
    where = "" if place == VEHICLE else f", {place}"
    return f"{ask.label}{where}" + (f", in {ask.unit}" if ask.unit else "")


class VehicleStep(Step):
    """The sheet: every box says what to measure and how; only the wheels' masses must be there."""

    heading = "Vehicle"

    def lacks(self) -> str:
        """Return what the sheet lacks."""
        if not self.bench.sheet():
            return lacking(self.bench.written)
        try:
            return f"Taken from your sheet: {self.bench.vehicle().name}."
        except LearnerError as trouble:
            return str(trouble)

    def build(self) -> list[widgets.Widget]:
        """Return the choice of a sheet, the rows, and what is assumed."""
        self.source = Choice(self.bench, "vehicle from", "The sheet is", SOURCES)
        self.file = Box(self.bench, "vehicle file", "File", hint="vehicle.toml")
        rows = [asked(self.bench, ask) for ask in ROWS]
        loads = words("Loads, if it is driven loaded", kind="dl-own-part")
        place = next(i for i, ask in enumerate(ROWS) if ask.places == LOADS)
        units = [units_row(self.bench, _UNITS), words(_BARE)]
        self.rows = widgets.VBox([*units, *rows[:place], loads, *rows[place:]])
        self.assumed = Said()
        top = row(self.source, self.file)
        return [words(CAUTION, kind="dl-words"), top, self.rows, self.assumed]

    def look(self) -> None:
        """Show the rows or the file, and what is assumed now."""
        typed = not self.bench.sheet()
        self.rows.layout.display = "" if typed else "none"
        self.file.layout.display = "none" if typed else ""
        try:
            told = self.bench.vehicle().assumptions
        except LearnerError as trouble:
            self.assumed.say(str(trouble), kind="dl-note")
            return
        self.assumed.say(*self._levers(), *told)

    def _levers(self) -> list[str]:
        """Return what the pairs of travels tell."""
        pairs = {axle: self.bench.get(f"{axle} pairs") for axle in ("front", "rear")}
        read = {axle: lever(read_pairs(text)).told for axle, text in pairs.items() if text}
        return [f"{axle.capitalize()}: {told[:1].lower()}{told[1:]}" for axle, told in read.items()]


class DamperStep(Step):
    """A table, a rating or nothing; then the clicks of all four dampers, which start the trials."""

    heading = "Dampers"

    def lacks(self) -> str:
        """Return what is not known or counted yet."""
        day, known = self.bench.day(), self.bench.get("dampers known", KNOWN[0])
        told = f"Known: {known.removeprefix('a ')}."
        if known == KNOWN[2] and not self.bench.lies("dampers table"):
            told = "Still missing: the dyno table, in this folder."
        if not day:
            return f"{told} {clicks_lacking(self.bench.written) or 'Clicks counted, not recorded.'}"
        return f"{told} As found is recorded."

    def build(self) -> list[widgets.Widget]:
        """Return what is known, then the count of clicks."""
        self.known = Choice(self.bench, "dampers known", "What is known of them", KNOWN)
        self.table = FileBox(
            self.bench,
            "dampers table",
            "Dyno table",
            hint="my_dyno.csv",
            place="the table in this folder",
        )
        self.rating = widgets.VBox([asked(self.bench, ask) for ask in RATING])
        self.told, self.unlike = Said(), Said()
        return [self.known, self.table, self.rating, self.told, self.unlike, *self._count()]

    def _count(self) -> list[widgets.Widget]:
        self.counted: dict[tuple, list] = {}
        self.answer, self.counts = Said(), widgets.VBox()
        head = words("Clicks of all four dampers, before anything is turned", kind="dl-own-part")
        choices = [
            Choice(self.bench, f"{axle} kind", f"Adjusters, {axle}", _offered()) for axle in AXLES
        ]
        self.begin = button("Record these as found", self._begin, self.answer)
        return [head, row(*choices), words(COUNT), self.counts, row(self.begin), self.answer]

    def look(self) -> None:
        """Show what belongs to what is known, and say what it tells."""
        known = self.bench.get("dampers known", KNOWN[0])
        self.rating.layout.display = "" if known == KNOWN[1] else "none"
        self.table.layout.display = "" if known == KNOWN[2] else "none"
        self._say_known()
        self._offer_counts()
        day = self.bench.day()
        self.begin.disabled = day is not None
        if day:
            self.answer.say(*_recorded(day), kind="dl-words")

    def _say_known(self) -> None:
        self.unlike.say()
        try:
            dampers, vehicle = self.bench.dampers(), self.bench.vehicle()
        except LearnerError as trouble:
            self.told.say(str(trouble), kind="dl-note")
            return
        assumed = [each for d in dampers.values() for each in getattr(d, "assumptions", ())]
        self.told.say(*(dict.fromkeys(assumed) if dampers else nothing_known(vehicle)))
        self.unlike.say(*_unlike(dampers, self.bench.written), kind="dl-note")

    def _offer_counts(self) -> None:
        """Show a box for each adjuster of each damper; those that are there stay as they are."""
        said = kinds(self.bench.written)
        for axle, names in said.items():
            if (axle, names) not in self.counted:
                self.counted[axle, names] = asked_clicks(self.bench, axle, names)
        shown = [each for key in said.items() for each in self.counted[key]]
        if shown != list(self.counts.children):
            self.counts.children = shown

    def _begin(self) -> tuple[str, ...]:
        totals, found = clicks_as_found(self.bench.written)
        name = self.bench.get(f"{VEHICLE} name", "vehicle without a name")
        with suppress(LearnerError):  # clicks can be counted before anything is weighed
            name = self.bench.vehicle().name
        day = trials.begin(self.bench.trials, name, totals, found)
        self.bench.tell()
        return _recorded(day)


def _unlike(dampers: dict, written: dict) -> list[str]:
    """Return a sentence for each adjuster that has other clicks in all than its table."""
    try:
        totals, _ = clicks_as_found(written)
    except LearnerError:
        return []
    pairs = [(axle, each) for axle, d in dampers.items() for each in getattr(d, "adjusters", ())]
    counts = [(axle, each, totals[pair(axle)[0]].get(each.name)) for axle, each in pairs]
    return [
        f"{axle.capitalize()} {each.name}: {counted} clicks were counted in all, and the table has "
        f"{each.clicks}: count again, or look for the table of these dampers."
        for axle, each, counted in counts
        if counted not in (None, each.clicks)
    ]


def _recorded(day: Day) -> tuple[str, ...]:
    return (f"Recorded in {day.path.name}. {day.entries[0].words}", *day.faults)


def asked_clicks(bench: Bench, axle: str, names: tuple[str, ...]) -> list[widgets.HBox]:
    """Return a row for each adjuster of an axle: a count for each side."""
    rows = []
    for name in names:
        boxes = [
            Box(bench, f"{side} {name}", f"{name}, {side}: clicks out of all", "", count_problem,
                1, "14 of 20", side)
            for side in pair(axle)
        ]  # fmt: skip
        head = words(f"{axle.capitalize()}: {name}", kind="dl-own-part")
        rows.append(grid("minmax(240px, 1.2fr) repeat(2, minmax(120px, 1fr))", head, *boxes))
    return rows


def _offered() -> list[tuple[str, str]]:
    return [(kind or "not said yet", kind) for kind in KINDS]
