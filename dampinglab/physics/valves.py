"""A damper as hydraulics: needles, preloaded valves and a gas reservoir make its curve.

Bump oil displaced by the rod leaves through the base valve (a needle beside a preloaded valve:
the low-speed and the high-speed bump adjuster); the rest of the piston's oil passes the piston (a
fixed bleed beside a bump stack). Rebound oil passes the piston's rebound block (a needle beside a
stack: the rebound adjuster); a check valve lets it past the base valve. The bleeds are nearly
pure orifices. Leakage, foaming and hysteresis are not modelled.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.damper import Adjuster, Setting

__all__ = ["Block", "Needle", "ValveDamper", "block_pressure"]

_DENSITY = 860.0  # kg/m3, damper oil, invented but usual
_CHECK = 1.94e8  # Pa s/m3, what the check valve of the base costs rebound oil; invented, small
_DISCHARGE = 0.7  # flow coefficient of a short bleed; a sharp edge has 0.611


@dataclass(frozen=True)
class Needle:
    """An adjustable orifice: area against clicks, leak + open (1 - closed share)^power.

    Parameters
    ----------
    open_area, leak_area : float
        Area that the needle adds when fully open, and what is left when closed, m2.
    power : float, optional
        Shape of the needle: 1 opens evenly, above 1 more and more per click.
    """

    open_area: float
    leak_area: float
    power: float = 1.3

    def area(self, openness):
        """Return the area, m2, at an openness from 0 (closed) to 1 (open)."""
        return self.leak_area + self.open_area * np.power(openness, self.power)


@dataclass(frozen=True)
class Block:
    """A bleed beside a preloaded main valve, with a port in series.

    Parameters
    ----------
    preload : tuple of float
        Pressure at which the main valve opens, Pa, with its adjuster open and closed.
    slope : tuple of float
        Rise of pressure with flow through the main valve, Pa s/m3, open and closed.
    laminar : float
        Viscous part of the bleed, Pa s/m3.
    port : float
        Pressure of the port in series over flow squared, Pa s2/m6.
    """

    preload: tuple[float, float]
    slope: tuple[float, float]
    laminar: float
    port: float = 0.0


def block_pressure(flow, area, preload, slope, laminar, port=0.0):
    """Return the pressure over a bleed beside a preloaded valve, in closed form.

    Bleed: dp = a Q + b Q^2 with b = rho / (2 (Cd A)^2). Once that passes the preload p0 the main
    valve shares the flow, dp = p0 + k Qv, and the bleed's part follows from a quadratic.

    Parameters
    ----------
    flow : array_like
        Flow, m3/s, zero or more.
    area : float
        Bleed area, m2, above zero.
    preload, slope, laminar, port : float
        p0 (Pa), k (Pa s/m3), a (Pa s/m3), c (Pa s2/m6).

    Returns
    -------
    ndarray
        Pressure, Pa, rising with flow.
    """
    q = np.asarray(flow, float)
    b = _DENSITY / (2 * (_DISCHARGE * area) ** 2)
    shut = laminar * q + b * q * q
    h, bk = 1 + laminar / slope, b / slope
    bleed = (-h + np.sqrt(h * h + 4 * bk * (q + preload / slope))) / (2 * bk)
    shared = laminar * bleed + b * bleed * bleed
    return np.where(shut <= preload, shut, shared) + port * q * q


@dataclass(frozen=True)
class ValveDamper:
    """A three-adjuster damper: low-speed bump, high-speed bump, rebound.

    Parameters
    ----------
    name : str
        What the workshop calls it.
    clicks : tuple of int
        Clicks from closed to open of the three adjusters, in that order.
    bore, rod : float
        Diameters, m.
    base_needle, rebound_needle : Needle
        The low-speed bump and the rebound needle.
    base, piston, rebound : Block
        The three valve blocks; the high-speed bump adjuster moves the base block's preload and
        slope, the rebound adjuster the rebound block's.
    piston_bleed : float
        Fixed bleed of the piston in bump, m2.
    gas_pressure, gas_volume : float
        Pa and m3 at ride height.
    friction_force : float
        Seal friction, N.
    """

    name: str
    clicks: tuple[int, int, int]
    bore: float
    rod: float
    base_needle: Needle
    base: Block
    piston: Block
    piston_bleed: float
    rebound_needle: Needle
    rebound: Block
    gas_pressure: float
    gas_volume: float
    friction_force: float

    @cached_property
    def adjusters(self) -> tuple[Adjuster, ...]:
        """The three adjusters with their clicks."""
        names = ("low-speed bump", "high-speed bump", "rebound")
        return tuple(Adjuster(*pair) for pair in zip(names, self.clicks, strict=True))

    @cached_property
    def areas(self) -> tuple[float, float]:
        """Rod area and ring area of the piston, m2."""
        rod = np.pi / 4 * self.rod**2
        return rod, np.pi / 4 * self.bore**2 - rod

    def valve_force(self, speed, setting: Setting):
        """Return the force of the valves; gas and friction apart.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.
        setting : tuple of int
            Clicks out from closed: low-speed bump, high-speed bump, rebound.

        Returns
        -------
        ndarray
            Force, N, positive when it resists bump.

        Raises
        ------
        OutOfRange
            If there are not three numbers, or one is past its last click.
        """
        if len(setting) != len(self.adjusters):
            raise OutOfRange(f"{self.name} has three adjusters, so give three clicks, not {setting}.")
        for adjuster, clicks in zip(self.adjusters, setting, strict=True):
            check_range(
                f"A {adjuster.name} setting", clicks, 0, adjuster.clicks, "clicks out from closed"
            )
        low, high, back = np.divide(setting, self.clicks)
        v = np.asarray(speed, float)
        bump, rebound = np.maximum(v, 0), np.maximum(-v, 0)
        return self._bump(bump, low, high) - self._rebound(rebound, back)

    def _bump(self, speed, low, high):
        rod, ring = self.areas
        area = self.base_needle.area(low)
        base = self._pressure(self.base, rod * speed, area, high)
        piston = self._pressure(self.piston, ring * speed, self.piston_bleed, 1.0)
        return rod * base + ring * piston

    def _rebound(self, speed, openness):
        rod, ring = self.areas
        area = self.rebound_needle.area(openness)
        piston = self._pressure(self.rebound, ring * speed, area, openness)
        return ring * piston + rod * _CHECK * rod * speed

    @staticmethod
    def _pressure(block: Block, flow, area, openness):
        preload, slope = (
            shut + openness * (wide - shut) for wide, shut in (block.preload, block.slope)
        )
        return block_pressure(flow, area, preload, slope, block.laminar, block.port)

    def gas_force(self, travel):
        """Return the gas force on the rod, N, at a shaft travel, m, positive in bump."""
        rod, _ = self.areas
        squeezed = self.gas_volume / (self.gas_volume - rod * np.asarray(travel, float))
        return rod * (self.gas_pressure * squeezed**_POLYTROPIC - _ATMOSPHERE)

    def friction(self, speed):
        """Return the seal friction, N, at a shaft speed, m/s."""
        return self.friction_force * np.tanh(np.asarray(speed, float) / 0.01)

    def beyond(self, speed, setting: Setting):
        """Return False everywhere: equations have no last row."""
        del setting
        return np.zeros(np.shape(speed), bool)


_POLYTROPIC = 1.2
_ATMOSPHERE = 1e5  # Pa
