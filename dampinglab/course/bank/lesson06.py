"""Exercises of lesson 06: what a damper cannot change, how people feel it, grip, no single best."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task, choice
from dampinglab.physics.comfort import weighting
from dampinglab.physics.linear import white_road_variances
from dampinglab.physics.oscillator import natural_frequency
from dampinglab.physics.road import CLASS_MEANS
from dampinglab.physics.vehicle import Corner
from dampinglab.units import show

__all__ = ["EXERCISES"]

TWO_PI = 2 * math.pi
_ROOT = math.sqrt(1e3)  # what is missing where a rate in N/mm stands under a root


def _isolates(mass: float, rate: float) -> Task:
    own = float(natural_frequency(rate, mass))
    answer = math.sqrt(2) * own
    return Task(
        statement=f"A car of **{mass:g} kg** stands on springs of **{show(rate, 'N/mm')}** in all. "
        "Above which frequency of the road does its body move **less** than the road, whatever "
        "damper it has?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip(
                "own frequency",
                own,
                "That is its own frequency, where it moves **most**. The crossing lies at √2 "
                "times that.",
            ),
            Slip(
                "twice", 2 * own, "The crossing lies at √2 times its own frequency, not at twice."
            ),
            Slip("radians", TWO_PI * answer, "That is in radians a second; divide by 2π for Hz."),
            Slip("N/mm", answer / _ROOT, "You left the springs in N/mm: 1 N/mm is 1000 N/m."),
        ),
        hints=(
            "First its own frequency. Then how far above it the springs begin to help.",
            "At √2 times its own frequency all curves cross: body and road move alike.",
            f"Its own frequency is {own:.4f} Hz.",
        ),
        steps=(
            Step("Its own frequency", "√(k / m) / (2π)", own, "Hz"),
            Step("Crossing", "√2 × own frequency", answer, "Hz"),
        ),
    )


def _hop_point(unsprung: float, tyre: float) -> Task:
    answer = math.sqrt(tyre / unsprung) / TWO_PI
    return Task(
        statement=f"A wheel with its hub weighs **{unsprung:g} kg**, its tyre has "
        f"**{show(tyre, 'N/mm')}**. At one frequency the body's acceleration is the same **for "
        "every spring and every damper**: where the tyre alone would make the wheel swing. Which "
        "frequency is it?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip("radians", TWO_PI * answer, "That is in radians a second; divide by 2π for Hz."),
            Slip("no root", answer**2 * TWO_PI, "You left out the square root."),
            Slip("upside down", 1 / (TWO_PI**2 * answer), "You divided mass by rate."),
            Slip("N/mm", answer / _ROOT, "You left the tyre in N/mm: 1 N/mm is 1000 N/m."),
        ),
        hints=(
            "Only the wheel's mass and the tyre's rate matter here.",
            "f = √(tyre rate / wheel mass) / (2π).",
            f"√({tyre:g} / {unsprung:g}) = {TWO_PI * answer:.3f} radians a second.",
        ),
        steps=(Step("Frequency of the fixed point", "√(kt / mu) / (2π)", answer, "Hz"),),
    )


def _travel_point(sprung: float, unsprung: float, tyre: float) -> Task:
    answer = math.sqrt(tyre / (sprung + unsprung)) / TWO_PI
    return Task(
        statement=f"A corner has **{sprung:g} kg** of body, **{unsprung:g} kg** of wheel, and a "
        f"tyre of **{show(tyre, 'N/mm')}**. At one frequency the **wheel travel** is the same for "
        "every spring and damper: where body and wheel together swing on the tyre. Which "
        "frequency is it?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip(
                "wheel alone",
                math.sqrt(tyre / unsprung) / TWO_PI,
                "That is the wheel alone. Here body and wheel swing together on the tyre.",
            ),
            Slip(
                "body alone",
                math.sqrt(tyre / sprung) / TWO_PI,
                "You left out the wheel. It swings with the body here.",
            ),
            Slip("radians", TWO_PI * answer, "That is in radians a second; divide by 2π for Hz."),
            Slip("N/mm", answer / _ROOT, "You left the tyre in N/mm: 1 N/mm is 1000 N/m."),
        ),
        hints=(
            "Which mass moves on the tyre, if body and wheel move together?",
            "f = √(tyre rate / (body + wheel)) / (2π).",
            f"Together they weigh {sprung + unsprung:g} kg.",
        ),
        steps=(
            Step("Both masses", "body + wheel", sprung + unsprung, "kg"),
            Step("Frequency of the fixed point", "√(kt / (ms + mu)) / (2π)", answer, "Hz"),
        ),
    )


def _two_tones(slow: float, slow_hz: float, fast: float, fast_hz: float) -> Task:
    weights = [float(abs(weighting(f))) for f in (slow_hz, fast_hz)]
    parts = [slow * weights[0], fast * weights[1]]
    answer = math.hypot(*parts)
    rows = ", ".join(
        f"{w:.3f} at {f:g} Hz" for f, w in zip((slow_hz, fast_hz), weights, strict=True)
    )
    return Task(
        statement=f"A seat shakes up and down with **{slow:g} m/s²** r.m.s. at **{slow_hz:g} Hz** "
        f"and **{fast:g} m/s²** at **{fast_hz:g} Hz**. The weighting Wk of ISO 2631-1 is {rows}. "
        "What is the weighted r.m.s. acceleration?",
        answer=answer,
        quantity="acceleration",
        unit="m/s²",
        slips=(
            Slip(
                "added",
                sum(parts),
                "You added the two. Shaking at different frequencies adds by squares: √(a² + b²).",
            ),
            Slip(
                "not weighted",
                math.hypot(slow, fast),
                "You left out the weighting: each part is multiplied by its factor first.",
            ),
            Slip(
                "swapped",
                math.hypot(slow * weights[1], fast * weights[0]),
                "The two factors have changed places.",
            ),
            Slip("no root", answer**2, "That is the sum of the squares; take its root last."),
        ),
        hints=(
            "First each part by its own factor.",
            "Then square both, add, and take the root.",
            f"The parts are {parts[0]:.4f} and {parts[1]:.4f} m/s².",
        ),
        steps=(
            Step("Slow part", f"{slow:g} × {weights[0]:.3f}", parts[0], "m/s²"),
            Step("Fast part", f"{fast:g} × {weights[1]:.3f}", parts[1], "m/s²"),
            Step("Weighted r.m.s.", "√(slow² + fast²)", answer, "m/s²"),
        ),
    )


def _white_road(
    sprung: float, unsprung: float, rate: float, tyre: float, damping: float, speed_kmh: float
) -> Task:
    corner = Corner(sprung, unsprung, rate, 1.0, tyre, 0.0, 0.1, 0.05, 0.1)
    intensity = (TWO_PI * 0.1) ** 2 * CLASS_MEANS["C"] * speed_kmh / 3.6
    answer = math.sqrt(white_road_variances(corner, damping, intensity)["acceleration"])
    spring = (sprung + unsprung) * rate**2 / (damping * sprung**2)
    return Task(
        statement=f"Road class C of ISO 8608 at **{speed_kmh:g} km/h** shakes a wheel up and down "
        f"with G = **{1e3 * intensity:.4g} × 10⁻³** (m/s)²/Hz. A corner has ms = {sprung:g} kg of "
        f"body, mu = {unsprung:g} kg of wheel, a spring of k = {show(rate, 'N/mm')} and a damper "
        f"of c = **{damping:g} N·s/m**, both at the wheel, and a tyre of kt = "
        f"{show(tyre, 'N/mm')}. With M = ms + mu, the mean square of the body's acceleration is "
        "**G/4 × (c kt / ms² + M k² / (c ms²))**, all in kg, N/m and N·s/m. What is its r.m.s.?",
        answer=answer,
        quantity="acceleration",
        unit="m/s²",
        slips=(
            Slip("mean square", answer**2, "That is the mean square; take its root for the r.m.s."),
            Slip(
                "no quarter",
                2 * answer,
                "You left out the 4 under G.",
            ),
            Slip(
                "one term",
                math.sqrt(intensity / 4 * damping * tyre / sprung**2),
                "You stopped after the first term. The spring's term comes on top.",
            ),
            Slip(
                "N/mm",
                math.sqrt(intensity / 4 * (damping * tyre / sprung**2 / 1e3 + spring / 1e6)),
                "You left spring and tyre in N/mm: 1 N/mm is 1000 N/m.",
            ),
            Slip("power of ten", _ROOT * answer, "You left out the 10⁻³ behind G."),
        ),
        hints=(
            "Put SI units in: kg, N/m, N·s/m. Work out the bracket first.",
            "r.m.s. = √(G/4 × bracket).",
            f"c kt / ms² = {damping * tyre / sprung**2:.1f}.",
        ),
        steps=(
            Step("Damper's term", "c kt / ms²", damping * tyre / sprung**2),
            Step("Spring's term", "M k² / (c ms²)", spring),
            Step("r.m.s.", "√(G/4 × (their sum))", answer, "m/s²"),
        ),
    )


def _softest(sprung: float, unsprung: float, rate: float, tyre: float) -> Task:
    answer = rate * math.sqrt((sprung + unsprung) / tyre)
    critical = 2 * math.sqrt(rate * sprung)
    return Task(
        statement=f"On such a road one damper gives the **least acceleration** of the body: c = k "
        f"√((ms + mu) / kt). For a body of ms = {sprung:g} kg, a wheel of mu = {unsprung:g} kg, a "
        f"spring of k = {show(rate, 'N/mm')} at the wheel and a tyre of kt = "
        f"{show(tyre, 'N/mm')}: how many N·s/m at the wheel is it?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        slips=(
            Slip(
                "upside down",
                rate * math.sqrt(tyre / (sprung + unsprung)),
                "Masses go on top, the tyre below.",
            ),
            Slip(
                "body only",
                rate * math.sqrt(sprung / tyre),
                "You left out the wheel's mass.",
            ),
            Slip("critical", critical, "That is critical damping, several times as much."),
            Slip("N/mm", answer / _ROOT, "You left both rates in N/mm: 1 N/mm is 1000 N/m."),
        ),
        hints=(
            "All in SI: N/m and kg.",
            "c = k √((ms + mu) / kt).",
            f"The root is {math.sqrt((sprung + unsprung) / tyre):.5f} s.",
        ),
        steps=(
            Step("Damping of least acceleration", "k √((ms + mu) / kt)", answer, "N·s/m"),
            Step("As a share of critical", "c ÷ (2 √(k ms))", answer / critical),
        ),
    )


def _exposure(acceleration: float, hours: float) -> Task:
    answer = acceleration * math.sqrt(hours / 8)
    return Task(
        statement=f"A driver sits **{hours:g} hours** a day on a seat that shakes with "
        f"**{acceleration:g} m/s²** (weighted r.m.s., up and down). What is that over a working "
        "day of 8 hours, A(8)? (European directive 2002/44/EC: something must be done from "
        "0.5 m/s² on, and 1.15 must not be passed.)",
        answer=answer,
        quantity="acceleration",
        unit="m/s²",
        slips=(
            Slip(
                "in proportion",
                acceleration * hours / 8,
                "You scaled with the time itself. It is the **square** of the acceleration that "
                "adds up, so the root of the time counts.",
            ),
            Slip("not scaled", acceleration, "That is while driving. The day has 8 hours."),
            Slip(
                "upside down",
                acceleration * math.sqrt(8 / hours),
                "Fewer hours than 8 make it smaller: hours ÷ 8 under the root, not 8 ÷ hours.",
            ),
        ),
        hints=(
            "Fewer hours than 8 make it smaller, but less than in proportion.",
            "A(8) = a √(hours / 8).",
            f"√({hours:g} / 8) = {math.sqrt(hours / 8):.4f}.",
        ),
        steps=(Step("Over 8 hours", "a √(hours ÷ 8)", answer, "m/s²"),),
    )


def _best_ratio() -> Task:
    return choice(
        'A colleague has read that "the best damping ratio is 0.2", another swears by 0.35, a '
        "third by 0.5. Who is right?",
        {
            "a": (
                "The first: less damping always rides better.",
                "On one kind of road and for one question only. Look at the tyre's load in the "
                "panel with so little damping.",
            ),
            "b": (
                "The third: half of critical stops the body quickest.",
                "It answers one question, on a mass without a tyre. Look at the acceleration in "
                "the panel with so much.",
            ),
            "c": ("Each may be: they have asked different questions.", ""),
        },
        (
            "What was to be best: comfort, grip, or travel?",
            "Choose the three questions in the panel one after the other.",
            "Three questions, three minima.",
        ),
        (
            "Least acceleration, least change of tyre load and least travel lie at different "
            "ratios: answer c",
        ),
    )


def _which_score() -> Task:
    return choice(
        '"It floats over long waves at speed, but it is soft on everything small." Which score '
        "shows the complaint?",
        {
            "a": (
                "Shaking (weighted r.m.s.) on a good road.",
                "That is the part the driver is happy with. The weighting counts 4 to 10 Hz most; "
                "floating is at 1 to 2 Hz.",
            ),
            "b": ("Body against road, in mm, over long waves.", ""),
            "c": (
                "The sharpest push up, on a sharp ridge.",
                "A sharp ridge is a matter of thousandths of a second; floating takes seconds.",
            ),
        },
        (
            "How fast is the movement that is complained of?",
            "Floating: once or twice a second, several centimetres.",
            "Which of the three is measured in mm?",
        ),
        ("Floating is body motion at its own frequency, in mm: answer b",),
    )


def _price() -> Task:
    return choice(
        "You close low-speed bump by four clicks. Body motion over long waves falls by a tenth. "
        "Before you drive: what do you expect to pay?",
        {
            "a": (
                "Nothing: the car is better controlled everywhere.",
                "Every change costs something somewhere. Look at the scores on a good highway.",
            ),
            "b": ("More shaking on a good road, over small joints.", ""),
            "c": (
                "More stop contact in a sharp, deep dip.",
                "More force in bump uses less travel, if anything. The price is paid where it is "
                "smooth.",
            ),
        },
        (
            "Where does the same valve work as well?",
            "Small, slow movements are there on every road.",
            "Choose the highway of class B in the panel and turn the clicks.",
        ),
        ("The same needle carries the small movements of a good road: answer b",),
    )


_IDENTITY = (
    "Invariant points of the quarter car: an identity, checked in the tests against the "
    "transfer functions; that they exist is said in doi 10.1243/PIME_PROC_1990_204_128_02."
)
_WHITE = (
    "Closed form for a road whose velocity has a flat spectrum, with the class mean of ISO 8608 "
    "(read in public code): an identity, checked against a Lyapunov equation."
)
_PRACTICE = "Common practice, no source."
_BARTON = {"sprung": 317.5, "unsprung": 45.4, "tyre": 192e3}


def _corner(rng) -> dict:
    return {
        "sprung": int(rng.integers(25, 70)) * 10,
        "unsprung": int(rng.integers(35, 120)),
        "rate": int(rng.integers(15, 70)) * 1e3,
        "tyre": int(rng.integers(15, 35)) * 1e4,
    }


EXERCISES = (
    Exercise(
        "6.1",
        "Where springs begin to help",
        _isolates,
        {"mass": 900, "rate": 6.53e4},
        lambda rng: {
            "mass": int(rng.integers(80, 250)) * 10,
            "rate": int(rng.integers(40, 200)) * 1e3,
        },
        "Transmissibility is 1 at √2 for every damper: Downey and Micheli, Open Vibrations "
        "(CC BY-SA 4.0), chapter 3; car of OpenStax, College Physics, example 16.4 (CC BY).",
    ),
    Exercise(
        "6.2",
        "The point at wheel hop",
        _hop_point,
        {"unsprung": 45.4, "tyre": 192e3},
        lambda rng: {k: v for k, v in _corner(rng).items() if k in ("unsprung", "tyre")},
        f"{_IDENTITY} Masses and tyre: Barton and Fieldhouse, section 3.13.",
    ),
    Exercise(
        "6.3",
        "The point of travel",
        _travel_point,
        _BARTON,
        lambda rng: {k: v for k, v in _corner(rng).items() if k != "rate"},
        f"{_IDENTITY} Masses and tyre: Barton and Fieldhouse, section 3.13.",
    ),
    Exercise(
        "6.4",
        "Two shakes at once",
        _two_tones,
        {"slow": 1.0, "slow_hz": 1, "fast": 0.5, "fast_hz": 8},
        lambda rng: {
            "slow": float(rng.integers(2, 20)) / 10,
            "slow_hz": int(rng.choice([1, 2, 4])),
            "fast": float(rng.integers(2, 20)) / 10,
            "fast_hz": int(rng.choice([8, 10, 20, 40])),
        },
        "ISO 2631-1:1997, table 3: Wk 0.482 at 1 Hz and 1.036 at 8 Hz, read in public code.",
    ),
    Exercise(
        "6.5",
        "Shaking on a class C road",
        _white_road,
        {**_BARTON, "rate": 22e3, "damping": 1500, "speed_kmh": 80},
        lambda rng: {
            **_corner(rng),
            "damping": int(rng.integers(8, 50)) * 100,
            "speed_kmh": int(rng.integers(4, 12)) * 10,
        },
        _WHITE,
    ),
    Exercise(
        "6.6",
        "The damper of least acceleration",
        _softest,
        {**_BARTON, "rate": 22e3},
        _corner,
        _WHITE,
    ),
    Exercise("6.7", "No single best", _best_ratio, {}, lambda rng: {}, _PRACTICE),
    Exercise(
        "6.8",
        "A driver's day",
        _exposure,
        {"acceleration": 0.8, "hours": 4},
        lambda rng: {
            "acceleration": float(rng.integers(3, 15)) / 10,
            "hours": float(rng.integers(2, 15)) / 2,
        },
        "Directive 2002/44/EC, 0.5 and 1.15 m/s²: read in the manual of a general vibration meter; "
        "the formula from memory.",
    ),
    Exercise("6.9", "Which score", _which_score, {}, lambda rng: {}, _PRACTICE),
    Exercise("6.10", "The price", _price, {}, lambda rng: {}, _PRACTICE),
)
