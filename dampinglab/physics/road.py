"""Roads as a wheel meets them: single events and ISO 8608 random profiles, in time.

A road is first a profile over distance, then rolled over by a tyre of a given radius (which
rounds what is sharper than the tyre), then driven at a speed.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import grey_dilation

from dampinglab.errors import OutOfRange, check_range

__all__ = [
    "CLASS_MEANS",
    "Road",
    "corrugation",
    "dip",
    "drive",
    "hump",
    "iso8608",
    "long_waves",
    "pothole",
    "ridge",
    "roll_over",
    "step",
]

CLASS_MEANS = {"A": 16e-6, "B": 64e-6, "C": 256e-6, "D": 1024e-6, "E": 4096e-6}
"""Gd(n0) of the ISO 8608 classes at n0 = 0.1 cycles/m, geometric means, m3 (ISO 8608:2016,
table; the standard's text itself was not read)."""

_N0 = 0.1  # cycles/m, reference spatial frequency of ISO 8608
_BAND = (0.01, 10.0)  # cycles/m, the span of wavelengths that ISO 8608 describes for roads
_GRID = 0.01  # m between profile points: a tenth of the shortest wavelength of the standard
_TYRE_RADIUS = 0.4  # m, invented, a usual off-road size


@dataclass(frozen=True)
class Road:
    """Height of the road under one wheel against time.

    Parameters
    ----------
    name : str
        As a driver would say it.
    time : ndarray
        Even steps from 0, s.
    height : ndarray
        Height under the wheel, m, positive up, starting at 0.
    velocity : ndarray
        Its rate of change, m/s.
    """

    name: str
    time: np.ndarray
    height: np.ndarray
    velocity: np.ndarray

    @property
    def dt(self) -> float:
        """Time between two points, s."""
        return float(self.time[1] - self.time[0])


def roll_over(height, spacing, radius):
    """Return the height of a tyre's lowest point, less its radius, as it rolls over a profile.

    The tyre is a rigid disc: it bridges what is narrower than itself and meets an edge of height
    h from a distance sqrt(2 r h - h^2) away, about 0.21 m for 60 mm and a radius of 0.4 m.

    Parameters
    ----------
    height : array_like
        Profile, m, evenly spaced.
    spacing : float
        Distance between its points, m.
    radius : float
        Tyre radius, m; 0 returns the profile as it is.

    Returns
    -------
    ndarray
        Height that the wheel follows, m, same shape.

    Raises
    ------
    OutOfRange
        If the spacing or the radius is no length of a road or a tyre.
    """
    check_range("Tyre radius", radius, 0, 2, "m")
    check_range("Spacing", spacing, 1e-4, 1, "m")
    if radius <= spacing:
        return np.asarray(height, float)
    reach = int(radius / spacing)
    across = spacing * np.arange(-reach, reach + 1)
    disc = np.sqrt(np.maximum(radius**2 - across**2, 0)) - radius
    return grey_dilation(np.asarray(height, float), structure=disc, mode="nearest")


def drive(name, distance, height, speed, duration, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a road profile as one wheel meets it at a steady speed.

    Parameters
    ----------
    name : str
        As a driver would say it.
    distance, height : array_like
        Profile, m, evenly spaced in distance; level where it does not reach.
    speed : float
        Road speed, m/s, 0.1 to 70.
    duration : float
        Length of the record, s, 0.01 to 600.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time, starting at height 0.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range or the profile is not evenly spaced.
    """
    check_range("Road speed", speed, 0.1, 70, "m/s", "3.6 km/h is 1 m/s")
    check_range("Duration", duration, 0.01, 600, "s")
    x = np.asarray(distance, float)
    gaps = np.diff(x)
    if gaps.size == 0 or np.ptp(gaps) > 1e-6 * gaps.mean():
        raise OutOfRange("A road profile needs points at even distances.")
    rolled = roll_over(height, float(gaps.mean()), radius)
    time = dt * np.arange(round(duration / dt) + 1)
    z = np.interp(speed * time, x, rolled - rolled[0])
    return Road(name, time, z, np.gradient(z, dt))


def step(height, speed, duration=4.0, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a kerb of one height, met a second after the start.

    Parameters
    ----------
    height : float
        m, positive up, -0.3 to 0.3.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Step height", height, -0.3, 0.3, "m", "1000 mm is 1 m")
    x = _distances(speed, duration, 0.0)
    z = np.where(x >= speed, height, 0.0)
    name = f"step of {1e3 * height:.0f} mm at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def hump(height, length, speed, duration=4.0, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a round-topped hump, an arc of a circle, met a second after the start.

    Parameters
    ----------
    height : float
        Height of the middle, m, above 0 to 0.5; a speed hump is 0.075 to 0.1.
    length : float
        Length along the road, m, at least twice the height; a speed hump is 3.7.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    Profile of the Watts hump, 3.7 m long and 75 to 100 mm high: Institute of Transportation
    Engineers, traffic calming practice, read in a public copy.
    """
    check_range("Hump height", height, 1e-4, 0.5, "m", "1000 mm is 1 m")
    check_range("Hump length", length, 2 * height, 100, "m", "longer than twice its height")
    arc = (length**2 / 4 + height**2) / (2 * height)
    x = _distances(speed, duration, length)
    middle = speed + length / 2
    rise = np.sqrt(np.maximum(arc**2 - (x - middle) ** 2, 0)) - (arc - height)
    z = np.where(np.abs(x - middle) <= length / 2, np.maximum(rise, 0), 0.0)
    name = f"hump of {1e3 * height:.0f} mm at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def pothole(depth, length, speed, duration=4.0, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a hole with sharp edges, met a second after the start.

    A wheel drops into it only as far as its tyre fits between the edges.

    Parameters
    ----------
    depth : float
        m, above 0 to 0.3.
    length : float
        Along the road, m, 0.05 to 20.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Pothole depth", depth, 1e-4, 0.3, "m", "1000 mm is 1 m")
    check_range("Pothole length", length, 0.05, 20, "m", "1000 mm is 1 m")
    x = _distances(speed, duration, length)
    z = np.where((x >= speed) & (x < speed + length), -depth, 0.0)
    name = f"pothole of {1e3 * depth:.0f} mm at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def ridge(height, length, speed, duration=4.0, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return one smooth ridge, h (1 - cos) / 2, met a second after the start.

    Parameters
    ----------
    height : float
        Height of its crest, m, above 0 to 0.3.
    length : float
        Along the road, m, 0.05 to 20.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Ridge height", height, 1e-4, 0.3, "m", "1000 mm is 1 m")
    check_range("Ridge length", length, 0.05, 20, "m", "1000 mm is 1 m")
    x = _distances(speed, duration, length)
    z = height * _crests((x - speed) / length, 1)
    name = f"ridge of {1e3 * height:.0f} mm at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def long_waves(height, wavelength, speed, duration=6.0, *, count=2, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a few long waves, h (1 - cos) / 2 each, that begin a second after the start.

    Parameters
    ----------
    height : float
        From trough to crest, m, above 0 to 0.5.
    wavelength : float
        From crest to crest, m, 3 to 200.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    count : int, optional
        How many waves.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time; level before the first wave and behind the last.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Wave height", height, 1e-4, 0.5, "m", "1000 mm is 1 m")
    check_range("Wavelength", wavelength, 3, 200, "m")
    check_range("Count of waves", count, 1, 100)
    x = _distances(speed, duration, count * wavelength)
    z = height * _crests((x - speed) / wavelength, count)
    name = f"waves of {1e3 * height:.0f} mm every {wavelength:.0f} m at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def dip(depth=0.12, length=6.0, speed=50 / 3.6, duration=2.5, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return one dip, -h (1 - cos) / 2, met a second after the start.

    As it stands it uses up the bump travel of many a vehicle: invented, and the one on which the
    course states what a bump stop takes.

    Parameters
    ----------
    depth : float, optional
        m, above 0 to 0.5.
    length : float, optional
        Along the road, m, 1 to 200.
    speed : float, optional
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Depth of the dip", depth, 1e-4, 0.5, "m", "1000 mm is 1 m")
    check_range("Length of the dip", length, 1, 200, "m")
    x = _distances(speed, duration, length)
    z = -depth * _crests((x - speed) / length, 1)
    name = f"dip of {1e3 * depth:.0f} mm over {length:g} m at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def corrugation(depth, wavelength, speed, duration=6.0, *, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a corrugated road: a sine that is ramped in over the first second.

    The wheel meets it speed / wavelength times a second.

    Parameters
    ----------
    depth : float
        From trough to crest, m, above 0 to 0.2.
    wavelength : float
        From crest to crest, m, 0.2 to 5.
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.
    """
    check_range("Corrugation depth", depth, 1e-4, 0.2, "m", "1000 mm is 1 m")
    check_range("Wavelength", wavelength, 0.2, 5, "m")
    x = _distances(speed, duration, 0.0)
    z = depth / 2 * np.sin(2 * np.pi * x / wavelength) * _ramp(x / speed)
    name = f"corrugation of {1e3 * depth:.0f} mm every {wavelength:g} m at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def _distances(speed: float, duration: float, length: float) -> np.ndarray:
    """Return even distances that hold the whole drive and the whole event."""
    check_range("Road speed", speed, 0.1, 70, "m/s", "3.6 km/h is 1 m/s")
    return _GRID * np.arange(int((speed * max(duration, 1.0) + length) / _GRID) + 200)


def _crests(place: np.ndarray, count: int) -> np.ndarray:
    """Return (1 - cos) / 2 over a count of whole waves, and 0 elsewhere."""
    inside = (place >= 0) & (place <= count)
    return np.where(inside, (1 - np.cos(2 * np.pi * place)) / 2, 0.0)


def _ramp(time: np.ndarray) -> np.ndarray:
    """Return a smooth rise from 0 to 1 over the first second."""
    part = np.clip(time, 0, 1)
    return part**2 * (3 - 2 * part)


def iso8608(road_class, speed, duration=10.0, *, seed=0, dt=1e-3, radius=_TYRE_RADIUS):
    """Return a random road of an ISO 8608 class, ramped in over the first second.

    Displacement spectrum Gd(n) = Gd(n0) (n / n0)^-2 between 0.01 and 10 cycles/m, as a sum of
    waves with random phases: the spectrum is exact, only the phases are chance.

    Parameters
    ----------
    road_class : str
        "A" (very good) to "E" (very poor).
    speed : float
        Road speed, m/s.
    duration : float, optional
        Length of the record, s.
    seed : int, optional
        The same seed gives the same road.
    dt : float, optional
        Time step, s.
    radius : float, optional
        Tyre radius, m; 0 leaves the profile as the class describes it.

    Returns
    -------
    Road
        The road in time.

    Raises
    ------
    OutOfRange
        If there is no such class or an argument lies outside its range.

    References
    ----------
    ISO 8608:2016, Mechanical vibration: road surface profiles. Class means read in public code.
    """
    if road_class not in CLASS_MEANS:
        raise OutOfRange(f"There is no road class {road_class!r}; give A, B, C, D or E.")
    check_range("Road speed", speed, 0.1, 70, "m/s", "3.6 km/h is 1 m/s")
    x, z = _random_profile(CLASS_MEANS[road_class], speed * duration, seed)
    z *= _ramp(x / speed)
    name = f"ISO 8608 class {road_class} at {3.6 * speed:.0f} km/h"
    return drive(name, x, z, speed, duration, dt=dt, radius=radius)


def _random_profile(mean, length, seed):
    """Return distances and heights of a random profile with a given Gd(n0)."""
    # At least 100 m, or the longest waves of the standard would be missing.
    count = int(max(length, 100.0) / _GRID) + 200
    n = np.fft.rfftfreq(count, _GRID)
    inside = (n >= _BAND[0]) & (n <= _BAND[1])
    density = np.where(inside, mean * (_N0 / np.where(inside, n, 1)) ** 2, 0.0)
    phase = np.random.default_rng(seed).uniform(0, 2 * np.pi, n.size)
    waves = np.sqrt(2 * density * n[1]) * np.exp(1j * phase)
    return _GRID * np.arange(count), np.fft.irfft(waves * count / 2, count)
