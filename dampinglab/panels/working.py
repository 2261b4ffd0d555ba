"""Work that takes a while: a bar, a stop button, and a page that stays alive."""

import asyncio
import html
from collections.abc import Callable, Iterator

import ipywidgets as widgets

from dampinglab.errors import LearnerError
from dampinglab.figures.look import WHEEL

__all__ = ["WORKING", "Work"]

WORKING = "Working…"
"""Said before work that takes a second or two; the page has it before the work is done."""

_KEPT = "Stopped; what was done is kept."
_PAUSE = 0.01  # s between two slices, in which the kernel hears of a button


class Work(widgets.HBox):
    """A bar and a stop button for work that comes in slices; whoever left off has lost nothing."""

    def __init__(
        self, seen: Callable, trouble: Callable[[str], None], stopped: str = _KEPT
    ) -> None:
        self.seen, self.trouble, self.stopped = seen, trouble, stopped
        self.bar = widgets.FloatProgress(min=0, max=1, value=0)
        self.bar.style.bar_color = WHEEL
        self.bar.layout = widgets.Layout(flex="1 1 200px", min_width="120px")
        self.halt = widgets.Button(description="Stop", tooltip="Leave off now")
        self.told = widgets.HTML()
        self.running: Iterator | None = None
        super().__init__([self.bar, self.halt, self.told])
        self.layout.align_items, self.layout.flex_flow = "center", "row wrap"
        self.halt.on_click(lambda _button: self.stop())
        self._rest("")

    def begin(self, slices: Iterator, words: Callable) -> None:
        """Start work, in place of any that goes on; each slice is told in words as it is done."""
        self.running, self.words = slices, words
        self.halt.disabled = False
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            while self._step(slices):  # nobody is there to press a button
                pass
        else:
            self.task = loop.create_task(self._drive(slices))

    def stop(self) -> None:
        """Leave off; the slice that runs now is the last."""
        if self.running is not None:
            self.running = None
            self._rest(self.stopped)

    async def _drive(self, slices: Iterator) -> None:
        while self._step(slices):
            await asyncio.sleep(_PAUSE)

    def _step(self, slices: Iterator) -> bool:
        """Do one slice and show it; False when that was the last one, or nobody wants it now."""
        now = self._next(slices) if self.running is slices else None
        if self.running is not slices:  # stopped, or given other work, in the meantime
            slices.close()
            return False
        if now is None:
            self.running = None
            self._rest("")
            return False
        self.bar.value = now.done / max(1, now.total)
        self.say(self.words(now))
        self.seen(now)
        return True

    def _next(self, slices: Iterator):
        """Return what the next slice found; None after the last, or where one cannot be done."""
        try:
            return next(slices, None)
        except LearnerError as problem:
            self.trouble(str(problem))
            return None

    def _rest(self, words: str) -> None:
        """Say how it ended, and empty the bar: at rest a full one would look like work."""
        self.halt.disabled, self.bar.value = True, 0
        self.say(words)

    def say(self, words: str) -> None:
        """Put words beside the bar."""
        self.told.value = f'<p class="dl-fixed" role="status">{html.escape(words)}</p>'
