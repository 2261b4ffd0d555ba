"""The rows of the vehicle sheet: what to measure, how, with which caution, in which range."""

import re
from dataclasses import dataclass, replace

from dampinglab.errors import OutOfRange
from dampinglab.units import UNITS, parse_quantity
from dampinglab.workshop.corners import AXLES, CORNERS
from dampinglab.workshop.section import Key
from dampinglab.workshop.sheet import AXLE_KEYS, LOAD_KEYS, TOP_KEYS

__all__ = ["CAUTION", "LOADS", "ROWS", "VEHICLE", "Ask", "number"]

VEHICLE = "vehicle"
"""Where the boxes that are of no one wheel belong."""

LOADS = ("load 1", "load 2")
"""Where the boxes of the loads belong."""

CAUTION = (
    "Level floor, tyres cold, full tank, nobody on board. Under a raised vehicle: stands on firm "
    "ground, never the jack alone. A spring holds energy even when the wheel hangs free: "
    "compress it only with a tool made for it. The manufacturer's instructions and local rules "
    "come first."
)
"""What stands above the sheet."""


@dataclass(frozen=True)
class Ask:
    """One thing to measure, at each of several places.

    Parameters
    ----------
    name : str
        Its name in the boxes' names, such as "spring rate".
    label : str
        As it stands on the screen.
    places : tuple of str
        Wheels, axles, loads, or `VEHICLE`.
    how : str
        What to measure and how, with the caution that belongs to it.
    key : Key or None
        Range, unit and likely slip of a number; None for a text.
    """

    name: str
    label: str
    places: tuple[str, ...]
    how: str
    key: Key | None

    @property
    def unit(self) -> str:
        """The unit that a number is offered in; empty without one.

        Returns
        -------
        str
            A symbol of `UNITS`.
        """
        return self.key.unit if self.key else ""

    @property
    def boxes(self) -> tuple[str, ...]:
        """The names of the boxes, a place each.

        Returns
        -------
        tuple of str
            Such as "front spring rate".
        """
        return tuple(f"{place} {self.name}" for place in self.places)


_KEYS = {key.name: key for key in (*AXLE_KEYS, *TOP_KEYS)}
_HEIGHT = Key("height_mm", 20, 2000, "measure at each wheel the same way")
_ADDED = Key("added_mass_kg", 5, 1000, "give all that was put over this axle")
_COLD = Key("cold_kPa", 80, 900, "give it over the air outside; 1 bar is 100 kPa")


def _ask(name: str, label: str, how: str, places: tuple[str, ...] = AXLES, key: Key | None = None):
    return Ask(name, label, places, how, key or _KEYS[name])


ROWS = (
    Ask("name", "Vehicle", (VEHICLE,), "As your workshop calls it; it stands on the card.", None),
    _ask(
        "mass",
        "Mass on the wheel",
        "Scales under each wheel, all four level, brakes off. The one thing that must be there.",
        CORNERS,
        replace(_KEYS["left wheel"], example="mass_kg"),
    ),
    _ask(
        "height",
        "Ride height",
        "From the wheel's centre up to the arch, after a bounce and a short roll. For the card.",
        CORNERS,
        _HEIGHT,
    ),
    _ask(
        "cold",
        "Tyre pressure, cold",
        "Before driving, not after. As you set it for this load, never above the tyre's limit.",
        CORNERS,
        _COLD,
    ),
    _ask(
        "unsprung",
        "Unsprung mass, one wheel",
        "Wheel and tyre on the scales, plus hub and brake, plus half of arms, axle or leaves. Rest "
        "the body on stands before a wheel comes off.",
    ),
    _ask(
        "spring rate",
        "Spring rate",
        "From its label, or off the vehicle in a press: force over how far it gives. Guard the "
        "press; a spring that slips kills.",
    ),
    _ask(
        "spring motion ratio",
        "Spring motion ratio",
        "Spring travel over wheel travel. Spring out, arm on a jack, body on stands: move the "
        "wheel 20 mm and measure between the seats.",
    ),
    _ask(
        "wheel rate",
        "OR wheel rate",
        "If the maker gives it at the wheel, or a leaf stands on the axle. Then leave the two "
        "above empty.",
    ),
    _ask(
        "added",
        "OR an added mass",
        "Sand bags straight over the axle, both sides alike, within the axle's rating. No people.",
        key=_ADDED,
    ),
    _ask(
        "before",
        "and height before",
        "From the wheel's centre to the arch, mean of left and right, after a bounce.",
        key=_HEIGHT,
    ),
    _ask(
        "after",
        "and height with it",
        "The same after a bounce. Friction holds: measure once coming up and once going down, "
        "and take the mean.",
        key=_HEIGHT,
    ),
    Ask(
        "pairs",
        "Damper motion ratio",
        AXLES,
        "At several heights: how far the wheel stands above ride height (below: minus), and the "
        "damper's length there, both in one unit; a pair a line. Spring out, body on stands, jack "
        "under the arm; hands off the arm.",
        None,
    ),
    _ask("tyre rate", "Tyre rate", "From its maker, if known. Without: from the pressure above."),
    _ask(
        "bump travel",
        "Travel to the bump stop",
        "At ride height, gap between stop and its plate, over the damper's ratio if the stop sits "
        "on the damper. Keep fingers out of the gap.",
    ),
    _ask("foam", "Travel in the bump stop", "About two thirds of the free stop's length."),
    _ask(
        "droop travel",
        "Droop travel",
        "Lift the body until the wheel just leaves the floor, stands under, and measure how far "
        "it hangs below ride height.",
    ),
    _ask(
        "friction",
        "Friction at the wheel",
        "Half the difference of the force that just moves the body up and just lets it down. "
        "Leaves have most.",
    ),
    _ask("wheelbase", "Wheelbase", "From axle to axle. Needed for a ball load.", (VEHICLE,)),
    _ask("ball overhang", "Ball overhang", "From the rear axle to the ball.", (VEHICLE,)),
    Ask("name", "Load", LOADS, "As the driver would say it, such as: tools and water.", None),
    _ask("front", "adds in front", "On the whole axle, from the scales.", LOADS, LOAD_KEYS[0]),
    _ask("rear", "adds at the rear", "On the whole axle, from the scales.", LOADS, LOAD_KEYS[1]),
    _ask("ball", "presses on the ball", "On a ball scale, trailer level.", LOADS, LOAD_KEYS[2]),
)
"""The sheet in the order of its rows."""

_OF_A_FILE = re.compile(r"[;,] (and |if [^,]*, )?end the key.*$")  # what a hint says of files


def number(ask: Ask, written: str) -> float:
    """Read one box of a row.

    Parameters
    ----------
    ask : Ask
        The row; it has a key.
    written : str
        As typed, with a unit or in that of the key.

    Returns
    -------
    float
        In SI.

    Raises
    ------
    LearnerError
        If it is no number, in a wrong unit, or outside the row's range.
    """
    key, unit = ask.key, ask.unit
    quantity = UNITS[unit].quantity if unit else ""
    value = parse_quantity(written, quantity, unit)
    scale = UNITS[unit].factor if unit else 1.0
    if not key.low * scale <= value <= key.high * scale:
        span = f"{key.low:g} to {key.high:g} {unit}".rstrip()
        hint = _OF_A_FILE.sub(", and write the unit behind the number", key.hint)
        raise OutOfRange(f"{' '.join(written.split())[:40]} is outside {span}; {hint}.")
    return value
