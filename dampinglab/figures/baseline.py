"""The baseline's picture: how much each measured setting damps, and where the start lies."""

from textwrap import fill
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from dampinglab.errors import LearnerError
from dampinglab.figures.look import BUMP, DESK, FAINT, INK, PAPER, QUIET, REBOUND, Size, edge, now
from dampinglab.workshop.baseline import HIGH, LOW, AxleBaseline, Baseline, Case, Ratios, Reading
from dampinglab.workshop.report import axle_sentence

__all__ = ["alt_text", "baseline_title", "draw_baseline"]

_ROW = 0.46  # inches a setting
_ACROSS = 48  # letters of a heading at the size for a desk
_APART = 0.17  # of a row: how far bump and rebound stand from its middle


class _Line(NamedTuple):
    """One row of the picture: a setting from fast to slow, or one speed of a rating's band."""

    label: str
    start: bool
    band: bool
    bump: tuple[float, float]  # slow and fast; of a band most and least
    rebound: tuple[float, float]


def draw_baseline(baseline: Baseline, load: str | None = None, size: Size = DESK) -> Figure:
    """Draw damping ratios by setting, an axes for each axle with a known damper."""
    shown = _shown(baseline, load)
    rows = [_lines(axle, case) for axle, case in shown]
    figure = _sheet(len(shown), max(map(len, rows)), baseline_title(baseline, load), size)
    panels = figure.subplots(1, len(shown), sharex=True, squeeze=False)[0]
    for axes, (axle, _), lines in zip(panels, shown, rows, strict=True):
        _dress(axes, f"{baseline.vehicle}, {axle.name}", _above(axle), size)
        _place(axes, lines, size)
        for place, line in enumerate(lines):
            _dumbbells(axes, place, line, size)
    every = [line for lines in rows for line in lines]
    panels[0].set_xlim(0, max(1.12, 1.08 * max(max(*line.bump, *line.rebound) for line in every)))
    key = _legend(size, all(line.band for line in every))
    figure.legend(
        handles=key, loc="outside lower center", ncols=5, frameon=False, fontsize=size.font
    )
    return figure


def _sheet(panels: int, rows: int, title: str, size: Size) -> Figure:
    """Return an empty figure with its title."""
    inches = (max(9.6, 6.6 * panels), 2.9 + _ROW * rows)
    figure = Figure(figsize=inches, dpi=size.dpi, facecolor=PAPER, layout="constrained")
    figure.get_layout_engine().set(w_pad=0.12, h_pad=0.08)
    words = {"fontsize": 1.2 * size.font, "fontweight": "bold", "color": INK}
    figure.suptitle(fill(title, int(7 * inches[0] * DESK.font / size.font)), **words)
    return figure


def baseline_title(baseline: Baseline, load: str | None = None) -> str:
    """Return the picture's one message."""
    cases = [case for _, case in _shown(baseline, load)]
    starts = [case.start for case in cases if case.start]
    state = f", with the load {load!r}" if load else ""
    if not starts:
        return f"The start was not measured: look at the settings around it{state}"
    slow = [reading for each in starts for reading in (each.bump_low, each.rebound_low)]
    span = f"{min(each.least for each in slow):.2f} to {max(each.most for each in slow):.2f}"
    verb = "damps slow movements" if starts[0].setting else "may damp slow movements"
    return f"The start {verb} at {span} of critical{state}"


def alt_text(baseline: Baseline, load: str | None = None) -> str:
    """Return the picture in words."""
    said = " ".join(axle_sentence(axle, load) for axle, _ in _shown(baseline, load))
    return (
        f"{baseline_title(baseline, load)}. Damping ratio, from fast ({HIGH:g} m/s at the shaft) "
        f"to slow ({LOW:g} m/s), of each setting: bump a solid purple line, rebound a dashed "
        f"amber one; the starting setting stands on a shaded band. {said}"
    )


def _shown(baseline: Baseline, load: str | None) -> list[tuple[AxleBaseline, Case]]:
    """Return the axles that have ratios under this load."""
    pairs = [(axle, case) for axle in baseline.axles for case in axle.cases]
    shown = [(axle, case) for axle, case in pairs if case.load == load and case.ratios]
    if not shown:
        raise LearnerError(
            "There is no damping ratio to draw; give a dyno table or a rating, and a load that "
            "fits in the travel."
        )
    return shown


def _lines(axle: AxleBaseline, case: Case) -> list[_Line]:
    """Return the rows to draw, the first at the top."""
    if case.ratios[0].setting is None:
        band = case.ratios[0]
        return [
            _Line(f"slow, {LOW:g} m/s", False, True, _ends(band.bump_low), _ends(band.rebound_low)),
            _Line(
                f"fast, {HIGH:g} m/s", False, True, _ends(band.bump_high), _ends(band.rebound_high)
            ),
        ]
    every = {each.setting: each for each in (*case.ratios, *filter(None, [case.start]))}
    return [_line(each, setting == axle.start.setting) for setting, each in sorted(every.items())]


def _line(ratios: Ratios, start: bool) -> _Line:
    """Return the row of a measured setting, with a star if part of it was not measured."""
    star = " *" if any(reading.beyond for reading in ratios.readings) else ""
    return _Line(
        (" / ".join(map(str, ratios.setting)) or "as built") + star,
        start,
        False,
        (ratios.bump_low.least, ratios.bump_high.least),
        (ratios.rebound_low.least, ratios.rebound_high.least),
    )


def _ends(reading: Reading) -> tuple[float, float]:
    return reading.most, reading.least


def _above(axle: AxleBaseline) -> str:
    """Return what the labels of the rows mean."""
    names = " / ".join(adjuster.name for adjuster in axle.adjusters)
    if names:
        return f"clicks out from closed:\n{names}"
    return "shaft speed" if axle.start.setting is None else "not adjustable"


def _dress(axes: Axes, name: str, above: str, size: Size) -> None:
    """Label one axle's axes."""
    axes.set_facecolor(PAPER)
    wide = int(_ACROSS * DESK.font / size.font)
    heading = "\n".join(fill(line, wide) for line in (name, *above.splitlines()))
    # Above the name of the line at 1, which stands on the axes.
    axes.set_title(heading, loc="left", fontsize=size.font, color=INK, pad=1.6 * size.font)
    axes.set_xlabel("damping ratio", fontsize=size.font, color=INK)
    axes.tick_params(labelsize=size.font, colors=INK, color=QUIET, left=False)
    axes.grid(axis="x", color=FAINT, linewidth=size.line / 3)
    axes.set_axisbelow(True)
    axes.spines[["top", "right", "left"]].set_visible(False)
    axes.axvline(1.0, zorder=1, **edge(size))
    axes.annotate(
        "critical", (1.0, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 2),
        textcoords="offset points", ha="center", fontsize=size.font, color=INK,
    )  # fmt: skip


def _place(axes: Axes, lines: list[_Line], size: Size) -> None:
    """Give each row its label, and shade the start."""
    axes.set_yticks(range(len(lines)), [line.label for line in lines])
    axes.set_ylim(len(lines) - 0.4, -0.6)
    if any(line.label.endswith("*") for line in lines):
        axes.set_xlabel(
            "damping ratio (* beyond the speeds measured)", fontsize=size.font, color=INK
        )
    for place, line in enumerate(lines):
        if line.start:
            axes.axhspan(place - 0.48, place + 0.48, color=FAINT, zorder=0)
            axes.get_yticklabels()[place].set_fontweight("bold")


def _dumbbells(axes: Axes, place: int, line: _Line, size: Size) -> None:
    """Draw bump and rebound of one row: slow full and fast hollow, or the ends of a band."""
    marks = {"markersize": 3.2 * size.line, "markeredgewidth": 0.7 * size.line}
    for colour, (full, hollow), shift in ((BUMP, line.bump, -1), (REBOUND, line.rebound, 1)):
        height = place + shift * _APART
        axes.plot([hollow, full], [height, height], **now(colour, size))
        if line.band:
            axes.plot([hollow, full], [height, height], "|", color=colour, **marks)
            continue
        axes.plot(full, height, "o", color=colour, **marks)
        axes.plot(hollow, height, "o", color=colour, markerfacecolor=PAPER, **marks)


def _legend(size: Size, band: bool) -> list[Line2D]:
    """Return the key: line for direction, mark for speed."""
    lines = [
        Line2D([], [], label=n, **now(c, size)) for n, c in (("bump", BUMP), ("rebound", REBOUND))
    ]
    if band:
        return lines
    dot = {"linestyle": "none", "marker": "o", "color": INK, "markersize": 3.2 * size.line}
    return [
        *lines,
        Line2D([], [], label=f"slow, {LOW:g} m/s at the shaft", **dot),
        Line2D([], [], label=f"fast, {HIGH:g} m/s", markerfacecolor=PAPER, **dot),
        Line2D([], [], label="start", color=FAINT, linewidth=5 * size.line),
    ]
