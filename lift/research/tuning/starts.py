"""Tops of a posterior, looked for from several starts, and how well the highest fits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lift.errors import Floats, LiftError
from lift.research.posterior.mode import Mode, find_mode
from lift.research.posterior.problem import Problem
from lift.research.posterior.strands import StrandModel

SCREENED = 64
LOOKS = 6

Progress = Callable[[str, int, int], None]
"""Told what is done: code of the step, how many, out of how many."""


def check_enough(problem: Problem, of_each: int = 1) -> None:
    """Refuse fewer readings than unknowns: the parameters, and some of each swatch."""
    table = problem.swatches
    unknowns = len(problem.free) + of_each * len(table.names)
    if 3 * len(table) <= unknowns:
        raise LiftError(
            "tuning.too_few",
            readings=len(table),
            unknowns=unknowns,
            parameters=len(problem.free),
            levels=len(table.names),
        )


def find_modes(model: StrandModel, count: int, seed: int, say: Progress) -> list[Mode]:
    """Top reached from the curve set's own values, then from the best of a Latin hypercube."""
    found = []
    for number, start in enumerate(_start_points(model, count, seed)):
        say("step.fitting", number, count)
        try:
            found.append(find_mode(model, start))
        except KeyboardInterrupt:
            if not found:
                raise
            break
        # All starts are told the misfit of the same way, so that their heights compare.
        model = found[0].model
    return found


def _start_points(model: StrandModel, count: int, seed: int) -> list[Floats]:
    points = [model.start()]
    if count == 1 or not model.problem.free:
        return points
    from scipy.special import ndtri
    from scipy.stats import qmc

    cube = qmc.LatinHypercube(model.dimensions, rng=np.random.default_rng(seed)).random(SCREENED)
    tried = model.start(ndtri(cube))
    told, _ = model.log_likelihood(tried, np.tile(model.first, (SCREENED, 1, 1)), looks=3)
    order = np.argsort(-told.sum(axis=1), kind="stable")
    return points + [tried[i] for i in order[: count - 1]]


def aicc_of(mode: Mode) -> float:
    """Akaike's criterion for small samples, with levels and rates of the swatches integrated out.

    The question is what all hair has in common, and for that the marginal likelihood is the one
    to use (Vaida & Blanchard 2005, Biometrika 92:351; from memory): given the swatches' own rates,
    a wrong order in peroxide would hide in them. Infinite with too few readings.
    """
    model = mode.model
    readings = 3 * len(model.problem.swatches)
    # The spread of the rates was found from the readings too.
    used = model.dimensions
    room = readings - used - 1
    if room <= 0:
        return float("inf")
    told, _ = model.log_likelihood(mode.point[None], mode.own[None], LOOKS)
    return float(-2.0 * told.sum() + 2.0 * used + 2.0 * used * (used + 1.0) / room)
