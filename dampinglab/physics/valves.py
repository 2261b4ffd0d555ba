"""The valves inside a damper: an adjustable needle, and a bleed beside a preloaded valve.

The bleeds are nearly pure orifices.
"""

from dataclasses import dataclass

import numpy as np

from dampinglab.physics.fluid import DENSITY

__all__ = ["Block", "Needle", "block_pressure", "opening_flow"]

_DISCHARGE = 0.7  # flow coefficient of a short bleed; a sharp edge has 0.611


@dataclass(frozen=True)
class Needle:
    """An adjustable orifice: its area against how far it is open.

    Parameters
    ----------
    open_area, leak_area : float
        Area that the needle adds when fully open, and what is left when closed, m2.
    power : float or None, optional
        Shape: leak + open (share open)^power. None is the geometric needle, on which each click
        changes the area by the same share.
    """

    open_area: float
    leak_area: float
    power: float | None = 1.3

    def area(self, openness):
        """Return the area at an openness.

        Parameters
        ----------
        openness : float or array_like
            0 (closed) to 1 (open).

        Returns
        -------
        float or ndarray
            Area, m2.

        Examples
        --------
        >>> round(float(Needle(3e-6, 1e-6, None).area(0.5)) * 1e6, 12)
        2.0
        """
        if self.power is None:
            return self.leak_area * (1 + self.open_area / self.leak_area) ** np.asarray(openness)
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
    port : float, optional
        Pressure of the port in series over flow squared, Pa s2/m6.
    """

    preload: tuple[float, float]
    slope: tuple[float, float]
    laminar: float
    port: float = 0.0

    def at(self, openness) -> tuple:
        """Return preload and slope of the main valve at an openness.

        Parameters
        ----------
        openness : float or array_like
            0 (closed) to 1 (open).

        Returns
        -------
        preload, slope : float or ndarray
            Pa and Pa s/m3.
        """
        return tuple(shut + openness * (wide - shut) for wide, shut in (self.preload, self.slope))

    def pressure(self, flow, area, openness):
        """Return the pressure over the block.

        Parameters
        ----------
        flow : array_like
            Flow, m3/s, zero or more.
        area : float or array_like
            Bleed area, m2.
        openness : float or array_like
            Of the adjuster that loads the main valve, 0 (closed) to 1 (open).

        Returns
        -------
        ndarray
            Pressure, Pa.
        """
        return block_pressure(flow, area, *self.at(openness), self.laminar, self.port)

    def split(self, flow, area, openness) -> tuple:
        """Return how the flow divides between the bleed and the main valve.

        Parameters
        ----------
        flow : array_like
            Flow, m3/s, zero or more.
        area : float or array_like
            Bleed area, m2.
        openness : float or array_like
            Of the adjuster that loads the main valve, 0 (closed) to 1 (open).

        Returns
        -------
        bleed, main : ndarray
            Flows, m3/s; together they are the whole flow, and main is 0 while it is shut.

        Examples
        --------
        >>> block = Block((1e6, 1e6), (5e9, 5e9), 1e9)
        >>> bleed, main = block.split([1e-5, 1e-4], 2e-6, 0.5)
        >>> bool(main[0] == 0 and np.isclose(bleed[1] + main[1], 1e-4))
        True
        """
        q = np.asarray(flow, float)
        bleed = _bleed_flow(q, _orifice(area), *self.at(openness), self.laminar)
        return bleed, q - bleed


def block_pressure(flow, area, preload, slope, laminar, port=0.0):
    """Return the pressure over a bleed beside a preloaded valve, in closed form.

    Bleed: dp = a Q + b Q^2 with b = rho / (2 (Cd A)^2). Once that passes the preload p0 the main
    valve shares the flow, dp = p0 + k Qv, and the bleed's part follows from a quadratic.

    Parameters
    ----------
    flow : array_like
        Flow, m3/s, zero or more.
    area : float or array_like
        Bleed area, m2, above zero.
    preload, slope, laminar, port : float or array_like
        p0 (Pa), k (Pa s/m3), a (Pa s/m3), c (Pa s2/m6).

    Returns
    -------
    ndarray
        Pressure, Pa, rising with flow.
    """
    q = np.asarray(flow, float)
    b = _orifice(area)
    bleed = _bleed_flow(q, b, preload, slope, laminar)
    return laminar * bleed + b * bleed * bleed + port * q * q


def _bleed_flow(q, b, preload, slope, laminar):
    """Return the part of the flow that the bleed carries: all of it while the main valve is shut.

    Once that valve is open the quadratic's root is the smaller of the two, and only then.
    """
    h, bk = 1 + laminar / slope, b / slope
    shared = (-h + np.sqrt(h * h + 4 * bk * (q + preload / slope))) / (2 * bk)
    return np.minimum(q, shared)


def opening_flow(area, preload, laminar):
    """Return the flow at which a block's main valve opens, where its bleed reaches the preload.

    Parameters
    ----------
    area : float or array_like
        Bleed area, m2, above zero.
    preload, laminar : float or array_like
        p0 (Pa) and a (Pa s/m3).

    Returns
    -------
    float or ndarray
        Flow, m3/s.
    """
    b = _orifice(area)
    return (-laminar + np.sqrt(laminar**2 + 4 * b * preload)) / (2 * b)


def _orifice(area):
    """Return pressure over flow squared of a sharp bleed, Pa s2/m6."""
    return DENSITY / (2 * (_DISCHARGE * np.asarray(area)) ** 2)
