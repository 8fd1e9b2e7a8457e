"""Draws from a log density: by importance about Laplace's approximation, else by Markov chains.

Importance sampling takes seconds, and Pareto's shape of its largest weights says whether it may
be trusted (Vehtari, Simpson, Gelman, Yao & Gabry 2024, J. Mach. Learn. Res. 25:72; from memory).
Where draws lie higher than the top that was found, there is another, and both are proposed from.
Only where weights may not be trusted all the same, chains go on from there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
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
        if found.stopped or found.pareto_k < PARETO_LIMIT or top <= height + HIGHER:
            break
        assert climb is not None
        # What is known of the lower top stays in the proposal: it may have weight, too.
        proposal = proposal.beside(*climb(highest))
        height = max(top, float(log_density(proposal.centres[-1:])[0]))
        found, fitted, highest = weigh(proposal)
    proposal = fitted
    good = found.pareto_k < PARETO_LIMIT
    if found.stopped or (good and found.effective >= LEAST_EFFICIENCY * len(found.weights)):
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
    nothing = np.empty((0, proposal.centres.shape[1]))
    tried = _Tried(nothing, nothing[:, 0]).more(proposal, first, log_density, random)
    found = tried.smoothed(wanted)
    try:
        for number in range(1, ROUNDS + 1):
            good = found.pareto_k < PARETO_LIMIT
            if progress is not None:
                progress(min(found.effective / wanted, 1.0) if good else 0.0)
            fine = found.reached or found.effective > FINE_EFFICIENCY * len(found.weights)
            if (good and fine) or number == ROUNDS:
                break
            # Bad weights would leave a few points to fit to: half their logarithm leaves more.
            even = found.weights if good else np.sqrt(found.weights)
            proposal = proposal.fitted(found.points, even / even.sum())
            tried = tried.more(proposal, first, log_density, random)
            found = tried.smoothed(wanted)
        while (
            found.pareto_k < PARETO_LIMIT and not found.reached and len(found.weights) < MOST_DRAWS
        ):
            lacking = 1.2 * (wanted / found.effective - 1.0) * len(found.weights)
            tried = tried.more(proposal, int(np.clip(lacking, LEAST, FIRST)), log_density, random)
            found = tried.smoothed(wanted)
            if progress is not None:
                progress(min(found.effective / wanted, 1.0))
    except KeyboardInterrupt:
        # Who stops it keeps what has been drawn, after the first round.
        found = replace(found, stopped=True)
    return found, proposal, tried.highest


@dataclass(frozen=True, eq=False)
class _Tried:
    """Draws of several proposals, each weighed by the mixture of all.

    So a draw where its own proposal is thin, but another is not, has no large weight (Veach &
    Guibas 1995, Proc. SIGGRAPH, 419: the balance heuristic; from memory).
    """

    points: Floats
    density: Floats
    proposals: tuple[tuple[Proposal, int], ...] = ()

    def more(
        self, proposal: Proposal, count: int, log_density: LogDensity, random: np.random.Generator
    ) -> _Tried:
        """With more draws."""
        points = proposal.draw(count, random)
        density = np.concatenate([self.density, log_density(points)])
        points = np.concatenate([self.points, points])
        return _Tried(points, density, (*self.proposals, (proposal, count)))

    @property
    def highest(self) -> Floats:
        """Highest point met, shape (dimensions,)."""
        return np.asarray(self.points[np.argmax(self.density)])

    def smoothed(self, wanted: float) -> Draws:
        """All draws with their weights smoothed."""
        parts = [p.log_density(self.points) + np.log(count) for p, count in self.proposals]
        ratios = self.density - np.logaddexp.reduce(parts, axis=0)
        return _smoothed(self.points, ratios, wanted)


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
