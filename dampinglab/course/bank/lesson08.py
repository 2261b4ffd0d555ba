"""Exercises of lesson 08: load, springs, stops, tyres, corrugation, heat."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task, choice
from dampinglab.physics.oscillator import frequency_from_deflection

__all__ = ["EXERCISES"]


def _sagged(first_mm: float, more_mm: float) -> Task:
    answer = float(frequency_from_deflection((first_mm + more_mm) / 1e3))
    return Task(
        statement=f"The body presses a corner's spring down by **{first_mm:g} mm**, measured at "
        f"the wheel. A load presses it down by **{more_mm:g} mm** more. How often does the loaded "
        "body swing in a second?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip(
                "load only",
                float(frequency_from_deflection(more_mm / 1e3)),
                "That is the load's own part. Body and load together press the spring down.",
            ),
            Slip(
                "unloaded",
                float(frequency_from_deflection(first_mm / 1e3)),
                "That is the empty vehicle.",
            ),
            Slip("no root", 15.76 / (first_mm + more_mm), "Divide by the **root** of the mm."),
            Slip(
                "in metres",
                answer * math.sqrt(1e3),
                "You put metres under the root. The 15.76 goes with millimetres.",
            ),
        ),
        hints=(
            "How far is the spring pressed down in all?",
            "f = 15.76 ÷ √(deflection in mm).",
            f"In all {first_mm + more_mm:g} mm.",
        ),
        steps=(
            Step(
                "Deflection in all",
                f"{first_mm:g} + {more_mm:g} mm",
                (first_mm + more_mm) / 1e3,
                "mm",
            ),
            Step("Frequency", "15.76 ÷ √(mm)", answer, "Hz"),
        ),
    )


def _loaded_ratio(ratio: float, empty: float, added: float) -> Task:
    answer = ratio * math.sqrt(empty / (empty + added))
    return Task(
        statement=f"Empty, a rear corner carries **{empty:g} kg** of body and is damped at "
        f"**{ratio:g}** of critical. A load adds **{added:g} kg** to that corner; spring and "
        "clicks stay. What is the damping ratio now?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "in proportion",
                ratio * empty / (empty + added),
                "Critical damping grows with the **root** of the mass, not with the mass.",
            ),
            Slip(
                "grown",
                ratio * math.sqrt((empty + added) / empty),
                "More body to stop with the same force: the share gets smaller.",
            ),
        ),
        hints=(
            "The damper is the same. What has changed is critical damping.",
            "New ratio = old ratio × √(old mass ÷ new mass).",
            f"New mass: {empty + added:g} kg.",
        ),
        steps=(
            Step("New mass", "empty + load", empty + added, "kg"),
            Step("New ratio", "old × √(old mass ÷ new mass)", answer),
        ),
    )


def _ball(load: float, overhang: float, wheelbase: float) -> Task:
    answer = load * (wheelbase + overhang) / wheelbase
    return Task(
        statement=f"A trailer presses **{load:g} kg** on the ball, which is **{overhang:g} m** "
        f"behind the rear axle. The wheelbase is **{wheelbase:g} m**. How much does the **rear "
        "axle** gain?",
        answer=answer,
        quantity="mass",
        unit="kg",
        slips=(
            Slip(
                "the ball's load",
                load,
                "More than that: behind the axle it also lifts the front, and the rear has to "
                "carry that too.",
            ),
            Slip(
                "what the front loses",
                load * overhang / wheelbase,
                "That is what the front axle **loses**. The rear gains that and the ball's load.",
            ),
            Slip(
                "overhang below",
                load * (wheelbase + overhang) / overhang,
                "The lever is turned round: the wheelbase goes below.",
            ),
        ),
        hints=(
            "Take the front axle as the pivot of a lever.",
            "Rear gains load × (wheelbase + overhang) ÷ wheelbase.",
            f"The lever to the ball is {wheelbase + overhang:g} m long.",
        ),
        steps=(
            Step("Lever from the front axle", "wheelbase + overhang", wheelbase + overhang, "m"),
            Step("Rear axle gains", "load × lever ÷ wheelbase", answer, "kg"),
        ),
    )


def _second_stage(first: float, second: float, gap_mm: float, travel_mm: float) -> Task:
    answer = first * travel_mm / 1e3 + second * (travel_mm - gap_mm) / 1e3
    return Task(
        statement=f"A leaf pack has **{first / 1e3:g} N/mm**. After **{gap_mm:g} mm** a second "
        f"stage of **{second / 1e3:g} N/mm** comes to help. How much more force carries the wheel "
        f"after **{travel_mm:g} mm**?",
        answer=answer,
        quantity="force",
        unit="N",
        slips=(
            Slip(
                "first only",
                first * travel_mm / 1e3,
                "The second stage helps from the gap on. Add its part.",
            ),
            Slip(
                "both from the start",
                (first + second) * travel_mm / 1e3,
                "The second stage helps only after the gap.",
            ),
            Slip(
                "second instead",
                first * gap_mm / 1e3 + second * (travel_mm - gap_mm) / 1e3,
                "The first stage goes on working beside the second; their rates add.",
            ),
        ),
        hints=(
            "Two parts: the first stage all the way, the second from the gap on.",
            "Force = k1 × travel + k2 × (travel − gap).",
            f"The second stage moves {travel_mm - gap_mm:g} mm.",
        ),
        steps=(
            Step("First stage", "k1 × travel", first * travel_mm / 1e3, "N"),
            Step("Second stage", "k2 × (travel − gap)", second * (travel_mm - gap_mm) / 1e3, "N"),
            Step("Together", "sum", answer, "N"),
        ),
    )


def _ramp(height_mm: float, slope: float, speed_kmh: float, ratio: float) -> Task:
    up = speed_kmh / 3.6 / slope
    answer = up * ratio
    return Task(
        statement=f"A flat-topped hump is {height_mm:g} mm high with a ramp of **1 in {slope:g}**. "
        f"At **{speed_kmh:g} km/h** the wheel follows the ramp and the body stays where it is. The "
        f"motion ratio is **{ratio:g}**. How fast is the shaft?",
        answer=answer,
        quantity="speed",
        unit="m/s",
        slips=(
            Slip(
                "wheel",
                up,
                "That is the wheel's speed up the ramp. The shaft is slower: × motion ratio.",
            ),
            Slip("km/h", 3.6 * answer, "Divide km/h by 3.6 first."),
            Slip(
                "no slope",
                answer * slope,
                f"That is along the road. Up the ramp it is one part in {slope:g} of that.",
            ),
            Slip(
                "divided",
                up / ratio,
                "You divided by the motion ratio; the shaft is the slower one.",
            ),
        ),
        hints=(
            "On a ramp of 1 in 15 the wheel rises one metre for fifteen along the road.",
            "Wheel speed = road speed ÷ slope; shaft = wheel × motion ratio.",
            f"Road speed is {speed_kmh / 3.6:.3f} m/s.",
        ),
        steps=(
            Step("Wheel, upwards", f"road speed ÷ {slope:g}", up, "m/s"),
            Step("Shaft", f"× {ratio:g}", answer, "m/s"),
        ),
    )


def _hole(radius: float, width_mm: float) -> Task:
    half = width_mm / 2e3
    answer = radius - math.sqrt(radius**2 - half**2)
    return Task(
        statement=f"A hole is **{width_mm:g} mm** long and deeper than you can see. A tyre of "
        f"**{radius:g} m** radius, taken as a hard disc, rolls over it slowly. How far does the "
        "wheel drop?",
        answer=answer,
        quantity="length",
        unit="mm",
        slips=(
            Slip(
                "whole width",
                radius - math.sqrt(radius**2 - (2 * half) ** 2),
                "Half of the width counts: the tyre touches both edges.",
            ),
            Slip("half the width", half, "That is half the width of the hole, not the drop."),
            Slip(
                "down to the edges",
                radius - answer,
                "That is from the hub down to the line of the edges. Take it from the radius.",
            ),
        ),
        hints=(
            "The tyre rests on both edges. Draw the right triangle from the hub.",
            "Drop = r − √(r² − (width / 2)²).",
            f"Half the width is {half:g} m.",
        ),
        steps=(
            Step("From hub down to the line of the edges", "√(r² − (w/2)²)", radius - answer, "m"),
            Step("Drop", "r − that", answer, "mm"),
        ),
    )


def _skim(wavelength: float, hop: float) -> Task:
    answer = wavelength * hop
    return Task(
        statement=f"Corrugations lie **{wavelength:g} m** apart; the wheel hops at **{hop:g} Hz**. "
        "At which road speed do they meet it exactly at its hop?",
        answer=answer,
        quantity="speed",
        unit="km/h",
        slips=(
            Slip("m/s", answer / 3.6, "That is in m/s; times 3.6 makes km/h."),
            Slip("divided", hop / wavelength, "Waves a second × metres a wave: multiply."),
            Slip("÷ 3.6", answer / 3.6**2, "From m/s to km/h: times 3.6, not divided by it."),
        ),
        hints=(
            "It has to meet so many waves in a second.",
            "Speed = wavelength × frequency, in m/s.",
            f"{wavelength:g} × {hop:g} m/s, then × 3.6.",
        ),
        steps=(Step("Road speed", "wavelength × frequency", answer, "km/h"),),
    )


def _warm(energy: float, frequency: float, mass: float, minutes: float) -> Task:
    answer = energy * frequency * 60 * minutes / (mass * 900)
    return Task(
        statement=f"On a corrugated road a damper takes **{energy:g} J** at each of "
        f"**{frequency:g} strokes a second**. It holds **{mass:g} kg** of metal and oil, 900 J "
        f"for each kilogram and degree. If no air cooled it, how many degrees warmer would it be "
        f"after **{minutes:g} minutes**?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip("one second", answer / (60 * minutes), "That is one second."),
            Slip("seconds for minutes", answer / 60, "A minute has 60 seconds."),
            Slip("one stroke a second", answer / frequency, "There are more strokes in a second."),
        ),
        hints=(
            "Energy in all, over what a degree takes.",
            "Degrees = J a stroke × strokes a second × seconds ÷ (kg × 900).",
            f"Heat flow: {energy * frequency:g} W.",
        ),
        steps=(
            Step("Heat flow, W", "J a stroke × strokes a second", energy * frequency),
            Step("Degrees", "W × seconds ÷ (kg × 900)", answer),
        ),
    )


def _preload() -> Task:
    return choice(
        "You screw the spring seat down by 10 mm: more preload on the same spring. The vehicle "
        "stands on its wheels with the spring free to move. What changes?",
        {
            "a": (
                "The spring is stiffer now.",
                "Its rate is made of wire, coils and diameter. None of them has changed.",
            ),
            "b": (
                "The ride height: it stands higher, on the same rate and with the same force.",
                "",
            ),
            "c": (
                "The spring carries more of the weight.",
                "It carries what the body weighs on that corner, as before.",
            ),
        },
        (
            "How much does the corner weigh now?",
            "Same weight, same rate: same compression of the spring.",
            "So the spring's foot is lower and its head …",
        ),
        ("Weight and rate are as before, so the body is lifted instead: answer b",),
    )


def _packed() -> Task:
    return choice(
        "Over a long series of bumps the rear sinks lower and lower, until it hits its stop. "
        "Someone has already closed rebound by six clicks, and it has become worse. Why?",
        {
            "a": (
                "He should have closed it further.",
                "More rebound holds the wheel up longer: it sinks still more.",
            ),
            "b": ("The wheel has not come down again before the next bump pushes it up.", ""),
            "c": (
                "The oil is hot.",
                "It may be, and that is worth a look; but it was turned the wrong way first.",
            ),
        },
        (
            "What must the wheel do between two bumps?",
            "Rebound slows the way down.",
            "Look at the sinking panel: which way does its line go?",
        ),
        ("Rebound slows the wheel's way back, and the next bump starts from higher: answer b",),
    )


def _spring_job() -> Task:
    return choice(
        "Loaded, the rear has 15 mm left to its bump stop, of 105. It hits the stop in every dip. "
        "High-speed bump is closed as far as it goes. What do you tell the customer?",
        {
            "a": (
                "Close low-speed bump as well.",
                "It may slow the last centimetre a little and makes every small bump sharp. The "
                "travel is missing.",
            ),
            "b": (
                "Longer bump stops.",
                "They would be touched all the time: there are 15 mm left.",
            ),
            "c": ("No click cures this: it needs springs for this load, or less load.", ""),
        },
        (
            "How much travel has the wheel to work with?",
            "A damper makes no travel.",
            "Which part sets the ride height under load?",
        ),
        ("The load has used the travel, and only spring or load gives it back: answer c",),
    )


_COURSE = "This course's own question, on invented numbers; the formula is that of the lesson."
_PRACTICE = "Common practice, no source; computed in the panel."

EXERCISES = (
    Exercise(
        "8.1",
        "Frequency from the sag",
        _sagged,
        {"first_mm": 114, "more_mm": 48},
        lambda rng: {
            "first_mm": int(rng.integers(60, 180)),
            "more_mm": int(rng.integers(15, 90)),
        },
        "The static deflection rule, 25 mm gives 3.15 Hz: read on a public page of a maker of "
        "vibration mounts.",
    ),
    Exercise(
        "8.2",
        "Damped less when loaded",
        _loaded_ratio,
        {"ratio": 0.28, "empty": 420, "added": 175},
        lambda rng: {
            "ratio": float(rng.integers(15, 60)) / 100,
            "empty": int(rng.integers(25, 60)) * 10,
            "added": int(rng.integers(8, 40)) * 10,
        },
        _COURSE,
    ),
    Exercise(
        "8.3",
        "A load on the ball",
        _ball,
        {"load": 140, "overhang": 1.15, "wheelbase": 2.85},
        lambda rng: {
            "load": int(rng.integers(5, 30)) * 10,
            "overhang": float(rng.integers(80, 160)) / 100,
            "wheelbase": float(rng.integers(230, 400)) / 100,
        },
        _COURSE,
    ),
    Exercise(
        "8.4",
        "A second stage",
        _second_stage,
        {"first": 60e3, "second": 45e3, "gap_mm": 40, "travel_mm": 70},
        lambda rng: {
            "first": int(rng.integers(25, 90)) * 1e3,
            "second": int(rng.integers(20, 90)) * 1e3,
            "gap_mm": int(rng.integers(15, 60)),
            "travel_mm": int(rng.integers(65, 120)),
        },
        _COURSE,
    ),
    Exercise(
        "8.5",
        "Up a ramp",
        _ramp,
        {"height_mm": 75, "slope": 15, "speed_kmh": 30, "ratio": 0.6},
        lambda rng: {
            "height_mm": int(rng.integers(5, 11)) * 10,
            "slope": int(rng.integers(8, 25)),
            "speed_kmh": int(rng.integers(2, 7)) * 10,
            "ratio": float(rng.integers(9, 17)) / 20,
        },
        "Hump of 75 mm with ramps of 1:10 to 1:15: TRL report 186, read in its public summary.",
    ),
    Exercise(
        "8.6",
        "Into a hole",
        _hole,
        {"radius": 0.4, "width_mm": 200},
        lambda rng: {
            "radius": float(rng.integers(30, 50)) / 100,
            "width_mm": int(rng.integers(10, 30)) * 10,
        },
        "A hole is mended from 200 mm of width on: road inspection of one county, suffolk.gov.uk; "
        "the drop is geometry.",
    ),
    Exercise(
        "8.7",
        "Corrugations at the wheel's hop",
        _skim,
        {"wavelength": 0.7, "hop": 8.6},
        lambda rng: {
            "wavelength": float(rng.integers(4, 13)) / 10,
            "hop": float(rng.integers(80, 150)) / 10,
        },
        "Wheel hop of 8.6 Hz, measured on corrugations: Ola, 1978, in the summary of a public "
        "index of civil engineering papers.",
    ),
    Exercise(
        "8.8",
        "Warmer by how much",
        _warm,
        {"energy": 12, "frequency": 14, "mass": 4, "minutes": 10},
        lambda rng: {
            "energy": int(rng.integers(4, 60)),
            "frequency": int(rng.integers(5, 18)),
            "mass": float(rng.integers(20, 60)) / 10,
            "minutes": int(rng.integers(4, 30)),
        },
        _COURSE,
    ),
    Exercise("8.9", "Preload", _preload, {}, lambda rng: {}, _PRACTICE),
    Exercise("8.10", "Packed down", _packed, {}, lambda rng: {}, _PRACTICE),
    Exercise("8.11", "When it is the spring", _spring_job, {}, lambda rng: {}, _PRACTICE),
)
