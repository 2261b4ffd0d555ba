"""Exercises with buttons: the reply to an answer, and practice without end."""

from collections.abc import Callable

import ipywidgets as widgets
from IPython.display import display

from dampinglab.course import practice, words
from dampinglab.course.exercise import Exercise, Task
from dampinglab.course.verdict import BLANK, Verdict

__all__ = ["Feedback", "PracticeBox", "WidgetView"]

_STYLE = """<style>
.dampinglab-help {--jp-widgets-font-size: 16px; --jp-widgets-inline-height: 34px}
.dampinglab-help .widget-button {line-height: 32px; margin-right: 8px}
.dampinglab-help :focus-visible {outline: 3px solid #1A1A1A; outline-offset: 2px}
</style>"""
_BUTTON = widgets.Layout(width="auto", min_width="7em")


def _button(label: str, act: Callable[[], None], tooltip: str) -> widgets.Button:
    button = widgets.Button(description=label, tooltip=tooltip, layout=_BUTTON)
    button.on_click(lambda _: act())
    return button


class _Help(widgets.VBox):
    """Hints in three steps and the worked answer of one task, in a place of their own."""

    def __init__(self, exercise: Exercise) -> None:
        self.exercise = exercise
        self.place = widgets.HTML()
        super().__init__()
        self.add_class("dampinglab-help")

    def row(
        self, first: widgets.Button | None, label: str, more: Callable[[], None]
    ) -> widgets.HBox:
        """Return the buttons; the last one is left out where the exercise has one form only."""
        buttons = [
            first,
            _button("Hint", self.hint, "Show the next of three hints"),
            _button("Worked answer", self.solution, "Show every step"),
            _button(label, more, "The same exercise with other numbers")
            if self.exercise.varies()
            else None,
        ]
        style = widgets.HTML(_STYLE, layout=widgets.Layout(display="none"))
        there = [button for button in (*buttons, style) if button is not None]
        return widgets.HBox(there, layout=widgets.Layout(flex_flow="row wrap"))

    def begin(self, task: Task, earned: bool) -> None:
        """Start afresh on a task; `earned` says whether it was tried."""
        self.task, self.earned, self.step = task, earned, 0
        self.place.value = ""

    def hint(self) -> None:
        """Show one hint more."""
        self.step = min(self.step + 1, len(self.task.hints))
        said = practice.Words(practice.hint_text(self.task, self.step), role="status")
        self.place.value = said.html

    def solution(self) -> None:
        """Show the worked answer, folded when nothing was tried."""
        self.place.value = practice.solution_words(self.exercise, self.task, self.earned).html


class PracticeBox(_Help):
    """A statement, a box for the answer, the reply, and another variant at a press."""

    def __init__(self, exercise: Exercise, seed: int) -> None:
        super().__init__(exercise)
        self.statement, self.reply = widgets.HTML(), widgets.HTML()
        self.answer = widgets.Text(
            description="Your answer",
            placeholder="type it here and press Enter",
            continuous_update=False,
            layout=widgets.Layout(width="26em"),
            style={"description_width": "auto"},
        )
        # The value arrives whole with the Enter key or on leaving the box; a message of its own for
        # the Enter key would overtake the last letters that were typed.
        self.answer.observe(lambda _: self.check(), "value")
        first = _button("Check", self.check, "Check this answer; the Enter key does the same")
        row = self.row(first, "Another", self.another)
        self.children = (self.statement, self.answer, row, self.reply, self.place)
        self.show(seed)

    def show(self, seed: int) -> None:
        """Show the variant of a seed."""
        self.seed = seed
        task = self.exercise.task(seed)
        self.begin(task, earned=False)
        title = f"**Practice {self.exercise.id}, variant {seed}.** {words.task_text(task)}"
        self.statement.value = practice.Words(title).html
        self.answer.value = self.judged = ""
        self.reply.value = ""  # last, since emptying the box gave a reply of its own

    def check(self) -> None:
        """Judge what stands in the box, once, whichever way it was entered."""
        typed = self.answer.value
        if typed and typed == self.judged:
            return
        self.judged = typed
        verdict, note = practice.attempt(self.exercise, self.task, typed, self.seed)
        self.earned = self.earned or verdict.outcome != BLANK
        self.reply.value = practice.verdict_words(verdict, note).html

    def another(self) -> None:
        """Draw a new variant and put the cursor in the box."""
        self.show(practice.new_seed())
        self.answer.focus()


class Feedback(_Help):
    """The reply to a check, with help at a press."""

    def __init__(
        self, exercise: Exercise, said: practice.Words, seed: int | None, verdict: Verdict
    ) -> None:
        super().__init__(exercise)
        self.begin(exercise.task(seed), earned=verdict.outcome != BLANK)
        self.reply = widgets.HTML(said.html)
        self.box = widgets.VBox()
        row = self.row(None, "Practise more", self.practise)
        self.children = (self.reply, row, self.place, self.box)

    def practise(self) -> None:
        """Open practice below the reply."""
        box = PracticeBox(self.exercise, practice.new_seed())
        self.box.children = (box,)
        box.answer.focus()


class WidgetView:
    """Shows the words of the course with buttons."""

    def feedback(
        self, exercise: Exercise, said: practice.Words, seed: int | None, verdict: Verdict
    ) -> None:
        """Show the reply to an answer."""
        display(Feedback(exercise, said, seed, verdict))

    def practice(self, exercise: Exercise, seed: int) -> None:
        """Show practice without end."""
        display(PracticeBox(exercise, seed))


practice.show_with(WidgetView())
