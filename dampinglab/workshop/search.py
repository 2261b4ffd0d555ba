"""The search for a compromise: coarse to fine, and what chance in the roads does to the best."""

from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from dampinglab.physics.damper import Setting
from dampinglab.workshop.compromise import Question, Spread, choose, costs
from dampinglab.workshop.mix import Condition
from dampinglab.workshop.tried import Progress, Tried, coarse, neighbours, slices, try_settings

__all__ = ["approach", "between", "contenders", "first_look", "other_stretches", "spread"]

_REACHES = (1 / 6, 1 / 12, 0.0)  # of the range; 0 is one click
_ROUNDS = 12  # a climb that has not ended by then is left where it is


def approach(asked: Question, tried: Tried | None = None) -> Iterator[Progress]:
    """Go from coarse to fine: a coarse grid, then the neighbours of the best, nearer each time.

    Parameters
    ----------
    asked : Question
        What is asked.
    tried : Tried, optional
        What is known already.

    Yields
    ------
    Progress
        After each slice; the last holds the choice, its one-click neighbours, and every setting
        on the ways from the starts to it.
    """
    rounds = _rounds(asked)
    settings = next(rounds)
    while settings:
        for now in slices(asked.damper, asked.conditions, settings, tried=tried):
            tried = now.tried
            yield now
        settings = rounds.send(tried)


def first_look(asked: Question) -> tuple[Setting, ...]:
    """Return what is tried first: the starts and a coarse grid.

    Parameters
    ----------
    asked : Question
        What is asked.

    Returns
    -------
    tuple of tuple of int
        Clicks out from closed.
    """
    named = [start.setting for start in asked.starts]
    return tuple(dict.fromkeys([*named, *coarse(asked.damper)]))


def _rounds(asked: Question) -> Generator[Sequence[Setting], Tried, None]:
    """Say what to try next, and be told what has been tried by then."""
    tried = yield first_look(asked)
    reaches = list(_REACHES)
    for _ in range(_ROUNDS):
        before = choose(asked, tried).setting
        tried = yield neighbours(asked.damper, before, reaches[0])
        if choose(asked, tried).setting == before:
            reaches.pop(0)
        if not reaches:
            break
    yield between(asked, choose(asked, tried).setting)
    yield ()


def between(asked: Question, end: Setting) -> tuple[Setting, ...]:
    """Return every setting on the ways from the starts to another, an adjuster at a time.

    Parameters
    ----------
    asked : Question
        With its starts.
    end : tuple of int
        Where the ways lead.

    Returns
    -------
    tuple of tuple of int
        Clicks out from closed, the ends among them.
    """
    ends = (zip(start.setting, end, strict=True) for start in asked.starts)
    return tuple(dict.fromkeys(setting for pairs in ends for setting in product(*pairs)))


_STRETCHES = 4
_APART = 1000  # between the seeds of two stretches
_FEW = 12  # of the best, besides the neighbours of the very best


def contenders(asked: Question, tried: Tried) -> tuple[Setting, ...]:
    """Return the settings among which chance may decide: the best few, neighbours, starts.

    Parameters
    ----------
    asked : Question
        What is asked.
    tried : Tried
        Settings.

    Returns
    -------
    tuple of tuple of int
        The cheapest first; the starts last.
    """
    total = asked.shares @ costs(asked, tried)
    few = [tried.settings[i] for i in np.argsort(total, kind="stable")[:_FEW]]
    near = set(neighbours(asked.damper, few[0])) & set(tried.settings)
    named = [start.setting for start in asked.starts]
    return tuple(dict.fromkeys([*few, *sorted(near), *named]))


def other_stretches(asked: Question) -> tuple[Condition, ...]:
    """Return the random roads of a mix again, as other stretches of the same kind.

    Parameters
    ----------
    asked : Question
        What is asked.

    Returns
    -------
    tuple of Condition
        Stretch by stretch; none where chance has no part in the roads.
    """
    random = [condition for condition in asked.conditions if condition.way.random]
    return tuple(
        replace(condition, seed=condition.seed + _APART * k)
        for k in range(1, _STRETCHES + 1)
        for condition in random
    )


def spread(asked: Question, tried: Tried, others: Tried | None = None) -> Spread:
    """Return what other stretches of the random roads make of the best few settings.

    Parameters
    ----------
    asked : Question
        What is asked.
    tried : Tried
        Settings.
    others : Tried, optional
        `contenders` over `other_stretches`; without it they are driven now.

    Returns
    -------
    Spread
        Over `contenders`. Roads without chance in them keep their cost.
    """
    settings = contenders(asked, tried)
    random = [i for i, condition in enumerate(asked.conditions) if condition.way.random]
    if not random:
        return Spread(settings, np.zeros((0, len(settings))))
    if others is None:
        others = try_settings(asked.damper, other_stretches(asked), settings)
    found = costs(asked, others)[:, [others.place(s) for s in settings]]
    found = found.reshape(-1, len(random), len(settings))
    each = costs(asked, tried)[:, [tried.place(s) for s in settings]]
    again = np.repeat(each[None], len(found), axis=0)
    again[:, random] = found
    return Spread(settings, np.einsum("c,kcs->ks", asked.shares, again))
