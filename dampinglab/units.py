"""A closed table of units, and the reading of numbers as people write them.

Everything inside the package is SI; these functions stand at its edges.
"""

import math
import re
from dataclasses import dataclass

from dampinglab.errors import LearnerError

__all__ = [
    "UNITS",
    "Unit",
    "canonical",
    "from_si",
    "minus",
    "parse_clicks",
    "parse_number",
    "parse_quantity",
    "show",
    "to_si",
    "unit_written",
    "units_of",
]


@dataclass(frozen=True)
class Unit:
    """One unit: its symbol, what it measures, and how much SI one of it is."""

    symbol: str
    quantity: str
    factor: float


G = 9.80665  # m/s2, standard gravity: exact by definition (CGPM 1901)
_LB = 0.45359237  # kg, exact by definition (international yard and pound, 1959)
_IN = 0.0254  # m, exact by the same agreement

_TABLE = (
    ("m", "length", 1.0),
    ("mm", "length", 1e-3),
    ("cm", "length", 1e-2),
    ("in", "length", _IN),
    ("m/s", "speed", 1.0),
    ("mm/s", "speed", 1e-3),
    ("in/s", "speed", _IN),
    ("km/h", "speed", 1 / 3.6),
    ("kg", "mass", 1.0),
    ("lb", "mass", _LB),
    ("N", "force", 1.0),
    ("kN", "force", 1e3),
    ("kgf", "force", G),
    ("lbf", "force", _LB * G),
    ("N/m", "stiffness", 1.0),
    ("N/mm", "stiffness", 1e3),
    ("kgf/mm", "stiffness", G / 1e-3),
    ("lbf/in", "stiffness", _LB * G / _IN),
    ("N·s/m", "damping", 1.0),
    ("N·s/mm", "damping", 1e3),
    ("Hz", "frequency", 1.0),
    ("rad/s", "frequency", 1 / (2 * math.pi)),
    ("s", "time", 1.0),
    ("ms", "time", 1e-3),
    ("m/s²", "acceleration", 1.0),
    ("g", "acceleration", G),
    ("Pa", "pressure", 1.0),
    ("kPa", "pressure", 1e3),
    ("bar", "pressure", 1e5),
    ("psi", "pressure", _LB * G / _IN**2),
    ("J", "energy", 1.0),
    ("%", "ratio", 1e-2),
    ("clicks", "clicks", 1.0),
    ("°C", "temperature", 1.0),
)
UNITS: dict[str, Unit] = {row[0]: Unit(*row) for row in _TABLE}

# What people write for the same unit, once spaces, case of words and powers are levelled out.
_ALIASES = {
    "kgs": "kg",
    "lbs": "lb",
    "newton": "N",
    "newtons": "N",
    "hertz": "Hz",
    "sec": "s",
    "seconds": "s",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "kph": "km/h",
    "kmh": "km/h",
    "mps": "m/s",
    "ips": "in/s",
    "lb/in": "lbf/in",
    "click": "clicks",
    "out": "clicks",
    "clicksout": "clicks",
    "percent": "%",
    "c": "°C",
    "degc": "°C",
    "joule": "J",
    "1/s": "Hz",
    "nm": "J",
    "ws": "J",
}


def _squash(text: str) -> str:
    """Level out the ways of writing one unit: N s/m, N.s/m, N*s/m, N_s_per_m, Ns/m."""
    flat = text.strip().replace("_per_", "/").replace("²", "2").replace("^", "").replace("**", "")
    flat = re.sub(r"[\s·*._⋅×-]", "", flat).replace("per", "/")
    return flat.replace("sec", "s") if "/" in flat else flat


_LOOKUP = {_squash(symbol): symbol for symbol in UNITS} | _ALIASES
_LOOKUP_LOWER = {key.lower(): symbol for key, symbol in _LOOKUP.items()}


def canonical(text: str) -> str | None:
    """Return the table's symbol for a unit as somebody wrote it, or None.

    Examples
    --------
    >>> canonical("N_per_mm"), canonical("Ns/m"), canonical("furlong")
    ('N/mm', 'N·s/m', None)
    """
    flat = _squash(text)
    return _LOOKUP.get(flat) or _LOOKUP_LOWER.get(flat.lower())


def units_of(quantity: str) -> list[str]:
    """Return the symbols that measure one quantity, SI first."""
    return [unit.symbol for unit in UNITS.values() if unit.quantity == quantity]


def _unit(text: str) -> Unit:
    symbol = canonical(text)
    if symbol is None:
        known = ", ".join(UNITS)
        raise LearnerError(f"The unit {text!r} is not one that this course knows: {known}.")
    return UNITS[symbol]


def to_si(value, unit: str):
    """Convert a number or array from a unit into SI.

    Examples
    --------
    >>> to_si(36, "km/h")
    10.0
    """
    return value * _unit(unit).factor


def from_si(value, unit: str):
    """Convert a number or array from SI into a unit."""
    return value / _unit(unit).factor


def parse_number(text: float | str) -> float:
    """Read one number as people write it: 1.35, 1,35, 3/8 or -2.5e3.

    Raises
    ------
    LearnerError
        If it is no number, not finite, or "1,250", which may mean 1.25 or 1250.
    """
    if isinstance(text, bool) or not isinstance(text, str):
        return _finite(text)
    flat = text.strip().replace("−", "-").replace("\u00a0", " ").replace(" ", "")
    if re.fullmatch(r"[+-]?[1-9]\d{0,2}(,\d{3})+", flat):
        raise LearnerError(
            f"The number {text.strip()!r} can be read in two ways; write it without the comma, "
            f"or with a point for the decimals."
        )
    if re.fullmatch(r"[+-]?\d*,\d+([eE][+-]?\d+)?", flat):
        flat = flat.replace(",", ".")
    top, slash, bottom = flat.partition("/")
    if slash and bottom.strip("0.") and re.fullmatch(r"[+-]?[\d.]+/[\d.]+", flat):
        below = _finite(bottom)
        return _finite(_finite(top) / below if below else math.nan)
    return _finite(flat)


def parse_clicks(text: str) -> int:
    """Read by how many clicks something is turned: a whole number, without a way.

    Raises
    ------
    LearnerError
        If it is none, or has more than four digits.
    """
    flat = text.strip()
    if not flat.isdecimal() or not flat.isascii() or len(flat) > 4:
        raise LearnerError("Write how many clicks, a whole number such as 3.")
    return int(flat)


def _finite(text) -> float:
    """Return a finite float, or say that it is no number."""
    try:
        number = float(text)
    except (TypeError, ValueError, OverflowError):
        number = math.nan
    if isinstance(text, bool) or not math.isfinite(number):
        raise LearnerError(f"{text!r} is not a number; write digits, with a unit behind if needed.")
    return number


# A number at the start, then whatever unit follows it.
_QUANTITY = re.compile(
    r"^\s*([+\-−]?\s*(?:\d[\d.,]*(?:[ \u00a0]\d{3})*(?:\s*/\s*\d+)?|[.,]\d+)"
    r"(?:[eE][+-]?\d+)?)\s*(.*)$",
    re.DOTALL,
)


def parse_quantity(answer: float | str, quantity: str, default_unit: str) -> float:
    """Read an answer such as "1,35 Hz" or 350 and return it in SI.

    Parameters
    ----------
    answer : float or str
        A bare number is taken to be in the default unit.
    quantity : str
        What the answer must measure, as named in the table.
    default_unit : str
        The unit that the question asked for.

    Returns
    -------
    float
        The value in SI.

    Raises
    ------
    LearnerError
        If it cannot be read, or is in a unit of another quantity.

    Examples
    --------
    >>> parse_quantity("0,35 kN", "force", "N")
    350.0
    """
    if not isinstance(answer, str):
        return to_si(parse_number(answer), default_unit) if default_unit else parse_number(answer)
    match = _QUANTITY.match(answer)
    if not match:
        raise LearnerError(f"{answer!r} does not begin with a number; write digits first.")
    number, tail = parse_number(match[1]), match[2].strip()
    if not tail:
        return to_si(number, default_unit) if default_unit else number
    return number * _unit_of(tail, quantity).factor


def unit_written(answer: str) -> str:
    """Return the symbol of the unit that stands behind a number, empty where there is none.

    Examples
    --------
    >>> unit_written("25 kgf"), unit_written("25")
    ('kgf', '')
    """
    match = _QUANTITY.match(answer)
    return canonical(match[2]) or "" if match else ""


def _unit_of(text: str, quantity: str) -> Unit:
    """Return the unit that somebody wrote behind a number, if it measures the right thing."""
    unit = UNITS.get(canonical(text) or "")
    if unit is None or unit.quantity != quantity:
        found = f"measures {unit.quantity}" if unit else "is not a unit that this course knows"
        known = " or ".join(", ".join(units_of(quantity)).rsplit(", ", 1))
        wanted = f"for {quantity}, write {known} behind the number"
        if quantity in ("", "ratio"):
            wanted = "write the number alone"
        raise LearnerError(f"{text!r} {found}; {wanted}.")
    return unit


def show(value: float, unit: str, digits: int = 3) -> str:
    """Return an SI value as text in a unit, to so many significant digits.

    Examples
    --------
    >>> show(0.0481, "mm"), show(40000.0, "N/mm"), show(1.3333, "Hz")
    ('48.1 mm', '40.0 N/mm', '1.33 Hz')
    """
    number = from_si(value, unit) if unit else value
    if number == 0 or not math.isfinite(number):
        text = f"{number:g}"
    else:
        places = max(0, digits - 1 - math.floor(math.log10(abs(number))))
        text = f"{number:.{places}f}"
    return f"{text} {unit}".rstrip()


def minus(words: str) -> str:
    """Return words with a true minus before numbers below zero: a hyphen is not always read out."""
    return re.sub(r"(?<![\w.])-(?=\d)", "\N{MINUS SIGN}", words)
