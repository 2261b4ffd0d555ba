"""Thin panels over physics and pictures: controls, one picture, one line of plain words."""

from dampinglab.panels import practice  # importing it gives check( ) its buttons
from dampinglab.panels.bounce import bounce_panel
from dampinglab.panels.complaint import complaint_panel
from dampinglab.panels.compromise import compromise_panel
from dampinglab.panels.corner import corner_panel
from dampinglab.panels.curve import curve_panel
from dampinglab.panels.cutaway import cutaway_panel
from dampinglab.panels.evidence import evidence_picture
from dampinglab.panels.handover import handover_panel
from dampinglab.panels.lean import lean_panel
from dampinglab.panels.load import load_panel
from dampinglab.panels.own import own_panel
from dampinglab.panels.press import press_panel
from dampinglab.panels.response import response_panel
from dampinglab.panels.sag import sag_panel
from dampinglab.panels.settle import settle_panel
from dampinglab.panels.sinking import sinking_panel
from dampinglab.panels.stand import stand_panel
from dampinglab.panels.still import loop_picture, still
from dampinglab.panels.zones import zones_panel
from dampinglab.workshop import demo

__all__ = [
    "bounce_panel",
    "complaint_panel",
    "compromise_panel",
    "corner_panel",
    "curve_panel",
    "cutaway_panel",
    "demo",
    "evidence_picture",
    "handover_panel",
    "lean_panel",
    "load_panel",
    "loop_picture",
    "own_panel",
    "practice",
    "press_panel",
    "response_panel",
    "sag_panel",
    "settle_panel",
    "sinking_panel",
    "stand_panel",
    "still",
    "zones_panel",
]
