"""Fit one free decay to a stretch of acceleration, and say how far it can be trusted."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

__all__ = ["Estimate", "FreeDecay", "fit_decay"]


@dataclass(frozen=True)
class Estimate:
    """A number with how far it may be off, one standard deviation.

    Parameters
    ----------
    value : float
        The number.
    fit : float
        What noise alone leaves open, from the covariance of the fit.
    spread : float, optional
        How much it moves when the window of the fit is moved.
    """

    value: float
    fit: float
    spread: float = 0.0

    @property
    def sigma(self) -> float:
        """Both together, one standard deviation."""
        return float(np.hypot(self.fit, self.spread))


@dataclass(frozen=True)
class FreeDecay:
    """rest + exp(-s t) (a cos w t + b sin w t), with t from the start of the window.

    Parameters
    ----------
    start : float
        Where the window starts, s of the record.
    parameters : tuple of float
        s in 1/s, w in rad/s, then rest, a and b in m/s2.
    ratio, frequency : Estimate
        Damping ratio, no unit, and undamped natural frequency, Hz.
    residual : float
        Root mean square of what the fit leaves over, m/s2.
    """

    start: float
    parameters: tuple[float, float, float, float, float]
    ratio: Estimate
    frequency: Estimate
    residual: float

    @property
    def damped_frequency(self) -> float:
        """How often it swings, Hz."""
        return self.parameters[1] / (2 * np.pi)

    @property
    def height(self) -> float:
        """Height of the swing at the start of the window, without its phase, m/s2."""
        return float(np.hypot(*self.parameters[3:]))

    def at(self, time):
        """Return the fitted acceleration.

        Parameters
        ----------
        time : float or array_like
            s of the record.

        Returns
        -------
        float or ndarray
            m/s2, rest level included.
        """
        return _terms(np.asarray(time) - self.start, self.parameters)[0]


def fit_decay(time, acceleration, noise, rest, guess) -> FreeDecay:
    """Fit a free decay by least squares, on the uneven times as they are.

    A displacement x = exp(-s t) cos(w t) has the acceleration
    x'' = (s^2 + w^2) exp(-s t) cos(w t - p), with tan(p) = 2 s w / (s^2 - w^2) one fixed angle:
    the same s and w, another height and phase. So acceleration fits as well as displacement, and
    its successive peaks, all at one phase, have the same decrement, s 2 pi / w.

    Parameters
    ----------
    time, acceleration : ndarray
        The stretch, s and m/s2, six points or more.
    noise : float
        Standard deviation of one reading, m/s2, above zero.
    rest : tuple of float
        Rest level seen elsewhere in the record and its standard deviation, m/s2.
    guess : tuple of float
        Decay rate, 1/s, and angular frequency, rad/s, to start from.

    Returns
    -------
    FreeDecay
        With uncertainties that allow for noise alike from one reading to the next.

    Notes
    -----
    The rest level is fitted too; what is known of it enters as one more reading.
    """
    t = time - time[0]
    first = np.array([*guess, rest[0], 0.0, 0.0])
    slopes = _terms(t, first)[1]
    first[3:] = np.linalg.lstsq(slopes[:, 3:], acceleration - rest[0], rcond=None)[0]

    def misfit(p):
        return np.append((_terms(t, p)[0] - acceleration) / noise, (p[2] - rest[0]) / rest[1])

    def slope(p):
        return np.vstack([_terms(t, p)[1] / noise, [0, 0, 1 / rest[1], 0, 0]])

    found = least_squares(misfit, first, jac=slope, method="lm", x_scale=[1, 5, 1, 1, 1])
    parameters = found.x * [1, np.sign(found.x[1]), 1, 1, np.sign(found.x[1])]
    covariance = _covariance(found.jac) * _excess(found.fun[:-1])
    return _decay(time[0], parameters, covariance, noise * np.sqrt(np.mean(found.fun[:-1] ** 2)))


def _terms(t, p):
    """Return the model and its slopes with respect to the five parameters."""
    fall = np.exp(np.minimum(-p[0] * t, 50.0))  # a wild trial step must not overflow
    cosine, sine = fall * np.cos(p[1] * t), fall * np.sin(p[1] * t)
    swing = p[3] * cosine + p[4] * sine
    turn = t * (p[4] * cosine - p[3] * sine)
    return p[2] + swing, np.stack([-t * swing, turn, np.ones_like(t), cosine, sine], axis=-1)


def _covariance(jacobian):
    """Return the covariance for unit noise; what the data do not fix comes out as very large."""
    normal = jacobian.T @ jacobian
    return np.linalg.inv(normal + 1e-10 * np.diag(np.diag(normal) + 1e-6))


def _excess(misfit) -> float:
    """Return by how much noise that is larger than told, or alike in neighbours, adds variance."""
    power = misfit @ misfit
    alike = np.clip(misfit[1:] @ misfit[:-1] / max(power, 1e-300), 0.0, 0.9)
    return max(1.0, power / max(1, len(misfit) - 5)) * (1 + alike) / (1 - alike)


def _decay(start, parameters, covariance, residual) -> FreeDecay:
    """Return the decay with ratio and frequency, their uncertainty carried over linearly."""
    s, w = parameters[:2]
    size = np.hypot(s, w)
    to_ratio = np.array([w * w, -s * w]) / size**3
    to_frequency = np.array([s, w]) / size / (2 * np.pi)
    errors = [np.sqrt(g @ covariance[:2, :2] @ g) for g in (to_ratio, to_frequency)]
    return FreeDecay(
        float(start),
        tuple(float(p) for p in parameters),
        Estimate(float(s / size), float(errors[0])),
        Estimate(float(size / (2 * np.pi)), float(errors[1])),
        float(residual),
    )
