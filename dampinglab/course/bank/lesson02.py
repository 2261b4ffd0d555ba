"""Exercises of lesson 02: critical damping, damping ratio, decrement, what a bounce test tells."""

import math
from functools import cache

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.data import dataset
from dampinglab.physics.oscillator import (
    critical_damping,
    damping_ratio,
    log_decrement,
    ratio_from_decrement,
)
from dampinglab.physics.vehicle import wheel_damping
from dampinglab.units import show
from dampinglab.workshop.bounce import BounceReading, read_bounce
from dampinglab.workshop.record import read_record

__all__ = ["EXERCISES"]


def _critical(mass: float, rate: float) -> Task:
    answer = float(critical_damping(rate, mass))
    omega = math.sqrt(rate / mass)
    return Task(
        statement=f"A mass of **{mass:g} kg** hangs on a spring of **{show(rate, 'N/mm')}**. How "
        "much damping would just stop it from swinging past rest, its critical damping?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        slips=(
            Slip(
                "two forgotten",
                answer / 2,
                "The factor 2 is missing: critical damping is 2 √(k m).",
            ),
            Slip(
                "N/mm",
                answer / math.sqrt(1e3),
                "You put N/mm into the formula. Use N/m: multiply the rate by 1000 first.",
            ),
            Slip(
                "divided",
                2 * omega,
                "You divided the rate by the mass. For a frequency that "
                "is right; here rate and mass are multiplied.",
            ),
            Slip(
                "no root",
                2 * rate * mass,
                "You left out the square root: multiply rate and mass, take the root, then double.",
            ),
        ),
        hints=(
            "More mass or more spring both need more damping to stop a swing.",
            "Critical damping = 2 √(k m), k in N/m and m in kg.",
            f"k × m = {rate:g} × {mass:g} = {rate * mass:.0f}. Take the root, then double it.",
        ),
        steps=(
            Step("Rate times mass", "k m", rate * mass),
            Step("Critical damping", "2 √(k m)", answer, "N·s/m"),
        ),
    )


def _ratio(mass: float, rate: float, force: float, speed: float) -> Task:
    damping = force / speed
    answer = float(damping_ratio(damping, rate, mass))
    return Task(
        statement=f"A mass of **{mass:g} kg** on **{show(rate, 'N/mm')}** gets "
        f"a damper that makes **{force:g} N at {speed:g} m/s**. What is its damping ratio?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "two forgotten",
                answer * 2,
                "You divided by √(k m). Critical damping is twice that.",
            ),
            Slip(
                "upside down",
                1 / answer,
                "You divided critical damping by the damper. The "
                "ratio is the damper as a share of critical.",
            ),
            Slip(
                "N/mm",
                answer * math.sqrt(1e3),
                "You put N/mm into the formula. Use N/m: multiply the rate by 1000 first.",
            ),
            Slip(
                "damping, not its ratio",
                damping,
                "That is the damping, in N·s/m. The ratio is its share of critical damping.",
            ),
        ),
        hints=(
            "The ratio says what share of critical damping the damper has.",
            "Damping = force ÷ speed. Ratio = damping ÷ (2 √(k m)).",
            f"Damping {force:g} ÷ {speed:g} = {damping:g} N·s/m.",
        ),
        steps=(
            Step("Damping coefficient", "force ÷ speed", damping, "N·s/m"),
            Step("Critical damping", "2 √(k m)", float(critical_damping(rate, mass)), "N·s/m"),
            Step("Damping ratio", "damping ÷ critical", answer),
        ),
    )


def _decrement(first: float, second: float) -> Task:
    answer = float(log_decrement(first, second))
    return Task(
        statement="A car body is pushed down and let go. One swing goes "
        f"**{first:g} mm** past rest, the next one on the **same side {second:g} mm**. What is "
        "the logarithmic decrement?",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.005,
        slips=(
            Slip(
                "log10",
                math.log10(first / second),
                "You pressed the key log, to base 10. The "
                "decrement uses the natural logarithm, the key ln.",
            ),
            Slip(
                "no log",
                first / second,
                "That is the ratio of the two swings. Now take its natural logarithm.",
            ),
            Slip(
                "share",
                second / first,
                "That is the second swing as a share of the first. The "
                "decrement is ln(first ÷ second).",
            ),
            Slip(
                "upside down",
                -answer,
                "You divided the second swing by the first. The larger one stands on top.",
            ),
        ),
        hints=(
            "The decrement compares one swing with the next on the same side.",
            "Decrement = ln(first ÷ second), ln being the natural logarithm.",
            f"{first:g} ÷ {second:g} = {first / second:.3f}. Press ln.",
        ),
        steps=(
            Step("First over second", f"{first:g} ÷ {second:g}", first / second),
            Step("Logarithmic decrement", "ln of it", answer),
        ),
    )


def _from_decrement(first: float, second: float) -> Task:
    delta = float(log_decrement(first, second))
    answer = float(ratio_from_decrement(delta))
    return Task(
        statement=f"Two swings on the same side, **{first:g} mm** and then **{second:g} mm**, "
        f"give a logarithmic decrement of **{delta:.3f}**. What is the damping ratio? (The chart "
        "gives the first digit; use the formula for the rest.)",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.008,
        slips=(
            Slip(
                "short formula",
                delta / (2 * math.pi),
                "You divided by 2π, the short cut for "
                "light damping. Here damping is too strong for it: divide by √(4π² + δ²).",
            ),
            Slip(
                "decrement", delta, "That is the decrement itself. One more step: δ ÷ √(4π² + δ²)."
            ),
            Slip(
                "pi",
                delta / math.hypot(math.pi, delta),
                "You used π where 2π belongs. A whole swing is 2π; half a swing would be π.",
            ),
            Slip(
                "no root",
                delta / (4 * math.pi**2 + delta**2),
                "You left out the root: divide δ by the root of 4π² + δ².",
            ),
        ),
        hints=(
            "The decrement is a number for one swing; the ratio is a share of critical damping.",
            "Ratio = δ ÷ √(4π² + δ²).",
            f"δ² = {delta**2:.3f} and 4π² = 39.478. Add them, take the root, divide δ by it.",
        ),
        steps=(
            Step("Root of 4π² + δ²", f"√(39.478 + {delta**2:.3f})", math.hypot(2 * math.pi, delta)),
            Step("Damping ratio", "δ ÷ root", answer),
        ),
    )


def _several(first: float, later: float, cycles: int) -> Task:
    delta = float(log_decrement(first, later, cycles))
    answer = float(ratio_from_decrement(delta))
    whole = float(ratio_from_decrement(delta * cycles))
    return Task(
        statement=f"A lightly damped mass swings **{first:g} mm** past rest, and **{cycles} "
        f"whole swings later {later:g} mm** on the same side. What is its damping ratio?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "one cycle",
                whole,
                f"You took it as one swing. There are {cycles} between the "
                f"two peaks: divide the logarithm by {cycles} first.",
            ),
            Slip(
                "too many",
                float(ratio_from_decrement(delta * cycles / (cycles + 1))),
                "You counted the peaks, not the swings between them. There is one swing fewer "
                "than there are peaks.",
            ),
            Slip(
                "log10",
                float(ratio_from_decrement(delta / math.log(10))),
                "You pressed log, to base 10. The decrement uses ln, the natural logarithm.",
            ),
        ),
        hints=(
            "The decrement counts for one swing. How many swings lie between the two peaks?",
            "δ = ln(first ÷ later) ÷ number of swings; ratio = δ ÷ √(4π² + δ²).",
            f"ln({first:g} ÷ {later:g}) = {delta * cycles:.3f}. Divide by {cycles}.",
        ),
        steps=(
            Step("Logarithm of the two", f"ln({first:g} ÷ {later:g})", delta * cycles),
            Step("For one swing", f"÷ {cycles}", delta),
            Step("Damping ratio", "δ ÷ √(4π² + δ²)", answer),
        ),
    )


def _half(share: float) -> Task:
    delta = float(log_decrement(1.0, share, 0.5))
    answer = float(ratio_from_decrement(delta))
    return Task(
        statement="A motorcycle's shock absorber lets the body swing past rest and to the "
        f"**other side**, where it reaches **{share:g}** of the first swing: half a swing later. "
        "What is the damping ratio?",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.005,
        slips=(
            Slip(
                "whole cycle",
                float(ratio_from_decrement(delta / 2)),
                "You took the other side "
                "as the next whole swing. It is only **half** a swing later, so the loss of a "
                "whole swing is twice as large in the logarithm.",
            ),
            Slip(
                "decrement",
                delta,
                "That is the decrement of a whole swing. One more step: δ ÷ √(4π² + δ²).",
            ),
            Slip(
                "log10",
                float(ratio_from_decrement(delta / math.log(10))),
                "You pressed log, to base 10. The decrement uses ln, the natural logarithm.",
            ),
        ),
        hints=(
            "From one side to the other is half a swing.",
            "δ = ln(1 ÷ share) ÷ ½; ratio = δ ÷ √(4π² + δ²).",
            f"ln(1 ÷ {share:g}) = {delta / 2:.4f}. Double it for a whole swing.",
        ),
        steps=(
            Step("Logarithm for half a swing", f"ln(1 ÷ {share:g})", delta / 2),
            Step("For a whole swing", "× 2", delta),
            Step("Damping ratio", "δ ÷ √(4π² + δ²)", answer),
        ),
    )


def _coefficient(mass: float, period: float, share: float) -> Task:
    zeta = float(ratio_from_decrement(log_decrement(1.0, share, 0.5)))
    omega = 2 * math.pi / period / math.sqrt(1 - zeta**2)
    answer = 2 * zeta * omega * mass
    return Task(
        statement=f"A shock absorber carries **{mass:g} kg**; a damped swing takes "
        f"**{period:g} s**, and its damping ratio is **{zeta:.4f}**. What is its damping "
        "coefficient?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        tolerance=0.005,
        slips=(
            Slip(
                "twice",
                2 * answer,
                "Twice too much. The coefficient is 2 × ratio × ω × m; the 2 comes in once.",
            ),
            Slip("half", answer / 2, "Half of it: critical damping has a factor 2, 2 m ω."),
            Slip(
                "damped frequency",
                2 * zeta * 2 * math.pi / period * mass,
                "You used the "
                "damped swing as it was timed. Critical damping needs the undamped frequency: "
                "divide by √(1 − ratio²) first.",
            ),
        ),
        hints=(
            "The coefficient is the ratio times critical damping, and that is 2 m ω.",
            "ω undamped = (2π ÷ period) ÷ √(1 − ratio²). Then c = 2 × ratio × m × ω.",
            f"2π ÷ {period:g} = {2 * math.pi / period:.4f}, and √(1 − ratio²) = "
            f"{math.sqrt(1 - zeta**2):.4f}.",
        ),
        steps=(
            Step("Undamped, in radians a second", "(2π ÷ period) ÷ √(1 − ratio²)", omega),
            Step("Critical damping", "2 m ω", 2 * mass * omega, "N·s/m"),
            Step("Coefficient", "ratio × critical", answer, "N·s/m"),
        ),
    )


def _shaft(coefficient: float, ratio: float, rate: float, mass: float) -> Task:
    critical = float(critical_damping(rate, mass))
    wheel = float(wheel_damping(coefficient, ratio))
    answer = wheel / critical
    return Task(
        statement=f"At 0.1 m/s a damper makes **{coefficient / 10:g} N**, so {coefficient:g} "
        f"N·s/m **at its shaft**. It moves {ratio:g} mm for each millimetre of wheel travel. The "
        f"wheel rate is {show(rate, 'N/mm')} and the corner carries {mass:g} kg of body. What is "
        "the damping ratio?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "shaft for wheel",
                coefficient / critical,
                "You used the damper as if it stood "
                "at the wheel. Bring it there first: × motion ratio².",
            ),
            Slip(
                "not squared",
                coefficient * ratio / critical,
                "You used the motion ratio once. It works twice, just as it does for a spring.",
            ),
            Slip(
                "two forgotten",
                2 * answer,
                "You divided by √(k m). Critical damping is twice that.",
            ),
        ),
        hints=(
            "Spring rate and mass are at the wheel. Where is the damper?",
            "Damping at the wheel = damping at the shaft × motion ratio². Divide by 2 √(k m).",
            f"{coefficient:g} × {ratio:g}² = {wheel:.0f} N·s/m at the wheel.",
        ),
        steps=(
            Step("Damping at the wheel", "c × motion ratio²", wheel, "N·s/m"),
            Step("Critical damping", "2 √(k m)", critical, "N·s/m"),
            Step("Damping ratio", "damping ÷ critical", answer),
        ),
    )


def _loaded(empty: float, mass: float, added: float) -> Task:
    answer = empty * math.sqrt(mass / (mass + added))
    return Task(
        statement=f"A rear corner has a damping ratio of **{empty:g}** with {mass:g} kg of body "
        f"on it. Then **{added:g} kg** come on top. Same spring, same damper, same click. What "
        "is the damping ratio now?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "no root",
                empty * mass / (mass + added),
                "You divided by the growth of mass. "
                "Only its square root counts: critical damping is 2 √(k m).",
            ),
            Slip(
                "grows",
                empty * math.sqrt((mass + added) / mass),
                "You made it grow. More mass "
                "needs more damping, so the same damper is a smaller share.",
            ),
            Slip(
                "unchanged",
                empty,
                "The damper is the same, but what it has to stop is heavier. "
                "Critical damping grew, so the share fell.",
            ),
        ),
        hints=(
            "Ratio = damping ÷ (2 √(k m)). Which letter changed?",
            "Only m grew, so the ratio falls by √(old mass ÷ new mass).",
            f"{mass:g} ÷ {mass + added:g} = {mass / (mass + added):.4f}. Take the root, then "
            f"multiply by {empty:g}.",
        ),
        steps=(
            Step("Old mass over new", f"{mass:g} ÷ {mass + added:g}", mass / (mass + added)),
            Step("Its root", "√", math.sqrt(mass / (mass + added))),
            Step("Damping ratio, loaded", f"{empty:g} × root", answer),
        ),
    )


def _bounce(record: str) -> Task:
    reading = _reading(record)
    answer = reading.ratio.value
    first, _, second = (abs(peak.height) for peak in reading.peaks[:3])
    delta = float(log_decrement(first, second))
    shown = _RECORDS[record]
    return Task(
        statement=f"Choose the record **{shown}** in the panel above. Put the markers on two "
        "neighbouring peaks of the **same side**, after the release. What damping ratio do you "
        "read? (Give two digits; the check allows 10 % either way.)",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.1,
        close="Close: put the markers on the very tops and read again.",
        slips=(
            Slip(
                "half swing",
                float(ratio_from_decrement(delta / 2)),
                "You took a peak and the "
                "trough that follows as a whole swing. That is only half a swing: choose two "
                "peaks on the same side.",
            ),
            Slip(
                "decrement",
                delta,
                "That is the logarithmic decrement. One more step: δ ÷ √(4π² + δ²), or the chart.",
            ),
        ),
        hints=(
            "Only the free part counts: after the greyed push, before the swings drown.",
            "Second peak ÷ first peak on the same side; then the chart.",
            f"The first two peaks on one side read about {first:.2f} and {second:.2f} m/s².",
        ),
        steps=(
            Step(
                f"First peak {first:.2f}, second {second:.2f} m/s²; decrement",
                f"ln({first:.2f} ÷ {second:.2f})",
                delta,
            ),
            Step("Ratio from these two", "δ ÷ √(4π² + δ²)", float(ratio_from_decrement(delta))),
            Step(f"Least-squares fit of all swings, ± {_uncertainty(reading):.3f}", "", answer),
        ),
    )


@cache
def _reading(record: str) -> BounceReading:
    """Return the fit of a demo record."""
    return read_bounce(read_record(dataset(f"bounce/{record}.csv")))


def _uncertainty(reading: BounceReading) -> float:
    """Return the fit's standard uncertainty and its spread over windows, taken together."""
    return math.hypot(reading.ratio.fit, reading.ratio.spread)


def _limits() -> Task:
    return Task(
        statement="A bounce test on a wagon reads a damping ratio of 0.30, well in range. Which "
        "complaint could **still** come from its dampers?",
        answer="b",
        choices={
            "a": "It keeps swinging after a gentle rise in the road.",
            "b": "It hits the stop on sharp bumps taken fast.",
            "c": "None: 0.30 proves that the dampers are good.",
        },
        slips=(
            Slip(
                "slow",
                "a",
                "That is slow movement, the very thing that the bounce test just "
                "looked at. Seek the answer where the test was blind.",
            ),
            Slip(
                "proof",
                "c",
                "By hand a damper moves at about 0.1 m/s or less. A sharp bump moves "
                "it ten times as fast, through valves that the test never opened.",
            ),
        ),
        hints=(
            "How fast did the damper move while you bounced the corner?",
            "A bounce test is a low-speed test. Which complaint is about high speed?",
            "Sharp bumps taken fast are …",
        ),
        steps=(
            Step("Bouncing by hand is slow movement of the shaft"),
            Step("It says nothing about the valves that a sharp bump opens: answer b"),
        ),
    )


_RECORDS = {
    "good_corner": "a corner in good order",
    "worn_damper": "a worn damper",
    "hard_push": "a trailer pushed too hard",
}
_OPEN = (
    "Downey and Micheli, Open Vibrations (CC BY-SA 4.0), chapter 2, {}: read in the public text."
)
_RAO = (
    "Rao, Mechanical Vibrations, motorcycle shock absorber (numbered 2.14 or so by edition): "
    "{}, read in a public copy of the solution."
)
_KHURMI = "Khurmi and Gupta, Theory of Machines, free damped vibration: {}, read in a public copy."
_COURSE = "This course's own question, on an invented vehicle; the formula is that of lesson 02."

EXERCISES = (
    Exercise(
        "2.1",
        "Critical damping",
        _critical,
        {"mass": 8, "rate": 5.4e3},
        lambda rng: {
            "mass": int(rng.integers(5, 600)),
            "rate": float(rng.integers(50, 600)) * 100,
        },
        _KHURMI.format("critical damping 416 N s/m"),
    ),
    Exercise(
        "2.2",
        "Damping ratio",
        _ratio,
        {"mass": 8, "rate": 5.4e3, "force": 40, "speed": 1},
        lambda rng: {
            "mass": int(rng.integers(200, 600)),
            "rate": float(rng.integers(20, 60)) * 1e3,
            "force": int(rng.integers(10, 60)) * 10,
            "speed": float(rng.integers(1, 4)) / 10,
        },
        _KHURMI.format("damping factor 0.096"),
    ),
    Exercise(
        "2.3",
        "Logarithmic decrement",
        _decrement,
        {"first": 20, "second": 2.2},
        lambda rng: {
            "first": int(rng.integers(20, 80)),
            "second": float(rng.integers(20, 120)) / 10,
        },
        _OPEN.format("automobile: decrement 2.207 (there in centimetres)"),
    ),
    Exercise(
        "2.4",
        "From decrement to damping ratio",
        _from_decrement,
        {"first": 20, "second": 2.2},
        lambda rng: {
            "first": int(rng.integers(20, 80)),
            "second": float(rng.integers(10, 60)) / 10,
        },
        _OPEN.format("automobile: damping ratio 0.331"),
    ),
    Exercise(
        "2.5",
        "Several swings",
        _several,
        {"first": 9.5, "later": 1.8, "cycles": 3},
        lambda rng: {
            "first": int(rng.integers(20, 60)),
            "later": float(rng.integers(15, 80)) / 10,
            "cycles": int(rng.integers(2, 6)),
        },
        _OPEN.format("3 kg on 43 N/m: damping ratio 0.0879"),
    ),
    Exercise(
        "2.6",
        "Half a swing",
        _half,
        {"share": 0.25},
        lambda rng: {"share": float(rng.integers(10, 70)) / 100},
        _RAO.format("damping ratio 0.4037"),
    ),
    Exercise(
        "2.7",
        "Damping coefficient from a swing",
        _coefficient,
        {"mass": 200, "period": 2, "share": 0.25},
        lambda rng: {
            "mass": int(rng.integers(100, 500)),
            "period": float(rng.integers(6, 25)) / 10,
            "share": float(rng.integers(10, 40)) / 100,
        },
        _RAO.format("554.4981 N s/m"),
    ),
    Exercise(
        "2.8",
        "Shaft and wheel",
        _shaft,
        {"coefficient": 6000, "ratio": 0.6, "rate": 40e3, "mass": 560},
        lambda rng: {
            "coefficient": int(rng.integers(15, 90)) * 100,
            "ratio": float(rng.integers(10, 17)) / 20,
            "rate": float(rng.integers(25, 60)) * 1e3,
            "mass": int(rng.integers(30, 65)) * 10,
        },
        _COURSE,
    ),
    Exercise(
        "2.9",
        "Heavier means less damped",
        _loaded,
        {"empty": 0.3, "mass": 420, "added": 175},
        lambda rng: {
            "empty": float(rng.integers(15, 60)) / 100,
            "mass": int(rng.integers(30, 60)) * 10,
            "added": int(rng.integers(10, 35)) * 10,
        },
        _COURSE,
    ),
    Exercise(
        "2.10",
        "What a bounce test cannot tell",
        _limits,
        {},
        lambda rng: {},
        "Common practice, no source.",
    ),
    Exercise(
        "2.11",
        "Read a bounce test",
        _bounce,
        {"record": "good_corner"},
        lambda rng: {"record": str(rng.choice(list(_RECORDS)))},
        "This course's own record, invented; the answer is a least-squares fit of it.",
    ),
)
