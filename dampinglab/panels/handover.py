"""Lesson 12: the handover job, played without code; every press is kept in the workbook."""

import asyncio
import html
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import ipywidgets as widgets

from dampinglab.course.handover import Job, last_seed
from dampinglab.course.handover_limits import AXLES, RULE
from dampinglab.course.handover_moves import REASONS
from dampinglab.course.handover_score import CHANGED, NOTHING
from dampinglab.course.handover_words import ROWS
from dampinglab.errors import LearnerError
from dampinglab.figures import handover as figure
from dampinglab.panels.controls import NAMED, Panel, choice, listed, row
from dampinglab.panels.handover_tables import by_drive, clicks, fixed, looks, points, scores, table
from dampinglab.panels.working import Work
from dampinglab.units import parse_clicks
from dampinglab.workshop.gates import GATES
from dampinglab.workshop.text import quoted

__all__ = ["HandoverPanel", "handover_panel"]

_WIDE = widgets.Layout(width="auto", max_width="900px")
_CHOOSE = "choose"
_MAKING = "Making the vehicle…"
_PAINT = 0.1  # s, in which the page shows these words before the kernel is busy
_NOTE = (
    "Invented vehicles; what is wrong is a change of their physics. A model's numbers: compare "
    "settings with them. On a real vehicle the maker and local rules come first."
)


@dataclass(frozen=True)
class _Done:
    """How far a drive is, as the bar wants it."""

    done: int
    total: int


class HandoverPanel(Panel):
    """A job from the customer's words to hand-over: look, drive, turn, hand back or refuse."""

    judges = False

    def __init__(self, seed: int) -> None:
        self.job: Job | None = None
        self.trouble = ""
        self._make_choices(seed)
        self._make_places()
        self.work = Work(lambda _done: None, self._fail, stopped="")
        self.acts: list[widgets.Button] = []
        super().__init__("The handover job", {}, figure, _NOTE)
        self.take_job()

    def _make_choices(self, seed: int) -> None:
        """Make everything that is chosen or typed."""
        self.seed = widgets.Text(value=f"{seed}", description="Job number", style=NAMED)
        self.seed.layout.width = "calc(14 * var(--jp-widgets-font-size))"  # grows with the words
        asks = [(f"{key}: {gate.asks}", key) for key, gate in GATES.items()]
        self.gate = widgets.Dropdown(options=asks, description="Check", layout=_WIDE, style=NAMED)
        self.axle = listed("Axle", AXLES)
        self.adjuster = listed("Adjuster", [_CHOOSE])
        self.by = widgets.Text(value="2", description="Clicks", style=NAMED)
        self.by.layout.width = "calc(9 * var(--jp-widgets-font-size))"
        fits = {"felt": ROWS, "changed": CHANGED[1:], "given up": ROWS, "not fixed": tuple(GATES)}
        self.reasons = {
            key: listed(words, [_CHOOSE, NOTHING, *fits[key]]) for key, words in REASONS.items()
        }

    def _make_places(self) -> None:
        """Make the places where words and tables come."""
        names = ("card", "how", "checks", "clicks", "scores", "score", "compared", "history")
        self.places = {name: widgets.HTML() for name in names}

    def lay_out(self) -> None:
        """Place the customer's words on top, below them one step of the job at a time."""
        (top,) = self.children
        begin = _key("Take this job", self.take_job, "Go on with this number, or begin it")
        again = _key("Start it again", lambda: self.take_job(True), "The old try stays on file")
        place = self.places
        self.picture.widget.add_class("dl-view")
        self.steps = choice("Step of the job", list(_STEPS), list(_STEPS.values()))
        self.parts = dict(
            zip(
                _STEPS,
                (self._checks(), self._trials(), self._end(), (place["history"],)),
                strict=True,
            )
        )
        rest = [part for parts in self.parts.values() for part in parts]
        heads = (top, row(self.seed, begin, again, self.room), place["card"], self.sentence)
        self.children = (*heads, self.steps, *rest, self.picture.widget, place["scores"])

    def _checks(self) -> tuple[widgets.Widget, ...]:
        look = self._button("Look", lambda: self.job.look(self.gate.value), "See what is there")
        mend = self._button("Mend", lambda: self.job.mend(self.gate.value), "Put it right")
        return self.gate, self.places["how"], row(look, mend), self.places["checks"]

    def _trials(self) -> tuple[widgets.Widget, ...]:
        turn = [
            self._button("In, firmer", lambda: self._turn(-1), "Both dampers of the axle, in"),
            self._button("Out, softer", lambda: self._turn(1), "Both dampers of the axle, out"),
            self._button(
                "Undo", lambda: self.job.undo(), "Back to the clicks before the last turn"
            ),
        ]
        drive = self._button("Drive, three passes", self._drive, "On the customer's three roads")
        knobs = row(self.axle, self.adjuster, self.by, *turn)
        self.work.layout.flex = "1 1 300px"
        self.work.halt.on_click(lambda _button: self._halted())
        return row(drive, self.work), knobs, self.places["clicks"]

    def _end(self) -> tuple[widgets.Widget, ...]:
        give = self._button("Hand back", self._hand_back, "To the customer, with these reasons")
        deny = self._button("Refuse", self._refuse, "Because of what was not fixed")
        under = self.places["score"], self.places["compared"]
        return row(*self.reasons.values()), row(give, deny), *under

    def _connect(self) -> None:
        self.room.observe(self._resize, "value")
        self.gate.observe(lambda _change: self._explain(), "value")
        self.steps.observe(lambda _change: self._show_step(), "value")
        self._show_step()

    def _show_step(self) -> None:
        """Show the parts of the chosen step alone."""
        step = self.steps.value
        for name, parts in self.parts.items():
            for part in parts:
                part.layout.display = None if name == step else "none"
        self.picture.widget.layout.display = None if step in (_TRY, _GIVE) else "none"
        self.places["scores"].layout.display = None if step == _TRY else "none"
        self._draw()

    def _button(self, words: str, act: Callable, tooltip: str) -> widgets.Button:
        """Return a button; what it cannot do is said in a sentence."""
        self.acts.append(_key(words, lambda: self._act(act), tooltip))
        return self.acts[-1]

    def _act(self, act: Callable) -> None:
        self.trouble = ""
        try:
            if self.job is None:
                raise LearnerError("Take a job first.")
            act()
        except LearnerError as trouble:
            self.trouble = str(trouble)
        self.refresh()

    def _fail(self, words: str) -> None:
        self.trouble = words
        self.refresh()

    def take_job(self, again: bool = False) -> None:
        """Take up the job of the seed, where it was left or anew; the page first says so."""
        self.say(_MAKING)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._open(again)  # no page is there to say it
        else:
            self.opening = loop.create_task(self._open_soon(again))

    async def _open_soon(self, again: bool) -> None:
        await asyncio.sleep(_PAINT)
        self._open(again)

    def _open(self, again: bool) -> None:
        """Make the vehicle of the seed, and show how its job stands."""
        self.work.stop()
        self.trouble = ""
        try:
            self.job = Job(_number(self.seed.value), again=again)
        except LearnerError as trouble:
            self.trouble = str(trouble)
        else:
            self.trouble = " ".join(self.job.complaints)
            self.adjuster.options = list(self.job.adjusters)
            for chosen in self.reasons.values():
                chosen.value = _CHOOSE
            self.steps.value = _GIVE if self.job.stand.over else _LOOK
        self.refresh()

    def _halted(self) -> None:
        """Say that the drive does not count, if it was not over before the press was heard."""
        is_over = len(self.job.drives) > self.earlier
        self._fail("" if is_over else "Stopped: this drive does not count.")

    def _drive(self) -> None:
        self.earlier = len(self.job.drives)

        def wheels() -> Iterator[_Done]:
            for done, total in self.job.driving():
                yield _Done(done, total)
            self.refresh()

        self.work.begin(
            wheels(), lambda now: f"Each wheel over its roads: {now.done} of {now.total} wheels."
        )

    def _turn(self, way: int) -> None:
        self.job.turn(self.axle.value, self.adjuster.value, way * parse_clicks(self.by.value))

    def _hand_back(self) -> None:
        self.job.hand_back(self._said())

    def _refuse(self) -> None:
        said = self._said()
        if said["not fixed"] == NOTHING:
            raise LearnerError(f"Choose under “{REASONS['not fixed']}” the check that holds it up.")
        self.job.refuse(said["not fixed"], said)

    def _said(self) -> dict[str, str]:
        said = {key: chosen.value for key, chosen in self.reasons.items()}
        if _CHOOSE in said.values():
            raise LearnerError(
                "Choose all four things that the customer is told first; "
                f"“{NOTHING}” where there is none."
            )
        return said

    def refresh(self) -> None:
        """Show the job as it stands."""
        self._draw()
        if self.job is not None:
            self._tell()
            for each in (*self.acts, *self.reasons.values()):
                each.disabled = self.job.stand.over
        self._explain()
        self.say(self.trouble or self._latest())

    def _draw(self) -> None:
        now, before = self._standings()
        self.figure.update(self.picture.scene, now, before)
        self.picture.show(self.figure.alternative(now, before))

    def _latest(self) -> str:
        """Return what was done last, what came of it, and the time used."""
        if self.job is None or not self.job.moves:
            return "Look first; then drive; then turn, one change at a time."
        if self.job.stand.over:
            return f"{self.job.score.words['result']} {self.job.score.cause}"
        done, seen = self.job.history[-1]
        return f"{done}. {seen.rstrip('.')}. {self.job.stand.minutes} minutes so far."

    def _standings(self) -> tuple[figure.Standing, figure.Standing]:
        """Return the last drive and the one before; to hand over, the first; at the end, truth."""
        if self.job is None:
            return figure.Standing("", ROWS), figure.Standing("", ROWS)
        if self.job.stand.over:
            was, now = self.job.before_after()
            return tuple(
                figure.Standing(when, ROWS, off)
                for when, off in (("hand-over", now), ("as found", was))
            )
        drives = self.job.drives
        last = [drives[0], drives[-1]] if drives and self.steps.value == _GIVE else drives[-2:]
        shown = [figure.Standing(f"drive {drive.number}", ROWS, drive.off) for drive in last]
        shown = shown or [figure.Standing("", ROWS)]
        return shown[-1], shown[0]

    def _tell(self) -> None:
        """Write card, checks, clicks, scores, score and history."""
        put, job = self.places, self.job
        put["card"].value = f'<p class="dl-words">{html.escape(job.words)}</p>'
        put["checks"].value = looks(job)
        put["clicks"].value = clicks(job)
        put["scores"].value = scores(job) if job.drives else fixed(RULE)
        put["score"].value = points(job)
        put["compared"].value = by_drive(job)
        lines = [(str(i), *pair) for i, pair in enumerate(job.history, start=1)]
        put["history"].value = (
            table(("No.", "Done", "What came of it"), lines, "left") if lines else ""
        )

    def _explain(self) -> None:
        """Say how the chosen check is made."""
        self.places["how"].value = fixed(GATES[self.gate.value].how)


_LOOK, _TRY, _GIVE = "1 Look", "2 Drive and turn", "3 Hand over"
_STEPS = {
    _LOOK: "Checks before any click, in order",
    _TRY: "Test drives, one change at a time",
    _GIVE: "Hand back or refuse, with reasons",
    "What was done": "Every move so far",
}


def _key(words: str, act: Callable, tooltip: str) -> widgets.Button:
    made = widgets.Button(description=words, tooltip=tooltip)
    made.on_click(lambda _button: act())
    return made


def _number(typed: str) -> int:
    try:
        return int(typed)
    except ValueError:
        raise LearnerError(
            f"{quoted(typed)} is not the number of a job; write a whole number, such as 7."
        ) from None


def handover_panel(seed: int | None = None) -> HandoverPanel:
    """Return the panel with the job of a seed, or with the one that was worked at last."""
    return HandoverPanel(last_seed() if seed is None else seed)
