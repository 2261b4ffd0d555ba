"""The bench sheet: a baseline as plain text that a technician can tape to the bench."""

import re
from textwrap import fill

from dampinglab.units import show
from dampinglab.workshop.baseline import HIGH, LOW, AxleBaseline, Baseline, Case, Ratios, Reading

__all__ = ["MODEL", "axle_sentence", "report"]

MODEL = (
    "These numbers are a model's: trust the difference between two settings more than any one "
    "number, and the road more than both."
)
"""What every page with absolute numbers says."""

_FIRST = (
    "First: tyres cold and at pressure, load and ride height, mounts, bushes, leaks, springs and "
    "stops. Change both dampers of an axle alike, and never force an adjuster on its seat."
)
_WIDTH = 96


def report(baseline: Baseline, load: str | None = None) -> str:
    """Return the bench sheet.

    Parameters
    ----------
    baseline : Baseline
        What was worked out.
    load : str, optional
        Name of the load case to show; none shows the vehicle as weighed, with a line a load.

    Returns
    -------
    str
        Lines of text, without one at the end.
    """
    state = f"with the load {load!r}" if load else "as weighed"
    parts = [
        f"BASELINE   {baseline.vehicle}, {state}",
        _wrapped(
            "Clicks are counted out from lightly seated closed. The damping ratio is a share of "
            f"critical, read at a shaft speed of {LOW:g} m/s (slow) and {HIGH:g} m/s (fast)."
        ),
        *(_axle(axle, load) for axle in baseline.axles),
        _wrapped(_FIRST),
        _listed("CAUTION", baseline.cautions),
        _listed("ASSUMED", tuple(map(_bare, baseline.assumptions))),
        _wrapped(MODEL),
    ]
    return "\n\n".join(part for part in parts if part)


def axle_sentence(axle: AxleBaseline, load: str | None = None) -> str:
    """Return what a baseline says of one axle, in one plain sentence.

    Parameters
    ----------
    axle : AxleBaseline
        The axle.
    load : str, optional
        Name of the load case.

    Returns
    -------
    str
        A whole sentence.
    """
    case = _case(axle, load)
    if case is None:
        said = "this load does not fit in the travel; see the caution"
    elif not case.ratios:
        hertz = show(case.corner.body_frequency, "Hz")
        said = f"nothing is known of the damper; the body swings at {hertz}"
    elif case.ratios[0].setting is None:
        band = case.ratios[0]
        said = f"on slow movements the rating allows {_plain(band.bump_low)} of critical in bump "
        said += f"and {_plain(band.rebound_low)} in rebound: wide, for two numbers give no shape"
    else:
        said = _measured(case)
    return f"{axle.name.capitalize()}: {said}."


def _measured(case: Case) -> str:
    """Return the sentence's body for an axle with a dyno table."""
    spans = [_span(case, way) for way in ("bump_low", "rebound_low")]
    reach = f"the settings measured reach from {spans[0]} in bump and from {spans[1]} in rebound"
    if case.start is None:
        return f"the table does not tell what the start does; on slow movements {reach}"
    bump, rebound = case.start.bump_low, case.start.rebound_low
    times = f"{rebound.least / bump.least:.1f} times as much" if bump.least else "bump nothing"
    return (
        f"the start damps slow movements at {_plain(bump)} of critical in bump and "
        f"{_plain(rebound)} in rebound, {times}; {reach}"
    )


def _case(axle: AxleBaseline, load: str | None) -> Case | None:
    return next((case for case in axle.cases if case.load == load), None)


def _span(case: Case, which: str) -> str:
    values = [getattr(ratios, which).least for ratios in case.ratios]
    return f"{min(values):.2f} to {max(values):.2f}"


def _plain(reading: Reading) -> str:
    """Return a reading as a number or a band, with a star when it lies beyond the table."""
    star = "*" if reading.beyond else ""
    if reading.least == reading.most:
        return f"{reading.least:.2f}{star}"
    return f"{reading.least:.2f} to {reading.most:.2f}{star}"


def _axle(axle: AxleBaseline, load: str | None) -> str:
    """Return one axle's block."""
    case = _case(axle, load)
    lines = [f"{axle.name.upper()}   {axle.damper}"]
    if case:
        lines += [_wrapped(_corner(case), "  "), _wrapped(f"START AT {_start(axle)}", "  ")]
        lines += [_wrapped(f"Why: {axle.start.reason}.", "  ")]
        lines += ["", *_rows(axle, case), ""] if case.ratios else []
    lines.append(_wrapped(axle_sentence(axle, load), "  "))
    if load is None:
        lines += [_wrapped(_loaded(each), "  ") for each in axle.cases if each.load]
    return "\n".join(lines)


def _corner(case: Case) -> str:
    corner = case.corner
    return (
        f"{show(corner.wheel_rate, 'N/mm')} at the wheel, {corner.sprung_mass:.0f} kg sprung a "
        f"corner: {corner.body_frequency:.2f} Hz on the spring, {corner.ride_frequency:.2f} Hz "
        f"with the tyre; critical damping {corner.critical_damping:.0f} N·s/m at the wheel."
    )


def _start(axle: AxleBaseline) -> str:
    """Return the starting clicks in words."""
    order = [adjuster.name for adjuster in axle.adjusters] or list(axle.start.clicks)
    clicks = [f"{name} {axle.start.clicks[name]}" for name in order if name in axle.start.clicks]
    return f"{', '.join(clicks)} clicks out from closed." if clicks else "what is there."


def _loaded(case: Case) -> str:
    """Return one line for one load."""
    line = f"With the load {case.load!r}: {case.corner.body_frequency:.2f} Hz"
    if case.start:
        slow_bump, fast_bump, slow_rebound, fast_rebound = map(_plain, case.start.readings)
        line += f"; at the start, slow and fast, {slow_bump} and {fast_bump} in bump, "
        line += f"{slow_rebound} and {fast_rebound} in rebound"
    return line + "."


def _rows(axle: AxleBaseline, case: Case) -> list[str]:
    """Return the table of settings: the start first and marked, then all others measured."""
    others = [each for each in case.ratios if not case.start or each.setting != case.start.setting]
    marked = [(">", case.start)] if case.start else []
    if case.ratios[0].setting is None:
        marked, others = [(" ", case.ratios[0])], []
    cells = [_cells(mark, each) for mark, each in [*marked, *((" ", each) for each in others)]]
    heads = [["", *each] for each in _headings(axle)]
    widths = [max(map(len, column)) for column in zip(*heads, *cells, strict=True)]
    return [
        "  " + "  ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True))
        for line in [*heads, *cells]
    ]


def _headings(axle: AxleBaseline) -> tuple[list[str], list[str]]:
    """Return two lines of headings: an adjuster's name is broken before its last word."""
    names = [adjuster.name.rpartition(" ") for adjuster in axle.adjusters]
    upper = [first for first, _, _ in names] + ["bump", "bump", "rebound", "rebound"]
    return upper, [last for _, _, last in names] + ["slow", "fast"] * 2


def _cells(mark: str, ratios: Ratios) -> list[str]:
    return [mark, *map(str, ratios.setting or ()), *map(_plain, ratios.readings)]


def _listed(title: str, sentences: tuple[str, ...]) -> str:
    return "\n".join(fill(f"{title}  {each}", _WIDTH, subsequent_indent="  ") for each in sentences)


def _bare(assumption: str) -> str:
    """Return an assumption without saying once more that it is one."""
    said = re.sub(r"^Assumed, |(?<=^Not on the sheet) and so assumed", "", assumption)
    return said[:1].upper() + said[1:]


def _wrapped(text: str, indent: str = "") -> str:
    return fill(text, _WIDTH, initial_indent=indent, subsequent_indent=indent)
