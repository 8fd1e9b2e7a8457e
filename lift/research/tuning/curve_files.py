"""Curve sets as files: from a tuning to a set with provenance, and one set against another."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.course import PEROXIDE_ORDER, STANDARD
from lift.model.curves import CurveSet, Parameter
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory, simulate
from lift.model.validity import Validity
from lift.optics.colorimetry import delta_e_2000
from lift.practice.preview import rounded
from lift.research.tuning.tune import Estimate, Tuning

MINUTES: Floats = np.linspace(0.0, 60.0, 61)
COMPARED = (
    (Hair(level=4.0), Mixture("cream", 20.0)),
    (Hair(level=6.0), Mixture("cream", 40.0)),
    (Hair(level=4.0), Mixture("powder", 20.0)),
    (Hair(level=7.0), Mixture("base-break", 10.0)),
)
"""Strands on which two curve sets are compared: dark and light hair, each mixture."""


def tuned_curves(tuning: Tuning, name: str) -> CurveSet:
    """Curve set of a tuning, with its provenance and the range within which it holds.

    Parameters
    ----------
    tuning : Tuning
        Of the standard structure: a curve set has no other.
    name : str
        Name shown with every result.

    Returns
    -------
    CurveSet
        Parameters that no reading depends on stay as they were.

    Raises
    ------
    LiftError
        When the tuning freed the order in peroxide or left out part of the physics.
    """
    problem = tuning.problem
    if problem.structure != STANDARD or PEROXIDE_ORDER.name in problem.free:
        raise LiftError("a curve set holds the standard structure, of order 1 in peroxide, only")
    moved = {e.name: e for e in tuning.estimates if not e.unmoved}
    values = problem.tuned([e.value for e in tuning.estimates])
    ties = {t.name: t for t in problem.ties}
    parameters = []
    for p in problem.curves.parameters:
        if p.name in moved:
            parameters.append(_tuned(p, moved[p.name], tuning))
        elif p.name in ties:
            source = f"tied: {ties[p.name].factor:g} times {ties[p.name].other}, which was tuned"
            parameters.append(replace(p, value=values[p.name], status="tuned", source=source))
        elif p.name == "rate_log_sd" and tuning.spread is not None:
            source = (
                f"tuned: spread between {len(problem.swatches.names)} swatches; was {p.value:g}"
            )
            parameters.append(replace(p, value=tuning.spread, status="tuned", source=source))
        else:
            parameters.append(p)
    return replace(
        problem.curves,
        name=name,
        parameters=tuple(parameters),
        provenance=_provenance(tuning),
        validity=_validity(tuning),
        posterior=None,
    )


def _tuned(parameter: Parameter, estimate: Estimate, tuning: Tuning) -> Parameter:
    error = f"+- {estimate.standard_error:.2g}" if np.isfinite(estimate.standard_error) else ""
    table = tuning.problem.swatches
    source = (
        f"tuned to {'INVENTED ' if table.invented else ''}{table.source or 'swatches'}: "
        f"{estimate.value:.4g} {error} ({tuning.coverage:.0%} {estimate.low:.4g} to "
        f"{estimate.high:.4g}; {estimate.verdict}); was {parameter.value:.4g}, {parameter.status}"
    )
    return replace(parameter, value=estimate.value, status="tuned", source=source)


def _provenance(tuning: Tuning) -> tuple[tuple[str, str], ...]:
    from datetime import UTC, datetime

    from lift import __version__

    table, held_out = tuning.problem.swatches, tuning.held_out
    entries = {
        "made_by": f"lift tune, lift {__version__}",
        "date": datetime.now(UTC).date().isoformat(),
        "fitted_to": table.source or "swatches",
        "data_sha256": table.sha256,
        "readings": f"{len(table)} of {len(table.names)} swatches",
        "fitted": ", ".join(tuning.problem.free),
        "tied": ", ".join(f"{t.name} = {t.factor:g} * {t.other}" for t in tuning.problem.ties),
        "started_from": tuning.problem.curves.name,
        "loss": tuning.fit.loss,
        "converged": tuning.fit.message if tuning.converged else f"NO: {tuning.fit.message}",
        "misfit": f"mean dE00 {tuning.difference.mean():.2f}, largest "
        f"{tuning.difference.max():.2f}; AICc {tuning.aicc:.2f}",
        "held_out": ""
        if held_out is None
        else f"swatches left out: mean dE00 {held_out.tuned.mean():.2f}, shipped set "
        f"{held_out.default.mean():.2f}",
        "invented": "the readings were invented; no hair was measured" if table.invented else "",
    }
    return tuple((key, text) for key, text in entries.items() if text)


def _validity(tuning: Tuning) -> Validity:
    """Range of each condition over the readings, levels as fitted and rounded outward."""
    table, values = tuning.problem.swatches, tuning.problem.curves.values
    usual = np.array([values[f"{kind.replace('-', '_')}_ph"] for kind in table.kind])
    starts = tuning.starts
    level = (np.floor(10.0 * starts.min()) / 10.0, np.ceil(10.0 * starts.max()) / 10.0)
    conditions = {
        "on_head_volume": table.on_head_volume,
        "minutes": table.minutes,
        "ph": np.where(np.isnan(table.ph), usual, table.ph),
        "temperature_c": table.temperature_c,
        "fibre_um": table.fibre_um,
    }
    spans = [(k, float(np.min(v)), float(np.max(v))) for k, v in conditions.items()]
    kinds = tuple(dict.fromkeys(table.kind))
    return Validity((("level", float(level[0]), float(level[1])), *spans), kinds)


@dataclass(frozen=True, eq=False)
class Comparison:
    """Two curve sets side by side.

    Parameters
    ----------
    first, second : CurveSet
        The sets.
    changed : tuple of (Parameter, Parameter)
        Parameters whose values differ, of the first and of the second set.
    trajectories : tuple of (Trajectory, Trajectory)
        Of the strands in `COMPARED`, at `MINUTES`.
    """

    first: CurveSet
    second: CurveSet
    changed: tuple[tuple[Parameter, Parameter], ...]
    trajectories: tuple[tuple[Trajectory, Trajectory], ...]

    def differences(self) -> Floats:
        """Difference dE00 of each strand through time, shape (strands, times)."""
        return np.stack([delta_e_2000(a.lab, b.lab) for a, b in self.trajectories])

    def to_dict(self) -> dict[str, Any]:
        """JSON form."""
        strands = []
        for (hair, mixture), (a, b), off in zip(
            COMPARED, self.trajectories, self.differences(), strict=True
        ):
            strands.append(
                {
                    "level": hair.level,
                    "mixture": mixture.kind,
                    "volume": mixture.volume,
                    "lift": rounded([a.lift[-1], b.lift[-1]]),
                    "warmth": rounded([a.warmth[-1], b.warmth[-1]]),
                    "dE00_largest": rounded(off.max()),
                    "at_minutes": rounded(MINUTES[np.argmax(off)]),
                }
            )
        return {
            "first": self.first.to_dict(),
            "second": self.second.to_dict(),
            "changed": [
                {"name": a.name, "unit": a.unit, "first": a.value, "second": b.value}
                for a, b in self.changed
            ],
            "strands": strands,
        }


def compare(first: CurveSet, second: CurveSet) -> Comparison:
    """Compare two curve sets, by parameter and by what they predict.

    Parameters
    ----------
    first, second : CurveSet
        The sets.

    Returns
    -------
    Comparison
    """
    pairs = [(first[name], second[name]) for name in first]
    return Comparison(
        first,
        second,
        tuple((a, b) for a, b in pairs if a.value != b.value),
        tuple(
            (simulate(hair, mixture, MINUTES, first), simulate(hair, mixture, MINUTES, second))
            for hair, mixture in COMPARED
        ),
    )


def table_of(curves: CurveSet) -> list[dict[str, Any]]:
    """All parameters of a set as rows: name, value, unit, low, high, status and source."""
    keys = ("name", "value", "unit", "low", "high", "status", "source")
    return [{key: getattr(p, key) for key in keys} for p in curves.parameters]


def named_after(path: str | os.PathLike[str]) -> str:
    """Name of a curve set after its file."""
    return os.path.splitext(os.path.basename(os.fspath(path)))[0]
