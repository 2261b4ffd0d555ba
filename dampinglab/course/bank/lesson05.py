"""Exercises of lesson 05: road speed and wavelength, shaft speed, shares of time and energy."""

import math

from dampinglab.course.exercise import Exercise, Slip, Step, Task
from dampinglab.physics.oscillator import natural_frequency, transmissibility
from dampinglab.units import show

__all__ = ["EXERCISES"]


def _frequency_ratio(mass: float, rate: float, speed_kmh: float, wavelength: float) -> Task:
    road = speed_kmh / 3.6 / wavelength
    own = float(natural_frequency(rate, mass))
    answer = road / own
    return Task(
        statement=f"A car of **{mass:g} kg** on springs of **{show(rate, 'N/mm')}** in all drives "
        f"at **{speed_kmh:g} km/h** over waves **{wavelength:g} m** long. How does the frequency "
        "of the road compare with its own: road ÷ own?",
        answer=answer,
        quantity="ratio",
        unit="",
        tolerance=0.01,
        slips=(
            Slip(
                "km/h",
                answer * 3.6,
                "You divided km/h by metres. Divide the speed by 3.6 "
                "first, to get metres a second.",
            ),
            Slip(
                "2π",
                answer / (2 * math.pi),
                "You compared Hz with radians a second. Put both in the same unit.",
            ),
            Slip("upside down", 1 / answer, "You divided its own frequency by the road's."),
        ),
        hints=(
            "How many waves does it meet in a second?",
            "Road frequency = speed ÷ wavelength; own frequency = √(k / m) / (2π).",
            f"{speed_kmh:g} km/h is {speed_kmh / 3.6:.3f} m/s; the road makes {road:.4f} Hz.",
        ),
        steps=(
            Step("Frequency of the road", "speed ÷ wavelength", road, "Hz"),
            Step("Its own frequency", "√(k / m) / (2π)", own, "Hz"),
            Step("Road over own", "", answer),
        ),
    )


def _waves(
    mass: float, rate: float, zeta: float, speed_kmh: float, wavelength: float, height_mm: float
) -> Task:
    road = speed_kmh / 3.6 / wavelength
    ratio = road / float(natural_frequency(rate, mass))
    passed = float(transmissibility(ratio, zeta))
    answer = passed * height_mm / 1e3
    return Task(
        statement=f"A car of {mass:g} kg on {rate / 1e3:g} N/mm, damping ratio {zeta:g}, meets "
        f"waves {wavelength:g} m long and **±{height_mm:g} mm** high at **{speed_kmh:g} km/h**. "
        "How far does its body swing, ± from the middle?",
        answer=answer,
        quantity="length",
        unit="mm",
        tolerance=0.01,
        slips=(
            Slip(
                "km/h",
                float(transmissibility(3.6 * ratio, zeta)) * height_mm / 1e3,
                "You divided km/h by metres for the road's frequency. Divide the speed by 3.6 "
                "first.",
            ),
            Slip(
                "road itself",
                height_mm / 1e3,
                "That is the road. Near its own frequency a "
                "body swings further than the road does.",
            ),
        ),
        hints=(
            "First the frequency ratio r, then how much of the road reaches the body.",
            "X = Y √((1 + (2ζr)²) ÷ ((1 − r²)² + (2ζr)²)).",
            f"r = {ratio:.4f}.",
        ),
        steps=(
            Step("Frequency ratio r", "road ÷ own", ratio),
            Step("Share that reaches the body", "√((1 + (2ζr)²) ÷ ((1 − r²)² + (2ζr)²))", passed),
            Step("Swing of the body", "share × height of the road", answer, "mm"),
        ),
    )


def _corrugation(speed_kmh: float, wavelength: float) -> Task:
    answer = speed_kmh / 3.6 / wavelength
    return Task(
        statement=f"Corrugations **{wavelength:g} m** apart, driven at **{speed_kmh:g} km/h**. "
        "How many does a wheel meet each second?",
        answer=answer,
        quantity="frequency",
        unit="Hz",
        slips=(
            Slip("km/h", answer * 3.6, "You divided km/h by metres. Divide by 3.6 first."),
            Slip("upside down", 1 / answer, "That is the time from one to the next, in seconds."),
        ),
        hints=(
            "How far does it drive in a second, and how many waves lie on that way?",
            "Frequency = speed in m/s ÷ wavelength in m.",
            f"{speed_kmh:g} km/h is {speed_kmh / 3.6:.2f} m/s.",
        ),
        steps=(
            Step("Metres in a second", f"{speed_kmh:g} ÷ 3.6", speed_kmh / 3.6, "m/s"),
            Step("Waves in a second", f"÷ {wavelength:g} m", answer, "Hz"),
        ),
    )


def _shaft(depth_mm: float, frequency: float, ratio: float) -> Task:
    peak = 2 * math.pi * frequency * depth_mm / 1e3
    answer = peak * ratio
    return Task(
        statement=f"The body stands still in the air while its wheel follows a road of "
        f"**±{depth_mm:g} mm at {frequency:g} Hz**. The motion ratio is {ratio:g}. How fast is "
        "the damper's shaft at its fastest?",
        answer=answer,
        quantity="speed",
        unit="mm/s",
        slips=(
            Slip("wheel", peak, "That is the wheel's speed. The shaft moves less: × motion ratio."),
            Slip(
                "Hz for rad/s",
                answer / (2 * math.pi),
                "You used Hz where radians a second "
                "belong: greatest speed = 2π × frequency × amplitude.",
            ),
            Slip("squared", answer * ratio, "You squared the motion ratio. A speed takes it once."),
        ),
        hints=(
            "First the wheel: how fast does it cross the middle?",
            "Greatest speed = 2π × frequency × amplitude; shaft = that × motion ratio.",
            f"2π × {frequency:g} × {depth_mm:g} mm = {1e3 * peak:.0f} mm/s at the wheel.",
        ),
        steps=(
            Step("Greatest speed of the wheel", "2π f X", peak, "mm/s"),
            Step("At the shaft", f"× {ratio:g}", answer, "mm/s"),
        ),
    )


def _from_log(travel_mm: float, time_ms: float) -> Task:
    answer = travel_mm / time_ms
    return Task(
        statement=f"In a travel log the damper moves **{travel_mm:g} mm in {time_ms:g} ms**. How "
        "fast is its shaft?",
        answer=answer,
        quantity="speed",
        unit="m/s",
        slips=(
            Slip(
                "seconds",
                travel_mm / 1e3 / time_ms,
                "You turned the millimetres into metres "
                "but left the milliseconds. Millimetres over milliseconds are metres a second "
                "already.",
            ),
            Slip(
                "upside down",
                1 / answer,
                "You divided time by travel. Speed is travel in each bit of time.",
            ),
        ),
        hints=(
            "Speed is travel ÷ time.",
            "Millimetres ÷ milliseconds gives metres a second as it stands.",
            f"{travel_mm:g} ÷ {time_ms:g}.",
        ),
        steps=(Step("Shaft speed", f"{travel_mm:g} mm ÷ {time_ms:g} ms", answer, "m/s"),),
    )


def _hump(length: float, speed_kmh: float) -> Task:
    answer = length / (speed_kmh / 3.6)
    return Task(
        statement=f"A round-topped speed hump is **{length:g} m** long. How long is one wheel on "
        f"it at **{speed_kmh:g} km/h**?",
        answer=answer,
        quantity="time",
        unit="s",
        slips=(
            Slip(
                "km/h",
                length / speed_kmh,
                "You divided metres by km/h. Divide the speed by 3.6 first.",
            ),
            Slip("upside down", 1 / answer, "You divided speed by length. Time is length ÷ speed."),
        ),
        hints=(
            "Time = way ÷ speed.",
            "Speed in m/s is km/h ÷ 3.6.",
            f"{speed_kmh:g} km/h is {speed_kmh / 3.6:.2f} m/s.",
        ),
        steps=(
            Step("Metres in a second", f"{speed_kmh:g} ÷ 3.6", speed_kmh / 3.6, "m/s"),
            Step("Time on the hump", f"{length:g} m ÷ speed", answer, "s"),
        ),
    )


def _split(shaft: float, ratio: float) -> Task:
    answer = shaft / ratio
    return Task(
        statement=f"The valves of a damper open at **{1e3 * shaft:g} mm/s of shaft speed**. The "
        f"motion ratio is {ratio:g}. At which **wheel** speed is that?",
        answer=answer,
        quantity="speed",
        unit="mm/s",
        slips=(
            Slip(
                "multiplied",
                shaft * ratio,
                "You multiplied. The wheel is the faster one here, "
                "so its speed is the larger number.",
            ),
            Slip("same", shaft, "That is the shaft's speed again. The wheel moves more."),
        ),
        hints=(
            "Which is faster, wheel or shaft?",
            "Shaft = wheel × motion ratio, so wheel = shaft ÷ motion ratio.",
            f"{1e3 * shaft:g} ÷ {ratio:g}.",
        ),
        steps=(Step("Wheel speed", f"{1e3 * shaft:g} mm/s ÷ {ratio:g}", answer, "mm/s"),),
    )


def _energy_share() -> Task:
    return Task(
        statement="On gravel a shaft spends a third of its moving time below 0.1 m/s. A colleague "
        'says: "So a third of the damper\'s work is done at low speed." What do you answer?',
        answer="b",
        choices={
            "a": "Yes: time and work go together.",
            "b": "No: heat is force × speed, so the fast moments carry nearly all of it.",
            "c": "No: it is two thirds, for slow movement meets more resistance.",
        },
        slips=(
            Slip(
                "together",
                "a",
                "In a slow moment both force and speed are small, so their "
                "product is small twice over. Compare the two shares "
                "in the panel.",
            ),
            Slip("more", "c", "Slow movement meets **less** force, and moves less as well."),
        ),
        hints=(
            "Work in each moment is force × speed.",
            "When the shaft is slow, both are small.",
            "So the slow third of the time carries … of the energy.",
        ),
        steps=(
            Step("Heat in each moment is force × speed, and both are small when it is slow"),
            Step("The slow third of the time holds only a few per cent of the energy: answer b"),
        ),
    )


def _road_speed() -> Task:
    return Task(
        statement='"Low speed is for town, high speed is for the highway." Where does a damper\'s '
        "shaft really move fast?",
        answer="a",
        choices={
            "a": "On a rutted track at 20 km/h more than on a smooth highway at 100.",
            "b": "On the highway: twice the road speed, twice the shaft speed.",
            "c": "Nowhere in particular: it depends on the clicks.",
        },
        slips=(
            Slip(
                "road speed",
                "b",
                "Road speed is along the road. The shaft feels how fast the "
                "road goes **up and down**, and a smooth highway hardly does.",
            ),
            Slip(
                "clicks",
                "c",
                "Clicks change the force at a speed far more than the speed "
                "itself. The road decides how fast the wheel is thrown up.",
            ),
        ),
        hints=(
            "Which way does a shaft move: along the road, or up and down?",
            "Compare the fastest shaft speeds of two road events in the panel.",
            "A smooth highway hardly goes up and down at all.",
        ),
        steps=(Step("The shaft feels the road's height, not the speedometer: answer a"),),
    )


_COURSE = "This course's own question, on invented numbers; the formula is that of the lesson."

EXERCISES = (
    Exercise(
        "5.1",
        "Road against own frequency",
        _frequency_ratio,
        {"mass": 1007, "rate": 4e5, "speed_kmh": 20, "wavelength": 6},
        lambda rng: {
            "mass": int(rng.integers(80, 250)) * 10,
            "rate": float(rng.integers(60, 400)) * 1e3,
            "speed_kmh": int(rng.integers(2, 12)) * 10,
            "wavelength": int(rng.integers(4, 30)),
        },
        "Downey and Micheli, Open Vibrations (CC BY-SA 4.0), chapter 3: frequency ratio 0.292, "
        "read in the public text.",
    ),
    Exercise(
        "5.2",
        "Body over waves",
        _waves,
        {"mass": 1200, "rate": 4e5, "zeta": 0.5, "speed_kmh": 20, "wavelength": 6, "height_mm": 50},
        lambda rng: {
            "mass": int(rng.integers(80, 250)) * 10,
            "rate": float(rng.integers(60, 400)) * 1e3,
            "zeta": float(rng.integers(3, 8)) / 10,
            "speed_kmh": int(rng.integers(2, 12)) * 10,
            "wavelength": int(rng.integers(4, 30)),
            "height_mm": int(rng.integers(10, 60)),
        },
        "Rao, Mechanical Vibrations, vehicle on a rough road: 0.0550 m, read in a public copy of "
        "the solution.",
    ),
    Exercise(
        "5.3",
        "Corrugations in a second",
        _corrugation,
        {"speed_kmh": 60, "wavelength": 0.7},
        lambda rng: {
            "speed_kmh": int(rng.integers(2, 10)) * 10,
            "wavelength": float(rng.integers(5, 12)) / 10,
        },
        _COURSE,
    ),
    Exercise(
        "5.4",
        "From road to shaft",
        _shaft,
        {"depth_mm": 10, "frequency": 8, "ratio": 0.6},
        lambda rng: {
            "depth_mm": int(rng.integers(3, 25)),
            "frequency": int(rng.integers(3, 15)),
            "ratio": float(rng.integers(9, 17)) / 20,
        },
        _COURSE,
    ),
    Exercise(
        "5.5",
        "Shaft speed from a log",
        _from_log,
        {"travel_mm": 12, "time_ms": 40},
        lambda rng: {
            "travel_mm": int(rng.integers(2, 40)),
            "time_ms": int(rng.integers(10, 100)),
        },
        _COURSE,
    ),
    Exercise(
        "5.6",
        "Time on a hump",
        _hump,
        {"length": 3.7, "speed_kmh": 30},
        lambda rng: {
            "length": float(rng.integers(20, 80)) / 10,
            "speed_kmh": int(rng.integers(2, 8)) * 10,
        },
        "Watts hump, 3.7 m long, driven at 25 to 30 km/h: Institute of Transportation Engineers, "
        "read in a public copy.",
    ),
    Exercise(
        "5.7",
        "The split at the wheel",
        _split,
        {"shaft": 0.15, "ratio": 0.6},
        lambda rng: {
            "shaft": float(rng.integers(4, 30)) / 100,
            "ratio": float(rng.integers(9, 17)) / 20,
        },
        _COURSE,
    ),
    Exercise("5.8", "Time and energy", _energy_share, {}, lambda rng: {}, _COURSE),
    Exercise(
        "5.9",
        "Which speed is low speed",
        _road_speed,
        {},
        lambda rng: {},
        "Common practice, no source; computed in the panel.",
    ),
)
