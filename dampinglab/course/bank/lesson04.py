"""Exercises of lesson 04: oil, needles, gas, and what each adjuster does."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.physics.fluid import SHARP_EDGE, orifice_pressure
from dampinglab.units import to_si

__all__ = ["EXERCISES"]


def _slow() -> Task:
    return Task(
        statement="You press the damper **slowly** and want the press to be softer. Which "
        "adjuster moves that force most?",
        answer="a",
        choices={
            "a": "Low-speed bump.",
            "b": "High-speed bump.",
            "c": "Rebound.",
            "d": "The one with the largest knob.",
        },
        slips=(
            Slip(
                "high",
                "b",
                "Its valve is still shut at a slow press: the pressure has not "
                "reached its preload. Watch the cutaway at 0.05 m/s.",
            ),
            Slip(
                "rebound",
                "c",
                "A press is bump. The rebound needle lies in the path of the "
                "returning oil, behind a check valve.",
            ),
            Slip(
                "knob",
                "d",
                "Makers choose size and colour of knobs as they like. Turn, press and look.",
            ),
        ),
        hints=(
            "A slow press is slow movement of the shaft, in bump.",
            "At slow speed all the rod's oil goes through one small hole.",
            "The needle in that hole belongs to the … adjuster.",
        ),
        steps=(Step("Slow oil goes through the low-speed needle: answer a"),),
    )


def _fast() -> Task:
    return Task(
        statement="With a lever you press **fast**, faster than the knee. Which adjuster now moves "
        "the force most?",
        answer="b",
        choices={
            "a": "Low-speed bump: it always carries the oil first.",
            "b": "High-speed bump: its valve is open and carries most of the oil.",
            "c": "Rebound: the more speed, the more it works.",
        },
        slips=(
            Slip(
                "low",
                "a",
                "First, yes. But past the knee the other valve opens and takes most "
                "of the oil; the needle's share hardly grows any more.",
            ),
            Slip(
                "rebound",
                "c",
                "Fast or slow, a press is bump; the rebound needle waits for the return.",
            ),
        ),
        hints=(
            "What happens at the knee?",
            "The pressure lifts the preloaded valve, and most of the oil goes there.",
            "Its preload is set by the … adjuster.",
        ),
        steps=(Step("Past the knee the preloaded valve carries the oil: answer b"),),
    )


def _flow(rod_mm: float, speed: float) -> Task:
    area = math.pi / 4 * rod_mm**2
    answer = area * speed
    return Task(
        statement=f"A rod of **{rod_mm:g} mm** goes into the damper at **{speed:g} m/s**. How "
        "much oil must leave through the base valve, in cm³ a second? Leave the unit out.",
        answer=answer,
        quantity="ratio",
        unit="",
        slips=(
            Slip(
                "radius", answer * 4, "You took the diameter as the radius. Area = π/4 × diameter²."
            ),
            Slip(
                "mm³",
                answer * 1e3,
                "That is in mm³ a second. A cubic centimetre holds 1000 of them.",
            ),
        ),
        hints=(
            "The rod takes room in the oil: what goes in must push out as much.",
            "Flow = area of the rod × speed.",
            f"Area = π/4 × {rod_mm:g}² = {area:.1f} mm². {speed:g} m/s is {1e3 * speed:g} mm/s.",
        ),
        steps=(
            Step("Area of the rod, in mm²", f"π/4 × {rod_mm:g}²", area),
            Step("Flow, in cm³ a second", "area × speed ÷ 1000", answer),
        ),
    )


def _orifice(flow_cm3: float, area_mm2: float) -> Task:
    answer = float(orifice_pressure(flow_cm3 * 1e-6, area_mm2 * 1e-6))
    return Task(
        statement=f"**{flow_cm3:g} cm³ a second** of oil (860 kg/m³) go through a sharp-edged "
        f"hole of **{area_mm2:g} mm²**. A sharp edge lets only {SHARP_EDGE:.3f} of its area be "
        "used. What pressure does that take?",
        answer=answer,
        quantity="pressure",
        unit="bar",
        tolerance=0.015,
        slips=(
            Slip(
                "whole area",
                answer * SHARP_EDGE**2,
                "You used the whole area. The jet behind a "
                "sharp edge is narrower: divide by 0.611 as well.",
            ),
            Slip(
                "half forgotten",
                2 * answer,
                "The half is missing: pressure is ½ × density × speed².",
            ),
        ),
        hints=(
            "How fast is the jet? Then: what pressure gives oil that speed?",
            "Jet speed = flow ÷ (0.611 × area). Pressure = ½ × density × speed², in Pa; 1 bar is "
            "100 000 Pa.",
            f"The jet's speed is {flow_cm3 / area_mm2 / SHARP_EDGE:.2f} m/s "
            "(cm³/s ÷ mm² gives m/s).",
        ),
        steps=(
            Step(
                "Speed of the jet", "flow ÷ (0.611 area)", flow_cm3 / area_mm2 / SHARP_EDGE, "m/s"
            ),
            Step("Pressure, where 1 bar is 100 000 Pa", "½ × density × speed²", answer, "bar"),
        ),
    )


def _gas(pressure_bar: float, rod_mm: float, volume_cm3: float) -> Task:
    area = math.pi / 4 * (rod_mm / 1e3) ** 2
    answer = 1.2 * pressure_bar * 1e5 * area**2 / (volume_cm3 * 1e-6)
    return Task(
        statement=f"A reservoir holds **{volume_cm3:g} cm³** of gas at **{pressure_bar:g} bar**; "
        f"the rod is **{rod_mm:g} mm** thick. The gas acts as a second spring. How stiff is it? "
        "(n × pressure × area² ÷ volume, with the area of the rod, and n = 1.2.)",
        answer=answer,
        quantity="stiffness",
        unit="N/m",
        slips=(
            Slip(
                "area once",
                answer / area * (rod_mm / 1e3),
                "The area comes in twice: it makes "
                "force from pressure, **and** it decides how much gas is squeezed.",
            ),
            Slip(
                "n forgotten",
                answer / 1.2,
                "The exponent n = 1.2 is missing: gas that is "
                "squeezed quickly warms up and pushes back more.",
            ),
            Slip(
                "radius",
                answer * 16,
                "You took the diameter as the radius. Area = π/4 × "
                "diameter², and it comes in squared.",
            ),
        ),
        hints=(
            "Pressure on the rod's area is a force; travel squeezes the gas.",
            "Stiffness = n × pressure × area² ÷ volume, in Pa, m² and m³.",
            f"The area is {area * 1e6:.1f} mm² = {area:.4g} m², the pressure "
            f"{pressure_bar * 1e5:g} Pa.",
        ),
        steps=(
            Step("Area of the rod, in mm²", "π/4 × d²", area * 1e6),
            Step("Stiffness of the gas", "n × pressure × area² ÷ volume", answer, "N/m"),
        ),
    )


def _needle(closed: float, wide: float, clicks: int) -> Task:
    ratio = wide / closed
    answer = ratio ** (1 / clicks) - 1
    return Task(
        statement=f"A needle opens from **{closed:g} mm²** to **{wide:g} mm²** in **{clicks} "
        "clicks**, and each click is meant to feel alike: each changes the area by the same "
        "share. By how many per cent?",
        answer=answer,
        quantity="ratio",
        unit="%",
        tolerance=0.02,
        slips=(
            Slip(
                "even steps",
                (ratio - 1) / clicks,
                "You shared the growth out evenly. Shares multiply: take open ÷ closed to the "
                f"power 1 ÷ {clicks}.",
            ),
            Slip(
                "factor",
                (answer + 1) / 100,
                "That is the factor of one click. The growth in per cent is (factor − 1) × 100.",
            ),
        ),
        hints=(
            "Equal shares multiply, like interest.",
            f"Factor of one click = (open ÷ closed) to the power 1 ÷ {clicks}.",
            f"Open ÷ closed = {ratio:.3f}.",
        ),
        steps=(
            Step("Open over closed", f"{wide:g} ÷ {closed:g}", ratio),
            Step("Factor of one click", f"{ratio:.3f} to the power 1 ÷ {clicks}", 1 + answer),
            Step("In per cent", "(factor − 1) × 100", answer, "%"),
        ),
    )


def _knee() -> Task:
    return Task(
        statement="You **close the low-speed bump** adjuster by a few clicks and touch nothing "
        "else. What happens to the knee, the shaft speed at which the high-speed valve opens?",
        answer="b",
        choices={
            "a": "Nothing: the knee belongs to the high-speed adjuster.",
            "b": "It comes earlier: the pressure reaches the preload at a lower speed.",
            "c": "It comes later: the damper has become harder.",
        },
        slips=(
            Slip(
                "nothing",
                "a",
                "The preload is the same, but the pressure gets there sooner. "
                "The knee moves with **both** bump adjusters, as the lesson's table shows.",
            ),
            Slip(
                "later",
                "c",
                "Harder means more pressure at the same speed, so the valve lifts "
                "at a **lower** speed. Closing the high-speed adjuster makes it later.",
            ),
        ),
        hints=(
            "The valve opens at a pressure. What makes pressure at a given speed?",
            "A smaller hole makes more pressure at the same flow.",
            "So the preload is reached at a … speed.",
        ),
        steps=(Step("Smaller hole, more pressure, sooner at the preload: answer b"),),
    )


def _other_end(total: int, soft: int) -> Task:
    answer = total - soft
    return Task(
        statement=f"The maker's card says **rebound {soft} from soft**. You count **{total} "
        "clicks** in all. Where do you set it, counted out from closed?",
        answer=float(answer),
        quantity="clicks",
        unit="clicks",
        tolerance=0.0,
        slips=(
            Slip(
                "wrong end",
                float(soft),
                "That is the card's number, from the other end. From "
                "closed it would be a different setting altogether.",
            ),
            Slip("off by one", float(answer + 1), "One too many: the end itself is click 0."),
            Slip(
                "added",
                float(total + soft),
                "You added. The two counts together make the whole range, no more.",
            ),
            Slip(
                "turned round",
                float(-answer),
                "You took the range away from the card's number. Take that number away from all "
                "the clicks.",
            ),
        ),
        hints=(
            "The two counts add up to the whole range.",
            "From closed = all − from soft.",
            f"{total} − {soft}.",
        ),
        steps=(Step("Out from closed", f"{total} − {soft}", float(answer), "clicks"),),
    )


def _valve_spring(wire: float, coil: float, turns: float) -> Task:
    shear = 11.85e6
    pounds = wire**4 * shear / (8 * coil**3 * turns)
    answer = to_si(pounds, "lbf/in")
    return Task(
        statement="The spring behind a loaded valve is a little coil spring. An old handbook "
        f"counts in inches: wire **{wire:g} in**, mean coil **{coil:g} in**, **{turns:g}** "
        f"working turns, shear modulus {_grouped(shear)} lbf/in². What is its rate? "
        "(Shear modulus × wire⁴ ÷ (8 × coil³ × turns) comes out in lbf/in; you may answer in "
        "that unit.)",
        answer=answer,
        quantity="stiffness",
        unit="N/mm",
        tolerance=0.01,
        slips=(
            Slip(
                "unit",
                pounds * 1e3,
                "That number is in lbf/in, and without a unit it is read "
                'as N/mm. Write the unit behind it, "… lbf/in", or turn it into N/mm.',
            ),
            Slip("eight forgotten", 8 * answer, "The 8 below the line is missing."),
        ),
        hints=(
            "A thicker wire makes it stiffer, a wider coil and more turns softer.",
            "Rate = shear modulus × wire⁴ ÷ (8 × coil³ × turns).",
            f"wire⁴ = {wire**4:.4g}, coil³ = {coil**3:.4g}.",
        ),
        steps=(
            Step("In the handbook's unit, lbf/in", "modulus × wire⁴ ÷ (8 × coil³ × turns)", pounds),
            Step("In N/mm", "× 0.1751", answer, "N/mm"),
        ),
    )


def _grouped(number: float) -> str:
    return f"{number:,.0f}".replace(",", " ")


def _kind() -> Task:
    return Task(
        statement="A damper has a bypass: near ride height extra holes are open, deep in its "
        "travel they are covered. A colleague has one dyno table of it, driven at the middle of "
        "its travel. What can you say about clicks for deep travel?",
        answer="c",
        choices={
            "a": "The same as for any damper: force depends on speed and setting.",
            "b": "Multiply the table by the share of holes that are covered.",
            "c": "Nothing from this table: force depends on position too, and it was not measured.",
        },
        slips=(
            Slip(
                "same",
                "a",
                "That is just what a bypass breaks: at one speed it makes one force "
                "in the middle and another one deep down.",
            ),
            Slip(
                "multiply", "b", "A guess with a formula is still a guess. Nobody measured there."
            ),
        ),
        hints=(
            "What does force depend on in this damper?",
            "On speed, setting and position. How many positions does the table have?",
            "One. So for deep travel you know …",
        ),
        steps=(
            Step("Force depends on position, and the table holds one position"),
            Step("So no click advice can be given from it: answer c"),
        ),
    )


_TRADE = "Common practice, no source."
_COURSE = "This course's own question, on invented numbers; the formula is that of the lesson."

EXERCISES = (
    Exercise("4.1", "A slow press", _slow, {}, lambda rng: {}, _TRADE),
    Exercise("4.2", "A fast press", _fast, {}, lambda rng: {}, _TRADE),
    Exercise(
        "4.3",
        "Oil that the rod drives out",
        _flow,
        {"rod_mm": 22, "speed": 0.1},
        lambda rng: {
            "rod_mm": int(rng.integers(12, 30)),
            "speed": float(rng.integers(1, 20)) / 20,
        },
        _COURSE,
    ),
    Exercise(
        "4.4",
        "What a sharp hole costs",
        _orifice,
        {"flow_cm3": 38, "area_mm2": 1.6},
        lambda rng: {
            "flow_cm3": int(rng.integers(10, 90)),
            "area_mm2": float(rng.integers(8, 40)) / 10,
        },
        "Sharp-edged orifice, contraction π/(π + 2) = 0.611: Merritt, Hydraulic Control Systems "
        "(from memory; the number follows from the formula).",
    ),
    Exercise(
        "4.5",
        "Gas as a spring",
        _gas,
        {"pressure_bar": 14, "rod_mm": 22, "volume_cm3": 250},
        lambda rng: {
            "pressure_bar": int(rng.integers(5, 25)),
            "rod_mm": int(rng.integers(14, 30)),
            "volume_cm3": int(rng.integers(12, 60)) * 10,
        },
        "Stiffness of a gas spring, n p A²/V: an identity, checked in the tests against the "
        "slope of the gas law.",
    ),
    Exercise(
        "4.6",
        "Clicks that feel alike",
        _needle,
        {"closed": 0.3, "wide": 2.05, "clicks": 20},
        lambda rng: {
            "closed": float(rng.integers(2, 9)) / 10,
            "wide": float(rng.integers(15, 50)) / 10,
            "clicks": int(rng.integers(10, 31)),
        },
        _COURSE,
    ),
    Exercise("4.7", "What moves the knee", _knee, {}, lambda rng: {}, _TRADE),
    Exercise(
        "4.8",
        "The card counts from soft",
        _other_end,
        {"total": 24, "soft": 8},
        lambda rng: {
            "total": (total := int(rng.integers(12, 36))),
            "soft": int(rng.integers(2, total - 3)),
        },
        _COURSE,
    ),
    Exercise("4.9", "A damper that this cannot describe", _kind, {}, lambda rng: {}, _TRADE),
    Exercise(
        "4.10",
        "The valve's own spring",
        _valve_spring,
        {"wire": 0.037, "coil": 0.4, "turns": 10.5},
        lambda rng: {
            "wire": float(rng.integers(28, 60)) / 1000,
            "coil": float(rng.integers(30, 60)) / 100,
            "turns": float(rng.integers(10, 26)) / 2,
        },
        "Shigley, Mechanical Engineering Design, example 10-1, music wire: 4.13 lbf/in (from "
        "memory; the computation reproduces it).",
    ),
)
