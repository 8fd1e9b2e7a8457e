"""What a tuning found, as data for text, page and picture alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.practice.preview import rounded
from lift.research.tuning.tune import Estimate, Tuning

STRONG = 0.95
"""Correlation from which two parameters are named as hard to tell apart."""

WIDE = 2.0
"""Scatter over that expected from which the fit is called doubtful; assumed."""

JACKKNIFE_RATIO = 2.0
"""Jackknife over curvature error from which the interval is called too narrow; assumed."""

FINE = 61
VISIBLE = 1.0
"""dE00 about which a difference starts to be seen side by side: common practice (no source)."""


@dataclass(frozen=True, eq=False)
class Series:
    """Readings of one swatch under one mixture, and the fitted curve through them.

    Parameters
    ----------
    label : str
        Swatch, mixture and strength.
    minutes : numpy.ndarray
        Times of the readings [min], rising, shape (n,).
    lab : numpy.ndarray
        CIELAB as measured, shape (n, 3).
    fine_minutes, fine_lab : numpy.ndarray
        The fit between, times [min] and CIELAB, shapes (61,) and (61, 3).
    """

    label: str
    minutes: Floats
    lab: Floats
    fine_minutes: Floats
    fine_lab: Floats


def series_of(tuning: Tuning) -> list[Series]:
    """Readings and fitted curves, in the order of the file."""
    table = tuning.problem.swatches
    theta, starts, deviates = tuning.problem.split(tuning.fit.x)
    found = []
    keys = [
        (int(s), k, float(v), float(t), float(p))
        for s, k, v, t, p in zip(
            table.swatch,
            table.kind,
            table.volume,
            table.temperature_c,
            np.nan_to_num(table.ph, nan=-1.0),
            strict=True,
        )
    ]
    for key in dict.fromkeys(keys):
        own = np.flatnonzero([k == key for k in keys])
        own = own[np.argsort(table.minutes[own], kind="stable")]
        fine = np.linspace(0.0, max(float(table.minutes[own[-1]]), 1.0), FINE)
        dense = table.rows(np.full(FINE, own[0])).replace(minutes=fine)
        of_swatch = deviates[key[0] : key[0] + 1]
        lab = replace(tuning.problem, swatches=dense).predict(
            np.concatenate([theta, starts[[key[0]]], of_swatch])
        )
        label = f"{table.names[key[0]]}: {key[1]} {key[2]:g} vol"
        found.append(Series(label, table.minutes[own], table.lab[own], fine, lab))
    return found


def findings(tuning: Tuning) -> tuple[str, ...]:
    """What a reader should know before using the curves, one sentence each."""
    table, fit, held_out = tuning.problem.swatches, tuning.fit, tuning.held_out
    said = []
    if table.invented:
        said.append("The readings are invented: nothing here is evidence about hair.")
    if not tuning.converged:
        said.append(f"The fit did not converge: {fit.message}")
    if tuning.agreed < tuning.tried:
        said.append(
            f"Only {tuning.agreed} of {tuning.tried} starts ended at the least misfit; "
            "try more starts."
        )
    for e in tuning.estimates:
        if not e.determined:
            said.append(f"{e.name}: {e.verdict}.")
    doubtful = [e.name for e in tuning.estimates if _differs(e)]
    if doubtful:
        said.append(
            f"Which swatches are there moves {', '.join(doubtful)} more than the scatter of the "
            "readings explains: go by the jackknife error, not by the interval."
        )
    said += [
        f"{a} and {b} are hard to tell apart (correlation {r:+.2f})." for a, b, r in strong(tuning)
    ]
    if (scale := tuning.problem.scatter_scale) > WIDE:
        said.append(
            f"Residuals are {scale:.1f} times the expected scatter: the model or the scatter is "
            "off."
        )
    if held_out is None:
        said.append("No swatch was left out: how well unseen swatches are predicted is not known.")
    elif held_out.better:
        said.append(
            f"Unseen swatches: mean dE00 {held_out.tuned.mean():.2f}, the shipped set "
            f"{held_out.default.mean():.2f}."
        )
    else:
        said.append(
            f"On unseen swatches the shipped set is as good or better: mean dE00 "
            f"{held_out.default.mean():.2f} against {held_out.tuned.mean():.2f}."
        )
    return tuple(said)


def _differs(estimate: Estimate) -> bool:
    """Whether an error from swatch to swatch is well above that from the curvature."""
    error = estimate.jackknife_error
    return error is not None and error > JACKKNIFE_RATIO * estimate.standard_error


def strong(tuning: Tuning) -> list[tuple[str, str, float]]:
    """Pairs of free parameters whose correlation is strong, the strongest first."""
    names, matrix = tuning.problem.free, tuning.correlations
    pairs = [
        (names[i], names[j], float(matrix[i, j]))
        for i in range(len(names))
        for j in range(i)
        if abs(matrix[i, j]) >= STRONG
    ]
    return sorted(pairs, key=lambda pair: -abs(pair[2]))


def to_dict(tuning: Tuning) -> dict[str, Any]:
    """JSON form; a number that is not finite is null."""
    problem, fit = tuning.problem, tuning.fit
    table = problem.swatches
    level_errors = fit.standard_errors[len(problem.free) :]
    rates = tuning.rates
    return {
        "converged": tuning.converged,
        "message": fit.message,
        "starts": {"tried": tuning.tried, "agreed": tuning.agreed},
        "loss": fit.loss,
        "findings": list(findings(tuning)),
        "data": {
            "source": table.source,
            "sha256": table.sha256,
            "invented": table.invented,
            "readings": len(table),
            "swatches": len(table.names),
        },
        "parameters": [
            {
                "name": e.name,
                "unit": e.unit,
                "value": _number(e.value),
                "before": _number(e.before),
                "standard_error": _number(e.standard_error),
                "jackknife_error": None
                if e.jackknife_error is None
                else _number(e.jackknife_error),
                "interval": [_number(e.low), _number(e.high)],
                "coverage": tuning.coverage,
                "open": [e.low_open, e.high_open],
                "at_bound": e.at_bound,
                "verdict": e.verdict,
            }
            for e in tuning.estimates
        ],
        "tied": [{"name": t.name, "factor": t.factor, "other": t.other} for t in problem.ties],
        "correlations": rounded(tuning.correlations),
        "misfit": {
            "dE00": _summary(tuning.difference),
            "dE00_before": _summary(tuning.difference_before),
            "scatter_scale": _number(problem.scatter_scale),
            "rate_spread": None if tuning.spread is None else _number(tuning.spread),
            "degrees_of_freedom": fit.degrees,
            "aicc": _number(tuning.aicc),
        },
        "swatches": [
            {
                "name": name,
                "level": rounded(tuning.starts[i]),
                "level_error": _number(level_errors[i]),
                "level_judged": _number(table.level[i]),
                "rate": rounded(rates[i]),
                "dE00": _summary(tuning.difference[table.swatch == i]),
            }
            for i, name in enumerate(table.names)
        ],
        "held_out": _held_out(tuning),
        "readings": [
            {
                "swatch": table.names[table.swatch[i]],
                "minutes": float(table.minutes[i]),
                "measured": rounded(table.lab[i]),
                "fitted": rounded(fitted),
                "dE00": rounded(tuning.difference[i]),
            }
            for i, fitted in enumerate(problem.predict(fit.x))
        ],
    }


def _held_out(tuning: Tuning) -> dict[str, Any] | None:
    held_out, table = tuning.held_out, tuning.problem.swatches
    if held_out is None:
        return None
    own = table.swatch[held_out.rows]
    return {
        "folds": held_out.folds,
        "failed": held_out.failed,
        "better_than_shipped": held_out.better,
        "tuned_dE00": _summary(held_out.tuned),
        "shipped_dE00": _summary(held_out.default),
        "swatches": [
            {
                "name": table.names[i],
                "tuned_dE00": _summary(held_out.tuned[own == i]),
                "shipped_dE00": _summary(held_out.default[own == i]),
            }
            for i in np.unique(own)
        ],
    }


def _summary(values: Floats) -> dict[str, float]:
    return {
        "mean": rounded(values.mean()),
        "median": rounded(np.median(values)),
        "largest": rounded(values.max()),
    }


def _number(value: Any) -> float | None:
    """Seven digits, enough for any parameter; null when it is not finite."""
    return float(f"{value:.7g}") if np.isfinite(value) else None
