"""A damper as hydraulics: needles, preloaded valves and a gas reservoir make its curve.

Bump oil displaced by the rod leaves through the base valve (a needle beside a preloaded valve:
the low-speed and the high-speed bump adjuster); the rest of the piston's oil passes the piston (a
fixed bleed beside a bump stack). Rebound oil passes the piston's rebound block (a needle beside a
stack: the rebound adjuster); a check valve lets it past the base valve. The bleeds are nearly
pure orifices. Leakage, foaming and hysteresis are not modelled, so no fade is computed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from dampinglab.errors import OutOfRange, check_range
from dampinglab.physics.damper import Adjuster, Setting, dry_friction
from dampinglab.physics.valves import Block, Needle, opening_flow

__all__ = ["THREE_KNOBS", "Flows", "Knob", "ValveDamper"]

_CHECK = 2.0e8  # Pa s/m3, what the check valve of the base costs rebound oil; invented, small
_POLYTROPIC = 1.2
_ATMOSPHERE = 1e5  # Pa
_VAPOUR = 2e4  # Pa: oil breaks away before it reaches no pressure at all
_VALVES = ("low", "high", "rebound")


@dataclass(frozen=True)
class Knob:
    """One adjuster that the owner can turn, and which of the hidden valves it moves.

    Parameters
    ----------
    name : str
        As written beside it.
    clicks : int
        From closed to open.
    turns : tuple of {"low", "high", "rebound"}
        The valves: low-speed bump needle, high-speed bump preload, rebound needle.
    """

    name: str
    clicks: int
    turns: tuple[str, ...]


THREE_KNOBS = (
    Knob("low-speed bump", 18, ("low",)),
    Knob("high-speed bump", 10, ("high",)),
    Knob("rebound", 24, ("rebound",)),
)


@dataclass(frozen=True)
class Flows:
    """Where the oil goes at one shaft speed: flows in m3/s, pressures in Pa, none negative.

    Parameters
    ----------
    low_needle, high_valve, check : float
        Past the base: the low-speed bump needle, the high-speed bump valve, the check valve.
    piston_bleed, piston_stack, rebound_needle, rebound_stack : float
        Past the piston. The rebound needle takes bump oil only where no check valve shuts it.
    void : float
        What the oil cannot follow where it breaks away behind the piston.
    base_pressure, piston_pressure : float
        Drops over base and piston; times rod area and ring area they make the force.
    """

    low_needle: float = 0.0
    high_valve: float = 0.0
    check: float = 0.0
    piston_bleed: float = 0.0
    piston_stack: float = 0.0
    rebound_needle: float = 0.0
    rebound_stack: float = 0.0
    void: float = 0.0
    base_pressure: float = 0.0
    piston_pressure: float = 0.0


@dataclass(frozen=True)
class ValveDamper:
    """A damper of any kind that valves make: three adjusters, two, one, a dial, or none.

    Parameters
    ----------
    name : str
        What the workshop calls it.
    bore, rod : float
        Diameters, m.
    base_needle : Needle
        The low-speed bump needle.
    base : Block
        The base valve; "high" moves its preload and slope.
    piston : Block
        The bump stack of the piston.
    piston_bleed : float
        Fixed bleed of the piston in bump, m2.
    rebound_needle : Needle
        The rebound needle.
    rebound : Block
        The rebound stack of the piston; "rebound" moves its preload as well as the needle.
    gas_pressure, gas_volume : float
        Pa and m3 at ride height.
    friction_force : float
        Seal friction, N.
    knobs : tuple of Knob, optional
        What the owner can turn; a valve that no knob turns stands in its middle.
    checked : bool, optional
        Whether a check valve keeps bump oil out of the rebound needle. Without it the rebound
        adjuster is a weak second low-speed bump adjuster.
    """

    name: str
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
    knobs: tuple[Knob, ...] = THREE_KNOBS
    checked: bool = True

    @cached_property
    def adjusters(self) -> tuple[Adjuster, ...]:
        """The adjusters with their clicks."""
        return tuple(Adjuster(knob.name, knob.clicks) for knob in self.knobs)

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
            Clicks out from closed, in the order of the adjusters.

        Returns
        -------
        ndarray
            Force, N, positive when it resists bump; shape of `speed`.

        Raises
        ------
        OutOfRange
            If the setting has the wrong number of clicks, or one is past its last click.
        """
        return self.valve_forces(speed, [setting])[0]

    def valve_forces(self, speed, settings: Sequence[Setting]):
        """Return the force of the valves for many settings at once.

        Parameters
        ----------
        speed : array_like, shape (n,) or scalar
            Shaft speed, m/s, positive in bump.
        settings : sequence of tuple of int, or ndarray of shape (m, adjusters)
            Clicks out from closed.

        Returns
        -------
        ndarray, shape (m,) + shape of speed
            Forces, N.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        v = np.asarray(speed, float)
        flat = v.ravel()
        low, high, back = self._openness(settings)
        total = np.empty((len(settings), flat.size))
        bump = flat >= 0
        into = (low, high, 0.0 * back if self.checked else back)
        total[:, bump] = _each_once(lambda *open_by: self._bump(flat[bump], *open_by), *into)
        total[:, ~bump] = _each_once(lambda out: -self._rebound(-flat[~bump], out), back)
        return total.reshape(len(settings), *v.shape)

    def _openness(self, settings) -> np.ndarray:
        """Return how far the three hidden valves are open, shape (3, m)."""
        clicks = np.atleast_2d(np.asarray(settings, float))
        if clicks.shape[1] != len(self.knobs):
            raise OutOfRange(
                f"{self.name} has {len(self.knobs)} adjusters; give one number of clicks for each."
            )
        shares = np.full((3, len(settings)), 0.5)
        for knob, column in zip(self.knobs, clicks.T, strict=False):
            name = f"A {knob.name} setting"
            check_range(name, column, 0, knob.clicks, "clicks out from closed")
            for valve in knob.turns:
                shares[_VALVES.index(valve)] = column / knob.clicks
        return shares

    def _bump(self, speed, low, high, back):
        rod, ring = self.areas
        base, piston, most = self._bump_pressures(speed, low, high, back)
        return rod * base + ring * np.minimum(piston, most)

    def _bump_pressures(self, speed, low, high, back) -> tuple:
        """Return the drops over base and piston, Pa, and the most that the piston's can be."""
        rod, ring = self.areas
        base = self.base.pressure(rod * speed, self.base_needle.area(low), high)
        piston = self.piston.pressure(ring * speed, self._piston_area(back), 1.0)
        # The rebound side of the piston cannot be pulled below vapour: there the oil breaks away.
        return base, piston, self.gas_pressure + base - _VAPOUR

    def _piston_area(self, back):
        """Return what is always open to bump oil in the piston, m2."""
        return self.piston_bleed + (0 if self.checked else self.rebound_needle.area(back))

    def _rebound(self, speed, back):
        rod, ring = self.areas
        area = self.rebound_needle.area(back)
        return ring * self.rebound.pressure(ring * speed, area, back) + rod * _CHECK * rod * speed

    def cavitates(self, speed: float, setting: Setting) -> bool:
        """Tell whether oil breaks away behind the piston in bump.

        Parameters
        ----------
        speed : float
            Shaft speed, m/s, positive in bump.
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        bool
            True where the force stops growing because the oil cannot follow.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        low, high, back = self._openness([setting])[:, 0]
        _, piston, most = self._bump_pressures(speed, low, high, back)
        return bool(piston > most)

    def flows(self, speed: float, setting: Setting) -> Flows:
        """Return how the oil divides between the passages: the solution behind the force.

        Parameters
        ----------
        speed : float
            Shaft speed, m/s, positive in bump.
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        Flows
            Past the base they add up to rod area times speed, past the piston, with the void, to
            ring area times speed.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        low, high, back = (float(share) for share in self._openness([setting])[:, 0])
        if speed < 0:
            return self._rebound_flows(-speed, back)
        return self._bump_flows(speed, low, high, back)

    def _bump_flows(self, speed: float, low: float, high: float, back: float) -> Flows:
        base, piston, most = self._bump_pressures(speed, low, high, back)
        needle, valve = self.base.split(self.areas[0] * speed, self.base_needle.area(low), high)
        whole, area = self.areas[1] * speed, self._piston_area(back)
        passed = whole if piston <= most else self._passed(whole, area, most)
        bleed, stack = self.piston.split(passed, area, 1.0)
        astray = bleed * (area - self.piston_bleed) / area  # both orifices feel one pressure
        past_base, past_piston = (needle, valve, 0.0), (bleed - astray, stack, astray, 0.0)
        drops = (whole - passed, base, min(piston, most))
        return Flows(*map(float, past_base + past_piston + drops))

    def _passed(self, whole: float, area: float, most: float) -> float:
        """Return the bump flow (m3/s) that the greatest drop can push through the piston."""
        return brentq(lambda q: float(self.piston.pressure(q, area, 1.0)) - most, 0.0, whole)

    def _rebound_flows(self, speed: float, back: float) -> Flows:
        rod, ring = self.areas
        area = self.rebound_needle.area(back)
        needle, stack = self.rebound.split(ring * speed, area, back)
        return Flows(
            check=rod * speed,
            rebound_needle=float(needle),
            rebound_stack=float(stack),
            base_pressure=_CHECK * rod * speed,
            piston_pressure=float(self.rebound.pressure(ring * speed, area, back)),
        )

    def knee_speed(self, setting: Setting) -> float:
        """Return the shaft speed at which the base valve opens in bump: it moves with BOTH knobs.

        Parameters
        ----------
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        float
            Shaft speed, m/s.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        low, high, _ = self._openness([setting])[:, 0]
        preload, _ = self.base.at(high)
        flow = opening_flow(self.base_needle.area(low), preload, self.base.laminar)
        return float(flow / self.areas[0])

    def rebound_knee_speed(self, setting: Setting) -> float:
        """Return the shaft speed at which the rebound stack opens.

        Parameters
        ----------
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        float
            Shaft speed, m/s, positive although it is rebound.

        Raises
        ------
        OutOfRange
            As `valve_force`.
        """
        back = self._openness([setting])[2, 0]
        preload, _ = self.rebound.at(back)
        flow = opening_flow(self.rebound_needle.area(back), preload, self.rebound.laminar)
        return float(flow / self.areas[1])

    def gas_force(self, travel):
        """Return the gas force on the rod.

        Parameters
        ----------
        travel : float or array_like
            Shaft travel from ride height, m, positive in bump.

        Returns
        -------
        float or ndarray
            Force, N, pushing the rod out.
        """
        rod, _ = self.areas
        squeezed = self.gas_volume / (self.gas_volume - rod * np.asarray(travel, float))
        return rod * (self.gas_pressure * squeezed**_POLYTROPIC - _ATMOSPHERE)

    def gas_stiffness(self, travel=0.0):
        """Return how fast the gas force grows with travel, n p A^2 / V.

        Parameters
        ----------
        travel : float or array_like, optional
            Shaft travel from ride height, m, positive in bump.

        Returns
        -------
        float or ndarray
            Stiffness, N/m.
        """
        rod, _ = self.areas
        volume = self.gas_volume - rod * np.asarray(travel, float)
        pressure = self.gas_pressure * (self.gas_volume / volume) ** _POLYTROPIC
        return _POLYTROPIC * pressure * rod**2 / volume

    def friction(self, speed):
        """Return the seal friction, smooth through rest.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s, positive in bump.

        Returns
        -------
        float or ndarray
            Force, N, positive when it resists bump.
        """
        return dry_friction(self.friction_force, speed)

    @property
    def assumptions(self) -> tuple[str, ...]:
        """Nothing is assumed: the equations are given."""
        return ()

    def assumption(self, setting: Setting) -> str:
        """Return that nothing is assumed of a setting: equations leave none out.

        Parameters
        ----------
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        str
            Empty.
        """
        del setting
        return ""

    def beyond(self, speed, setting: Setting):
        """Tell that no speed lies beyond: equations have no last row.

        Parameters
        ----------
        speed : float or array_like
            Shaft speed, m/s.
        setting : tuple of int
            Clicks out from closed.

        Returns
        -------
        ndarray of bool
            False everywhere.
        """
        del setting
        return np.zeros(np.shape(speed), bool)


def _each_once(forces, *shares):
    """Return forces for many settings, worked out once for those that are open alike."""
    alike, place = np.unique(np.array(shares), axis=1, return_inverse=True)
    return forces(*alike[:, :, None])[place.ravel()]
