"""Draws from a log density: by importance about Laplace's approximation, else by Markov chains.

Importance sampling takes seconds, and Pareto's shape of its largest weights says whether it may
be trusted (Vehtari, Simpson, Gelman, Yao & Gabry 2024, J. Mach. Learn. Res. 25:72; from memory).
Where draws lie higher than the top that was found, there is another, and both are proposed from.
Only where weights may not be trusted all the same, chains go on from there.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from lift.errors import Floats, LiftError
from lift.research.posterior.chains import chains
from lift.research.posterior.drawn import IMPORTANCE, Draws, Progress, require_sampler
from lift.research.posterior.mode import LogDensity
from lift.research.posterior.proposal import Proposal

Climb = Callable[[Floats], tuple[Floats, Floats]]
"""From a point of shape (dimensions,) to the top above it and the covariance about that."""

LEAST, FIRST = 400, 1000
"""Draws of the first round, fewer where few are wanted."""

ROUNDS = 3
MOST_DRAWS = 20_000
PARETO_LIMIT = 0.7
LEAST_EFFICIENCY = 0.05
FINE_EFFICIENCY = 0.6

CLIMBS, HIGHER = 3, 0.5
"""Other tops that are climbed to at most, and by how much log density tells of one."""


def explore(
    log_density: LogDensity,
    centre: Floats,
    covariance: Floats,
    *,
    seed: int,
    wanted: float,
    most: int = 4000,
    climb: Climb | None = None,
    progress: Progress | None = None,
) -> Draws:
    """Draw until the posterior is known well: by importance, and by chains only where it fails.

    Parameters
    ----------
    log_density : callable
        See `LogDensity`; minus infinity where there is no density.
    centre, covariance : numpy.ndarray
        Laplace's approximation, shapes (dimensions,) and (dimensions, dimensions).
    seed : int
        Seed; the same seed gives the same draws.
    wanted : float
        Effective number of draws at which to stop.
    most : int
        Most steps of the chains.
    climb : callable, optional
        See `Climb`: where draws lie higher than the centre, there is another top.
    progress : callable, optional
        See `Progress`.

    Returns
    -------
    Draws

    Raises
    ------
    LiftError
        When emcee or arviz-stats is not installed, or there is no density about the centre.
    """
    require_sampler()
    proposal, height = Proposal.about(centre, covariance), float(log_density(centre[None])[0])
    weigh = partial(weighed, log_density, seed=seed, wanted=wanted, progress=progress)
    found, fitted, highest = weigh(proposal)
    for _ in range(CLIMBS if climb is not None else 0):
        top = float(log_density(highest[None])[0])
        if found.pareto_k < PARETO_LIMIT or top <= height + HIGHER:
            break
        assert climb is not None
        # What is known of the lower top stays in the proposal: it may have weight, too.
        proposal = proposal.beside(*climb(highest))
        height = max(top, float(log_density(proposal.centres[-1:])[0]))
        found, fitted, highest = weigh(proposal)
    proposal = fitted
    if found.pareto_k < PARETO_LIMIT and found.effective >= LEAST_EFFICIENCY * len(found.weights):
        return found
    return chains(log_density, proposal, seed=seed, wanted=wanted, most=most, progress=progress)


def weighed(
    log_density: LogDensity,
    proposal: Proposal,
    *,
    seed: int,
    wanted: float,
    progress: Progress | None = None,
) -> tuple[Draws, Proposal, Floats]:
    """Draw from a proposal and weigh; where the weights are bad, fit the proposal and try again.

    Returns
    -------
    Draws, Proposal, numpy.ndarray
        Their weights smoothed; a Pareto shape above `PARETO_LIMIT` forbids their use. Then the last
        proposal, and the highest point met, shape (dimensions,).
    """
    random = np.random.default_rng(seed)
    first = int(np.clip(2.0 * wanted, LEAST, FIRST))
    best: tuple[Draws, Proposal, Floats] | None = None
    highest, height = proposal.centres[0], -np.inf
    try:
        for _ in range(ROUNDS):
            points = proposal.draw(first, random)
            density = log_density(points)
            if density.max() > height:
                highest, height = points[np.argmax(density)], float(density.max())
            ratios = density - proposal.log_density(points)
            found = _smoothed(points, ratios, wanted)
            good = found.pareto_k < PARETO_LIMIT
            if best is None or (good, found.effective) > (
                best[0].pareto_k < PARETO_LIMIT,
                best[0].effective,
            ):
                best = found, proposal, ratios
            if progress is not None:
                progress(min(found.effective / wanted, 1.0) if good else 0.0)
            if good and found.effective > FINE_EFFICIENCY * first:
                break
            # Bad weights would leave a few points to fit to: half their logarithm leaves more.
            even = found.weights if found.pareto_k < PARETO_LIMIT else np.sqrt(found.weights)
            proposal = proposal.fitted(found.points, even / even.sum())
        assert best is not None
        found, proposal, ratios = best
        points = found.points
        while found.pareto_k < PARETO_LIMIT and not found.reached and len(ratios) < MOST_DRAWS:
            lacking = 1.2 * (wanted / found.effective - 1.0) * len(ratios)
            more = int(np.clip(lacking, LEAST, FIRST))
            drawn = proposal.draw(more, random)
            ratios = np.append(ratios, log_density(drawn) - proposal.log_density(drawn))
            points = np.concatenate([points, drawn])
            found = _smoothed(points, ratios, wanted)
            if progress is not None:
                progress(min(found.effective / wanted, 1.0))
    except KeyboardInterrupt:
        # Who stops it keeps what has been drawn.
        if best is None:
            raise
        found, proposal = (found, proposal) if len(found.weights) > first else best[:2]
    return found, proposal, highest


def _smoothed(points: Floats, ratios: Floats, wanted: float) -> Draws:
    if np.isfinite(ratios).sum() < len(ratios) // 10:
        raise LiftError("research.no_density")
    weights, k = pareto_smoothed(ratios)
    effective = float(1.0 / np.sum(weights**2))
    return Draws(points, weights, IMPORTANCE, effective, k, np.nan, effective >= wanted)


def pareto_smoothed(ratios: Floats) -> tuple[Floats, float]:
    """Weights of log ratios, shape (draws,), that sum to 1, and Pareto's shape of the largest."""
    from arviz_stats.base import array_stats

    ratios = np.maximum(ratios - ratios.max(), -700.0)
    if np.ptp(ratios) < 1e-9:
        return np.full(len(ratios), 1.0 / len(ratios)), 0.0
    # Arviz takes the negative, as for leaving observations out.
    smoothed, shape = array_stats.psislw(-ratios)
    weights = np.exp(smoothed - smoothed.max())
    return np.asarray(weights / weights.sum()), float(shape)
