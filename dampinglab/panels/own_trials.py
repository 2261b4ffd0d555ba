"""Step 7 of the working tool: one change at a time, driven, compared and undone."""

import html
import re

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.panels.controls import row
from dampinglab.panels.own_boxes import WAYS, Box, Choice, Said, Step, button, grid, level, words
from dampinglab.units import parse_clicks, parse_number, parse_quantity
from dampinglab.workshop import trials
from dampinglab.workshop.corners import AXLES, CORNERS, setting_words
from dampinglab.workshop.day import Day
from dampinglab.workshop.method import Method
from dampinglab.workshop.own_sheet import by_wheel
from dampinglab.workshop.text import ADJUSTERS

__all__ = ["TrialsStep"]

_FOUR = "repeat(4, minmax(110px, 1fr))"
_PASSES = (1, 2, 3)
_RATED = ("body control", "small bumps", "sharp edges", "steering")
_YES = ("not noted", "yes", "no")
# Label, name in the method, and the unit that a number is kept in.
_TEXTS = (("Route", "route"), ("Driver", "driver"), ("Load", "load"))
_NUMBERS = (
    ("Speed by GPS, km/h", "speed_kmh"),
    ("Fuel, % of the tank", "fuel_percent"),
    ("Air, °C", "air_c"),
    ("Damper body, °C", "damper_c"),
)
_ASKED = (
    ("Dampers warm", "warm"),
    ("Rated before data were seen", "rated_first"),
    ("Driver knew the setting", "knew"),
)
# What the workshop's sentences call by the names of its functions stands on buttons here.
_ON_BUTTONS = (
    (r"ask for it with more=True", "tick “A second change is meant”"),
    (r"then set both alike with set_alike\(\.\.\.\)", "then set both alike below"),
    (r"turn it with change\(\.\.\.\)", "turn both of them"),
    (r"as in \{.*?\}", "a number a pass"),
)
_DIFFER = "Left and right differ. Choose axle and adjuster above, and set both alike:"
_TOGETHER = (
    "That is turn {} without a drive between: the next drive tells what they did together, and of "
    "none of them alone."
)
_RATINGS = "Ratings, 1 to 10, 10 is best: a box for each pass; what was not rated stays empty."
_RULES = (
    "One change is one adjuster, the same clicks, both dampers of one axle; then drive. Pressures "
    "cold, dampers warm, same route, speed, driver and load; three passes, rated before anybody "
    "looks at data. Drive where it is allowed and safe, and turn clicks with the vehicle standing."
)


class TrialsStep(Step):
    """Change, drive, undo and compare, all in trials.jsonl."""

    heading = "Trials"

    def lacks(self) -> str:
        """Return what comes next."""
        day = self.bench.day()
        if day is None:
            return "Waits for the clicks as found (step 2)."
        last = day.entries[-1]
        if last.number == 1:
            return "As found is recorded; next, drive it as it is."
        return f"Record {last.number} is the last: {last.words[:1].lower()}{last.words[1:]}"

    def build(self) -> list[widgets.Widget]:
        """Return the setting of now, and what may be done to it."""
        self.now, self.history = Said(), widgets.HTML()
        self.parts = widgets.VBox(
            [
                _part("Change"), *self._change(),
                _part("Drive"), *self._drive(),
                _part("Go back"), *self._back(),
                _part("Compare A-B-A"), *self._versus(),
                _part("All records"), self.history,
            ]
        )  # fmt: skip
        return [words(_RULES), self.now, self.parts]

    def look(self) -> None:
        """Show the setting, the records, and what may be chosen of them."""
        day = self.bench.day()
        self.parts.layout.display = "" if day else "none"
        if day is None:
            self.now.say("Record the clicks as found first: step 2.", kind="dl-words")
            return
        stands = f"Now, out from closed: {setting_words(day.setting)}."
        self.now.say(stands, *day.faults, *day.complaints, kind="dl-words")
        self.alike_row.layout.display = "" if day.faults else "none"
        self._offer(day)
        self.history.value = _table(day)

    def _offer(self, day: Day) -> None:
        names = [name for name in ADJUSTERS if any(name in c for c in day.totals.values())]
        for chosen, options in ((self.axle, AXLES), (self.adjuster, names), (self.way, WAYS)):
            chosen.offer(options or ADJUSTERS)
        self.clicks.show()
        every = [(f"{e.number}. {e.words[:70]}", e.number) for e in reversed(day.entries)]
        drives = _driven(day)
        for chosen, options, usual in (
            (self.to, every, -1), (self.a, drives, -1), (self.b, drives, 0)
        ):  # fmt: skip
            _refill(chosen, options, usual)

    def _change(self) -> list[widgets.Widget]:
        self.axle = Choice(self.bench, "change axle", "Axle", AXLES)
        self.adjuster = Choice(self.bench, "change adjuster", "Adjuster", ADJUSTERS)
        self.way = Choice(self.bench, "change way", "Way", WAYS)
        self.clicks = Box(
            self.bench, "change clicks", "Clicks to turn", hint="clicks", place="clicks"
        )
        self.more = widgets.Checkbox(description="A second change is meant", indent=False)
        self.changed, self.alike = Said(), Box(self.bench, "alike found", "What was found")
        out = Box(self.bench, "alike clicks", "Clicks out from closed, both", place="clicks out")
        turn = button("Turn both dampers and record it", self._turn, self.changed)
        same = button("Set both sides alike", self._alike, self.changed)
        self.alike_row = row(words(_DIFFER), out, self.alike, same)
        self.clicks.layout.width = "6em"
        choices = level(self.axle, self.adjuster, self.clicks, self.way)
        return [choices, row(turn, self.more), self.alike_row, self.changed]

    def _turn(self) -> tuple[str, str]:
        by = parse_clicks(self.bench.get("change clicks"))
        by = by if self.way.value == WAYS[0] else -by
        axle, name = self.axle.value, self.adjuster.value
        entry = _told(trials.change, self.bench.trials, axle, name, by, more=self.more.value)
        self.more.value = False
        self.bench.tell()
        turns = _undriven(self.bench.day())
        together = _TOGETHER.format(turns) if turns > 1 else ""
        return f"{entry.words} Turn both, counting, then drive.", together

    def _alike(self) -> str:
        found = self.bench.get("alike found")
        if not found:
            raise LearnerError("Write what was found first.")
        n = parse_clicks(self.bench.get("alike clicks"))
        axle, name = self.axle.value, self.adjuster.value
        entry = _told(trials.set_alike, self.bench.trials, axle, name, n, found)
        self.bench.tell()
        return entry.words

    def _drive(self) -> list[widgets.Widget]:
        fields = [
            Box(self.bench, f"drive {name}", label, place=label)
            for label, name in (*_TEXTS, *_NUMBERS)
        ]
        asked = [Choice(self.bench, f"drive {name}", label, _YES) for label, name in _ASKED]
        self.drove = Said()
        keep = row(button("Record this drive", self._record, self.drove))
        grids = [grid(_FOUR, *fields), grid(_FOUR, *map(self._cold, CORNERS)), row(*asked)]
        return [*grids, words(_RATINGS), *self._ratings(), keep, self.drove]

    def _cold(self, corner: str) -> Box:
        label, place = f"Cold pressure, {corner}", f"cold, {corner}"
        hint = "as on the sheet"
        return Box(self.bench, f"drive {corner} cold", label, "kPa", hint=hint, place=place)

    def _ratings(self) -> list[widgets.Widget]:
        self.rated, rows = [], []
        for i, usual in enumerate(_RATED, 1):
            name = Box(self.bench, f"rating {i}", f"Rating {i}, what", hint=usual)
            passes = [
                Box(self.bench, f"rating {i} pass {n}", f"Rating {i}, pass {n}", hint=f"pass {n}")
                for n in _PASSES
            ]
            self.rated.append((usual, f"rating {i}", passes))
            rows.append(grid(_FOUR, name, *passes))
        return rows

    def _record(self) -> tuple[str, ...]:
        ratings = {}
        for usual, name, boxes in self.rated:
            given = [parse_number(t) for t in (self.bench.get(b.name) for b in boxes) if t]
            if given:
                ratings[self.bench.get(name, usual)] = given
        passes = max(map(len, ratings.values()), default=len(_PASSES))
        entry = trials.drive(self.bench.trials, Method(passes=passes, **self._method()), ratings)
        self.bench.put({box.name: "" for _, _, boxes in self.rated for box in boxes})
        for _, _, boxes in self.rated:
            for box in boxes:
                box.show()
        return (f"{entry.number}. {entry.words}", *entry.method.cautions)

    def _method(self) -> dict:
        """Return how it was driven, as far as it was noted."""
        noted = {name: self.bench.get(f"drive {name}") for _, name in _TEXTS}
        numbers = {name: self.bench.get(f"drive {name}") for _, name in _NUMBERS}
        noted |= {name: _plain(text) for name, text in numbers.items() if text}
        answers = {name: self.bench.get(f"drive {name}") for _, name in _ASKED}
        noted |= {name: said == "yes" for name, said in answers.items() if said in _YES[1:]}
        cold = {c: self.bench.get(f"drive {c} cold") for c in CORNERS}
        sheet = by_wheel(self.bench.written, "cold")
        read = {c: parse_quantity(t, "pressure", "kPa") for c, t in cold.items() if t}
        pressures = {c: round(pa / 1e3, 1) for c, pa in (sheet | read).items()}
        return {n: value for n, value in noted.items() if value != ""} | {
            "cold_kpa": pressures or None
        }

    def _back(self) -> list[widgets.Widget]:
        self.to = widgets.Dropdown(description="To the setting after", options=[])
        self.to.style.description_width = "initial"
        self.undone = Said()
        return [row(self.to, button("Go back", self._undo, self.undone)), self.undone]

    def _undo(self) -> str:
        entry = trials.undo(self.bench.trials, self.to.value)
        self.bench.tell()
        return f"{entry.words} Turn the knobs there, counting."

    def _versus(self) -> list[widgets.Widget]:
        self.a = widgets.Dropdown(description="A", options=[])
        self.b = widgets.Dropdown(description="B", options=[])
        self.compared = Said()
        why = words("Drive A, then B, then A again: the machine finds the second A by itself.")
        ask = button("Compare", self._ask, self.compared)
        return [why, row(self.a, self.b, ask), self.compared]

    def _ask(self) -> tuple[str, ...]:
        if None in (self.a.value, self.b.value):
            raise LearnerError("There are no two drives yet.")
        return trials.compare(self.bench.trials, self.a.value, self.b.value).words


def _part(name: str) -> Said:
    return words(name, kind="dl-own-part")


def _plain(text: str) -> float:
    return parse_number(re.sub(r"\s*(km/h|%|°?C)$", "", text))


def _told(act, *arguments, **options):
    """Do it; a refusal names what stands on the screen in place of functions."""
    try:
        return act(*arguments, **options)
    except LearnerError as trouble:
        said = str(trouble)
        for function, seen in _ON_BUTTONS:
            said = re.sub(function, seen, said)
        raise LearnerError(said) from None


def _table(day: Day) -> str:
    """Return all records, the last first."""
    rows = "".join(
        f"<tr><th>{e.number}</th><td>{html.escape(e.when[:16].replace('T', ' '))}</td>"
        f"<td>{html.escape(e.words)}</td></tr>"
        for e in reversed(day.entries)
    )
    head = "<thead><tr><th>no.</th><th>when (UTC)</th><th>what</th></tr></thead>"
    return f"<table class='dl-scores dl-records'>{head}<tbody>{rows}</tbody></table>"


def _refill(chosen: widgets.Dropdown, options: list[tuple[str, int]], usual: int) -> None:
    """Give a list other options; what was chosen stays chosen, else the usual one is."""
    if tuple(options) != tuple(chosen.options):
        kept = chosen.value
        chosen.options = options
        there = [number for _, number in options]
        chosen.value = kept if kept in there else (there[usual] if there else None)


def _undriven(day: Day) -> int:
    """Return how many turns stand behind the last drive, or behind a setting gone back to."""
    kinds = [entry.kind for entry in day.entries if entry.kind != "scores"]
    return next(n for n, kind in enumerate(reversed(kinds)) if kind != "change")


def _driven(day: Day) -> list[tuple[str, int]]:
    """Return the drives, the last first, each with the record whose setting was driven."""
    told, stood = [], day.entries[0]
    for entry in day.entries:
        if entry.kind == "drive":
            told.append(
                (f"{entry.number}. driven after {stood.number}: {stood.words}"[:90], entry.number)
            )
        elif entry.kind != "scores":
            stood = entry
    return told[::-1]
