"""What records teach: a stylist's own curve set from records, with its prediction error."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError
from lift.model.course import RATES
from lift.model.curves import CurveSet, default_curves
from lift.model.domain import OutsideError, check_domain
from lift.model.parameter import Parameter
from lift.practice.records.forecast import MISTAKEN, SHARED_SHARE, SHIFTS, forecast_without_records
from lift.practice.records.learn import DRAWS, Shared, learn_shifts
from lift.practice.records.prediction_error import Errors, prediction_errors
from lift.practice.records.record import Record
from lift.quantities import check_seed
from lift.results import Result
from lift.words import say

UNDETERMINED = 0.85
"""A shift whose sd stays above this share of its prior's was not determined (assumed)."""


@dataclass(frozen=True, eq=False, repr=False)
class Learned(Result):
    """What records taught.

    Parameters
    ----------
    records : tuple of Record
        What it was learned from.
    shared : Shared
        Posterior of the shared shifts.
    curves : CurveSet
        The stylist's own set.
    before : Errors
        Of the set that was started from.
    after : Errors
        Of what is learned from all other clients' records: each client is left out in turn.
    suspects : tuple of int
        Positions of records that look written down wrongly.
    held_out_by : str
        ``client``, or ``record`` where there is one client only.
    outside : int
        How many more records were left aside, as they lie outside the domain of their mixture.
    """

    records: tuple[Record, ...]
    shared: Shared
    curves: CurveSet
    before: Errors
    after: Errors
    suspects: tuple[int, ...]
    held_out_by: str
    outside: int = 0

    @property
    def determined(self) -> tuple[bool, ...]:
        """For each of `SHIFTS`, whether the records say more than was assumed."""
        return tuple(bool(s < UNDETERMINED) for s in self.shared.posterior.sd)

    @property
    def invented(self) -> bool:
        """Whether any record is made up."""
        return any(record.invented for record in self.records)


def learn_from_records(
    records: Sequence[Record],
    curves: CurveSet | None = None,
    *,
    name: str = "own",
    draws: int = DRAWS,
    seed: int = 0,
) -> Learned:
    """Learn a curve set from records, and how well it predicts what it has not seen.

    Parameters
    ----------
    records : sequence of Record
        At least three.
    curves : CurveSet, optional
        Set to start from, default: the shipped one; `name` is the new one's.
    draws : int
        In each round of sampling.

    Raises
    ------
    LiftError
        For too few records within the domains of their mixtures, or real ones mixed with invented.

    Examples
    --------
    >>> from lift import Hair, Mixture, Observation, Record, learn_from_records
    >>> cream = Mixture("cream", 20)
    >>> records = [
    ...     Record("qf4-mk7", "2024-05-17", Hair(6), cream, Observation(m, s), invented=True)
    ...     for m, s in ((10, 6.8), (20, 7.6), (30, 8.1))
    ... ]
    >>> learn_from_records(records, draws=256).held_out_by
    'record'
    """
    # Records start from central values: a posterior from swatches would be counted twice.
    curves = replace(curves or default_curves(), posterior=None)
    if "tuned_to" in dict(curves.provenance):
        raise LiftError("records.learned_already", name=curves.name)
    told = tuple(records)
    if len({record.invented for record in told}) > 1:
        raise LiftError("records.mixed")
    kept = tuple(record for record in told if _predicted(record, curves))
    shared = learn_shifts(kept, curves, draws=draws, seed=check_seed(seed))
    forecasts = [forecast_without_records(record, curves) for record in kept]
    weight = np.ones(1)
    before = prediction_errors(kept, [(f, weight) for f in forecasts], curves)
    clients = {record.client for record in kept}
    left_out = [
        np.array([o is r if len(clients) == 1 else o.client == r.client for o in kept])
        for r in kept
    ]
    weights = [_without(shared, out) for out in left_out]
    after = prediction_errors(kept, list(zip(shared.forecasts, weights, strict=True)), curves)
    slip = [
        float(shared.posterior.weights @ np.exp(f.log_slip(r.result.numbers) - density))
        for f, r, density in zip(shared.forecasts, kept, shared.log_density, strict=True)
    ]
    return Learned(
        records=kept,
        outside=len(told) - len(kept),
        shared=shared,
        curves=_own_curves(kept, shared, curves, name),
        before=before,
        after=after,
        suspects=tuple(i for i, s in enumerate(slip) if MISTAKEN * s > 0.5),
        held_out_by="record" if len(clients) == 1 else "client",
    )


def _predicted(record: Record, curves: CurveSet) -> bool:
    """Whether what was done lies within the domain of its mixture."""
    try:
        check_domain(record.hair, record.mixture, record.result.minutes, curves)
    except OutsideError:
        return False
    return True


def _without(shared: Shared, out: Any) -> Floats:
    """Weights of the draws had the records that are `out` not been seen."""
    with np.errstate(divide="ignore"):
        power = np.log(shared.posterior.weights) - shared.log_density[out].sum(axis=0)
    weight = np.exp(power - power.max())
    return np.asarray(weight / weight.sum())


def _own_curves(records: Sequence[Record], shared: Shared, base: CurveSet, name: str) -> CurveSet:
    """Fold the shifts into parameters: the eye's into the pigment scale, the rest as they are."""
    mean, sd = shared.moments()
    values = base.values
    strands = (1.0 - SHARED_SHARE) * float(
        shared.posterior.weights @ np.exp(2.0 * shared.shifts[:, 3])
    )

    def spread(parameter: str, shift: int) -> float:
        return float(np.sqrt(strands * values[parameter] ** 2 + sd[shift] ** 2))

    moved = {
        # Level n as this eye judges it is level n plus its bias.
        "melanin_at_level_3": values["melanin_at_level_3"]
        * np.exp(-values["level_ratio"] * mean[0]),
        **{name: values[name] * np.exp(mean[1]) for name in RATES},
        "fade_minutes": values["fade_minutes"] * np.exp(mean[2]),
        "level_sd": spread("level_sd", 0),
        "rate_log_sd": spread("rate_log_sd", 1),
        "fade_log_sd": spread("fade_log_sd", 2),
    }
    for key, value in moved.items():
        moved[key] = float(np.clip(value, base[key].low, base[key].high))
    clients = len({record.client for record in records})
    invented = any(record.invented for record in records)
    count = len(records)
    learned_from = say("calibration.from", count=count, invented=invented, clients=clients)
    parameters = tuple(_moved(p, moved, learned_from) for p in base.parameters)
    by_eye = sum(record.result.lab is None for record in records)
    provenance = {
        **dict(base.provenance),
        "tuned_to": learned_from,
        "tuned_from": say(
            "calibration.base", name=base.name, by_eye=by_eye, by_instrument=count - by_eye
        ),
        "tuned_shifts": "; ".join(
            f"{key} {m:+.3f} (sd {s:.3f})" for key, m, s in zip(SHIFTS, mean, sd, strict=True)
        ),
    }
    drawn = base.posterior
    if drawn is not None:
        # What nobody measured is as open as it was, about where the records moved it.
        drawn = drawn.scaled({key: moved[key] / values[key] for key in drawn.names if key in moved})
    return replace(
        base,
        name=name,
        parameters=parameters,
        provenance=tuple(provenance.items()),
        posterior=drawn,
    )


def _moved(parameter: Parameter, moved: dict[str, float], learned_from: str) -> Parameter:
    if parameter.name not in moved:
        return parameter
    return replace(
        parameter,
        value=float(f"{moved[parameter.name]:.6g}"),
        status="tuned",
        source=say("calibration.source", learned_from=learned_from, before=parameter.value),
    )
