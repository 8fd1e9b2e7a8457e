"""Learn: what a stylist's own records have in common, as a posterior.

Two floors: shifts that all records share (the eye reads levels too dark or too light; mixtures and
hands work quicker or slower, fade sooner or later) and deviates of each strand. Strands are
integrated out record by record with a cubature rule, the shifts are sampled by importance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats, LiftError, check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.posterior import Posterior, sample_posterior
from lift.practice.records.forecast import SHIFTS, Forecast, forecast, shifts_of
from lift.practice.records.record import Record

LEAST_RECORDS = 3
DRAWS = 1024


@dataclass(frozen=True, eq=False)
class Shared:
    """Posterior of the shared shifts.

    Parameters
    ----------
    posterior : Posterior
        Standard normal deviates of the shifts, in the order of `SHIFTS`.
    log_density : numpy.ndarray
        Of each record under each draw, shape (records, draws).
    forecasts : tuple of Forecast
        One for each record.
    base : CurveSet
        The curve set that was started from.
    """

    posterior: Posterior
    log_density: Floats
    forecasts: tuple[Forecast, ...]
    base: CurveSet

    @property
    def shifts(self) -> Floats:
        """Shifts of each draw, shape (draws, 4), columns as in `SHIFTS`."""
        return shifts_of(self.posterior.draws, self.base)

    def moments(self) -> tuple[Floats, Floats]:
        """Posterior mean and sd of each shift, shape (4,)."""
        mean = self.posterior.weights @ self.shifts
        return mean, np.sqrt(self.posterior.weights @ (self.shifts - mean) ** 2)


def learn_shifts(
    records: Sequence[Record],
    curves: CurveSet | None = None,
    *,
    draws: int = DRAWS,
    seed: int = 0,
) -> Shared:
    """Sample the shifts that a stylist's records have in common.

    At least three are needed; `draws` are those of each round of sampling.
    """
    curves = curves or default_curves()
    if len(records) < LEAST_RECORDS:
        raise LiftError("records.too_few", count=len(records), least=LEAST_RECORDS)
    check_number("records.count", len(records), LEAST_RECORDS, 10_000)

    def log_densities(deviates: Floats) -> tuple[list[Floats], list[Forecast]]:
        shifts = shifts_of(deviates, curves)
        made = [forecast(record, shifts, curves) for record in records]
        pairs = zip(made, records, strict=True)
        return [f.log_density(r.result.numbers) for f, r in pairs], made

    posterior = sample_posterior(
        lambda deviates: np.sum(log_densities(deviates)[0], axis=0),
        len(SHIFTS),
        draws=draws,
        seed=seed,
    )
    densities, forecasts = log_densities(posterior.draws)
    return Shared(posterior, np.array(densities), tuple(forecasts), curves)
