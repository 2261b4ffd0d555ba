"""Exercises of lesson 09: gates, complaints, logs, one step on one adjuster, felt or not."""

from math import comb

from dampinglab.course.exercise import Exercise, Slip, Step, Task, choice
from dampinglab.units import minus

__all__ = ["EXERCISES"]

_ZERO = 273.15  # K at 0 °C
_AIR = 101_325.0  # Pa, the standard atmosphere


def _gates() -> Task:
    return choice(
        "A customer says that his rear hits the stop. He wants more damping. What do you do "
        "**first**?",
        {
            "a": (
                "Close high-speed bump by a fifth of its range.",
                "It may come to that. A cracked spring hits the stop too, and then the click "
                "hides it.",
            ),
            "b": (
                "Ride height all round, and mass wheel by wheel against the rating.",
                "Close. What makes the vehicle unsafe to drive comes even before that.",
            ),
            "c": (
                "Ask what would make it unsafe and look for it; then pressures cold, mass, "
                "height; clicks last.",
                "",
            ),
        },
        (
            "Which of these could hurt someone today?",
            "The gates come in an order: unsafe, pressure, mass, height, parts, and clicks last.",
            "A click on a broken part hides the broken part.",
        ),
        ("Gates first, in their order: answer c",),
    )


def _hot_tyre(pressure_kpa: float, cold: float, warm: float) -> Task:
    start = pressure_kpa * 1e3
    answer = start * (warm + _ZERO) / (cold + _ZERO)
    return Task(
        statement=f"A tyre holds **{pressure_kpa:g} kPa**, counted from vacuum (absolute), at "
        f"**{cold:g} °C**. After a drive its air is at **{warm:g} °C**; no air went in or out. "
        "What is the absolute pressure now?",
        answer=answer,
        quantity="pressure",
        unit="kPa",
        tolerance=0.005,  # as near as three figures come
        slips=(
            Slip(
                "in °C",
                start * warm / cold,
                "You divided degrees Celsius. Count temperature from absolute zero: add 273.",
            ),
            Slip(
                "other way",
                start * (cold + _ZERO) / (warm + _ZERO),
                "Warmer air presses harder; you turned the fraction round.",
            ),
            Slip(
                "by a gauge",
                answer - _AIR,
                "That is what a gauge would show. Absolute counts from vacuum: leave the air "
                "outside in it.",
            ),
            Slip("the rise alone", answer - start, "That is how much it rose. What is it now?"),
            Slip("the same", start, "That is the cold pressure. Warm air presses harder."),
        ),
        hints=(
            "Same air in the same space: its pressure goes with its absolute temperature.",
            "New pressure = old × (273 + warm) ÷ (273 + cold).",
            f"Absolute temperatures: {cold + _ZERO:.2f} and {warm + _ZERO:.2f} K.",
        ),
        steps=(
            Step(f"Absolute temperatures: {cold + _ZERO:.2f} K, then {warm + _ZERO:.2f} K"),
            Step("Pressure", "old × warm ÷ cold", answer, "kPa"),
        ),
    )


def _over_rating(index: int, rating: float, wheel: float, more: float) -> Task:
    answer = wheel + more - rating
    return Task(
        statement=f"The tyre's load index is **{index}**: in the table, **{rating:g} kg**. The "
        f"scales say **{wheel:g} kg** on that wheel as it came. The tray will put **{more:g} kg** "
        "more on it. By how much is the tyre over its rating then?",
        answer=answer,
        quantity="mass",
        unit="kg",
        slips=(
            Slip(
                "room that is left",
                rating - wheel,
                "That is the room as it came. The tray takes more than that.",
            ),
            Slip(
                "mass on the wheel",
                wheel + more,
                "That is what the tyre carries. Now take the rating off.",
            ),
            Slip(
                "the tray alone", more, "Part of that is allowed. Add up, then take the rating off."
            ),
        ),
        hints=(
            "What does the wheel carry, all in all?",
            "Over = wheel as it came + tray − rating.",
            f"All in all {wheel + more:g} kg.",
        ),
        steps=(
            Step("On the wheel", "as it came + tray", wheel + more, "kg"),
            Step("Over the rating: stop here, no click is touched", "− rating", answer, "kg"),
        ),
    )


# Load index and kg: part of the table of tyre standards, from memory.
_INDEX = ((95, 690), (100, 800), (104, 900), (109, 1030), (112, 1120), (115, 1215), (120, 1400))


def _draw_rating(rng) -> dict:
    index, rating = _INDEX[int(rng.integers(len(_INDEX)))]
    room = int(rng.integers(4, 25)) * 5
    more = room + int(rng.integers(3, 13)) * 5
    return {"index": index, "rating": rating, "wheel": rating - room, "more": more}


def _step(total: int, stands: int, firmer: bool) -> Task:
    step = max(1, round(total / 5))
    answer = stands - step if firmer else stands + step
    way = "more" if firmer else "less"
    complaint = "keeps moving after a rise" if firmer else "drops hard into holes"
    slips = [
        Slip(
            "wrong way",
            stands + step if firmer else stands - step,
            f"Clicks count out from closed: **{way}** damping is a "
            f"{'smaller' if firmer else 'larger'} number.",
        ),
        Slip(
            "part of a click",
            stands - total / 5 if firmer else stands + total / 5,
            "An adjuster stops at whole clicks: round the step.",
        ),
        Slip("the step", step, "That is the step. Where does the adjuster stand after it?"),
        Slip(
            "one click",
            stands - 1 if firmer else stands + 1,
            "One click can hardly be felt. The first step shows the way: a fifth of the range.",
        ),
    ]
    return Task(
        statement=f"It {complaint}. Rebound has **{total} clicks** and stands **{stands} out** "
        "from lightly seated closed. Take the usual first step. Where does it stand then?",
        answer=float(answer),
        quantity="clicks",
        unit="clicks",
        tolerance=0.001,
        slips=tuple(slip for slip in slips if slip.answer != answer),
        hints=(
            f"Does this complaint want more rebound, or less? It wants {way}.",
            "The first step is a fifth of the range, rounded. In is firmer.",
            f"A fifth of {total} is about {step}.",
        ),
        steps=(
            Step("First step", f"{total} ÷ 5, rounded", step, "clicks"),
            Step(
                f"Out from closed, {way} rebound", f"{stands} {'−' if firmer else '+'} step", answer
            ),
        ),
    )


def _draw_step(rng) -> dict:
    total = int(rng.integers(15, 36))
    low, high = round(total * 0.35), round(total * 0.65)
    return {
        "total": total,
        "stands": int(rng.integers(low, high + 1)),
        "firmer": bool(rng.integers(2)),
    }


def _wrong_end(total: int, written: int) -> Task:
    meant = total - written
    return Task(
        statement=f"An old note says: rebound {written} clicks. Its author counted **from soft**. "
        f"The adjuster has **{total}**. You set {written} clicks out **from closed**. By how many "
        "clicks is it off?",
        answer=float(abs(meant - written)),
        quantity="clicks",
        unit="clicks",
        tolerance=0.001,
        slips=(
            Slip("meant", float(meant), "That is what was meant, out from closed. How far off?"),
            Slip("as written", float(written), "That is the number on the note."),
        ),
        hints=(
            "Turn the note into clicks out from closed.",
            "Out from closed = all clicks − clicks from soft.",
            f"Meant: {meant} out from closed.",
        ),
        steps=(
            Step("Meant, out from closed", f"{total} − {written}", meant, "clicks"),
            Step("Off by", "meant and set apart", abs(meant - written), "clicks"),
        ),
    )


def _draw_end(rng) -> dict:
    total = int(rng.integers(15, 36))
    return {"total": total, "written": int(rng.integers(3, round(total * 0.4) + 1))}


def _log_says() -> Task:
    return choice(
        "He says: *it kicks over sharp edges*. At each kick the log shows the shaft going **in** "
        "at **0.6 to 0.9 m/s**, with 30 mm of bump travel still left. Which one change do you try?",
        {
            "a": (
                "Low-speed bump, softer.",
                "At 0.6 m/s and more the low-speed passage is long choked; the flow goes through "
                "the high-speed valve.",
            ),
            "b": ("High-speed bump, softer.", ""),
            "c": (
                "Rebound, softer.",
                "Rebound works while the shaft comes **out**. The kick comes while it goes in.",
            ),
            "d": (
                "High-speed bump, firmer: it must be the stop.",
                "There are 30 mm left. The stop was not touched.",
            ),
        },
        (
            "In or out? Fast or slow? How much travel was left?",
            "In and fast: high-speed bump. Stop not reached: the damper itself is the blow.",
            "Softer is out.",
        ),
        ("Going in, fast, short of the stop: high-speed bump, softer: answer b",),
    )


def _disagree() -> Task:
    return choice(
        "He says: *far too hard, it bangs over every crest*. His log shows no great bump travel. "
        "After each crest it shows the wheel going **down** to the end of its droop, at 0.8 m/s, "
        "and there it stops dead. What do you believe?",
        {
            "a": (
                "His words: soften bump.",
                "Bump travel is small, so bump is not what bangs.",
            ),
            "b": (
                "The log: it tops out. Look at the droop stop and at lost rebound damping, or "
                "close rebound a step.",
                "",
            ),
            "c": (
                "Neither: change both and see.",
                "Two changes at once tell you nothing. Words and log do agree on one thing: when.",
            ),
        },
        (
            "Where is the wheel when it bangs?",
            "A wheel that stops dead at the end of droop is topping out.",
            "The driver feels **when** rightly; the cause is his guess.",
        ),
        ("The bang is at the end of droop: topping out: answer b",),
    )


def _stop_log() -> Task:
    return choice(
        "Three lines of a log, wheel travel from ride height, up is plus. The bump stop is "
        "touched at **+60 mm** and solid at +105 mm; full droop is at **−100 mm**.\n\n"
        "- 12.1 s: +38 mm\n- 15.6 s: +97 mm, then back at once\n- 18.2 s: −84 mm\n\n"
        "When was a stop reached, and which?",
        {
            "a": ("12.1 s: the bump stop.", "+38 mm is short of +60 mm."),
            "b": ("15.6 s: the bump stop, deep into its foam.", ""),
            "c": ("18.2 s: the droop stop.", "−84 mm is 16 mm short of full droop."),
            "d": ("Never.", "Compare each line with +60 and −100 mm."),
        },
        (
            "Compare each line with the two stops.",
            "Above +60 mm the foam is being pressed.",
            "97 is more than 60.",
        ),
        ("Only +97 mm lies beyond a stop, 37 mm into 45 mm of foam: answer b",),
    )


def _next_measurement() -> Task:
    return choice(
        "One rear corner stands 25 mm lower than the other. The pressures are right and the wheel "
        "masses are nearly equal. Which measurement **next**?",
        {
            "a": ("A bounce test.", "It tells of damping. A damper does not hold the height."),
            "b": (
                "A travel log on gravel.",
                "It will show less travel on that side: you know why.",
            ),
            "c": (
                "The spring on that side: its free length, its seats, a crack.",
                "",
            ),
            "d": ("The damper on a dyno.", "Gas alone pushes a little; 25 mm it does not carry."),
            "e": ("Another click on that side.", "Left and right unlike is a fault, never a cure."),
        },
        (
            "What carries the weight?",
            "Equal mass, unequal height: another rate or another seat.",
            "It is not the damper.",
        ),
        ("Height is the spring's, so look at the spring first: answer c",),
    )


def _share_changed(old: float, new: float) -> Task:
    answer = (new - old) / old
    return Task(
        statement=f"One step of low-speed bump took the shaking on his road from **{old:g}** to "
        f"**{new:g} m/s²**. By how many percent did it change? A fall is minus.",
        answer=answer,
        quantity="ratio",
        unit="%",
        tolerance=0.02,
        slips=(
            Slip("of the new", (new - old) / new, "Take it as a share of what it **was**."),
            Slip("sign", -answer, "The size is right. It fell, so write a minus."),
            Slip("what is left", new / old, "That is what is left of it. How much has gone?"),
            Slip(
                "difference",
                (new - old) / 100,
                "That is the difference in m/s². Take it as a share of what it **was**, in %.",
            ),
            Slip(
                "times 100", new - old, "That is 100 times the difference: divide by what it was."
            ),
        ),
        hints=(
            "How much less is it, and of what?",
            "Change = (new − old) ÷ old.",
            minus(f"The difference is {new - old:.2g} m/s²."),
        ),
        steps=(
            Step("Difference", "new − old", new - old, "m/s²"),
            Step("As a share of what was; under 10 %: perhaps not felt", "÷ old", answer, "%"),
        ),
    )


def _draw_share(rng) -> dict:
    old, share = float(rng.integers(50, 160)) / 100, float(rng.integers(5, 31)) / 100
    return {"old": old, "new": round(old * (1 - share), 2)}


def _guessing(right: int, drives: int) -> Task:
    ways = sum(comb(drives, k) for k in range(right, drives + 1))
    answer = ways / 2**drives
    slips = [
        Slip(
            "exactly",
            comb(drives, right) / 2**drives,
            f"That is exactly {right}. As good **or better** counts: add those with more right.",
        ),
        Slip(
            "all right",
            1 / 2**drives,
            f"That is the chance of all {drives} right.",
        ),
        Slip("ways", ways / 100, f"So many ways, yes; how many percent of {2**drives} is that?"),
        Slip("share", right / drives, "That is the share he got right. How likely is it by luck?"),
    ]
    return Task(
        statement=f"A driver is not told which of two settings is on. He names the right one "
        f"**{right} times out of {drives}**. Somebody who tosses a coin: how often would he do "
        "as well or better? (The table above helps.)",
        answer=answer,
        quantity="ratio",
        unit="%",
        tolerance=0.02,
        slips=tuple(slip for slip in slips if slip.answer != answer),
        hints=(
            "How many of all the ways to toss are as good or better?",
            "Look in the row of the drives: so many in so many.",
            f"{ways} in {2**drives}.",
        ),
        steps=(
            Step(f"Ways that are as good or better: {ways} of {2**drives}"),
            Step("Chance by guessing", f"{ways} ÷ {2**drives}", answer, "%"),
        ),
    )


def _draw_guess(rng) -> dict:
    drives = int(rng.integers(6, 16))  # the rows and columns of the lesson's table
    return {"drives": drives, "right": drives - int(rng.integers(0, 3))}


def _rear_rebound() -> Task:
    return choice(
        "Light tray, rear thrown up after humps. You close **rear** rebound by a step, and it is "
        "better. He wants two steps more. What do you say?",
        {
            "a": (
                "Yes: if one step is good, three are better.",
                "Each step costs: the wheel comes down later, and over many bumps the rear packs "
                "down.",
            ),
            "b": (
                "Half a step more and drive; a light rear that is held down hard lets its wheels "
                "leave the road, and the tail may step out.",
                "",
            ),
            "c": (
                "No, never touch rear rebound.",
                "One step helped. It is the size that matters, and where it turns round.",
            ),
        },
        (
            "What does the rear wheel do in the next hole?",
            "After the first step, halve.",
            "More rear damping can unsettle the rear.",
        ),
        ("Halve the step, watch grip, and stop where it turns round: answer b",),
    )


def _sway() -> Task:
    return choice(
        "His trailer sways from 90 km/h on. He asks which click cures it. What do you answer?",
        {
            "a": ("More rear rebound.", "It may hide it until it is worse, at a higher speed."),
            "b": (
                "More low-speed bump behind.",
                "The rear may feel tauter. The trailer sways as before.",
            ),
            "c": (
                "None. Slow down now; then weigh the ball, move the load forward, check tyres and "
                "coupling.",
                "",
            ),
        },
        (
            "Is this a matter of comfort?",
            "Sway is the trailer's own swing; the damper of the car is not in it.",
            "No click cures this.",
        ),
        ("Unsafe, and not a damper's job: answer c",),
    )


_PRACTICE = "Common practice, no source."
_COURSE = "This course's own question, on invented numbers."

EXERCISES = (
    Exercise("9.1", "What first", _gates, {}, lambda rng: {}, _PRACTICE),
    Exercise(
        "9.2",
        "A warm tyre",
        _hot_tyre,
        {"pressure_kpa": 700, "cold": 18, "warm": 35},
        lambda rng: {
            "pressure_kpa": int(rng.integers(28, 46)) * 10,
            "cold": int(rng.integers(5, 26)),
            "warm": int(rng.integers(35, 66)),
        },
        "OpenStax, College Physics, the ideal gas law, worked example on tyre pressure: "
        "7.41 × 10⁵ Pa (from memory).",
    ),
    Exercise(
        "9.3",
        "Over the rating",
        _over_rating,
        {"index": 100, "rating": 800, "wheel": 755, "more": 85},
        _draw_rating,
        "The load index table of tyre standards (ISO 4000-1): 100 is 800 kg (from memory).",
    ),
    Exercise(
        "9.4",
        "The first step",
        _step,
        {"total": 22, "stands": 14, "firmer": True},
        _draw_step,
        _PRACTICE,
    ),
    Exercise(
        "9.5",
        "Counted from the wrong end",
        _wrong_end,
        {"total": 22, "written": 6},
        _draw_end,
        _COURSE,
    ),
    Exercise("9.6", "What the log says", _log_says, {}, lambda rng: {}, _PRACTICE),
    Exercise("9.7", "Words against log", _disagree, {}, lambda rng: {}, _PRACTICE),
    Exercise("9.8", "Which stop", _stop_log, {}, lambda rng: {}, _COURSE),
    Exercise("9.9", "Which measurement next", _next_measurement, {}, lambda rng: {}, _PRACTICE),
    Exercise(
        "9.10",
        "How much is that",
        _share_changed,
        {"old": 0.71, "new": 0.66},
        _draw_share,
        _COURSE,
    ),
    Exercise(
        "9.11",
        "Could it be luck",
        _guessing,
        {"right": 9, "drives": 10},
        _draw_guess,
        "Table of the binomial distribution, ten tosses: 9 or more 0.0107 (from memory).",
    ),
    Exercise("9.12", "A second step behind", _rear_rebound, {}, lambda rng: {}, _PRACTICE),
    Exercise("9.13", "A swaying trailer", _sway, {}, lambda rng: {}, _PRACTICE),
)
