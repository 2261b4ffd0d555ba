"""Exercises of lesson 00: units, clicks, signs, and what comes before a click."""

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.units import to_si

__all__ = ["EXERCISES"]

_COURSE = "This course's own question; the answer is arithmetic."
_TRADE = "Common practice, no source."


def _force(kgf: float) -> Task:
    answer = to_si(kgf, "kgf")
    return Task(
        statement=f"The gauge on the stand shows **{kgf:g} kgf**. How large is that force in "
        "newtons?",
        answer=answer,
        quantity="force",
        unit="N",
        tolerance=0.005,
        only_unit=True,
        slips=(
            Slip(
                "divided",
                kgf / 9.80665,
                "You divided. A kilogram-force is a large unit, so "
                "the number of newtons must come out larger than the number of kgf.",
            ),
            Slip(
                "same number",
                kgf,
                "That is the number of kgf unchanged. One kilogram-force is "
                "the weight of one kilogram, which is nearly ten newtons.",
            ),
        ),
        hints=(
            "You are asked for the same force in a smaller unit, so the number grows.",
            "One kgf is the weight of 1 kg: 9.80665 N exactly.",
            f"Work out {kgf:g} × 9.80665.",
        ),
        steps=(
            Step("One kilogram-force in newtons", "1 kg × 9.80665 m/s²", 9.80665, "N"),
            Step("So the gauge shows", f"{kgf:g} × 9.80665 N", answer, "N"),
        ),
    )


def _speed(inches: float) -> Task:
    answer = to_si(inches, "in/s")
    return Task(
        statement=f"A dyno sheet gives a shaft speed of **{inches:g} in/s**. What is that in mm/s?",
        answer=answer,
        quantity="speed",
        unit="mm/s",
        tolerance=0.005,
        only_unit=True,
        slips=(
            Slip(
                "unchanged",
                inches / 1e3,
                "That is the number of inches unchanged. An inch is "
                "about 25 mm, so the number must grow.",
            ),
            Slip(
                "centimetres",
                to_si(inches, "in/s") / 10,
                "You took an inch as 2.54 mm. It is 2.54 **centimetres**, so 25.4 mm.",
            ),
            Slip(
                "divided",
                inches / 25.4e3,
                "You divided by 25.4. A millimetre is smaller than "
                "an inch, so the number of millimetres is the larger one.",
            ),
        ),
        hints=(
            "Only the unit of length changes; the second stays.",
            "One inch is 25.4 mm exactly.",
            f"Work out {inches:g} × 25.4.",
        ),
        steps=(
            Step("One inch a second", "1 in/s = 25.4 mm/s", 0.0254, "mm/s"),
            Step("So the shaft moves at", f"{inches:g} × 25.4 mm/s", answer, "mm/s"),
        ),
    )


def _rate(pounds: float) -> Task:
    answer = to_si(pounds, "lbf/in")
    inch = 25.4
    return Task(
        statement=f"A spring is stamped **{pounds:g}**, and its maker counts in lbf/in. What is "
        "its rate in N/mm?",
        answer=answer,
        quantity="stiffness",
        unit="N/mm",
        tolerance=0.005,
        only_unit=True,
        slips=(
            Slip(
                "unchanged",
                pounds * 1e3,
                "That is the number of lbf/in unchanged. One lbf/in is a weak rate, much less than "
                "one N/mm, so the number must shrink.",
            ),
            Slip(
                "kilograms",
                pounds * 0.45359237 / inch * 1e3,
                "That is kgf/mm: you turned the "
                "pounds into kilograms and the inches into millimetres. Now turn the "
                "kilogram-force into newtons.",
            ),
            Slip(
                "inch forgotten",
                pounds * 4.4482216 * 1e3,
                "You turned the force into newtons but left the inch. Divide by 25.4 as well.",
            ),
            Slip(
                "wrong way",
                pounds / 0.1751268 * 1e3,
                "You divided where you should multiply: "
                "a rate of one lbf/in is weak, only 0.175 N/mm.",
            ),
        ),
        hints=(
            "A rate is a force for each length, so both units have to change.",
            "One lbf is 4.44822 N; one inch is 25.4 mm.",
            f"Work out {pounds:g} × 4.44822 ÷ 25.4.",
        ),
        steps=(
            Step(
                "The force of one inch, in newtons",
                f"{pounds:g} × 4.44822 N",
                to_si(pounds, "lbf"),
                "N",
            ),
            Step("So one millimetre takes", "force ÷ 25.4 mm", answer, "N/mm"),
        ),
    )


def _from_soft(name: str, total: int, out: int) -> Task:
    answer = total - out
    return Task(
        statement=f"A {name} adjuster has **{total} clicks** in all. You find it **{out} clicks "
        "out** from lightly seated closed. A colleague counts from soft, that is from fully open. "
        "How many clicks does he count?",
        answer=float(answer),
        quantity="clicks",
        unit="clicks",
        tolerance=0.0,
        slips=(
            Slip(
                "same end",
                float(out),
                "That is your own count, from closed. He starts at the other end.",
            ),
            Slip(
                "added",
                float(total + out),
                "You added. The two counts together make the whole range, no more.",
            ),
            Slip(
                "off by one",
                float(answer + 1),
                "One too many: the end itself is click 0, not click 1.",
            ),
            Slip(
                "turned round",
                float(-answer),
                "You took the range away from your count. Take your count away from all the "
                "clicks.",
            ),
        ),
        hints=(
            "Draw the range as a ruler: closed at one end, open at the other.",
            "The count from closed and the count from soft add up to all the clicks.",
            f"Work out {total} − {out}.",
        ),
        steps=(Step("What is left of the range", f"{total} − {out}", float(answer), "clicks"),),
    )


def _direction() -> Task:
    return Task(
        statement="A wheel rolls down into a pothole. The body stays nearly where it was. Which "
        "way does the damper of that wheel move?",
        answer="b",
        choices={
            "a": "Bump: it shortens.",
            "b": "Rebound: it lengthens.",
            "c": "Droop: it stands still, low down.",
        },
        slips=(
            Slip(
                "bump",
                "a",
                "Bump is the wheel coming **up** towards the body. Here the wheel "
                "falls away from it. The bump comes next, at the far edge of the hole.",
            ),
            Slip(
                "position",
                "c",
                "Droop is a place, not a movement: travel below ride height. "
                "The damper gets there by moving, and the question asks for that movement.",
            ),
        ),
        hints=(
            "Think only of the distance between wheel and body.",
            "The wheel goes down and the body stays: the distance grows.",
            "A damper that lengthens is moving in …",
        ),
        steps=(
            Step("The wheel falls, the body stays, so wheel and body move apart"),
            Step("A damper that lengthens moves in rebound: answer b"),
        ),
    )


def _before() -> Task:
    return Task(
        statement='A customer says: "It wallows since last week. Please turn the dampers up." '
        "The dampers are where the last job left them. What do you do first?",
        answer="c",
        choices={
            "a": "Close the low-speed bump adjuster by two clicks and drive.",
            "b": "Close all adjusters and open them until it feels right.",
            "c": "Look for what changed: tyres cold, load, heights, leaks, mounts.",
            "d": "Fit stiffer springs.",
        },
        slips=(
            Slip(
                "click first",
                "a",
                "That may be the right click one day. But something changed "
                "last week and it was not the clicks, so a click would only cover it up.",
            ),
            Slip(
                "all at once",
                "b",
                "After that nobody knows what helped, and the settings of "
                "the last job are lost. One change at a time, and only after the checks.",
            ),
            Slip(
                "springs",
                "d",
                "Springs do not change in a week unless one broke, and that is "
                "one of the things to look for.",
            ),
        ),
        hints=(
            "The clicks did not change last week. Something else did.",
            "A damper adjuster is the last thing to touch, not the first.",
            "Which answer looks for a fault before it changes anything?",
        ),
        steps=(
            Step("A sudden change has a cause, and clicks do not turn themselves"),
            Step("So check pressure, load, heights, leaks, bushes and mounts first: answer c"),
        ),
    )


def _return_knob() -> Task:
    return Task(
        statement="On the stand you press the damper in slowly. Then you close the **rebound** "
        "adjuster and press again at the same speed. What does the gauge show while you press?",
        answer="a",
        choices={
            "a": "The same force as before.",
            "b": "Much more force.",
            "c": "Much less force.",
        },
        slips=(
            Slip(
                "more",
                "b",
                "You may be thinking of the return: there the force grows. While "
                "you press, the oil goes another way. Try it in the panel above.",
            ),
            Slip(
                "less",
                "c",
                "Closing an adjuster never makes a damper weaker in its own "
                "direction. And this one works in the other direction.",
            ),
        ),
        hints=(
            "Rebound is a direction. Which direction is a press?",
            "A press is bump. The rebound adjuster sits in the path of the returning oil.",
            "Set the panel to the rebound adjuster and compare the press at two settings.",
        ),
        steps=(
            Step("A press is bump, and the rebound adjuster works on the return"),
            Step("In the demo damper's table the press changes only by its noise: answer a"),
        ),
    )


EXERCISES = (
    Exercise(
        "0.1",
        "Kilogram-force to newtons",
        _force,
        {"kgf": 25},
        lambda rng: {"kgf": int(rng.integers(5, 120))},
        "Standard gravity, 9.80665 m/s² exactly: General Conference on Weights and Measures, 1901.",
    ),
    Exercise(
        "0.2",
        "Inches a second to millimetres a second",
        _speed,
        {"inches": 10},
        lambda rng: {"inches": int(rng.integers(2, 60))},
        "International yard and pound agreement, 1959: 1 in is 25.4 mm exactly.",
    ),
    Exercise(
        "0.3",
        "A spring rate in another unit",
        _rate,
        {"pounds": 200},
        lambda rng: {"pounds": int(rng.integers(10, 90)) * 10},
        "NIST Special Publication 811, conversion factors: 1 lbf/in is 175.1268 N/m (from "
        "memory; follows exactly from the definitions of pound, inch and standard gravity).",
    ),
    Exercise(
        "0.4",
        "Clicks from the other end",
        _from_soft,
        {"name": "low-speed bump", "total": 18, "out": 14},
        lambda rng: {
            "name": str(rng.choice(["low-speed bump", "high-speed bump", "rebound"])),
            "total": (total := int(rng.integers(10, 36))),
            "out": int(rng.integers(2, total - 3)),
        },
        _COURSE,
    ),
    Exercise("0.5", "Bump, rebound or droop", _direction, {}, lambda rng: {}, _TRADE),
    Exercise("0.6", "Before a click", _before, {}, lambda rng: {}, _TRADE),
    Exercise("0.7", "The rebound adjuster on a press", _return_knob, {}, lambda rng: {}, _TRADE),
)
