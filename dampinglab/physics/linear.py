"""The quarter car as matrices: exact steps in time, responses in frequency, closed forms.

State: body height and speed, wheel height and speed (zs, vs, zu, vu), all from static rest,
positive up. Inputs: road height and speed, suspension force that the matrices do not hold
(positive pushes body and wheel apart), and tyre force that they do not hold (positive up).
"""

import numpy as np
from scipy.linalg import expm

from dampinglab.errors import check_range
from dampinglab.physics.oscillator import natural_frequency
from dampinglab.physics.vehicle import Corner

__all__ = [
    "discretise",
    "fixed_points",
    "least_acceleration",
    "least_tyre_load",
    "level_acceleration",
    "modes",
    "quarter_car",
    "responses",
    "white_road_variances",
]


def quarter_car(corner: Corner, damping: float):
    """Return the matrices of a quarter car, x' = A x + B [zr, vr, f, r].

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre.
    damping : float
        Viscous damping between body and wheel, N s/m at the wheel, zero or more.

    Returns
    -------
    a : ndarray, shape (4, 4)
        State matrix.
    b : ndarray, shape (4, 4)
        Columns for road height (m), road speed (m/s), extra suspension force (N), extra tyre
        force (N).

    Raises
    ------
    OutOfRange
        If the damping is negative.
    """
    c = check_range("Damping", damping, 0, 1e7, "N·s/m")
    ms, mu, k = corner.sprung_mass, corner.unsprung_mass, corner.wheel_rate
    kt, ct = corner.tyre_rate, corner.tyre_damping
    a = np.array(
        [
            [0, 1, 0, 0],
            [-k / ms, -c / ms, k / ms, c / ms],
            [0, 0, 0, 1],
            [k / mu, c / mu, -(k + kt) / mu, -(c + ct) / mu],
        ]
    )
    b = np.zeros((4, 4))
    b[3] = kt / mu, ct / mu, -1 / mu, 1 / mu
    b[1, 2] = 1 / ms
    return a, b


def discretise(a, b, step):
    """Return what one time step does, exactly, for inputs that run straight within the step.

    x1 = Phi x0 + G1 u0 + G2 (u1 - u0). One matrix exponential gives all three.

    Parameters
    ----------
    a : ndarray, shape (n, n)
        State matrix.
    b : ndarray, shape (n, m)
        Input matrix.
    step : float
        Time step, s, above zero.

    Returns
    -------
    phi : ndarray, shape (n, n)
        Effect of the state.
    g1, g2 : ndarray, shape (n, m)
        Effect of the input at the start, and of its change over the step.

    Raises
    ------
    OutOfRange
        If the step is not above zero.

    References
    ----------
    Van Loan, C. F. (1978), Computing integrals involving the matrix exponential, IEEE
    Transactions on Automatic Control 23 (from memory).
    """
    h = check_range("Time step", step, 1e-9, 1, "s")
    n, m = np.shape(b)
    block = np.zeros((n + 2 * m, n + 2 * m))
    block[:n, :n], block[:n, n : n + m] = np.asarray(a) * h, np.asarray(b) * h
    block[n : n + m, n + m :] = np.eye(m)
    whole = expm(block)
    return whole[:n, :n], whole[:n, n : n + m], whole[:n, n + m :]


def modes(corner: Corner):
    """Return the two undamped frequencies of body and wheel together.

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre.

    Returns
    -------
    body, hop : float
        Hz, the body's first.
    """
    a, _ = quarter_car(corner.one_stage, 0.0)
    # Without damping the squares of the frequencies are eigenvalues of the 2 x 2 stiffness block.
    squares = np.linalg.eigvals(-a[np.ix_([1, 3], [0, 2])])
    body, hop = np.sort(np.sqrt(squares.real)) / (2 * np.pi)
    return float(body), float(hop)


def responses(corner: Corner, damping: float, frequency):
    """Return how a corner answers a road that waves at a frequency, per metre of road.

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre.
    damping : float
        N s/m at the wheel.
    frequency : array_like
        Hz, above zero.

    Returns
    -------
    dict of str to ndarray
        Complex amplitudes per metre of road: "acceleration" of the body (1/s2), "travel" (wheel
        up against body, m/m), "tyre" (road up against wheel, m/m), "body" (m/m).

    Raises
    ------
    OutOfRange
        If the damping is negative or a frequency not above zero.
    """
    f = np.atleast_1d(check_range("Frequency", frequency, 1e-6, 1e4, "Hz"))
    a, b = quarter_car(corner.one_stage, damping)
    s = 2j * np.pi * f[:, None, None]
    drive = b[None, :, :1] + s * b[None, :, 1:2]
    x = np.linalg.solve(s * np.eye(4) - a, drive)[..., 0]
    body, wheel = x[:, 0], x[:, 2]
    acceleration = s[:, 0, 0] ** 2 * body
    return {
        "acceleration": acceleration,
        "travel": wheel - body,
        "tyre": 1 - wheel,
        "body": body,
    }


def white_road_variances(corner: Corner, damping: float, intensity: float):
    """Return mean squares on a road whose velocity has a flat spectrum, tyre undamped.

    With M = ms + mu and G the one-sided velocity spectrum:
    E[a^2] = G/4 (c kt/ms^2 + M k^2/(c ms^2)); E[travel^2] = G/4 M/c;
    E[tyre^2] = G/4 (M^3 k^2/(ms^2 kt^2 c) - 2 M mu k/(ms kt c) + mu/c + M^2 c/(ms^2 kt)).

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre; the tyre's damping is left out.
    damping : float
        N s/m at the wheel, above zero.
    intensity : float
        G, (m/s)^2/Hz: (2 pi n0)^2 Gd(n0) V for an ISO 8608 road at speed V.

    Returns
    -------
    dict of str to float
        "acceleration" ((m/s2)^2), "travel" (m^2), "tyre" deflection (m^2).

    Raises
    ------
    OutOfRange
        If damping or intensity is not above zero.

    Notes
    -----
    Checked against a Lyapunov equation and an integral over the spectrum, not against a printed
    table.
    """
    c = check_range("Damping", damping, 1e-6, 1e7, "N·s/m")
    quarter = check_range("Intensity", intensity, 1e-15, 1e6, "(m/s)²/Hz") / 4
    ms, mu, k, kt = corner.sprung_mass, corner.unsprung_mass, corner.standing_rate, corner.tyre_rate
    both = ms + mu
    tyre = both**3 * k**2 / (ms**2 * kt**2 * c) - 2 * both * mu * k / (ms * kt * c)
    tyre += mu / c + both**2 * c / (ms**2 * kt)
    return {
        "acceleration": quarter * (c * kt / ms**2 + both * k**2 / (c * ms**2)),
        "travel": quarter * both / c,
        "tyre": quarter * tyre,
    }


def fixed_points(corner: Corner):
    """Return where no damper (and no spring) changes a response, and what it is there.

    Body acceleration is kt/ms a metre of road at sqrt(kt/mu); wheel travel is (ms + mu)/ms at
    sqrt(kt/(ms + mu)). Tyre deflection has no such point.

    Parameters
    ----------
    corner : Corner
        Masses and tyre; the tyre's damping is left out.

    Returns
    -------
    dict of str to tuple of float
        "acceleration" and "travel": frequency (Hz), and size per metre of road (1/s2 and m/m).

    References
    ----------
    That two of the three responses have such points is said in the abstract of
    doi 10.1243/PIME_PROC_1990_204_128_02, without numbers; the values are identities.
    """
    ms, mu, kt = corner.sprung_mass, corner.unsprung_mass, corner.tyre_rate
    return {
        "acceleration": (float(natural_frequency(kt, mu)), kt / ms),
        "travel": (float(natural_frequency(kt, ms + mu)), (ms + mu) / ms),
    }


def least_acceleration(corner: Corner) -> float:
    """Return the damping of least body acceleration on a white road, ks sqrt((ms + mu)/kt).

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre; the tyre's damping is left out.

    Returns
    -------
    float
        N s/m at the wheel. It asks only how much the body shakes: not the best damping.

    Notes
    -----
    Where the derivative of the closed form in `white_road_variances` is zero.
    """
    both = corner.sprung_mass + corner.unsprung_mass
    return float(corner.standing_rate * np.sqrt(both / corner.tyre_rate))


def least_tyre_load(corner: Corner) -> float:
    """Return the damping with which a tyre's load varies least on a white road.

    With M = ms + mu, c^2 = M k^2/kt - 2 mu ms k/M + mu ms^2 kt/M^2.

    Parameters
    ----------
    corner : Corner
        Masses, spring, tyre; the tyre's damping is left out.

    Returns
    -------
    float
        N s/m at the wheel. It asks only how evenly the tyre is pressed: not the best damping.

    Notes
    -----
    Where the derivative of the closed form in `white_road_variances` is zero.
    """
    ms, mu, k, kt = corner.sprung_mass, corner.unsprung_mass, corner.standing_rate, corner.tyre_rate
    both = ms + mu
    square = both * k**2 / kt - 2 * mu * ms * k / both + mu * ms**2 * kt / both**2
    return float(np.sqrt(square))


def level_acceleration(corner: Corner) -> float:
    """Return the damping whose acceleration curve runs level where all dampers cross.

    c = sqrt(m k / 2) sqrt((kt + 2 k) / kt), for a wheel without mass; with a very hard tyre the
    damping ratio is 1/(2 sqrt 2) = 0.354.

    Parameters
    ----------
    corner : Corner
        Body mass, spring, tyre; the wheel's mass and the tyre's damping are left out.

    Returns
    -------
    float
        N s/m at the wheel. It asks for neither hump nor climb in one curve: not the best damping.

    References
    ----------
    Named after Bourcier de Carbon, in the form of Genta, vehicle dynamics textbook (from memory);
    the level tangent is tested.
    """
    k, kt = corner.standing_rate, corner.tyre_rate
    return float(np.sqrt(corner.sprung_mass * k / 2 * (kt + 2 * k) / kt))
