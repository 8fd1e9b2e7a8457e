"""Draws from a log density: by importance about Laplace's approximation, else by Markov chains.

Importance sampling takes seconds, and Pareto's shape of its largest weights says whether it may
be trusted (Vehtari, Simpson, Gelman, Yao & Gabry 2024, J. Mach. Learn. Res. 25:72; from memory).
Only where it may not, emcee goes on from there: most moves propose from the same distribution,
fitted while the chains warm up, the others are differential evolution.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.research.posterior.mode import LogDensity

Progress = Callable[[float], None]
"""Told the share of the wanted draws reached [-], 0 to 1."""

IMPORTANCE, CHAINS = "importance", "chains"

FREEDOM = 5.0  # of the t distribution that proposes: tails wider than any posterior of ours
LEAST, FIRST = 400, 1000
"""Draws of the first round, fewer where few are wanted."""

ROUNDS = 3
MOST_DRAWS = 20_000
PARETO_LIMIT = 0.7
LEAST_EFFICIENCY = 0.05
FINE_EFFICIENCY = 0.6
TRUNCATIONS = 20

INDEPENDENT_SHARE = 0.8
WARM_UP = (40, 40, 60)
ENSEMBLES = 4
RHAT_LIMIT = 1.01
"""Vehtari, Gelman, Simpson, Carpenter & Buerkner 2021, Bayesian Analysis 16:667 (from memory)."""


@dataclass(frozen=True, eq=False)
class Draws:
    """Distinct points with weights.

    Parameters
    ----------
    points : numpy.ndarray
        Each once, shape (draws, dimensions).
    weights : numpy.ndarray
        Sum to 1, shape (draws,).
    method : str
        `IMPORTANCE` or `CHAINS`.
    effective : float
        Effective number of draws, of the quantity that has least, bulk and tails.
    pareto_k : float
        Shape of the largest importance weights [-]; above 0.7 they do not say what they weigh.
    rhat : float
        Largest R-hat of the chains [-]; nan where there are none.
    reached : bool
        Whether as many effective draws as wanted were reached, and the chains agree.
    """

    points: Floats
    weights: Floats
    method: str
    effective: float
    pareto_k: float
    rhat: float
    reached: bool

    def quantile(self, shares: Any) -> Floats:
        """Quantiles of each coordinate, shape (shares, dimensions)."""
        columns = [
            np.quantile(c, shares, weights=self.weights, method="inverted_cdf")
            for c in self.points.T
        ]
        return np.stack(columns, axis=-1)

    def kept(self, count: int, random: np.random.Generator) -> tuple[Floats, float]:
        """Draws that all count alike, none twice, in random order.

        A weight above one draw's share is cut to it (Ionides 2008, J. Comput. Graph. Stat. 17:295;
        from memory).

        Parameters
        ----------
        count : int
            How many, or half of the draws where that is less.
        random : numpy.random.Generator
            Decides which and in which order.

        Returns
        -------
        numpy.ndarray
            Shape (kept, dimensions).
        float
            Effective number of those kept: what is lost by keeping some adds to what the draws
            lacked before.
        """
        count = min(count, len(self.weights) // 2)
        weights = self.weights
        for _ in range(TRUNCATIONS):
            weights = np.minimum(weights, 1.0 / count)
            weights = weights / weights.sum()
        order = random.permutation(len(weights))
        ends = np.cumsum(weights[order])
        at = ends[-1] * (np.arange(count) + random.random()) / count
        picked = random.permutation(np.unique(order[np.searchsorted(ends, at, side="right")]))
        lost = (1.0 - len(picked) / len(weights)) / len(picked)
        return self.points[picked], min(float(len(picked)), 1.0 / (lost + 1.0 / self.effective))


def require_sampler() -> None:
    """Make sure that sampler and diagnostics are there before long work begins.

    Raises
    ------
    LiftError
        Naming what is missing and how to get it.
    """
    for package in ("emcee", "arviz_stats"):
        if find_spec(package) is None:
            raise LiftError("research.extra", package=package)


def explore(
    log_density: LogDensity,
    centre: Floats,
    covariance: Floats,
    *,
    seed: int,
    wanted: float,
    most: int = 4000,
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
    proposal = Proposal(centre, np.asarray(np.linalg.cholesky(covariance)))
    found, proposal = weighed(log_density, proposal, seed=seed, wanted=wanted, progress=progress)
    if found.pareto_k < PARETO_LIMIT and found.effective >= LEAST_EFFICIENCY * len(found.weights):
        return found
    return chains(log_density, proposal, seed=seed, wanted=wanted, most=most, progress=progress)


@dataclass(frozen=True, eq=False)
class Proposal:
    """A t distribution: centre and root of its covariance."""

    centre: Floats
    root: Floats

    def draw(self, count: int, random: Any) -> Floats:
        """Independent draws, shape (count, dimensions)."""
        deviates = random.standard_normal((count, self.centre.size))
        deviates /= np.sqrt(random.chisquare(FREEDOM, size=(count, 1)) / FREEDOM)
        return np.asarray(self.centre + deviates @ self.root.T)

    def log_density(self, points: Floats) -> Floats:
        """Log density but for a constant, shape (points,)."""
        off = np.linalg.solve(self.root, (points - self.centre).T)
        size = FREEDOM + self.centre.size
        return np.asarray(-0.5 * size * np.log1p(np.sum(off**2, axis=0) / FREEDOM))

    def fitted(self, points: Floats, weights: Floats | None = None) -> Proposal:
        """Proposal with the mean and the covariance of draws, a little wider than they are."""
        mean = np.average(points, axis=0, weights=weights)
        spread = np.cov(points.T, aweights=weights).reshape(mean.size, mean.size)
        root = np.linalg.cholesky(1.1 * spread + 1e-10 * np.eye(mean.size))
        return Proposal(mean, np.asarray(root))


def weighed(
    log_density: LogDensity,
    proposal: Proposal,
    *,
    seed: int,
    wanted: float,
    progress: Progress | None = None,
) -> tuple[Draws, Proposal]:
    """Draw from a proposal and weigh; where the weights are bad, fit the proposal and try again.

    Returns
    -------
    Draws, Proposal
        Their weights smoothed; a Pareto shape above `PARETO_LIMIT` forbids their use.
    """
    random = np.random.default_rng(seed)
    first = int(np.clip(2.0 * wanted, LEAST, FIRST))
    best: tuple[Draws, Proposal, Floats] | None = None
    for _ in range(ROUNDS):
        points = proposal.draw(first, random)
        ratios = log_density(points) - proposal.log_density(points)
        found = _smoothed(points, ratios, wanted)
        good = found.pareto_k < PARETO_LIMIT
        if best is None or (good, found.effective) > (
            best[0].pareto_k < PARETO_LIMIT,
            best[0].effective,
        ):
            best = found, proposal, ratios
        if good and found.effective > FINE_EFFICIENCY * first:
            break
        # Bad weights would leave a few points to fit to: half their logarithm leaves more.
        even = found.weights if found.pareto_k < PARETO_LIMIT else np.sqrt(found.weights)
        proposal = proposal.fitted(found.points, even)
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
    return found, proposal


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


def chains(
    log_density: LogDensity,
    proposal: Proposal,
    *,
    seed: int,
    wanted: float,
    most: int = 4000,
    block: int = 50,
    ensembles: int = ENSEMBLES,
    progress: Progress | None = None,
) -> Draws:
    """Sample by chains until every coordinate is known well; all walkers in one call.

    Parameters
    ----------
    log_density, seed, wanted, most, progress
        See `explore`.
    proposal : Proposal
        Where to start, and what most moves propose.
    block : int
        Steps between looks.
    ensembles : int
        Independent ensembles, at least 2.

    Returns
    -------
    Draws
        Points visited, weighted by how long the chains stayed.
    """
    require_sampler()
    import emcee

    dimensions = proposal.centre.size
    walkers = max(2 * dimensions + 8, 32)
    independent = _Independent(proposal)
    moves = [
        (emcee.moves.MHMove(independent), INDEPENDENT_SHARE),
        # Not the snooker move beside it: the draws of emcee 3.1.6's are too narrow.
        (emcee.moves.DEMove(), 1.0 - INDEPENDENT_SHARE),
    ]
    samplers: list[Any] = []
    for number in range(ensembles):
        sampler = emcee.EnsembleSampler(
            walkers, dimensions, log_density, moves=moves, vectorize=True
        )
        random = np.random.RandomState(np.random.SeedSequence((seed, number)).generate_state(4))
        sampler.random_state = random.get_state()
        samplers.append(sampler)
    state = _start(samplers[0], independent, log_density)
    for steps in WARM_UP:
        samplers[0].reset()
        state = samplers[0].run_mcmc(state, steps)
        settled = samplers[0].get_chain(discard=steps // 2, flat=True)
        independent.proposal = independent.proposal.fitted(settled)
    states: list[Any] = [state]
    for sampler in samplers[1:]:
        start = _start(sampler, independent, log_density)
        states.append(sampler.run_mcmc(start, WARM_UP[0]))
    for sampler in samplers:
        sampler.reset()
    steps = 0
    while True:
        states = [s.run_mcmc(at, block) for s, at in zip(samplers, states, strict=True)]
        steps += block
        drawn = np.concatenate([s.get_chain() for s in samplers], axis=1).swapaxes(0, 1)
        effective = min(effective_draws(column) for column in np.moveaxis(drawn, -1, 0))
        rhat = max(nested_rhat(column, ensembles) for column in np.moveaxis(drawn, -1, 0))
        reached = effective >= wanted and rhat < RHAT_LIMIT
        if progress is not None:
            progress(min(effective / wanted, 1.0))
        if reached or steps >= most:
            break
    points, stayed = np.unique(drawn.reshape(-1, dimensions), axis=0, return_counts=True)
    weights = stayed / stayed.sum()
    return Draws(points, weights, CHAINS, effective, np.nan, rhat, bool(reached))


def nested_rhat(drawn: Floats, ensembles: int) -> float:
    """R-hat of chains of one quantity, shape (chains, steps), as ``arviz-stats`` computes it.

    The nested one (Margossian, Hoffman, Sountsov, Riou-Durand, Vehtari & Gelman 2024, Bayesian
    Analysis 19; from memory): the walkers of one ensemble lean on each other, so it is the
    ensembles that have to agree.
    """
    from arviz_stats.base import array_stats

    own = np.repeat(np.arange(ensembles), len(drawn) // ensembles)
    return float(array_stats.rhat_nested(drawn, superchain_ids=own))


def effective_draws(drawn: Floats) -> float:
    """Effective number of draws for the middle or the 5 and 95 % points, whichever is less.

    Parameters
    ----------
    drawn : numpy.ndarray
        Chains of one quantity, shape (chains, steps).
    """
    from arviz_stats.base import array_stats

    return min(
        float(array_stats.ess(drawn, method="bulk")),
        float(array_stats.ess(drawn, method="tail", prob=(0.05, 0.95))),
    )


class _Independent:
    """A proposal as emcee's Metropolis move takes it."""

    def __init__(self, proposal: Proposal) -> None:
        self.proposal = proposal

    def __call__(self, points: Floats, random: Any) -> tuple[Floats, Floats]:
        proposed = self.proposal.draw(len(points), random)
        own = self.proposal.log_density
        return proposed, own(points) - own(proposed)


def _start(sampler: Any, independent: _Independent, log_density: LogDensity) -> Floats:
    """First walkers: draws of the proposal that have any density."""
    from numpy.random import RandomState

    random = RandomState()
    random.set_state(sampler.random_state)
    points = independent.proposal.draw(20 * sampler.nwalkers, random)
    alive = points[np.isfinite(log_density(points))]
    if len(alive) < sampler.nwalkers:
        raise LiftError("research.no_density")
    sampler.random_state = random.get_state()
    return alive[: sampler.nwalkers]
