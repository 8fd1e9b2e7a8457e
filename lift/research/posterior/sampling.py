"""Draws from a log density: emcee, with proposals that start from Laplace's approximation.

Most moves propose independently from a t distribution that is fitted to the density while the
chains warm up; the others are differential evolution, which keeps the chains right where that
fit is poor. All walkers are evaluated in one call.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.research.posterior.mode import LogDensity, Mode

INDEPENDENT_SHARE = 0.8
FREEDOM = 30.0  # of the proposal: wider tails than the normal, yet accepted in 30 dimensions
WARM_UP = (60, 60, 100)
ENSEMBLES = 4
RHAT_LIMIT = 1.01
"""Vehtari, Gelman, Simpson, Carpenter & Buerkner 2021, Bayesian Analysis 16:667 (from memory)."""


@dataclass(frozen=True, eq=False)
class Chains:
    """What was drawn.

    Parameters
    ----------
    draws : numpy.ndarray
        Shape (chains, steps, dimensions): each walker of each ensemble is a chain, those of one
        ensemble together.
    ensembles : int
        Independent ensembles.
    acceptance : float
        Share of proposals accepted [-].
    """

    draws: Floats
    ensembles: int
    acceptance: float

    def thinned(self, count: int) -> Floats:
        """Evenly picked draws, shape (count, dimensions); fewer when there are not as many."""
        chains, steps, dimensions = self.draws.shape
        flat = self.draws.swapaxes(0, 1).reshape(chains * steps, dimensions)
        pick = np.linspace(0, len(flat) - 1, min(count, len(flat))).round().astype(int)
        return np.asarray(flat[pick])


@dataclass(frozen=True)
class Diagnostic:
    """Whether one quantity was sampled well.

    Parameters
    ----------
    rhat : float
        Rank-normalised R-hat of the ensembles [-]: near 1 when they agree.
    bulk, tail : float
        Effective number of draws for the middle and for the 5 and 95 % points.
    """

    rhat: float
    bulk: float
    tail: float


def require_sampler() -> None:
    """Make sure that sampler and diagnostics are there before long work begins.

    Raises
    ------
    LiftError
        Naming what is missing and how to get it.
    """
    for package in ("emcee", "arviz_stats"):
        if find_spec(package) is None:
            raise LiftError(
                f"{package} is not installed; install the extra: pip install 'lift[research]'"
            )


def diagnose(draws: Floats, ensembles: int) -> Diagnostic:
    """Diagnose the chains of one quantity.

    Parameters
    ----------
    draws : numpy.ndarray
        Shape (chains, steps).
    ensembles : int
        How many independent ensembles the chains make up, at least 2.

    Returns
    -------
    Diagnostic
        As ``arviz-stats`` computes it. R-hat is the nested one (Margossian, Hoffman, Sountsov,
        Riou-Durand, Vehtari & Gelman 2024, Bayesian Analysis 19; from memory): the walkers of one
        ensemble lean on each other, so it is the ensembles that have to agree.
    """
    from arviz_stats.base import array_stats

    own = np.repeat(np.arange(ensembles), len(draws) // ensembles)
    rhat = float(array_stats.rhat_nested(draws, superchain_ids=own))
    return Diagnostic(rhat, *effective_draws(draws))


def effective_draws(draws: Floats) -> tuple[float, float]:
    """Effective number of draws for the middle and for the 5 and 95 % points.

    Parameters
    ----------
    draws : numpy.ndarray
        Chains of one quantity, shape (chains, steps).

    Returns
    -------
    bulk, tail : float
        As ``arviz-stats`` computes them.
    """
    from arviz_stats.base import array_stats

    return (
        float(array_stats.ess(draws, method="bulk")),
        float(array_stats.ess(draws, method="tail", prob=(0.05, 0.95))),
    )


def sample(
    log_density: LogDensity,
    mode: Mode,
    monitor: Callable[[Floats], Floats],
    *,
    seed: int,
    wanted: float = 400.0,
    block: int = 100,
    most: int = 4000,
    ensembles: int = ENSEMBLES,
    progress: Callable[[float], None] | None = None,
) -> Chains:
    """Sample until every monitored quantity is known well.

    Parameters
    ----------
    log_density : callable
        See `LogDensity`; minus infinity where there is no density.
    mode : Mode
        Where to start.
    monitor : callable
        Quantities of interest of points: shape (..., dimensions) to (..., quantities).
    seed : int
        Seed; the same seed gives the same draws.
    wanted : float
        Effective number of draws at which to stop, for middle and tails, once R-hat is below
        `RHAT_LIMIT`.
    block, most : int
        Steps between looks, and most steps of each ensemble.
    ensembles : int
        Independent ensembles; with one there is no R-hat to look at.
    progress : callable, optional
        Told the share of the wanted draws reached [-], 0 to 1.

    Returns
    -------
    Chains

    Raises
    ------
    LiftError
        When emcee is not installed.
    """
    require_sampler()
    import emcee

    proposal = _Proposal(mode.point, mode.covariance)
    dimensions = mode.point.size
    walkers = 2 * dimensions + 8
    moves = [
        (emcee.moves.MHMove(proposal), INDEPENDENT_SHARE),
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
    state = _start(samplers[0], proposal, log_density)
    for steps in WARM_UP:
        samplers[0].reset()
        state = samplers[0].run_mcmc(state, steps)
        proposal.fit(samplers[0].get_chain(discard=steps // 2, flat=True))
    states: list[Any] = [state]
    for sampler in samplers[1:]:
        start = _start(sampler, proposal, log_density)
        states.append(sampler.run_mcmc(start, WARM_UP[0]))
    for sampler in samplers:
        sampler.reset()
    steps = 0
    while True:
        states = [s.run_mcmc(at, block) for s, at in zip(samplers, states, strict=True)]
        steps += block
        draws = np.concatenate([s.get_chain() for s in samplers], axis=1).swapaxes(0, 1)
        monitored = np.moveaxis(monitor(draws), -1, 0)
        reached = min(min(effective_draws(q)) for q in monitored) / wanted
        if progress is not None:
            progress(min(reached, 1.0))
        if steps >= most or (reached >= 1.0 and _agree(monitored, ensembles)):
            break
    accepted = float(np.mean([s.acceptance_fraction.mean() for s in samplers]))
    return Chains(np.ascontiguousarray(draws), ensembles, accepted)


def _agree(monitored: Floats, ensembles: int) -> bool:
    if ensembles == 1:
        return True
    return all(diagnose(q, ensembles).rhat < RHAT_LIMIT for q in monitored)


class _Proposal:
    """Independent draws from a t distribution, as emcee's Metropolis move takes them."""

    def __init__(self, centre: Floats, covariance: Floats) -> None:
        self._set(centre, covariance)

    def _set(self, centre: Floats, covariance: Floats) -> None:
        self.centre = centre
        self.root = np.linalg.cholesky(covariance)

    def fit(self, draws: Floats) -> None:
        """Take mean and covariance from draws, a little wider than they are."""
        spread = np.cov(draws.T).reshape(draws.shape[1], draws.shape[1])
        self._set(draws.mean(axis=0), 1.1 * spread + 1e-10 * np.eye(draws.shape[1]))

    def draw(self, count: int, random: Any) -> Floats:
        deviates = random.standard_normal((count, self.centre.size))
        deviates /= np.sqrt(random.chisquare(FREEDOM, size=(count, 1)) / FREEDOM)
        return np.asarray(self.centre + deviates @ self.root.T)

    def log_density(self, points: Floats) -> Floats:
        off = np.linalg.solve(self.root, (points - self.centre).T)
        size = FREEDOM + self.centre.size
        return np.asarray(-0.5 * size * np.log1p(np.sum(off**2, axis=0) / FREEDOM))

    def __call__(self, points: Floats, random: Any) -> tuple[Floats, Floats]:
        proposed = self.draw(len(points), random)
        return proposed, self.log_density(points) - self.log_density(proposed)


def _start(sampler: Any, proposal: _Proposal, log_density: LogDensity) -> Floats:
    """First walkers: draws of the proposal that have any density."""
    from numpy.random import RandomState

    random = RandomState()
    random.set_state(sampler.random_state)
    points = proposal.draw(20 * sampler.nwalkers, random)
    alive = points[np.isfinite(log_density(points))]
    if len(alive) < sampler.nwalkers:
        raise LiftError("the sampler finds no density around the best fit")
    sampler.random_state = random.get_state()
    return alive[: sampler.nwalkers]
