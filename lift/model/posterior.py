"""Posterior: what standard normal deviates may be, once something has been observed.

Adaptive importance sampling. The first proposal is the prior; as long as few draws carry the
weight, a normal is fitted to the tempered draws and the sample is drawn anew from it, with a tenth
of the prior kept in the mixture so that no weight can grow without bound. The points are Sobol's,
scrambled: in four dimensions 4096 of them put mean and sd within 0.3 % of a dense grid integral.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.quantities import MEMBERS as MEMBERS_ASKED

DRAWS = 4096
MEMBERS = 1000
ENOUGH = 0.2
"""Share of the draws that must count, by effective sample size, before sampling stops."""

LEAST = 0.02
ROUNDS = 12
PRIOR_SHARE = 0.1


@dataclass(frozen=True, eq=False)
class Posterior:
    """Weighted draws of standard normal deviates.

    Parameters
    ----------
    draws : numpy.ndarray
        Shape (draws, dimensions).
    weights : numpy.ndarray
        Shape (draws,), summing to 1.
    log_evidence : float
        Logarithm of the mean likelihood under the prior.
    rounds : int
        Rounds of sampling it took.
    """

    draws: Floats
    weights: Floats
    log_evidence: float
    rounds: int

    @property
    def effective_size(self) -> float:
        """Equally weighted draws that would know as much (Kish): ``1 / sum w^2``."""
        return float(1.0 / np.sum(self.weights**2))

    @property
    def mean(self) -> Floats:
        """Posterior mean, shape (dimensions,)."""
        return np.asarray(self.weights @ self.draws)

    @property
    def sd(self) -> Floats:
        """Posterior standard deviation, shape (dimensions,)."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def covariance(self) -> Floats:
        """Posterior covariance, shape (dimensions, dimensions)."""
        off = self.draws - self.mean
        return np.asarray((self.weights[:, None] * off).T @ off)

    def resample(self, members: int = MEMBERS, seed: int = 0) -> Floats:
        """Equally weighted draws by systematic resampling, shape (members, dimensions).

        The draws are taken in the order of the direction the data moved most, so that each
        stretch of it gets its share.

        Parameters
        ----------
        members : int
            How many, 2 to 100000.
        seed : int
            Seed of the one random offset.
        """
        count = int(MEMBERS_ASKED.number(members))
        narrow = np.linalg.eigh(self.covariance)[1][:, 0]
        order = np.argsort(self.draws @ narrow)
        at = (np.arange(count) + np.random.default_rng(seed).random()) / count
        picked = np.searchsorted(np.cumsum(self.weights[order]), at)
        return np.asarray(self.draws[order[np.minimum(picked, order.size - 1)]])


def sample_posterior(
    log_likelihood: Callable[[Floats], Floats],
    dimensions: int,
    *,
    draws: int = DRAWS,
    seed: int = 0,
) -> Posterior:
    """Sample standard normal deviates given what was observed.

    Parameters
    ----------
    log_likelihood : callable
        From deviates of shape (draws, dimensions) to log likelihoods of shape (draws,).
    dimensions : int
        How many deviates.
    draws : int
        Draws in each round, a power of two serves best, 64 to 100000.
    seed : int
        Seed; the same seed gives the same draws.

    Returns
    -------
    Posterior
        Of the round with the largest effective sample size.

    Raises
    ------
    LiftError
        When too few draws carry weight for the posterior to be trusted.
    """
    count = int(check_number("posterior.draws", draws, 64, 100_000))
    mean, root = np.zeros(dimensions), np.eye(dimensions)
    best: Posterior | None = None
    for number in range(ROUNDS):
        points = _normal_points(count, dimensions, seed + number)
        proposed = points.copy()
        first = int(PRIOR_SHARE * count) if number else count
        # Points of any stretch of Sobol's sequence fill space evenly, so the two parts do too.
        proposed[first:] = mean + points[first:] @ root.T
        prior = _log_normal(proposed, np.zeros(dimensions), np.eye(dimensions))
        density = prior
        if number:
            density = np.logaddexp(
                np.log(PRIOR_SHARE) + prior,
                np.log1p(-PRIOR_SHARE) + _log_normal(proposed, mean, root),
            )
        log_weight = log_likelihood(proposed) + prior - density
        peak = float(np.max(log_weight))
        if not np.isfinite(peak):
            raise LiftError("posterior.no_likelihood")
        weight = np.exp(log_weight - peak)
        found = Posterior(
            proposed, weight / weight.sum(), peak + float(np.log(weight.mean())), number + 1
        )
        if best is None or found.effective_size > best.effective_size:
            best = found
        if best.effective_size >= ENOUGH * count:
            return best
        mean, root = _fit(proposed, log_weight - peak)
    if best is None or best.effective_size < LEAST * count:
        raise LiftError("posterior.too_few")
    return best


def _fit(draws: Floats, log_weight: Floats) -> tuple[Floats, Floats]:
    """Mean and root of the covariance, tempered so that several draws for each entry count."""
    dimensions = draws.shape[1]
    wanted = min(10.0 * dimensions**2, 0.5 * draws.shape[0])
    low, high = 0.0, 1.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        weight = np.exp(middle * log_weight)
        enough = weight.sum() ** 2 / np.sum(weight**2) >= wanted
        low, high = (middle, high) if enough else (low, middle)
    weight = np.exp(low * log_weight)
    weight /= weight.sum()
    mean = weight @ draws
    off = draws - mean
    # A proposal a little wider than the posterior keeps the weights of its tails low.
    covariance = 1.2 * (weight[:, None] * off).T @ off + 1e-9 * np.eye(dimensions)
    return mean, np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)


def _normal_points(count: int, dimensions: int, seed: int) -> Floats:
    from scipy.special import ndtri
    from scipy.stats import qmc

    levels = int(np.ceil(np.log2(count)))
    points = qmc.Sobol(dimensions, seed=seed).random_base2(levels)[:count]
    return np.asarray(ndtri(np.clip(points, 1e-12, 1.0 - 1e-12)))


def _log_normal(points: Floats, mean: Floats, root: Floats) -> Floats:
    scaled = np.linalg.solve(root, (points - mean).T)
    constant = 0.5 * mean.size * np.log(2.0 * np.pi) + np.sum(np.log(np.diag(root)))
    return np.asarray(-0.5 * np.sum(scaled**2, axis=0) - constant)
