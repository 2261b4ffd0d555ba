"""Exercises of lesson 07: bounce and pitch, lean and dive, and what no click can change."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task, choice
from dampinglab.physics.bounce_pitch import bounce_and_pitch
from dampinglab.physics.oscillator import overshoot
from dampinglab.units import G

__all__ = ["EXERCISES"]

TWO_PI = 2 * math.pi


def _told(mass: float, gyration: float, a: float, b: float, front: float, rear: float) -> str:
    return (
        f"A body of **{mass:g} kg** (radius of gyration in pitch {gyration:g} m) stands **{a:g} "
        f"m** behind its front axle and **{b:g} m** before its rear axle. The two front springs "
        f"together have **{front / 1e3:g} kN/m**, the rear ones **{rear / 1e3:g} kN/m**."
    )


def _call(mass: float, gyration: float, a: float, b: float, front: float, rear: float) -> str:
    inputs = ", ".join(f"{value:g}" for value in (mass, gyration, a, b, front, rear))
    return f"`bounce_pitch.bounce_and_pitch({inputs})`"


def _bounce_alone(**body) -> Task:
    d1 = bounce_and_pitch(*body.values()).d1
    answer = math.sqrt(d1) / TWO_PI
    one = math.sqrt(d1 / 2) / TWO_PI
    return Task(
        statement=f"{_told(**body)} If it could only go up and down, how often would it swing in a "
        "second?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip("radians", TWO_PI * answer, "That is in radians a second; divide by 2π for Hz."),
            Slip(
                "mean rate",
                one,
                "You took the mean of the two axles. Both carry the body, so their rates add.",
            ),
            Slip("kN", answer / math.sqrt(1e3), "You left the rates in kN/m: 1 kN/m is 1000 N/m."),
        ),
        hints=(
            "Both axles carry the same body.",
            "f = √((k front + k rear) / m) / (2π).",
            f"(k front + k rear) / m = {d1:.3f}.",
        ),
        steps=(
            Step("Both rates over the mass", "(kf + kr) / m", d1),
            Step("Frequency", "√(that) / (2π)", answer, "Hz"),
        ),
    )


def _slower(**body) -> Task:
    both = bounce_and_pitch(*body.values())
    answer, other = both.frequencies
    alone = math.sqrt(both.d1) / TWO_PI
    slips = [
        Slip(
            "the faster",
            other,
            "That is the faster of the two movements; the slower one was asked for.",
        ),
        Slip("radians", TWO_PI * answer, "That is in radians a second; divide by 2π for Hz."),
    ]
    if abs(alone / answer - 1) > 0.04:
        words = "That is a body that can only bounce. Here it pitches as well, and the two mix."
        slips.append(Slip("bounce alone", alone, words))
    return Task(
        statement=f"{_told(**body)} It can bounce **and** pitch. How often does the **slower** of "
        f"its two movements swing in a second? The function {_call(**body)} gives `frequencies`.",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=tuple(slips),
        hints=(
            "The function gives two frequencies in Hz, the slower first.",
            f"In a cell of your own: {_call(**body)}.frequencies",
            "Read the first number, and round to three figures.",
        ),
        steps=(
            Step("The faster movement", "second of `frequencies`", other, "Hz"),
            Step("The slower movement", "first of `frequencies`", answer, "Hz"),
        ),
    )


def _centre(**body) -> Task:
    both = bounce_and_pitch(*body.values())
    answer = abs(both.centres[1])
    return Task(
        statement=f"{_told(**body)} In its **faster** movement one point of the body stands still. "
        f"How far is it from the centre of gravity? The function {_call(**body)} gives `centres`, "
        "in metres ahead of it; answer without the sign.",
        answer=answer,
        quantity="length",
        unit="m",
        slips=(
            Slip(
                "the slower",
                abs(both.centres[0]),
                "That is the point of the slower movement, behind the rear axle.",
            ),
            Slip(
                "the slower, signed",
                both.centres[0],
                "That is the point of the slower movement. The faster one was asked for.",
            ),
            Slip(
                "from the axle",
                abs(body["a"] - answer),
                "That is from the front axle. From the centre of gravity was asked.",
            ),
        ),
        hints=(
            "`centres` holds two places, in the order of `frequencies`.",
            f"In a cell of your own: {_call(**body)}.centres",
            "Read the second number, without its sign.",
        ),
        steps=(Step("Where it stands still", "second of `centres`", answer, "m"),),
    )


def _delay(wheelbase: float, speed_kmh: float) -> Task:
    answer = wheelbase / speed_kmh * 3.6
    return Task(
        statement=f"The wheelbase is **{wheelbase:g} m**. At **{speed_kmh:g} km/h**, how long "
        "after the front wheels do the rear wheels meet the same bump?",
        answer=answer,
        quantity="time",
        unit="s",
        slips=(
            Slip("km/h", wheelbase / speed_kmh, "Divide the speed by 3.6 first: km/h to m/s."),
            Slip("upside down", 1 / answer, "You divided the speed by the wheelbase."),
        ),
        hints=(
            "How many metres does it drive in a second?",
            "Time = wheelbase ÷ speed, in m and m/s.",
            f"{speed_kmh:g} km/h is {speed_kmh / 3.6:.3f} m/s.",
        ),
        steps=(
            Step("Metres in a second", f"{speed_kmh:g} ÷ 3.6", speed_kmh / 3.6, "m/s"),
            Step("Time between the axles", "wheelbase ÷ speed", answer, "s"),
        ),
    )


def _lean(mass: float, arm: float, stiffness: float, sideways: float) -> Task:
    push = mass * sideways * G * arm
    answer = math.degrees(push / (stiffness - mass * G * arm))
    return Task(
        statement=f"A body of m = **{mass:g} kg** has its centre of gravity h = **{arm:g} m** "
        f"above the axis that it rolls about. Springs and bars resist with kφ = "
        f"**{stiffness / 1e3:g} kN·m** for each radian. In a long bend it is pushed sideways with "
        f"a = **{sideways:g} g** and leans by m a h / (kφ − m g h) radians. How many degrees, "
        "once it has settled?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip("radians", math.radians(answer), "That is in radians; 1 radian is 57.3 degrees."),
            Slip(
                "no weight",
                math.degrees(push / stiffness),
                "You left out m g h: as it leans, its own weight pushes it further.",
            ),
            Slip("g", answer / G, "The sideways acceleration goes in as m/s²: 1 g is 9.81."),
        ),
        hints=(
            "All in SI: kg, m/s², m, N·m for each radian.",
            "Angle in radians = m a h / (kφ − m g h), then × 57.3.",
            f"m a h = {push:.0f} N·m and m g h = {mass * G * arm:.0f} N·m.",
        ),
        steps=(
            Step("What leans it", "m a h", push),
            Step("What holds it", "kφ − m g h", stiffness - mass * G * arm),
            Step("Lean, degrees", "their ratio × 57.3", answer),
        ),
    )


def _overshoot(zeta: float) -> Task:
    answer = float(overshoot(zeta))
    return Task(
        statement=f"Thrown into a bend at once, a body with a damping ratio ζ of **{zeta:g}** in "
        "roll leans **past** its steady lean before it settles, by exp(−π ζ / √(1 − ζ²)) of it. "
        "What share is that?",
        answer=answer,
        quantity="ratio",
        unit="%",
        slips=(
            Slip(
                "whole swing",
                answer**2,
                "That is a whole swing. It passes the steady lean after half of one, so π, not 2π.",
            ),
            Slip("the rest", 1 - answer, "That is what is missing to the steady lean."),
        ),
        hints=(
            "Half a swing after the start it has leaned furthest.",
            "exp(−π ζ / √(1 − ζ²)): in Python math.exp or np.exp.",
            f"π ζ / √(1 − ζ²) = {math.pi * zeta / math.sqrt(1 - zeta**2):.4f}.",
        ),
        steps=(Step("Overshoot", "exp(−π ζ / √(1 − ζ²))", answer, "%"),),
    )


def _steady() -> Task:
    return choice(
        "The customer says: it leans too far in the long bend of a motorway junction. Nothing is "
        "worn. Which of your adjusters makes it lean less there?",
        {
            "a": (
                "Low-speed bump: it holds the outer side up.",
                "It slows the leaning down. In a long bend nothing moves any more, and a damper "
                "that does not move makes no force.",
            ),
            "b": (
                "Rebound: it holds the inner side down.",
                "Only while it moves. In a long bend the inner side stands still too.",
            ),
            "c": ("None of them: that is springs, bars, or less load on the roof.", ""),
        },
        (
            "Does a shaft move in the middle of a long, even bend?",
            "Force of a damper = something × shaft speed.",
            "Look at the line named steady lean in the panel while you turn clicks.",
        ),
        ("At rest no damper pushes, so no click alters the steady lean: answer c",),
    )


def _turn_in() -> Task:
    return choice(
        "It falls over quickly when you turn in, sways once, and then holds the bend well. "
        "Springs, bars and tyres are right. What do you try first?",
        {
            "a": ("More low-speed bump, the same clicks on both front dampers.", ""),
            "b": (
                "More high-speed bump in front.",
                "Turning in moves the shaft at about a tenth of a metre a second, below the knee. "
                "The high-speed valve is still shut.",
            ),
            "c": (
                "More low-speed bump on the outer side only.",
                "The next bend goes the other way. One change is the same on both dampers of an "
                "axle.",
            ),
        },
        (
            "How fast does a shaft move when you turn in?",
            "Slow movements: which adjuster's valve carries them?",
            "And on how many dampers of an axle is a change made?",
        ),
        ("Slow shaft, so low-speed bump, on both dampers of the axle: answer a",),
    )


def _share() -> Task:
    return choice(
        "While a body rolls, the outer damper is pressed in and the inner one is drawn out. Which "
        "adjusters can slow the roll?",
        {
            "a": (
                "Only low-speed bump.",
                "The inner damper works as well, and it works in rebound.",
            ),
            "b": (
                "Only rebound.",
                "The outer damper works as well, and it works in bump.",
            ),
            "c": ("Low-speed bump on the outer side and rebound on the inner side share it.", ""),
        },
        (
            "Which way does each shaft move?",
            "Outer: in. Inner: out.",
            "Each direction has its own valves.",
        ),
        ("Bump outside and rebound inside, at the same speed: answer c",),
    )


def _load_shift(mass: float, height: float, wheelbase: float, braking: float) -> Task:
    answer = mass * braking * G * height / wheelbase
    return Task(
        statement=f"A vehicle of **{mass:g} kg** (all of it) brakes with **{braking:g} g**. Its "
        f"centre of gravity is **{height:g} m** above the road, the wheelbase **{wheelbase:g} m**. "
        "How much load moves from the rear axle to the front axle?",
        answer=answer,
        quantity="force",
        unit="N",
        slips=(
            Slip("one wheel", answer / 2, "That is one wheel's share. The whole axle was asked."),
            Slip("g", answer / G, "Put the braking in as m/s²: 1 g is 9.81 m/s²."),
            Slip(
                "lever upside down",
                mass * braking * G * wheelbase / height,
                "The lever is turned round: height over wheelbase.",
            ),
        ),
        hints=(
            "The brakes pull at the road, the mass pushes higher up: a lever.",
            "Load = m a h / L.",
            f"m a = {mass * braking * G:.0f} N.",
        ),
        steps=(
            Step("Braking force", "m a", mass * braking * G, "N"),
            Step("Load that moves", f"force × {height:g} ÷ {wheelbase:g}", answer, "N"),
        ),
    )


_COURSE = "This course's own question, on invented numbers; the formula is that of the lesson."
_PRACTICE = "Common practice, no source; computed in the panel."
_WONG = (
    "Wong, Theory of Ground Vehicles, example on bounce and pitch: {}, from memory; the "
    "computation reproduces it."
)
_BODY = {"mass": 2120, "gyration": 1.33, "a": 1.267, "b": 1.548, "front": 35e3, "rear": 38e3}


def _body(rng) -> dict:
    return {
        "mass": int(rng.integers(110, 260)) * 10,
        "gyration": float(rng.integers(110, 150)) / 100,
        "a": float(rng.integers(110, 160)) / 100,
        "b": float(rng.integers(110, 160)) / 100,
        "front": int(rng.integers(30, 90)) * 1e3,
        "rear": int(rng.integers(30, 90)) * 1e3,
    }


EXERCISES = (
    Exercise(
        "7.1",
        "Up and down only",
        _bounce_alone,
        _BODY,
        _body,
        _WONG.format("D1 = 34.43 1/s²"),
    ),
    Exercise("7.2", "Bounce and pitch", _slower, _BODY, _body, _WONG.format("0.89 and 1.04 Hz")),
    Exercise("7.3", "The point that stands still", _centre, _BODY, _body, _WONG.format("0.84 m")),
    Exercise(
        "7.4",
        "Rear after front",
        _delay,
        {"wheelbase": 2.85, "speed_kmh": 90},
        lambda rng: {
            "wheelbase": float(rng.integers(230, 400)) / 100,
            "speed_kmh": int(rng.integers(2, 13)) * 10,
        },
        _COURSE,
    ),
    Exercise(
        "7.5",
        "Lean in a long bend",
        _lean,
        {"mass": 1960, "arm": 0.55, "stiffness": 95e3, "sideways": 0.4},
        lambda rng: {
            "mass": int(rng.integers(120, 280)) * 10,
            "arm": float(rng.integers(35, 70)) / 100,
            "stiffness": int(rng.integers(60, 160)) * 1e3,
            "sideways": float(rng.integers(2, 6)) / 10,
        },
        _COURSE,
    ),
    Exercise(
        "7.6",
        "Past the steady lean",
        _overshoot,
        {"zeta": 0.3},
        lambda rng: {"zeta": float(rng.integers(10, 60)) / 100},
        "Overshoot of a mass on a spring and damper after a step of force: an identity, checked in "
        "the tests against a step computed by a general library.",
    ),
    Exercise("7.7", "Lean of a motorway junction", _steady, {}, lambda rng: {}, _PRACTICE),
    Exercise("7.8", "Falls over when turning in", _turn_in, {}, lambda rng: {}, _PRACTICE),
    Exercise("7.9", "Who slows the roll", _share, {}, lambda rng: {}, _PRACTICE),
    Exercise(
        "7.10",
        "Load that braking moves",
        _load_shift,
        {"mass": 2340, "height": 0.70, "wheelbase": 2.85, "braking": 0.6},
        lambda rng: {
            "mass": int(rng.integers(120, 320)) * 10,
            "height": float(rng.integers(50, 95)) / 100,
            "wheelbase": float(rng.integers(230, 400)) / 100,
            "braking": float(rng.integers(2, 9)) / 10,
        },
        _COURSE,
    ),
)
