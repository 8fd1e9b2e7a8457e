"""Bayesian option: what measured swatches leave open of the stage curves, as draws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.model.course import PEROXIDE_ORDER, STANDARD
from lift.model.curves import CurveSet, Parameter
from lift.model.draws import ParameterDraws
from lift.practice.preview import rounded
from lift.research.posterior.mode import find_mode
from lift.research.posterior.sampling import RHAT_LIMIT, Diagnostic, diagnose, sample
from lift.research.posterior.strands import StrandModel, Strands
from lift.research.tuning.fitting import one_thread
from lift.research.tuning.problem import Problem

KEPT = 2000
"""Draws kept of all that were taken."""

IN_FILE = 400
"""Draws that go into a curve-set file."""

WANTED = 1000.0
COVERAGE = 0.9


@dataclass(frozen=True)
class Belief:
    """What is believed of one parameter after the measurements.

    Parameters
    ----------
    name, unit : str
        As in the curve set.
    median, low, high : float
        Median and central 90 % interval.
    prior_low, prior_high : float
        The same interval before the measurements.
    diagnostic : Diagnostic
        Whether it was sampled well.
    """

    name: str
    unit: str
    median: float
    low: float
    high: float
    prior_low: float
    prior_high: float
    diagnostic: Diagnostic


@dataclass(frozen=True, eq=False)
class Posterior:
    """Draws of parameters, starting levels and rates, given the readings.

    Parameters
    ----------
    model : StrandModel
        What was sampled.
    strands : Strands
        Draws, of shape (draws,).
    beliefs : tuple of Belief
        The free parameters, then the spread from swatch to swatch.
    steps, chains, ensembles : int
        Length and number of the chains, and of the independent ensembles they make up.
    acceptance : float
        Share of proposals accepted [-].
    seed : int
        Seed.
    """

    model: StrandModel
    strands: Strands
    beliefs: tuple[Belief, ...]
    steps: int
    chains: int
    ensembles: int
    acceptance: float
    seed: int

    @property
    def converged(self) -> bool:
        """Whether R-hat is below 1.01 and 400 draws are effective, for every parameter."""
        return all(
            b.diagnostic.rhat < RHAT_LIMIT and min(b.diagnostic.bulk, b.diagnostic.tail) >= 400.0
            for b in self.beliefs
        )

    @property
    def correlations(self) -> Floats:
        """Correlations of the parameters, shape (parameters, parameters)."""
        return np.asarray(np.corrcoef(self.strands.parameters.T))

    def draws(self, count: int = IN_FILE) -> ParameterDraws:
        """Draws of the parameters, as a curve set carries them."""
        numbers = self.strands.parameters
        pick = np.linspace(0, len(numbers) - 1, min(count, len(numbers))).round().astype(int)
        rows = tuple(tuple(row) for row in numbers[pick].tolist())
        return ParameterDraws(self.model.names, rows)

    def curves(self, base: CurveSet, name: str | None = None) -> CurveSet:
        """Curve set with medians for values, and the draws for an ensemble to use.

        Parameters
        ----------
        base : CurveSet
            Everything that was not sampled, provenance and validity: that of the tuning.
        name : str, optional
            Name of the new set; default: that of `base`.

        Raises
        ------
        LiftError
            When the order in peroxide was sampled or part of the physics was left out.
        """
        problem = self.model.problem
        if problem.structure != STANDARD or PEROXIDE_ORDER.name in problem.free:
            raise LiftError(
                "a curve set holds the standard structure, of order 1 in peroxide, only"
            )
        believed = {b.name: b for b in self.beliefs}
        theta = [believed[n].median for n in problem.free]
        tied = {t.name: problem.values(theta)[t.name] for t in problem.ties}
        parameters = tuple(
            self._tuned(p, believed[p.name])
            if p.name in believed
            else replace(p, value=float(tied[p.name]))
            if p.name in tied
            else p
            for p in base.parameters
        )
        draws = self.draws()
        if problem.ties:
            values = problem.values(draws.array[:, :-1])
            extra = np.stack([values[t.name] for t in problem.ties], axis=1)
            rows = np.concatenate([draws.array, extra], axis=1).tolist()
            draws = ParameterDraws((*draws.names, *tied), tuple(tuple(row) for row in rows))
        said = (*base.provenance, ("posterior", self.words))
        return replace(
            base,
            name=name or base.name,
            parameters=parameters,
            provenance=said,
            posterior=draws,
        )

    def _tuned(self, parameter: Parameter, belief: Belief) -> Parameter:
        table = self.model.problem.swatches
        source = (
            f"posterior of {'INVENTED ' if table.invented else ''}{table.source or 'swatches'}: "
            f"median {belief.median:.4g}, 90 % {belief.low:.4g} to {belief.high:.4g}; "
            f"was {self.model.problem.curves[parameter.name].value:.4g}"
        )
        return replace(parameter, value=belief.median, status="tuned", source=source)

    @property
    def words(self) -> str:
        """How it was sampled and how well, in one line."""
        worst = max(b.diagnostic.rhat for b in self.beliefs)
        least = min(min(b.diagnostic.bulk, b.diagnostic.tail) for b in self.beliefs)
        return (
            f"emcee, {self.ensembles} ensembles, {self.chains} chains of {self.steps} steps, seed "
            f"{self.seed}; largest R-hat {worst:.3f}, least effective draws {least:.0f}"
            f"{'' if self.converged else '; NOT CONVERGED'}"
        )

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        table = self.model.problem.swatches
        return {
            "converged": self.converged,
            "sampler": self.words,
            "acceptance": rounded(self.acceptance),
            "invented": table.invented,
            "data_sha256": table.sha256,
            "coverage": COVERAGE,
            "parameters": [
                {
                    "name": b.name,
                    "unit": b.unit,
                    "median": _digits(b.median),
                    "interval": [_digits(b.low), _digits(b.high)],
                    "prior_interval": [_digits(b.prior_low), _digits(b.prior_high)],
                    "rhat": rounded(b.diagnostic.rhat),
                    "ess_bulk": round(b.diagnostic.bulk),
                    "ess_tail": round(b.diagnostic.tail),
                }
                for b in self.beliefs
            ],
            "correlations": rounded(self.correlations),
        }


def sample_posterior(
    problem: Problem,
    *,
    seed: int = 1,
    wanted: float = WANTED,
    most: int = 6000,
    progress: Callable[[float], None] | None = None,
) -> Posterior:
    """Sample what the swatches leave open.

    Parameters
    ----------
    problem : Problem
        Readings, free parameters, ties and structure.
    seed : int
        Seed; the same seed gives the same draws.
    wanted : float
        Effective draws at which to stop, 100 to 1e6.
    most : int
        Most steps, 200 to 100000.
    progress : callable, optional
        Told the share done [-], 0 to 1.

    Returns
    -------
    Posterior
        Look at its ``converged`` before using it.

    Raises
    ------
    LiftError
        For a value out of range, or when emcee or arviz-stats is missing.
    """
    seed = int(check_number("seed", seed, 0, 2**32 - 1))
    model = StrandModel(problem)
    wanted = check_number("effective draws", wanted, 100.0, 1e6)
    most = int(check_number("steps", most, 200, 100_000))
    with one_thread():
        chains = sample(
            model.log_density,
            find_mode(model.log_density, model.start()),
            lambda z: model.strands(z).parameters,
            seed=seed,
            wanted=wanted,
            most=most,
            progress=progress,
        )
    numbers = model.strands(chains.draws).parameters
    return Posterior(
        model=model,
        strands=model.strands(chains.thinned(KEPT)),
        beliefs=_beliefs(model, numbers, chains.ensembles),
        steps=chains.draws.shape[1],
        chains=chains.draws.shape[0],
        ensembles=chains.ensembles,
        acceptance=chains.acceptance,
        seed=seed,
    )


def _beliefs(model: StrandModel, numbers: Floats, ensembles: int) -> tuple[Belief, ...]:
    from scipy.special import ndtri

    ends = np.array([(1.0 - COVERAGE) / 2.0, 0.5, (1.0 + COVERAGE) / 2.0])
    found = []
    for i, prior in enumerate(model.priors):
        low, median, high = np.quantile(numbers[..., i], ends)
        before = prior.from_standard(ndtri(ends))
        found.append(
            Belief(
                name=prior.parameter.name,
                unit=prior.parameter.unit,
                median=float(median),
                low=float(low),
                high=float(high),
                prior_low=float(before[0]),
                prior_high=float(before[2]),
                diagnostic=diagnose(numbers[..., i], ensembles),
            )
        )
    return tuple(found)


def _digits(value: float) -> float:
    return float(f"{value:.7g}")
