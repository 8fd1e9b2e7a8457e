"""Draws by Markov chains, where importance sampling may not be trusted.

Most moves of emcee's walkers propose from a distribution fitted while the chains warm up, the
others are differential evolution.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.research.posterior.drawn import CHAINS, Draws, Progress, require_sampler
from lift.research.posterior.mode import LogDensity
from lift.research.posterior.proposal import Proposal

INDEPENDENT_SHARE = 0.8
WARM_UP = (40, 40, 60)
ENSEMBLES = 4
RHAT_LIMIT = 1.01
"""Vehtari, Gelman, Simpson, Carpenter & Buerkner 2021, Bayesian Analysis 16:667 (from memory)."""


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

    Raises
    ------
    KeyboardInterrupt
        When it is stopped before there is anything to keep.
    """
    require_sampler()
    import emcee

    dimensions = proposal.centres.shape[1]
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
    steps, stopped = 0, False
    while True:
        try:
            states = [s.run_mcmc(at, block) for s, at in zip(samplers, states, strict=True)]
        except KeyboardInterrupt:
            if steps == 0:
                raise
            stopped = True
            break
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
    return Draws(points, weights, CHAINS, effective, np.nan, rhat, bool(reached), stopped)


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
