"""The formula page: each formula with its words, an example and its source, and look-up tables."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape

from dampinglab.course.handout import page
from dampinglab.course.lessons import find
from dampinglab.physics import equivalent, fluid, load, oscillator, vehicle
from dampinglab.units import UNITS, show, to_si, units_of

__all__ = ["FORMULAS", "Formula", "formula_page", "mathml"]


def mathml(*parts: str) -> str:
    """Return a formula as MathML from words such as "k_t", "R^2", "+" and parts already made."""
    return f'<math display="block">{_row(*parts)}</math>'


def _row(*parts: str) -> str:
    made = [p if p.startswith("<") else "".join(map(_word, p.split())) for p in parts]
    return f"<mrow>{''.join(made)}</mrow>"


def _word(word: str) -> str:
    """Return one word: a number, a name, a sign, or one of these with an index or a power.

    Words in brackets are joined by "~": what stands over a bracket stands over all of it.
    """
    for mark, tag in (("^", "msup"), ("_", "msub")):
        base, found, more = word.rpartition(mark)
        if found:
            return f"<{tag}>{_word(base)}{_word(more)}</{tag}>"
    if "~" in word:
        return _row(word.replace("~", " "))
    if word[0].isdigit():
        return f"<mn>{word}</mn>"
    return f"<mi>{word}</mi>" if word[0].isalpha() else f"<mo>{word}</mo>"


def _over(above: str, below: str) -> str:
    return f"<mfrac>{_row(above)}{_row(below)}</mfrac>"


def _root(*parts: str) -> str:
    return f"<msqrt>{_row(*parts)}</msqrt>"


def _power(base: str, *parts: str) -> str:
    return f"<msup>{_word(base)}{_row(*parts)}</msup>"


@dataclass(frozen=True)
class Formula:
    """One formula: its name, MathML, its letters in words, an example, and where it is from.

    The source is that of the exercise in which it is practised.
    """

    name: str
    written: str
    letters: str
    example: Callable[[], str]
    exercise: str


FORMULAS = (
    Formula(
        "Sag of a spring under a mass",
        mathml("s =", _over("m g", "k")),
        "m in kg, g = 9.81 m/s², k in N/m, s in m",
        lambda: f"400 kg on 40 N/mm: {show(float(vehicle.sag(400, 40e3)), 'mm')}",
        "1.1",
    ),
    Formula(
        "Spring rate at the wheel",
        mathml("k = k_s R^2"),
        "kₛ rate of the spring, R motion ratio (spring travel ÷ wheel travel)",
        lambda: f"100 N/mm at 0.7: {show(float(vehicle.wheel_rate(100e3, 0.7)), 'N/mm')}",
        "1.3",
    ),
    Formula(
        "Natural frequency",
        mathml("f =", _over("1", "2 π"), _root("k / m")),
        "k in N/m, m in kg, f in Hz",
        lambda: f"40 N/mm, 400 kg: {show(float(oscillator.natural_frequency(40e3, 400)), 'Hz')}",
        "1.2",
    ),
    Formula(
        "Frequency from the sag alone",
        mathml("f =", _over("1", "2 π"), _root("g / s")),
        "s sag from the free length under the whole weight, in m",
        lambda: f"100 mm: {show(float(oscillator.frequency_from_deflection(0.1)), 'Hz')}",
        "1.4",
    ),
    Formula(
        "Spring and tyre, one on the other",
        mathml("k_r =", _over("k k_t", "k + k_t")),
        "kₜ rate of the tyre; kᵣ ride rate",
        lambda: f"40 and 260 N/mm: {show(float(vehicle.ride_rate(40e3, 260e3)), 'N/mm')}",
        "1.5",
    ),
    Formula(
        "Wheel hop",
        mathml("f_u =", _over("1", "2 π"), _root("( k + k_t ) / m_u")),
        "mᵤ mass of the wheel with its hub, in kg",
        lambda: (
            f"40 and 260 N/mm, 75 kg: {show(float(oscillator.natural_frequency(300e3, 75)), 'Hz')}"
        ),
        "1.6",
    ),
    Formula(
        "Critical damping",
        mathml("c_c = 2", _root("k m")),
        "in N·s/m, with k in N/m and m in kg, both at the wheel",
        lambda: f"40 N/mm, 400 kg: {show(float(oscillator.critical_damping(40e3, 400)), 'N·s/m')}",
        "2.1",
    ),
    Formula(
        "Damping ratio",
        mathml("ζ =", _over("c", "c_c")),
        "c damping at the wheel; no unit; it belongs to one shaft speed",
        lambda: f"2400 N·s/m: {float(oscillator.damping_ratio(2400, 40e3, 400)):.2f} of the above",
        "2.2",
    ),
    Formula(
        "Damping from the shaft to the wheel",
        mathml("c = c_s R^2 =", _over("F", "v"), "R^2"),
        "F force at shaft speed v; R damper travel ÷ wheel travel",
        lambda: f"4000 N·s/m at 0.6: {show(float(vehicle.wheel_damping(4000, 0.6)), 'N·s/m')}",
        "2.8",
    ),
    Formula(
        "Loss of one whole swing",
        mathml("δ =", _over("1", "n"), "ln", _over("x_0", "x_n")),
        "x heights of two peaks on the same side, n whole swings apart",
        lambda: f"100 mm, then 25 mm: {float(oscillator.log_decrement(100, 25)):.2f}",
        "2.5",
    ),
    Formula(
        "Damping ratio from the loss",
        mathml("ζ =", _over("δ", _root("4 π^2 + δ^2"))),
        "δ loss of one whole swing; see the table, too",
        lambda: f"δ = 1.39: {float(oscillator.ratio_from_decrement(1.39)):.2f}",
        "2.4",
    ),
    Formula(
        "Past the mark after a step",
        mathml("p =", _power("e", "− π ζ /", _root("1 − ζ^2"))),
        "p share by which a body swings past, such as its steady lean",
        lambda: f"ζ = 0.3: {_past_it(0.3)}",
        "7.6",
    ),
    Formula(
        "Heat of one swing",
        mathml("E = π c ω X^2"),
        "± X travel at the shaft in m, ω = 2π × frequency, E in J",
        lambda: f"4000 N·s/m, ±25 mm at 1.5 Hz: {show(_swing_energy(4000, 0.025, 1.5), 'J')}",
        "3.6",
    ),
    Formula(
        "A hole as a plain damper",
        mathml("c =", _over("8", "3 π"), "C ω X"),
        "C of the hole in N·s²/m² (force = C v²)",
        lambda: f"C = 8000, ±25 mm at 1.5 Hz: {show(_as_plain(8000, 2), 'N·s/m')}",
        "3.4",
    ),
    Formula(
        "Friction as a plain damper",
        mathml("c =", _over("4 F", "π ω X")),
        "F friction in N: the smaller the swing, the more it damps",
        lambda: f"100 N, ±25 mm at 1.5 Hz: {show(_as_plain(100, 0), 'N·s/m')}",
        "3.5",
    ),
    Formula(
        "Pressure over a sharp hole",
        mathml("Δp =", _over("ρ Q^2", "2 (~0.611~A~)^2")),
        "ρ density of the oil in kg/m³, Q flow in m³/s, A area in m²",
        lambda: (
            f"50 cm³/s through 4 mm²: {show(float(fluid.orifice_pressure(50e-6, 4e-6)), 'bar')}"
        ),
        "4.4",
    ),
    Formula(
        "How often a wave is met",
        mathml("f =", _over("v", "L")),
        "v road speed in m/s (km/h ÷ 3.6), L from crest to crest in m",
        lambda: f"60 km/h, 0.9 m: {show(to_si(60, 'km/h') / 0.9, 'Hz')}",
        "5.3",
    ),
    Formula(
        "Two shakes at once",
        mathml("a =", _root("a_1^2 + a_2^2")),
        "each weighted first by its Wk (ISO 2631-1)",
        lambda: f"0.3 and 0.4 m/s²: {show(math.hypot(0.3, 0.4), 'm/s²')}",
        "6.4",
    ),
    Formula(
        "A load behind the rear axle",
        mathml("m_r = m +", _over("m b", "L")),
        "b from the rear axle back to the load, L wheelbase; the front loses m b ÷ L",
        lambda: f"100 kg, 1.2 m, 2.8 m: rear {show(load.ball_load(100, 1.2, 2.8)[1], 'kg')} more",
        "8.3",
    ),
)


def _swing_energy(coefficient: float, amplitude: float, hertz: float) -> float:
    return float(equivalent.cycle_energy(lambda v: coefficient * v, amplitude, hertz))


def _past_it(ratio: float) -> str:
    return f"{100 * float(oscillator.overshoot(ratio)):.0f} %"


def _as_plain(size: float, power: float) -> float:
    return float(equivalent.power_law_coefficient(size, power, 0.025, 1.5))


def formula_page() -> str:
    """Return all formulas, and the tables from which the same can be read."""
    tables = _deflections() + _swings()
    body = (
        "<h1>Formulas and look-up tables</h1>"
        + "".join(map(_formula, FORMULAS))
        + '<h2 class="page">Look it up</h2>'
        + f'<div class="side">{tables}</div>'
        + f'<div class="side">{_past()}{_levers()}</div>'
        + f"<h2>Units</h2>{_units()}"
    )
    return page("Formulas and look-up tables", body)


def _formula(one: Formula) -> str:
    told = f"<b>{escape(one.name)}</b>: {escape(one.letters)}. <i>{escape(one.example())}.</i>"
    source = f"Lesson {one.exercise.split('.')[0].zfill(2)}. {find(one.exercise).source}"
    return (
        f'<div class="formula">{one.written}<div><p>{told}</p>'
        f'<p class="small">{escape(source)}</p></div></div>'
    )


def _table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    top = "".join(f"<th>{escape(head)}</th>" for head in heads)
    cells = ("".join(f"<td>{escape(cell)}</td>" for cell in row) for row in rows)
    lines = "".join(f"<tr>{each}</tr>" for each in cells)
    caption = f"<caption>{escape(title)}</caption>" if title else ""
    return f'<table class="number">{caption}<thead><tr>{top}</tr></thead>{lines}</table>'


def _deflections() -> str:
    sags = (10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 120, 150, 200, 250, 300, 400)
    found = ((s, float(oscillator.frequency_from_deflection(s / 1e3))) for s in sags)
    rows = [(f"{s} mm", f"{hertz:.2f} Hz") for s, hertz in found]
    return _table("Sag under the whole weight", ("sag", "natural frequency"), rows)


def _swings() -> str:
    shares = (90, 80, 70, 60, 50, 45, 40, 35, 30, 25, 20, 15, 10, 7, 5, 3)
    losses = ((share, oscillator.log_decrement(100, share)) for share in shares)
    rows = [(f"{s} %", f"{float(oscillator.ratio_from_decrement(d)):.2f}") for s, d in losses]
    return _table(
        "Second swing, same side, one swing on", ("% of the first", "damping ratio"), rows
    )


def _past() -> str:
    ratios = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)
    rows = [(f"{z:.1f}", _past_it(z)) for z in ratios]
    return _table("Past the mark after a step", ("damping ratio", "past it"), rows)


def _levers() -> str:
    ratios = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1)
    rows = [(f"{r:.1f}", f"{float(vehicle.wheel_rate(1e3, r)) / 1e3:.2f}") for r in ratios]
    return _table("Rate or damping at the wheel", ("motion ratio", "times"), rows)


def _units() -> str:
    """Return every unit of the course in the quantity's first one."""
    plain = ("clicks", "ratio", "temperature")
    named = [(u, units_of(u.quantity)[0]) for u in UNITS.values() if u.quantity not in plain]
    told = [f"1 {u.symbol} = {u.factor:.7g} {first}" for u, first in named if u.symbol != first]
    third = -(-len(told) // 3)
    columns = [told[at : at + third] + [""] * third for at in (0, third, 2 * third)]
    rows = "".join(
        f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>"
        for row in zip(*(column[:third] for column in columns), strict=True)
    )
    return f"<table>{rows}</table>"
