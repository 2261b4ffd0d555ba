"""A picture that stays as it is, shown in a lesson with its alternative text."""

import base64
import html
import io
from pathlib import Path

import ipywidgets as widgets
from matplotlib.figure import Figure

from dampinglab.data import dataset
from dampinglab.figures import loop as figure
from dampinglab.panels.controls import whole
from dampinglab.units import minus
from dampinglab.workshop.loop import read_loop

__all__ = ["loop_picture", "said", "still"]


def still(picture: Figure, alternative: str, wide: int = 920) -> widgets.HTML:
    """Return a figure as an image with words for those who do not see it."""
    stream = io.BytesIO()
    picture.savefig(stream, format="png")
    shown = base64.b64encode(stream.getvalue()).decode("ascii")
    return widgets.HTML(
        f'<img style="max-width:{wide}px; width:100%" alt="{html.escape(minus(alternative))}" '
        f'src="data:image/png;base64,{shown}">'
    )


def said(picture: widgets.HTML, words: str, letters: int = 18) -> widgets.VBox:
    """Return a picture with what it says below."""
    style = f"font-size:{letters}px; max-width:56em; line-height:1.4"
    return widgets.VBox([picture, widgets.HTML(f'<p style="{style}">{whole(words)}</p>')])


def loop_picture(path: str | Path = "") -> widgets.VBox:
    """Return a force-travel record as a loop beside its curve, with what was assumed of it."""
    record = read_loop(path or dataset("stand/front_sine.csv"))
    words = " ".join((f"{record.name}.", *record.assumptions))
    return said(still(figure.picture(record), figure.alternative(record)), words)
