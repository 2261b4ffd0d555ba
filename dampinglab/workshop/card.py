"""The setting card: what the owner takes home, in a file that reads back whole."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from dampinglab import journal
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.corners import (
    Clicks,
    checked_clicks,
    checked_totals,
    pair,
    side_faults,
    whole,
)
from dampinglab.workshop.day import Day
from dampinglab.workshop.method import by_corner, text
from dampinglab.workshop.text import adjuster_name, nearest, quoted

__all__ = ["FORMAT", "NAMES", "Card", "Leeway", "Setup", "card_of", "read_card", "write_card"]

FORMAT = "dampinglab card 1"

NAMES = {
    "vehicle": "vehicle",
    "date": "date",
    "customer_words": "the customer's own words",
    "felt": "what you felt",
    "changed": "what we changed",
    "given_up": "what you give up",
    "totals": "clicks in all of each adjuster",
    "as_found": "setting as found",
    "final": "final setting",
    "empty": "fall-back when empty",
    "loaded": "fall-back when loaded",
    "masses_kg": "mass on each wheel",
    "heights_mm": "ride heights",
    "owner_may": "what the owner may turn",
    "come_back": "when to come back",
    "not_fixed": "what was not fixed",
    "trials": "trials",
    "cautions": "cautions",
}
"""Each part of a card as a person would call it, in the order of the page."""

_LINES = ("not_fixed", "trials", "cautions")
_SETUPS = ("as_found", "final", "empty", "loaded")
_LETTERS, _MOST = 2000, 500  # in one text; texts in one list
_LARGEST = 5_000_000  # bytes: no card is as large


@dataclass(frozen=True)
class Setup:
    """One setting of the whole vehicle.

    Parameters
    ----------
    clicks : dict
        Clicks out from closed, by corner and adjuster.
    cold_kpa : mapping of str to float, optional
        Tyre pressures by wheel, cold, kPa.
    """

    clicks: Clicks
    cold_kpa: Mapping[str, float] | None = None


@dataclass(frozen=True)
class Leeway:
    """How far the owner may turn one adjuster from the final setting, both sides alike.

    Parameters
    ----------
    axle : str
        "front" or "rear".
    adjuster : str
        Such as "rebound".
    softer, firmer : int
        Most clicks out, and most clicks in.
    """

    axle: str
    adjuster: str
    softer: int
    firmer: int


@dataclass(frozen=True, kw_only=True)
class Card:
    """What was found, what was done, and what the owner has to know; None for what is not given.

    Parameters
    ----------
    vehicle, date : str, optional
        Which vehicle, and when.
    customer_words : str, optional
        The complaint as the customer said it.
    felt, changed, given_up : str, optional
        Three plain sentences: what you felt, what we changed, what you give up.
    totals : dict, optional
        How many clicks each adjuster has, by corner.
    as_found, final, empty, loaded : Setup, optional
        The setting as it came and as it goes, and the two to fall back to.
    masses_kg, heights_mm : mapping of str to float, optional
        Mass on each wheel, kg, and ride height at each, mm.
    owner_may : tuple of Leeway, optional
        What the owner may turn; an empty one for nothing.
    come_back : str, optional
        When to come back.
    not_fixed, trials, cautions : tuple of str, optional
        A sentence each; an empty one for none.

    Raises
    ------
    LearnerError
        If a part cannot be so.
    """

    vehicle: str | None = None
    date: str | None = None
    customer_words: str | None = None
    felt: str | None = None
    changed: str | None = None
    given_up: str | None = None
    totals: Clicks | None = None
    as_found: Setup | None = None
    final: Setup | None = None
    empty: Setup | None = None
    loaded: Setup | None = None
    masses_kg: Mapping[str, float] | None = None
    heights_mm: Mapping[str, float] | None = None
    owner_may: tuple[Leeway, ...] | None = None
    come_back: str | None = None
    not_fixed: tuple[str, ...] | None = None
    trials: tuple[str, ...] | None = None
    cautions: tuple[str, ...] | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be so; keep the rest in one form."""
        if self.totals is not None:
            object.__setattr__(self, "totals", checked_totals(self.totals))
        for field in fields(self):
            value = getattr(self, field.name)
            if value is not None:
                object.__setattr__(self, field.name, _checked(self, field.name, value))

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not given, in words.

        Returns
        -------
        tuple of str
            Names of `NAMES`.
        """
        return tuple(words for name, words in NAMES.items() if getattr(self, name) is None)

    @property
    def faults(self) -> tuple[str, ...]:
        """Differences between left and right in what is driven with, now or on falling back.

        Returns
        -------
        tuple of str
            Whole sentences; none when the sides agree.
        """
        found: dict[str, list[str]] = {}
        for name in _SETUPS[1:]:
            setup = getattr(self, name)
            for fault in side_faults(setup.clicks, self.totals) if setup else ():
                found.setdefault(fault[:1].lower() + fault[1:], []).append(NAMES[name])
        told = [f"{' and '.join(names)}: {fault}" for fault, names in found.items()]
        return tuple(each[:1].upper() + each[1:] for each in told)


def card_of(day: Day, **known: Any) -> Card:
    """Start a card from a test day.

    Parameters
    ----------
    day : Day
        Its first setting is as found, its last one final, with the pressures of the first and
        the last drive that has any; its records are the trials.
    **known : object
        Further parts of the `Card`, and parts to be given otherwise.

    Returns
    -------
    Card
        What is known so far.

    Raises
    ------
    LearnerError
        If a part cannot be so.
    """
    cold = [e.method.cold_kpa for e in day.entries if e.method and e.method.cold_kpa] or [None]
    told = {
        "vehicle": day.vehicle,
        "totals": day.totals,
        "as_found": Setup(day.entries[0].setting, cold[0]),
        "final": Setup(day.setting, cold[-1]),
        "trials": tuple(f"{entry.number}. {entry.words}" for entry in day.entries),
    }
    unknown = [name for name in known if name not in NAMES]
    if unknown:
        raise LearnerError(f"{unknown[0]!r} is no part of a card; {nearest(unknown[0], NAMES)}.")
    return Card(**{**told, **known})


def write_card(path: str | Path, card: Card) -> None:
    """Write a card all at once, over an older card or to a new file, never over anything else.

    Parameters
    ----------
    path : str or Path
        The file, usually card.json.
    card : Card
        What to write.

    Raises
    ------
    FileProblem
        If it cannot be written, or the file holds anything but a card that can be read whole.
    """
    path = Path(path)
    if path.exists():
        read_card(path)  # or a sentence, and what is there stays
    told = {name: _plain(getattr(card, name)) for name in NAMES if getattr(card, name) is not None}
    text = json.dumps({"format": FORMAT, **told}, ensure_ascii=False, indent=1, allow_nan=False)
    journal.replace(path, text + "\n")


def read_card(path: str | Path) -> Card:
    """Read a card back.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Card
        Equal to the one that was written.

    Raises
    ------
    FileProblem
        If it is no card, or any part of it cannot be read.
    """
    path = Path(path)
    record = _opened(path)
    unknown = [name for name in record if name not in NAMES and name != "format"]
    if unknown:
        what = f"{quoted(unknown[0])} is no part of a card"
        raise FileProblem(path, what, nearest(unknown[0][:40], NAMES))
    try:
        return Card(**{name: value for name, value in record.items() if name != "format"})
    except LearnerError as problem:
        mend = "correct it, or go back to an older copy"
        raise FileProblem(path, str(problem).rstrip("."), mend) from None


def _opened(path: Path) -> dict[str, Any]:
    """Return what a card's file holds, or say why it is none."""
    try:
        large = path.stat().st_size > _LARGEST
        found = None if large else json.loads(path.read_bytes())
    except OSError as problem:
        what = f"it cannot be opened ({problem.strerror or problem})"
        raise FileProblem(path, what, "check the name and the folder") from None
    except (ValueError, RecursionError):  # the second for brackets without end
        found = None
    kind = found.get("format") if isinstance(found, dict) else None
    if kind == FORMAT:
        return found
    if str(kind).rpartition(" ")[0] == FORMAT.rpartition(" ")[0]:
        what = "another version of dampinglab wrote this card"
        raise FileProblem(path, what, "install the newer version, or use another file")
    raise FileProblem(path, "this is no setting card", "name another file")


def _plain(value: Any) -> Any:
    """Return a part of a card as JSON holds it."""
    if isinstance(value, Setup | Leeway):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {name: _plain(each) for name, each in value.items()}
    return [_plain(each) for each in value] if isinstance(value, tuple) else value


def _checked(card: Card, name: str, value: object) -> object:
    """Return one part in its one form."""
    what = NAMES[name][:1].upper() + NAMES[name][1:]
    if name == "totals":
        return value
    if name in _SETUPS:
        return _setup(what, value, card.totals)
    if name == "masses_kg":
        return by_corner(value, what, 20, 3000, "kg")
    if name == "heights_mm":
        return by_corner(value, what, 20, 2000, "mm")
    if name == "owner_may":
        return tuple(_leeway(card, each) for each in _listed(what, value))
    if name in _LINES:
        return tuple(text(each, what, _LETTERS) for each in _listed(what, value))
    return text(value, what, _LETTERS) or None


def _listed(what: str, value: object) -> list[Any] | tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        raise LearnerError(f"{what} should be a list, and is {quoted(value)}.")
    if len(value) > _MOST:
        raise LearnerError(f"{what} has {len(value)} entries; {_MOST} are the most.")
    return value


def _setup(what: str, value: object, totals: Clicks | None) -> Setup:
    """Return a setting with its clicks held against the adjusters' totals."""
    if isinstance(value, Mapping) and value.keys() <= {"clicks", "cold_kpa"}:
        value = Setup(value.get("clicks"), value.get("cold_kpa"))
    if not isinstance(value, Setup):
        raise LearnerError(f"{what} should be a Setup(clicks, cold_kpa), and is {quoted(value)}.")
    if totals is None:
        raise LearnerError(f"{what} needs the clicks in all of each adjuster beside it.")
    try:
        clicks = checked_clicks(value.clicks, totals)
        cold = by_corner(value.cold_kpa, "Cold tyre pressure", 50, 900, "kPa")
    except LearnerError as problem:
        raise LearnerError(f"{what}: {problem}") from None
    return Setup(clicks, cold)


def _leeway(card: Card, value: object) -> Leeway:
    """Return what may be turned, held against the final setting."""
    if isinstance(value, Mapping) and set(value) == {field.name for field in fields(Leeway)}:
        value = Leeway(**value)
    if not isinstance(value, Leeway) or card.final is None:
        raise LearnerError(
            "What the owner may turn should be Leeway(axle, adjuster, softer, firmer) beside a "
            f"final setting, and is {quoted(value)}."
        )
    name = adjuster_name(str(value.adjuster)) or ""
    softer, firmer = _room(card, value.axle, name)
    where = f"The owner's {value.axle} {name}, clicks"
    return Leeway(
        value.axle,
        name,
        whole(value.softer, f"{where} softer,", 0, softer),
        whole(value.firmer, f"{where} firmer,", 0, firmer),
    )


def _room(card: Card, axle: str, name: str) -> tuple[int, int]:
    """Return how far both dampers of an axle can be turned out and in from the final setting."""
    ends = []
    for side in pair(axle):
        if name not in card.final.clicks[side]:
            what = f"The {side} damper has no {name or 'such'} adjuster"
            raise LearnerError(f"{what} that the owner may turn: choose another.")
        stands = card.final.clicks[side][name]
        ends.append((card.totals[side][name] - stands, stands))
    softer, firmer = (min(each) for each in zip(*ends, strict=True))
    return softer, firmer
