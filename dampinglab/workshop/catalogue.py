"""The catalogue of complaints and of what the trade turns: common practice, no source."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["ANSWERS", "COMPLAINTS", "HIGH", "LOW", "REBOUND", "Complaint", "Remedy"]

LOW, HIGH, REBOUND = "low-speed bump", "high-speed bump", "rebound"
_ANY = ("front", "rear", "whole")

ANSWERS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "when": {
            "during": "during the hit or the push",
            "after": "after it",
            "driving": "driving along",
        },
        "where": {
            "front": "front",
            "rear": "rear",
            "whole": "the whole vehicle",
            "one side": "one side only",
        },
        "pace": {"slow": "slow, long movement", "fast": "fast, sharp movement"},
        "load": {"empty": "empty", "loaded": "loaded", "trailer": "with a trailer"},
        "heat": {"cold": "from the start, cold", "hot": "only once it is hot"},
    }
)
"""What is asked about a complaint, and the answers to choose from, by key and in words."""


@dataclass(frozen=True)
class Remedy:
    """One adjuster, one way.

    Parameters
    ----------
    adjuster : str
        As a three-adjuster damper calls it; `complaint.fitting` says what others have for it.
    more : bool
        Whether it is closed; else opened.
    why : str
        What it does for the complaint, as a whole sentence.
    price : str
        What it costs.
    overdone : str
        What shows that it was too much.
    warning : str
        What may become dangerous with it on the rear axle; empty if nothing.
    axles : tuple of str, optional
        On which axles it is a remedy.
    """

    adjuster: str
    more: bool
    why: str
    price: str
    overdone: str
    warning: str
    axles: tuple[str, ...] = ("front", "rear")


@dataclass(frozen=True)
class Complaint:
    """What is felt, when and where, and what is tried, in order.

    Parameters
    ----------
    key : str
        Its short name.
    words : str
        As a driver would say it.
    when, where, pace : tuple of str
        Which answers fit it, as `ANSWERS` has them; none fits any.
    shown : str
        Key of the reading that shows it (`advice.WATCHED`); empty where the model has none.
    instead : str
        What to look at before clicks, or instead of them.
    remedies : tuple of Remedy, optional
        In the order in which they are tried; none where no click cures it.
    load, heat : tuple of str, optional
        As `when`.
    stops : bool, optional
        Whether the vehicle must not be driven like this.
    """

    key: str
    words: str
    when: tuple[str, ...]
    where: tuple[str, ...]
    pace: tuple[str, ...]
    shown: str
    instead: str
    remedies: tuple[Remedy, ...] = ()
    load: tuple[str, ...] = ()
    heat: tuple[str, ...] = ()
    stops: bool = False


_COSTS = {
    (LOW, True): (
        "Small bumps come through more.",
        "Stiff and restless over small bumps, the wheel patters; it still leans just as far.",
    ),
    (LOW, False): (
        "It leans, dives and floats faster.",
        "It rocks with every movement of wheel or throttle.",
    ),
    (HIGH, True): (
        "Large bumps short of the stop are sharper.",
        "Every edge is a blow, and travel is left unused.",
    ),
    (HIGH, False): (
        "More travel is used, and the stop is reached sooner.",
        "It crashes into its stop where it did not before.",
    ),
    (REBOUND, True): (
        "The wheel comes down later: less grip over holes, sinking over many bumps.",
        "Tied down: it sinks over many bumps, skips, and shakes on a usual road.",
    ),
    (REBOUND, False): (
        "The body comes up faster and moves on longer after a rise.",
        "It floats and throws you up, and knocks at full droop.",
    ),
}
_UNSETTLED = (
    "More damping on the rear axle can unsettle it: on a rough bend, in the wet or when braking "
    "the rear may step out. Try it where there is room, and go back if it does."
)


def _remedy(adjuster: str, more: bool, why: str, axles=("front", "rear")) -> Remedy:
    return Remedy(adjuster, more, why, *_COSTS[adjuster, more], _UNSETTLED if more else "", axles)


_BOTTOMS = "Weigh it and measure the ride height first: a low or loaded vehicle wants springs."
_TOO_LATE = "Fast bump closed holds the wheel back before the stop is reached."
_SOFTER = "Opened, it lets the wheel go up with less force into the body."
_HOLDS = "Closed, it holds the body back as the spring throws it up again."
_LETS_DOWN = "Opened, it lets the spring press the wheel down in time."
_SLOWS = "Closed, it takes speed out of the lean while it builds up; how far it leans stays."

_LIST = (
    Complaint(
        "stop, slow",
        "It hits its stop in a long, slow dip",
        ("during",), _ANY, ("slow",), "long dip",
        _BOTTOMS,
        (_remedy(LOW, True, "Closed, it slows the long sink into the dip a little."),),
    ),
    Complaint(
        "stop, hard",
        "It hits its stop on a sharp hit",
        ("during",), _ANY, ("fast",), "dip",
        f"Look whether the bump stop is whole and has its gap. {_BOTTOMS}",
        (_remedy(HIGH, True, _TOO_LATE),),
    ),
    Complaint(
        "leans fast",
        "It rolls or dives quickly when steered or braked",
        ("during",), _ANY, ("slow",), "steer",
        "How FAR it leans is for springs and anti-roll bars; clicks change how fast and how far "
        "past.",
        (_remedy(LOW, True, _SLOWS), _remedy(REBOUND, True, _SLOWS)),
    ),
    Complaint(
        "nose dive",
        "Its nose dives when braking",
        ("during",), ("front", "whole"), ("slow",), "brake",
        "How DEEP it stays is for springs, and for load that is too far forward; clicks change "
        "how fast it goes there.",
        (_remedy(LOW, True, _SLOWS, ("front",)), _remedy(REBOUND, True, _SLOWS, ("rear",))),
    ),
    Complaint(
        "floats",
        "It keeps moving up and down after a rise",
        ("after",), _ANY, ("slow",), "waves",
        "One swing is right. Look for a worn damper first: press, let go, count.",
        (
            _remedy(REBOUND, True, _HOLDS),
            _remedy(LOW, True, "Closed, it takes its share of each swing on the way down."),
        ),
    ),
    Complaint(
        "sharp, small",
        "It is sharp over small bumps",
        ("during", "driving"), _ANY, ("fast",), "small ridge",
        "Tyre pressure first: a hard tyre feels just the same.",
        (_remedy(LOW, False, _SOFTER),),
    ),
    Complaint(
        "sharp, big",
        "It is sharp over large bumps",
        ("during",), _ANY, ("fast",), "ridge",
        "Is it the stop? Then the cure is the other way. Look also at tyre pressure, load, and "
        "whether it has sunk over many bumps.",
        (_remedy(HIGH, False, _SOFTER),),
    ),
    Complaint(
        "into a hole",
        "It drops hard into a hole",
        ("during",), _ANY, ("fast",), "hole",
        "Look for a tyre at the wrong pressure, and for droop travel that is used up by a lift.",
        (_remedy(REBOUND, False, _LETS_DOWN),),
    ),
    Complaint(
        "edge of a hole",
        "It is sharp on the far edge of a hole",
        ("during", "after"), _ANY, ("fast",), "edge",
        "Tyre pressure first: the tyre meets that edge before any damper does.",
        (_remedy(HIGH, False, _SOFTER),),
    ),
    Complaint(
        "rear thrown up",
        "The rear alone is thrown up after a bump",
        ("after",), ("rear",), ("fast", "slow"), "hump",
        "Is it the stop that throws it, an overload, or a rear that has sunk over many bumps? A "
        "sunk rear wants LESS rebound.",
        (_remedy(REBOUND, True, _HOLDS, ("rear",)),),
    ),
    Complaint(
        "all thrown up",
        "The whole vehicle is thrown up after a bump",
        ("after",), ("whole", "front"), ("fast", "slow"), "hump",
        "Is it the stop that throws it, or an overload? One axle first, then drive, then the "
        "other.",
        (_remedy(REBOUND, True, _HOLDS),),
    ),
    Complaint(
        "sinks",
        "It sinks lower over many bumps",
        ("after", "driving"), _ANY, ("fast",), "many bumps",
        "Look at height and load first. If somebody closed rebound for it, that made it worse.",
        (_remedy(REBOUND, False, _LETS_DOWN),),
    ),
    Complaint(
        "axle tramp",
        "The driven axle hops and stamps when pulling away",
        ("driving", "during"), ("rear",), ("fast",), "hop",
        "Look at spring seats, U-bolts, bushes, tyre pressures and for a worn damper: the torque "
        "winds the axle up, and mounts hold that, not clicks. The model has no torque in the "
        "axle; it shows only how the wheel hops.",
        (_remedy(REBOUND, True, "Closed, it takes more out of each hop.", ("rear",)),),
    ),
    Complaint(
        "brake hop",
        "A wheel hops when braking on a rough road",
        ("during",), ("front", "rear"), ("fast",), "hole",
        "Look at brakes, tyres and a worn damper first: brakes that grab are a defect. The model "
        "does not brake here; it shows only how the tyre carries over a hole.",
        (_remedy(REBOUND, False, _LETS_DOWN),),
    ),
    Complaint(
        "wander",
        "It wanders on a straight road",
        ("driving",), _ANY, ("slow",), "",
        "Look at wheel alignment, play in the steering, bushes, tyre pressures, and load too far "
        "behind: no click cures this.",
    ),
    Complaint(
        "crosswind",
        "Crosswind pushes it about",
        ("driving",), _ANY, ("slow",), "",
        "Slow down. Look at roof load, tyre pressures, alignment and load too far behind: no "
        "click cures this.",
    ),
    Complaint(
        "porpoise",
        "With the trailer it nods up and down",
        ("after", "driving"), ("rear", "whole"), ("slow",), "waves",
        "Weigh the ball and look at the trailer's load and the height of the hitch first: springs "
        "for that load come before clicks.",
        (
            _remedy(REBOUND, True, _HOLDS, ("rear",)),
            _remedy(LOW, True, "Closed, it takes its share of each nod.", ("rear",)),
        ),
        load=("trailer",),
    ),
    Complaint(
        "sway",
        "The trailer sways from side to side",
        ("driving", "after"), ("rear", "whole"), ("slow",), "",
        "Stop, do not drive on like this: too little ball load, load too far behind, tyres, speed. "
        "Move the load, weigh the ball, ask the maker; no click cures this.",
        load=("trailer",), stops=True,
    ),
    Complaint(
        "knock",
        "It knocks",
        ("during", "driving"), (*_ANY, "one side"), ("fast",), "",
        "Stop, do not drive on until you know what it is: a mount, a bush, a ball joint, a spring, "
        "a stop. No click cures this.",
        stops=True,
    ),
    Complaint(
        "top-out",
        "It knocks at full droop, as a wheel drops or the body comes up",
        ("after", "during"), _ANY, ("fast",), "droop",
        "Look at the droop travel left and the droop stop first: a lift or preload may have used "
        "it up.",
        (_remedy(REBOUND, True, "Closed, it slows the wheel before the droop stop."),),
    ),
    Complaint(
        "hiss",
        "A damper hisses",
        ("during", "driving"), (*_ANY, "one side"), ("fast",), "",
        "Oil through valves may hiss in health. If force has gone too, or it is one damper alone, "
        "it is foam or lost gas: rebuild it. No click cures this.",
    ),
    Complaint(
        "bad hot",
        "It is good cold and bad hot",
        (), (*_ANY, "one side"), (), "",
        "Let it cool, drive slower. Look for a leak, lost gas, a rubbing bush, an overload, or a "
        "damper too small for the job. A warm body burns. No click cures this.",
        heat=("hot",),
    ),
    Complaint(
        "one side",
        "One side alone sits, moves or sounds unlike the other",
        (), ("one side",), (), "",
        "A difference between left and right is a fault to find, never a setting: height, spring, "
        "leak, gas, clicks that differ. No click cures this.",
    ),
)  # fmt: skip

COMPLAINTS: Mapping[str, Complaint] = MappingProxyType({each.key: each for each in _LIST})
"""Every complaint by its key."""
