"""The two time loops, and nothing else: one setting in plain floats, many in arrays.

Scheme: the linear part is stepped exactly, the rest (damper curve, stops, a tyre off the ground)
by its last value and last change (exponential time differencing with a two-step Adams-Bashforth
rule; Cox and Matthews, 2002, Journal of Computational Physics 176, from memory). One force
evaluation a step. Both loops use the same coefficients and must agree to rounding.
"""

from typing import NamedTuple

import numpy as np

__all__ = [
    "Coefficients",
    "Stops",
    "march_many",
    "march_one",
    "room_for",
    "stage_forces",
    "stop_forces",
]


class Stops(NamedTuple):
    """Bump foam, metal and droop stop of one wheel, and a second stage of its spring.

    Parameters
    ----------
    bump_gap, foam_length : float
        Wheel travel to the foam, and through the foam, m.
    foam_rate, foam_cubic : float
        Foam force over depth and over its cube, N/m and N/m3.
    metal_rate : float
        Behind the foam, N/m.
    droop_gap : float
        Wheel travel down to the droop stop, m.
    droop_rate, droop_damping : float
        Of the droop stop, N/m and N s/m.
    second_gap, second_rate : float
        Wheel travel from which a second stage works beside the spring, m, negative where it
        does at rest; and its rate, N/m.
    """

    bump_gap: float
    foam_length: float
    foam_rate: float
    foam_cubic: float
    metal_rate: float
    droop_gap: float
    droop_rate: float
    droop_damping: float
    second_gap: float = 0.0
    second_rate: float = 0.0


class Coefficients(NamedTuple):
    """What one step does, for n states, p suspensions and p tyres.

    Parameters
    ----------
    phi : ndarray, shape (n, n)
        Effect of the state.
    f1, f2 : ndarray, shape (n, p)
        Effect of the suspension forces at the start of a step, and of their last change.
    t1, t2 : ndarray, shape (n, p)
        The same for the tyre forces.
    travel, rate, tyre : ndarray, shape (p, n)
        Rows that read wheel travel (m), its rate (m/s) and the state's part of the tyre force
        (N) off the state.
    road : ndarray, shape (steps, n)
        What the road adds to the state at each step.
    ground : ndarray, shape (steps, p)
        Tyre force from road and weight at each step, N.
    """

    phi: np.ndarray
    f1: np.ndarray
    f2: np.ndarray
    t1: np.ndarray
    t2: np.ndarray
    travel: np.ndarray
    rate: np.ndarray
    tyre: np.ndarray
    road: np.ndarray
    ground: np.ndarray


_FOAM_RATE = 0.35  # s/m: foam pushes harder going in than coming out; invented, plausible
_FOAM_LIMIT = 0.5


def march_one(phi, f1, f2, t1, t2, tyre, stops, road, ground, table, low, per_step, out):
    """Run one setting of a quarter car in plain floats, from rest.

    A numeric kernel: written out, hardly a call in it, so that the same text is fast in
    plain Python and can be compiled as it stands.

    Parameters
    ----------
    phi : sequence of 16 floats
        Step matrix, row by row.
    f1, f2, t1, t2 : sequence of 4 floats
        Gains of suspension and tyre force, at the start of a step and of their last change.
    tyre : sequence of 2 floats
        Tyre force per metre of wheel height (N/m) and per wheel speed (N s/m), both negative.
    stops : sequence of 10 floats
        As `Stops`.
    road : sequence of 4 sequences
        What the road adds to each state at each step.
    ground : sequence of float
        Tyre force from road and weight at each step, N.
    table : sequence of float
        Suspension force beyond the linear part, N, at even steps of wheel speed.
    low, per_step : float
        Lowest speed of the table, m/s, and table steps per m/s.
    out : sequence of 6 sequences
        Filled with zs, vs, zu, vu (m, m/s), extra suspension force and extra tyre force (N).

    Returns
    -------
    None
        The result is in `out`.
    """
    p00, p01, p02, p03, p10, p11, p12, p13, p20, p21, p22, p23, p30, p31, p32, p33 = phi
    a0, a1, a2, a3 = f1
    b0, b1, b2, b3 = f2
    c0, c1, c2, c3 = t1
    d0, d1, d2, d3 = t2
    tz, tv = tyre
    gap, foam, k1, k3, metal, droop, k_droop, c_droop, second, k2 = stops
    carried = k2 * max(0.0, second)  # at rest the second stage pushes nothing beyond rest
    road0, road1, road2, road3 = road
    zs_out, vs_out, zu_out, vu_out, force_out, lift_out = out
    last = len(table) - 2
    zs = vs = zu = vu = 0.0
    force_before = lift_before = 0.0
    for j in range(len(ground)):
        travel = zu - zs
        rate = vu - vs
        place = (rate - low) * per_step
        cell = int(place)
        if cell < 0:
            cell = 0
        elif cell > last:
            cell = last
        left = table[cell]
        force = left + (place - cell) * (table[cell + 1] - left)
        if k2 > 0.0:
            force += k2 * max(travel, second) - carried
        if travel > gap:
            deep = travel - gap
            stiffer = 1.0 + min(max(_FOAM_RATE * rate, -_FOAM_LIMIT), _FOAM_LIMIT)
            force += (k1 * deep + k3 * deep * deep * deep) * stiffer
            if deep > foam:
                force += metal * (deep - foam)
        elif travel < -droop:
            force += min(0.0, k_droop * (travel + droop) + c_droop * rate)
        lift = -(ground[j] + tz * zu + tv * vu)
        if lift < 0.0:
            lift = 0.0
        if j == 0:
            force_before = force
            lift_before = lift
        zs_out[j] = zs
        vs_out[j] = vs
        zu_out[j] = zu
        vu_out[j] = vu
        force_out[j] = force
        lift_out[j] = lift
        df = force - force_before
        dl = lift - lift_before
        n0 = p00 * zs + p01 * vs + p02 * zu + p03 * vu + road0[j]
        n1 = p10 * zs + p11 * vs + p12 * zu + p13 * vu + road1[j]
        n2 = p20 * zs + p21 * vs + p22 * zu + p23 * vu + road2[j]
        n3 = p30 * zs + p31 * vs + p32 * zu + p33 * vu + road3[j]
        zs = n0 + a0 * force + b0 * df + c0 * lift + d0 * dl
        vs = n1 + a1 * force + b1 * df + c1 * lift + d1 * dl
        zu = n2 + a2 * force + b2 * df + c2 * lift + d2 * dl
        vu = n3 + a3 * force + b3 * df + c3 * lift + d3 * dl
        force_before = force
        lift_before = lift


def march_many(coefficients: Coefficients, stops, tables, low, per_step, room=None):
    """Run many settings at once in arrays, for a quarter car or a whole one.

    A numeric kernel. Every setting feels the same road; each has its own force tables.

    Parameters
    ----------
    coefficients : Coefficients
        As made for the model, n states and p wheels.
    stops : sequence of Stops
        One for each wheel.
    tables : ndarray, shape (p, m, t)
        Suspension force beyond the linear part, N, for p wheels, m settings, t speeds.
    low, per_step : float or ndarray, shape (p, 1)
        Lowest wheel speed of the tables, m/s, and table steps per m/s; one for all wheels, or
        one for each.
    room : ndarray, optional
        From `room_for`, to march in; what an earlier call returned from it is overwritten.

    Returns
    -------
    states : ndarray, shape (steps, n, m)
        States, in the model's order.
    force, lift : ndarray, shape (steps, p, m)
        Extra suspension and tyre forces, N.
    """
    phi, f1, f2, t1, t2, pick, pick_rate, pick_tyre, road, ground = coefficients
    n, (wheels, settings, size) = len(phi), tables.shape
    stop = [np.array(column)[:, None] for column in zip(*stops, strict=True)]
    # Between these travels no wheel touches anything, so that one look a step is enough.
    free = -min(s.droop_gap for s in stops), min(s.bump_gap for s in stops)
    staged = any(s.second_rate for s in stops)
    # A cell of a table is a straight line; its two numbers are read as one complex number.
    shift = np.broadcast_to(np.asarray(low * per_step, float), (wheels, 1))
    pairs = np.empty((wheels, settings, size - 1), complex)
    pairs.imag = np.diff(tables) * np.broadcast_to(per_step, (wheels, 1))[..., None]
    corner_speeds = (shift + np.arange(size - 1.0)) / per_step
    pairs.real = tables[..., :-1] - pairs.imag * corner_speeds[:, None, :]
    flat = pairs.ravel()
    start = (size - 1) * np.arange(float(wheels * settings)).reshape(wheels, settings) - shift
    first, last = shift, shift + (size - 2)
    # One product reads off all that a step needs, one takes the step: few calls a step is what
    # makes the arrays fast. The forces of the step before, the state and the forces of now lie
    # one under the other, and the next state under them: nothing is copied.
    read = np.concatenate([pick, pick_rate, per_step * pick_rate, -pick_tyre])
    ahead = np.concatenate([-f2, -t2, phi, f1 + f2, t1 + t2], axis=1)
    steps, pushes = len(ground), 2 * wheels
    tall = n + pushes
    room = room_for(coefficients, settings) if room is None else room
    rows = room[: (steps * tall + tall) * settings].reshape(-1, settings)
    rows[: pushes + n] = 0.0
    seen = np.empty((4, wheels, settings))
    travel, rate, place, lift_off = seen
    flat_seen, spot = seen.reshape(4 * wheels, settings), np.empty((wheels, settings), np.intp)
    pair = np.empty((wheels, settings), complex)
    base, slope = pair.real, pair.imag
    road, ground = road[:, :, None], ground[:, :, None]
    for j in range(steps):
        known = rows[j * tall : j * tall + pushes + tall]
        x, push = known[pushes : pushes + n], known[pushes + n :]
        force, lift = push[:wheels], push[wheels:]
        np.matmul(read, x, out=flat_seen)
        np.maximum(place, first, out=place)
        np.minimum(place, last, out=place)
        np.add(start, place, out=spot, casting="unsafe")
        flat.take(spot, out=pair, mode="clip")
        np.multiply(rate, slope, out=force)
        np.add(force, base, out=force)
        if travel.max() > free[1] or travel.min() < free[0]:
            force += stop_forces(travel, rate, stop)
        if staged:
            force += stage_forces(travel, stop)
        np.subtract(lift_off, ground[j], out=lift)
        np.maximum(lift, 0.0, out=lift)
        if j == 0:
            known[:pushes] = push
        if j + 1 < steps:
            ahead_of = rows[(j + 1) * tall + pushes : (j + 1) * tall + pushes + n]
            np.matmul(ahead, known, out=ahead_of)
            np.add(ahead_of, road[j], out=ahead_of)
    done = rows[pushes : pushes + steps * tall].reshape(steps, tall, settings)
    return done[:, :n], done[:, n : n + wheels], done[:, n + wheels :]


def room_for(coefficients: Coefficients, settings: int) -> np.ndarray:
    """Return memory for `march_many`; kept from chunk to chunk it is asked for only once.

    Parameters
    ----------
    coefficients : Coefficients
        As made for the model.
    settings : int
        The most that will march together.

    Returns
    -------
    ndarray
        Flat, with nothing in it yet.
    """
    tall = len(coefficients.phi) + 2 * coefficients.f1.shape[1]
    return np.empty((len(coefficients.ground) + 1) * tall * settings)


def stop_forces(travel, rate, stops):
    """Return what the stops push with; where none is touched nothing is computed.

    Parameters
    ----------
    travel, rate : ndarray
        Wheel travel, m, and its rate, m/s, positive in bump.
    stops : sequence of 10 floats or arrays that broadcast
        As `Stops`.

    Returns
    -------
    ndarray or float
        Force between body and wheel, N, positive apart: bump stop positive, droop stop negative.
    """
    gap, foam, k1, k3, metal, droop, k_droop, c_droop, *_ = stops
    total = 0.0
    if np.any(travel > gap):
        deep = np.maximum(travel - gap, 0.0)
        stiffer = 1.0 + np.clip(_FOAM_RATE * rate, -_FOAM_LIMIT, _FOAM_LIMIT)
        total = (k1 * deep + k3 * deep * deep * deep) * stiffer
        total = total + metal * np.maximum(deep - foam, 0.0)
    if np.any(travel < -droop):
        hang = np.minimum(0.0, k_droop * (travel + droop) + c_droop * rate)
        total = total + np.where(travel < -droop, hang, 0.0)
    return total


def stage_forces(travel, stops):
    """Return what a second stage of the spring pushes with beyond what it does at rest.

    Parameters
    ----------
    travel : ndarray or float
        Wheel travel from rest, m, positive in bump.
    stops : sequence of 10 floats or arrays that broadcast
        As `Stops`.

    Returns
    -------
    ndarray or float
        Force between body and wheel, N, positive apart.
    """
    *_, second, rate = stops
    return rate * (np.maximum(travel, second) - np.maximum(0.0, second))
