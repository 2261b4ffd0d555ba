"""A rule of the trade, computed anew in a lesson's cell: a picture and what it says."""

import ipywidgets as widgets

from dampinglab.figures import evidence as figure
from dampinglab.figures.look import DESK, ROOM
from dampinglab.panels.still import said, still
from dampinglab.workshop import demo
from dampinglab.workshop.evidence import evidence

__all__ = ["evidence_picture"]

_LOADED = "rear loaded"
_AS_WIDE = {"width": "auto", "height": "auto", "align_self": "flex-start"}


def evidence_picture(complaint: str, corners: dict | None = None) -> widgets.VBox:
    """Return a rule's picture for corners with their dampers by name, or for the demo wagon's."""
    pairs = corners or _wagon()
    shown = [(name, evidence(complaint, *pair)) for name, pair in pairs.items()]
    box, room = widgets.VBox(), widgets.ToggleButton(description="Projector size")
    room.style.font_size, room.layout = "18px", _AS_WIDE

    def show(_change: dict | None = None) -> None:
        box.children = (*_drawn(shown, room.value), room)

    room.observe(show, "value")
    show()
    return box


def _drawn(shown: list, large: bool) -> tuple:
    """Return the picture and what it says, for a desk or for the back of a room."""
    size, wide, letters = (ROOM, 1240, 27) if large else (DESK, 920, 18)
    picture = still(figure.draw(shown, size), figure.alternative(shown), wide)
    return said(picture, figure.sentence(shown), letters).children


def _wagon() -> dict:
    """Return the demo wagon's corners with their dampers, the rear also with its first load."""
    vehicle, rear = demo.vehicle(), demo.hydraulic("rear")
    return {
        "front": (vehicle.corner("front"), demo.hydraulic("front")),
        "rear empty": (vehicle.corner("rear"), rear),
        _LOADED: (vehicle.corner("rear", vehicle.loads[0].name), rear),
    }
