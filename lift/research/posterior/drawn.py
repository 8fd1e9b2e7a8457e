"""Points drawn from a posterior, with their weights."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError

Progress = Callable[[float], None]
"""Told the share of the wanted draws reached [-], 0 to 1."""

IMPORTANCE, CHAINS = "importance", "chains"

TRUNCATIONS = 20


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
    stopped : bool
        Whether somebody stopped it; what had been drawn by then is kept.
    """

    points: Floats
    weights: Floats
    method: str
    effective: float
    pareto_k: float
    rhat: float
    reached: bool
    stopped: bool = False

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
            raise LiftError("extra.missing", package=package, extra="research")
