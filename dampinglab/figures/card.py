"""The setting card on one A4 page that prints in grey, and as a PDF that overwrites nothing."""

import io
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import astuple
from pathlib import Path

from matplotlib import rc_context
from matplotlib.figure import Figure

from dampinglab import journal
from dampinglab.errors import LearnerError
from dampinglab.figures.flow import (
    A4,
    LEADING,
    Column,
    Mark,
    Rule,
    Words,
    drawable,
    lost,
    put,
    width,
)
from dampinglab.workshop.card import NAMES, Card, Leeway, Setup
from dampinglab.workshop.corners import AXLES, CORNERS, out, pair
from dampinglab.workshop.text import ADJUSTERS

__all__ = ["ALWAYS", "alt_text", "card_page", "save_pdf"]

ALWAYS = (
    "Clicks count out from lightly seated closed, the firm end; clicks from soft stand in brackets."
    " Turn both dampers of an axle alike, and never force an adjuster on its seat. Tyre pressures "
    "are cold ones."
)
"""What stands on every card."""

_MARGIN = 40.0  # points: what printers leave white, and a little more
# Points: with all trials, and with as many as fit; below 8 it cannot be read at arm's length.
_SIZES, _SMALL = (11.0, 10.5, 10.0, 9.5, 9.0), (9.0, 8.5, 8.0)
_FEWEST = 3  # trials that a full page still shows
_FOOT = A4[1] - _MARGIN - 56  # points: where the room to sign begins
_NONE = "not given"

# The settings in the order of the table: name, heading, shape on the ruler, whether it is full.
_SETUPS = (
    ("as_found", "as found ○", "o", False),
    ("final", "FINAL ●", "o", True),
    ("empty", "empty ▽", "v", False),
    ("loaded", "loaded △", "^", False),
)


def card_page(card: Card) -> Figure:
    """Return the card on one page, in the largest letters in which all of it fits."""
    figure = Figure(figsize=(A4[0] / 72, A4[1] / 72), facecolor="white")
    put(_fitted(card), figure)
    return figure


def save_pdf(card: Card, path: str | Path) -> Path:
    """Save the page as a PDF and return where; what is there already is never overwritten.

    The same card is the same file, so saving it again writes nothing; another card whose name is
    taken gets "-2" and so on behind it.
    """
    path = Path(path)
    if path.suffix.lower() != ".pdf":
        raise LearnerError(f"The page is a PDF; name it {path.name + '.pdf'!r} or the like.")
    told = {"Title": "Setting card", "Subject": alt_text(card), "CreationDate": None}
    page = io.BytesIO()
    with rc_context({"pdf.fonttype": 42}):  # letters stay letters, to be searched and read aloud
        card_page(card).savefig(page, format="pdf", metadata=told)
    return journal.keep(path, page.getvalue())


def alt_text(card: Card) -> str:
    """Return the card's main parts in words."""
    parts = [("The page is the setting card of", card.vehicle), ("What you felt", card.felt)]
    parts += [("What we changed", card.changed), ("What you give up", card.given_up)]
    said = ". ".join(f"{label}: {text or _NONE}".rstrip(".") for label, text in parts)
    gaps = f" Not given: {', '.join(card.missing)}." if card.missing else ""
    return " ".join([f"{said}.{gaps}", *card.faults])


def _fitted(card: Card) -> list[Words | Rule | Mark]:
    """Return what to draw; smaller letters first, then fewer of the older trials."""
    every = len(card.trials or ())
    tries = [(size, every) for size in _SIZES]
    tries += [(size, _most_trials(card, size)) for size in _SMALL]
    for size, kept in tries:
        things, foot = _things(card, size, kept)
        if foot <= _FOOT:
            return [*things, *_signatures(size)]
    name, text = max(_texts(card), key=lambda each: len(each[1]))
    raise LearnerError(
        f"The card does not fit on one page; shorten its longest part, {NAMES[name]}, which has "
        f"{len(text)} letters."
    )


def _most_trials(card: Card, size: float) -> int:
    """Return how many of the last trials fit, and the fewest to be shown if not even those do."""
    every = len(card.trials or ())
    dropped = range(max(every - _FEWEST, 0))
    fits = bisect_left(dropped, True, key=lambda n: _things(card, size, every - n)[1] <= _FOOT)
    return every - fits


def _texts(card: Card) -> list[tuple[str, str]]:
    """Return every text of the card with the part that it belongs to."""
    found = []
    for name in NAMES:
        value = getattr(card, name)
        if isinstance(value, str):
            found.append((name, value))
        elif isinstance(value, tuple) and name != "owner_may":
            shown = value[-_FEWEST:] if name == "trials" else value
            found.append((name, " ".join(shown)))
    return [*found, ("vehicle", "")]


def _things(card: Card, size: float, kept: int) -> tuple[list[Words | Rule | Mark], float]:
    """Lay the card out; return what to draw and how far down it reaches."""
    whole = Column(_MARGIN, A4[0] - 2 * _MARGIN, _MARGIN - size, size)
    _top(whole, card)
    _table(whole, card)
    _wheels(whole, card)
    half = (whole.wide - 2 * size) / 2
    left = Column(_MARGIN, half, whole.down, size)
    right = Column(_MARGIN + half + 2 * size, half, whole.down, size)
    _owner(left, card)
    _trials(right, card, kept)
    last = Column(_MARGIN, whole.wide, max(left.down, right.down), size)
    _last(last, card)
    return whole.things + left.things + right.things + last.things, last.down


def _top(page: Column, card: Card) -> None:
    """Set the title, the customer's words and the three sentences."""
    _title(page, card)
    quote = f"“{card.customer_words}”" if card.customer_words else None
    for label, text in (
        ("In your own words", quote),
        ("What you felt", card.felt),
        ("What we changed", card.changed),
        ("What you give up", card.given_up),
    ):
        page.down += 0.3 * page.size
        page.beside(label, text or _NONE, 12.5 * page.size)


def _title(page: Column, card: Card) -> None:
    """Set the title with the date at its right, if there is room, and the vehicle."""
    title, date = "SETTING CARD", f"date: {card.date or _NONE}"
    page.say(title, bold=True, scale=1.7)
    start = page.left + page.wide - width(date, page.size)
    if start > page.left + width(f"{title} ", 1.7 * page.size, bold=True):
        page.things.append(Words(start, page.down, drawable(date), page.size))
    else:
        page.say(date)
    page.say(card.vehicle or f"vehicle: {_NONE}", bold=True, scale=1.25)
    page.down += 0.4 * page.size
    page.things.append(Rule(page.left, page.left + page.wide, page.down, 1.6))


def _table(page: Column, card: Card) -> None:
    """Set the clicks of every adjuster in all four settings, each with a ruler, and pressures."""
    page.head("Clicks out from closed (from soft in brackets)")
    rooms = [0.26 * page.wide, *[0.135 * page.wide] * 4, 0.2 * page.wide]
    page.row(["", *(heading for _, heading, _, _ in _SETUPS), "closed to soft"], rooms, bold=2)
    setups = [getattr(card, name) for name, _, _, _ in _SETUPS]
    if not _knobs(card):
        words = f"clicks in all: {_NONE}" if card.totals is None else "nothing to adjust"
        page.row([words, *[_NONE] * 4, ""], rooms, bold=2)
    for knob in _knobs(card):
        top = page.down
        page.row([" ".join(knob), *(_clicks(card, s, *knob) for s in setups), ""], rooms, bold=2)
        _ruler(page, card, knob, top)
    for axle in AXLES:
        cells = [_pressure(each, axle) for each in setups]
        page.row([f"{axle} tyres, kPa", *cells, ""], rooms, bold=2)


def _knobs(card: Card) -> list[tuple[str, str]]:
    """Return each axle's adjusters, as either side has them."""
    totals = card.totals or {corner: {} for corner in CORNERS}
    return [
        (axle, name)
        for axle in AXLES
        for name in ADJUSTERS
        if any(name in totals[side] for side in pair(axle))
    ]


def _clicks(card: Card, setup: Setup | None, axle: str, name: str) -> str:
    """Return one cell: clicks from closed and from soft, left and right apart if they differ."""
    if setup is None:
        return _NONE
    shown = [
        out(setup.clicks[side][name], card.totals[side][name]) if name in setup.clicks[side] else ""
        for side in pair(axle)
    ]
    left, right = (each or "none" for each in shown)
    return left if left == right else f"{left} left\n{right} right"


def _pressure(setup: Setup | None, axle: str) -> str:
    cold = (setup.cold_kpa if setup else None) or {}
    left, right = (f"{cold[side]:.0f}" if side in cold else _NONE for side in pair(axle))
    return left if left == right else f"{left} left\n{right} right"


def _ruler(page: Column, card: Card, knob: tuple[str, str], top: float) -> None:
    """Draw a row's line from closed to soft with a mark for each setting."""
    axle, name = knob
    left, right = page.left + 0.81 * page.wide, page.left + page.wide - 4.0
    level = top + 0.8 * page.size
    page.things.append(Rule(left, right, level, 0.7))
    page.things += [Mark(end, level, "|", page.size * 0.6, True) for end in (left, right)]
    for which, _, shape, full in _SETUPS:
        setup = getattr(card, which)
        for side in pair(axle) if setup else ():
            if name in setup.clicks[side]:
                share = setup.clicks[side][name] / card.totals[side][name]
                at = left + share * (right - left)
                lift = {"v": -0.45, "^": 0.45}.get(shape, 0) * page.size
                page.things.append(Mark(at, level + lift, shape, page.size * 0.55, full))


def _wheels(page: Column, card: Card) -> None:
    """Set mass and height of each wheel, as weighed and measured."""
    page.head("Each wheel")
    rooms = [0.2 * page.wide, *[0.2 * page.wide] * 4]
    page.row(["", *CORNERS], rooms)
    for label, table in (("mass, kg", card.masses_kg), ("ride height, mm", card.heights_mm)):
        found = table or {}
        cells = [f"{found[c]:.0f}" if c in found else _NONE for c in CORNERS]
        page.row([label, *cells], rooms)


def _owner(page: Column, card: Card) -> None:
    """Set what the owner may turn, when to come back, and what was not fixed."""
    page.head("What you may turn")
    _listed(page, card.owner_may, _may, "nothing")
    page.head("When to come back")
    page.say(card.come_back or _NONE)
    page.head("What was NOT fixed")
    _listed(page, card.not_fixed, str, "nothing is known to be left")


def _may(leeway: Leeway) -> str:
    """Return what may be turned and how far, in one sentence."""
    axle, name, softer, firmer = astuple(leeway)
    ways = [f"{n} out (softer)" for n in [softer] if n] + [
        f"{n} in (firmer)" for n in [firmer] if n
    ]
    far = f"up to {' or '.join(ways)}, both sides alike" if ways else "leave it as it is"
    return f"{axle.capitalize()} {name}: {far}, counted from FINAL."


def _trials(page: Column, card: Card, kept: int) -> None:
    """Set the trials; when not all fit, the last ones, and how many stand in the file."""
    page.head("Trials")
    trials = card.trials if card.trials is None else card.trials[len(card.trials) - kept :]
    if trials is not None and kept < len(card.trials):
        page.say(f"The first {len(card.trials) - kept} of {len(card.trials)} are in the file.")
    _listed(page, trials, str, "none", sign="")


def _listed(
    page: Column,
    things: tuple | None,
    words: Callable[[object], str],
    none: str,
    sign: str = "–",
) -> None:
    """Set a list, one thing below the other; say so when there is none or it is not given."""
    for thing in things or ():
        top = page.down
        page.say(words(thing), indent=0.9 * page.size if sign else 0)
        page.things.append(Words(page.left, top + LEADING * page.size, sign, page.size))
    if not things:
        page.say(_NONE if things is None else f"{none}.".capitalize())


def _last(page: Column, card: Card) -> None:
    """Set the cautions, and what stands on every card."""
    page.head("Cautions")
    cautions = (*card.faults, *(card.cautions or ())) or card.cautions
    _listed(page, cautions, str, "none beyond these")
    page.say(ALWAYS)
    gone = sum(lost(text) for _, text in _texts(card))
    if gone:
        page.say(f"{gone} letters, shown as □, are not in this font; the card's file keeps them.")


def _signatures(size: float) -> list[Words | Rule | Mark]:
    """Return the two places to sign, at the foot of the page."""
    level, half = A4[1] - _MARGIN - 1.4 * size, A4[0] / 2 - _MARGIN - size
    made: list[Words | Rule | Mark] = []
    for left, who in ((_MARGIN, "for the workshop, date"), (A4[0] / 2 + size, "owner, date")):
        made += [Rule(left, left + half, level, 0.8), Words(left, level + 1.2 * size, who, size)]
    return made
