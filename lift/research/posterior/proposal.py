"""What draws are proposed from: t distributions about the tops of a posterior."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats

FREEDOM = 5.0  # of the t distributions: tails wider than any posterior of ours
LEAST_SHARE = 0.005
"""Share of the draws below which a part of the proposal is let go."""


@dataclass(frozen=True, eq=False)
class Proposal:
    """A mixture of t distributions, one about each top: shares, centres, roots of covariances."""

    shares: Floats
    centres: Floats
    roots: Floats

    @staticmethod
    def about(centre: Floats, covariance: Floats) -> Proposal:
        """About one top."""
        root = np.asarray(np.linalg.cholesky(covariance))
        return Proposal(np.ones(1), centre[None], root[None])

    def beside(self, centre: Floats, covariance: Floats) -> Proposal:
        """With one more top, which gets as much as each has."""
        other, count = Proposal.about(centre, covariance), len(self.shares)
        return Proposal(
            np.append(count * self.shares, 1.0) / (count + 1.0),
            np.concatenate([self.centres, other.centres]),
            np.concatenate([self.roots, other.roots]),
        )

    def draw(self, count: int, random: Any) -> Floats:
        """Independent draws, shape (count, dimensions)."""
        deviates = random.standard_normal((count, self.centres.shape[1]))
        deviates /= np.sqrt(random.chisquare(FREEDOM, size=(count, 1)) / FREEDOM)
        part = random.choice(len(self.shares), size=count, p=self.shares)
        return np.asarray(self.centres[part] + np.einsum("nij,nj->ni", self.roots[part], deviates))

    def _parts(self, points: Floats) -> Floats:
        """Log density of each part but for a constant, shape (parts, points)."""
        size = FREEDOM + self.centres.shape[1]
        off = np.linalg.solve(self.roots, np.swapaxes(points - self.centres[:, None], -1, -2))
        wide = np.log(np.diagonal(self.roots, axis1=-2, axis2=-1)).sum(axis=-1)
        tail = 0.5 * size * np.log1p(np.sum(off**2, axis=-2) / FREEDOM)
        return np.asarray((np.log(self.shares) - wide)[:, None] - tail)

    def log_density(self, points: Floats) -> Floats:
        """Log density but for a constant, shape (points,)."""
        return np.asarray(np.logaddexp.reduce(self._parts(points), axis=0))

    def fitted(self, points: Floats, weights: Floats | None = None) -> Proposal:
        """Proposal with the mean and the covariance of draws, a little wider than they are.

        Each part takes its share of them: a step of expectation and maximisation, as in adaptive
        importance sampling (Cappe, Douc, Guillin, Marin & Robert 2008, Stat. Comput. 18:447; from
        memory).
        """
        count = len(points)
        weights = np.full(count, 1.0 / count) if weights is None else weights
        parts = self._parts(points)
        shared = weights * np.exp(parts - np.logaddexp.reduce(parts, axis=0))
        shares = shared.sum(axis=1)
        # A part that hardly any draw is of, or too few to have a covariance, is let go.
        alive = (shares > LEAST_SHARE) & (
            shares**2 > 2.0 * points.shape[1] * np.sum(shared**2, axis=1)
        )
        shared = shared[alive] if alive.any() else weights[None]
        centres, roots = [], []
        for own in shared:
            centres.append(np.average(points, axis=0, weights=own))
            spread = np.cov(points.T, aweights=own).reshape(points.shape[1], -1)
            roots.append(np.linalg.cholesky(1.1 * spread + 1e-10 * np.eye(points.shape[1])))
        shares = shared.sum(axis=1)
        return Proposal(shares / shares.sum(), np.array(centres), np.array(roots))
