"""Curve sets as files: from a tuning to a set with provenance, and one set against another."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model import misfit
from lift.model.curves import ASIDE, CurveSet
from lift.model.domain import longest_minutes
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.parameter import Parameter
from lift.model.trajectory import Trajectory, simulate
from lift.model.validity import Validity
from lift.optics.colorimetry import delta_e_2000
from lift.research.tuning.citing import Credit
from lift.research.tuning.tune import Tuning
from lift.results import Result
from lift.words import Note, note

STEPS = 61
PAIRED = 1
"""Seed by which draws of one set meet those of another."""

COMPARED = (
    (Hair(level=4.0), Mixture("cream", 20.0)),
    (Hair(level=6.0), Mixture("cream", 40.0)),
    (Hair(level=4.0), Mixture("powder", 20.0)),
    (Hair(level=7.0), Mixture("base-break", 10.0)),
)
"""Strands on which two curve sets are compared: dark and light hair, each mixture."""


def tuned_curves(tuning: Tuning, name: str, credit: Credit | None = None) -> CurveSet:
    """Curve set of a tuning: medians, draws, provenance and the range within which it holds.

    Parameters
    ----------
    tuning : Tuning
        Of the standard structure: a curve set has no other.
    name : str
        Name shown with every result.
    credit : Credit, optional
        Whose work it is, kept with the set.

    Raises
    ------
    LiftError
        When the tuning left out part of the physics.

    Examples
    --------
    >>> import lift
    >>> from lift.research.swatches.generate import design
    >>> found = lift.lab.tune(design(3, minutes=(0, 20)), free=["lightening_rate"], starts=1)
    >>> str(lift.lab.tuned_curves(found, "mine").standing).split(", ")[0]
    'tuned to INVENTED swatches'
    """
    base = replace(
        tuning.problem.curves,
        name=name,
        provenance=(*(credit or Credit()).entries(), *_provenance(tuning)),
        validity=_validity(tuning),
        posterior=None,
        seal="",
    )
    return tuning.posterior.curves(base)


def _provenance(tuning: Tuning) -> tuple[tuple[str, str], ...]:
    from datetime import UTC, datetime
    from importlib.metadata import version

    from lift import __version__

    problem, held_out = tuning.problem, tuning.held_out
    table = problem.swatches
    entries: dict[str, Note | str] = {
        "made_by": note("provenance.made_by", version=__version__),
        "reckoned_with": note(
            "provenance.reckoned_with",
            made_with=[f"{each} {version(each)}" for each in ("numpy", "scipy")],
        ),
        "seed": str(tuning.seed),
        "date": datetime.now(UTC).date().isoformat(),
        "fitted_to": table.source or note("tuning.swatches"),
        "data_sha256": tuning.whole.sha256,
        "colours": note("swatches.light", illuminant=table.illuminant, observer=table.observer),
        "geometry": ", ".join(dict.fromkeys(filter(None, table.carried.get("geometry", ())))),
        "readings": note("provenance.readings", readings=len(table), swatches=len(table.names)),
        "fitted": note("provenance.names", names=problem.free),
        "tied": ", ".join(f"{t.name} = {t.factor:g} * {t.other}" for t in problem.ties),
        "started_from": problem.curves.name,
        "loss": problem.loss,
        "converged": note("provenance.converged", converged=tuning.converged),
        "misfit": note(
            "provenance.misfit",
            mean=tuning.difference.mean(),
            largest=tuning.difference.max(),
            aicc=tuning.aicc,
        ),
    }
    if tuning.aside:
        entries[ASIDE] = note("provenance.aside", what=tuning.aside)
    if held_out is not None:
        means = {"tuned": held_out.tuned.mean(), "shipped": held_out.default.mean()}
        entries["held_out"] = note("provenance.held_out", **means)
    if table.invented:
        entries["invented"] = note("provenance.invented")
    return tuple((key, str(said)) for key, said in entries.items() if str(said))


def _validity(tuning: Tuning) -> Validity:
    """Range of each condition over the readings, levels as fitted and rounded outward."""
    table, values = tuning.problem.swatches, tuning.problem.curves.values
    usual = table.properties(values)["ph"]
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
    lay = np.asarray(table.kind)
    longest = tuple((kind, float(table.minutes[lay == kind].max())) for kind in kinds)
    return Validity((("level", float(level[0]), float(level[1])), *spans), kinds, longest)


@dataclass(frozen=True)
class Changed:
    """A parameter that differs between two sets.

    Parameters
    ----------
    first, second : Parameter
        As each set has it.
    first_sd, second_sd : float
        Standard deviation over each set's draws [its unit]; 0 where it was not drawn.
    """

    first: Parameter
    second: Parameter
    first_sd: float
    second_sd: float

    @property
    def by(self) -> float:
        """Second less first [its unit]."""
        return self.second.value - self.first.value

    @property
    def sd(self) -> float:
        """Standard deviation of `by`, the two sets taken for independent [its unit]."""
        return float(np.hypot(self.first_sd, self.second_sd))


@dataclass(frozen=True, eq=False, repr=False)
class Comparison(Result):
    """Two curve sets side by side.

    Parameters
    ----------
    first, second : CurveSet
        The sets.
    changed : tuple of Changed
        Parameters whose values differ.
    trajectories : tuple of (Trajectory, Trajectory)
        Of the strands in `COMPARED`, at `STEPS` times over all that is predicted of each.
    apart : numpy.ndarray
        L*, a*, b* of the second less the first at the last time: low end, median and high end of
        nine in ten of the pairs of draws, shape (strands, 3, 3); nan where neither has draws.
    """

    first: CurveSet
    second: CurveSet
    changed: tuple[Changed, ...]
    trajectories: tuple[tuple[Trajectory, Trajectory], ...]
    apart: Floats

    def differences(self) -> Floats:
        """Difference dE00 of each strand through time, shape (strands, times)."""
        return np.stack([delta_e_2000(a.lab, b.lab) for a, b in self.trajectories])


def compare(first: CurveSet, second: CurveSet) -> Comparison:
    """Compare two curve sets, by parameter and by what they predict."""
    pairs = [(first[name], second[name]) for name in first]
    trajectories = tuple(zip(compared(first, second), compared(second, first), strict=True))
    ends = [one.minutes[-1:] for one, _ in trajectories]
    return Comparison(
        first,
        second,
        tuple(
            Changed(a, b, _open(first, a.name), _open(second, a.name))
            for a, b in pairs
            if a.value != b.value
        ),
        trajectories,
        _apart(first, second, ends),
    )


def _open(curves: CurveSet, name: str) -> float:
    """Standard deviation of a parameter over a set's draws; 0 where it was not drawn."""
    draws = curves.posterior
    return 0.0 if draws is None or name not in draws.names else float(np.std(draws.column(name)))


def _apart(first: CurveSet, second: CurveSet, ends: Sequence[Floats]) -> Floats:
    """See `Comparison.apart`; draws of two sets are taken for independent."""
    random = np.random.default_rng(PAIRED)
    found = []
    for (hair, mixture), end in zip(COMPARED, ends, strict=True):
        labs = [_drawn(curves, hair, mixture, end) for curves in (first, second)]
        count = max(map(len, labs))
        if count == 1:
            found.append(np.full((3, 3), np.nan))
            continue
        one, two = (lab[random.permutation(np.resize(np.arange(len(lab)), count))] for lab in labs)
        found.append(np.percentile(two - one, [5.0, 50.0, 95.0], axis=0))
    return np.stack(found)


def _drawn(curves: CurveSet, hair: Hair, mixture: Mixture, end: Floats) -> Floats:
    """CIELAB at a time by each draw of a set, shape (draws, 3); its own where it has none."""
    # How far single strands lie off is no difference between sets.
    draws = None if curves.posterior is None else curves.posterior.without(misfit.NAMES)
    if draws is None:
        return simulate(hair, mixture, end, curves).lab
    values = draws.all_values(curves.values)
    lab = simulate(hair, mixture, end, curves, values=values).lab
    # A strand on which nothing that was drawn bears is the same for every draw.
    return np.broadcast_to(lab, (len(draws) + 1, 1, 3))[:-1, 0]


def compared(curves: CurveSet, *others: CurveSet) -> tuple[Trajectory, ...]:
    """Strands of `COMPARED`, through all times that a set and those beside it predict."""
    found = []
    for hair, mixture in COMPARED:
        end = min(longest_minutes(mixture, each) for each in (curves, *others))
        found.append(simulate(hair, mixture, np.linspace(0.0, end, STEPS), curves))
    return tuple(found)


def table_of(curves: CurveSet) -> list[dict[str, Any]]:
    """All parameters of a set as rows: name, value, unit, low, high, status and source."""
    keys = ("name", "value", "unit", "low", "high", "status", "source")
    return [{key: getattr(p, key) for key in keys} for p in curves.parameters]


def named_after(path: str | os.PathLike[str]) -> str:
    """Name of a curve set after its file."""
    return os.path.splitext(os.path.basename(os.fspath(path)))[0]
