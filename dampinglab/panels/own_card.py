"""Step 8 of the working tool: the setting card, looked at, saved and printed."""

from datetime import date

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.figures.card import alt_text, card_page, save_pdf
from dampinglab.panels.controls import row
from dampinglab.panels.own_bench import Bench
from dampinglab.panels.own_boxes import Box, Choice, Said, Step, Tick, button, grid, level, words
from dampinglab.panels.still import still
from dampinglab.workshop.baseline import baseline
from dampinglab.workshop.card import Card, write_card
from dampinglab.workshop.corners import AXLES
from dampinglab.workshop.own_card import LEEWAYS, adjusters_of, own_card

__all__ = ["CardStep"]

_TYPED = (
    (
        "customer_words",
        "The customer's own words",
        "As they were said, not as you understood them.",
    ),
    ("felt", "What you felt", "One plain sentence, without a number."),
    ("changed", "What we changed", "Left empty: what the records say."),
    (
        "given_up",
        "What you give up",
        "Every click has a price. Left empty: that of each change taken over, while it stands.",
    ),
    ("come_back", "When to come back", "Such as: after 1,000 km, or when anything knocks."),
    ("not_fixed", "What was NOT fixed", "A line each; write none if there is nothing."),
    (
        "cautions",
        "Cautions",
        "A line each; left empty: those of the changes and of the first setting.",
    ),
)
_NOT_GIVEN = "not given"
_OLDER = "The page below is older than the boxes: press “Show the page”."
_SIGN = "Print it, sign it with the owner, and keep one with the vehicle."


class CardStep(Step):
    """What is known stands filled in; the rest is typed; the page is looked at before printing."""

    heading = "Card"

    def lacks(self) -> str:
        """Return what the card lacks."""
        try:
            gaps = self._card().missing
        except LearnerError as trouble:
            return str(trouble)
        more = f" and {len(gaps) - 3} more" if len(gaps) > 3 else ""
        return f"Not given: {', '.join(gaps[:3])}{more}." if gaps else "Complete."

    def build(self) -> list[widgets.Widget]:
        """Return the boxes, the buttons and the page."""
        bench = self.bench
        self.typed = [_typed(bench, *each) for each in _TYPED]
        dated = _asked("Date", "Left empty: today's.", Box(bench, "card date", "Date"))
        falls = [words("To fall back to", kind="dl-own-part"), *self._fall_backs()]
        self.adjusters: list[Choice] = []
        may = [words("What the owner may turn", kind="dl-own-part"), *map(self._may, LEEWAYS)]
        none = Tick(bench, "card may nothing", "The owner may turn nothing")
        return [*self.typed, dated, *falls, *may, none, *self._page()]

    def _page(self) -> list[widgets.Widget]:
        self.said, self.stale, self.page, self.drawn = Said(), Said(), widgets.VBox(), None
        acts = {
            "Show the page": self._draw,
            "Save the card": self._save,
            "Save the page as PDF": self._print,
        }
        buttons = row(*(button(label, act, self.said) for label, act in acts.items()))
        return [buttons, self.said, self.stale, words(_SIGN), self.page]

    def _fall_backs(self) -> list[widgets.Widget]:
        self.records = {
            name: Choice(self.bench, f"card {name} record", f"When {name}", [(_NOT_GIVEN, "")])
            for name in ("empty", "loaded")
        }
        self.unlike = Said()
        places = [_fall_back(self.bench, name, chosen) for name, chosen in self.records.items()]
        return [*places, self.unlike]

    def unfold(self) -> None:
        """Show the page with the boxes; afterwards by button, for it takes a second to set."""
        super().unfold()
        for chosen in self.adjusters:
            chosen.offer(adjusters_of(self.bench.day()))
        self._draw()

    def look(self) -> None:
        """Offer the records as fall-backs, and say when the page is older than the boxes."""
        for asked in self.typed:  # what another step has filled in shows
            asked.children[1].show()
        day = self.bench.day()
        entries = day.entries if day else ()
        every = [(f"as after {e.short}", str(e.number)) for e in entries]
        for chosen in self.records.values():
            chosen.offer([(_NOT_GIVEN, ""), *every])
        try:
            card = self._card()
            self.unlike.say(*card.faults, kind="dl-note")
            older = self.drawn is not None and card != self.drawn
            self.stale.say(_OLDER if older else "", kind="dl-note")
        except LearnerError as trouble:
            self.stale.say(str(trouble), kind="dl-note")

    def _draw(self) -> str:
        """Set the page anew."""
        try:
            card = self._card()
            self.page.children = (still(card_page(card), alt_text(card)),)
        except LearnerError as trouble:
            self.stale.say(str(trouble), kind="dl-note")
            return ""
        self.drawn = card
        self.stale.say()
        return ""

    def _may(self, place: str) -> widgets.HBox:
        adjuster = Choice(self.bench, f"{place} adjuster", "Adjuster", adjusters_of(None))
        self.adjusters.append(adjuster)
        return level(
            Choice(self.bench, f"{place} axle", "Axle", AXLES),
            adjuster,
            Box(self.bench, f"{place} softer", "Clicks softer", place="clicks softer"),
            Box(self.bench, f"{place} firmer", "Clicks firmer", place="clicks firmer"),
        )

    def _card(self) -> Card:
        """Return the card as it stands; without a vehicle there still is one."""
        try:
            vehicle = self.bench.vehicle()
            cautions = baseline(vehicle, self.bench.dampers()).cautions
        except LearnerError:
            vehicle, cautions = None, ()
        return own_card(self.bench.written, vehicle, self.bench.day(), date.today(), cautions)

    def _save(self) -> str:
        write_card(self.bench.card, self._card())
        self._draw()
        return f"Saved as {self.bench.card.name}."

    def _print(self) -> str:
        card = self._card()
        path = self.bench.folder / f"setting-card-{date.today():%Y-%m-%d}.pdf"
        return f"The page is {save_pdf(card, path).name}; nothing older was written over."


def _asked(label: str, how: str, box: Box) -> widgets.HBox:
    columns = "minmax(170px, 0.6fr) minmax(240px, 1.6fr) minmax(140px, 0.8fr)"
    return grid(columns, words(label, kind="dl-own-part"), box, words(how))


def _typed(bench: Bench, name: str, label: str, how: str) -> widgets.HBox:
    lines = 1 if name == "come_back" else 2
    return _asked(label, how, Box(bench, f"card {name}", label, lines=lines))


def _fall_back(bench: Bench, name: str, choice: Choice) -> widgets.HBox:
    cold = [
        Box(bench, f"card {name} {axle} cold", f"{name}: pressure {axle}", "kPa",
            place=f"{axle}, cold")
        for axle in AXLES
    ]  # fmt: skip
    return grid("minmax(260px, 2fr) repeat(2, minmax(110px, 0.6fr))", choice, *cold)
