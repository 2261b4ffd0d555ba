"""Exercises of lesson 03: force against speed, secant, equivalent coefficient, energy and heat."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.physics.equivalent import power_law_coefficient
from dampinglab.physics.fluid import viscosity

__all__ = ["EXERCISES"]


def _secant(force: float, speed_mm: float) -> Task:
    answer = force / (speed_mm / 1e3)
    return Task(
        statement=f"A dyno table says **{force:g} N at {speed_mm:g} mm/s** of shaft speed. What "
        "plain damper, force ÷ speed, would make the same force there?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        tolerance=0.005,
        slips=(
            Slip(
                "mm/s",
                force / speed_mm,
                "You divided by millimetres a second. Use metres a "
                "second: divide the speed by 1000 first.",
            ),
            Slip(
                "multiplied",
                force * speed_mm / 1e3,
                "You multiplied force and speed: that is "
                "the heat in watts. The coefficient is force **divided** by speed.",
            ),
        ),
        hints=(
            "The secant is the slope of the straight line from rest to that point.",
            "Coefficient = force in N ÷ speed in m/s.",
            f"{speed_mm:g} mm/s is {speed_mm / 1e3:g} m/s.",
        ),
        steps=(
            Step("Speed in metres a second", f"{speed_mm:g} ÷ 1000", speed_mm / 1e3, "m/s"),
            Step("Coefficient", "force ÷ speed", answer, "N·s/m"),
        ),
    )


def _shape() -> Task:
    return Task(
        statement="From one curve: 800 N at 0.1 m/s, 1300 N at 0.3 m/s, 1700 N at 0.6 m/s. What "
        "kind of curve is it?",
        answer="a",
        choices={
            "a": "Digressive: each further bit of speed adds less force.",
            "b": "Linear: force grows evenly with speed.",
            "c": "Progressive: each further bit of speed adds more force.",
        },
        slips=(
            Slip(
                "linear",
                "b",
                "Linear would be 2400 N at three times the speed. It makes only "
                "1300 N, so it grows less than evenly.",
            ),
            Slip(
                "progressive",
                "c",
                "The force grows, but each step adds less than the one "
                "before: 500 N for the next 0.2 m/s, then 400 N for the next 0.3 m/s.",
            ),
        ),
        hints=(
            "Compare the force with what a straight line through the first point would give.",
            "Three times the speed: would a straight line make 2400 N?",
            "It makes less. A curve that bends over is called …",
        ),
        steps=(
            Step("A straight line would make 2400 N at 0.3 m/s, and the curve makes 1300 N"),
            Step("It bends over, as valves that open do: digressive, answer a"),
        ),
    )


def _share(bump: float, rebound: float) -> Task:
    answer = rebound / bump
    return Task(
        statement=f"At 0.3 m/s a damper makes **{bump:g} N in bump** and **{rebound:g} N in "
        "rebound**. How many times bump is its rebound?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "upside down",
                bump / rebound,
                "You divided bump by rebound. The question asks "
                "how many times bump the rebound is.",
            ),
            Slip(
                "share",
                rebound / (bump + rebound),
                "That is rebound as a share of the two together. Divide by bump alone.",
            ),
        ),
        hints=(
            "Rebound is the larger one here, so the answer is above 1.",
            "Divide rebound by bump at the same speed.",
            f"{rebound:g} ÷ {bump:g}.",
        ),
        steps=(Step("Rebound over bump at one speed", f"{rebound:g} ÷ {bump:g}", answer),),
    )


def _orifice(force: float, speed: float, amplitude_mm: float, frequency: float) -> Task:
    constant = force / speed**2
    amplitude = amplitude_mm / 1e3
    peak = 2 * math.pi * frequency * amplitude
    answer = float(power_law_coefficient(constant, 2, amplitude, frequency))
    return Task(
        statement="A bleed is a plain hole: twice the speed, four times the force, F = C v². It "
        f"makes **{force:g} N at {speed:g} m/s**. The shaft swings **±{amplitude_mm:g} mm at "
        f"{frequency:g} Hz**. Which viscous damper would take the same energy in a cycle?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        slips=(
            Slip(
                "peak secant",
                constant * peak,
                "That is the secant at the greatest speed. Most "
                "of a swing is slower, so the equivalent is less: × 8/(3π).",
            ),
            Slip(
                "Hz for rad/s",
                answer / (2 * math.pi),
                "You used Hz where radians a second "
                "belong: greatest speed = 2π × frequency × amplitude.",
            ),
            Slip(
                "whole stroke",
                2 * answer,
                "You took the whole stroke as the amplitude. The "
                "amplitude is half of it: ± from the middle.",
            ),
            Slip(
                "one point",
                force / speed,
                "You divided the force by its speed. That holds at this one speed; a swing has "
                "others, so take C and the swing's greatest speed.",
            ),
        ),
        hints=(
            "Same energy in a cycle, not the same greatest force.",
            "c = 8/(3π) × C × greatest speed; greatest speed = 2π × frequency × amplitude.",
            f"C = {force:g} ÷ {speed:g}² = {constant:g}; greatest speed {peak:.4f} m/s.",
        ),
        steps=(
            Step("C, in N s²/m²", f"{force:g} ÷ {speed:g}²", constant),
            Step("Greatest speed", "2π f X", peak, "m/s"),
            Step("Equivalent coefficient", "8/(3π) × C × greatest speed", answer, "N·s/m"),
        ),
    )


def _friction(friction: float, amplitude_mm: float, frequency: float) -> Task:
    amplitude = amplitude_mm / 1e3
    omega = 2 * math.pi * frequency
    answer = float(power_law_coefficient(friction, 0, amplitude, frequency))
    energy = 4 * friction * amplitude
    return Task(
        statement=f"A seal rubs with **{friction:g} N**, whatever the speed. The shaft swings "
        f"**±{amplitude_mm:g} mm at {frequency:g} Hz**. Which viscous damper would take the same "
        "energy in a cycle?",
        answer=answer,
        quantity="damping",
        unit="N·s/m",
        slips=(
            Slip(
                "peak secant",
                friction / (omega * amplitude),
                "You divided the friction by the "
                "greatest speed. Over a whole cycle friction takes more: × 4/π.",
            ),
            Slip(
                "Hz for rad/s",
                answer * 2 * math.pi,
                "You used Hz where radians a second belong: ω = 2π × frequency.",
            ),
            Slip(
                "one stroke",
                answer / 2,
                "You counted one way only. A cycle goes in and out: four times the amplitude.",
            ),
        ),
        hints=(
            "Friction takes force × distance. How far does the shaft travel in a whole cycle?",
            "Energy = 4 F X; a viscous damper takes π c ω X². Put them equal.",
            f"Energy in a cycle: 4 × {friction:g} × {amplitude:g} = {energy:.3g} J.",
        ),
        steps=(
            Step("Energy in a cycle", "4 F X", energy, "J"),
            Step("Equivalent coefficient", "4 F ÷ (π ω X)", answer, "N·s/m"),
        ),
    )


def _energy(coefficient: float, amplitude_mm: float, frequency: float) -> Task:
    amplitude = amplitude_mm / 1e3
    omega = 2 * math.pi * frequency
    answer = math.pi * coefficient * omega * amplitude**2
    return Task(
        statement=f"A viscous damper of **{coefficient:g} N·s/m** swings **±{amplitude_mm:g} mm "
        f"at {frequency:g} Hz**. How much energy turns into heat in each cycle?",
        answer=answer,
        quantity="energy",
        unit="J",
        slips=(
            Slip(
                "Hz for rad/s",
                answer / (2 * math.pi),
                "You used Hz where radians a second belong: ω = 2π × frequency.",
            ),
            Slip(
                "watts",
                answer * frequency,
                "That is the heat of a whole second, in watts. The question asks for one cycle.",
            ),
            Slip(
                "millimetres",
                answer * 1e3,
                "You squared only part of the millimetres away. "
                "Use metres for the amplitude, then square it.",
            ),
            Slip(
                "whole stroke",
                4 * answer,
                "You took the whole stroke as the amplitude. The amplitude is half of it: ± from "
                "the middle.",
            ),
        ),
        hints=(
            "The energy of a cycle is the area of the loop of force against travel.",
            "E = π c ω X², with ω = 2π f and X in metres.",
            f"ω = {omega:.3f} 1/s, X² = {amplitude**2:.6g} m².",
        ),
        steps=(
            Step("ω, in radians a second", "2π f", omega),
            Step("Energy in a cycle", "π c ω X²", answer, "J"),
        ),
    )


def _oil(first: float, second: float, at: float) -> Task:
    nu = float(viscosity(at, (40, first * 1e-6), (100, second * 1e-6)))
    answer = nu * 1e6
    straight = first + (second - first) * (at - 40) / 60
    return Task(
        statement=f"A damper oil has **{first:g} mm²/s at 40 °C** and **{second:g} mm²/s at "
        f"100 °C**. What is its viscosity at **{at:g} °C**? Use the function "
        f"`fluid.viscosity({at:g}, (40, {first:g}e-6), (100, {second:g}e-6))`, which answers in "
        "m²/s, or work it out by hand. Answer in mm²/s, without the unit.",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.015,
        slips=(
            Slip(
                "straight line",
                straight,
                "You drew a straight line between the two. Oil thins "
                "fast at first and slowly later, so the true value lies well below that line.",
            ),
            Slip(
                "m²/s",
                nu,
                "That is in m²/s, as the function gives it. Multiply by a million for mm²/s.",
            ),
        ),
        hints=(
            "Viscosity falls fast at first, then slowly. Will it be nearer the hot value?",
            "A straight line of log log (ν + 0.7) against log T, ASTM D341, T in kelvin.",
            f"In place of the dots: 1e6 * fluid.viscosity({at:g}, (40, {first:g}e-6), "
            f"(100, {second:g}e-6)). The 1e6 is a million.",
        ),
        steps=(
            Step("The straight line of ASTM D341 gives, in mm²/s", "", answer),
            Step("In a bleed that is nearly a pure orifice this changes the force hardly at all"),
        ),
    )


def _wheel(speed_mm: float, ratio: float) -> Task:
    answer = speed_mm / 1e3 * ratio
    return Task(
        statement=f"A wheel comes up at **{speed_mm:g} mm/s**. The damper moves {ratio:g} mm for "
        "each millimetre of wheel travel. At which speed on the dyno table do you look?",
        answer=answer,
        quantity="speed",
        unit="mm/s",
        slips=(
            Slip(
                "wheel for shaft",
                speed_mm / 1e3,
                "That is the wheel's speed. The table speaks of the shaft, which moves less here.",
            ),
            Slip(
                "squared",
                answer * ratio,
                "You squared the motion ratio. Rates and damping take "
                "it twice; a speed takes it once.",
            ),
            Slip(
                "divided",
                speed_mm / 1e3 / ratio,
                "You divided. The damper sits inboard, so its shaft is slower than the wheel.",
            ),
        ),
        hints=(
            "Is the shaft faster or slower than the wheel here?",
            "Shaft speed = wheel speed × motion ratio, once.",
            f"{speed_mm:g} × {ratio:g}.",
        ),
        steps=(Step("Shaft speed", f"{speed_mm:g} mm/s × {ratio:g}", answer, "mm/s"),),
    )


_COURSE = "This course's own question, on invented numbers; the formula is that of the lesson."
_IDENTITY = (
    "Equal energy a cycle, {}: Rao, Mechanical Vibrations, and Den Hartog (from memory); checked "
    "by quadrature in the tests."
)
_STUTTS = (
    "Coulomb and viscous damping, {}: Stutts, notes on equivalent viscous damping, read in a "
    "public copy, and quadrature."
)

EXERCISES = (
    Exercise(
        "3.1",
        "From a table to a coefficient",
        _secant,
        {"force": 780, "speed_mm": 130},
        lambda rng: {
            "force": int(rng.integers(20, 300)) * 10,
            "speed_mm": int(rng.choice([50, 80, 130, 200, 300, 500])),
        },
        _COURSE,
    ),
    Exercise(
        "3.2",
        "The shape of a curve",
        _shape,
        {},
        lambda rng: {},
        "Common practice, no source: the names of the shapes.",
    ),
    Exercise(
        "3.3",
        "Rebound against bump",
        _share,
        {"bump": 1500, "rebound": 2250},
        lambda rng: {
            "bump": (bump := int(rng.integers(40, 300)) * 10),
            "rebound": round(bump * float(rng.integers(12, 26)) / 10),
        },
        _COURSE,
    ),
    Exercise(
        "3.4",
        "A hole as a viscous damper",
        _orifice,
        {"force": 900, "speed": 0.3, "amplitude_mm": 25, "frequency": 1.5},
        lambda rng: {
            "force": int(rng.integers(10, 90)) * 10,
            "speed": float(rng.integers(1, 5)) / 10,
            "amplitude_mm": int(rng.integers(5, 50)),
            "frequency": float(rng.integers(10, 100)) / 10,
        },
        _IDENTITY.format("c = 8/(3π) C ω X"),
    ),
    Exercise(
        "3.5",
        "Friction as a viscous damper",
        _friction,
        {"friction": 45, "amplitude_mm": 10, "frequency": 1.3},
        lambda rng: {
            "friction": int(rng.integers(3, 30)) * 10,
            "amplitude_mm": int(rng.integers(3, 40)),
            "frequency": float(rng.integers(8, 25)) / 10,
        },
        _STUTTS.format("c = 4F/(π ω X)"),
    ),
    Exercise(
        "3.6",
        "Energy into heat",
        _energy,
        {"coefficient": 5000, "amplitude_mm": 25, "frequency": 1.5},
        lambda rng: {
            "coefficient": int(rng.integers(10, 90)) * 100,
            "amplitude_mm": int(rng.integers(5, 50)),
            "frequency": float(rng.integers(12, 100)) / 10,
        },
        _STUTTS.format("E = π c ω X²"),
    ),
    Exercise(
        "3.7",
        "Oil between two temperatures",
        _oil,
        {"first": 32, "second": 5.4, "at": 80},
        lambda rng: {
            "first": int(rng.integers(12, 60)),
            "second": float(rng.integers(30, 80)) / 10,
            "at": int(rng.integers(55, 90)),
        },
        "ASTM D341, 32 mm²/s at 40 °C and 5.4 at 100 °C give 8.5 at 80 °C: read in a public "
        "worked example.",
    ),
    Exercise(
        "3.8",
        "Wheel speed and shaft speed",
        _wheel,
        {"speed_mm": 250, "ratio": 0.6},
        lambda rng: {
            "speed_mm": int(rng.integers(5, 200)) * 10,
            "ratio": float(rng.integers(9, 17)) / 20,
        },
        _COURSE,
    ),
)
