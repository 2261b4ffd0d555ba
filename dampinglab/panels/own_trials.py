"""Step 7 of the working tool: one change at a time, driven, compared and undone."""

import html
import re
from textwrap import shorten

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.panels.controls import listed, row
from dampinglab.panels.own_boxes import WAYS, Box, Choice, Said, Step, button, grid, level, words
from dampinglab.units import parse_clicks, parse_number, parse_quantity
from dampinglab.workshop import trials
from dampinglab.workshop.corners import AXLES, CORNERS, setting_words
from dampinglab.workshop.day import Day
from dampinglab.workshop.method import Method
from dampinglab.workshop.own_card import adjusters_of, changed_words
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
_ABA = "Drive A, then B, then A again: the machine finds the second A by itself."
_FEW = (
    "Nothing was driven yet.",
    "There is only one drive yet: turn one adjuster, then drive again.",
    "All drives so far were at one setting: turn one adjuster, then drive again.",
)
_LINE = 80  # letters in a list
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
        last, taken = day.entries[-1], self.bench.get("felt change")
        if last.number == 1:
            then = f" Then turn what was taken over: {taken}." if taken else ""
            return f"As found is recorded; next, drive it as it is.{then}"
        driven = last.kind in ("drive", "scores")
        told = f"Record {last.number}: {last.words}" if driven else "Next, drive it."
        return f"{_stands(day)} {told}"

    def build(self) -> list[widgets.Widget]:
        """Return the setting of now, and what may be done to it."""
        self.now, self.history, self.last = Said(), widgets.HTML(), 0
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
        now = f"{_stands(day)} Out from closed: {setting_words(day.setting)}."
        self.now.say(now, *day.faults, *day.complaints, kind="dl-words")
        self._forget(day.entries[-1].number)
        self.alike_row.layout.display = "" if day.faults else "none"
        self._offer(day)
        self.history.value = _table(day)

    def _forget(self, last: int) -> None:
        """Take away what was told of an older record."""
        if last != self.last:
            self.last = last
            for said in (self.changed, self.drove, self.undone, self.compared):
                said.say()

    def _offer(self, day: Day) -> None:
        names = adjusters_of(day)
        for chosen, options in ((self.axle, AXLES), (self.adjuster, names), (self.way, WAYS)):
            chosen.offer(options)
        self.clicks.show()
        sheet = by_wheel(self.bench.written, "cold")
        for corner, typed in self.cold.items():
            typed.placeholder = "as on the sheet" if corner in sheet else "kPa"
        every, kept = [(e.short, e.number) for e in reversed(day.entries)], self.to.value
        if tuple(every) != self.to.options:
            self.to.options, self.to.value = every, kept or day.entries[0].number
        self._offer_drives(day)

    def _offer_drives(self, day: Day) -> None:
        """Offer the drives, the last two that can be compared first, or say why there are none."""
        drives, lacks = _driven(day), ""
        if usual := day.pair_to_compare:
            if tuple(drives) != self.a.options:
                for chosen, number in zip((self.a, self.b), usual, strict=True):
                    chosen.options, chosen.value = drives, number
        else:
            lacks = _FEW[min(len(drives), 2)]
        self.why.say(_ABA, lacks)
        self.pair.layout.display = "" if usual else "none"

    def _change(self) -> list[widgets.Widget]:
        self.axle = Choice(self.bench, "change axle", "Axle", AXLES)
        self.adjuster = Choice(self.bench, "change adjuster", "Adjuster", ADJUSTERS)
        self.way = Choice(self.bench, "change way", "Way", WAYS)
        self.clicks = Box(
            self.bench, "change clicks", "Clicks to turn", hint="clicks", place="clicks"
        )
        self.more = widgets.Checkbox(description="A second change is meant", indent=False)
        self.changed = Said()
        self.alike = Box(self.bench, "alike found", "What was found", place="what was found")
        out = Box(self.bench, "alike clicks", "Clicks out from closed, both", place="clicks out")
        turn = button("Turn both dampers and record it", self._turn, self.changed)
        same = button("Set both sides alike", self._alike, self.changed)
        self.alike_row = widgets.VBox([words(_DIFFER), level(out, self.alike, same)])
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
        self.drove, self.cold = Said(), {}
        keep = row(button("Record this drive", self._record, self.drove))
        grids = [grid(_FOUR, *fields), grid(_FOUR, *map(self._cold, CORNERS)), row(*asked)]
        return [*grids, words(_RATINGS), *self._ratings(), keep, self.drove]

    def _cold(self, corner: str) -> Box:
        label, place = f"Cold pressure, {corner}", f"cold, {corner}"
        box = Box(self.bench, f"drive {corner} cold", label, "kPa", place=place)
        self.cold[corner] = box.typed
        return box

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
        passes = max(map(len, ratings.values()), default=None)
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
        self.to = listed("To the setting after", [])
        self.undone = Said()
        return [row(self.to, button("Go back", self._undo, self.undone)), self.undone]

    def _undo(self) -> str:
        entry = trials.undo(self.bench.trials, self.to.value)
        self.bench.tell()
        return f"{entry.words} Turn the knobs there, counting."

    def _versus(self) -> list[widgets.Widget]:
        self.a, self.b, self.why, self.compared = listed("A", []), listed("B", []), Said(), Said()
        self.pair = row(self.a, self.b, button("Compare", self._ask, self.compared))
        return [self.why, self.pair, self.compared]

    def _ask(self) -> tuple[str, ...]:
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


def _stands(day: Day) -> str:
    """Return what is changed from the setting as found."""
    return changed_words(day.entries[0].setting, day.setting) or "It stands as found."


def _undriven(day: Day) -> int:
    """Return how many turns stand behind the last drive, or behind a setting gone back to."""
    kinds = [entry.kind for entry in day.entries if entry.kind != "scores"]
    return next(n for n, kind in enumerate(reversed(kinds)) if kind != "change")


def _driven(day: Day) -> list[tuple[str, int]]:
    """Return the drives, the last first, each with what was changed from as found."""
    found = day.entries[0].setting
    told = {e.number: changed_words(found, e.setting) for e in day.entries if e.kind == "drive"}
    lines = [(f"Drive {n}: {words.rstrip('.') or 'as found'}", n) for n, words in told.items()]
    return [(shorten(line, _LINE, placeholder=" …"), n) for line, n in reversed(lines)]
