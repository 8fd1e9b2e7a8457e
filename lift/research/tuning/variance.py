"""How much swatches differ in rate, and readings in colour: estimated along with the fit.

A mixed model: the spread of the rates is that of the maximum of the likelihood over it, found by
the EM algorithm (Dempster, Laird & Rubin 1977; from memory), and the scale of the scatter is that
of the residuals.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lift.errors import Floats
from lift.research.tuning.fitting import Fit, fit, misfit_of
from lift.research.tuning.problem import Problem

KNEE = 2.0
"""Residual, in standard deviations, at which the robust loss turns from squares."""

LEAST_SPREAD = 0.005
"""Spread of the rate below which swatches count as alike [-]."""

FEWEST = 4
"""Swatches from which their spread is estimated; with fewer the curve set's is used."""

ROUNDS = 20


def fit_problem(problem: Problem, start: Floats, loss: str, tolerance: float = 1e-9) -> Fit:
    """Fit one problem from one start."""
    return fit(
        problem.residuals,
        start,
        *problem.bounds,
        loss=loss,
        knee=KNEE,
        sparsity=problem.sparsity,
        tolerance=tolerance,
    )


def fit_variances(problem: Problem, ends: Sequence[Fit], loss: str) -> tuple[Problem, Fit]:
    """Go on from the best of several fits until spread and scatter agree with what is left over.

    Parameters
    ----------
    problem : Problem
        With the spread and scatter that the fits were made with.
    ends : sequence of Fit
        Fits of it.
    loss : str
        Of the fits.

    Returns
    -------
    Problem, Fit
        With the spread and scatter found.
    """
    best = min(ends, key=lambda end: end.misfit)
    estimated = problem.rate_spread > 0.0 and len(problem.swatches.names) >= FEWEST
    for _ in range(ROUNDS):
        scale = problem.scatter_scale * scatter_left(problem, best)
        spread = spread_left(problem, best) if estimated else problem.rate_spread
        # A deviate keeps its meaning when the spread that it counts in changes.
        x = best.x.copy()
        if estimated:
            x[-len(problem.swatches.names) :] *= problem.rate_spread / spread
        settled = abs(np.log(scale / problem.scatter_scale)) < 5e-3
        if estimated:
            settled = settled and abs(np.log(spread / problem.rate_spread)) < 1e-2
        problem = replace(problem, scatter_scale=scale, rate_spread=spread)
        best = fit_problem(problem, x, loss)
        if settled:
            break
    return problem, best


def scatter_left(problem: Problem, found: Fit) -> float:
    """Scatter of the readings about the fit, over that which the fit was made with [-]."""
    count = 3 * len(problem.swatches)
    influence, slope = (part[:count] for part in found.influence())
    room = max(count - found.leverages[:count].sum(), 1.0)
    return float(np.sqrt(max(influence @ influence / room / slope.mean(), 1e-12)))


def spread_left(problem: Problem, found: Fit) -> float:
    """Spread of the rates that the deviates and their own uncertainty amount to [-]."""
    count = len(problem.swatches.names)
    deviates = found.x[-count:]
    unknown = np.diag(found.covariance)[-count:]
    return max(problem.rate_spread * float(np.sqrt(np.mean(deviates**2 + unknown))), LEAST_SPREAD)


def aicc_of(problem: Problem, found: Fit) -> float:
    """Akaike's criterion for small samples, of the colours given the swatches.

    What is counted as parameters is how many the colours decide: a rate that is held near the
    others counts for less than one (Vaida & Blanchard 2005, Biometrika 92:351; from memory).
    """
    count = 3 * len(problem.swatches)
    scale = problem.scatter_scale
    misfit = misfit_of(found.residuals[:count] * scale, found.loss, found.knee * scale)
    used = float(found.leverages[:count].sum()) + 1.0
    room = count - used - 1.0
    if room <= 0.0:
        return float("inf")
    return float(count * np.log(misfit / count) + 2.0 * used + 2.0 * used * (used + 1.0) / room)
