"""What measured swatches leave open of the stage curves, as draws."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.model import misfit
from lift.model.course import STANDARD
from lift.model.curves import CurveSet
from lift.model.draws import SIGNIFICANT, ParameterDraws
from lift.model.parameter import Parameter
from lift.quantities import check_seed
from lift.research.posterior.chains import RHAT_LIMIT
from lift.research.posterior.drawn import CHAINS, Draws, Progress
from lift.research.posterior.mode import Mode, find_mode, one_thread
from lift.research.posterior.problem import Problem
from lift.research.posterior.sampling import PARETO_LIMIT, explore
from lift.research.posterior.strands import StrandModel, Strands
from lift.results import Result
from lift.words import Note, note

KEPT = 400
"""Draws that a curve set carries."""

WANTED = 1000.0
MOST_STEPS = 1000
LEAST_EFFECTIVE = 400.0
COVERAGE = 0.9

OPEN_SHARE = 0.8
"""Share of the prior's width from which the data are said to leave a parameter open; assumed."""

WIDE_SHARE = 0.3
"""Share of it from which an end that lies where the prior's does is the prior's; assumed."""

AT_BOUND = 0.005
"""Share of the range within which an end counts as at a bound."""


@dataclass(frozen=True)
class Belief:
    """What is believed of one parameter after the measurements.

    Parameters
    ----------
    name, unit : str
        As in the curve set.
    before : float
        Value of the curve set that the tuning started from.
    value, standard_error : float
        Median and standard deviation of the draws.
    low, high : float
        Central interval.
    prior_low, prior_high : float
        The same interval before the measurements.
    verdict : str
        ``determined``, ``open``, ``no_low``, ``no_high`` or ``unmoved``: what the data say.
    """

    name: str
    unit: str
    before: float
    value: float
    standard_error: float
    low: float
    high: float
    prior_low: float
    prior_high: float
    verdict: str

    @property
    def determined(self) -> bool:
        """Whether the data bound it on both sides."""
        return self.verdict == "determined"


@dataclass(frozen=True, eq=False, repr=False)
class Posterior(Result):
    """Draws of parameters, starting levels and rates, given the readings.

    Parameters
    ----------
    model : StrandModel
        What was asked.
    mode : Mode
        Top of the posterior.
    draws : Draws
        All draws, with their weights.
    beliefs : tuple of Belief
        The free parameters, then the spread from swatch to swatch.
    settings : tuple of Belief
        Rate over the common one, as a logarithm, and scale of colour of those who measured, where
        several are told apart; named ``rate: NAME``, ``L: NAME`` and so on.
    misfit : tuple of Belief
        How far swatches lie off what the physics can give them, as standard deviations in L*, a*
        and b*; empty where that was not asked.
    coverage : float
        Of the intervals [-].
    kept : numpy.ndarray
        Coordinates of distinct draws that count alike, in random order, shape (kept, dimensions).
    effective : float
        Effective number of the kept draws.
    wanted : float
        Effective draws wanted of all.
    seed : int
        Seed.
    """

    model: StrandModel
    mode: Mode
    draws: Draws
    beliefs: tuple[Belief, ...]
    settings: tuple[Belief, ...]
    misfit: tuple[Belief, ...]
    coverage: float
    kept: Floats
    effective: float
    wanted: float
    seed: int

    @property
    def converged(self) -> bool:
        """Whether the draws may be used: their diagnostic is good and enough are effective."""
        if self.draws.method == CHAINS:
            good = self.draws.rhat < RHAT_LIMIT
        else:
            good = self.draws.pareto_k < PARETO_LIMIT
        return bool(good and self.draws.effective >= min(LEAST_EFFECTIVE, self.wanted))

    @cached_property
    def strands(self) -> Strands:
        """The kept draws, with a level and a rate of each swatch, of shape (kept,)."""
        _, own = self.model.log_likelihood(self.kept, self.mode.own_at(self.kept))
        return self.model.strands(self.kept, own.draw(np.random.default_rng(self.seed)))

    @property
    def numbers(self) -> Floats:
        """The kept draws of the parameters, shape (kept, parameters)."""
        theta, spread = self.model.parameters(self.kept)
        return np.concatenate([theta, spread[:, None]], axis=1)[:, : len(self.model.names)]

    @property
    def correlations(self) -> Floats:
        """Correlations of the parameters, shape (parameters, parameters)."""
        matrix = np.atleast_2d(np.corrcoef(self.numbers.T))
        return np.asarray(np.where(np.isfinite(matrix), matrix, 0.0))

    def curves(self, base: CurveSet, name: str | None = None) -> CurveSet:
        """Curve set with medians for values, and the kept draws for an ensemble to use.

        Parameters
        ----------
        base : CurveSet
            Everything that was not asked, provenance and validity.
        name : str, optional
            Name of the new set; default: that of `base`.

        Raises
        ------
        LiftError
            When part of the physics was left out.
        """
        problem = self.model.problem
        if problem.structure != STANDARD:
            raise LiftError("tuning.other_physics")
        moved = {b.name: b for b in self.beliefs if b.verdict != "unmoved"}
        values = problem.values([b.value for b in self.beliefs[: len(problem.free)]])
        tied = {t.name: t for t in problem.ties}
        parameters = []
        for p in base.parameters:
            if p.name in moved:
                parameters.append(self._tuned(p, moved[p.name]))
            elif p.name in tied:
                said = note(
                    "tuning.source.tied", factor=tied[p.name].factor, other=tied[p.name].other
                )
                value = float(values[p.name])
                parameters.append(replace(p, value=value, status="tuned", source=str(said)))
            else:
                parameters.append(p)
        by_draw = problem.values(self.numbers[:, : len(problem.free)])
        columns = [self.numbers, *(np.asarray(by_draw[n])[:, None] for n in tied), self._misfits]
        # As exact as a file keeps them, so that a set read again is the same.
        rows = tuple(
            tuple(float(f"{v:.{SIGNIFICANT}g}") for v in row)
            for row in np.concatenate(columns, axis=1).tolist()
        )
        told = dict(base.provenance)
        if problem.swatches.invented:
            told.setdefault("invented", str(note("provenance.invented")))
        said_all = (*told.items(), ("posterior", str(self.sampler)))
        misfits = misfit.NAMES if problem.misfit else ()
        draws = ParameterDraws((*self.model.names, *tied, *misfits), rows)
        return replace(
            base,
            name=name or base.name,
            parameters=tuple(parameters),
            provenance=said_all,
            posterior=draws,
            seal="",
        )

    @property
    def _misfits(self) -> Floats:
        """Misfit of a strand for each kept draw, that of a swatch: shape (kept, columns)."""
        if not self.model.problem.misfit:
            return np.empty((len(self.kept), 0))
        model, drawn, table = self.model, self.strands, self.model.problem.swatches
        random, blocks = np.random.default_rng(self.seed), self.model.blocks
        off = table.lab - model.predict(drawn)
        factor = blocks.factor(off, drawn.misfit, model.freedom, random)
        # Where all swatches together are darker or lighter than judged, so will other strands be.
        judged = ~np.isnan(table.level)
        common = 0.0
        if judged.any():
            common = (drawn.starts - table.level)[:, judged].mean(axis=1, keepdims=True)
        off = table.lab - model.predict(replace(drawn, starts=drawn.starts - common))
        found = np.empty((len(off), len(misfit.NAMES)))
        count = len(table.names)
        which = random.permutation(np.arange(len(off)) % count)
        for swatch in range(min(count, len(off))):
            own = np.flatnonzero(which == swatch)
            misfits = blocks.found(swatch, off[own], drawn.misfit[own], factor[own, swatch], random)
            found[own] = misfits.reshape(len(own), -1)
        return found

    def _tuned(self, parameter: Parameter, belief: Belief) -> Parameter:
        table = self.model.problem.swatches
        source = note(
            "tuning.source.tuned",
            invented=table.invented,
            source=table.source or note("tuning.swatches"),
            value=belief.value,
            error=belief.standard_error,
            coverage=self.coverage,
            low=belief.low,
            high=belief.high,
            verdict=belief.verdict,
            was=belief.before,
            status=parameter.status,
        )
        return replace(parameter, value=belief.value, status="tuned", source=str(source))

    @property
    def sampler(self) -> Note:
        """How it was drawn and how well."""
        draws = self.draws
        told = {"rhat": draws.rhat} if draws.method == CHAINS else {"pareto_k": draws.pareto_k}
        return note(
            f"posterior.{draws.method}",
            **told,
            draws=len(draws.weights),
            seed=self.seed,
            effective=draws.effective,
            kept=len(self.kept),
            kept_effective=self.effective,
            short="" if draws.reached else note("posterior.short", wanted=self.wanted),
            bad="" if self.converged else note("posterior.bad"),
        )


def sample_posterior(
    problem: Problem,
    *,
    seed: int = 1,
    wanted: float = WANTED,
    most: int = MOST_STEPS,
    coverage: float = COVERAGE,
    mode: Mode | None = None,
    progress: Progress | None = None,
) -> Posterior:
    """Find what the swatches leave open.

    Parameters
    ----------
    problem : Problem
        Readings, free parameters, ties and structure.
    seed : int
        Seed; the same seed gives the same draws.
    wanted : float
        Effective draws at which to stop, 100 to 1e6.
    most : int
        Most steps, 100 to 100000, where chains have to be run.
    coverage : float
        Of the intervals [-], 0.01 to 0.999.
    mode : Mode, optional
        Top of the posterior, where it is known.
    progress : callable, optional
        See `lift.research.posterior.drawn.Progress`.

    Returns
    -------
    Posterior
        Look at its ``converged`` before using it.

    Raises
    ------
    LiftError
        For a value out of range, or when emcee or arviz-stats is missing.

    Examples
    --------
    >>> import lift
    >>> from lift.research.swatches.generate import design
    >>> problem = lift.lab.Problem(design(3, minutes=(0, 20)), lift.default_curves())
    >>> lift.lab.sample_posterior(problem, wanted=200).converged
    True
    """
    seed = check_seed(seed)
    wanted = check_number("name.effective_draws", wanted, 100.0, 1e6)
    most = int(check_number("name.steps", most, 100, 100_000))
    coverage = check_number("name.coverage", coverage, 0.01, 0.999)
    with one_thread():
        mode = find_mode(StrandModel(problem)) if mode is None else mode
        draws = explore(
            mode.log_density,
            mode.point,
            mode.covariance,
            seed=seed,
            wanted=wanted,
            most=most,
            climb=mode.climb,
            progress=progress,
        )
    kept, effective = draws.kept(KEPT, np.random.default_rng(seed))
    beliefs, count = _beliefs(mode, draws, coverage), len(mode.model.names)
    many = len(mode.model.problem.told_apart.priors)
    return Posterior(
        model=mode.model,
        mode=mode,
        draws=draws,
        beliefs=beliefs[:count],
        settings=beliefs[count : count + many],
        misfit=beliefs[count + many :],
        coverage=coverage,
        kept=kept,
        effective=effective,
        wanted=wanted,
        seed=seed,
    )


def _beliefs(mode: Mode, draws: Draws, coverage: float) -> tuple[Belief, ...]:
    from scipy.special import ndtri

    model = mode.model
    ends = np.array([(1.0 - coverage) / 2.0, 0.5, (1.0 + coverage) / 2.0])
    deviates, before = draws.quantile(ends), ndtri(ends)
    moved = _moved(mode)
    found = []
    for i, prior in enumerate(model.priors):
        was = prior.parameter.value
        low, value, high = prior.from_standard(deviates[:, i] if moved[i] else before)
        own = prior.from_standard(draws.points[:, i])
        error = np.sqrt(np.cov(own, aweights=draws.weights))
        first, last = prior.from_standard(before[[0, 2]])
        places = prior.place([low, high])
        verdict = _verdict(deviates[:, i], before, places) if moved[i] else "unmoved"
        found.append(
            Belief(
                name=prior.parameter.name,
                unit=prior.parameter.unit,
                before=float(was),
                value=float(value if moved[i] else was),
                standard_error=float(error),
                low=float(low),
                high=float(high),
                prior_low=float(first),
                prior_high=float(last),
                verdict=verdict,
            )
        )
    return tuple(found)


def _verdict(deviates: Floats, before: Floats, places: Floats) -> str:
    """What an interval says beside that of the prior, both in the prior's deviates."""
    width = float((deviates[2] - deviates[0]) / (before[2] - before[0]))
    if width > OPEN_SHARE:
        return "open"
    wide = width > WIDE_SHARE
    no_low = places[0] < AT_BOUND or (wide and deviates[0] <= before[0])
    no_high = places[1] > 1.0 - AT_BOUND or (wide and deviates[2] >= before[2])
    return "no_low" if no_low else "no_high" if no_high else "determined"


def _moved(mode: Mode) -> list[bool]:
    """Whether any colour depends on each parameter; the spread always counts."""
    model, step = mode.model, 0.5 * np.eye(mode.point.size)
    both = np.concatenate([mode.point + step, mode.point - step])
    lab = model.predict(model.strands(both, np.tile(mode.own, (len(both), 1, 1))))
    off = np.abs(lab[: len(step)] - lab[len(step) :]).reshape(len(step), -1).max(axis=1)
    return [bool(off[i] > 0.0) or i >= len(model.problem.free) for i in range(len(step))]
