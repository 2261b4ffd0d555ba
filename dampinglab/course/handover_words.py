"""What the customer and the driver say, made from computed scores; and what is told afterwards."""

from collections.abc import Mapping

from dampinglab.course.handover_draw import Case, chance
from dampinglab.course.handover_limits import AXLES, WATCHED, beyond
from dampinglab.course.handover_moves import REASONS
from dampinglab.course.handover_parts import KINDS, Patient, adjusters, true_scores
from dampinglab.workshop.corners import CORNERS

__all__ = ["PHRASES", "ROWS", "cause", "customer", "driver", "mended", "told"]

PHRASES = (
    "is restless, even where the road looks smooth",
    "moves about on long waves",
    "keeps moving up and down after a rise",
    "is sharp over small bumps",
    "throws us up after a speed hump",
    "drops hard into holes",
    "is sharp over big bumps",
    "hits its stop in a dip",
    "sinks lower over corrugations",
)
"""What each watched score is felt as."""


_LOADS = {
    None: "driven empty",
    "touring": "loaded for touring",
    "trailer on the ball": "with the trailer on the ball",
    "tools and material": "with tools and material on board",
}
ROWS = (
    "restless on a usual road",
    "moves on long waves",
    "moves on after a rise",
    "sharp over small bumps",
    "thrown up by a hump",
    "drops into holes",
    "sharp over big bumps",
    "hits its stop in a dip",
    "sinks on corrugations",
)
"""The same in short, for tables, pictures and reasons."""

_PLACES = {"highway": "on the highway", "town": "in town", "back road": "on the back road"}
_FAINT = 0.4  # of the way to the limit, below which nobody can say what it is


def customer(case: Case) -> str:
    """Return the card: the vehicle, how it is used, and what the customer says."""
    sheet, load = case.found.vehicle, case.found.load
    off = beyond(true_scores(case.found), true_scores(case.healthy))
    return f"{sheet.name}, {_LOADS[load]}. “{_said(case, off)}”"


def _said(case: Case, off: Mapping) -> str:
    first, second, *_ = sorted(off, key=off.get, reverse=True)
    if off[first] < _FAINT:
        said = _nothing(case)
    else:
        sure = "" if off[first] > 1 else " I may be imagining it."
        said = f"{_phrase(case, first)}.{sure}"
        if off[second] > 1 and second[1] != first[1]:
            said += f" Also, {_phrase(case, second, small=True)}."
    return said + (f" {_blamed(case)}" if case.mistaken == "cause" else "")


def _nothing(case: Case) -> str:
    """Return words that tell nothing, and do not tell a sound vehicle from one that is not."""
    if case.mistaken != "cause" and chance(5, case.seed).random() < 0.5:
        return "I have no complaint. A friend says that clicks have to be set, so set them."
    return "It is not what it was, and I cannot say where. Have a look."


def _phrase(case: Case, key: tuple[str, int], small: bool = False) -> str:
    axle = AXLES[1 - AXLES.index(key[0])] if case.mistaken == "axle" else key[0]
    told = f"{_PLACES[WATCHED[key[1]].road]} the {axle} {PHRASES[key[1]]}"
    return told if small else f"{told[0].upper()}{told[1:]}"


def _blamed(case: Case) -> str:
    """Return what a friend blames, which is not what it is."""
    turned = {
        place
        for found, content in zip(case.found.clicks, case.content, strict=True)
        for place, clicks in enumerate(found)
        if clicks != content[place]
    }
    names = [a.name for i, a in enumerate(adjusters(case.found.name)) if i not in turned]
    draw = chance(4, case.seed)
    name, way = draw.choice(names), draw.choice(["in", "out"])
    return f"A friend is sure that it is the {name}: turn it {way}, he says."


def driver(off: Mapping[tuple[str, int], float]) -> str:
    """Return what the workshop's own driver says, from how far each score is off."""
    outside = sorted((key for key in off if off[key] > 1), key=off.get, reverse=True)
    if not outside:
        return "Every watched score is inside its limit."
    told = [f"the {axle} {PHRASES[place]}" for axle, place in outside[:3]]
    rest = len(outside) - 3
    more = f"; {rest} more {'is' if rest == 1 else 'are'} outside" if rest > 0 else ""
    return f"Worst first: {'; '.join(told)}{more}."


def told(move: Mapping) -> tuple[str, str]:
    """Return what was done in a move, drives apart, and what came of it."""
    gate = move.get("gate", "")
    each = {
        "look": lambda: (f"Looked: {gate}", f"{_ORDER[move['passed']]}. {move['seen']}"),
        "mend": lambda: (f"Went to mend: {gate}", move["told"]),
        "turn": lambda: (f"Turned: {move['axle']} {move['adjuster']}", _way(move["by"])),
        "undo": lambda: ("Undone", "Clicks as before the last turn"),
        "back": lambda: ("Handed back", _said_last(move)),
        "refuse": lambda: (f"Refused: {gate}", _said_last(move)),
    }
    return each[move["do"]]()


def _said_last(move: Mapping) -> str:
    """Return what the customer was told."""
    said = move.get("reasons") or {}
    return "; ".join(f"{REASONS[key]}: {words}" for key, words in said.items())


_ORDER = {True: "In order", False: "NOT in order"}


def _way(by: int) -> str:
    way = "out, softer" if by > 0 else "in, firmer"
    return f"{abs(by)} click{'s' * (abs(by) != 1)} {way}, both sides"


def cause(case: Case) -> str:
    """Return what was wrong, to be told after hand-over."""
    told = [_fault(fault) for fault in case.found.faults] + _turned(case.found, case.content)
    if not told:
        return "Nothing was wrong: no part, no click. Such vehicles come too."
    erred = {
        "axle": " The customer named the wrong axle.",
        "cause": " The friend was wrong about the adjuster.",
        None: "",
    }
    return f"What was wrong: {'; '.join(told)}.{erred[case.mistaken]}"


def _fault(fault) -> str:
    where = " and ".join(CORNERS[wheel] for wheel in fault.wheels)
    return f"{KINDS[fault.kind].cause}, {where}"


def mended(fault) -> str:
    """Return what was found where something was mended, and what was done."""
    return f"Found: {_fault(fault)}. {KINDS[fault.kind].mended}"


def _turned(found: Patient, content) -> list[str]:
    told = []
    for axle in (0, 2):
        for place, adjuster in enumerate(adjusters(found.name)):
            left, right = (found.clicks[axle + side][place] for side in (0, 1))
            then = content[axle][place]
            stood = f"{left}" if left == right else f"{left} left and {right} right"
            unit = "click" if left == right == 1 else "clicks"
            if (left, right) != (then, then):
                where = f"{AXLES[axle // 2]} {adjuster.name}"
                told.append(f"{where} at {stood} {unit} out, where {then} had been good")
    return told
