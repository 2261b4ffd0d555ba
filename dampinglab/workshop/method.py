"""How a trial was driven: what has to stay the same for two drives to be compared."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Any

from dampinglab.errors import LearnerError, check_range
from dampinglab.workshop.corners import CORNERS, unknown_corner, whole
from dampinglab.workshop.text import plain, quoted

__all__ = ["Method", "by_corner", "number", "text"]

PASSES = 3
"""Passes of the same stretch that a drive should have: fewer do not show their spread."""

# How each thing is called, and how far two drives may be apart: assumptions of this course.
_WORDS = {
    "route": ("route", None),
    "driver": ("driver", None),
    "load": ("load", None),
    "speed_kmh": ("GPS speed in km/h", 3.0),
    "fuel_percent": ("fuel in %", 15.0),
    "cold_kpa": ("cold tyre pressures in kPa", 5.0),
    "air_c": ("air temperature in °C", 8.0),
    "damper_c": ("damper-body temperature in °C", 10.0),
    "passes": ("number of passes", None),
    "warm": ("whether the dampers were warm", None),
    "rated_first": ("whether the ratings were given before data were seen", None),
    "knew": ("whether the driver knew the setting", None),
}
_LIMITS = {
    "speed_kmh": (1, 250, "km/h"),
    "fuel_percent": (0, 100, "%"),
    "air_c": (-50, 60, "°C"),
    "damper_c": (-50, 200, "°C"),
}
_LONGEST = 2000  # letters


def text(value: object, what: str, longest: int = _LONGEST) -> str:
    """Return words that can be written and read again.

    Parameters
    ----------
    value : object
        What was written.
    what : str
        What it is, as the sentence's beginning.
    longest : int, optional
        Most letters.

    Returns
    -------
    str
        The words without blanks around them.

    Raises
    ------
    LearnerError
        If it is no text, too long, or has letters that no file can hold.
    """
    if not isinstance(value, str):
        raise LearnerError(f"{what} is {quoted(value)}; it should be words in quotes.")
    if len(value) > longest:
        raise LearnerError(f"{what} has {len(value)} letters; {longest} are the most.")
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise LearnerError(f"{what} has letters that cannot be written to a file; type them anew.")
    return value.strip()


def number(value: object, what: str, low: float, high: float, unit: str = "") -> float:
    """Return a single number between two limits.

    Parameters
    ----------
    value : object
        What was written.
    what : str
        What it is, as the sentence's beginning.
    low, high : float
        The limits, both allowed.
    unit : str, optional
        The unit of all three.

    Returns
    -------
    float
        The number.

    Raises
    ------
    LearnerError
        If it is no single number, or lies outside.
    """
    if isinstance(value, bool | str | list | tuple | Mapping) or value is None:
        raise LearnerError(f"{what} is {quoted(value)}; it should be a number.")
    try:
        return float(check_range(what, value, low, high, unit))
    except (TypeError, OverflowError):
        raise LearnerError(f"{what} is {quoted(value)}; it should be a number.") from None


def by_corner(
    value: object, what: str, low: float, high: float, unit: str
) -> Mapping[str, float] | None:
    """Return one number for each wheel that has one.

    Parameters
    ----------
    value : object
        By corner; None when nothing was measured.
    what : str
        What it is, as the sentence's beginning.
    low, high : float
        The limits of one wheel.
    unit : str
        The unit.

    Returns
    -------
    mapping of str to float or None
        In the order of `CORNERS`, read-only; None for nothing.

    Raises
    ------
    LearnerError
        If a wheel is unknown or a number is none.
    """
    if value is None:
        return None
    if not isinstance(value, Mapping) or unknown_corner(value):
        tail = unknown_corner(value) if isinstance(value, Mapping) else "as in {'front left': 1}"
        raise LearnerError(f"{what} should be given by wheel: {tail}.")
    return MappingProxyType(
        {
            corner: number(value[corner], f"{what}, {corner},", low, high, unit)
            for corner in CORNERS
            if corner in value
        }
    )


@dataclass(frozen=True, kw_only=True)
class Method:
    """How one drive was done; None for what was not noted.

    Parameters
    ----------
    route, driver, load : str, optional
        The same stretch, person and load each time, in words.
    speed_kmh : float, optional
        Speed by GPS, km/h.
    fuel_percent : float, optional
        Fuel, % of the tank.
    cold_kpa : mapping of str to float, optional
        Tyre pressures by wheel, cold, kPa.
    air_c, damper_c : float, optional
        Temperature of the air and of a damper's body, °C.
    passes : int, optional
        How often the stretch was driven; three show the spread.
    warm : bool, optional
        Whether the dampers were warmed by driving first.
    rated_first : bool, optional
        Whether the driver gave ratings before seeing data.
    knew : bool, optional
        Whether the driver knew the setting; better not, where that is safe.

    Raises
    ------
    LearnerError
        If something that was noted cannot be so.
    """

    route: str | None = None
    driver: str | None = None
    load: str | None = None
    speed_kmh: float | None = None
    fuel_percent: float | None = None
    cold_kpa: Mapping[str, float] | None = None
    air_c: float | None = None
    damper_c: float | None = None
    passes: int | None = None
    warm: bool | None = None
    rated_first: bool | None = None
    knew: bool | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be so; keep the rest in one form."""
        for field in fields(self):
            value = getattr(self, field.name)
            if value is not None:
                object.__setattr__(self, field.name, _checked(field.name, value))

    @classmethod
    def of(cls, record: object) -> "Method":
        """Return the method that a record or a learner's table holds.

        Parameters
        ----------
        record : mapping or Method
            By the names of the fields.

        Returns
        -------
        Method
            The same, checked.

        Raises
        ------
        LearnerError
            If a name is unknown or a value cannot be so.
        """
        if isinstance(record, cls):
            return record
        if not isinstance(record, Mapping):
            raise LearnerError("Give the method as Method(route=..., driver=..., passes=3).")
        unknown = [name for name in record if name not in _WORDS]
        if unknown:
            known = ", ".join(_WORDS)
            raise LearnerError(f"{quoted(unknown[0])} is no part of the method; use {known}.")
        return cls(**record)

    def record(self) -> dict[str, Any]:
        """Return what was noted, ready to be written.

        Returns
        -------
        dict
            By the names of the fields; what was not noted is left out.
        """
        noted = {field.name: getattr(self, field.name) for field in fields(self)}
        return {
            name: dict(value) if isinstance(value, Mapping) else value
            for name, value in noted.items()
            if value is not None
        }

    @property
    def missing(self) -> tuple[str, ...]:
        """What was not noted, in words.

        Returns
        -------
        tuple of str
            Such as "route" or "fuel in %".
        """
        gaps = [words for name, (words, _) in _WORDS.items() if getattr(self, name) is None]
        if self.cold_kpa is not None and len(self.cold_kpa) < len(CORNERS):
            gaps.append("cold tyre pressures of all four wheels")
        return tuple(gaps)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What weakens this drive, in whole sentences.

        Returns
        -------
        tuple of str
            None when it was driven as it should be.
        """
        told = (
            (self.warm is False, "The dampers were not warm."),
            (self.passes in (1, 2), f"Fewer than {PASSES} passes hardly show the spread."),
            (self.rated_first is False, "The ratings were given after data were seen."),
            (self.knew is True, "The driver knew the setting."),
            (bool(self.missing), f"Not noted: {', '.join(self.missing)}."),
        )
        return tuple(sentence for holds, sentence in told if holds)

    def unlike(self, other: "Method") -> tuple[str, ...]:
        """Return what differs so much that the two drives cannot be compared.

        Parameters
        ----------
        other : Method
            The other drive.

        Returns
        -------
        tuple of str
            Such as "driver (Ann, then Ben)"; what was not noted in both is left out.
        """
        found = []
        for name, (words, apart) in _WORDS.items():
            mine, theirs = getattr(self, name), getattr(other, name)
            if None in (mine, theirs) or name in ("passes", "rated_first", "knew"):
                continue
            if _apart(mine, theirs, apart):
                found.append(f"{words} ({_shown(mine)}, then {_shown(theirs)})")
        return tuple(found)


def _checked(name: str, value: object) -> object:
    words = _WORDS[name][0]
    words = words[:1].upper() + words[1:]
    if name in ("route", "driver", "load"):
        return text(value, words)
    if name in _LIMITS:
        return number(value, words.partition(" in ")[0], *_LIMITS[name])
    if name == "cold_kpa":
        return by_corner(value, "Cold tyre pressure", 50, 900, "kPa")
    if name == "passes":
        return whole(value, words, 1, 20)
    if not isinstance(value, bool):
        raise LearnerError(f"{words} is {quoted(value)}; write True or False.")
    return value


def _apart(mine: Any, theirs: Any, allowed: float | None) -> bool:
    if isinstance(mine, Mapping):
        return any(abs(mine[key] - theirs[key]) > allowed for key in mine.keys() & theirs.keys())
    if allowed is not None:
        return abs(mine - theirs) > allowed
    return plain(str(mine)) != plain(str(theirs))


def _shown(value: Any) -> str:
    if isinstance(value, Mapping):
        return " / ".join(f"{each:g}" for each in value.values())
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else f"{value:g}"
