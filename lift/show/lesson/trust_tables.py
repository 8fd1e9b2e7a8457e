"""Tables of how far to trust: every check, and every number of the model."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lift.model.curves import CurveSet
from lift.research.evidence.checks import Check
from lift.research.evidence.sensitivity import Sensitivity
from lift.show.lesson.notebook import Shown, table
from lift.show.plots.trust_plots import spoken


def evidence_table(checks: Sequence[Check], kind: str) -> Shown:
    """Every check of one kind: source, expected, got.

    Parameters
    ----------
    checks : sequence of Check
        From `lift.research.evidence.checks.all_checks`.
    kind : str
        ``published``, ``library`` or ``common practice``.
    """
    rows = [(c.name, c.source, c.expected, c.got, _outcome(c)) for c in checks if c.kind == kind]
    passed = sum(c.passed for c in checks if c.kind == kind)
    return table(
        ("check", "source", "expected", "got", "outcome"),
        rows,
        f"Against {kind}: {passed} of {len(rows)} pass",
    )


def _outcome(check: Check) -> str:
    if not check.passed:
        return "FAILS"
    return "passes (fitted to it)" if check.fitted else "passes"


def curve_table(curves: CurveSet, sensitivity: Sensitivity, status: str) -> Shown:
    """Every number of one status: value, range, source, and what it does to the window.

    Parameters
    ----------
    curves : CurveSet
        Curve set.
    sensitivity : Sensitivity
        From `lift.research.evidence.sensitivity.window_sensitivity` with the same curve set.
    status : str
        One of `lift.model.curves.STATUSES`.
    """
    rows = []
    for name, label, (low, high) in zip(
        sensitivity.names, sensitivity.labels, sensitivity.closes, strict=True
    ):
        parameter = curves[name]
        if parameter.status == status:
            value = f"{parameter.value:.4g} {parameter.unit}".removesuffix(" -")
            allowed = f"{parameter.low:g} to {parameter.high:g}"
            moved = f"{_minutes(low)} / {_minutes(high)}"
            rows.append((spoken(name), value, allowed, label, moved, parameter.source))
    return table(
        ("number", "value", "allowed", "changed to", "window then closes [min]", "source"),
        rows,
        f"{status.capitalize()}: {len(rows)} numbers (unchanged, the window closes at "
        f"{_minutes(sensitivity.base_closes)} min)",
    )


def _minutes(time: float) -> str:
    return f"{time:.1f}" if np.isfinite(time) else "never"
