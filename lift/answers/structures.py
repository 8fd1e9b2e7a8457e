"""Answer of a model criticism: which physics the measured swatches need."""

from __future__ import annotations

import numpy as np

from lift.answers.encode import Code, Part
from lift.answers.parts import rounded, said
from lift.research.tuning.criticism import FULL, Criticism, support
from lift.words import say


class StructurePart(Part):
    """One structure, fitted."""

    name: str
    name_code: str
    words: str
    free: list[str]
    converged: bool
    aicc: float
    delta_aicc: float
    weight: float
    support: str
    support_code: str
    dE00: float
    left_out_dE00: float
    left_out_against_full: dict[str, float]
    rate_spread: float


class StructuresAnswer(Part):
    """All structures, side by side."""

    data_sha256: str
    invented: bool
    swatches: int
    readings: int
    structures: list[StructurePart]
    findings: list[str]
    findings_codes: list[Code]


def answer(found: Criticism) -> StructuresAnswer:
    """Answer of a criticism."""
    table = found.tried[0].problem.swatches
    rows = []
    for i, t in enumerate(found.tried):
        mean, error = found.left_out_against(t.variant.name, FULL)
        told = support(float(found.delta[i]))
        rows.append(
            StructurePart(
                name=say(t.variant.label),
                name_code=t.variant.name,
                words=say(t.variant.words),
                free=list(t.problem.free),
                converged=t.posterior.mode.converged,
                aicc=rounded(t.aicc),
                delta_aicc=rounded(found.delta[i]),
                weight=rounded(found.weights[i]),
                support=say(f"support.{told}"),
                support_code=told,
                dE00=rounded(t.colour_error.mean()),
                left_out_dE00=rounded(np.nanmean(t.left_out)),
                left_out_against_full={"mean": rounded(mean), "error": rounded(error)},
                rate_spread=rounded(t.posterior.beliefs[-1].value),
            )
        )
    return StructuresAnswer(
        data_sha256=table.sha256,
        invented=table.invented,
        swatches=len(table.names),
        readings=len(table),
        structures=rows,
        **said(findings=found.findings),
    )
