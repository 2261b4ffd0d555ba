"""The setting card filled in from the working tool: what is known, then what was typed."""

import re
from collections.abc import Iterator, Mapping
from datetime import date

from dampinglab.errors import LearnerError
from dampinglab.physics.vehicle import Vehicle
from dampinglab.units import parse_quantity
from dampinglab.workshop.card import Card, Leeway, Setup, card_of
from dampinglab.workshop.catalogue import COMPLAINTS, Remedy
from dampinglab.workshop.complaint import fitting
from dampinglab.workshop.corners import AXLES, Clicks, pair
from dampinglab.workshop.day import Day
from dampinglab.workshop.own_sheet import by_wheel
from dampinglab.workshop.text import ADJUSTERS

__all__ = ["LEEWAYS", "TEXTS", "adjusters_of", "changed_words", "own_card", "with_taken"]

TEXTS = ("customer_words", "felt", "changed", "given_up", "come_back", "not_fixed", "cautions")
"""Parts of the card that are typed, each in a box named "card" and its name."""

LEEWAYS = ("may 1", "may 2")
"""Where the boxes are of what the owner may turn."""

_LINES = ("not_fixed", "cautions")
_TAKEN, _BETWEEN = "felt taken", " | "  # the box of the changes taken over, a line each
_NONE = "none"
_SAME = "Nothing: it goes as it was found."

Written = Mapping[str, str]


def own_card(
    written: Written,
    vehicle: Vehicle | None,
    day: Day | None,
    today: date,
    cautions: tuple[str, ...] = (),
) -> Card:
    """Return the card as far as it is known.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.
    vehicle : Vehicle or None
        As measured; its masses stand on the card where the boxes have none.
    day : Day or None
        The trials.
    today : date
        For a card that was not dated by hand.
    cautions : tuple of str, optional
        Sentences for a card whose cautions were not typed; those of the changes that were taken
        over and stand come before them.

    Returns
    -------
    Card
        With everything that there is; `Card.missing` names the rest.

    Raises
    ------
    LearnerError
        If something typed cannot stand on a card.
    """
    told = {name: _typed(name, written.get(f"card {name}", "")) for name in TEXTS}
    told = {name: value for name, value in told.items() if value is not None}
    told["date"] = written.get("card date") or f"{today.day} {today:%B %Y}"
    told["masses_kg"] = _masses(written, vehicle)
    heights = by_wheel(written, "height")
    told["heights_mm"] = {c: round(1e3 * h, 1) for c, h in heights.items()} or None
    given_up, warnings = _prices(written, day)
    told.setdefault("cautions", tuple(dict.fromkeys((*warnings, *cautions))) or None)
    name = vehicle.name if vehicle else written.get("vehicle name")
    if day is None:
        return Card(vehicle=name or None, **told)
    told.setdefault("changed", _changed(day))
    told.setdefault("given_up", given_up)
    told["vehicle"] = name or day.vehicle
    return card_of(day, **told, **_settings(written, day))


def _changed(day: Day) -> str | None:
    """Return what the records say; of a vehicle on which nothing was done yet nothing is said."""
    same = _SAME if len(day.entries) > 1 else None
    return changed_words(day.entries[0].setting, day.setting) or same


def adjusters_of(day: Day | None) -> tuple[str, ...]:
    """Return the adjusters to choose from, as a list offers them.

    Parameters
    ----------
    day : Day or None
        The trials.

    Returns
    -------
    tuple of str
        Those that any of the dampers has, in the order of `ADJUSTERS`; all where there are none.
    """
    every = day.totals.values() if day else ()
    return tuple(n for n in ADJUSTERS if any(n in each for each in every)) or tuple(ADJUSTERS)


def with_taken(written: Written, key: str, axle: str, adjuster: str) -> dict[str, str]:
    """Return the box that remembers which changes were taken over, with one more.

    Parameters
    ----------
    written : mapping of str to str
        The boxes.
    key : str
        Key of COMPLAINTS.
    axle, adjuster : str
        What is turned for it.

    Returns
    -------
    dict of str to str
        To be kept with the other boxes.
    """
    lines = [*written.get(_TAKEN, "").splitlines(), _BETWEEN.join((key, axle, adjuster))]
    return {_TAKEN: "\n".join(dict.fromkeys(lines))}


def _prices(written: Written, day: Day | None) -> tuple[str | None, tuple[str, ...]]:
    """Return what is given up, and what may become dangerous, with the changes that stand."""
    stand = list(_standing(written, day)) if day else []
    warnings = tuple(each.warning for axle, each in stand if axle == "rear" and each.warning)
    return " ".join(dict.fromkeys(each.price for _, each in stand)) or None, warnings


def _standing(written: Written, day: Day) -> Iterator[tuple[str, Remedy]]:
    """Yield axle and remedy of each change taken over that still stands, as found before it."""
    for line in written.get(_TAKEN, "").splitlines():
        key, axle, name = (*line.split(_BETWEEN), "", "")[:3]
        if key not in COMPLAINTS or axle not in AXLES:
            continue
        before, now = (
            each.get(pair(axle)[0], {}) for each in (day.entries[0].setting, day.setting)
        )
        by = now.get(name, 0) - before.get(name, 0)
        for each in COMPLAINTS[key].remedies if by else ():
            fits = axle in each.axles and fitting(each.adjuster, list(now)) == name
            if fits and each.more == (by < 0):
                yield axle, each
                break


def changed_words(before: Clicks, now: Clicks) -> str:
    """Return what was changed from one setting to another.

    Parameters
    ----------
    before, now : dict
        Clicks out from closed, by corner and adjuster.

    Returns
    -------
    str
        A sentence an adjuster; empty when nothing was.

    Examples
    --------
    >>> both = lambda n: {"rear left": {"rebound": n}, "rear right": {"rebound": n}}
    >>> changed_words(both(12), both(8))
    'Rear rebound 4 clicks in, firmer.'
    """
    told = []
    for axle, name in ((axle, name) for axle in AXLES for name in ADJUSTERS):
        turns = [now[s][name] - before[s][name] for s in pair(axle) if name in before.get(s, {})]
        if turns and turns[0] == turns[-1] != 0:
            many, way = abs(turns[0]), "out, softer" if turns[0] > 0 else "in, firmer"
            told.append(f"{axle.capitalize()} {name} {many} click{'s' * (many > 1)} {way}.")
        elif any(turns):
            found, stands = ([each[s].get(name) for s in pair(axle)] for each in (before, now))
            told.append(
                f"{axle.capitalize()} {name} from {found[0]} left and {found[1]} right to "
                f"{' and '.join(map(str, dict.fromkeys(stands)))} on both sides."
            )
    return " ".join(told)


def _typed(name: str, written: str) -> str | tuple[str, ...] | None:
    if not written:
        return None
    if name not in _LINES:
        return written
    lines = tuple(line.strip() for line in written.splitlines() if line.strip())
    return () if [line.lower().strip(".") for line in lines] == [_NONE] else lines


def _masses(written: Written, vehicle: Vehicle | None) -> dict[str, float] | None:
    weighed = {} if written.get("vehicle from", "typed here") != "typed here" else by_wheel(
        written, "mass"
    )  # fmt: skip
    for axle in vehicle.axles.values() if vehicle and not weighed else ():
        left, right = pair(axle.name)
        weighed |= {left: axle.left_mass, right: axle.right_mass}
    return {corner: round(mass, 1) for corner, mass in weighed.items()} or None


def _settings(written: Written, day: Day) -> dict[str, object]:
    """Return the fall-backs, what the owner may turn, and pressures from the sheet."""
    cold = _kpa(by_wheel(written, "cold"))
    told = {}
    for name, setting in (("as_found", day.entries[0].setting), ("final", day.setting)):
        driven = [e.method.cold_kpa for e in day.entries if e.method and e.method.cold_kpa]
        if not driven and cold:
            told[name] = Setup(setting, cold)
    for name in ("empty", "loaded"):
        number = written.get(f"card {name} record", "")
        if number.isdecimal():
            told[name] = Setup(day.entry(int(number)).setting, _pressures(written, name) or cold)
    leeways = [_leeway(written, place, adjusters_of(day)) for place in LEEWAYS]
    told["owner_may"] = tuple(filter(None, leeways)) or None
    if written.get("card may nothing") == "yes":
        told["owner_may"] = ()
    return told


def _kpa(found: Mapping[str, float]) -> dict[str, float] | None:
    return {corner: round(pascal / 1e3, 1) for corner, pascal in found.items()} or None


def _pressures(written: Written, name: str) -> dict[str, float] | None:
    """Return a fall-back's pressures, one for each axle."""
    texts = {axle: written.get(f"card {name} {axle} cold", "") for axle in AXLES}
    read = {a: parse_quantity(t, "pressure", "kPa") for a, t in texts.items() if t}
    return _kpa({side: value for axle, value in read.items() for side in pair(axle)})


def _leeway(written: Written, place: str, names: tuple[str, ...]) -> Leeway | None:
    softer, firmer = (written.get(f"{place} {way}", "") for way in ("softer", "firmer"))
    if not softer and not firmer:
        return None
    counts = [text or "0" for text in (softer, firmer)]
    if any(not re.fullmatch(r"[0-9]{1,3}", text) for text in counts):
        raise LearnerError("What the owner may turn is whole clicks: write 0, 1, 2 and so on.")
    axle = written.get(f"{place} axle", AXLES[0])
    chosen = written.get(f"{place} adjuster")
    return Leeway(axle, chosen if chosen in names else names[0], *map(int, counts))
