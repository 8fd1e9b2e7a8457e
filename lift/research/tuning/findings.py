"""What a reader should know before using tuned curves, and the curves through the readings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats
from lift.research.posterior.predictive import groups_of, label_of
from lift.research.tuning.tune import Tuning
from lift.results import Result
from lift.words import Note, note

STRONG = 0.95
"""Correlation from which two parameters are named as hard to tell apart."""

WIDE = 2.0
"""Scatter over that expected from which the fit is called doubtful; assumed."""

FINE = 61


@dataclass(frozen=True, eq=False, repr=False)
class Series(Result):
    """Readings of one swatch under one mixture, and the fitted curve through them.

    Parameters
    ----------
    label : Note
        Swatch, mixture and strength.
    minutes : numpy.ndarray
        Times of the readings [min], rising, shape (n,).
    lab : numpy.ndarray
        CIELAB as measured, shape (n, 3).
    fine_minutes, fine_lab : numpy.ndarray
        The fit between, times [min] and CIELAB, shapes (61,) and (61, 3).
    """

    label: Note
    minutes: Floats
    lab: Floats
    fine_minutes: Floats
    fine_lab: Floats


def series_of(tuning: Tuning) -> list[Series]:
    """Readings and fitted curves, in the order of the file."""
    table, fitted = tuning.problem.swatches, tuning.fitted
    found = []
    for own in groups_of(table):
        fine = np.linspace(0.0, max(float(table.minutes[own[-1]]), 1.0), FINE)
        dense = table.rows(np.full(FINE, own[0])).replace(minutes=fine)
        swatch = [table.swatch[own[0]]]
        alone = replace(fitted, starts=fitted.starts[:, swatch], rates=fitted.rates[:, swatch])
        lab = tuning.posterior.model.predict(alone, dense)[0]
        label = label_of(table, own[0])
        found.append(Series(label, table.minutes[own], table.lab[own], fine, lab))
    return found


def findings(tuning: Tuning) -> tuple[Note, ...]:
    """What a reader should know before using the curves."""
    posterior, held_out = tuning.posterior, tuning.held_out
    draws = posterior.draws
    said = []
    if tuning.problem.swatches.invented:
        said.append(note("finding.invented"))
    if tuning.stopped:
        said.append(note("finding.stopped", step=note(tuning.stopped)))
    if not posterior.mode.converged:
        said.append(note("finding.no_top", steps=posterior.mode.steps))
    if not posterior.converged:
        said.append(note("finding.not_converged"))
    elif not draws.reached:
        said.append(note("finding.short", effective=draws.effective, wanted=posterior.wanted))
    if tuning.agreed < tuning.tried:
        said.append(note("finding.starts", agreed=tuning.agreed, tried=tuning.tried))
    said += suspect_notes(tuning)
    said += [
        note("finding.parameter", name=e.name, verdict=e.verdict)
        for e in tuning.estimates
        if not e.determined
    ]
    said += [
        note("finding.correlated", first=a, second=b, correlation=r) for a, b, r in strong(tuning)
    ]
    if tuning.scatter_scale > WIDE:
        said.append(note("finding.scatter", scale=tuning.scatter_scale))
    if beyond_scatter(tuning):
        middles = {b.name.removeprefix("misfit_"): b.value for b in posterior.misfit}
        said.append(note("finding.misfit", **middles))
    if held_out is None:
        said.append(note("finding.none_left_out"))
    else:
        code = "finding.unseen" if held_out.better else "finding.shipped_better"
        said.append(note(code, tuned=held_out.tuned.mean(), shipped=held_out.default.mean()))
    return tuple(said)


def suspect_notes(tuning: Tuning) -> list[Note]:
    """What has no say in the fit, and every suspect with what it might be."""
    said = []
    if tuning.aside:
        said.append(note("finding.aside", what=tuning.aside))
    elif tuning.too_many:
        counts = {"suspects": len(tuning.suspects), "swatches": len(tuning.whole.names)}
        said.append(note("finding.too_many", **counts))
    for each in tuning.suspects:
        told = {"name": each.name, "might_be": each.might_be, "left_out": each.left_out}
        odds = each.log_factor / np.log(10.0)
        more = "" if tuning.aside else note("suspect.without", name=each.name)
        said.append(note("finding.suspect", odds=odds, more=more, **told))
    return said


def beyond_scatter(tuning: Tuning) -> bool:
    """Whether the misfit is larger than the scatter of readings, in L*, a* or b*."""
    scatter = np.sqrt(np.mean(tuning.problem.swatches.sd**2, axis=0))
    return any(b.low > sd for b, sd in zip(tuning.posterior.misfit, scatter, strict=False))


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
