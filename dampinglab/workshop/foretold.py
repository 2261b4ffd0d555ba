"""A bounce test beside what sheet and damper foretell of the same corner."""

import math
from dataclasses import dataclass

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import MeasuredDamper, RatedDamper, damping_ratio
from dampinglab.physics.oscillator import damping_ratio as share_of_critical
from dampinglab.physics.vehicle import Corner, wheel_damping
from dampinglab.workshop.bounce import BounceReading, damper_ratio, friction_share
from dampinglab.workshop.start import named_setting

__all__ = ["Foretold", "beside", "foretell", "sides"]

_NEAR = 0.05  # of a damping ratio that a sheet and a phone may well be apart
_OFF = 0.10  # share of a frequency that is worth a second look


@dataclass(frozen=True)
class Foretold:
    """What a corner should show in a bounce test.

    Parameters
    ----------
    least, most : float
        Damping ratio of the body on its spring, friction included, mean of bump and rebound.
    frequency : float
        Of the body on spring and tyre, Hz.
    speed : float
        The shaft speed that it holds for, m/s.
    """

    least: float
    most: float
    frequency: float
    speed: float


def foretell(
    corner: Corner,
    damper: MeasuredDamper | RatedDamper | None,
    clicks: dict | None,
    reading: BounceReading,
) -> Foretold | None:
    """Return what sheet and damper foretell for the swing that was recorded.

    Parameters
    ----------
    corner : Corner
        As weighed.
    damper : MeasuredDamper, RatedDamper or None
        What is known of it.
    clicks : mapping of str to int or None
        Where it stood.
    reading : BounceReading
        The swing, which sets the shaft speed.

    Returns
    -------
    Foretold or None
        None when nothing is known of the damper, or the table does not tell this setting.
    """
    swing, speed = _swing(corner, reading)
    try:
        edges = _edges(corner, damper, clicks, speed)
    except OutOfRange:
        return None
    if edges is None:
        return None
    added = friction_share(corner.friction, corner.standing_rate, swing)
    return Foretold(edges[0] + added, edges[1] + added, corner.ride_frequency, speed)


def beside(corner: Corner, reading: BounceReading, told: Foretold | None) -> tuple[str, ...]:
    """Return how a bounce test and the sheet stand beside each other.

    Parameters
    ----------
    corner : Corner
        As weighed.
    reading : BounceReading
        The bounce test.
    told : Foretold or None
        What was foretold.

    Returns
    -------
    tuple of str
        Whole sentences.
    """
    return (*_frequencies(corner, reading), *_ratios(corner, reading, told))


def sides(left: BounceReading, right: BounceReading, axle: str) -> str:
    """Return how the two sides of an axle compare.

    Parameters
    ----------
    left, right : BounceReading
        The two records.
    axle : str
        "front" or "rear".

    Returns
    -------
    str
        One sentence.
    """
    if not (left.readable and right.readable):
        return f"{axle.capitalize()}: left and right cannot be compared, for one is not readable."
    apart = abs(left.ratio.value - right.ratio.value)
    open_ = 2 * math.hypot(left.ratio.sigma, right.ratio.sigma)
    if apart <= max(open_, _NEAR):
        return f"{axle.capitalize()}: left and right agree within what the test can tell."
    reads = f"left reads {left.ratio.value:.2f} and right {right.ratio.value:.2f}"
    return f"{axle.capitalize()}: {reads}: a fault to find, never a setting."


def _swing(corner: Corner, reading: BounceReading) -> tuple[float, float]:
    """Return the height of the largest swing read, m, and its speed at the shaft, m/s."""
    turning = 2 * math.pi * reading.frequency.value
    peaks = [abs(peak.height) for peak in reading.peaks] or [reading.decay.height]
    height = max(peaks) / turning**2
    height = min(max(height, 1e-3), 0.2)
    return height, height * turning * corner.damper_motion_ratio


def _edges(corner: Corner, damper, clicks: dict | None, speed: float):
    """Return the least and the greatest mean of bump and rebound."""
    if isinstance(damper, RatedDamper):
        bands = [damper.band(way * speed) for way in (1, -1)]
        return [_share(corner, sum(forces) / 2 / speed) for forces in zip(*bands, strict=True)]
    if damper is None or clicks is None:
        return None
    setting = named_setting(damper, clicks)
    both = [float(damping_ratio(damper, way * speed, setting, corner)) for way in (1, -1)]
    return [sum(both) / 2] * 2


def _share(corner: Corner, coefficient: float) -> float:
    at_wheel = wheel_damping(coefficient, corner.damper_motion_ratio)
    return float(share_of_critical(at_wheel, corner.standing_rate, corner.sprung_mass))


def _frequencies(corner: Corner, reading: BounceReading) -> tuple[str, ...]:
    shown, foretold = reading.frequency.value, corner.ride_frequency
    told = f"It swings at {shown:.2f} Hz; the sheet foretells {foretold:.2f} Hz on spring and tyre"
    if not reading.readable:
        return ()
    if abs(shown - foretold) <= _OFF * foretold:
        return (f"{told}: they agree.",)
    rate = (2 * math.pi * shown) ** 2 * corner.sprung_mass
    stiff = rate * corner.tyre_rate / (corner.tyre_rate - rate) if rate < corner.tyre_rate else None
    mend = f"; about {stiff / 1e3:.0f} N/mm at the wheel would swing so" if stiff else ""
    return (f"{told}: look at the wheel rate and the masses on the sheet{mend}.",)


def _ratios(corner: Corner, reading: BounceReading, told: Foretold | None) -> tuple[str, ...]:
    if told is None:
        return ("Nothing foretells its damping yet: give a rating or a table, and the clicks.",)
    one = told.most - told.least < 0.005
    shape = f"{told.least:.2f}" if one else f"{told.least:.2f} to {told.most:.2f}"
    foretold = f"sheet and damper foretell {shape} at {1e3 * told.speed:.0f} mm/s at the shaft"
    read = reading.ratio.value if reading.readable else reading.bound
    alone = damper_ratio(min(read, 1.0), corner.standing_rate, corner.tyre_rate)
    if not reading.readable:
        return (f"On the spring alone that is {alone:.2f} or more; {foretold}.",)
    spare = max(2 * reading.ratio.sigma, _NEAR)
    return (f"On the spring alone the record tells {alone:.2f}; {foretold}: "
            f"{_verdict(alone, told, spare)}.",)  # fmt: skip


def _verdict(value: float, told: Foretold, spare: float) -> str:
    if value > told.most + spare:
        return (
            "more than foretold: check motion ratio and clicks first, then friction or a bent rod"
        )
    if value < told.least - spare:
        return "less than foretold: check motion ratio and clicks first, then for oil or gas lost"
    return "they agree"
