"""Answer of a tuning: parameters, fit, unseen swatches, and every reading beside its fit."""

from __future__ import annotations

from typing import Any

import numpy as np

from lift.answers.encode import Code, Part
from lift.answers.parts import rounded, said
from lift.errors import Floats
from lift.quantities import Lab
from lift.research.posterior.bayes import Belief, Posterior
from lift.research.posterior.predictive import predictive
from lift.research.tuning.findings import findings
from lift.research.tuning.influence import Influence
from lift.research.tuning.tune import Tuning
from lift.words import say


class ParameterPart(Part):
    """One parameter after the measurements, each number in its unit."""

    name: str
    unit: str
    value: float | None
    before: float | None
    standard_error: float | None
    interval: tuple[float | None, float | None]
    prior_interval: tuple[float | None, float | None]
    coverage: float
    verdict: str
    verdict_code: str


class PosteriorAnswer(Part):
    """How the draws were made, and how well."""

    converged: bool
    reached: bool
    method: str
    sampler: str
    sampler_code: Code
    draws: int
    effective: float
    wanted: float
    pareto_k: float | None
    rhat: float | None
    kept: int
    kept_effective: float
    inside: dict[str, float]
    invented: bool
    data_sha256: str
    coverage: float
    parameters: list[ParameterPart]
    correlations: list[list[float]]


class Spread(Part):
    """Colour differences dE00."""

    mean: float
    median: float
    largest: float


class Data(Part):
    """The readings."""

    source: str
    sha256: str
    invented: bool
    readings: int
    swatches: int


class Misfit(Part):
    """Fit against readings; how far the physics misses them in L*, a*, b*, beside their scatter."""

    dE00: Spread
    dE00_before: Spread
    scatter_scale: float | None
    rate_spread: float | None
    beyond_scatter: list[ParameterPart]
    aicc: float | None


class SwatchPart(Part):
    """One swatch: its starting level, its rate over the common one, its misfit."""

    name: str
    level: float
    level_error: float | None
    level_judged: float | None
    rate: float
    dE00: Spread


class UnseenSwatch(Part):
    """One swatch left out."""

    name: str
    tuned_dE00: Spread
    shipped_dE00: Spread
    pareto_k: float | None


class HeldOutPart(Part):
    """Prediction of each swatch by the others alone."""

    folds: int
    refitted: int
    failed: int
    better_than_shipped: bool
    tuned_dE00: Spread
    shipped_dE00: Spread
    swatches: list[UnseenSwatch]


class SuspectPart(Part):
    """A swatch that a mistake explains better than what the file says."""

    name: str
    log_factor: float
    left_out_dE00: float | None
    level: float
    rate: float
    might_be: list[str]
    might_be_codes: list[Code]


class InfluencePart(Part):
    """What one swatch does to the fit, or one of its readings: that at so many minutes."""

    name: str
    minutes: float | None
    counts: bool
    left_out_dE00: float | None
    level: float
    level_judged: float | None
    rate: float
    moves: dict[str, float]
    without: dict[str, float | None]
    suspect: bool
    told: str
    told_code: Code


class Reading(Part):
    """One reading and its fit."""

    swatch: str
    minutes: float
    measured: Lab
    fitted: Lab
    dE00: float


class TuningAnswer(Part):
    """A tuning; a number that is not finite is null."""

    converged: bool
    stopped: bool
    starts: dict[str, int]
    loss: str
    findings: list[str]
    findings_codes: list[Code]
    data: Data
    parameters: list[ParameterPart]
    tied: list[dict[str, Any]]
    correlations: list[list[float]]
    misfit: Misfit
    settings: list[ParameterPart]
    swatches: list[SwatchPart]
    held_out: HeldOutPart | None
    suspects: list[SuspectPart]
    influence: list[InfluencePart]
    left_aside: list[str]
    left_aside_codes: list[Code]
    readings: list[Reading]
    posterior: PosteriorAnswer


def answer(tuning: Tuning) -> TuningAnswer:
    """Answer of a tuning."""
    problem, table = tuning.problem, tuning.problem.swatches
    level_errors = np.std(tuning.posterior.strands.starts, axis=0, ddof=1)
    return TuningAnswer(
        converged=tuning.converged,
        stopped=bool(tuning.stopped),
        starts={"tried": tuning.tried, "agreed": tuning.agreed},
        loss=problem.loss,
        **said(findings=findings(tuning)),
        data=Data(table.source, tuning.whole.sha256, table.invented, len(table), len(table.names)),
        parameters=[parameter(e, tuning.coverage) for e in tuning.estimates],
        tied=[{"name": t.name, "factor": t.factor, "other": t.other} for t in problem.ties],
        correlations=rounded(tuning.correlations),
        misfit=Misfit(
            dE00=spread(tuning.difference),
            dE00_before=spread(tuning.difference_before),
            scatter_scale=digits(tuning.scatter_scale),
            rate_spread=None if tuning.spread is None else digits(tuning.spread),
            beyond_scatter=[parameter(b, tuning.coverage) for b in tuning.posterior.misfit],
            aicc=digits(tuning.aicc),
        ),
        settings=[parameter(b, tuning.coverage) for b in tuning.posterior.settings],
        swatches=[
            SwatchPart(
                name=name,
                level=rounded(tuning.starts[i]),
                level_error=digits(level_errors[i]),
                level_judged=digits(table.level[i]),
                rate=rounded(tuning.rates[i]),
                dE00=spread(tuning.difference[table.swatch == i]),
            )
            for i, name in enumerate(table.names)
        ],
        held_out=_held_out(tuning),
        suspects=[
            SuspectPart(
                name=each.name,
                log_factor=rounded(each.log_factor),
                left_out_dE00=digits(each.left_out),
                level=rounded(each.level),
                rate=rounded(each.rate),
                **said(might_be=each.might_be),
            )
            for each in tuning.suspects
        ],
        influence=[_influence(each) for each in tuning.influences],
        **said(left_aside=tuning.aside),
        readings=[
            Reading(
                swatch=table.names[table.swatch[i]],
                minutes=float(table.minutes[i]),
                measured=rounded(table.lab[i]),
                fitted=rounded(fitted),
                dE00=rounded(tuning.difference[i]),
            )
            for i, fitted in enumerate(tuning.predict())
        ],
        posterior=posterior_answer(tuning.posterior),
    )


def posterior_answer(found: Posterior) -> PosteriorAnswer:
    """Answer of a posterior."""
    table, draws = found.model.problem.swatches, found.draws
    return PosteriorAnswer(
        converged=found.converged,
        reached=draws.reached,
        method=draws.method,
        **said(sampler=found.sampler),
        draws=len(draws.weights),
        effective=rounded(draws.effective),
        wanted=found.wanted,
        pareto_k=digits(draws.pareto_k),
        rhat=digits(draws.rhat),
        kept=len(found.kept),
        kept_effective=rounded(found.effective),
        inside=dict(zip(("L*", "a*", "b*"), rounded(predictive(found).inside), strict=True)),
        invented=table.invented,
        data_sha256=table.sha256,
        coverage=found.coverage,
        parameters=[parameter(b, found.coverage) for b in found.beliefs],
        correlations=rounded(found.correlations),
    )


def parameter(belief: Belief, coverage: float) -> ParameterPart:
    """Describe one parameter."""
    return ParameterPart(
        name=belief.name,
        unit=belief.unit,
        value=digits(belief.value),
        before=digits(belief.before),
        standard_error=digits(belief.standard_error),
        interval=(digits(belief.low), digits(belief.high)),
        prior_interval=(digits(belief.prior_low), digits(belief.prior_high)),
        coverage=coverage,
        verdict=say(f"verdict.{belief.verdict}"),
        verdict_code=belief.verdict,
    )


def _influence(each: Influence) -> InfluencePart:
    return InfluencePart(
        name=each.name,
        minutes=each.minutes,
        counts=each.counts,
        left_out_dE00=digits(each.left_out),
        level=rounded(each.level),
        level_judged=digits(each.judged),
        rate=rounded(each.rate),
        moves=dict(zip(each.free, rounded(each.moves), strict=True)),
        without=dict(zip(each.free, map(digits, each.without), strict=True)),
        suspect=bool(each.might_be),
        **said(told=each.told),
    )


def _held_out(tuning: Tuning) -> HeldOutPart | None:
    held_out, table = tuning.held_out, tuning.problem.swatches
    if held_out is None:
        return None
    own = table.swatch[held_out.rows]
    return HeldOutPart(
        folds=len(table.names),
        refitted=held_out.refitted,
        failed=held_out.failed,
        better_than_shipped=held_out.better,
        tuned_dE00=spread(held_out.tuned),
        shipped_dE00=spread(held_out.default),
        swatches=[
            UnseenSwatch(
                name=table.names[i],
                tuned_dE00=spread(held_out.tuned[own == i]),
                shipped_dE00=spread(held_out.default[own == i]),
                pareto_k=digits(held_out.pareto_k[i]),
            )
            for i in np.unique(own)
        ],
    )


def spread(values: Floats) -> Spread:
    """Describe colour differences, shape (n,)."""
    return Spread(rounded(values.mean()), rounded(np.median(values)), rounded(values.max()))


def digits(value: Any) -> float | None:
    """Seven digits, enough for any parameter; None when it is not finite."""
    return float(f"{value:.7g}") if np.isfinite(value) else None
