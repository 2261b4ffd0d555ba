"""Exercises of lesson 10: the compromise, bracketing, repeats, regret, and where to start."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task, choice
from dampinglab.units import minus

__all__ = ["EXERCISES"]

_GOLDEN = (math.sqrt(5) - 1) / 2


def _beaten() -> Task:
    return choice(
        "Four settings on one road. Small is good in both columns.\n\n"
        "| setting | shaking, m/s² | tyre load variation, % |\n|---|---|---|\n"
        "| P | 0.62 | 14 |\n| Q | 0.70 | 11 |\n| R | 0.74 | 12 |\n| S | 0.81 | 10 |\n\n"
        "Which one would nobody choose, whatever counts?",
        {
            "a": ("P", "P shakes least of all. Somebody who wants comfort takes it."),
            "b": ("Q", "No other setting is better than Q in both columns."),
            "c": ("R", ""),
            "d": ("S", "S holds its tyres down best of all."),
        },
        (
            "Look for a setting that another one beats in **both** columns.",
            "Compare R with Q.",
            "Q shakes less and has less variation.",
        ),
        ("Q beats R in both columns; the other three lie on the front: answer c",),
    )


def _weighed(comfort: int, grip: int, held: int) -> Task:
    answer = (30 * comfort + 50 * grip + 20 * held) / 1e4
    return Task(
        statement="Comfort counts **30 %**, grip **50 %**, a held body **20 %**. Against the "
        "setting as found, a step changes "
        + minus(
            f"shaking by **{comfort:+d} %**, tyre load variation by **{grip:+d} %** and body "
            f"motion by **{held:+d} %**. Plus is worse. What does the step cost, all in all?"
        ),
        answer=answer,
        quantity="ratio",
        unit="%",
        tolerance=0.02,
        slips=(
            Slip("plain mean", (comfort + grip + held) / 300, "Each has its own weight here."),
            Slip("sum", (comfort + grip + held) / 100, "You added them up. Weigh each one first."),
            Slip("sign", -answer, "The size is right. Plus is worse, minus is better."),
        ),
        hints=(
            "Each change counts as much as its weight says.",
            "Cost = 0.30 × shaking + 0.50 × grip + 0.20 × body motion.",
            minus(f"0.30 × ({comfort:+d}) = {0.3 * comfort:+.1f} %."),
        ),
        steps=(
            Step("Comfort", "0.30 × change", 0.3 * comfort / 100, "%"),
            Step("Grip", "0.50 × change", 0.5 * grip / 100, "%"),
            Step("Body held", "0.20 × change", 0.2 * held / 100, "%"),
            Step("All in all; below zero it pays", "sum", answer, "%"),
        ),
    )


def _draw_weighed(rng) -> dict:
    signs = [(-1, 1, -1), (1, -1, 1), (1, -1, -1), (-1, 1, 1)][int(rng.integers(4))]
    sizes = [int(rng.integers(2, 25)) for _ in signs]
    named = zip(("comfort", "grip", "held"), signs, sizes, strict=True)
    return {name: sign * size for name, sign, size in named}


def _price(times: float) -> Task:
    answer = math.sqrt((times + 1 / times) / 2) - 1
    return Task(
        statement="One damping shakes a corner's body least on a random road (lesson 06). Away "
        "from it the shaking grows as **√((x + 1 ÷ x) ÷ 2)**, with x the damping as a multiple of "
        f"that best. At **{times:g} times** the best, how many percent "
        "more does it shake?",
        answer=answer,
        quantity="ratio",
        unit="%",
        tolerance=0.015,
        slips=(
            Slip(
                "no root",
                (times + 1 / times) / 2 - 1,
                "That is the mean square. Take the root: r.m.s.",
            ),
            Slip(
                "factor as typed", (answer + 1) / 100, "That is the factor. How many percent more?"
            ),
            Slip("as a factor", answer + 1, "That is the factor. How many percent **more**?"),
            Slip("in proportion", times - 1, "It grows far less than the damping does."),
        ),
        hints=(
            "Put x into the formula; what is above 1 is the price.",
            f"x + 1 ÷ x = {times + 1 / times:.3f}.",
            f"Half of it, then the root: {answer + 1:.4f}.",
        ),
        steps=(
            Step("Factor", "√((x + 1 ÷ x) ÷ 2)", answer + 1),
            Step("More than the least; flat near the best", "factor − 1", answer, "%"),
        ),
    )


def _halving(places: int) -> Task:
    answer = math.floor(math.log2(places)) + 1
    return Task(
        statement=f"An adjuster has **{places} places**, and one of them suits best. You take the "
        "middle one, and the drive tells whether to go in or out, or that this is it. Then the "
        "middle of what is left. How many drives does it take **at most**?",
        answer=float(answer),
        quantity="ratio",
        unit="",
        tolerance=0.001,
        slips=(
            Slip("each one", float(places), "That tries every place. Each drive here halves."),
            Slip("half", float(places // 2), "That is half of them once. Halve again each time."),
            Slip("one short", float(answer - 1), "One more: the last place left is driven too."),
        ),
        hints=(
            "After the first drive, how many places can still be the one?",
            f"{places}, then {places // 2}, then {places // 4}: until one is left.",
            "Count the drives, the last one too.",
        ),
        steps=(
            Step(f"Left after each drive: half, rounded down: {', '.join(_halves(places))}"),
            Step("Drives at most", "whole part of log2(places), + 1", float(answer)),
        ),
    )


def _halves(places: int) -> list[str]:
    """Return how many places are left after each drive, down to none."""
    return [str(places := places // 2) for _ in range(places.bit_length())]


def _golden(clicks: int, drives: int) -> Task:
    answer = clicks * _GOLDEN**drives
    one = Slip("one short", answer / _GOLDEN, "One cut too few: each drive makes one.")
    short = (one,) if drives > 2 else ()  # else it is after the first
    return Task(
        statement="Where better and worse can only be told by **comparing** two settings, the "
        f"best way cuts the bracket to **0.618** of itself with each new drive. **{clicks} "
        f"clicks** are in the bracket. How many are left after **{drives} drives** more, to two "
        "decimals?",
        answer=answer,
        quantity="clicks",
        unit="clicks",
        tolerance=0.02,
        slips=(
            Slip("halved", clicks / 2**drives, "Comparing cannot halve: each drive leaves 0.618."),
            Slip(
                "one time",
                clicks * _GOLDEN,
                "That is after one drive. Each drive cuts again.",
            ),
            Slip(
                "what is gone",
                clicks * (1 - _GOLDEN**drives),
                "That is what is gone. How much is left?",
            ),
            *short,
        ),
        hints=(
            "Each drive leaves 0.618 of what was there.",
            "Multiply by 0.618 once for each drive.",
            f"After the first: {clicks * _GOLDEN:.1f} clicks.",
        ),
        steps=(Step("Left", f"clicks × 0.618, {drives} times", answer, "clicks"),),
    )


def _least_regret(good: tuple, bad: tuple) -> Task:
    best = max(good), max(bad)
    regret = [max(best[0] - g, best[1] - b) for g, b in zip(good, bad, strict=True)]
    place = regret.index(min(regret))
    names = "PQR"
    each = zip(names, good, bad, strict=True)
    rows = "\n".join(minus(f"| {n} | {g:g} | {b:g} |") for n, g, b in each)
    single = [best[0] - g for g in good] + [best[1] - b for b in bad]
    said = {
        min(
            r for r in single if r
        ): "That is missed on one road. Each setting's worst road counts.",
        max(good): "That is the greatest gain. Regret is what is missed.",
        -min(bad): "That is the deepest loss. Regret counts from the best in its column.",
        max(regret): "That is the largest worst regret. Which setting has the smallest?",
        min(map(sum, zip(single[:3], single[3:], strict=True))): "You added both roads. Only the "
        "worst road of each setting counts.",
        -min(regret): "Regret is what is missed, so it has no minus.",
    }
    return Task(
        statement="Points that a setting gains on two roads; the customer cannot say which one he "
        f"will drive.\n\n| setting | smooth | rough |\n|---|---|---|\n{rows}\n\n"
        "Regret is what is missed to the best setting on that road. Each setting has a worst "
        "regret. How large is the **smallest** of these?",
        answer=float(min(regret)),
        quantity="ratio",
        unit="",
        tolerance=0.001,
        slips=tuple(
            Slip(f"{value:g}", float(value), says)
            for value, says in said.items()
            if value not in (0, min(regret))
        ),
        hints=(
            f"On the smooth road the best gains {best[0]:g}. What does each of the others miss?",
            "For each setting take the larger of its two regrets.",
            f"Worst regrets: {', '.join(f'{r:g}' for r in regret)}.",
        ),
        steps=(
            Step(f"Best on smooth {best[0]:g}, on rough {best[1]:g}"),
            Step(f"Worst regrets of P, Q, R: {', '.join(f'{r:g}' for r in regret)}"),
            Step(f"Smallest: setting {names[place]}", "", float(min(regret))),
        ),
    )


def _draw_regret(rng) -> dict:
    good = [int(n) * 10 for n in rng.integers(3, 25, size=2)]
    bad = [-int(n) * 10 for n in rng.integers(1, 25, size=2)]
    return {"good": (*good, 0), "bad": (*bad, 0)}


def _sure(spread: float, passes: int) -> Task:
    answer = spread / math.sqrt(passes)
    return Task(
        statement=f"**{passes} readings** of the same thing scatter by **{spread:g}** (standard "
        "deviation). How far is their **mean** unsure (standard error)?",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip("spread", spread, "So far one reading is unsure. The mean of many is surer."),
            Slip(
                "no root",
                spread / passes,
                "Divide by the **root** of how many: four times as many halve it.",
            ),
            Slip("times", spread * math.sqrt(passes), "More readings make it smaller: divide."),
        ),
        hints=(
            "Is a mean surer than one reading, or less sure?",
            "Spread ÷ √(how many).",
            f"√{passes} = {math.sqrt(passes):.3f}.",
        ),
        steps=(Step("Standard error", "spread ÷ √(how many)", answer),),
    )


def _void() -> Task:
    return choice(
        "Ratings, 10 is best, three passes each. **A**: 6, 6, 7. Then **B**, rebound four clicks "
        "in: 7, 7, 8. Then **A again**: 8, 7, 8. What do you write down?",
        {
            "a": ("B is better by one: keep it.", "A became better as well, with nothing turned."),
            "b": (
                "Nothing: A did not repeat, so the comparison is void. Drive again, dampers warm.",
                "",
            ),
            "c": (
                "A is the better one: its last drive was best.",
                "The same setting gave 6.3 and 7.7. What changed was not the setting.",
            ),
        },
        (
            "Compare A with A.",
            "A's two drives differ by more than A and B do.",
            "What changed between the drives? The oil, the route, the driver's mood.",
        ),
        ("A differs from A by 1.3, A and B by less: void: answer b",),
    )


def _begin() -> Task:
    return choice(
        "As-found clicks look odd, and the maker's setting is not known. Where do you begin?",
        {
            "a": (
                "As found: write it down and drive it first.",
                "",
            ),
            "b": (
                "All clicks to the middle, then drive.",
                "Then nobody will know what the complaint was about. Write down, drive, then turn.",
            ),
            "c": (
                "All closed: firm is safe.",
                "Nearly shut, many dampers lock up; a wheel that cannot move loses grip.",
            ),
        },
        (
            "The complaint belongs to one setting.",
            "As found, else the maker's, else the middle of force.",
            "It may be odd; it is what he complains of.",
        ),
        ("As found comes first, to know what is being cured: answer a",),
    )


def _equal() -> Task:
    return choice(
        "The sweep's best setting costs 0.2 % less than your customer's own. Another stretch of "
        "the same road moves such costs by 0.8 %. What do you hand over?",
        {
            "a": ("The best one: the computer has found it.", "On another stretch it may lose."),
            "b": ("His own: the two cannot be told apart, and a change has to earn itself.", ""),
            "c": ("One in the middle of the two.", "It cannot be told from them either."),
        },
        (
            "Is 0.2 % more than chance?",
            "0.2 % is a quarter of what another stretch does.",
            "Equal settings: take the one nearest to as found.",
        ),
        ("Within the noise they are equals: leave it as it is: answer b",),
    )


def _sentence() -> Task:
    return choice(
        "Front low-speed bump was closed by three clicks: it leans less quickly in bends, and "
        "small joints come through more. Which sentence goes on his card?",
        {
            "a": (
                "We optimised the low-speed damping for better dynamics.",
                "He cannot feel *optimised*. What did he feel, what was changed, what does he give "
                "up?",
            ),
            "b": (
                "You felt it lean quickly; we closed front low-speed bump by three clicks; you "
                "will feel small joints more.",
                "",
            ),
            "c": (
                "You felt it lean; that is cured now.",
                "Nothing comes for nothing: what does he give up, and which click was it?",
            ),
        },
        (
            "Three things: what you felt, what we changed, what you give up.",
            "Plain words, the adjuster's name, the clicks.",
            "Check each sentence for all three.",
        ),
        ("Felt, changed, given up, all there: answer b",),
    )


_PRACTICE = "Common practice, no source."
_COURSE = "This course's own question, on invented numbers."

EXERCISES = (
    Exercise(
        "10.1",
        "Beaten in both",
        _beaten,
        {},
        lambda rng: {},
        "This course's own question, on invented numbers; such a setting is called dominated.",
    ),
    Exercise(
        "10.2",
        "All in all",
        _weighed,
        {"comfort": 8, "grip": -12, "held": -5},
        _draw_weighed,
        _COURSE,
    ),
    Exercise(
        "10.3",
        "Twice the best",
        _price,
        {"times": 2.0},
        lambda rng: {"times": float(rng.integers(13, 41)) / 10},
        "White road and linear corner, an identity checked by two independent routes.",
    ),
    Exercise(
        "10.4",
        "Halving",
        _halving,
        {"places": 15},
        lambda rng: {"places": int(rng.integers(9, 36))},
        "Binary search: whole part of log2 n, plus one, as in Knuth, The Art of Computer "
        "Programming, volume 3 (from memory).",
    ),
    Exercise(
        "10.5",
        "By comparing",
        _golden,
        {"clicks": 22, "drives": 4},
        lambda rng: {"clicks": int(rng.integers(12, 36)), "drives": int(rng.integers(2, 6))},
        "Golden section search, 0.61803 a step, as in Press and others, Numerical Recipes "
        "(from memory).",
    ),
    Exercise(
        "10.6",
        "Least regret",
        _least_regret,
        {"good": (200, 100, 0), "bad": (-180, -20, 0)},
        _draw_regret,
        "Pay-off table of a decision example in Render and Stair, Quantitative Analysis for "
        "Management: least worst regret 100 (from memory; told there of plants, not of dampers).",
    ),
    Exercise(
        "10.7",
        "How sure is a mean",
        _sure,
        {"spread": 0.022789, "passes": 195},
        lambda rng: {
            "spread": float(rng.integers(3, 90)) / 100,
            "passes": int(rng.integers(3, 26)),
        },
        "NIST/SEMATECH e-Handbook of Statistical Methods, confidence limits of a mean, the heat "
        "flow example (from memory).",
    ),
    Exercise("10.8", "A, B and A again", _void, {}, lambda rng: {}, _PRACTICE),
    Exercise("10.9", "Where to begin", _begin, {}, lambda rng: {}, _PRACTICE),
    Exercise("10.10", "Equals", _equal, {}, lambda rng: {}, _COURSE),
    Exercise("10.11", "The sentence on the card", _sentence, {}, lambda rng: {}, _PRACTICE),
)
