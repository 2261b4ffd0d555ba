"""Exercises of lesson 01: weight, sag, wheel rate, tyre in series, ride frequency."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.physics.oscillator import frequency_from_deflection, natural_frequency
from dampinglab.physics.vehicle import ride_rate, sag, wheel_rate
from dampinglab.units import G, show

__all__ = ["EXERCISES"]

_METRES = "You put N/mm into the formula. Use N/m: multiply the rate by 1000 first."


def _rate_from_sag(mass: float, deflection_mm: float) -> Task:
    weight = mass * G
    answer = weight / (deflection_mm * 1e-3)
    return Task(
        statement=f"A person of **{mass:g} kg** gets into a car, and its springs settle by "
        f"**{deflection_mm:g} mm**. Treat them as one spring. What is its rate?",
        answer=answer,
        quantity="stiffness",
        unit="N/mm",
        slips=(
            Slip(
                "mass for weight",
                answer / G,
                "You divided the kilograms by the deflection. A "
                "spring feels a force: multiply the mass by 9.81 m/s² first.",
            ),
            Slip(
                "upside down",
                1e6 / answer,
                "You divided the deflection by the force. A rate "
                "is force for each millimetre, so the force stands on top.",
            ),
        ),
        hints=(
            "A spring rate says how much force it takes for each millimetre.",
            "The force is the weight of the person, mass × 9.81 m/s².",
            f"Weight: {mass:g} × 9.81 = {weight:.0f} N. Now divide by {deflection_mm:g} mm.",
        ),
        steps=(
            Step("Weight of the person", f"{mass:g} kg × 9.81 m/s²", weight, "N"),
            Step("Rate", f"weight ÷ {deflection_mm:g} mm", answer, "N/mm"),
        ),
    )


def _frequency(mass: float, rate: float) -> Task:
    answer = float(natural_frequency(rate, mass))
    return Task(
        statement=f"A car body of **{mass:g} kg** stands on springs that together have a rate of "
        f"**{show(rate, 'N/mm')}**. The dampers are worn out and do nothing. How often does it "
        "bounce each second?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip(
                "rad/s",
                answer * 2 * math.pi,
                "That is right in radians a second. Divide by 2π "
                "(6.28) to get swings a second, which is what Hz means.",
            ),
            Slip(
                "no root",
                rate / mass / (2 * math.pi),
                "You left out the square root: take the "
                "root of rate ÷ mass before you divide by 2π.",
            ),
            Slip(
                "period",
                1 / answer,
                "That is the time of one swing, in seconds. Turn it over to get swings a second.",
            ),
            Slip(
                "N/mm",
                answer / math.sqrt(1e3),
                _METRES,
            ),
            Slip(
                "weight for mass",
                answer / math.sqrt(G),
                "You put the weight in newtons under the root. This formula takes the mass in "
                "kilograms as it stands.",
            ),
        ),
        hints=(
            "You look for the natural frequency of one mass on one spring.",
            "f = √(k / m) / (2π), with k in N/m and m in kg.",
            f"k / m = {rate:g} ÷ {mass:g} = {rate / mass:.2f}. Take the root of it.",
        ),
        steps=(
            Step("Rate over mass, in 1/s²", "k / m", rate / mass),
            Step("Its root, in radians a second", "√(k / m)", math.sqrt(rate / mass)),
            Step("Swings a second", "root ÷ (2π)", answer, "Hz"),
        ),
    )


def _wheel_rate(spring: float, ratio: float) -> Task:
    answer = float(wheel_rate(spring, ratio))
    return Task(
        statement=f"A coil spring of **{show(spring, 'N/mm')}** sits part of the way along the "
        f"arm: it moves **{ratio:g} mm** for each millimetre of wheel travel. What is the wheel "
        "rate?",
        answer=answer,
        quantity="stiffness",
        unit="N/mm",
        slips=(
            Slip(
                "not squared",
                spring * ratio,
                "You used the motion ratio once. It works twice: "
                "the spring moves less, **and** its force reaches the wheel through the lever.",
            ),
            Slip(
                "divided",
                spring / ratio**2,
                "You divided by the motion ratio squared. A spring "
                "inboard of the wheel feels softer at the wheel, not stiffer.",
            ),
            Slip(
                "not used",
                spring,
                "That is the spring's own rate. The lever of the arm makes it softer at the wheel.",
            ),
        ),
        hints=(
            "You look for the spring rate as the wheel feels it.",
            "Wheel rate = spring rate × motion ratio × motion ratio.",
            f"{ratio:g} × {ratio:g} = {ratio * ratio:.4g}. Now multiply by the spring rate.",
        ),
        steps=(
            Step("Motion ratio squared", f"{ratio:g}²", ratio**2),
            Step("Wheel rate", "spring rate × motion ratio²", answer, "N/mm"),
        ),
    )


def _from_deflection(deflection_mm: float) -> Task:
    answer = float(frequency_from_deflection(deflection_mm * 1e-3))
    omega = answer * 2 * math.pi
    return Task(
        statement=f"A mass settles by **{deflection_mm:g} mm** when its whole weight comes on a "
        "spring. You know neither its mass nor the rate. What is its natural frequency? (The "
        "chart gives the first digit; use the formula for the rest.)",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip("rad/s", omega, "That is in radians a second. Divide by 2π (6.28) to get Hz."),
            Slip(
                "no root",
                G / (deflection_mm * 1e-3) / (2 * math.pi),
                "You left out the square root of g ÷ deflection.",
            ),
            Slip(
                "millimetres",
                answer / math.sqrt(1e3),
                "You put millimetres beside 9.81 m/s². "
                "Use metres: divide the deflection by 1000 first.",
            ),
        ),
        hints=(
            "Deflection alone is enough: mass and rate drop out.",
            "f = √(g / deflection) / (2π), deflection in metres.",
            f"{deflection_mm:g} mm is {deflection_mm / 1e3:g} m. "
            f"g ÷ deflection is {G / deflection_mm * 1e3:.1f}.",
        ),
        steps=(
            Step(
                "g over deflection, in 1/s²",
                f"9.80665 ÷ {deflection_mm / 1e3:g}",
                G / deflection_mm * 1e3,
            ),
            Step("Its root, in radians a second", "√(g / x)", omega),
            Step("Swings a second", "root ÷ (2π)", answer, "Hz"),
        ),
    )


def _ride(mass: float, spring: float, tyre: float) -> Task:
    both = float(ride_rate(spring, tyre))
    answer = float(natural_frequency(both, mass))
    return Task(
        statement=f"One corner of a car carries **{mass:g} kg** of body. The wheel rate is "
        f"**{show(spring, 'N/mm')}** and the tyre's own rate **{show(tyre, 'N/mm')}**. What is "
        "the ride frequency, spring and tyre together?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        tolerance=0.008,
        slips=(
            Slip(
                "tyre left out",
                float(natural_frequency(spring, mass)),
                "That is the body on "
                "its spring alone. The tyre is a second spring below the first, and makes the "
                "pair softer.",
            ),
            Slip(
                "added",
                float(natural_frequency(spring + tyre, mass)),
                "You added the rates. "
                "That is for springs side by side. These stand one on top of the other: "
                "k × kt ÷ (k + kt).",
            ),
            Slip("rad/s", answer * 2 * math.pi, "That is in radians a second. Divide by 2π."),
            Slip("N/mm", answer / math.sqrt(1e3), _METRES),
        ),
        hints=(
            "Two springs one on top of the other are softer than either.",
            "Ride rate = k × kt ÷ (k + kt). Then f = √(ride rate / m) / (2π).",
            f"The ride rate is {both / 1e3:.2f} N/mm, so {both:.0f} N/m.",
        ),
        steps=(
            Step("Ride rate", "k × kt ÷ (k + kt)", both, "N/mm"),
            Step("Ride frequency", "√(ride rate / m) / (2π)", answer, "Hz"),
        ),
    )


def _hop(mass: float, spring: float, tyre: float) -> Task:
    answer = float(natural_frequency(spring + tyre, mass))
    return Task(
        statement=f"At one corner the wheel with its hub weighs **{mass:g} kg**. It hops "
        f"between the spring above (**{show(spring, 'N/mm')}**) and the tyre below "
        f"(**{show(tyre, 'N/mm')}**), while the body stays still. How often?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        tolerance=0.008,
        slips=(
            Slip(
                "in series",
                float(natural_frequency(ride_rate(spring, tyre), mass)),
                "You "
                "put the two springs one on top of the other. When the wheel moves and the "
                "body stays, both push it back at once: add the rates.",
            ),
            Slip(
                "spring only",
                float(natural_frequency(spring, mass)),
                "You left out the tyre, which is by far the stiffer of the two here.",
            ),
            Slip("rad/s", answer * 2 * math.pi, "That is in radians a second. Divide by 2π."),
            Slip("N/mm", answer / math.sqrt(1e3), _METRES),
        ),
        hints=(
            "Move the wheel up by one millimetre in your mind: what pushes it back?",
            "Spring and tyre both do: the rates add. Then f = √((k + kt) / m) / (2π).",
            f"k + kt is {(spring + tyre) / 1e3:g} N/mm, so {spring + tyre:g} N/m.",
        ),
        steps=(
            Step("Both springs push the wheel back", "k + kt", spring + tyre, "N/mm"),
            Step("Hop frequency", "√((k + kt) / m) / (2π)", answer, "Hz"),
        ),
    )


def _extra_sag(axle_mass: float, rate: float) -> Task:
    answer = float(sag(axle_mass / 2, rate))
    return Task(
        statement=f"A customer loads **{axle_mass:g} kg** on the rear axle of a wagon. The wheel "
        f"rate at the rear is **{show(rate, 'N/mm')}** at each wheel. How much lower does the "
        "rear stand?",
        answer=answer,
        quantity="length",
        unit="mm",
        slips=(
            Slip(
                "whole axle",
                2 * answer,
                "You put the whole axle's mass on one spring. Two wheels share it: take half.",
            ),
            Slip(
                "mass for weight",
                answer / G,
                "You divided kilograms by the rate. Multiply the "
                "mass by 9.81 m/s² to get the force first.",
            ),
            Slip(
                "both",
                2 * answer / G,
                "Two things: take half of the mass, for two wheels share it, and multiply it by "
                "9.81 m/s² to get a force.",
            ),
        ),
        hints=(
            "How much of the mass does one wheel carry?",
            "Sag = mass on one wheel × 9.81 ÷ wheel rate.",
            f"One wheel carries {axle_mass / 2:g} kg more, so {axle_mass / 2 * G:.0f} N.",
        ),
        steps=(
            Step("Mass on one wheel", f"{axle_mass:g} kg ÷ 2", axle_mass / 2, "kg"),
            Step("Its weight", "mass × 9.81 m/s²", axle_mass / 2 * G, "N"),
            Step("Extra sag", "weight ÷ wheel rate", answer, "mm"),
        ),
    )


def _heavier() -> Task:
    return Task(
        statement="The same wagon, loaded. Before you run anything: what happens to its ride "
        "frequency at the rear, and why?",
        answer="a",
        choices={
            "a": "It falls: the same spring has more mass to move.",
            "b": "It rises: the spring is squeezed harder, so it is stiffer.",
            "c": "It stays: the spring has not been changed.",
        },
        slips=(
            Slip(
                "stiffer",
                "b",
                "A linear spring keeps its rate however far it is squeezed. "
                "Only a spring made to stiffen, or the bump stop, would become stiffer.",
            ),
            Slip(
                "unchanged",
                "c",
                "The spring is the same, but frequency depends on spring "
                "**and** mass: more mass on it swings more slowly.",
            ),
        ),
        hints=(
            "Frequency depends on two things. Which of the two changed?",
            "f = √(k / m) / (2π): m stands below the line.",
            "More mass below the line makes the whole …",
        ),
        steps=(
            Step("The rate stays, the mass grows"),
            Step("f = √(k / m) / (2π) falls: answer a"),
        ),
    )


_OPENSTAX = (
    "OpenStax, College Physics, example 16.{} (CC BY): inputs and method read in a public copy, "
    "printed digits recomputed."
)
_BARTON = (
    "Barton and Fieldhouse, Automotive Chassis Engineering, section 3.13, p. 209: 1.25 Hz and "
    "10.9 Hz, read in a public copy."
)
_COURSE = "This course's own question on the invented demo wagon; the formula is that of lesson 01."

EXERCISES = (
    Exercise(
        "1.1",
        "Spring rate from sag",
        _rate_from_sag,
        {"mass": 80, "deflection_mm": 12},
        lambda rng: {
            "mass": int(rng.integers(50, 130)),
            "deflection_mm": int(rng.integers(5, 30)),
        },
        _OPENSTAX.format(1),
    ),
    Exercise(
        "1.2",
        "Natural frequency",
        _frequency,
        {"mass": 900, "rate": 6.53e4},
        lambda rng: {
            "mass": int(rng.integers(30, 300)) * 10,
            "rate": float(rng.integers(30, 200)) * 1e3,
        },
        _OPENSTAX.format(4),
    ),
    Exercise(
        "1.3",
        "Wheel rate",
        _wheel_rate,
        {"spring": 111e3, "ratio": 0.6},
        lambda rng: {
            "spring": float(rng.integers(40, 200)) * 1e3,
            "ratio": float(rng.integers(9, 16)) / 20,
        },
        _COURSE,
    ),
    Exercise(
        "1.4",
        "Frequency from deflection alone",
        _from_deflection,
        {"deflection_mm": 25},
        lambda rng: {"deflection_mm": int(rng.integers(10, 300))},
        "The static deflection rule, 25 mm gives 3.15 Hz: read on a public page of a maker of "
        "vibration mounts.",
    ),
    Exercise(
        "1.5",
        "Ride frequency with the tyre",
        _ride,
        {"mass": 317.5, "spring": 22e3, "tyre": 192e3},
        lambda rng: {
            "mass": int(rng.integers(250, 700)),
            "spring": float(rng.integers(25, 60)) * 1e3,
            "tyre": float(rng.integers(180, 320)) * 1e3,
        },
        _BARTON,
    ),
    Exercise(
        "1.6",
        "Wheel hop",
        _hop,
        {"mass": 45.4, "spring": 22e3, "tyre": 192e3},
        lambda rng: {
            "mass": int(rng.integers(40, 130)),
            "spring": float(rng.integers(25, 60)) * 1e3,
            "tyre": float(rng.integers(180, 320)) * 1e3,
        },
        _BARTON,
    ),
    Exercise(
        "1.7",
        "Extra sag",
        _extra_sag,
        {"axle_mass": 350, "rate": 36e3},
        lambda rng: {
            "axle_mass": int(rng.integers(5, 60)) * 10,
            "rate": float(rng.integers(20, 70)) * 1e3,
        },
        _COURSE,
    ),
    Exercise("1.8", "Heavier: which way", _heavier, {}, lambda rng: {}, _COURSE),
)
