"""What is checked before any click: common practice, no source."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from dampinglab.errors import LearnerError
from dampinglab.workshop.text import nearest, quoted

__all__ = ["GATES", "Gate", "first_failed"]


@dataclass(frozen=True)
class Gate:
    """One thing to check before a click is touched.

    Parameters
    ----------
    key : str
        Its short name.
    asks : str
        The question; "yes" lets the job go on.
    how : str
        How to find out, with its caution.
    fails : str
        What to do when the answer is no.
    stops : bool, optional
        Whether the vehicle must not be driven until it is mended.
    """

    key: str
    asks: str
    how: str
    fails: str
    stops: bool = False


_GATES = (
    Gate(
        "unsafe",
        "Is it safe to drive: brakes, steering, wheels, tyres, nothing loose or cracked?",
        "Walk round it and look underneath, on stands and never on a jack alone. Rock each wheel "
        "at its top and side for play; look at tyres, hoses, ball joints and every bolt you can "
        "see.",
        "Stop, do not drive: a defect is mended first, by whoever may mend it; no click cures "
        "this.",
        stops=True,
    ),
    Gate(
        "pressure",
        "Are all tyres at the right pressure, read cold, for the load it carries?",
        "Read all four and the spare before driving, and compare with the placard for this load.",
        "Set the pressures cold and drive again first; no click cures this.",
    ),
    Gate(
        "mass",
        "Is every wheel and axle within its rating, with the load it really carries?",
        "Weigh it wheel by wheel, loaded as the customer drives, trailer on the ball; compare with "
        "the plates of axles, tyres and tow bar.",
        "Stop, do not drive: it is over its rating. Take load off, or move it; no click cures "
        "this.",
        stops=True,
    ),
    Gate(
        "height",
        "Is the ride height right, and alike left and right?",
        "On level ground, roll it to and fro first. Measure from wheel centre to arch at all four "
        "wheels, and compare sides and the maker's heights.",
        "Find out why it stands low or uneven: load, a tired spring, a wrong part. That comes "
        "first; no click cures this.",
    ),
    Gate(
        "mounts",
        "Are damper mounts and bushes tight and whole?",
        "Wheels on stands, ignition off: pull the damper by hand and lever each bush with a bar; "
        "look for play, tears and cracks. Keep fingers out of gaps: a spring may move.",
        "Stop, do not drive if a mount is cracked or loose. Renew mount or bush first; no click "
        "cures this.",
        stops=True,
    ),
    Gate(
        "leaks",
        "Are all four dampers dry?",
        "Wipe each body and look again after a drive. A film of mist may be allowed by the maker; "
        "a wet body is not. A warm damper burns.",
        "A damper that leaks is renewed or rebuilt first, on both sides of the axle where the "
        "maker says so; no click cures this.",
    ),
    Gate(
        "rod",
        "Are the rods straight and bright all the way?",
        "Look along the rod at full droop, on stands. Turn the rod or body where it can be turned: "
        "a bent one wobbles and binds.",
        "A bent or scored rod is renewed first: it binds and cuts its seal; no click cures this.",
    ),
    Gate(
        "gas",
        "Do gas dampers still hold their gas?",
        "Where the maker says that the rod comes out by itself, take a damper off and push it in: "
        "it must come out, alike on both sides. Never open or drill a charged damper.",
        "A damper that lost its gas goes to whoever may refill it first; no click cures this.",
    ),
    Gate(
        "spring",
        "Are the springs whole, seated, and the ones for this load?",
        "Look at every coil and leaf for cracks, at both ends and seats, on stands. Measure the "
        "free length or the sag against the other side. A spring holds energy: tools for springs "
        "only.",
        "Stop, do not drive on a cracked spring. Springs come first; no click cures this.",
        stops=True,
    ),
    Gate(
        "stop",
        "Are all bump and droop stops there, whole, with travel free between them?",
        "Look for split or missing stops and for marks of contact; measure the gap at ride height. "
        "Cycle the travel with hoses, cables and tyres clear.",
        "Renew the stop, and clear whatever touches, first; no click cures this.",
    ),
    Gate(
        "sides",
        "Do both dampers of each axle stand at the same clicks, counted and noted?",
        "Turn each adjuster in until it seats lightly, never by force, and count. Note what you "
        "found on all four dampers before you turn anything, then put it back.",
        "Unequal sides are a fault to find, never a setting: set both alike, drive, and ask again.",
    ),
)

GATES: Mapping[str, Gate] = MappingProxyType({gate.key: gate for gate in _GATES})
"""Every gate by its key, in the order in which they are asked."""


def first_failed(answers: Mapping[str, bool | None]) -> Gate | None:
    """Return the first gate that holds the job up: one that failed, or is not checked yet.

    Parameters
    ----------
    answers : mapping of str to bool or None
        By key: True for checked and right, False for failed; None or no entry for not checked yet.

    Returns
    -------
    Gate or None
        None when every gate is passed, and clicks may be thought of.

    Raises
    ------
    LearnerError
        If an answer belongs to no gate.

    Examples
    --------
    >>> first_failed(dict.fromkeys(GATES, True)) is None
    True
    >>> first_failed({"unsafe": True}).key
    'pressure'
    """
    if strange := [key for key in answers if key not in GATES]:
        raise LearnerError(
            f"There is no check {quoted(strange[0])}; {nearest(str(strange[0])[:40], GATES)}."
        )
    return next((gate for key, gate in GATES.items() if not answers.get(key)), None)
